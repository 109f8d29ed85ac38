"""What unchecked checks say is missing: only what is, and all of it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

import frame3d
from frame3d.bike.solve import solve
from frame3d.bodies import Absent
from frame3d.clearance import pairs
from frame3d.clearance.lacking import joined, of_parts
from frame3d.clearance.result import Unchecked
from frame3d.clearance.scalar_checks import FIGURE_CHECKS
from frame3d.clearance.scene import Scene, scene_of

CONFIGS = Path(frame3d.__file__).parent.parent / "configs"


def unchecked(scene: Scene) -> dict[str, str]:
    """Why each check that is not made is not, without measuring the others."""
    found: list[object] = [pairs.plan(check, scene) for check in pairs.PAIRS]
    found += [o for make in FIGURE_CHECKS.values() for o in make(scene)]
    return {o.name: o.why for o in found if isinstance(o, Unchecked)}


def given(spec: Any, path: str) -> bool:
    for key in path.split("."):
        spec = spec.get(key) if isinstance(spec, dict) else getattr(spec, key)
        if spec is None or spec in ((), {}):
            return False
    return True


PARTS = (
    "cassette", "chainring", "crank", "pedal", "rear_brake", "saddle", "seatpost", "stem",
    "bottles", "rider", "crank.q_factor", "crank.chainline", "rider.shoe_length",
    "rear_wheel.rotor", "rider.inseam",
)  # fmt: skip


@pytest.mark.parametrize("taken", PARTS)
def test_only_what_is_missing_is_listed(taken: str) -> None:
    """Take one key out of a file that gives every one, and look which the checks ask for."""
    spec = frame3d.load(CONFIGS / "trail_hardtail_29.yaml")
    build = spec.build
    *parts, last = taken.split(".")
    if parts:
        (part,) = parts
        inner = getattr(build, part).model_copy(update={last: None})
        build = build.model_copy(update={part: inner})
    else:
        build = build.model_copy(update={last: () if last == "bottles" else None})
    spec = spec.model_copy(update={"build": build})
    whys = unchecked(scene_of(solve(spec)))
    assert whys, "nothing asks for it"
    for name, why in whys.items():
        asked = re.findall(r"(?:build|tubes)\.[a-z_.]*[a-z_]", why)
        assert asked, (name, why)
        for path in asked:
            assert not given(spec, path), f"{name}: {why}, but {path} is there"


def test_one_of_a_side_will_do_and_each_side_is_needed() -> None:
    absent = [
        Absent("fork_crown", "build.fork.crown"),
        Absent("fork_leg", "build.fork.legs"),
        Absent("front_tyre", "build.front_wheel.tyre"),
        Absent("shoe", "build.pedal and build.rider.shoe_length"),
    ]
    said = of_parts(absent, [("front_tyre",), ("fork_crown", "fork_leg")], "nothing")
    assert said == "build.front_wheel.tyre and build.fork.crown or build.fork.legs"
    assert of_parts(absent, [("shoe",)], "x") == "build.pedal and build.rider.shoe_length"
    assert of_parts(absent, [("chain",)], "otherwise") == "otherwise"
    every = [Absent(f"kind_{i}", f"build.{i}") for i in range(9)]
    assert of_parts([*absent, *every], [("shoe",), ("kind",)], "x").endswith("and any other part")
    assert of_parts(every, [("own",), ("kind",)], "bodies of its own") == "bodies of its own"
    assert joined(["a", "b", "c"]) == "a, b and c"
