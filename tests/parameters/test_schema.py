"""The JSON Schema, held against an independent validator and against the reader."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from ruamel.yaml import YAML

from frame3d.errors import SpecError
from frame3d.formats.documents import dumps
from frame3d.parameters import loads
from frame3d.parameters.reading.schema import schema
from frame3d.parameters.starters.starter import starter
from tests.parameters.test_faults import TABLES

CONFIGS = Path(__file__).parents[2] / "configs"
FILES = sorted(CONFIGS.glob("*.yaml"))
SCHEMA = schema()
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


def plain(text: str) -> Any:
    """A text's plain data by an independent reader; keys are text, as in JSON."""

    def texts(value: Any) -> Any:
        if isinstance(value, dict):
            return {str(key): texts(below) for key, below in value.items()}
        return [texts(item) for item in value] if isinstance(value, list) else value

    return texts(YAML(typ="safe", pure=True).load(text))


def test_it_is_a_schema_of_draft_2020_12_without_an_id() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert "$id" not in json.dumps(SCHEMA)


def test_the_file_beside_the_demo_bikes_is_up_to_date() -> None:
    written = (CONFIGS / "frame3d.schema.json").read_text(encoding="utf-8")
    assert written == dumps(SCHEMA), "run: frame3d schema > configs/frame3d.schema.json"


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.name)
def test_demo_bikes(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    assert list(VALIDATOR.iter_errors(plain(text))) == []
    assert text.startswith("# yaml-language-server: $schema=frame3d.schema.json\n")
    loads(text, file.name)


def test_there_are_demo_bikes() -> None:
    assert len(FILES) >= 3


def test_the_starter() -> None:
    VALIDATOR.validate(plain(starter("Test")))


def every_property(node: Any) -> Any:
    if isinstance(node, dict):
        yield from node.get("properties", {}).items()
        for value in node.values():
            yield from every_property(value)
    elif isinstance(node, list):
        for value in node:
            yield from every_property(value)


def test_titles_descriptions_units_and_examples() -> None:
    for name, definition in SCHEMA["$defs"].items():
        assert definition["title"], name
        assert definition["description"], name
        assert "\n" not in definition["description"], name
        for key, value in definition["properties"].items():
            assert value["title"], (name, key)
            assert value["description"], (name, key)
            if "unit" in value:
                assert value["description"].endswith(f"[{value['unit']}]"), (name, key)
                assert value["examples"], (name, key)


def test_examples_hold() -> None:
    """Each property's example passes its own schema."""
    count = 0
    for key, value in every_property(SCHEMA["$defs"]):
        for example in value.get("examples", ()):
            jsonschema.Draft202012Validator({**value, "$defs": SCHEMA["$defs"]}).validate(example)
            count += 1
            assert key
    assert count > 80


BASE: dict[str, Any] = {"format": 1, "name": "Test", "geometry": {}}


@pytest.mark.parametrize(
    "more",
    [
        {"geometry": {"reach": None, "stack": 620}},
        {"build": None, "tubes": None, "notes": None, "suspension": {}, "clearance": None},
        {"build": {"fork": {"axle_to_crown": None, "offset": 44}}},
        {
            "build": {
                "fork": {
                    "axle_to_crown": 531,
                    "measured": "straight",
                    "travel": 130,
                    "sag": "25.5 %",
                }
            }
        },
        {"build": {"rear_wheel": {"tyre": {"width": 61, "diameter": 744}, "hub": None}}},
        {"build": {"headset": {"upper": "IS42/28.6", "lower": {"bore": 52}, "angle": -1.5}}},
        {"material": 4130},
        {"material": {"name": "AlSi10Mg", "density_g_cm3": 2.67}},
        {"tubes": {"seat_tube": {"od": 34.9, "wall": "solid", "start": {"above_bottom": 90}}}},
        {"tubes": {"head_tube": {"od": {"start": 62, "end": 50}, "wall": 3, "bends": []}}},
        {
            "tubes": {
                "brace": {
                    "start": {"at": [0, 1, 2]},
                    "end": {"on": "head_tube", "angle": 60, "y": None},
                    "od": {"start": {"height": 30, "width": 17}, "end": 16},
                    "wall": {"butted": [1, 0.8], "lengths": [100], "transition": 30},
                }
            }
        },
        {
            "tubes": {
                "head_tube": {
                    "od": {"stations": [[0, 50], [20, {"height": 46, "width": 44}]]},
                    "wall": {
                        "butted": [2, 1],
                        "lengths": [30],
                        "transition": 5,
                        "as_sold": 200,
                        "cut": {"end": 12},
                    },
                    "dimples": [{"at": 60, "over": 9, "transition": 5, "width": 30}],
                },
                "seat_tube": {
                    "od": {"steps": [33, 35.2], "lengths": [200], "transition": 30},
                    "wall": {"bore": 31.6},
                },
            }
        },
    ],
)
def test_both_accept(more: dict[str, Any]) -> None:
    data = {**BASE, **more}
    loads(json.dumps(data))  # JSON is YAML 1.2
    assert list(VALIDATOR.iter_errors(data)) == []


@pytest.mark.parametrize(
    "more",
    [
        {"sizes": ["S", "M-L", "52"], "geometry": {"reach": {"from": 430, "step": 25}}},
        {
            "sizes": {"default": "L", "S": {"geometry.reach": 430}, "L": None},
            "build": {"crank": {"length": {"S": 165, "L": 170}}},
        },
        {"sizes": {"S": {"geometry": {"reach": 430}}, "default": {}}},
        {"settings": {"long": {"build.fork.axle_to_crown": 551}, "low": None}},
        {"sizes": None, "settings": {}},
    ],
)
def test_both_accept_sizes_and_settings(more: dict[str, Any]) -> None:
    data = {**BASE, **more}
    loads(json.dumps(data))
    assert list(VALIDATOR.iter_errors(data)) == []


@pytest.mark.parametrize(
    "more",
    [
        {"sizes": ["reach"]},
        {"sizes": []},
        {"sizes": {"default": 5, "M": None}},
        {"sizes": {"M": 5}},
        {"sizes": ["S", "M"], "geometry": {"reach": {"from": 430}}},
        {"sizes": ["S", "M"], "geometry": {"reach": {"from": 430, "step": [5]}}},
        {"settings": {"lo w": {}}},
        {"settings": ["low"]},
        {"settings": {"low": 5}},
    ],
)
def test_both_refuse_sizes_and_settings(more: dict[str, Any]) -> None:
    data = {**BASE, **more}
    with pytest.raises(SpecError):
        loads(json.dumps(data))
    assert list(VALIDATOR.iter_errors(data))


UNSEEN_CODES = {"section", "unknown-size", "not-finite", "duplicate-key", "yaml-trap", "yaml-tag"}
"""Faults that a schema cannot see: it knows no other notation, and compares no two values."""
UNSEEN_PATHS = {
    "name", "notes", "shop", "build.fork.sag", "build.headset.upper", "tubes.brace.start",
    "tubes.brace.start.angle", "tubes.brace.start.on", "tubes.brace.start.side",
    "tubes.brace.start.stop_short", "tubes.brace.bends.1.along", "tubes.seat_tube.start",
    "tubes.head_tube.wall.lengths", "geometry.<<", "build.fork.travel", "build.rider.inseam",
    "build.front_wheel.tyre.width", "build.bottom_bracket.od", "tubes.brace.start.cut",
    "tubes.brace.start.above", "tubes.brace.od.lengths", "tubes.head_tube.od.stations.1",
    "tubes.head_tube.wall", "tubes.head_tube.dimples.0", "tubes.head_tube.dimples.1.at",
}  # fmt: skip
"""Values that go together or not, and texts with rules beyond a pattern."""


@pytest.mark.parametrize(
    ("text", "path"),
    [
        (text, path)
        for table in TABLES
        for text, code, path, *_ in table
        if path and code not in UNSEEN_CODES and path not in UNSEEN_PATHS
    ],
)
def test_both_refuse(text: str, path: str) -> None:
    """What the reader refuses in one value or mapping, the schema refuses too."""
    assert list(VALIDATOR.iter_errors(plain(text))), path


@pytest.mark.parametrize("more", [{"geometry": {"reach": 20}}, {"build": {"fork": {"sag": 25}}}])
def test_ranges_are_the_same(more: dict[str, Any]) -> None:
    data = {**BASE, **more}
    assert list(VALIDATOR.iter_errors(data))
    with pytest.raises(SpecError):
        loads(json.dumps(data))
