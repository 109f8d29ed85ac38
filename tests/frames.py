"""Frames in solids for tests, each made once a process; all invented."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import frame3d
from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.formats.glb import glb
from frame3d.formats.step import step
from frame3d.formats.stl import stl
from frame3d.formats.threemf import threemf
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.reader import load, loads
from frame3d.parameters.starters.starter import starter
from frame3d.solids import FrameModel, make
from tests.bikes import hardtail_layout, placed_layout

CONFIGS = Path(frame3d.__file__).parent.parent / "configs"


@cache
def demo(name: str) -> Bike:
    """A demo by its file's name, or the starter of a suspension (`starter`: the one without)."""
    file = CONFIGS / f"{name}.yaml"
    if file.exists():
        return solve(load(file))
    return solve(loads(starter("My bike", None if name == "starter" else name.replace("_", "-"))))


@cache
def demo_solids(name: str) -> FrameModel:
    """The frame of `demo`."""
    return make(demo(name))


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
