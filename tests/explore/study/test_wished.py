"""Wishes and preferences, and the faults of each."""

from __future__ import annotations

import pytest

from frame3d.explore.study.study import Study
from tests.explore.study.faults import (
    FULL,
    HARDTAIL,
    REACH,
    Row,
    faults,
    hold,
    read,
    row_name,
    wishes,
)

ROWS: list[Row] = [
    (wishes("trial: {from: 118}"), "unknown-key", "wishes.trial", "trial", "no quantity", "trail"),
    (
        wishes("rear_tyre_to_frame: {from: 8}"), "unknown-key", "wishes.rear_tyre_to_frame",
        "rear_tyre", "no quantity", "gap: {rear_tyre_to_frame: {from: 8}}",
    ),
    (
        wishes("trail: {from: 128, to: 118}"), "contradictory", "wishes.trail", "{from: 128",
        "nothing is at least 128 and at most 118", "{from: 118, to: 128}",
    ),
    (wishes("trail: {}"), "missing-key", "wishes.trail", "{}", "no limit", "from, to, or both"),
    (wishes("trail: 120"), "wrong-type", "wishes.trail", "120}", "120 stands", "write a range"),
    (
        wishes("trail: {at: end, from: 3}"), "not-allowed", "wishes.trail.at", "end", "not allowed",
        "write sag",
    ),
    (
        wishes("trail: [{from: 118}, {to: 110}]"), "contradictory", "wishes.trail", "[{from",
        "contradict: at least 118 and at most 110", "leave one",
    ),
    (
        wishes("trail: [{from: 118}, {to: 130}]"), "duplicate-key", "wishes.trail", "[{from",
        "wished twice", "one range",
    ),
    (
        wishes("leverage: {from: 3}"), "missing-key", "wishes.leverage", "{from: 3}", "a curve",
        "at: start",
    ),
    (
        wishes("leverage: {start: 3}"), "missing-key", "wishes.leverage.within", "{start",
        "missing", "within: 0.05",
    ),
    (
        wishes("leverage: {at: sag, from: 2, within: 1}"), "inconsistent", "wishes.leverage.within",
        "1}", "belongs to values", "within: 0.05",
    ),
    (
        wishes("leverage: {start: 3, at: sag, within: 1}"), "inconsistent", "wishes.leverage.at",
        "sag,", "beside values", "either",
    ),
    (
        wishes("leverage: {at: middle, from: 2}"), "not-allowed", "wishes.leverage.at", "middle",
        "no place on a curve", "start, sag, end",
    ),
    (
        wishes("leverage: {at: -3, from: 2}"), "out-of-range", "wishes.leverage.at", "-3",
        "no wheel travel", "from 0",
    ),
    (
        wishes("leverage: {at: sag, gear: 32x24, from: 3}"), "not-allowed", "wishes.leverage.gear",
        "32x24", "leverage is the same in every gear", "leave gear out",
    ),
    (
        wishes("anti_squat: {at: sag, from: 100}"), "missing-key", "wishes.anti_squat", "{at",
        "anti_squat depends on the gear", "gear: 32x24",
    ),
    (
        wishes("anti_squat: {at: sag, gear: 34x24, from: 100}"), "not-allowed",
        "wishes.anti_squat.gear", "34x24", "has not, 34x24", "32 teeth",
    ),
    (
        wishes("anti_squat: {at: sag, gear: 32-24, from: 100}"), "wrong-type",
        "wishes.anti_squat.gear", "32-24", "is no gear", "32x24",
    ),
    (
        wishes("gap: {rear_tyre: {from: 8}}"), "not-allowed", "wishes.gap.rear_tyre", "{from: 8}",
        "no check rear_tyre", "rear_tyre_to_frame",
    ),
    (wishes("gap: 3"), "wrong-type", "wishes.gap", "3}", "by name", "gap: {rear_tyre_to_frame"),
    (
        wishes("checks: [rear_tyre_to_frame, foo]"), "not-allowed", "wishes.checks.1", "foo",
        "no check foo", "known here",
    ),
    (wishes("checks: 3"), "wrong-type", "wishes.checks", "3}", "neither all nor", "checks: all"),
    (
        REACH + "prefer: kickback\n", "wrong-type", "prefer", "kickback", "stands where",
        "{least: kickback}",
    ),
    (
        REACH + "prefer: {least: kickbak}\n", "unknown-key", "prefer.least", "kickbak", "no quantity",
        "kickback",
    ),
    (
        REACH + "prefer: {least: mass, most: trail}\n", "inconsistent", "prefer", "{least", "both",
        "one of them",
    ),
    (
        REACH + "prefer: [{least: mass}, {most: mass}]\n", "duplicate-key", "prefer.1", "{most",
        "twice", "least or most",
    ),
    (
        REACH + "prefer: {least: gap.rear_tyre}\n", "not-allowed", "prefer.least", "gap.rear_tyre",
        "no check", "rear_tyre_to_frame",
    ),
    (
        REACH + "prefer: {most: gap.rear_tyre_to_frame, at: sag}\n", "inconsistent", "prefer.at",
        "sag", "has none", "leave at out",
    ),
    (
        REACH + "prefer: {most: leverage}\n", "missing-key", "prefer.most", "leverage", "a curve",
        "at: start",
    ),
]  # fmt: skip
RIGID: list[Row] = [
    (
        wishes("leverage: {at: sag, from: 3}"), "not-allowed", "wishes.leverage", "{at",
        "no rear suspension", "under suspension",
    ),
    (
        wishes("wheel_rate: {at: sag, from: 3}"), "not-allowed", "wishes.wheel_rate", "{at",
        "no rear suspension", "under suspension",
    ),
]  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


