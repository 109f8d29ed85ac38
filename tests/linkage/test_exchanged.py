"""Exchanged points and shocks on made links: what moves, what stays, and every named error."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest

from frame3d.errors import Fault, LinkageError
from frame3d.linkage import Exchanged, Linkage, exchange_linkage, solve_linkage
from frame3d.linkage.points import no_tubes
from frame3d.parameters.reading.change import changed
from tests.linkage.bikes import AXLE, SWINGARM, spec_of

FOUR_LINK = """
points:
  main_pivot: [12, 62]
  rear_pivot: [-405, 14]
  rocker_pivot: [-30, 300]
  rocker_rear: {on: rocker_pivot, forward: -65, above: 22}
  rocker_shock: {on: rocker_pivot, forward: 12, above: 50}
  shock_front: [185, 300]
  datum: [0, 100]
  bracket: {on: datum, forward: 10, above: 40}
links:
  frame: [main_pivot, rocker_pivot, shock_front, bracket]
  arm: [main_pivot, rear_pivot]
  stay: [rear_pivot, rocker_rear]
  rocker: [rocker_pivot, rocker_rear, rocker_shock]
axle: {on: stay}
shock: {start: shock_front, end: rocker_shock, eye_to_eye: 209.554, stroke: 40}
travel: 110
solve_for:
  - {point: rocker_shock, coordinate: above, to_meet: eye_to_eye}
  - {point: rocker_rear, coordinate: forward, to_meet: travel}
"""
AT = (-436.0, 36.0)


def exchanged(
    section: str, changes: Mapping[str, object], axle: tuple[float, float] = AXLE
) -> tuple[Linkage, Exchanged]:
    """The linkage as designed, and with the values exchanged."""
    spec = spec_of(section)
    designed, after = solve_linkage(spec, axle), spec
    for path, value in changes.items():
        after = changed(after, f"suspension.{path}", value)
    paths = tuple(f"suspension.{path}" for path in changes)
    return designed, exchange_linkage(designed, spec, after, paths, no_tubes)


def refused(
    section: str, changes: Mapping[str, object], axle: tuple[float, float] = AXLE
) -> tuple[Fault, ...]:
    with pytest.raises(LinkageError) as caught:
        exchanged(section, changes, axle)
    return tuple(caught.value.faults)


@pytest.mark.parametrize("length", [195.0, 205.5, 216.0])
def test_another_shock_on_a_single_pivot_by_hand(length: float) -> None:
    """Triangle of pivot and shock ends: the angle at the pivot by the law of cosines."""
    pivot, front, rear = 10 + 70j, 150 + 240j, -60 + 210j
    r, f = abs(rear - pivot), abs(front - pivot)

    def angle(far: np.ndarray | float) -> np.ndarray:
        return np.arccos((r**2 + f**2 - np.square(far)) / (2 * r * f))

    _, out = exchanged(SWINGARM, {"shock.eye_to_eye": length})
    linkage = out.linkage
    turn = angle(length - linkage.stroke) - angle(abs(front - rear))
    axle = pivot + (complex(*AXLE) - pivot) * np.exp(1j * turn)
    assert linkage.axle @ (1, 1j) == pytest.approx(axle, abs=1e-9)
    assert linkage.full_travel == pytest.approx(axle[-1].imag - axle[0].imag, abs=1e-9)
    assert linkage.eye_to_eye == pytest.approx(length, abs=1e-9)
    assert linkage.drawn["main_pivot"] == (10.0, 70.0)
    motion = out.links["swingarm"]
    assert motion.turn == pytest.approx(np.degrees(turn[0]), abs=1e-9)
    assert motion.side(AXLE) == pytest.approx((axle[0].real, axle[0].imag), abs=1e-9)


def test_another_stroke_alone_leaves_the_bike_as_it_stands() -> None:
    designed, out = exchanged(SWINGARM, {"shock.stroke": 40.0})
    assert out.links == {}
    assert out.linkage.drawn == designed.drawn
    assert out.linkage.full_stroke == 40
    there = designed.at_strokes(np.array([40.0]))
    assert out.linkage.full_travel == pytest.approx(float(there.travel[0]), abs=1e-9)


@pytest.mark.parametrize(
    "changes",
    [
        {"points.main_pivot": [10, 70]},
        {"points.main_pivot.1": 70},
        {"shock.eye_to_eye": 212.132, "shock.stroke": 60},
        {"shock.diameter": 48},
    ],
)
def test_what_is_exchanged_for_the_same_changes_nothing(changes: Mapping[str, object]) -> None:
    designed, out = exchanged(SWINGARM, changes)
    assert out.linkage is designed
    assert out.links == {}


def test_a_chip_moves_the_hole_of_one_body_only() -> None:
    """The rocker's hole; the stay keeps its own, and with it the distance to the rear pivot."""
    designed, out = exchanged(FOUR_LINK, {"points.rocker_rear.above": 26.0}, AT)
    # `solve_for` found the point's other coordinate; it keeps that value, and is not asked again.
    forward = designed.moved["rocker_rear", "forward"]
    made = {name: complex(*at) for name, at in designed.drawn.items()}
    new = {name: complex(*at) for name, at in out.linkage.drawn.items()}

    def far(points: Mapping[str, complex], a: str, b: str) -> float:
        return abs(points[a] - points[b])

    for a, b in (("rear_pivot", "rocker_rear"), ("main_pivot", "rear_pivot"),
                 ("rocker_pivot", "rocker_shock"), ("rear_pivot", "rear_axle")):  # fmt: skip
        assert far(new, a, b) == pytest.approx(far(made, a, b), abs=1e-9)
    assert far(new, "rocker_pivot", "rocker_rear") == pytest.approx(np.hypot(forward, 26), abs=1e-9)
    hole = made["rocker_pivot"] + complex(forward, 26.0)
    assert out.links["rocker"].side((hole.real, hole.imag)) == pytest.approx(
        out.linkage.drawn["rocker_rear"], abs=1e-9
    )
    assert out.linkage.moved == designed.moved
    (note,) = (note for note in out.linkage.notes if note.code == "exchanged")
    assert note.path == "suspension.points.rocker_rear"
    assert note.message.startswith("rocker_rear lies 4.00 mm from where rocker was made to have it")
    # The travel is what comes out, and no wish.
    assert abs(out.linkage.full_travel - 110) > 1


