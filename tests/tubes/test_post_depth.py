"""The seatpost along its axis: lengths added up by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.geometry.vector import Point
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.parts import SeatpostSpec
from frame3d.tubes.post_depth import RAILS, exposure, insertion, least_insertion
from tests.bikes import hardtail_data, hardtail_nodes

TOP = 430.0
"""Of the hardtail's seat tube, from the bottom bracket; its saddle is at 720 mm on the same line."""


def spec(saddle: float | None, **post: Any) -> FrameSpec:
    data = hardtail_data()
    data["build"]["seatpost"] |= post
    if saddle is not None:
        data["build"]["seatpost"]["saddle_height"] = saddle
    return FrameSpec.model_validate(data)


def nodes(saddle: float) -> dict[str, Point]:
    found = hardtail_nodes()
    x, y, z = found["seat_tube_top"]
    return found | {"saddle": (x * saddle / TOP, y, z * saddle / TOP)}


def test_exposure_is_from_the_tubes_top_to_the_rails() -> None:
    assert exposure(spec(720.0), nodes(720.0)) == pytest.approx(720 - TOP - RAILS)
    assert exposure(spec(400.0), nodes(400.0)) == pytest.approx(400 - TOP - RAILS)  # below the top
    assert exposure(spec(None), nodes(720.0)) is None


def test_what_is_not_seen_of_a_post_is_in_the_tube() -> None:
    assert insertion(spec(720.0, length=400.0), nodes(720.0)) == pytest.approx(
        400 - (720 - TOP - RAILS)
    )
    assert insertion(spec(720.0, length=200.0), nodes(720.0)) == pytest.approx(-45)  # too short
    assert insertion(spec(720.0, insertion=150.0), nodes(720.0)) == 150.0
    assert insertion(spec(None, insertion=150.0), nodes(720.0)) == 150.0
    assert insertion(spec(720.0), nodes(720.0)) is None


def test_without_a_post_there_is_no_depth() -> None:
    data = hardtail_data()
    del data["build"]["seatpost"]
    assert insertion(FrameSpec.model_validate(data), hardtail_nodes()) is None


def test_the_mark_is_the_files_or_two_diameters() -> None:
    """16 CFR 1512.15(b): the insertion mark is at least two diameters from the post's end."""
    assert least_insertion(SeatpostSpec(diameter=31.6)) == pytest.approx(63.2)
    assert least_insertion(SeatpostSpec(diameter=31.6, least_insertion=110.0)) == 110.0
    assert least_insertion(SeatpostSpec()) is None


def test_the_nodes_of_this_test_lie_on_the_seat_tubes_line() -> None:
    a, b = (np.array(nodes(720.0)[n]) for n in ("saddle", "seat_tube_top"))
    assert np.linalg.norm(a - b) == pytest.approx(290)
