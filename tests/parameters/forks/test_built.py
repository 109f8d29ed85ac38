"""Forks that the shop builds, in the file: what does not go together, and where their tubes are said."""

from __future__ import annotations

import pytest

from frame3d.parameters import loads
from frame3d.parameters.models.forks.built import said_at
from tests.parameters.faults import GEO, Row, hold, row, row_name

REST = ", steerer_length: 200}\n  front_wheel: {hub: 100x12}\n"


def fork(body: str, more: str = "") -> str:
    return GEO + "build:\n  fork: {built: {" + body + "}" + more + REST


ROWS: list[Row] = [
    row(
        (text := fork("", ", travel: 80")),
        "inconsistent", "build.fork.built", "{}", "rigid, and this one has 80", "travel: 0",
    ),
    row(
        (text := fork("", ", crown: {height: 20}")),
        "inconsistent", "build.fork.crown", "{height", "as its own tubes are", "built.crown",
    ),
    row(
        (text := fork("", ", legs: {upper: 30}")),
        "inconsistent", "build.fork.legs", "{upper", "outline of a bought fork", "built.blades",
    ),
    row(
        (text := fork("", ", mass_kg: 1.1")),
        "inconsistent", "build.fork.mass_kg", "1.1", "weighs what its tubes weigh", "leave it out",
    ),
    row(
        (text := fork("brake: {rotor: 180}", ", mount_rotor: 160")),
        "inconsistent", "build.fork.mount_rotor", "160", "made for 180", "leave it out",
    ),
    row(
        (text := fork("crown: {drop: 5.5}")),
        "inconsistent", "build.fork.built.crown.drop", "5.5", "this one is unicrown", "kind: segmented",
    ),
    row(
        (text := fork("crown: {kind: segmented, radius: 44}")),
        "inconsistent", "build.fork.built.crown.radius", "44", "this one is segmented", "kind: unicrown",
    ),
    row(
        (text := fork("crown: {join: 30, shoulder: 29}")),
        "inconsistent", "build.fork.built.crown.shoulder", "29", "not below join (30", "more than join",
    ),
    row(
        (text := fork("crown: {kind: segmented, od: 28, wall: 14}")),
        "section", "build.fork.built.crown.wall", "14", "leaves no bore", "less than",
    ),
    row(
        (text := fork("blades: {wall: 9}")),
        "section", "build.fork.built.blades.wall", "9}", "leaves no bore", "less than",
    ),
    row(
        (text := fork("steerer: {od: {height: 28, width: 30}}")),
        "section", "build.fork.built.steerer.od", "{height", "turns in no bearing", "a diameter",
    ),
    row(
        (text := fork("brake: {bore: 13}")),
        "inconsistent", "build.fork.built.brake.bore", "13", "leaves no wall", "at most 12",
    ),
    row(
        (text := fork("blade: {}")),
        "unknown-key", "build.fork.built.blade", "blade:", "", "blades",
    ),
    row(
        (text := fork("").replace("  front_wheel: {hub: 100x12}\n", "  headset: {lower_stack: 3}\n")),
        "missing-key", "build.front_wheel.hub", "build:", "dropouts stand", "hub: 100x12",
    ),
    row(
        (text := fork("").replace(", steerer_length: 200", "")),
        "missing-key", "build.fork.steerer_length", "{built", "the built fork's steerer", "stem",
    ),
    row(
        (text := fork("brake: {rotor: 203}").replace("{hub", "{rotor: 180, hub")),
        "inconsistent", "build.fork.built.brake.rotor", "203", "takes none of 180", "at most 180",
    ),
    row(
        (text := fork("") + "tubes:\n  fork_blade: {start: {on: front_axle}, end: {at: [0, 0, 9]}, "
         "od: 9, wall: 1}\n"),
        "bad-name", "tubes.fork_blade", "fork_blade:", "those of the built fork", "another name",
    ),
]  # fmt: skip


@pytest.mark.parametrize("given", ROWS, ids=row_name)
def test_what_a_built_fork_does_not_take(given: Row) -> None:
    hold(given)


def test_a_built_fork_is_rigid_and_of_usual_sizes() -> None:
    found = loads(fork("")).build.fork
    assert found is not None
    assert found.rigid
    assert found.built is not None
    assert found.native_rotor is None
    assert found.built.crown.kind == "unicrown"
    assert loads(fork("brake: {}")).build.fork.native_rotor == 160  # type: ignore[union-attr]


def test_names_of_its_tubes_are_free_on_a_bought_fork() -> None:
    text = (
        GEO
        + "tubes: {fork_blade: {start: {on: rear_axle}, end: {on: front_axle}, od: 20, wall: 1}}\n"
    )
    assert "fork_blade" in loads(text).tubes


@pytest.mark.parametrize(
    ("own", "said"),
    [
        ("tubes.fork_blade", "build.fork.built.blades"),
        ("tubes.fork_blade.od.start", "build.fork.built.blades.od.start"),
        ("tubes.fork_blade.bends.0", "build.fork.built.blades"),
        ("tubes.fork_blade.bends.1", "build.fork.built.blades.bend"),
        ("tubes.fork_segment.wall", "build.fork.built.crown.wall"),
        ("tubes.fork_race_seat.od.stations.1", "build.fork.built.steerer.race_seat"),
        ("tubes.fork_post_upper.start", "build.fork.built.brake"),
        ("plates.fork_dropout.path", "build.fork.built.dropout"),
        ("tubes.fork_blade_guard.od", "tubes.fork_blade_guard.od"),
        ("tubes.down_tube.od", "tubes.down_tube.od"),
    ],
)
def test_where_the_file_says_what_a_tube_is(own: str, said: str) -> None:
    assert said_at(own) == said
