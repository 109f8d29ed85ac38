"""Patches around ports: volume against integrals and the solid kernel, outlines against the metal."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad

from frame3d.fabrication.on_tubes.marks import marks_of
from frame3d.solids.build_parts import make
from frame3d.tubes.cuts.mitre import level
from frame3d.tubes.features.edges import edge_points
from frame3d.tubes.features.extent import extent, wrong_with
from frame3d.tubes.features.patches import patches, slices, stretch, weighed
from frame3d.tubes.features.stand import spot
from tests.featured import of, one_tube
from tests.reference.test_marking_templates import facts
from tests.reference.test_mitre_templates import apart, solid_edges

PORT: dict[str, Any] = {"kind": "port", "from_start": 200, "width": 8, "patch": 1.2}


def test_on_a_round_tube_the_volume_is_an_integral_over_the_ring() -> None:
    """Between cylinders of 20 and 21.2 mm, over a disc of 8 + 2 × 8 mm less one of 8 (scipy)."""
    bike = one_tube(PORT)
    (one,) = patches(of(bike, "it"), bike.tube("beam"))

    def under(radius: float) -> float:
        def strip(v: float) -> float:
            thick = math.sqrt(21.2**2 - v * v) - math.sqrt(20**2 - v * v)
            return 2 * math.sqrt(radius**2 - v * v) * thick

        return float(quad(strip, -radius, radius)[0])

    volume, moment = weighed(one)
    assert volume == pytest.approx(under(12) - under(4), rel=5e-3)
    assert moment[:2] / volume == pytest.approx([0.0, 0.0], abs=0.05)
    assert 118.5 < moment[2] / volume < 120.6
    assert bike.frame.masses.parts["beam-it"] == pytest.approx(
        volume * bike.tube("beam").density * 1e-3
    )


@pytest.mark.parametrize(
    ("sizes", "od"),
    [
        ({"length": 14, "lean": 25, "angle": 60, "patch_margin": 6}, {"start": 36, "end": 42}),
        ({"length": 14, "turn": 40, "angle": 30, "patch": 0.8}, {"height": 46, "width": 38}),
        ({"length": 14, "patch_margin": 8.5}, {"height": 40, "width": 30, "corner": 5}),
        (
            {"length": 14, "turn": 30, "angle": 90, "patch_margin": 6},
            {
                "start": {"height": 44, "width": 36, "corner": 5, "flat": "above"},
                "end": {"height": 40, "width": 32, "corner": 4, "flat": "above"},
            },
        ),
    ],
)
def test_its_solid_weighs_the_same_and_its_edge_is_that_of_the_template(
    sizes: dict[str, Any], od: Any
) -> None:
    """On a taper, an oval, a rectangle, a tapering D: volume within 0.5 % of the kernel's, edge within 0.02 mm."""
    bike = one_tube(PORT | sizes, od=od)
    tube, feature = bike.tube("beam"), of(bike, "it")
    (one,) = patches(feature, tube)
    part = next(part for part in make(bike).parts if part.name == "beam-it")
    assert weighed(one)[0] == pytest.approx(part.volume, rel=5e-3)
    assert apart(edge_points(one.column, tube)[::4], solid_edges(part.shape)).max() < 0.02
    (mark,) = marks_of(bike, facts(bike))
    assert mark.covered is not None
    assert mark.what.endswith(f"patch {feature.spec.patch:g} thick")


@pytest.mark.parametrize(
    "od", [40.0, {"height": 46, "width": 38}, {"height": 40, "width": 34, "corner": 5}]
)
def test_slices_hold_the_patch_and_stand_out_no_further(od: Any) -> None:
    bike = one_tube(PORT | {"length": 16, "angle": 45}, od=od)
    (one,) = patches(of(bike, "it"), bike.tube("beam"))
    made = list(slices(one))
    edge = edge_points(one.column, one.over)
    held = np.zeros(len(edge), dtype=bool)
    for part in made:
        corners = np.array(part.path.vertices)[:, :2]
        local = part.plane.of(edge)
        ways = np.roll(corners, -1, axis=0) - corners
        off = local[:, None, :2] - corners
        left = ways[:, 0] * off[:, :, 1] - ways[:, 1] * off[:, :, 0]
        within = (left > -0.05 * np.hypot(*ways.T)).all(axis=1)
        held |= within & (np.abs(local[:, 2]) <= part.high + 1e-9)
        at = part.plane.place(np.column_stack([corners, np.zeros(len(corners))]))
        assert float(level(one.over, at)[0].max()) < 0.05
    assert held.all()


