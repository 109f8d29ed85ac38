"""An invented bike in five sizes with settings, for tests of comparisons."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from tests.hardening.running import SMALL

TEXT: Final = (
    SMALL.read_text("utf-8")
    .replace("  reach: 455", "  reach: {from: 430, step: 15}")
    .replace("  seat_tube_length: 430", "  seat_tube_length: {from: 395, step: 20}")
    .replace(
        "  head_tube_length: 115", "  head_tube_length: {S: 100, M: 105, L: 115, XL: 125, XXL: 130}"
    )
    + """
sizes:
  default: M
  S: {geometry.chainstay_length: 428}
  M:
  L:
  XL: {geometry.chainstay_length: 436}
  XXL: {geometry.chainstay_length: 440, geometry.head_tube_angle: 65.2}
settings:
  long: {build.fork.axle_to_crown: 555}
  same: {}
"""
)
SIZES: Final = ("S", "M", "L", "XL", "XXL")
PLAIN: Final = SMALL.read_text("utf-8")


def family_file(folder: Path, name: str = "trail.yaml") -> str:
    """Write the family; return its path."""
    return written(folder, name, TEXT)


def written(folder: Path, name: str, text: str) -> str:
    """Write a file; return its path."""
    file = folder / name
    file.write_text(text, "utf-8")
    return str(file)
