"""Masses of the bicycle's parts, and where they are."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.mass_model import (
    FORK_LEGS,
    FRONT_ASSEMBLY,
    FRONT_WHEEL,
    REAR_WHEEL,
    mass_model,
    together,
)
from frame3d.bike.solve import solve
from frame3d.parameters.reading.reader import load

CONFIGS = Path(__file__).parents[2] / "configs"


def demo(name: str, *sets: str) -> Bike:
    return solve(load(CONFIGS / f"{name}.yaml", sets=list(sets)))


def test_three_masses() -> None:
    """(-4000 + 250 + 2125) / 95 and (56000 + 625 + 375) / 95."""
    parts = [(80.0, (-50.0, 700.0)), (2.5, (100.0, 250.0)), (12.5, (170.0, 30.0))]
    assert together(parts) == pytest.approx((-17.105263, 600.0))


@pytest.mark.parametrize("name", ["trail_hardtail_29", "trail_full_140", "adventure_rigid"])
def test_the_bicycle_weighs_what_the_file_says(name: str) -> None:
    layout = demo(name)
    model = mass_model(layout)
    assert model.total_kg == pytest.approx(layout.spec.build.bike_mass_kg, abs=1e-12)
    tubes = {part.name: part for part in model.parts if part.name in layout.frame.masses.parts}
    assert set(tubes) == set(layout.frame.masses.parts)
    for body in layout.frame.masses.bodies:
        assert tubes[body.name].mass_kg == body.grams / 1000
        assert tubes[body.name].at == (body.centre[0], body.centre[2])
    # Of a mountain bike, the rest beyond its usual parts is small.
    (rest,) = (part for part in model.parts if part.name == "rest")
    assert 0 < rest.mass_kg < 2.2


def test_the_rest_moves_nothing() -> None:
    light = mass_model(demo("trail_hardtail_29"))
    heavy = mass_model(demo("trail_hardtail_29", "build.bike_mass_kg=16"))
    assert heavy.centre == pytest.approx(light.centre, abs=1e-9)


def test_usual_masses_shrink_into_a_light_bicycle() -> None:
    model = mass_model(demo("trail_hardtail_29", "build.bike_mass_kg=9"))
    assert model.total_kg == pytest.approx(9)
    assert any("usual masses x 0.6" in said for said in model.assumptions)
    assert all(part.mass_kg > 0 for part in model.parts)


def test_a_bicycle_lighter_than_its_tubes_says_so() -> None:
    model = mass_model(
        demo(
            "trail_hardtail_29", "build.bike_mass_kg=3", "material={name: lead, density_g_cm3: 19}"
        )
    )
    assert any("more than the bicycle's" in said for said in model.assumptions)


def test_without_a_mass_the_parts_are_summed() -> None:
    model = mass_model(demo("trail_hardtail_29", "build.bike_mass_kg=null"))
    assert 11 < model.total_kg < 14.5
    assert any("the sum of its tubes and parts" in said for said in model.assumptions)
    bare = mass_model(demo("minimal"))
    assert bare.total_kg == pytest.approx(13)
    assert any("build.bike_mass_kg gives it" in said for said in bare.assumptions)


def test_given_masses_count_as_they_are() -> None:
    model = mass_model(
        demo(
            "trail_full_140",
            "build.front_wheel.mass_kg=2.05",
            "build.rear_wheel.mass_kg=2.9",
            "build.fork.mass_kg=2.2",
            "build.front_assembly_kg=3.3",
        )
    )
    assert [p.mass_kg for p in model.on(FRONT_WHEEL)] == [2.05]
    assert [p.mass_kg for p in model.on(REAR_WHEEL)] == [2.9]
    assert sum(p.mass_kg for p in model.on(FRONT_ASSEMBLY, FORK_LEGS)) == pytest.approx(3.3)
    forks = [p.mass_kg for p in model.parts if p.name in ("fork", "fork's lower legs")]
    assert sum(forks) == pytest.approx(2.2)
    assert all(p.known for p in model.on(FRONT_WHEEL, REAR_WHEEL, FRONT_ASSEMBLY, FORK_LEGS))


def test_parts_move_with_what_carries_them() -> None:
    """A link's tube by the link's own rigid motion; wheels with their axles; the rest stays."""
    layout = demo("trail_full_140")
    linkage = layout.linkage
    assert linkage is not None
    model, (rear, fork) = mass_model(layout), (60.0, 40.0)
    moved = {part.name: part for part in model.moved(layout, rear, fork)}
    pose = linkage.at_strokes(linkage.strokes_at(np.array([rear])))
    angle = np.radians(layout.chart["head_tube_angle"] or 0)
    axle = np.array(linkage.axle_at(rear)) - np.array(linkage.axle_at(0.0))
    for part in model.parts:
        shift = np.array(moved[part.name].at) - np.array(part.at)
        if part.on in (FRONT_WHEEL, FORK_LEGS):
            expected = fork * np.array([-np.cos(angle), np.sin(angle)])
        elif part.on == REAR_WHEEL:
            expected = axle
        elif part.on in linkage.links:
            x, z, turn = pose.poses[0, linkage.links.index(part.on)]
            c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
            there = (x + c * part.at[0] - s * part.at[1], z + s * part.at[0] + c * part.at[1])
            expected = np.array(there) - np.array(part.at)
        else:
            expected = np.zeros(2)
        assert shift == pytest.approx(expected, abs=1e-6), part.name
