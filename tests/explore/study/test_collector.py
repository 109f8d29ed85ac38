"""Faults are collected with the line of what they are about."""

from __future__ import annotations

from frame3d.errors import SourceLocation
from frame3d.explore.study.collector import Collector
from frame3d.explore.study.models import LimitsSpec
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.data import Reading, places

TEXT = "a:\n  b: {from: 1, to: x}\n"


def collected() -> Collector:
    reading = Reading(SourceLocation("s.yaml"))
    root = tree.parse(TEXT, places(TEXT, "s.yaml")).root
    assert isinstance(root, tree.Mapping)
    reading.mapping(root, "")
    return Collector(reading)


def test_a_path_without_a_place_takes_that_around_it() -> None:
    said = collected()
    said.add("missing-key", "a.b.c.d", "missing", "give it")
    said.add("unknown-key", "a.b", "unknown", "leave it out", at_key=True)
    said.add("unknown-key", "x", "unknown", "leave it out")
    spots = [(f.place.line, f.place.column) for f in said.faults if f.place is not None]
    assert spots == [(2, 6), (2, 3), (None, None)]


def test_a_model_at_fault_is_none_and_its_faults_are_added() -> None:
    said = collected()
    assert said.model(LimitsSpec, {"from": 1, "to": "x"}, "a.b") is None
    assert [(f.code, f.path) for f in said.faults] == [("wrong-type", "a.b.to")]
    assert said.faults[0].place is not None
    assert said.faults[0].place.column == 20
    fine = said.model(LimitsSpec, {"from": 1}, "a.b")
    assert fine is not None
    assert (fine.low, fine.to) == (1, None)
