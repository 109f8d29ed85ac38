"""The rider in the scene document: few numbers, the same as the figure, no part of the model."""

from __future__ import annotations

import gzip
import json

import pytest

from frame3d.bodies import bodies_of
from frame3d.bodies.placement import Placement
from frame3d.formats.assembly import mating_bodies
from frame3d.looks.rider import figure_of
from frame3d.report.figure import figure_document
from frame3d.report.scene import Mounts, compact
from frame3d.report.texts import texts
from tests.report.samples import hardtail_bike, minimal_bike

PACKED = 60_000
"""All postures together may add so much to a page [bytes]; a picture of few numbers takes a tenth."""


def test_all_postures_are_a_few_kilobytes() -> None:
    mounts = Mounts()
    made = figure_document(hardtail_bike(), mounts.key, texts())
    text = compact({"rider": made, "mounts": mounts.steps})
    assert len(gzip.compress(text.encode())) < PACKED / 10
    assert json.loads(text)["rider"]["postures"]


def test_it_says_what_the_figure_is() -> None:
    bike = hardtail_bike()
    figure = figure_of(bike)
    assert figure is not None
    mounts = Mounts()
    made = figure_document(bike, mounts.key, texts())
    assert made is not None
    place = Placement(bike)
    assert [p["name"] for p in made["postures"]] == [pose.name for pose in figure.poses]
    for said, pose in zip(made["postures"], figure.poses, strict=True):
        assert said["title"] == texts()(f"mannequin.{pose.name}")
        for one, limb in zip(said["limbs"], pose.limbs, strict=True):
            assert one["tip"] == pytest.approx(limb.tip, abs=0.01)
            assert one["root"] == pytest.approx(limb.root, abs=0.01)
            assert one["upper"][1] == pytest.approx(limb.upper[1], abs=0.01)
            assert sum(x * x for x in one["bend"]) == pytest.approx(1.0, abs=1e-3)
        keys = {limb["mount"] for limb in said["limbs"]}
        assert keys == {"left pedal", "right pedal", "steering"}
    assert mounts.key(place.steering) == "steering"
    for name, shape in figure.shapes.items():
        assert made["shapes"][name]["rings"][3] == pytest.approx(shape.rings[3], abs=0.06)


def test_a_bike_without_a_rider_shows_none() -> None:
    assert figure_document(minimal_bike(), Mounts().key, texts()) is None


def test_it_is_no_body_and_goes_into_no_export() -> None:
    """What is measured, meshed and exported has a rider's shoes at most, as before."""
    carried = bodies_of(hardtail_bike())
    assert not [b.name for b in carried.bodies if "rider" in b.name or "trunk" in b.name]
    assert not [b.name for b in mating_bodies(carried) if "rider" in b.name]
