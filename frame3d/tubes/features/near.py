"""Warnings of features where they are allowed but are not wanted: butts, bends, welds, each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, pairwise

import numpy as np

from frame3d.geometry.centreline import Arc
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.features.extent import extent, footprint
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.stand import spots
from frame3d.tubes.tube import Tube

WELD = 8.0
"""Width of the strip beside a joint that its weld or fillet heats most [mm]; common practice, no
source."""
_HOLLOW = ("boss", "port", "vent", "flat_mount")


def warnings_of(
    feature: Feature, tube: Tube, tubes: Sequence[Tube], envelopes: Mapping[str, Envelope]
) -> Iterator[str]:
    """Yield what is to be warned of about one feature, each as the end of a sentence.

    Args:
        feature: what is placed.
        tube: what it is on.
        tubes: all tubes.
        envelopes: outsides of tubes, shell and housings, by name.
    """
    kind = feature.spec.kind
    if kind in ("boss", "port", "flat_mount"):
        yield from _butts(feature, tube)
    if kind != "clamp_slot":
        yield from _bends(feature, tube)
        yield from _welds(feature, tube, tubes, envelopes)


def _butts(feature: Feature, tube: Tube) -> Iterator[str]:
    """Yield that a boss stands in a butt, or a boss or port on the taper between two walls."""
    half = extent(feature)[0]
    rows = list(zip(tube.section.s, tube.section.wall, strict=True))
    thinnest = min(wall for _, wall in rows)
    for (s0, w0), (s1, w1) in pairwise(rows):
        inside = [s for s in feature.s if s + half > s0 + 1e-6 and s - half < s1 - 1e-6]
        if not inside:
            continue
        if w0 != w1:
            yield (
                f"stands on the taper from {w0:g} to {w1:g} mm of wall, {s0:.0f} to {s1:.0f} mm from "
                "where the tube's axis starts"
            )
        elif w0 > thinnest and feature.spec.kind in ("boss", "flat_mount"):
            yield (
                f"stands within the butt of {w0:g} mm, {s0:.0f} to {s1:.0f} mm from where the tube's "
                "axis starts"
            )


def _bends(feature: Feature, tube: Tube) -> Iterator[str]:
    half = extent(feature)[0]
    for start, piece in zip(tube.axis.starts.tolist(), tube.axis.pieces, strict=False):
        if not isinstance(piece, Arc):
            continue
        end = start + piece.length
        if any(s + half > start + 1e-6 and s - half < end - 1e-6 for s in feature.s):
            yield (
                f"stands in a bend, which runs from {start:.0f} to {end:.0f} mm along the tube's axis"
            )


def _welds(
    feature: Feature, tube: Tube, tubes: Sequence[Tube], envelopes: Mapping[str, Envelope]
) -> Iterator[str]:
    """Yield what joint is within `WELD` of a feature: of what the tube sits on, or what sits on it."""
    points = footprint(feature, tube)
    joined = [name for name in tube.cut_by if name in envelopes]
    ends = {end.target for end in (tube.start, tube.end)}
    joined += [name for name in ends if name is not None and name in envelopes]
    joined += [
        other.name
        for other in tubes
        if tube.name in (other.start.target, other.end.target) or tube.name in other.cut_by
    ]
    for name in dict.fromkeys(joined):
        depth = float(envelopes[name].depth(points).max())
        if depth > 0 and feature.spec.kind in _HOLLOW:
            yield f"lies through the joint with {name.replace('_', ' ')}"
        elif depth > -WELD:
            yield (
                f"lies {max(-depth, 0.0):.1f} mm beside the joint with {name.replace('_', ' ')}, "
                f"within the {WELD:g} mm of its weld"
            )


def overlapping(
    features: Sequence[Feature], tubes: Mapping[str, Tube]
) -> Iterator[tuple[Feature, Feature]]:
    """Yield pairs of features of one tube that run into each other, the later one first."""
    for one, other in combinations(features, 2):
        if one.tube != other.tube or {one.spec.kind, other.spec.kind} == {"collar", "clamp_slot"}:
            continue
        tube = tubes[one.tube]
        a, b = extent(one), extent(other)
        for p in spots(one, tube):
            for q in spots(other, tube):
                way = q.foot - p.foot
                along = abs(float(way @ p.along))
                aside = float(np.sqrt(max(float(way @ way) - along**2, 0.0)))
                if along < a[0] + b[0] - 1e-6 and aside < a[1] + b[1] - 1e-6:
                    yield other, one
                    break
            else:
                continue
            break


def bosses_apart(feature: Feature, wanted: Feature, tube: Tube) -> bool:
    """Return whether a boss stands where a bottle's own would be, on its side, but is not one."""
    if feature.tube != wanted.tube or feature.spec.kind != "boss" or feature.spec.number < 2:
        return False
    away = (feature.angle - wanted.angle + 180.0) % 360.0 - 180.0
    between = min(wanted.s), max(wanted.s)
    return abs(away) < 30.0 and any(between[0] - 50 < s < between[1] + 50 for s in feature.s)