def test_it_takes_its_margin_of_the_tube() -> None:
    bare, patched = (of(one_tube(p), "it") for p in (PORT | {"patch": None}, PORT))
    assert extent(bare) == pytest.approx((4.0, 4.0))
    assert extent(patched) == pytest.approx((12.0, 12.0))
    assert patches(bare, one_tube(PORT).tube("beam")) == ()


@pytest.mark.parametrize(
    ("sizes", "od", "words"),
    [
        ({"patch_margin": 14}, 40.0, "its patch, 36.0 mm across the tube, is wider"),
        ({"from_start": 6}, 40.0, "it stands 6.0 mm off the tube"),
        (
            {"patch_margin": 12},
            {"height": 40, "width": 36, "corner": 6},
            "its patch, 32.0 mm across",
        ),
        ({"width": 37, "patch_margin": 2}, 50.0, None),
    ],
)
def test_what_cannot_be_rolled_is_left_out_with_a_warning(
    sizes: dict[str, Any], od: Any, words: str | None
) -> None:
    bike = one_tube(PORT | sizes, od=od)
    if words is None:
        assert wrong_with(of(bike, "it"), bike.tube("beam"), {}) is None
        return
    assert bike.frame.features == ()
    (note,) = [note for note in bike.notes if "it on the beam" in note.message]
    assert words in note.message
    assert note.path == "tubes.beam.features.it"


def test_a_patch_in_a_tight_bend_is_left_out() -> None:
    """On a tube of 40 at 12 mm aside: 20 - 16 = 4 mm nearer to a bend's centre 100 - 20 mm away."""
    bent = one_tube(PORT, bends=[{"along": 200, "rise": -40, "radius": 70}])
    assert bent.frame.features == ()
    assert any("sheet would stretch by" in note.message for note in bent.notes)
    tube = one_tube(PORT, bends=[{"along": 200, "rise": 40, "radius": 100}]).tube("beam")
    place = spot(tube, 205.0, 0.0)
    centre = tube.axis.curvatures(np.array([205.0]))[0]
    way = float(place.out @ centre) * 100
    assert abs(way) == pytest.approx(1.0, abs=1e-9)
    assert stretch(tube, place, 12.0) == pytest.approx(4 / (100 - 20 * way), abs=1e-9)


BENT: dict[str, Any] = {"bends": [{"along": 200, "rise": 40, "radius": 200}]}


@pytest.mark.parametrize(
    ("od", "angle"),
    [(40.0, 0), (40.0, 60), ({"height": 40, "width": 34, "corner": 5}, 0)],
)
def test_on_a_bend_solid_mass_and_outline_agree(od: Any, angle: float) -> None:
    """Volume within 0.5 % of the kernel's; the slices of its outline hold its edge."""
    bike = one_tube(PORT | {"angle": angle}, od=od, **BENT)
    (one,) = patches(of(bike, "it"), bike.tube("beam"))
    part = next(part for part in make(bike).parts if part.name == "beam-it")
    assert weighed(one)[0] == pytest.approx(part.volume, rel=5e-3)
    edge = edge_points(one.column, one.over)
    held = np.zeros(len(edge), dtype=bool)
    for part_ in slices(one):
        corners = np.array(part_.path.vertices)[:, :2]
        local = part_.plane.of(edge)
        ways = np.roll(corners, -1, axis=0) - corners
        off = local[:, None, :2] - corners
        left = ways[:, 0] * off[:, :, 1] - ways[:, 1] * off[:, :, 0]
        within = (left > -0.05 * np.hypot(*ways.T)).all(axis=1)
        held |= within & (np.abs(local[:, 2]) <= part_.high + 1e-9)
        at = part_.plane.place(np.column_stack([corners, np.zeros(len(corners))]))
        assert float(level(one.over, at)[0].max()) < 0.05
    assert held.all()
