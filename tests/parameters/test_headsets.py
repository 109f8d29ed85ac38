"""Headset codes: all that there are, and what is none."""

from __future__ import annotations

import pytest

from frame3d.parameters.sizes.headsets import (
    CROWN_SEATS,
    INTEGRATED_BORES,
    PRESSED_BORES,
    STEERERS,
    cup,
)
from frame3d.parameters.sizes.unknown import UnknownSize
from tests.parameters.faults import GEO, Row, hold, row_name

ROWS: list[Row] = [
    (
        GEO + "build: {headset: {upper: ZS45/28.6}}\n",
        "unknown-size",
        "build.headset.upper",
        (4, 26),
        "ZS45",
        "ZS44",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


@pytest.mark.parametrize("kind", ["EC", "ZS", "IS", "XX"])
@pytest.mark.parametrize("number", sorted({*PRESSED_BORES, *INTEGRATED_BORES, "45"}))
def test_every_code_is_a_cup_or_names_codes_that_are(kind: str, number: str) -> None:
    """A code's number is its bore in whole millimetres, rounded down or up."""
    code = f"{kind}{number}"
    integrated = kind == "IS" and number in INTEGRATED_BORES
    if not integrated and not (kind in ("EC", "ZS") and number in PRESSED_BORES):
        with pytest.raises(UnknownSize, match=code) as caught:
            cup(code)
        named = caught.value.hint.partition("known: ")[2].partition(";")[0]
        assert all(cup(other).kind == kind for other in filter(None, named.split(", ")))
        assert named or kind == "XX"
        return
    if code in (
        "ZS37",
        "EC41",
        "EC55",
    ):  # bores that one kind of cup uses alone (from memory of SHIS)
        with pytest.raises(UnknownSize, match=code):
            cup(code)
        return
    found = cup(code)
    low, high = found.finished
    assert low < found.bore < high
    assert float(number) - 0.2 < found.bore < float(number) + 1
    assert found.fits is None
    assert (found.contact is not None) == (kind == "IS")
    assert found.depth > 0


@pytest.mark.parametrize("fit", [*STEERERS, *CROWN_SEATS])
def test_the_second_number_is_what_the_cup_fits(fit: float) -> None:
    assert cup(f"ZS44/{fit:g}").fits == fit


@pytest.mark.parametrize("code", ["ZS44/29", "ZS44/", "zs44", "ZS 44", "ZS444", "44/28.6", ""])
def test_no_code(code: str) -> None:
    with pytest.raises(UnknownSize) as caught:
        cup(code)
    assert code in str(caught.value)
    assert "28.6" in caught.value.hint
