"""A small file of three sizes with two settings, for tests of the workspace."""

from __future__ import annotations

from typing import Final

from tests.live.serving import SMALL

TEXT: Final = SMALL.read_text(encoding="utf-8")
FAMILY: Final = (
    TEXT.replace("reach: 455", "reach: {from: 430, step: 25}   # by rule").replace(
        "bb_drop: 62", "bb_drop: {S: 60, M: 62, L: 64}"
    )
    + """
sizes:
  default: M
  S: {geometry.head_tube_angle: 66}
  M:
  L:
settings:
  long: {build.fork.axle_to_crown: 551}
  quick: {build.fork.offset: 37}
"""
)
assert FAMILY.count("step: 25") == FAMILY.count("S: 60") == 1
