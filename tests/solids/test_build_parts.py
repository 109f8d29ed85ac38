"""Making parts: all that fail are named, progress, cuts with slack."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from frame3d.bike.solve import solve
from frame3d.errors import SolidError
from frame3d.parameters.reading.reader import load
from frame3d.solids import build_parts, make, occ
from frame3d.solids.bodies import bodies
from frame3d.solids.body_meshes import part_mesh
from tests.bikes import hardtail_layout
from tests.frames import bar, context

MAST = bar(40.0, (0, 0, 0), (0, 0, 400), 2.0)


def test_all_parts_that_cannot_be_made_are_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """A kernel that gives nonsense is found out by the mesh, for every part, with the way out."""
    real = occ.hollow

    def wrong(outer: Any, bore: Any) -> Any:
        return occ.solid(outer) if not outer.is_turned else real(outer, bore)

    monkeypatch.setattr(occ, "hollow", wrong)
    with pytest.raises(SolidError) as error:
        make(hardtail_layout())
    assert [f.path for f in error.value.faults] == ["tubes.chainstay"] * 2 + ["tubes.seatstay"] * 2
    assert all(f.code == "solid" and f.hint for f in error.value.faults)
    assert "chainstay_left" in error.value.faults[0].message


def test_progress_runs_from_nothing_to_all() -> None:
    seen: list[tuple[str, float]] = []
    make(context({"mast": MAST}), lambda name, share: seen.append((name, share)))
    assert seen == [("mast", 0.0), ("done", 1.0)]


def test_a_cut_that_the_kernel_leaves_out_is_made_with_slack() -> None:
    """The head tube's cone meets this top tube along a hair's breadth: a plain cut leaves it be."""
    file = Path(__file__).parents[2] / "configs" / "enduro_170_mixed.yaml"
    made = bodies(solve(load(file, sets=("geometry.reach=540",))))
    body = next(b for b in made if b.name == "top_tube")
    mesh = part_mesh(body)
    part = build_parts.sound_part(build_parts.PartBuilder(), body, mesh)
    assert part.volume == pytest.approx(mesh.volume, rel=1e-4)


def test_a_cut_that_no_slack_makes_is_made_by_splines() -> None:
    """A stay half beside the seat tube: its left one is cut at once, its right one left as it is,
    whatever the slack and the size of the tool (seeded bike 56).
    """
    file = Path(__file__).parents[1] / "hardening" / "cases" / "stay_left_uncut.yaml"
    made = bodies(solve(load(file)))
    for name in ("seatstay_left", "seatstay_right"):
        body = next(b for b in made if b.name == name)
        mesh = part_mesh(body)
        part = build_parts.sound_part(build_parts.PartBuilder(), body, mesh)
        assert part.volume == pytest.approx(mesh.volume, rel=2e-4)
