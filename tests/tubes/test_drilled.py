"""Metal that a drilling takes, against volumes by quadrature (scipy)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from scipy.integrate import dblquad

from frame3d.geometry.centreline import Centreline
from frame3d.geometry.section import Section
from frame3d.tubes.cuts.drilled import drilled
from frame3d.tubes.cuts.vents import Hole
from frame3d.tubes.tube import Bore, End, Tube


@dataclass(frozen=True)
class Bar:
    axis: Centreline
    section: Section


def tube(od: float, wall: float, length: float = 200.0) -> Bar:
    """Along x from the origin."""
    return Bar(
        Centreline.through(((0.0, 0.0, 0.0), (length, 0.0, 0.0)), ()),
        Section.round(length, od, wall),
    )


def down(x: float, from_z: float, depth: float, diameter: float) -> Hole:
    """A hole straight down."""
    return Hole.through((x, 0.0, from_z), (0.0, 0.0, -1.0), 0.0, depth, diameter)


def through_one_wall(od: float, inside: float, diameter: float) -> tuple[float, float]:
    """Volume between two circles under a round hole, and its moment about the axis [mm³, mm⁴]."""
    r, R, b = inside / 2, od / 2, diameter / 2

    def high(y: float) -> float:
        return float(np.sqrt(R**2 - y**2) - np.sqrt(r**2 - y**2))

    def moment(y: float) -> float:
        return float((R**2 - r**2) / 2)

    side = (lambda y: -np.sqrt(b**2 - y**2), lambda y: np.sqrt(b**2 - y**2))
    volume, _ = dblquad(lambda _, y: high(y), -b, b, *side)
    about, _ = dblquad(lambda _, y: moment(y), -b, b, *side)
    return volume, about


@pytest.mark.parametrize(("od", "wall", "diameter"), [(38.1, 0.9, 4.0), (20.0, 2.0, 6.0)])
def test_through_one_wall(od: float, wall: float, diameter: float) -> None:
    volume, about = through_one_wall(od, od - 2 * wall, diameter)
    taken, moment = drilled(down(80.0, od, od, diameter), tube(od, wall), (), ())
    assert taken == pytest.approx(volume, rel=5e-3)
    assert moment[0] == pytest.approx(80 * taken, rel=1e-6)
    assert moment[1] == pytest.approx(0, abs=1e-6 * taken)
    assert moment[2] == pytest.approx(about, rel=5e-3)


def test_through_both_walls_and_through_a_bar() -> None:
    volume, _ = through_one_wall(38.1, 36.3, 4.0)
    taken, moment = drilled(down(80.0, 40.0, 80.0, 4.0), tube(38.1, 0.9), (), ())
    assert taken == pytest.approx(2 * volume, rel=5e-3)
    assert moment[2] == pytest.approx(0, abs=0.02 * taken)
    solid, _ = drilled(down(80.0, 40.0, 80.0, 4.0), tube(20.0, 0.0), (), ())
    # 2 ∫ sqrt(100 - y²) over the disc; its second term is 2 · (π b⁴/4) / 2 / 10.
    assert solid == pytest.approx(np.pi * 4 * 20 - np.pi * 16 / 4 / 10, rel=2e-3)


def test_a_bore_has_taken_some_already() -> None:
    """Bored to 37.1 over the first 30 mm, and over the last 50."""
    thin, _ = through_one_wall(38.1, 37.1, 4.0)
    whole, _ = through_one_wall(38.1, 36.3, 4.0)
    bores = [Bore("t", "start", 37.1, 30.0, "x"), Bore("t", "end", 37.1, 50.0, "x")]
    for x, volume in ((15.0, thin), (80.0, whole), (170.0, thin)):
        taken, _ = drilled(down(x, 30.0, 30.0, 4.0), tube(38.1, 0.9), bores, ())
        assert taken == pytest.approx(volume, rel=1e-2), x


def test_what_another_body_cut_is_not_taken_twice() -> None:
    """A cut at x = 80 leaves the half of the hole beyond it, with its middle 4 b / (3 π) away."""
    whole, _ = drilled(down(80.0, 30.0, 30.0, 6.0), tube(38.1, 0.9), (), ())
    half, moment = drilled(
        down(80.0, 30.0, 30.0, 6.0), tube(38.1, 0.9), (), (lambda p: 80.0 - p[:, 0],)
    )
    assert half == pytest.approx(whole / 2, rel=0.3)  # eight spokes: some lie on the cut
    assert moment[0] / half == pytest.approx(80 + 4 * 3 / (3 * np.pi), abs=0.4)
    none, _ = drilled(
        down(80.0, 30.0, 30.0, 6.0), tube(38.1, 0.9), (), (lambda p: 100.0 - p[:, 0],)
    )
    assert none == 0


@pytest.mark.parametrize(("x", "share"), [(-10.0, 1.0), (-20.0, 0.0), (210.0, 1.0), (230.0, 0.0)])
def test_past_the_axis_of_a_tube_to_its_long_points(x: float, share: float) -> None:
    """Metal reaches 15 and 25 mm past the axis' ends, where a mitre misses its target in part."""
    plain = tube(38.1, 0.9)
    start, end = (
        End((at, 0.0, 0.0), "mitre", "post", 45.0, 0.0, long, 30.0)
        for at, long in ((0.0, -15.0), (200.0, -25.0))
    )
    longer = Tube(
        "t", "t", None, plain.axis, plain.section, start, end, ("post",), 7.85, "4130", "#000000"
    )
    volume, _ = through_one_wall(38.1, 36.3, 4.0)
    taken, _ = drilled(down(x, 30.0, 30.0, 4.0), longer, (), ())
    assert taken == pytest.approx(share * volume, rel=5e-3, abs=1e-5)


@pytest.mark.parametrize("x", [-10.0, 210.0])
def test_beyond_the_faces_there_is_no_metal(x: float) -> None:
    assert drilled(down(x, 30.0, 30.0, 4.0), tube(38.1, 0.9), (), ())[0] == pytest.approx(
        0, abs=1e-5
    )
