"""The rear suspension's section: each thing that cannot be, at its line, with a way out that is taken."""

from __future__ import annotations

import pytest

from frame3d.parameters import loads
from frame3d.parameters.models.suspension import PointSpec, SuspensionSpec, coordinates
from tests.parameters.faults import HEAD, at, faults

TEXT = (
    HEAD
    + """\
geometry: {}
tubes:
  down_tube: {od: 38, wall: 1, start: {on: bottom_bracket}, end: {on: head_tube, angle: 60}}
  strut: {pair: true, od: 20, wall: 1, start: {at: [0, 0, 0]}, end: {at: [9, 9, 9]}}
  stay: {link: arm, od: 20, wall: 1, start: {on: main}, end: {on: hind}}
suspension:
  travel: 140
  points:
    main: [0, 60]
    front: [150, 90]
    hind: [-50, 100]
    eye: {on: main, forward: 9, above: 7}
  links:
    frame: [main, front]
    arm: [main, hind, eye]
  axle: {on: arm}
  shock: {start: front, end: hind, size: 210x55}
  spring: {coil: {rate_n_mm: 80}}
  solve_for: [{point: hind, coordinate: x, to_meet: travel}]
"""
)
POINTS, HIND = "    main: [0, 60]\n", "    hind: [-50, 100]\n"
EYE = "    eye: {on: main, forward: 9, above: 7}\n"
AIR = "{air: {piston: 40, volume_cm3: 60}}"  # π/4 · 40² · 55 mm = 69.1 cm³ swept
CASES = {
    "no front frame": (
        ("    frame: [main, front]\n", "    rocker: [main, front]\n"),
        ("missing-key", "links.frame", "links:\n", "pivots on the front frame", "[main_pivot"),
    ),
    "nothing moves": (
        ("    arm: [main, hind, eye]\n", ""),
        ("mechanism", "links", "links:\n", "nothing moves", "swingarm"),
    ),
    "a link like a part": (
        ("    arm: [", "    fork: [main]\n    arm: ["),
        ("bad-name", "links.fork", "fork: ", "fixed to something of this name", "rocker"),
    ),
    "a point twice": (
        ("[main, hind, eye]", "[main, hind, eye, hind]"),
        ("inconsistent", "links.arm.3", "hind]", "hind stands twice", "once"),
    ),
    "a misspelt point": (
        ("[main, hind, eye]", "[main, hind, eye, hint]"),
        ("not-allowed", "links.arm.3", "hint]", "no point hint", "did you mean hind?"),
    ),
    "a link on its own": (
        ("    arm: [", "    far: [eye2]\n    arm: ["),
        ("mechanism", "links.far", "[eye2]", "no pivot joins it", "two links name"),
    ),
    "no such carrier": (
        ("axle: {on: arm}", "axle: {on: frame}"),
        ("not-allowed", "axle.on", "frame}\n  shock", "no moving link frame", "known here: arm"),
    ),
    "a point of the bike's own": (
        (EYE, "    eye: {on: rear_axle, above: 7}\n    rear_axle: [-430, 60]\n"),
        ("bad-name", "points.rear_axle", "rear_axle: ", "has this point already", "as it is"),
    ),
    "a point that nothing names": (
        (HIND, HIND + "    spare: [1, 2]\n"),
        ("inconsistent", "points.spare", "[1, 2]", "no link, and no other point", "take it out"),
    ),
    "a circle of points": (
        (POINTS, "    main: {on: eye, forward: 3}\n"),
        ("junction-cycle", "points.main", "{on: eye", "main -> eye -> main", "[x, z]"),
    ),
    "a shock within one link": (
        ("start: front, end", "start: main, end"),
        ("shock", "shock", "{start: main", "both ends are on arm", "two bodies"),
    ),
    "a shock that nothing holds": (
        ("[main, front]", "[main]"),
        ("shock", "shock.start", "front, end", "on no link", "links.frame: [..., front]"),
    ),
    "a shock at no point": (
        ("start: front, end", "start: frond, end"),
        ("not-allowed", "shock.start", "frond", "no point frond", "did you mean front?"),
    ),
    "a coil of no rate": (
        ("coil: {rate_n_mm: 80}", "coil: {}"),
        ("missing-key", "spring.coil.rate_n_mm", "{}}\n  solve", "without a sag", "suspension.sag"),
    ),
    "an air spring of no pressure": (
        ("{coil: {rate_n_mm: 80}}", AIR.replace("60}", "160}")),
        ("missing-key", "spring.air.pressure_bar", "{piston", "settles the pressure", "sag: 30%"),
    ),
    "an air spring that is swept empty": (
        ("{coil: {rate_n_mm: 80}}", AIR.replace("60}", "69, pressure_bar: 9}")),
        ("inconsistent", "spring.air.volume_cm3", "69, p", "sweeps 69.12", "more than 69.12"),
    ),
    "a table that ends early": (
        ("{coil: {rate_n_mm: 80}}", "{table: [[0, 0], [54, 900]]}"),
        ("inconsistent", "spring.table.1", "[54", "ends at 54 mm, before the stroke of 55", "to 55"),
    ),
    "two coordinates for one wish": (
        ("travel}]", "travel}, {point: main, coordinate: z, to_meet: travel}]"),
        ("inconsistent", "solve_for.1.to_meet", "travel}]", "travel is met by another", "each wish"),
    ),
    "one coordinate for two wishes": (
        ("travel}]", "travel}, {point: hind, coordinate: x, to_meet: eye_to_eye}]"),
        ("inconsistent", "solve_for.1.coordinate", "x, to_meet: eye", "solved for already", "another"),
    ),
    "a travel that is wanted and not said": (
        ("  travel: 140\n", ""),
        ("missing-key", "travel", "suspension:\n", "solve_for.0 is to meet it", "travel: 140"),
    ),
    "a wish of no point": (
        ("{point: hind,", "{point: behind,"),
        ("not-allowed", "solve_for.0.point", "behind", "no point behind", "did you mean hind?"),
    ),
    "a coordinate that the point has not": (
        ("hind, coordinate: x", "eye, coordinate: x"),
        ("not-allowed", "solve_for.0.coordinate", "x, to", "eye is not given by x", "forward and above"),
    ),
    "a point with a tube's name": (
        (EYE, "    eye: {on: strut, above: 7}\n    strut: {on: main, above: 5}\n"),
        ("bad-name", "points.strut", "strut: {on: main", "a tube has this name", "another name"),
    ),
    "a point on a tube that moves": (
        (POINTS, "    main: {on: stay, from_start: 30}\n"),
        ("not-allowed", "points.main.on", "stay, from", "stay moves with arm", "[x, z]"),
    ),
    "a point on one of a pair": (
        (POINTS, "    main: {on: strut, from_start: 30}\n"),
        ("not-allowed", "points.main.on", "strut, from", "no single tube strut", "down_tube"),
    ),
    "a point somewhere on a tube": (
        (POINTS, "    main: {on: down_tube}\n"),
        ("missing-key", "points.main.from_start", "{on: down_tube}", "where along down_tube", "from_end"),
    ),
    "a point on nothing": (
        (POINTS, "    main: {on: dawn_tube, above: 3}\n"),
        ("not-allowed", "points.main.on", "dawn", "no point or tube dawn_tube", "did you mean down_tube"),
    ),
    "a point placed twice along its tube": (
        (POINTS, "    main: {on: down_tube, from_start: 3, from_end: 400}\n"),
        ("inconsistent", "points.main.from_end", "400", "already placed by from_start", "keep one"),
    ),
    "a point beside a tube and ahead of it": (
        (POINTS, "    main: {on: down_tube, from_start: 3, forward: 8}\n"),
        ("inconsistent", "points.main.forward", "8}", "says nothing together", "offset"),
    ),
    "a point beside a tube and nowhere along it": (
        (POINTS, "    main: {on: down_tube, offset: 3}\n"),
        ("missing-key", "points.main.from_start", "{on: down_tube", "where along down_tube", "from_end"),
    ),
    "a point that is no place": (
        (POINTS, "    main: here\n"),
        ("wrong-type", "points.main", "here", "does not fit here", "[x, z], or {on: down_tube"),
    ),
}  # fmt: skip
MORE = {
    "nothing moves": {"axle.on", "shock.end", "points.eye"},
    "a link on its own": {"links.far.0"},
    "a shock that nothing holds": {"points.front"},
}
"""What a case has beside its fault: its mistake leads to."""


