"""The JSON Schema of studies, by a validator of another make."""

from __future__ import annotations

from typing import Any

import jsonschema
import pytest
from ruamel.yaml import YAML

from frame3d.explore.study.schema import schema
from frame3d.formats.documents import dumps
from tests.explore.study import test_contradictions, test_read, test_vary, test_wished
from tests.explore.study.faults import CONFIGS, FULL, HEAD, REACH, faults, read

SCHEMA = schema()


def valid(text: str) -> bool:
    data = YAML(typ="safe", pure=True).load(text)
    return bool(jsonschema.Draft202012Validator(SCHEMA).is_valid(data))


def test_it_is_a_schema_and_the_one_beside_the_demos() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    written = (CONFIGS / "studies" / "study.schema.json").read_text("utf-8")
    assert written == dumps(SCHEMA), (
        "run: frame3d schema --study > configs/studies/study.schema.json"
    )


@pytest.mark.parametrize("demo", sorted((CONFIGS / "studies").glob("*.yaml")), ids=lambda p: p.stem)
def test_demos_are_valid_and_point_at_it(demo: Any) -> None:
    text = demo.read_text("utf-8")
    assert text.startswith("# yaml-language-server: $schema=study.schema.json\n")
    assert valid(text)


@pytest.mark.parametrize(
    "more",
    [
        "wishes: {trail: [{from: 118}, {at: sag, to: 140}], checks: all}",
        "wishes: {leverage: {start: 3, end: 2, within: 0.5}, checks: [extra.0, heel_to_frame]}",
        "wishes: {gap: {rear_tyre_to_frame: {from: 8}}}\nprefer: [{least: mass}, {most: progression}]",
        "wishes: {ride.steering.sagged.push_torque_nm: {from: 5}}",
        "wishes: {ride: {steering.sagged.push_torque_nm: {from: 5}}}",
        "wishes: {stiffness.head_twist: {from: 50}}\nprefer: {most: stiffness.rear_sideways}",
        "wishes: {stiffness: {head_twist: {from: 50, to: 500}, saddle_down: {from: 1}}}",
        "wishes: {kickback: {to: 30, gear: 32x24}}\nprefer: {least: mass}",
        "sample: {sobol: 64}\nwishes:\nprefer:",
    ],
)
def test_what_reads_is_valid(more: str) -> None:
    assert read(REACH + more + "\n", FULL)
    assert valid(REACH + more + "\n")


SINGLE = ("unknown-key", "wrong-type", "wrong-unit", "not-allowed")
BEYOND = (
    "cannot stand", "in the bike's file", "nor can it", "no check", "finished frame", "gear", "mixed",
    "are wanted", "beside names", "no whole number", "no quantity", "has none", "no setting", "no size",
    "no rear", "a block", "a list", "has not",
)  # fmt: skip
"""Parts of messages that need the bike's file, or more than one value."""


@pytest.mark.parametrize(
    "row",
    [
        row
        for table in (test_vary.ROWS, test_wished.ROWS, test_read.ROWS, test_contradictions.ROWS)
        for row in table
        if row[0] and row[1] in SINGLE and not any(word in row[4] for word in BEYOND)
    ],
    ids=lambda row: f"{row[1]}-{row[2]}",
)
def test_a_single_wrong_value_is_refused(row: test_vary.Row) -> None:
    assert not valid(row[0])


def test_an_unknown_quantity_is_refused() -> None:
    assert not valid(REACH + "wishes: {trial: {from: 3}}\n")
    assert not valid(HEAD + "vary: {}\nwishes: {checks: all}\n")


@pytest.mark.parametrize(
    "wrong",
    [
        "stiffness.head: {from: 3}", "stiffness: {head: {from: 3}}", "stiffness: {}",
        "stiffness.head_twist: {from: 0}", "stiffness: {head_twist: {to: -3}}",
        "stiffness.head_twist: 3",
    ],
)  # fmt: skip
def test_a_wrong_wish_for_a_stiffness_is_refused(wrong: str) -> None:
    assert faults(REACH + f"wishes: {{{wrong}}}\n")
    assert not valid(REACH + f"wishes: {{{wrong}}}\n")
