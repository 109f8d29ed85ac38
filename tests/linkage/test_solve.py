"""From the file to the Linkage: results, poses, wishes, and every named error with its line."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.errors import Fault, LinkageError, SpecError
from frame3d.linkage import beside, solve_linkage
from tests.linkage.bikes import AXLE, SWINGARM, spec_of

FOUR_LINK = """
points:
  main_pivot: [12, 62]
  rear_pivot: [-405, 14]
  rocker_pivot: [-30, 300]
  rocker_rear: {on: rocker_pivot, forward: -65, above: 22}
  rocker_shock: {on: rocker_pivot, forward: 12, above: 52}
  shock_front: [185, 300]
links:
  frame: [main_pivot, rocker_pivot, shock_front]
  arm: [main_pivot, rear_pivot]
  stay: [rear_pivot, rocker_rear]
  rocker: [rocker_pivot, rocker_rear, rocker_shock]
axle: {on: stay}
shock: {start: shock_front, end: rocker_shock, eye_to_eye: 209.554, stroke: 40}
"""
AT = (-436.0, 36.0)


def test_a_single_pivot_by_hand() -> None:
    """Triangle of pivot and shock ends: the angle at the pivot by the law of cosines."""
    linkage = solve_linkage(spec_of(SWINGARM), AXLE, count=31)
    pivot, front, rear = 10 + 70j, 150 + 240j, -60 + 210j
    r, f = abs(rear - pivot), abs(front - pivot)

    def angle(length: np.ndarray) -> np.ndarray:
        return np.arccos((r**2 + f**2 - length**2) / (2 * r * f))

    start = abs(front - rear)
    turn = angle(start - linkage.stroke) - angle(np.array(start))
    axle = pivot + (complex(*AXLE) - pivot) * np.exp(1j * turn)
    assert linkage.axle[:, 0] == pytest.approx(axle.real, abs=1e-10)
    assert linkage.axle[:, 1] == pytest.approx(axle.imag, abs=1e-10)
    assert linkage.full_travel == pytest.approx(axle[-1].imag - AXLE[1], abs=1e-10)


def test_a_point_on_a_tube() -> None:
    """250 mm along a line from (0, 0) to (300, 400), 30 mm beside it."""
    section = SWINGARM.replace("[150, 240]", "{on: down_tube, from_start: 250, offset: 30}")
    head = (
        "format: 1\nname: T\ngeometry: {reach: 455}\ntubes:\n  down_tube: {od: 40, wall: 1, "
        "start: {on: bottom_bracket}, end: {on: head_tube, angle: 60}}\n"
    )
    asked = []

    def on_tube(
        tube: str, from_start: float | None, from_end: float | None, offset: float
    ) -> tuple[float, float]:
        asked.append((tube, from_start, from_end, offset))
        assert from_start is not None
        return beside((0, 0), (300, 400), from_start, offset)

    spec = spec_of(section.replace("eye_to_eye: 212.132", "eye_to_eye: 186.172"), head)
    linkage = solve_linkage(spec, AXLE, on_tube)
    assert asked[0] == ("down_tube", 250.0, None, 30.0)
    assert linkage.drawn["shock_front"] == pytest.approx((150 - 24, 200 + 18))


def fault(section: str, axle: tuple[float, float] = AXLE) -> Fault:
    with pytest.raises(LinkageError) as caught:
        solve_linkage(spec_of(section), axle)
    assert len(caught.value.faults) == 1
    found = caught.value.faults[0]
    assert found.place is not None
    assert found.place.line is not None
    assert found.hint
    key = found.path.split(".")
    last = key[-1] if not key[-1].isdigit() else key[-2]
    assert last in found.place.text or found.path.endswith(("links", "points", "shock"))
    return found


CASES = {
    "locks by a pivot too many": (
        FOUR_LINK.replace("rocker: [", "brace: [main_pivot, rear_pivot]\n  more: [rear_pivot, "
                          "rocker_pivot]\n  rocker: ["),
        "mechanism", "suspension.links", ("lock at stroke 0 mm", "mobility 0")),
    "a loose link": (
        FOUR_LINK.replace("rocker: [", "tail: [rear_pivot]\n  rocker: ["),
        "mechanism", "suspension.links.tail", ("mobility 2", "tail can still move")),
    "points on each other": (
        FOUR_LINK.replace("{on: rocker_pivot, forward: 12, above: 52}", "{on: rocker_pivot}"),
        "mechanism", "suspension.links.rocker.2", ("lie on each other",)),
    "shock does not fit": (
        FOUR_LINK.replace("209.554", "200"),
        "shock", "suspension.shock.eye_to_eye", ("stroke 0 mm", "209.55 mm apart", "200 mm long")),
    "shock pulls": (
        SWINGARM.replace("[-60, 210]", "[-60, -60]").replace("[150, 240]", "[150, -100]")
        .replace("212.132", "213.776"),
        "shock", "suspension.shock", ("at stroke 0 mm the wheel goes down",)),
    "shock at its shortest": (
        FOUR_LINK.replace("stroke: 40", "stroke: 60"),
        "shock", "suspension.shock", ("at stroke 47.92 mm of 60", "locks, ", "rocker_pivot", "rocker_shock", "in line")),
    "shock not driven": (
        SWINGARM.replace("[150, 240]", "[-115, 320]").replace("212.132", "123.0"),
        "shock", "suspension.shock", ("at stroke 0 mm the shock does not shorten",)),
    "travel not reached": (
        SWINGARM + "travel: 250\n",
        "travel", "suspension.travel", ("at the end of the stroke, 60 mm", "not 250")),
    "travel cannot be found": (
        SWINGARM + "travel: 400\nsolve_for: [{point: shock_rear, coordinate: x, to_meet: travel}]\n",
        "travel", "suspension.solve_for.0", ("does not make travel 400 mm: nearest is",)),
    "wheel turns back": (
        SWINGARM.replace("stroke: 60", "stroke: 100"),
        "mechanism", "suspension.shock", ("the wheel turns back", "mm of travel")),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_faults(name: str) -> None:
    section, code, path, parts = CASES[name]
    axle = AT if "rocker" in section else AXLE
    if name == "wheel turns back":
        axle = (-150.0, 450.0)
    found = fault(section, axle)
    assert (found.code, found.path) == (code, path), found.render()
    for part in parts:
        assert part in found.message, found.render()


@pytest.mark.parametrize(
    ("change", "code", "path", "part"),
    [
        (("arm: [main", "arm: [mian"), "not-allowed", "suspension.links.arm.0", "main_pivot"),
        (("axle: {on: stay}", "axle: {on: frame}"), "not-allowed", "suspension.axle.on", "stay"),
        (("start: shock_front", "start: shock"), "not-allowed", "suspension.shock.start", "shock_f"),
        (("end: rocker_shock", "end: shock_front"), "shock", "suspension.shock.end", "other end"),
        (("rocker_pivot, shock_front]", "rocker_pivot]"), "shock", "suspension.shock.start", "list"),
        (("stroke: 40", "stroke: 140"), "shock", "suspension.shock.stroke", "less than"),
        (("eye_to_eye: 209.554, stroke: 40", "size: 210x56"), "unknown-size",
         "suspension.shock.size", "210x55"),
        (("[-30, 300]", "{on: rocker_rear}"), "junction-cycle", "suspension.points.rocker_pivot",
         "[x, z]"),
        (("frame: [", "frames: ["), "missing-key", "suspension.links.frame", "main_pivot"),
        (("[185, 300]", "{on: down_tube, from_start: 3}"), "not-allowed",
         "suspension.points.shock_front.on", "known here"),
        (("[185, 300]", "{on: nothing, above: 3}"), "not-allowed",
         "suspension.points.shock_front.on", "known here"),
        (("[185, 300]", "{on: rocker_pivot, above: 3, offset: 4}"), "inconsistent",
         "suspension.points.shock_front.above", "from another point"),
        (("shock_front: [185, 300]", "shock_front: [185, 300]\n  idle: [1, 2]"), "inconsistent",
         "suspension.points.idle", "take it out"),
        (("axle:", "spring: {coil: {}}\naxle:"), "missing-key",
         "suspension.spring.coil.rate_n_mm", "sag"),
        (("axle:", "spring: {coil: {rate_n_mm: 3, rate_lb_in: 3}}\naxle:"), "inconsistent",
         "suspension.spring.coil.rate_lb_in", "keep one"),
        (("axle:", "spring: {air: {piston: 42, volume_cm3: 40, pressure_bar: 9}}\naxle:"),
         "inconsistent", "suspension.spring.air.volume_cm3", "more than"),
        (("axle:", "spring: {table: [[0, 1], [20, 30]]}\naxle:"), "inconsistent",
         "suspension.spring.table.1", "go on to 40"),
        (("axle:", "spring: {table: [[0, 1], [20, 30], [20, 31]]}\naxle:"), "inconsistent",
         "suspension.spring.table.2", "each stroke once"),
        (("axle:", "solve_for: [{point: main_pivot, coordinate: x, to_meet: travel}]\naxle:"),
         "missing-key", "suspension.travel", "travel: 140"),
        (("axle:", "solve_for: [{point: rocker_shock, coordinate: x, to_meet: eye_to_eye}]\naxle:"),
         "not-allowed", "suspension.solve_for.0.coordinate", "forward and above"),
    ],
)  # fmt: skip
def test_what_the_file_may_not_say(
    change: tuple[str, str], code: str, path: str, part: str
) -> None:
    assert change[0] in FOUR_LINK
    with pytest.raises(SpecError) as caught:
        spec_of(FOUR_LINK.replace(*change))
    found = {(f.code, f.path): f for f in caught.value.faults}
    assert (code, path) in found, [f.render() for f in caught.value.faults]
    assert part in found[code, path].hint
    place = found[code, path].place
    assert place is not None
    assert place.line is not None


def test_an_axle_whose_link_shifts_without_turning() -> None:
    """Two level links of one length: the carrier goes straight up at first, and along a circle of theirs."""
    section = """
points:
  low: [0, 60]
  high: [0, 260]
  low_rear: [-300, 60]
  high_rear: [-300, 260]
  shock_front: [150, 350]
  shock_rear: [-60, 60]
links:
  frame: [low, high, shock_front]
  swingarm: [low, low_rear, shock_rear]
  stay: [high, high_rear]
  carrier: [low_rear, high_rear]
axle: {on: carrier}
shock: {start: shock_front, end: shock_rear, eye_to_eye: 358.05, stroke: 20}
"""
    linkage = solve_linkage(spec_of(section), AXLE)
    assert linkage.motion.turn("carrier") == pytest.approx(np.zeros(101), abs=1e-9)
    around = linkage.axle @ (1, 1j) - (complex(*AXLE) + 300)
    assert np.abs(around) == pytest.approx(np.full(101, 300.0))
    assert linkage.full_travel > 50


def test_a_link_joined_to_nothing() -> None:
    with pytest.raises(SpecError) as caught:
        spec_of(FOUR_LINK.replace("  stay: [", "  alone: [bottom_bracket]\n  stay: ["))
    assert [(f.code, f.path) for f in caught.value.faults] == [
        ("mechanism", "suspension.links.alone")
    ]