def test_the_chip_may_be_said_to_lie_in_the_other_body() -> None:
    section = FOUR_LINK + "pivots: {rocker_rear: {chip: stay}}\n"
    designed, out = exchanged(section, {"points.rocker_rear.above": 26.0}, AT)
    made = {name: complex(*at) for name, at in designed.drawn.items()}
    new = {name: complex(*at) for name, at in out.linkage.drawn.items()}
    bar = made["rocker_pivot"] + complex(designed.moved["rocker_rear", "forward"], 26)
    assert abs(new["rear_pivot"] - new["rocker_rear"]) == pytest.approx(
        abs(made["rear_pivot"] - bar), abs=1e-9
    )
    arm = abs(made["rocker_pivot"] - made["rocker_rear"])
    assert abs(new["rocker_pivot"] - new["rocker_rear"]) == pytest.approx(arm, abs=1e-9)


def test_points_given_from_an_exchanged_one_stay_in_their_metal() -> None:
    """The rocker's pivot moves in the frame; its own holes are not drilled again."""
    section = FOUR_LINK + "pivots: {rocker_pivot: {housing: rocker}}\n"
    designed, out = exchanged(section, {"points.rocker_pivot": [-30, 305]}, AT)
    assert out.linkage.drawn["rocker_pivot"] == (-30.0, 305.0)
    motion = out.links["rocker"]
    for name in ("rocker_pivot", "rocker_rear", "rocker_shock"):
        assert motion.side(designed.drawn[name]) == pytest.approx(out.linkage.drawn[name], abs=1e-9)


def test_a_point_is_measured_from_where_another_was_made() -> None:
    """Both exchanged: the second does not depend on the first, in whichever order they are named."""
    changes = {"points.rocker_pivot": [-30, 305], "points.rocker_shock.forward": 15.0}
    section = FOUR_LINK + "pivots: {rocker_pivot: {housing: rocker}}\n"
    designed, out = exchanged(section, changes, AT)
    _, other = exchanged(section, dict(reversed(changes.items())), AT)
    assert out.linkage.drawn == other.linkage.drawn
    arm = complex(15, designed.moved["rocker_shock", "above"])
    new = {name: complex(*at) for name, at in out.linkage.drawn.items()}
    assert abs(new["rocker_shock"] - new["rocker_pivot"]) == pytest.approx(abs(arm), abs=1e-9)


def test_a_coordinate_that_the_exchange_gives_is_not_the_found_one() -> None:
    designed, out = exchanged(FOUR_LINK, {"points.rocker_shock.above": 50.0}, AT)
    assert abs(designed.moved["rocker_shock", "above"] - 50) > 0.1
    assert ("rocker_shock", "above") not in out.linkage.moved
    new = {name: complex(*at) for name, at in out.linkage.drawn.items()}
    arm = abs(new["rocker_shock"] - new["rocker_pivot"])
    assert arm == pytest.approx(abs(12 + 50j), abs=1e-9)
    whole = {"points.rocker_shock": {"on": "rocker_pivot", "forward": 12, "above": 50}}
    _, same = exchanged(FOUR_LINK, whole, AT)
    assert same.linkage.drawn == out.linkage.drawn
    found = {"points.rocker_shock.above": designed.moved["rocker_shock", "above"]}
    again, back = exchanged(FOUR_LINK, found, AT)
    assert back.linkage is again


