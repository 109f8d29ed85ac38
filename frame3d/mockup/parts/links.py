"""The rear suspension at its pose: pins through its pivots and the shock, joined to the frame."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.motion.pose import matrix
from frame3d.bodies.parts.shock import SHAFT, shock
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.solid import CHORD, closed, rod
from frame3d.solids.outline_mesh import body_mesh
from frame3d.tubes.hardware import Housing, Lug

if TYPE_CHECKING:
    from manifold3d import Manifold

BRIDGED = 12.0
"""Largest gap between parts of a pivot that its pin joins [mm of the bike]."""
WIDER = 0.4
"""Oversize of a pin's radius over its bore, so that both join [mm of the bike]."""

Span = tuple[float, float, float]
"""Lowest and highest y, and the bore's radius [mm of the bike]."""


def links(drawing: Drawing) -> Iterator[Manifold]:
    """Yield pins and shock at their pose [mm of the bike]; nothing without a rear suspension."""
    bike = drawing.bike
    linkage = bike.linkage
    if linkage is None:
        return
    for name, (x, z) in linkage.drawn.items():
        on = [body for body, points in linkage.bodies.items() if name in points]
        link = next((body for body in on if body in linkage.links), None)
        motion = matrix(drawing.place.link(link), drawing.pose)[:3]
        for low, high, radius in _joined(_spans(bike, name)):
            pin = drawing.least(name, "pin's diameter", 2 * (radius + WIDER), drawing.options.rod)
            a, b = np.array([x, low, z]), np.array([x, high, z])
            yield rod(a, b, pin / 2 / drawing.scale).transform(motion)
    for part in shock(drawing.place):
        yield closed(body_mesh(part, drawing.pose, CHORD / drawing.scale))
    ends = []
    for name, mount in zip(linkage.shock, drawing.place.shock, strict=True):
        x, z = linkage.drawn[name]
        ends.append((matrix(mount, drawing.pose) @ np.array([x, 0.0, z, 1.0]))[:3])
    # A rod from eye to eye joins both halves of the shock.
    shaft = drawing.least("shock", "shaft's diameter", SHAFT, drawing.options.rod)
    yield rod(ends[0], ends[1], shaft / 2 / drawing.scale)


def _spans(bike: Bike, name: str) -> list[Span]:
    """Return the y-ranges of the parts on a pivot, sorted."""
    found: list[Span] = []
    for item in bike.pivots:
        if isinstance(item, Housing):
            if item.pivot == name:
                found.append((-item.width / 2, item.width / 2, item.bore / 2))
        elif isinstance(item, Lug):
            if item.pivot == name:
                found.append((*item.span, item.bore / 2))
        else:
            found += [(b.low, b.high, b.bore / 2) for b in item.bosses if b.pivot == name]
    suspension, linkage = bike.spec.suspension, bike.linkage
    if suspension is not None and linkage is not None and name in linkage.shock:
        half = suspension.shock.eye_width / 2
        found.append((-half, half, 0.0))
    return sorted(found)


def _joined(spans: list[Span]) -> list[Span]:
    """Return spans with neighbours merged that are at most `BRIDGED` apart."""
    found: list[Span] = []
    for span in spans:
        if found and span[0] - found[-1][1] <= BRIDGED:
            low, high, radius = found.pop()
            found.append((low, max(high, span[1]), max(radius, span[2])))
        else:
            found.append(span)
    return found
