"""What a file searches of a point is dropped where an exchange gives the point as a whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.errors import SpecError
from frame3d.parameters.reading.reader import load, loads

FILE = Path(__file__).parents[2] / "configs" / "trail_full_140.yaml"


def wishes(*swaps: str, settings: tuple[str, ...] = (), more: str = "") -> list[str]:
    spec = loads(FILE.read_text() + more, "bike.yaml", swaps=swaps, settings=settings)
    assert spec.suspension is not None
    return [wish.point for wish in spec.suspension.solve_for]


def test_only_a_point_given_as_a_whole_settles_its_wish() -> None:
    assert wishes() == ["rocker_shock", "shock_front"]
    assert wishes("build.fork.offset=42") == ["rocker_shock", "shock_front"]
    assert wishes("suspension.points.shock_front.offset=43") == ["rocker_shock", "shock_front"]
    assert wishes("suspension.points.main_pivot=[10, 60]") == ["rocker_shock", "shock_front"]
    assert wishes("suspension.points.shock_front=[180, 300]") == ["rocker_shock"]
    both = ("suspension.points.shock_front=[180, 300]", "suspension.points.rocker_shock=[-90, 400]")
    assert wishes(*both) == []


def test_settings_too() -> None:
    more = "\nsettings:\n  low: {suspension.points.shock_front: [180, 300]}\n"
    assert wishes(settings=("low",), more=more) == ["rocker_shock"]
    assert wishes(more=more) == ["rocker_shock", "shock_front"]


def test_a_design_has_to_say_what_it_searches() -> None:
    with pytest.raises(SpecError) as caught:
        load(FILE, sets=["suspension.points.shock_front=[180, 300]"])
    assert caught.value.faults[0].path == "suspension.solve_for.1.coordinate"


@pytest.mark.parametrize(
    "text",
    [
        "suspension: null",
        "suspension: {points: {a: [1, 2]}}",
        "suspension: {solve_for: 3}",
        "suspension: {solve_for: [1, {point: [2]}]}",
    ],
)
def test_a_file_at_fault_is_left_to_the_checks_that_say_so(text: str) -> None:
    with pytest.raises(SpecError):
        loads(
            f"format: 1\nname: x\ngeometry: {{}}\n{text}\n",
            "x.yaml",
            swaps=["suspension.points.a=[1, 2]"],
        )
