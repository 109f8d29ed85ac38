"""Scale models for tests, each made once a process; all bikes invented."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.model import ScaleModel, model
from frame3d.mockup.options import KITS, Options
from frame3d.mockup.printing.plates import Plates, plates
from frame3d.mockup.read_options import pose_of, read_options
from frame3d.mockup.write import files
from frame3d.parameters.reading.reader import load

CONFIGS = Path(__file__).parents[2] / "configs"
HARDTAIL = CONFIGS / "trail_hardtail_29.yaml"
RIGID = CONFIGS / "adventure_rigid.yaml"
FULL = CONFIGS / "trail_full_140.yaml"


@cache
def layout(file: Path = HARDTAIL, *sets: str) -> Bike:
    """A solved demo."""
    return solve(load(file, sets=sets))


def drawing(kits: tuple[str, ...] = KITS, scale: float = 1 / 6, **options: Any) -> Drawing:
    """The hardtail to be printed."""
    return Drawing(layout(), Options(scale, kits, **options))


@cache
def made(file: Path = HARDTAIL, at: str | None = None, **wishes: Any) -> ScaleModel:
    """A model as the command makes it."""
    bike = layout(file)
    pose = pose_of(bike, at)
    wishes.setdefault("bed", "220x220x250")
    return model(Drawing(bike, read_options(bike, pose=pose, **wishes), pose))


@cache
def laid(file: Path = HARDTAIL, **wishes: Any) -> Plates:
    """Its plates."""
    return plates(made(file, **wishes))


@cache
def written(file: Path = HARDTAIL, **wishes: Any) -> tuple[dict[str, bytes], dict[str, Any]]:
    """Its files' bytes and its document."""
    return files(made(file, **wishes), laid(file, **wishes), lambda _what, _share: None)
