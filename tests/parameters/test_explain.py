"""A wrong key, kind, unit, range or word: one fault a value, at its place, with what to write."""

from __future__ import annotations

import pytest

from tests.parameters.faults import GEO, HEAD, TUBE, Row, faults, hold, row_name, tube

SWINGARM = (
    "points: {main_pivot: [0, 60], front: [150, 90], rear: [-50, 100]}, "
    "links: {frame: [main_pivot, front], arm: [main_pivot, rear]}, axle: {on: arm}, "
    "shock: {start: front, end: rear, size: 210x55}"
)

ROWS: list[Row] = [
    # keys
    (
        HEAD + "geometry: {raech: 455}\n",
        "unknown-key",
        "geometry.raech",
        (3, 12),
        "unknown key",
        "did you mean reach?",
    ),
    (GEO + "reach: 455\n", "unknown-key", "reach", (4, 1), "unknown", "geometry.reach"),
    (GEO + "color: red\n", "unknown-key", "color", (4, 1), "unknown", "did you mean colour?"),
    (GEO + "travel: 1\n", "unknown-key", "travel", (4, 1), "unknown", "build.fork.travel"),
    (GEO + "wall: 1\n", "unknown-key", "wall", (4, 1), "unknown", "tubes.<tube>.wall"),
    (
        GEO + "build: {chainring: {number: 32}}\n",
        "unknown-key",
        "build.chainring.number",
        (4, 21),
        "unknown",
        "known here: teeth",
    ),
    (
        HEAD + "geometry: {reach: 455, stack: 620,5}\n",
        "unknown-key",
        "geometry.5",
        (3, 35),
        "unknown",
        "decimal comma",
    ),
    (
        GEO + "suspension: {" + SWINGARM + ", hinge: 3}\n",
        "unknown-key",
        "suspension.hinge",
        (4, 208),
        "unknown key",
        "known here: travel, points, links",
    ),
    (
        GEO + "clearance:\n  rear_tyre_to_frme: 6\n",
        "unknown-key",
        "clearance.rear_tyre_to_frme",
        (5, 3),
        "unknown key",
        "rear_tyre_to_frame",
    ),
    (HEAD, "missing-key", "geometry", None, "missing", "Chart figures"),
    (
        tube("start: {on: seat_tube, angle: 70}, " + TUBE.replace("od: 20, ", "")),
        "missing-key",
        "tubes.brace.od",
        (5, 10),
        "missing",
        "od: 38.1",
    ),
    # wrong kinds
    (HEAD + "geometry: 5\n", "wrong-type", "geometry", (3, 11), "mapping of keys", "reach, stack"),
    (GEO + "build: [1]\n", "wrong-type", "build", (4, 8), "mapping of keys", "fork, headset"),
    (GEO + "tubes: {brace: }\n", "wrong-type", "tubes.brace", (4, 15), "nothing", "start, end"),
    (
        HEAD + "geometry: {reach: long}\n",
        "wrong-type",
        "geometry.reach",
        (3, 19),
        '"long" is no number; a bare number of mm',
        "from 50 to 800 mm; e.g. reach: 455",
    ),
    (HEAD + "geometry: {reach: true}\n", "wrong-type", "geometry.reach", (3, 19), "true", "455"),
    (HEAD + "geometry: {reach: [1]}\n", "wrong-type", "geometry.reach", (3, 19), "a list", "455"),
    (
        HEAD + 'geometry: {reach: "455"}\n',
        "wrong-type",
        "geometry.reach",
        (3, 19),
        "is text",
        "write 455, without quotes",
    ),
    (
        HEAD + "geometry:\n  reach: 455,5\n",
        "wrong-type",
        "geometry.reach",
        (4, 10),
        "decimal comma",
        "write 455.5",
    ),
    (GEO + "notes: 5\n", "wrong-type", "notes", (4, 8), "5 is no text", 'write "5" in quotes'),
    (
        GEO + "build: {chainring: {teeth: 32.5}}\n",
        "wrong-type",
        "build.chainring.teeth",
        (4, 28),
        "no whole number",
        "e.g. teeth: 32",
    ),
    (
        GEO + "build: {chainring: {teeth: many}}\n",
        "wrong-type",
        "build.chainring.teeth",
        (4, 28),
        "a whole number is wanted",
        "from 18 to 70",
    ),
    (
        GEO + "build: {fork: {sag: 25}}\n",
        "wrong-type",
        "build.fork.sag",
        (4, 21),
        "percent",
        "write 25%",
    ),
    (
        GEO + "build: {fork: {sag: 120%}}\n",
        "wrong-type",
        "build.fork.sag",
        (4, 21),
        "percent",
        "0% to 100%",
    ),
    (
        GEO + "build: {rear_wheel: {tyre: [61, 622]}}\n",
        "wrong-type",
        "build.rear_wheel.tyre",
        (4, 28),
        "a list does not fit",
        "61-622, or {width",
    ),
    (
        tube(f"start: {{at: [1, 2]}}, {TUBE}"),
        "wrong-type",
        "tubes.brace.start.at.2",
        (5, 23),
        "missing at the end",
        "x, y, z",
    ),
    (
        tube(f"start: {{at: [1, 2, 3, 4]}}, {TUBE}"),
        "wrong-type",
        "tubes.brace.start.at",
        (5, 23),
        "4 values, at most 3",
        "x, y, z",
    ),
    (
        tube(f"start: {{at: 5}}, {TUBE}"),
        "wrong-type",
        "tubes.brace.start.at",
        (5, 23),
        "no list",
        "brackets",
    ),
    (
        tube(f"start: {{at: [1, ~, 3]}}, {TUBE}"),
        "wrong-type",
        "tubes.brace.start.at.1",
        (5, 27),
        "nothing stands here",
        "x, y, z",
    ),
    (
        tube(f"pair: 1, start: {{at: [1, 2, 3]}}, {TUBE}"),
        "wrong-type",
        "tubes.brace.pair",
        (5, 17),
        "neither true nor false",
        "mirror image",
    ),
    # one branch of a union, chosen by the value's shape
    (
        tube("start: {at: [1, 2, 3]}, " + TUBE.replace("od: 20", "od: {height: 30}")),
        "missing-key",
        "tubes.brace.od.width",
        (5, 39),
        "missing",
        "width: 17",
    ),
    (
        tube(
            "start: {at: [1, 2, 3]}, "
            + TUBE.replace("od: 20", "od: {start: {height: 30, width: 9in}, end: 4}")
        ),
        "wrong-unit",
        "tubes.brace.od.start.width",
        (5, 67),
        "has a unit",
        "write 228.6",
    ),
    (
        tube(
            "start: {at: [1, 2, 3]}, "
            + TUBE.replace("wall: 1", "wall: {butted: [1, 2], lengths: [3]}")
        ),
        "missing-key",
        "tubes.brace.wall.transition",
        (5, 49),
        "missing",
        "transition: 50",
    ),
    (
        tube("start: {at: [1, 2, 3]}, " + TUBE.replace("wall: 1", "wall: sollid")),
        "not-allowed",
        "tubes.brace.wall",
        (5, 49),
        '"sollid"',
        "did you mean solid?",
    ),
    (
        tube("start: {at: [1, 2, 3]}, " + TUBE.replace("wall: 1", "wall: [1]")),
        "wrong-type",
        "tubes.brace.wall",
        (5, 49),
        "a list",
        "a thickness, solid, butts",
    ),
    # units
    (HEAD + "geometry: {reach: 455mm}\n", "wrong-unit", "geometry.reach", (3, 19), "unit", "455"),
    (
        HEAD + "geometry: {reach: 45.5 cm}\n",
        "wrong-unit",
        "geometry.reach",
        (3, 19),
        "unit",
        "write 455",
    ),
    (
        HEAD + "geometry: {reach: 18in}\n",
        "wrong-unit",
        "geometry.reach",
        (3, 19),
        "unit",
        "write 457.2",
    ),
    (
        HEAD + 'geometry: {reach: 18"}\n',
        "wrong-unit",
        "geometry.reach",
        (3, 19),
        "unit",
        "write 457.2",
    ),
    (
        HEAD + "geometry: {head_tube_angle: 65.5deg}\n",
        "wrong-unit",
        "geometry.head_tube_angle",
        (3, 29),
        "a bare number of degrees",
        "write 65.5",
    ),
    (
        HEAD + "geometry: {head_tube_angle: 65.5°}\n",
        "wrong-unit",
        "geometry.head_tube_angle",
        (3, 29),
        "has a unit",
        "write 65.5",
    ),
    (
        HEAD + "geometry: {head_tube_angle: 65mm}\n",
        "wrong-unit",
        "geometry.head_tube_angle",
        (3, 29),
        "degrees",
        "from 45 to 90 degrees",
    ),
    (
        GEO + "build: {rider: {mass_kg: 176 lb}}\n",
        "wrong-unit",
        "build.rider.mass_kg",
        (4, 26),
        "a bare number of kg",
        "write 79.8323",
    ),
    (
        tube("start: {at: [1, 2, 3]}, " + TUBE.replace("od: 20", 'od: 1 1/8"')),
        "wrong-unit",
        "tubes.brace.od",
        (5, 39),
        "fraction",
        "write 28.575",
    ),
    (
        tube("start: {at: [1, 2, 3]}, " + TUBE.replace("od: 20", "od: 1-1/8")),
        "wrong-type",
        "tubes.brace.od",
        (5, 39),
        "fraction",
        "28.575 if inches are meant",
    ),
    # numbers out of reach
    (HEAD + "geometry: {reach: .inf}\n", "not-finite", "geometry.reach", (3, 19), "finite", "455"),
    (HEAD + "geometry: {reach: -.INF}\n", "not-finite", "geometry.reach", (3, 19), "finite", "455"),
    (HEAD + "geometry: {reach: .nan}\n", "not-finite", "geometry.reach", (3, 19), "finite", "455"),
    (HEAD + "geometry: {reach: NaN}\n", "not-finite", "geometry.reach", (3, 19), "finite", "455"),
    (
        HEAD + f"geometry: {{reach: {'9' * 400}}}\n",
        "not-finite",
        "geometry.reach",
        (3, 19),
        "finite",
        "455",
    ),
    (
        HEAD + "geometry: {reach: 1.0e+999}\n",
        "not-finite",
        "geometry.reach",
        (3, 19),
        "finite",
        "455",
    ),
    (
        HEAD + "geometry: {reach: 45.5}\n",
        "out-of-range",
        "geometry.reach",
        (3, 19),
        "45.5 is below 50 mm",
        "in centimetres, write 455",
    ),
    (
        HEAD + "geometry: {head_tube_angle: 91}\n",
        "out-of-range",
        "geometry.head_tube_angle",
        (3, 29),
        "91 is above 90 degrees",
        "from 45 to 90 degrees",
    ),
    (
        tube("start: {at: [1, 2, 3]}, " + TUBE.replace("od: 20", "od: 0")),
        "out-of-range",
        "tubes.brace.od",
        (5, 39),
        "0 is not above 0 mm",
        "up to 150 mm",
    ),
    # values of a few
    (
        GEO + "build: {fork: {axle_to_crown: 531, measured: strait}}\n",
        "not-allowed",
        "build.fork.measured",
        (4, 46),
        '"strait"',
        "did you mean straight? straight: directly",
    ),
    (GEO + "colour: green\n", "not-allowed", "colour", (4, 9), '"green"', '"#4a6b57"'),
    # traps
    (GEO + "notes: off\n", "yaml-trap", "notes", (4, 8), "readers", '"off" in quotes'),
    (
        tube(f"pair: yes, start: {{at: [1, 2, 3]}}, {TUBE}"),
        "yaml-trap",
        "tubes.brace.pair",
        (5, 17),
        "yes is text to some",
        "write true",
    ),
    (
        GEO + f"tubes: {{no: {{start: {{at: [1, 2, 3]}}, {TUBE}}}}}\n",
        "yaml-trap",
        "tubes.no",
        (4, 9),
        "no",
        '"no"',
    ),
    (
        HEAD + "geometry: {reach: 7:35}\n",
        "yaml-trap",
        "geometry.reach",
        (3, 19),
        "sixties",
        "plain",
    ),
    (
        HEAD + "geometry: {reach: 0455}\n",
        "yaml-trap",
        "geometry.reach",
        (3, 19),
        "octal",
        "write 455",
    ),
    (HEAD + "geometry: {reach: 0o707}\n", "yaml-trap", "geometry.reach", (3, 19), "decimal", "455"),
    (
        HEAD + "geometry: {reach: 4_55}\n",
        "yaml-trap",
        "geometry.reach",
        (3, 19),
        "4_55",
        "write 455",
    ),
    (
        HEAD + "geometry: {reach: 4.55e2}\n",
        "yaml-trap",
        "geometry.reach",
        (3, 19),
        "text",
        "write 455",
    ),
    (GEO + "notes: 2026-05-01\n", "yaml-trap", "notes", (4, 8), "date", "quotes"),
    (
        GEO + "colour: #4a6b57\n",
        "yaml-trap",
        "colour",
        (4, 1),
        "is a comment",
        '"#4a6b57" in quotes',
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


def test_a_mistyped_key_is_not_missing_as_well() -> None:
    text = GEO + "tubes: {brace: {start: {at: [1, 2, 3]}, end: {at: [4, 5, 6]}, od: 20, wal: 1}}\n"
    assert [(f.code, f.path) for f in faults(text)] == [("unknown-key", "tubes.brace.wal")]
