"""Every fault of reading: its code, its path, its line, and a way out that helps."""

from __future__ import annotations

from pathlib import Path

import pytest

import frame3d
from frame3d.bike.solve import solve
from frame3d.errors import CODES, Fault, FrameError, SpecError
from frame3d.parameters import load, loads

CONFIGS = Path(frame3d.__file__).parent.parent / "configs"

HEAD = "format: 1\nname: Test\n"
GEO = HEAD + "geometry: {reach: 455}\n"
TUBE = "od: 20, wall: 1, end: {on: head_tube, angle: 70}"
SWINGARM = (
    "points: {main_pivot: [0, 60], front: [150, 90], rear: [-50, 100]}, "
    "links: {frame: [main_pivot, front], arm: [main_pivot, rear]}, axle: {on: arm}, "
    "shock: {start: front, end: rear, size: 210x55}"
)


def faults(text: str, sets: tuple[str, ...] = ()) -> tuple[Fault, ...]:
    """All faults of a text; fails where there is none."""
    with pytest.raises(SpecError) as caught:
        loads(text, "bike.yaml", sets)
    return tuple(caught.value.faults)


def tube(body: str) -> str:
    return GEO + "tubes:\n  brace: {" + body + "}\n"


# text, code, path, (line, column) or None for the whole file, part of the message, part of the hint
TABLE = [
    # the text itself
    ("", "missing-key", "", None, "empty", "frame3d new"),
    ("# only a note\n", "missing-key", "", None, "empty", "frame3d new"),
    ("- 1\n- 2\n", "wrong-type", "", (1, 1), "a list", "format: 1"),
    ("just words\n", "wrong-type", "", (1, 1), "plain text", "format: 1"),
    (GEO + "x: \x01\n", "file-encoding", "", (4, 4), "U+0001", "UTF-8"),
    (GEO + "x: a\x00b\n", "file-encoding", "", (4, 5), "U+0000", "UTF-8"),
    (HEAD + "geometry:\n\treach: 455\n", "yaml-syntax", "", (4, 1), "tab", "spaces"),
    (HEAD + "notes: a: b\n", "yaml-syntax", "", (3, 9), "': '", "quotes"),
    (HEAD + "notes: 'open\n", "yaml-syntax", "", (3, 8), "not closed", "close the quote"),
    (HEAD + 'notes: "a\\q"\n', "yaml-syntax", "", (3, 11), "escape", "single quotes"),
    (HEAD + 'notes: "\\UFFFFFFFF"\n', "yaml-syntax", "", (3, 1), "not well-formed", "escape"),
    (HEAD + "geometry: {reach: 1\n", "yaml-syntax", "", (3, 11), "not closed", "{key: value"),
    (HEAD + "notes: @home\n", "yaml-syntax", "", (3, 8), "cannot start", "quotes"),
    (HEAD + "geometry:\n  reach: 1\n stack: 2\n", "yaml-syntax", "", (5, 2), "indented", "alike"),
    (HEAD + "geometry\n", "yaml-syntax", "", (3, 1), "colon|': '", "key: value"),
    (GEO + "---\nformat: 1\n", "yaml-syntax", "", (4, 1), "second document", "one bike a file"),
    ("%YAML 1.1\n---\n" + GEO, "yaml-syntax", "", (2, 1), "YAML 1.2", "%YAML"),
    (GEO + "notes: " + "[" * 40 + "]" * 40, "yaml-depth", "", (4, 31), "24 levels", "bracket"),
    (GEO + "notes: !!python/name:os.system x\n", "yaml-tag", "notes", (4, 8), "!!python", "take"),
    (GEO + "notes: !mine x\n", "yaml-tag", "notes", (4, 8), "!mine", "take the tag out"),
    (HEAD + "geometry: !!set {reach: 455}\n", "yaml-tag", "geometry", (3, 11), "!!set", "take"),
    # aliases
    (HEAD + "geometry: &g {reach: *g}\n", "yaml-alias", "", (3, 22), "itself", "write"),
    (HEAD + "geometry: {reach: *r}\n", "yaml-alias", "", (3, 19), "stands for nothing", "none"),
    (HEAD + "geometry: {<<: 5}\n", "wrong-type", "geometry.<<", (3, 12), "mapping", "<<: *anchor"),
    # keys
    (GEO + "name: Again\n", "duplicate-key", "name", (4, 1), "twice here, first on line 2", "keep"),
    (
        HEAD + "geometry: {reach: 1, reach: 2}\n",
        "duplicate-key",
        "geometry.reach",
        (3, 22),
        "twice",
        "keep one",
    ),
    (
        GEO + "? [1, 2]\n: 3\n",
        "wrong-type",
        "",
        (4, 3),
        "key must be plain text",
        "key: value",
    ),
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
    ("name: Test\ngeometry: {}\n", "missing-key", "format", None, "missing", "allowed: 1"),
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
        "a thickness, solid, or butts",
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
        GEO.replace("format: 1", "format: 2"),
        "not-allowed",
        "format",
        (1, 9),
        "format 1, not 2",
        "format: 1",
    ),
    (
        GEO.replace("format: 1", "format: true"),
        "not-allowed",
        "format",
        (1, 9),
        "true and false",
        "format: 1",
    ),
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
    # sizes
    (GEO + "material: 4310\n", "unknown-size", "material", (4, 11), "4310", "nearest: 4130"),
    (
        GEO + "build: {rear_wheel: {tyre: 61-621}}\n",
        "unknown-size",
        "build.rear_wheel.tyre",
        (4, 28),
        "621",
        "61-622",
    ),
    (
        GEO + "build: {rear_wheel: {tyre: 29x2.4}}\n",
        "unknown-size",
        "build.rear_wheel.tyre",
        (4, 28),
        "ETRTO",
        "commonly 61-622",
    ),
    (
        GEO + "build: {rear_wheel: {hub: 12x148}}\n",
        "unknown-size",
        "build.rear_wheel.hub",
        (4, 27),
        "12x148",
        "write 148x12",
    ),
    (
        GEO + "build: {bottom_bracket: {shell: threaded73}}\n",
        "unknown-size",
        "build.bottom_bracket.shell",
        (4, 33),
        "threaded73",
        "nearest: threaded-73",
    ),
    (
        GEO + "build: {headset: {upper: ZS45/28.6}}\n",
        "unknown-size",
        "build.headset.upper",
        (4, 26),
        "ZS45",
        "ZS44",
    ),
    # names
    (GEO.replace("Test", ".."), "bad-name", "name", (2, 1), "dot", "Trail hardtail 29"),
    (GEO.replace("Test", "../a"), "bad-name", "name", (2, 1), "dot", "letters"),
    (GEO.replace("Test", ".hidden"), "bad-name", "name", (2, 1), "dot", "letters"),
    (GEO.replace("Test", '"a\\u0007b"'), "bad-name", "name", (2, 1), "U+0007", "letters"),
    (GEO.replace("Test", '"a\\u202eb"'), "bad-name", "name", (2, 1), "U+202E", "letters"),
    (GEO.replace("Test", '" "'), "bad-name", "name", (2, 1), "empty", "letters"),
    (GEO.replace("Test", "nul.bike"), "bad-name", "name", (2, 1), "device", "letters"),
    (GEO.replace("Test", "x" * 81), "bad-name", "name", (2, 1), "81 characters", "letters"),
    (GEO + 'notes: "a\\0b"\n', "bad-name", "notes", (4, 1), "U+0000", "plain text"),
    (
        GEO + f"tubes: {{Down Tube: {{start: {{at: [1, 2, 3]}}, {TUBE}}}}}\n",
        "bad-name",
        "tubes.Down Tube",
        (4, 9),
        "not a name",
        "e.g. down_tube",
    ),
    (
        GEO + f"tubes: {{rear_axle: {{start: {{at: [1, 2, 3]}}, {TUBE}}}}}\n",
        "bad-name",
        "tubes.rear_axle",
        (4, 9),
        "names a node",
        "brace",
    ),
    # values of one part that do not go together
    (
        GEO + "build: {fork: {axle_to_crown: 531}}\n",
        "missing-key",
        "build.fork.measured",
        (4, 15),
        "in two ways",
        "along_axis",
    ),
    (
        GEO + "build: {fork: {measured: straight}}\n",
        "inconsistent",
        "build.fork.measured",
        (4, 26),
        "not given",
        "leave measured out",
    ),
    (
        GEO + "build: {fork: {sag: 20%}}\n",
        "inconsistent",
        "build.fork.sag",
        (4, 21),
        "without travel",
        "travel",
    ),
    (
        GEO + "build: {headset: {upper: ZS44/30}}\n",
        "inconsistent",
        "build.headset.upper",
        (4, 26),
        "30 is a crown seat",
        "28.6",
    ),
    (
        GEO + "build: {bottom_bracket: {shell: t47-73, od: 46}}\n",
        "section",
        "build.bottom_bracket.od",
        (4, 45),
        "no metal",
        "50.8",
    ),
    (
        tube(f"start: {{on: seat_tube, below_top: 4, angle: 70}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.angle",
        (5, 55),
        "already placed by below_top",
        "keep one of below_top, angle",
    ),
    (
        tube(f"start: {{on: seat_tube, at: [1, 2, 3]}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.at",
        (5, 38),
        "already sits on seat_tube",
        "keep either on",
    ),
    (
        tube(f"start: {{y: 3}}, {TUBE}"),
        "missing-key",
        "tubes.brace.start.on",
        (5, 18),
        "neither on nor at",
        "at: [x, y, z]",
    ),
    (
        tube(f"start: {{at: [1, 2, 3], side: left}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.side",
        (5, 40),
        "free point",
        "x, y, z",
    ),
    (
        tube(f"start: {{on: rear_axle, angle: 80}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.angle",
        (5, 41),
        "nothing on rear_axle",
        "forward, above",
    ),
    (
        tube(f"start: {{on: seat_tube, angle: 80, stop_short: 4}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.stop_short",
        (5, 57),
        "nothing on the tube seat_tube",
        "below_top",
    ),
    (
        tube(f"start: {{on: seat_tube}}, {TUBE}"),
        "missing-key",
        "tubes.brace.start",
        (5, 18),
        "where along seat_tube",
        "below_top",
    ),
    (
        tube(f"start: {{above_bottom: 50}}, {TUBE}"),
        "missing-key",
        "tubes.brace.start.on",
        (5, 18),
        "above what",
        "the tube that it sits on",
    ),
    (
        tube(TUBE),
        "missing-key",
        "tubes.brace.start",
        (5, 10),
        "only head_tube and seat_tube",
        "start: {on",
    ),
    (
        GEO + "tubes: {head_tube: {od: 50, wall: 2, pair: true}}\n",
        "inconsistent",
        "tubes.head_tube.pair",
        (4, 44),
        "from the chart",
        "leave it out",
    ),
    (
        GEO + "tubes: {seat_tube: {od: 35, wall: 2, end: {on: head_tube, angle: 80}}}\n",
        "inconsistent",
        "tubes.seat_tube.end",
        (4, 43),
        "from the chart",
        "leave it out",
    ),
    (
        GEO + "tubes: {seat_tube: {od: 35, wall: 2, start: {at: [1, 2, 3]}}}\n",
        "inconsistent",
        "tubes.seat_tube.start",
        (4, 45),
        "from the chart",
        "{on: down_tube}",
    ),
    (
        GEO + "tubes: {head_tube: {od: {start: 60, end: 40}, wall: 20}}\n",
        "section",
        "tubes.head_tube.wall",
        (4, 53),
        "no bore in a tube of 40 mm",
        "less than 20 mm, or wall: solid",
    ),
    (
        GEO
        + "tubes: {head_tube: {od: 30, wall: {butted: [1, 16], lengths: [3], transition: 4}}}\n",
        "section",
        "tubes.head_tube.wall.butted.1",
        (4, 48),
        "no bore",
        "less than 15 mm",
    ),
    (
        GEO
        + "tubes: {head_tube: {od: 30, wall: {butted: [1, 2], lengths: [3, 4], transition: 4}}}\n",
        "inconsistent",
        "tubes.head_tube.wall.lengths",
        (4, 61),
        "2 walls need 1 butt length, there are 2",
        "[start butt]",
    ),
    (
        tube(
            "bends: [{along: 9, radius: 4}, {along: 8, radius: 4}], "
            f"start: {{at: [1, 2, 3]}}, {TUBE}"
        ),
        "inconsistent",
        "tubes.brace.bends.1.along",
        (5, 50),
        "comes before the bend before it",
        "order",
    ),
    (
        GEO + "build: {fork: {axle_to_crown: 300, measured: straight, travel: 300}}\n",
        "inconsistent",
        "build.fork.travel",
        (4, 64),
        "longer than the fork",
        "compresses",
    ),
    (
        GEO + "build: {front_wheel: {tyre: {width: 150, diameter: 290}}}\n",
        "inconsistent",
        "build.front_wheel.tyre.width",
        (4, 37),
        "no rim",
        "the whole wheel",
    ),
    (
        GEO + "build: {headset: {upper: {depth: 20}}}\n",
        "missing-key",
        "build.headset.upper.bore",
        (4, 26),
        "missing",
        "bore: 44",
    ),
    (
        GEO + "build: {bottom_bracket: {shell: {width: 73, od: 40, bore: 41}}}\n",
        "section",
        "build.bottom_bracket.shell.bore",
        (4, 59),
        "no metal",
        "less than 40",
    ),
    (
        GEO + "build: {bottom_bracket: {shell: {width: 73, od: 40, bore: 34}, od: 41}}\n",
        "inconsistent",
        "build.bottom_bracket.od",
        (4, 68),
        "stands in shell",
        "keep the one",
    ),
    (
        GEO + "build: {rider: {mass_kg: 80, height: 1000, inseam: 1100}}\n",
        "inconsistent",
        "build.rider.inseam",
        (4, 52),
        "longer than the rider",
        "barefoot",
    ),
    (
        GEO + "build: {rear_wheel: {hub: wide}}\n",
        "unknown-size",
        "build.rear_wheel.hub",
        (4, 27),
        "wide",
        "148x12",
    ),
    (
        tube(f"start: {{on: rear_axle, side: left}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.side",
        (5, 40),
        "nothing on rear_axle",
        "one only",
    ),
    (
        tube(f"start: {{on: rear_dropout, side: left, cut: mitre}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.cut",
        (5, 54),
        "no round to mitre to",
        "square",
    ),
    (
        tube(f"start: {{at: [1, 2, 3], above: 4}}, {TUBE}"),
        "inconsistent",
        "tubes.brace.start.above",
        (5, 41),
        "free point",
        "x, y, z",
    ),
    (
        GEO + "tubes: {head_tube: {od: 30, wall: {butted: [1], lengths: [3], transition: 4}}}\n",
        "wrong-type",
        "tubes.head_tube.wall.butted",
        (4, 44),
        "at least 2 values",
        "[0.9, 0.6, 0.9]",
    ),
    (
        GEO + "tubes: {head_tube: {od: 30, wall: 1, bends: 5}}\n",
        "wrong-type",
        "tubes.head_tube.bends",
        (4, 45),
        "no list",
        "brackets",
    ),
    (
        GEO + "tubes: {head_tube: {od: 30, wall: 1, bends: [5]}}\n",
        "wrong-type",
        "tubes.head_tube.bends.0",
        (4, 46),
        "mapping of keys",
        "along, y, rise, radius",
    ),
]


@pytest.mark.parametrize(
    ("text", "code", "path", "spot", "message", "hint"),
    TABLE,
    ids=[f"{row[1]}-{row[2] or i}" for i, row in enumerate(TABLE)],
)
def test_fault(
    text: str, code: str, path: str, spot: tuple[int, int] | None, message: str, hint: str
) -> None:
    found = faults(text)
    fault = next((f for f in found if (f.code, f.path) == (code, path)), None)
    assert fault is not None, [f.render() for f in found]
    assert any(part in fault.message for part in message.split("|")), fault.message
    assert hint
    assert hint in fault.hint
    assert fault.place is not None
    assert fault.place.source == "bike.yaml"
    shown = fault.render()
    assert shown.endswith(fault.hint)
    if spot is None:
        assert fault.place.line is None
        assert shown.startswith("bike.yaml: ")
    else:
        assert (fault.place.line, fault.place.column) == spot
        assert shown.startswith(f"bike.yaml:{spot[0]}:{spot[1]}: ")
        line = text.splitlines()[spot[0] - 1].replace("\t", " ")
        if len(line) < 200 and line.isprintable():
            assert f"| {line}\n" in shown
            caret = shown.splitlines()[2].index("^") - len("     1 | ")
            assert caret == spot[1] - 1


def test_the_table_and_the_files_below_cover_every_code_of_reading() -> None:
    reading = list(CODES)[: list(CODES).index("override") + 1]
    here = {row[1] for row in TABLE} | {"file-missing", "file-too-large", "override"}
    assert here >= set(reading)


def test_one_fault_a_value() -> None:
    """Each of the table's texts but the combined ones has one fault, not one a union branch."""
    combined = {"geometry.5", "tubes.no", "build.chainring.number"}
    for text, _, path, *_ in TABLE:
        if path not in combined and text.count("\n") > 2 and "? [" not in text:
            assert len({f.path for f in faults(text)}) == 1, [f.render() for f in faults(text)]


def test_all_faults_of_a_file_at_once_in_its_order() -> None:
    text = """\
format: 1
name: ../b
geometry:
  reach: 455mm
  raech: 3
  stack: 0600
  reach: 460
build:
  fork: {axle_to_crown: 531}
  rear_wheel: {tyre: 61-621, hub: 148x21}
tubes:
  brace:
    od: {start: 30}
    wall: true
    end: {on: head_tube}
  strut:
    od: 20
    wall: 12
    start: {on: seat_tube, angle: 60}
    end: {on: head_tube, angle: 60}
  stay: {od: 20, wall: 1}
"""
    found = [(f.place.line if f.place else None, f.code, f.path) for f in faults(text)]
    assert found == [
        (2, "bad-name", "name"),
        (5, "unknown-key", "geometry.raech"),
        (6, "yaml-trap", "geometry.stack"),
        (7, "duplicate-key", "geometry.reach"),
        (9, "missing-key", "build.fork.measured"),
        (10, "unknown-size", "build.rear_wheel.tyre"),
        (10, "unknown-size", "build.rear_wheel.hub"),
        (13, "missing-key", "tubes.brace.od.end"),
        (14, "wrong-type", "tubes.brace.wall"),
        (18, "section", "tubes.strut.wall"),
        (21, "missing-key", "tubes.stay.start"),
        (21, "missing-key", "tubes.stay.end"),
    ]


def test_a_mistyped_key_is_not_missing_as_well() -> None:
    text = GEO + "tubes: {brace: {start: {at: [1, 2, 3]}, end: {at: [4, 5, 6]}, od: 20, wal: 1}}\n"
    assert [(f.code, f.path) for f in faults(text)] == [("unknown-key", "tubes.brace.wal")]


@pytest.mark.parametrize(
    ("text", "line", "column"),
    [
        ("format: 1\nname: X\ngeometry:\n  reach 455\n  stack: 600\n", 4, 3),
        ("format: 1\nname: X\ngeometry:\n  reach 455   # long\n\n  # a note\n  stack: 600\n", 4, 3),
        ("format: 1\nname: X\ngeometry:\n  stack: 600\n  reach 455\n  bb_drop: 60\n", 5, 3),
        ("format: 1\nname: X\nbuild:\n  fork\n    travel: 130\n", 4, 3),
        ("format: 1\nname: X\nbuild:\n  fork:\n    travel 130\n    offset: 44\n", 5, 5),
    ],
)
def test_a_missing_colon_is_told_where_it_is_missing(text: str, line: int, column: int) -> None:
    with pytest.raises(SpecError) as caught:
        loads(text)
    (fault,) = caught.value.faults
    assert fault.code == "yaml-syntax"
    assert "a key without its ': ' and value" in fault.message
    assert fault.place is not None
    assert (fault.place.line, fault.place.column) == (line, column)


@pytest.mark.parametrize(
    ("text", "line"), [("name: a: b\n", 1), ("format: 1\nname: X\n  geometry: 3\n", 3)]
)
def test_a_second_colon_stays_what_it_is(text: str, line: int) -> None:
    with pytest.raises(SpecError) as caught:
        loads(text)
    (fault,) = caught.value.faults
    assert "a second ': '" in fault.message
    assert fault.place is not None
    assert fault.place.line == line


def test_a_misspelt_pivot_is_asked_after() -> None:
    """Not: where along `main_pivott` the end sits."""
    text = (CONFIGS / "trail_full_140.yaml").read_text(encoding="utf-8")
    with pytest.raises(FrameError) as caught:
        solve(loads(text.replace("start: {on: main_pivot,", "start: {on: main_pivott,", 1)))
    (fault,) = caught.value.faults
    assert fault.code == "junction-target"
    assert "did you mean main_pivot?" in fault.hint


def test_bends_of_a_seat_tube_are_refused_with_a_way_out() -> None:
    bends = "tubes.seat_tube.bends=[{along: 100, rise: 5, radius: 100}]"
    with pytest.raises(SpecError) as caught:
        load(CONFIGS / "trail_hardtail_29.yaml", sets=(bends,))
    (fault,) = caught.value.faults
    assert "make it two tubes" in fault.hint
    assert "end: {on: seat_tube, from_start: 0, cut: square}" in fault.hint
