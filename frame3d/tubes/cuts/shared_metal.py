"""Find tubes that lie in one another: metal of both in one place.

A tube is cut by the earlier ones that its outside runs into, so two share metal only where the outside
of the earlier one lies within the wall of the later one, from end to end::

      later    ═══════════════════   outside
      earlier  ───────────────────   its wall lies in the wall of the later one
      later    ═══════════════════   bore

A sleeve around a tube does not: its bore is as wide as the tube's outside.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from itertools import combinations

import numpy as np

from frame3d.chart.cache import Cache
from frame3d.geometry.arrays import Array, Mask
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.cuts.shadow import shadows
from frame3d.tubes.tube import Tube

AROUND = 16
"""Samples around a tube."""
STEP = 6.0
"""Distance of samples along a tube [mm]."""
LAYERS = (1 / 6, 3 / 6, 5 / 6)
"""Samples through the wall, as shares of it."""
LEAST = 30.0
"""Volume below which tubes count as touching [mm³]."""


def shared_metal(
    tubes: Sequence[Tube], envelopes: Mapping[str, Envelope], memory: Cache
) -> Iterator[tuple[Tube, Tube, float]]:
    """Yield tubes of one link that share metal: the earlier, the later, and the volume [mm³].

    The volume is a sum over samples, within some per cent.

    Args:
        tubes: in build order.
        envelopes: outside of each tube and of all that cuts them, by name.
        memory: cache of earlier results.
    """
    for earlier, later in combinations(tubes, 2):
        if (
            earlier.link != later.link
            or earlier.name in later.cut_by
            or later.name in earlier.cut_by
        ):
            continue
        if not _boxes_meet(envelopes[earlier.name], envelopes[later.name]):
            continue
        cutters = [
            envelopes[name].values for name in (*earlier.cut_by, *later.cut_by) if name in envelopes
        ]
        volume = memory.get_or_compute(
            ("shared", earlier, later, tuple(cutters)),
            partial(_shared, earlier, later, envelopes),
        )
        if volume > LEAST:
            yield earlier, later, volume


def _boxes_meet(one: Envelope, other: Envelope) -> bool:
    return bool(((one.box[0] <= other.box[1]) & (other.box[0] <= one.box[1])).all())


def _shared(earlier: Tube, later: Tube, envelopes: Mapping[str, Envelope]) -> float:
    """Return the volume of the earlier tube's metal that is the later one's too [mm³]."""
    span = envelopes[earlier.name]
    count = max(2, int(np.ceil((span.high - span.low) / STEP)))
    each = (span.high - span.low) / count
    along = np.repeat(span.low + each * (np.arange(count) + 0.5), AROUND)
    phi = np.tile(np.arange(AROUND) * (360.0 / AROUND), count)
    share = earlier.section.area_at(along) * each / (AROUND * len(LAYERS))
    centre, up, across = earlier.axis.frames(along)
    y, x = earlier.section.place(phi, along)
    box = envelopes[later.name].near
    deep = earlier.section.furthest if earlier.section.is_solid else max(earlier.section.wall)
    near = np.flatnonzero(box(centre + y[:, None] * up + x[:, None] * across, deep))
    if not len(near):
        return 0.0
    phi, along, share = (np.tile(row[near], len(LAYERS)) for row in (phi, along, share))
    centre, up, across = (np.tile(rows[near], (len(LAYERS), 1)) for rows in (centre, up, across))
    y, x = earlier.section.place(phi, along, np.repeat(LAYERS, len(near)))
    points = centre + y[:, None] * up + x[:, None] * across
    both = np.flatnonzero(box(points))
    for tube in (later, earlier):  # most of what is near lies beside the later one: asked first
        both = both[_is_metal(tube, points[both], envelopes)] if len(both) else both
    return float(share[both].sum())


def _is_metal(tube: Tube, points: Array, envelopes: Mapping[str, Envelope]) -> Mask:
    """Which points lie in a tube's wall, and in nothing that cuts it: (n, 3) -> (n,)."""
    metal = envelopes[tube.name].depth(points) > 0.0
    if not metal.any():
        return np.asarray(metal)
    if not tube.section.is_solid:
        s, _ = tube.axis.approach(points)
        centre, up, across = tube.axis.frames(s)
        d = points - centre
        along = np.sum(d * up, axis=1), np.sum(d * across, axis=1)
        metal &= tube.section.level(*along, s, 1.0) >= 0.0
    for name in tube.cut_by:
        if name in envelopes:
            metal &= envelopes[name].depth(points) < 0.0
    for shadow in shadows(tube, {name: span.body for name, span in envelopes.items()}):
        metal &= shadow.depth(points) < 0.0
    return np.asarray(metal)
