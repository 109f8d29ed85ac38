"""Tubes that lie in one another, against volumes in closed form."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.chart.cache import Cache
from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.section import Section
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.cuts.shared_metal import shared_metal
from frame3d.tubes.tube import End, Tube


def tube(name: str, od: float, wall: float, start: float = 0.0, length: float = 200.0) -> Tube:
    """A straight tube along x with square ends."""
    points = (start, 0.0, 0.0), (start + length, 0.0, 0.0)
    ends = [End(point, "square", None, None, 0.0, 0.0, 0.0) for point in points]
    return Tube(
        name, name, None, Centreline((Line(*points),)), Section.round(length, od, wall),
        *ends, (), 7.85, "4130", "#000000",
    )  # fmt: skip


def found(*tubes: Tube) -> dict[tuple[str, str], float]:
    envelopes = {one.name: Envelope.of(one, one.name) for one in tubes}
    return {(a.name, b.name): volume for a, b, volume in shared_metal(tubes, envelopes, Cache())}


def ring(outside: float, inside: float, length: float) -> float:
    return float(np.pi / 4 * (outside**2 - inside**2) * length)


def test_a_copy_shares_all_of_its_metal() -> None:
    a, b = tube("a", 38.1, 0.9), tube("b", 38.1, 0.9)
    assert found(a, b) == {("a", "b"): pytest.approx(ring(38.1, 36.3, 200), rel=1e-6)}


def test_a_wider_one_shares_the_wall_that_lies_in_its_own() -> None:
    a, b = tube("a", 38.1, 0.9), tube("b", 41.0, 3.0, start=50.0)
    assert found(a, b) == {("a", "b"): pytest.approx(ring(38.1, 36.3, 150), rel=0.02)}


@pytest.mark.parametrize("od", [41.1, 44.0])
def test_a_sleeve_with_the_tube_in_its_bore_shares_nothing(od: float) -> None:
    assert found(tube("a", 38.1, 0.9), tube("b", od, (od - 38.1) / 2)) == {}


def test_tubes_end_to_end_or_on_different_links_or_cut_share_nothing() -> None:
    a, b = tube("a", 38.1, 0.9), tube("b", 38.1, 0.9, start=200.0)
    assert found(a, b) == {}
    same = tube("b", 38.1, 0.9)
    assert found(a, replace(same, link="arm")) == {}
    assert found(a, replace(same, cut_by=("a",))) == {}