@pytest.mark.parametrize("row", RIGID, ids=row_name)
def test_fault_of_a_hardtail(row: Row) -> None:
    hold(row, HARDTAIL)


def limits(study: Study) -> list[tuple[str, str, float | None, float | None, float]]:
    return [(w.label, w.quantity.stage, w.low, w.high, w.scale) for w in study.wishes]


def test_wishes_of_every_sort() -> None:
    study = read(
        wishes(
            "trail: [{from: 118}, {at: sag, to: 140}], leverage: {start: 3.0, end: 2.4, within: 0.1}, "
            "anti_squat: {gear: 32x24, at: sag, from: 97, to: 113}, kickback: {to: 30}, mass: {to: 3400}, "
            "wheelbase: {from: 1100}, gap: {rear_tyre_to_frame: {from: 8}, pedal_to_ground: {from: 20}}, "
            "checks: [rear_tyre_to_frame, extra.0]"
        )
    )
    assert limits(study) == [
        ("trail", "chart", 118, None, 1),
        ("trail.sag", "linkage", None, 140, 1),
        ("leverage.start", "linkage", 2.9, 3.1, 0.01),
        ("leverage.end", "linkage", pytest.approx(2.3), 2.5, 0.01),
        ("anti_squat.sag.32x24", "linkage", 97, 113, 1),
        ("kickback", "linkage", None, 30, 0.1),
        ("mass", "placement", None, 3400, 10),
        ("wheelbase", "chart", 1100, None, 1),
        ("gap.rear_tyre_to_frame", "pairs", 8, None, 1),
        ("gap.pedal_to_ground", "figures", 20, None, 0.1),
    ]
    assert study.checks == ("rear_tyre_to_frame", "extra.0")
    assert [w.place.line for w in study.wishes if w.place is not None] == [4] * 10


def test_preferences_in_their_order() -> None:
    text = REACH + "prefer: [{least: kickback}, {most: gap.rear_tyre_to_frame}, {least: mass}]\n"
    found = [(p.label, p.least) for p in read(text).preferences]
    assert found == [("kickback", True), ("gap.rear_tyre_to_frame", False), ("mass", True)]
    one = read(REACH + "prefer: {most: anti_squat, at: sag, gear: 32x24}\n").preferences
    assert [(p.label, p.least) for p in one] == [("anti_squat.sag.32x24", False)]


def test_a_check_that_the_file_leaves_out_cannot_be_wished() -> None:
    bike = FULL.replace("clearance:\n", "clearance:\n  skip: [heel_to_frame]\n")
    fault = faults(wishes("checks: [heel_to_frame]"), bike)[0]
    assert "leaves heel_to_frame out" in fault.message
    assert read(wishes("checks: all"), bike).checks == "all"


def test_a_wish_at_sag_needs_a_sag() -> None:
    bike = FULL.replace("  sag: 30%                       # of the stroke\n", "").replace(
        "  spring:\n    air: {piston: 42, volume_cm3: 120, negative: {volume_cm3: 18},   # pressure "
        "follows from the sag\n          reducer_cm3: 8, most_reducers: 3, highest_pressure_bar: 17}\n",
        "",
    )
    assert "sag: 30%" not in bike
    fault = faults(wishes("leverage: {at: sag, from: 2}"), bike)[0]
    assert "no sag at the rear" in fault.message
    assert "suspension.sag: 30%" in fault.hint


def test_a_gear_may_come_about_by_what_varies() -> None:
    text = REACH.replace("{geometry", "{build.chainring.teeth: [30, 32, 34], geometry")
    text += "wishes: {anti_squat: {at: sag, gear: 34x24, from: 80}}\n"
    assert read(text).wishes[0].quantity.gear == (34, 24)
