"""The starter files: they load, solve, and teach; those with rear suspension also in tests/test_demos.py."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from frame3d.bike.solve import solve
from frame3d.clearance.check import check
from frame3d.cli.commands import new
from frame3d.errors import SpecError
from frame3d.parameters import loads
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.starters.starter import SUSPENSIONS, starter, suspended
from tests.sampling import first

CONFIGS = Path(__file__).parents[2] / "configs"


@pytest.fixture(scope="module")
def spec() -> FrameSpec:
    return loads(starter("My bike"))


@pytest.mark.parametrize(
    ("asked", "name"),
    [
        ("My bike", "My bike"),
        ("Kid's 20\"", "Kid's 20\""),
        ("No", "No"),
        ("29er", "29er"),
        ("a: b", "a: b"),
        ("#1", "#1"),
        ("{x}", "{x}"),
        ("1:30", "1:30"),
        ("null", "null"),
        ("ends -", "ends -"),
        ("a - b", "a - b"),
        ("../x", "My bike"),
        ("29/27.5", "29/27.5"),
        ("a\\b", "a\\b"),
        ('a\\"b', 'a\\"b'),
        ("", "My bike"),
        ("a\nb", "My bike"),
        ("con", "My bike"),
    ],
)
def test_names(asked: str, name: str) -> None:
    assert loads(starter(asked)).name == name


def test_it_is_a_complete_hardtail_in_plain_words(spec: FrameSpec) -> None:
    text = starter("My bike")
    assert text.startswith("# yaml-language-server: $schema=frame3d.schema.json\n")
    assert text.count("#") > 40
    assert "says nothing about strength" in text
    assert max(len(line) for line in text.splitlines()) <= 105
    assert list(spec.tubes) == [
        "head_tube", "seat_tube", "down_tube", "top_tube", "chainstay", "seatstay",
        "seatstay_bridge", "chainstay_bridge",
    ]  # fmt: skip


def test_it_solves_without_a_warning(spec: FrameSpec) -> None:
    layout = solve(spec)
    assert [note.message for note in layout.notes if note.code == "warning"] == []
    assert len(layout.tubes) == 10
    assert {bore.code for bore in layout.bores} == {"ZS56", "ZS44", "31.6 mm"}


def test_the_rear_tyre_fits(spec: FrameSpec) -> None:
    """Distance of the stays from the tyre as a torus, 6 mm as for non-racing bicycles.

    Value from memory of ISO 4210-2 4.10.2; the torus is the closed form of a tyre of 61-622.
    """
    layout = solve(spec)
    axle = np.array(layout.nodes["rear_axle"])
    ring, tyre = 372.0 - 30.5, 30.5
    for name in ("chainstay_left", "seatstay_left", "chainstay_bridge", "seatstay_bridge"):
        tube = layout.tube(name)
        s = np.linspace(0.0, tube.axis.length, 300)
        points = tube.axis.points(s)
        half = np.maximum(
            tube.section.width_at(s), 0 if "chain" in name else tube.section.height_at(s)
        )
        radius = np.hypot(points[:, 0] - axle[0], points[:, 2] - axle[2])
        gap = np.hypot(radius - ring, points[:, 1]) - tyre - half / 2
        assert gap.min() > 6.0, name


def test_stays_end_at_the_dropouts(spec: FrameSpec) -> None:
    """A hub of 148 mm has its dropouts' inner faces at y = ±74; the plates are 7 mm thick."""
    layout = solve(spec)
    assert [d.axle[1] for d in layout.dropouts] == [74, -74]
    for name in ("chainstay_left", "seatstay_left"):
        assert 74 <= layout.tube(name).axis.end[1] <= 81


@pytest.mark.parametrize("kind", first(2, [None, *SUSPENSIONS]))
def test_every_starter_passes_its_own_check(kind: str | None) -> None:
    """With the bar turned as far as it goes, and room to spare for whatever turns with it."""
    report = check(solve(loads(starter("My bike", kind))))
    assert [f"{r.name} {r.between} {r.margin:.2f}" for r in report.results if not r.ok] == []
    assert {"fork_to_frame", "front_tyre_to_frame"} <= {r.name for r in report.results}
    turning = [r.margin for r in report.results if "steer" in r.at]
    assert min(turning) > 2


@pytest.mark.parametrize("kind", SUSPENSIONS)
def test_with_rear_suspension(kind: str) -> None:
    text = starter("Kid's 20\"", kind)
    spec = loads(text)
    assert spec.name == "Kid's 20\""
    assert spec.suspension is not None
    assert {tube.link for tube in spec.tubes.values()} > {None}
    assert text.startswith("# yaml-language-server: $schema=frame3d.schema.json\n")
    assert SUSPENSIONS[kind] in text
    assert text.count("#") > 40
    assert "says nothing about strength" in text
    assert max(len(line) for line in text.splitlines()) <= 105
    assert loads(starter("../x", kind)).name == "My bike"


@pytest.mark.parametrize(
    ("demo", "kind"),
    [("trail_full_140", "four-bar"), ("enduro_170_mixed", "single-pivot-rocker")],
)
def test_demos_are_starters_under_a_name_of_their_own(demo: str, kind: str) -> None:
    text = (CONFIGS / f"{demo}.yaml").read_text()
    body = text[text.index("format: 1\n") :]
    name = next(line for line in body.splitlines() if line.startswith("name: "))
    assert body.replace(name, "name: My bike", 1) == suspended(kind)


def test_an_unknown_suspension_lists_those_there_are() -> None:
    with pytest.raises(SpecError) as caught:
        starter("My bike", "four_bar")
    (fault,) = caught.value.faults
    assert fault.code == "not-allowed"
    assert "'four_bar'" in fault.message
    assert fault.place is not None
    assert fault.place.source == "--suspension four_bar"
    for kind, what in SUSPENSIONS.items():
        assert f"{kind} ({what})" in fault.hint


def test_the_command_says_which_there_are() -> None:
    option = next(p for p in new.params if p.name == "suspension")
    help_text = str(option.to_info_dict()["help"])
    assert [kind for kind in SUSPENSIONS if kind in help_text] == list(SUSPENSIONS)