def test_without_a_mistake_it_is_read() -> None:
    suspension = loads(TEXT).suspension
    assert suspension is not None
    assert suspension.bodies_of("main") == ("frame", "arm")
    assert suspension.bodies_of("rear_axle") == ("arm",)  # which no link names
    assert suspension.bodies_of("front") == ("frame",)


@pytest.mark.parametrize("name", CASES)
def test_faults(name: str) -> None:
    (old, new), (code, path, part, message, hint) = CASES[name]
    assert TEXT.count(old) == 1, old
    text = TEXT.replace(old, new)
    found = {f.path.removeprefix("suspension."): f for f in faults(text)}
    assert set(found) - MORE.get(name, set()) == {path}, [f.render() for f in found.values()]
    fault = found[path]
    assert fault.code == code
    assert message in fault.message
    assert hint in fault.hint
    assert fault.place is not None
    assert (fault.place.line, fault.place.column) == at(text, part)


def test_the_caliper_moves_with_the_axle_unless_it_is_said_otherwise() -> None:
    for text, link in ((TEXT, "arm"), (TEXT + "  brake: {on: arm2}\n", "arm2")):
        suspension = loads(text.replace("    arm: [", "    arm2: [main]\n    arm: [")).suspension
        assert isinstance(suspension, SuspensionSpec)
        assert suspension.brake_link == link


@pytest.mark.parametrize(
    ("place", "names"),
    [
        ((1.0, 2.0), ("x", "z")),
        (PointSpec(on="a", forward=3), ("forward", "above")),
        (PointSpec(on="a"), ("forward", "above")),
        (PointSpec(on="a", from_start=3), ("from_start", "offset")),
        (PointSpec(on="a", from_end=3, offset=0), ("from_end", "offset")),
    ],
)
def test_a_point_has_two_coordinates(place: object, names: tuple[str, str]) -> None:
    assert coordinates(place) == names
