"""Frames in solids for tests, each made once a process; all invented."""

from __future__ import annotations

from functools import cache
from typing import Any

from frame3d.bike.bike import Bike
from frame3d.formats.glb import glb
from frame3d.formats.step import step
from frame3d.formats.stl import stl
from frame3d.formats.threemf import threemf
from frame3d.parameters.models.frame import FrameSpec
from frame3d.solids import FrameModel, make
from tests.bikes import hardtail_layout, placed_layout


@cache
def hardtail() -> FrameModel:
    """The trail hardtail of tests/bikes.py."""
    return make(hardtail_layout())


@cache
def hardtail_files() -> dict[str, bytes]:
    """The trail hardtail in every format, by suffix."""
    model = hardtail()
    return {"step": step(model), "stl": stl(model), "3mf": threemf(model), "glb": glb(model)}


def context(tubes: dict[str, Any], **build: Any) -> Bike:
    """A layout of any tubes among the trail hardtail's nodes."""
    data = {"format": 1, "name": "Bench", "geometry": {}, "build": build, "tubes": tubes}
    return placed_layout(FrameSpec.model_validate(data))


def bar(od: Any, start: Any, end: Any, wall: Any = "solid", **more: Any) -> dict[str, Any]:
    """A tube between two points, or between junctions given as dicts."""
    ends = [e if isinstance(e, dict) else {"at": list(e)} for e in (start, end)]
    return {"od": od, "wall": wall, "start": ends[0], "end": ends[1], **more}
