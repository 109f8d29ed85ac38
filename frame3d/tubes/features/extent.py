"""How much of its tube a feature takes, and whether it can stand there at all."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.features.edges import edge_points
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.holes import marked
from frame3d.tubes.features.patches import cannot_stand as no_patch
from frame3d.tubes.features.patches import half_size
from frame3d.tubes.features.stand import Spot, spot, spots
from frame3d.tubes.features.towers import cannot_stand
from frame3d.tubes.features.towers import footprint as under_towers
from frame3d.tubes.tube import Tube

ROOM = 0.95
"""Largest share of a tube's outside, or of its bore, that a boss, or a hole, may be wide."""
THIN = 3.0
"""Least difference between a collar's outside and the tube's [mm]; common practice, no source."""
LEANING = 0.8
"""Largest share of half the bore that a leaning port's inner end may reach past the axis."""


MOVED = (
    "; a stay that reaches nearer to the axle, another build.rear_brake.angle, or a lean of its bolts "
    "moves the posts"
)


def extent(feature: Feature) -> tuple[float, float]:
    """Return half of what one of a feature's row takes of the tube: along it, and around it [mm]."""
    spec = feature.spec
    if spec.kind == "port":
        turn = np.radians(spec.turn or 0.0)
        straight, radius = (spec.long - spec.wide) / 2, spec.wide / 2
        along = straight * abs(np.cos(turn)) + radius
        more, wider = half_size(feature)
        return float(along / np.cos(np.radians(spec.lean or 0.0))) + more, float(
            straight * abs(np.sin(turn)) + radius + wider
        )
    if spec.kind in ("guide", "stop"):
        return spec.long / 2, spec.outside / 2
    if spec.kind == "clamp_slot":
        return spec.long / 2, spec.hole / 2
    if spec.kind == "collar":
        return spec.long / 2, 0.0
    if spec.kind == "eye":
        return spec.outside / 2, spec.wide / 2
    return spec.outside / 2, spec.outside / 2


def footprint(feature: Feature, tube: Tube) -> Array:
    """Return points on the tube's outside around what a feature covers: (n, 3) [mm]."""
    if feature.spec.kind in ("boss", "port", "vent", "clamp_slot", "flat_mount"):
        return np.concatenate([edge_points(hole, tube, count=48) for hole in marked(feature, tube)])
    if feature.spec.kind == "post_mount":
        return np.concatenate(under_towers(feature, tube))
    along, around = extent(feature)
    found = []
    if feature.spec.kind == "collar":
        turns = np.arange(0.0, 360.0, 10.0)
        s = feature.s[0]
        return np.array([spot(tube, s + a, t).foot for a in (-along, along) for t in turns])
    for place in spots(feature, tube):
        for a in (-along, 0.0, along):
            for b in (-around, 0.0, around):
                found.append(place.foot + a * place.along + b * place.around)
    return np.array(found)


def wrong_with(feature: Feature, tube: Tube, envelopes: Mapping[str, Envelope]) -> str | None:
    """Return why a feature cannot stand where the file says, as the end of a sentence; else None."""
    spec = feature.spec
    if spec.kind in ("clamp_slot", "collar") and feature.key != "seat_tube":
        return f"only the seat tube has a {spec.kind.replace('_', ' ')}"
    along, around = extent(feature)
    low, high = tube.start.long_point, tube.axis.length - tube.end.long_point
    for s in feature.s:
        beyond = max(low - (s - along), s + along - high)
        if beyond > 1e-6:
            return (
                f"it stands {beyond:.1f} mm off the tube, whose metal runs from {low:.1f} to "
                f"{high:.1f} mm along its axis" + (MOVED if spec.kind == "post_mount" else "")
            )
    wrong = no_patch(feature, tube, along, around)
    if spec.kind == "post_mount":
        wrong = cannot_stand(feature, tube, envelopes[tube.name])
    if wrong is not None:
        return wrong
    around -= half_size(feature)[1]
    for place in spots(feature, tube):
        wrong = _too_large(feature, tube, place, around)
        if wrong is not None:
            return wrong
        for name in tube.cut_by:
            if name in envelopes and float(envelopes[name].depth(place.foot[None])[0]) > 0:
                return f"there is no metal: {name.replace('_', ' ')} has cut the tube away there"
    return None


def _too_large(feature: Feature, tube: Tube, place: Spot, around: float) -> str | None:
    """Return what says that a feature is larger than its tube; None where it is not."""
    spec, section = feature.spec, tube.section
    outside = min(float(section.height_at(place.s)), float(section.width_at(place.s)))
    bore = outside - 2 * float(section.wall_at(place.s))
    if spec.kind in ("port", "vent", "clamp_slot"):
        if section.is_solid:
            return "the tube is a bar: it has no inside for a hole to open"
        if 2 * around > ROOM * bore:
            return (
                f"{2 * around:g} mm across the tube, it is larger than the bore of {bore:.1f} mm "
                f"there allows: at most {ROOM * bore:.1f}"
            )
        lean, turn = (np.radians(x or 0.0) for x in (spec.lean, spec.turn))
        low = spec.long * abs(float(np.sin(lean) * np.cos(turn)))
        if spec.kind == "port" and low > LEANING * bore / 2:
            return (
                "leaning so far, its inner end would cut the far wall: a shorter port, or less lean"
            )
    elif spec.kind == "collar" and feature.spec.diameter is not None:
        if spec.outside < outside + THIN:
            return (
                f"a collar of {spec.outside:g} mm leaves no ring around the tube of {outside:g} mm: at "
                f"least {outside + THIN:g}"
            )
    elif spec.kind in ("boss", "flat_mount") and spec.outside > ROOM * outside:
        return (
            f"a {spec.kind.replace('_', ' ')} of {spec.outside:g} mm is larger than the tube of "
            f"{outside:.1f} mm there allows: at most {ROOM * outside:.1f}"
        )
    return None
