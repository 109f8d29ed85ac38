"""The trail hardtail's tubes placed with changes, for tests."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bike.place_tubes import PlacedTubes, place_tubes
from frame3d.errors import Fault, TubeError
from frame3d.geometry.vector import vector
from frame3d.parameters.models.frame import FrameSpec
from frame3d.tubes.tube import Tube
from tests.bikes import hardtail_chart, hardtail_data, hardtail_nodes

NODES = hardtail_nodes()
HEAD = vector(NODES["head_tube_top"]) - vector(NODES["head_tube_bottom"])
HEAD_UP = HEAD / np.linalg.norm(HEAD)
SEAT_UP = vector(NODES["seat_tube_top"]) / 430.0
OTHER = {"on": "head_tube", "below_top": 50.0}
"""Where the other end of `strut` is."""
Faulty = tuple[dict[str, Any], str, str, str]
"""Tubes, and the one fault that they are: code, path, words of its message."""


def from_data(data: dict[str, Any]) -> PlacedTubes:
    """The tubes of a file on the hardtail's nodes."""
    return place_tubes(FrameSpec.model_validate(data), NODES, hardtail_chart())


def with_tubes(**tubes: Any) -> PlacedTubes:
    """The hardtail with more tubes, of 20 mm where they do not say."""
    data = hardtail_data()
    data["tubes"] |= {key: {"od": 20.0, "wall": 1.0, **tube} for key, tube in tubes.items()}
    return from_data(data)


def place(tubes: dict[str, Any], drop: tuple[str, ...] = (), **build: Any) -> PlacedTubes:
    """The hardtail with some tubes added or replaced, and some parts dropped."""
    data = hardtail_data()
    data["tubes"] |= tubes
    for key in drop:
        data["tubes"].pop(key, None)
        data["build"].pop(key, None)
    data["build"] |= build
    return from_data(data)


def strut(start: dict[str, Any], end: dict[str, Any], **more: Any) -> dict[str, Any]:
    """A plain tube of 20 mm."""
    return {"strut": {"od": 20.0, "wall": 1.0, "start": start, "end": end, **more}}


def one(start: dict[str, Any], end: dict[str, Any], **more: Any) -> Tube:
    """The strut on the hardtail; the left one of a pair."""
    return next(t for t in place(strut(start, end, **more)).tubes if t.key == "strut")


def image(placed: PlacedTubes, key: str) -> tuple[Tube, Tube]:
    """Both tubes of a pair."""
    left, right = (t for t in placed.tubes if t.key == key)
    return left, right


def refused(tubes: dict[str, Any], drop: tuple[str, ...] = (), **build: Any) -> list[Fault]:
    """The faults of tubes that cannot be placed."""
    with pytest.raises(TubeError) as caught:
        place(tubes, drop, **build)
    return list(caught.value.faults)


def assert_fault(tubes: dict[str, Any], code: str, path: str, words: str) -> None:
    """That these tubes have this one fault, with a way out."""
    found = refused(tubes)
    assert [(f.code, f.path) for f in found] == [(code, path)]
    assert words in found[0].message
    assert found[0].hint
