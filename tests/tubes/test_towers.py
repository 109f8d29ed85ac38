"""Posts of a brake mount: volume against closed forms, shapely and the solid; what cannot stand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from frame3d.parameters.models.tube_features.feature import FeatureSpec
from frame3d.solids.build_parts import make
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.features.feature import Feature, Mount, Post
from frame3d.tubes.features.towers import FLOOR, ROOT, cannot_stand, footprint, towers, weighed
from frame3d.tubes.tube import Tube
from tests.frames import bar, context
from tests.reference.test_mitre_templates import apart, solid_edges


def beam() -> Tube:
    """A level tube of 20 mm, straight ahead."""
    ends = ((-200.0, 0.0, 100.0), (200.0, 0.0, 100.0))
    return context({"beam": bar(20.0, *ends, 1.0)}).tube("beam")


def on_beam(aside: float, high: float, **sizes: float) -> Feature:
    """Two posts whose bolts are beside the beam's axis, their faces over it."""
    spec = FeatureSpec.model_validate({"kind": "post_mount", **sizes})
    posts = tuple(Post(s, 0.0, (0.0, high, aside), (0.0, 1.0, 0.0)) for s in (150.0, 224.2))
    return Feature(
        "brake", "tubes.beam.features.brake", "beam", "beam", None, spec,
        tuple(post.s for post in posts), 0.0, mount=Mount(30.0, 90.0, posts),
    )  # fmt: skip


@pytest.mark.parametrize(("aside", "high"), [(0.0, 25.0), (6.0, 26.0), (-9.0, 30.0)])
def test_on_a_straight_tube_the_volume_is_a_section_times_the_width(
    aside: float, high: float
) -> None:
    """The section less the tube's circle (shapely), as wide as the face, less the thread's hole."""
    feature = on_beam(aside, high)
    foot = ROOT * 10
    hull = shapely.MultiPoint(
        [
            (-7, 0),
            (7, 0),
            (-7, -12 - FLOOR),
            (7, -12 - FLOOR),
            (-aside - foot, -high),
            (-aside + foot, -high),
        ]
    ).convex_hull
    circle = shapely.Point(-aside, -high).buffer(10.0, quad_segs=512)
    section = hull.difference(circle)
    hole = np.pi / 4 * 36 * 12
    one, _ = towers(feature, beam())
    volume, moment = weighed(one, beam())
    assert volume == pytest.approx(section.area * 14 - hole, rel=2e-3)
    y = (section.centroid.x * section.area * 14 - 0.0) / volume
    assert moment[1] / volume == pytest.approx(aside + y, abs=0.05)


def test_solids_weigh_the_same_and_the_template_s_edge_is_theirs() -> None:
    """On a stay that runs aslant: volume within 0.2 % of the kernel's, edge within 0.02 mm."""
    ends = ((-200.0, -20.0, 90.0), (200.0, 40.0, 110.0))
    bike = context({"beam": bar({"start": 18.0, "end": 22.0}, *ends, 1.0)})
    feature = on_beam(6.0, 27.0)
    bike = replace(bike, frame=replace(bike.frame, features=(feature,)))
    tube = bike.tube("beam")
    parts = {part.name: part for part in make(bike).parts}
    made = towers(feature, tube)
    assert {one.name for one in made} == set(parts) - {"beam"}
    for one, edge in zip(made, footprint(feature, tube), strict=True):
        part = parts[one.name]
        assert weighed(one, tube)[0] == pytest.approx(part.volume, rel=2e-3)
        assert apart(edge, solid_edges(part.shape)).max() < 0.02


@pytest.mark.parametrize(
    ("aside", "high", "words"),
    [
        (17.5, 25.0, "post 1 stands 0.5 mm beside the tube"),
        (0.0, 8.0, "the face of post 1 lies 2.0 mm lower than the tube's outside"),
        (15.0, 9.0, "the face of post 1 lies 1.0 mm lower than the tube's outside"),
        (15.0, 13.0, "12 mm deep, goes down past the tube's axis: at most 11.0"),
        (0.0, 20.0, "the thread of post 1, 12 mm deep, reaches 2.0 mm into the tube"),
        (0.0, 22.0 + 1e-6, None),
        (17.0 - 1e-6, 25.0, None),
    ],
)
def test_what_cannot_stand_is_told(aside: float, high: float, words: str | None) -> None:
    tube = beam()
    wrong = cannot_stand(on_beam(aside, high), tube, Envelope.of(tube, tube.name))
    assert (wrong is None) if words is None else words in str(wrong)
