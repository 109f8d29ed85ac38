"""Where on a tube as sold a piece fits: by hand, and against a dense scan of all places."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.fabrication.tube_stock.fit import (
    OD_PLAY,
    WALL_PLAY,
    Fit,
    Misfit,
    Piece,
    fit,
    is_plain,
    section_of,
)
from frame3d.geometry.section import Section
from frame3d.parameters.models.shop.tube_stock import StockTubeSpec


def sold(**given: Any) -> StockTubeSpec:
    usual = {"name": "t", "od": 38.1, "wall": 0.9, "length": 700.0, "material": "4130"}
    return StockTubeSpec.model_validate(usual | given)


def butted(first: float, last: float, length: float = 700.0, walls: Any = (0.9, 0.6, 0.9)) -> Any:
    wall = {"butted": list(walls), "lengths": [first, last], "transition": 50.0}
    return sold(wall=wall, length=length)


def piece(length: float, first: float, last: float, od: float = 38.1) -> Piece:
    """A piece 0.9 / 0.6 / 0.9 with these butts after cutting."""
    s = (0.0, first, first + 50, length - last - 50, length - last, length)
    shape = Section(s, (od,) * 6, (od,) * 6, (0.9, 0.9, 0.6, 0.6, 0.9, 0.9))
    return Piece(shape, 0.0, length, "4130")


def test_what_is_cut_off_each_butt() -> None:
    """Sold 700 with butts of 110 and 130, asked for 660 with 90 and 110: 20 off at either end."""
    found = fit(piece(660, 90, 110), butted(110, 130))
    assert isinstance(found, Fit)
    assert (found.begin, found.rest) == pytest.approx((20, 20))
    assert found.butts == pytest.approx((90, 110))
    assert found.waste == pytest.approx(40)
    assert found.thicker == pytest.approx(0, abs=1e-9)
    assert not found.turned


def test_a_tube_turned_end_for_end() -> None:
    """Its long butt lies at the other end: 15 off there leave 115, 25 off the short one 85."""
    found = fit(piece(660, 115, 85), butted(110, 130, 700))
    assert isinstance(found, Fit)
    assert found.turned
    assert (found.begin, found.rest) == pytest.approx((25, 15))
    assert found.butts == pytest.approx((115, 85))


def test_longer_butts_are_thicker_for_a_stretch() -> None:
    """Butts of 20 mm more in all: 0.3 mm over 20 mm is 6 mm² too many."""
    found = fit(piece(680, 90, 110), butted(110, 130))
    assert isinstance(found, Fit)
    assert found.excess == pytest.approx(0.3 * 20)
    assert sum(found.butts or ()) == pytest.approx(90 + 110 + 20)


@pytest.mark.parametrize(
    ("stock", "cause", "text"),
    [
        (sold(material="6061-T6"), "material", "is of 6061-T6, not 4130"),
        (butted(110, 130, walls=(1.2, 0.9, 1.2)), "wall", "is 0.90 mm where thinnest, not 0.60"),
        (butted(80, 130), "wall", "too thin"),
        (butted(110, 130, 650), "length", "is 650 mm long, 10.0 mm less than 660.0"),
        (sold(od=35.0), "outside", "differs by 3.10 mm in its outside"),
        (sold(wall="solid"), "outside", "is solid"),
        (sold(wall=0.9), "wall", "is 0.90 mm where thinnest, not 0.60"),
    ],
)
def test_what_does_not_fit_says_by_what(stock: StockTubeSpec, cause: str, text: str) -> None:
    found = fit(piece(660, 90, 110), stock)
    assert isinstance(found, Misfit)
    assert found.cause == cause
    assert text in found.text


def test_a_taper_has_its_place() -> None:
    """Sold 20 to 14 over 300 after 100 of 20: a piece from 18 to 15 lies between 200 and 350."""
    stock = sold(od={"start": 20.0, "end": 14.0, "after": 100.0, "over": 300.0}, length=450.0)
    shape = Section((0.0, 150.0), (18.0, 15.0), (18.0, 15.0), (0.9, 0.9))
    found = fit(Piece(shape, 0.0, 150.0, "4130"), stock)
    assert isinstance(found, Fit)
    assert found.begin == pytest.approx(200, abs=OD_PLAY * 50)
    back = Section((0.0, 150.0), (15.0, 18.0), (15.0, 18.0), (0.9, 0.9))
    turned = fit(Piece(back, 0.0, 150.0, "4130"), stock)
    assert isinstance(turned, Fit)
    assert turned.turned
    steep = Section((0.0, 150.0), (18.0, 14.0), (18.0, 14.0), (0.9, 0.9))
    assert isinstance(fit(Piece(steep, 0.0, 150.0, "4130"), stock), Misfit)


def test_an_oval_may_be_turned_about_its_axis() -> None:
    stock = sold(od={"height": 17.0, "width": 30.0})
    shape = Section((0.0, 400.0), (30.0, 30.0), (17.0, 17.0), (0.9, 0.9))
    assert isinstance(fit(Piece(shape, 0.0, 400.0, "4130"), stock), Fit)


def test_only_long_points_count() -> None:
    """A mitre that reaches 12 mm beyond the axis' end needs them; a square cut 5 mm in does not."""
    shape = Section.round(500.0, 38.1, 0.9)
    assert isinstance(fit(Piece(shape, -12.0, 495.0, "4130"), sold(length=507.0)), Fit)
    assert isinstance(fit(Piece(shape, -12.0, 495.0, "4130"), sold(length=506.0)), Misfit)


def test_plain_is_the_same_all_along() -> None:
    assert is_plain(section_of(sold()))
    assert not is_plain(section_of(butted(100, 100)))
    assert not is_plain(section_of(sold(od={"start": 20.0, "end": 14.0})))


@settings(max_examples=25, deadline=None)
@given(
    st.floats(60, 160), st.floats(60, 160), st.floats(60, 160), st.floats(60, 160),
    st.floats(500, 699),
)  # fmt: skip
def test_a_fit_is_found_wherever_a_dense_scan_finds_one(
    first: float, last: float, sold_first: float, sold_last: float, length: float
) -> None:
    """Every 0.25 mm of the tube as sold, both ways round, the wall compared every 0.5 mm."""
    wanted, stock = piece(length, first, last), butted(sold_first, sold_last)
    found = fit(wanted, stock)
    shape, s = section_of(stock), np.arange(0.0, length, 0.5)
    asked = wanted.section.wall_at(s)
    for begin in np.arange(0.0, 700.0 - length, 0.25):
        for turned in (False, True):
            x = 700.0 - (begin + s) if turned else begin + s
            if (shape.wall_at(x) - asked).min() > -WALL_PLAY / 4:
                assert isinstance(found, Fit)
    if isinstance(found, Fit):
        x = found.begin + (length - s if found.turned else s)
        assert (shape.wall_at(x) - asked).min() >= -WALL_PLAY - 1e-9
        assert found.begin + found.rest + length == pytest.approx(700.0)


def test_a_rectangle_is_no_oval_of_the_same_size() -> None:
    stock = sold(od={"height": 30.0, "width": 17.0})
    corners = ((3.0, 3.0, 3.0, 3.0),) * 2
    shape = Section((0.0, 400.0), (30.0, 30.0), (17.0, 17.0), (0.9, 0.9), corners)
    found = fit(Piece(shape, 0.0, 400.0, "4130"), stock)
    assert isinstance(found, Misfit)
    assert found.cause == "outside"
