"""The kernel's solids: volumes against closed forms, and faults instead of nonsense."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from frame3d.geometry.centreline import Centreline
from frame3d.solids import occ
from frame3d.solids.sweep import Sweep, rod, straight

S_BEND = Centreline.through(
    ((0, 29, 0), (-110, 37, 5), (-300, 60, 30), (-420, 66, 45)), (180.0, 200.0)
)
QUARTER = Centreline.through(((0, 0, 0), (100, 0, 0), (100, 0, 100)), (100,))


def volume(sweep: Sweep) -> float:
    return occ.bulk(occ.solid(sweep)).volume


def test_cylinder_cone_and_block() -> None:
    assert volume(rod((1, 2, 3), (1, 1, 1), 10, 20, 30)) == pytest.approx(math.pi * 15**2 * 30)
    assert volume(straight((0, 0, 0), (0, 0, 90), (40, 20))) == pytest.approx(
        math.pi * 90 * (20**2 + 20 * 10 + 10**2) / 3
    )
    assert volume(straight((0, 0, 0), (9, 0, 40), (30, 20), (7, 5), box=True)) == pytest.approx(
        straight((0, 0, 0), (9, 0, 40), (30, 20), (7, 5), box=True).volume
    )


def test_quarter_torus_by_pappus() -> None:
    """Volume of a bend = section area × path of its centre (Pappus)."""
    assert QUARTER.length == pytest.approx(math.pi / 2 * 100)
    bend = Sweep(QUARTER, (0.0, QUARTER.length), (20, 20), (20, 20))
    assert volume(bend) == pytest.approx(math.pi * 10**2 * math.pi / 2 * 100, rel=1e-9)


@pytest.mark.parametrize("stations", [2, 3, 5])
def test_bent_tapers_keep_to_their_sizes(stations: int) -> None:
    """However many stations: area integrated along the axis, by the trapezoidal rule in fine steps."""
    s = np.linspace(0.0, S_BEND.length, stations)
    height = np.where(s < 30, 30.0, np.interp(s, (30, S_BEND.length), (30, 16)))
    width = np.linspace(17, 16, stations)
    sweep = Sweep(S_BEND, tuple(s.tolist()), tuple(height.tolist()), tuple(width.tolist()))
    fine = np.linspace(0.0, S_BEND.length, 200001)
    area = math.pi / 4 * np.interp(fine, s, height) * np.interp(fine, s, width)
    shape = occ.solid(sweep)
    assert occ.is_valid(shape)
    assert occ.bulk(shape).volume == pytest.approx(float(np.trapezoid(area, fine)), rel=1e-6)


def test_an_even_oval_through_bends_out_of_the_upright_plane() -> None:
    """Volume = section area × path of its centre (Pappus), but for the oval's small turn in a bend."""
    sweep = Sweep(S_BEND, (0.0, S_BEND.length), (18, 18), (14, 14))
    shape = occ.solid(sweep)
    assert occ.is_valid(shape)
    expected = math.pi / 4 * 18 * 14 * S_BEND.length
    assert occ.bulk(shape).volume == pytest.approx(expected, rel=1e-4)


def test_hollow_equals_outside_less_inside() -> None:
    ends = (0.0, S_BEND.length)
    outer = Sweep(S_BEND, ends, (30, 16), (17, 16))
    bore = Sweep(S_BEND, ends, (28, 14), (15, 14))
    tube = occ.hollow(outer, bore)
    assert occ.is_valid(tube)
    assert len(occ.shells(tube)) == 1
    assert occ.bulk(tube).volume == pytest.approx(outer.volume - bore.volume, rel=1e-6)


def test_oval_stands_upright() -> None:
    """An oval 30 high and 10 wide along x: its extent in z is 30, in y 10."""
    from OCP.Bnd import Bnd_Box
    from OCP.BRepBndLib import BRepBndLib

    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(occ.solid(straight((0, 0, 0), (50, 0, 0), (30, 30), (10, 10))), box)
    x0, y0, z0, x1, y1, z1 = box.Get()
    assert (x1 - x0, y1 - y0, z1 - z0) == pytest.approx((50, 10, 30), abs=1e-3)


def test_booleans_add_up() -> None:
    a, b = (occ.solid(rod((x, 0, 0), (0, x + 1, 1), 40, 40, 20)) for x in (0, 3))
    pairs = {
        "a": a, "b": b, "both": occ.fuse([a, b]), "shared": occ.common(a, b),
        "a only": occ.cut(a, [b]),
    }  # fmt: skip
    v = {name: occ.bulk(shape).volume for name, shape in pairs.items()}
    assert v["shared"] > 1000
    assert v["both"] == pytest.approx(v["a"] + v["b"] - v["shared"], rel=1e-6)
    assert v["a only"] == pytest.approx(v["a"] - v["shared"], rel=1e-6)


def test_mirrored() -> None:
    shape = occ.solid(rod((10, 20, 30), (1, 2, 3), 0, 50, 8))
    bulk, other = occ.bulk(shape), occ.bulk(occ.mirrored(shape))
    assert other.volume == pytest.approx(bulk.volume)
    x, y, z = bulk.centre
    assert other.centre == pytest.approx((x, -y, z))


def test_nothing_left_is_an_error() -> None:
    small, large = (occ.solid(rod((0, 0, 0), (0, 0, 1), d, d, d)) for d in (10, 30))
    with pytest.raises(occ.KernelError):
        occ.largest(occ.cut(small, [large]))


def test_largest_of_two() -> None:
    tube = occ.solid(rod((0, 0, 0), (0, 0, 1), 10, 50, 20))
    slot = occ.solid(rod((0, 0, 0), (0, 1, 0), 30, 30, 12))
    wide = occ.solid(straight((0, -30, 0), (0, 30, 0), (12, 12), (60, 60), box=True))
    assert len(occ.solids(occ.cut(tube, [slot]))) == 1
    pieces = [occ.bulk(s).volume for s in occ.solids(occ.cut(tube, [wide]))]
    assert len(pieces) == 2
    assert all(a != b for a, b in itertools.pairwise(sorted(pieces)))
    assert occ.bulk(occ.largest(occ.cut(tube, [wide]))).volume == max(pieces)