def test_the_exchange_equals_a_design_with_the_points_that_come_out() -> None:
    _, out = exchanged(FOUR_LINK, {"points.shock_front": [188, 305], "shock.eye_to_eye": 212.0}, AT)
    points = "\n".join(f"  {p}: [{x!r}, {z!r}]" for p, (x, z) in out.linkage.drawn.items()
                       if p not in ("bottom_bracket", "rear_axle", "datum"))  # fmt: skip
    links = FOUR_LINK[FOUR_LINK.index("links:") : FOUR_LINK.index("travel:")]
    section = f"points:\n{points}\n{links.replace('209.554', '212')}"
    wanted = solve_linkage(spec_of(section), out.linkage.drawn["rear_axle"])
    assert out.linkage.travel == pytest.approx(wanted.travel, abs=1e-7)
    assert out.linkage.leverage == pytest.approx(wanted.leverage, abs=1e-9)
    assert out.linkage.poses == pytest.approx(wanted.poses, abs=1e-6)


def test_a_point_on_no_link_cannot_be_exchanged() -> None:
    (fault,) = refused(FOUR_LINK, {"points.datum": [0, 101]}, AT)
    assert (fault.code, fault.path) == ("override", "suspension.points.datum")
    assert fault.place is not None
    assert "no link has datum" in fault.message


def test_of_several_bodies_with_lugs_the_file_has_to_name_one() -> None:
    section = FOUR_LINK.replace(
        "rocker: [rocker_pivot, rocker_rear, rocker_shock]",
        "rocker: [rocker_pivot, rocker_rear, rocker_shock]\n  brake_arm: [rocker_rear, tip]\n"
        "  brake_rod: [tip, bracket]",
    ).replace("  datum: [0, 100]", "  datum: [0, 100]\n  tip: [-100, 360]")
    (fault,) = refused(section, {"points.rocker_rear.above": 25.0}, AT)
    assert (fault.code, fault.path) == ("override", "suspension.points.rocker_rear.above")
    assert "rocker, brake_arm have lugs at rocker_rear" in fault.message
    assert "suspension.pivots.rocker_rear.chip: rocker" in fault.hint
    # Said, it is settled; the arm between them follows with its own hole.
    named = section + "pivots: {rocker_rear: {chip: rocker}}\n"
    _, out = exchanged(named, {"points.rocker_rear.above": 25.0}, AT)
    assert set(out.links) == {"arm", "stay", "rocker", "brake_arm", "brake_rod"}


def test_a_shock_that_no_pose_fits() -> None:
    """The eye runs on a circle about the pivot: the furthest is on the line through both."""
    (fault,) = refused(SWINGARM, {"shock.eye_to_eye": 400.0})
    assert (fault.code, fault.path) == ("mechanism", "suspension.shock.eye_to_eye")
    furthest = abs(140 + 170j) + abs(-70 + 140j)
    assert f"eye-to-eye length of {furthest:.2f} mm" in fault.message
    assert "shock_rear, main_pivot and shock_front come in line" in fault.message
    assert fault.place is not None
    assert fault.place.line is not None


def test_a_position_that_the_links_do_not_reach() -> None:
    """Rocker and shock together are shorter than the distance of their mounts on the frame."""
    (fault,) = refused(FOUR_LINK, {"points.shock_front": [285, 300]}, AT)
    assert (fault.code, fault.path) == ("mechanism", "suspension.points.shock_front")
    assert "% of the way to the new position" in fault.message


def test_a_stroke_that_the_built_links_do_not_make() -> None:
    (fault,) = refused(FOUR_LINK, {"shock.stroke": 100.0}, AT)
    assert fault.path == "suspension.shock.stroke"
    assert fault.message.startswith("on the built frame: at stroke ")
    assert "a stroke of less than" in fault.hint


def test_links_with_a_pivot_too_many_that_no_longer_fit() -> None:
    section = """
points:
  a: [0, 60]
  b: [100, 60]
  c: [200, 60]
  d: [30, 110]
  e: [130, 110]
  f: [230, 110]
  fix: [-80, 160]
links:
  frame: [a, b, c, fix]
  one: [a, d]
  two: [b, e]
  three: [c, f]
  bar: [d, e, f]
axle: {on: bar}
shock: {start: fix, end: e, eye_to_eye: 215.870, stroke: 20}
pivots: {f: {chip: three}}
"""
    axle = (150.0, 150.0)
    (fault,) = refused(section, {"points.f": [230, 113]}, axle)
    assert (fault.code, fault.path) == ("mechanism", "suspension.points.f")
    assert "more pivots than it needs" in fault.message


def test_two_points_on_each_other() -> None:
    (fault,) = refused(FOUR_LINK, {"points.rocker_shock": {"on": "rocker_pivot"}}, AT)
    assert fault.path == "suspension.points.rocker_shock"


def test_without_a_suspension_of_its_own_kind_nothing_happens() -> None:
    designed, out = exchanged(SWINGARM, {"sag": "25%"})
    assert out.linkage is designed
