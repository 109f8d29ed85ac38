"""What the page is made from: nothing for the first bike, one side view for bikes that are one."""

from __future__ import annotations

from pathlib import Path

from frame3d.family.members import solve_family
from frame3d.family.wanted import wanted_of
from frame3d.report.comparing.data import Comparison
from tests.family.files import family_file
from tests.report.comparing.samples import sizes


def test_changes_against_the_first() -> None:
    made = sizes()
    assert made.labels == ("S drawn", "L", "S long")
    assert made.changes[0] == ()
    reach = next(c for c in made.changes[1] if (c.kind, c.name) == ("figure", "reach"))
    assert round(reach.delta or 0.0, 6) == 30.0
    assert made.table.columns == made.labels


def test_one_side_view_for_one_bike(tmp_path: Path) -> None:
    file = family_file(tmp_path)
    family = solve_family(wanted_of([f"{file}:S", f"{file}:S+same", f"{file}:M"]))
    measured = sizes().measured
    first, same, other = Comparison(family, measured).sides
    assert first is same
    assert other is not first
