"""The demo bikes' rear suspensions as sections of their own, each point where the demo has it: [x, z]."""

from __future__ import annotations

import json
from pathlib import Path

from frame3d.bike.solve import solve
from frame3d.parameters import load

CONFIGS = Path(__file__).parents[2] / "configs"
PARTS = ("travel", "links", "axle", "brake", "shock", "spring")


def _section(file: str) -> tuple[str, tuple[float, float]]:
    """The section as the body of a mapping, and the rear axle (x, z) that it was made for."""
    layout = solve(load(CONFIGS / file))
    suspension, linkage = layout.spec.suspension, layout.linkage
    assert suspension is not None
    assert linkage is not None
    said = suspension.model_dump(mode="json", exclude_unset=True)
    section = {key: said[key] for key in PARTS if key in said}
    assert suspension.sag is not None
    section["sag"] = f"{100 * suspension.sag:g}%"
    section["points"] = {
        point: [round(float(x), 3) for x in linkage.drawn[point]] for point in suspension.points
    }
    section["solve_for"] = [
        {"point": wish.point, "to_meet": wish.to_meet, "coordinate": coordinate}
        for wish, coordinate in zip(suspension.solve_for, ("z", "x"), strict=True)
    ]
    text = "\n".join(f"{key}: {json.dumps(value)}" for key, value in section.items())
    x, _, z = layout.nodes["rear_axle"]
    return f"{text}\n", (x, z)


FOUR_LINK_140, FOUR_LINK_AXLE = _section("trail_full_140.yaml")
ROCKER_170, ROCKER_AXLE = _section("enduro_170_mixed.yaml")
