"""What is measured of each bike, and of bikes that are one, once."""

from __future__ import annotations

from pathlib import Path

import frame3d
from frame3d.family.measured import measure
from frame3d.family.members import solve_family
from frame3d.family.wanted import wanted_of
from tests.family.files import family_file


def test_each_as_alone_and_one_bike_once(tmp_path: Path) -> None:
    file = family_file(tmp_path)
    family = solve_family(wanted_of([f"{file}:L+all"]))
    said: list[tuple[str, float]] = []
    drawn, long, same = measure(family, lambda what, share: said.append((what, share)))
    assert same is drawn
    assert [what for what, _ in said] == ["L drawn", "L long", "L same"]
    alone = frame3d.check(frame3d.variant(file, size="L", settings=["long"]))
    assert long.report == alone
    assert list(long.gaps.values()) == [
        next(r for r in alone.results if r.name == name) for name in long.gaps
    ]
    assert [r.name for r in long.short] == [n for n, r in long.gaps.items() if not r.ok]
    assert long.travel is None
    assert long.grams is not None
    assert drawn.stiffness is not None
    # It has no stays.
    assert [one.case.key for one in drawn.stiffness.cases] == ["head_sideways", "front_twist"]
    assert "holds together" in drawn.no_stiffness[0].message
