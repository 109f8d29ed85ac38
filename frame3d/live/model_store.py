"""A store of models by number, from which pages fetch them."""

from __future__ import annotations

import struct
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from frame3d.chart.cache import Cache
from frame3d.clearance.result import Report
from frame3d.live.preview import light_glb
from frame3d.live.solved_text import SolvedText
from frame3d.looks.pieces import looks_of, quick
from frame3d.report.meshes import Meshes
from frame3d.report.scene import compact, scene_document
from frame3d.report.texts import Texts
from frame3d.solids.bodies import outsides

HELD: Final = 8
"""Number of models kept; pages are two or three behind at most."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A bike in 3D: its model and its scene document."""

    glb: bytes
    """Binary glTF, empty where there is nothing to show."""
    scene: Mapping[str, Any]
    """The scene document, without checks."""


def light_picture(solved: SolvedText, texts: Texts, memory: Cache | None = None) -> Picture:
    """Return a quick picture: no booleans, CAD kernel, masses or lengths.

    Args:
        solved: the bike.
        texts: of the page.
        memory: caches bikes. What parts look like is in the model only where it is not in memory yet:
            pages keep what they have got, and draw outlines where they have not.
    """
    parts = outsides(solved.bike)
    scene = solved.pictured
    looks = quick(looks_of(solved.bike, scene.parts))
    grams = dict.fromkeys((part.name for part in parts), 0.0)
    meshes = Meshes(parts, grams, {}, None, b"", looks)
    document = scene_document(scene, Report((), ()), meshes, {}, texts)
    mass = texts("facts.mass")
    for part in document["parts"]:
        part["facts"] = [fact for fact in part["facts"] if fact[0] != mass]
    return Picture(light_glb(scene, parts, looks, memory), document)


class ModelStore:
    """Data that pages may fetch by number; the oldest is dropped when the store is full."""

    def __init__(self) -> None:
        self._number = 0
        self._held: dict[int, bytes] = {}
        self._fixed: frozenset[int] = frozenset()

    def put(self, data: bytes) -> int:
        """Store data; return its number, which is never used again."""
        self._number += 1
        self._held[self._number] = data
        loose = [n for n in self._held if n not in self._fixed]
        for old in loose[:-HELD]:
            del self._held[old]
        return self._number

    def fix(self, *numbers: int) -> None:
        """Keep these numbers until the next call of this method."""
        self._fixed = frozenset(numbers)

    def get(self, number: int) -> bytes | None:
        """Return the data of a number; None where it was dropped."""
        return self._held.get(number)


def packed(picture: Picture) -> bytes:
    """Return a picture as bytes: the scene's length (4 bytes, little-endian), the scene, the GLB."""
    scene = compact(picture.scene).encode("utf-8")
    return struct.pack("<I", len(scene)) + scene + picture.glb
