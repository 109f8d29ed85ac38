from __future__ import annotations

import math

import pytest

from frame3d.errors import MockupError
from frame3d.mockup.options import KITS, Options, bed_of, kits_of, scale_of
from frame3d.mockup.read_options import read_options
from tests.mockup.samples import CONFIGS, RIGID, layout


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


def test_all_faults_at_once() -> None:
    with pytest.raises(MockupError) as caught:
        read_options(layout(CONFIGS / "minimal.yaml"), scale="x", length=300.0, bed="y", kits="z")
    assert [f.code for f in caught.value.faults] == [
        "inconsistent", "not-allowed", "not-allowed", "not-allowed", "missing-key",
    ]  # fmt: skip


def test_what_the_file_gives_goes_with_the_frame() -> None:
    assert read_options(layout(), bed="220x220x250").kits == KITS
    without = layout(RIGID, "build.handlebar=null", "build.crank=null")
    found = read_options(without, bed="220x220x250")
    assert found.kits == ("wheels", "fork", "saddle")
    assert found.notes == (
        "no cranks: the file does not give build.crank.q_factor",
        "no cockpit: the file does not give build.handlebar.width",
    )
    with pytest.raises(MockupError) as caught:
        read_options(without, bed="220x220x250", kits="fork,cockpit,cranks")
    assert [f.path for f in caught.value.faults] == [
        "build.crank.q_factor",
        "build.handlebar.width",
    ]


def test_a_length_makes_the_scale() -> None:
    """Overall length over the chart's: wheelbase and both radii."""
    chart = layout().chart
    whole = chart["wheelbase"] + chart["front_wheel_radius"] + chart["rear_wheel_radius"]
    options = read_options(layout(), bed="220x220x250", length=300.0)
    assert options.scale == pytest.approx(300.0 / whole, rel=1e-5)
    assert options.ratio == f"1:{whole / 300:.4g}"
    with pytest.raises(MockupError, match="can be from") as caught:
        read_options(layout(), bed="220x220x250", length=5000.0)
    assert f"{whole:.0f} mm" in caught.value.faults[0].hint
    for length in (0.0, -5.0, 30.0, math.nan):
        # The thickest tube, 62 mm, must not come out thinner than a rod of 2 mm.
        with pytest.raises(MockupError, match="makes a scale of") as caught:
            read_options(layout(), bed="220x220x250", length=length)
        assert f"from {whole / 31:.0f} to {whole:.0f} mm" in caught.value.faults[0].hint


def test_a_scale_that_leaves_nothing() -> None:
    """The thickest tube, 62 mm, must print without growing: 2 mm at 1:31."""
    assert read_options(layout(), bed="220x220x250", scale="1:31").scale == pytest.approx(1 / 31)
    with pytest.raises(MockupError, match="leaves nothing printable") as caught:
        read_options(layout(), bed="220x220x250", scale="1:32")
    assert caught.value.faults[0].hint == "1:31 or larger"


def test_ratio() -> None:
    assert Options(1 / 6, ()).ratio == "1:6"
    assert Options(0.1667, ()).ratio == "1:5.999"
