from __future__ import annotations

import pytest

from frame3d.errors import MockupError
from frame3d.mockup.options import KITS, Options, bed_of, kits_of, scale_of


@pytest.mark.parametrize(
    ("text", "value"),
    [("1:6", 1 / 6), ("1/6", 1 / 6), ("0.1667", 0.1667), (" 1 : 12.5 ", 0.08), ("1:1", 1.0)],
)
def test_scales(text: str, value: float) -> None:
    assert scale_of(text) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "code", "hint"),
    [
        ("six", "not-allowed", "1:6"), ("1:0", "not-allowed", "1:6"), ("6", "out-of-range", "1:6"),
        ("1:500", "out-of-range", "1:100"), ("2:1", "out-of-range", ""), ("nan", "out-of-range", "1:100"),
        ("1:6:2", "not-allowed", ""), ("-0.2", "out-of-range", ""),
    ],
)  # fmt: skip
def test_no_scales(text: str, code: str, hint: str) -> None:
    with pytest.raises(MockupError) as caught:
        scale_of(text)
    (fault,) = caught.value.faults
    assert fault.code == code
    assert hint in fault.hint
    assert fault.place is not None
    assert fault.place.source == f"--scale {text}"


def test_beds() -> None:
    assert bed_of("220x220x250") == (220.0, 220.0, 250.0)
    assert bed_of("180 × 160.5 × 170") == (180.0, 160.5, 170.0)
    for text in ("220", "220x220", "axbxc", "220x220x250x1", "..x1x1"):
        with pytest.raises(MockupError, match="is no bed"):
            bed_of(text)
    with pytest.raises(MockupError, match="out of range"):
        bed_of("10x220x250")


def test_kits() -> None:
    assert kits_of(None) is None
    assert kits_of("frame") == ()
    assert kits_of("cockpit, fork,wheels") == ("wheels", "fork", "cockpit")
    assert kits_of(",".join(KITS)) == KITS
    for text in ("", " , "):
        with pytest.raises(MockupError, match="names no part"):
            kits_of(text)
    with pytest.raises(MockupError) as caught:
        kits_of("whels,saddel,fork")
    assert [f.hint.split("?")[0] for f in caught.value.faults] == [
        "did you mean wheels",
        "did you mean saddle",
    ]


@pytest.mark.parametrize(
    ("text", "whole"), [("wheels", "wheels,fork"), ("cockpit,saddle", "fork,cockpit,saddle")]
)
def test_kits_that_hang_on_the_fork(text: str, whole: str) -> None:
    with pytest.raises(MockupError) as caught:
        kits_of(text)
    (fault,) = caught.value.faults
    assert fault.code == "inconsistent"
    assert fault.hint == f"write {whole}"


def test_ratio() -> None:
    assert Options(1 / 6, ()).ratio == "1:6"
    assert Options(0.1667, ()).ratio == "1:5.999"
