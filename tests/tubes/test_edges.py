"""Edges of holes: against the closed form of a mitre, and on both surfaces that make them."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.tubes.cuts.mitre import level, mitre_curve
from frame3d.tubes.features.edges import edge_points, on_tube, outline
from frame3d.tubes.features.holes import across, holes, marked
from frame3d.tubes.features.stand import inner
from tests.featured import of, one_tube


def the_port(**more: Any) -> Any:
    bike = one_tube({"kind": "port", "from_start": 200, **more})
    tube = bike.tube("beam")
    (hole,) = holes(of(bike, "it"), tube)
    return hole, tube


@pytest.mark.parametrize("lean", [0.0, 25.0, -40.0])
def test_a_round_port_s_edge_is_that_of_a_mitre(lean: float) -> None:
    """A drilling of radius r leaning on a tube of radius R: `mitre_curve`, which is tested apart."""
    hole, tube = the_port(width=12.0, lean=lean)
    points = edge_points(hole, tube)
    way, _, _ = across(hole)
    top = tube.axis.at(200.0) + np.array([0.0, 0.0, 20.0])
    high = (points - top) @ way
    # Around the drilling's own axis, from the side to which the tube's axis leans.
    ahead = np.array([way[2], 0.0, -way[0]])
    phi = np.degrees(np.arctan2((points - top)[:, 1], (points - top) @ ahead))
    expected = mitre_curve(6.0, 20.0, 90.0 - lean, 0.0, phi)
    shift = 20.0 / np.cos(np.radians(lean))  # from the tube's axis, along the drilling, to its top
    assert high == pytest.approx(expected - shift, abs=1e-6)


@pytest.mark.parametrize("inside", [False, True])
def test_a_slot_s_edge_is_on_the_slot_and_on_the_tube(inside: bool) -> None:
    hole, tube = the_port(width=7.0, length=16.0, turn=35.0, lean=30.0, angle=50.0)
    points = edge_points(hole, tube, inside=inside)
    assert np.abs(level(inner(tube) if inside else tube, points)[0]).max() < 1e-8
    _, along, aside = across(hole)
    u, v = ((points - hole.axis.at(0.0)) @ way for way in (along, aside))
    apart = np.hypot(np.maximum(np.abs(u) - 4.5, 0.0), v)
    assert apart == pytest.approx(3.5, abs=1e-9)
    phi, s = on_tube(points, tube, inside=inside)
    assert s.mean() == pytest.approx(200.0, abs=2.0)
    assert np.ptp(phi) < 60.0


def test_an_outline_holds_the_area_of_its_section() -> None:
    """π r² + straight × width, by the shoelace formula."""
    hole, _ = the_port(width=6.0, length=20.0)
    x, y = outline(hole, 4000).T
    area = abs(float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1])) / 2)
    assert area == pytest.approx(np.pi * 9 + 14 * 6, rel=1e-5)


def test_a_boss_is_marked_as_wide_as_it_is() -> None:
    bike = one_tube({"kind": "boss", "from_start": 200, "count": 1, "diameter": 11})
    (hole,) = marked(of(bike, "it"), bike.tube("beam"))
    assert (hole.diameter, holes(of(bike, "it"), bike.tube("beam"))) == (11, ())
