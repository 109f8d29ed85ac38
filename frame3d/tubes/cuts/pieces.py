"""Find loose pieces of a cut tube, on a grid of cells of its wall."""

from __future__ import annotations

import numpy as np

from frame3d.geometry.arrays import Array, Mask


def loose(metal: Mask, size: Array, around: int = 2) -> Mask:
    """Return the cells of metal outside the largest connected piece, which is what is kept of a part.

    Args:
        metal: whether anything is left of a cell: (layers, along, around) or of any other shape.
        size: the same shape: how much.
        around: the axis whose last cells hang together with its first.

    Returns:
        The same shape. Cells hang together by their faces.
    """
    if metal.all():
        return np.zeros_like(metal)
    if metal.ndim == 3 and around == 2:
        main = _on_rings(metal)
        if main is not None:
            if not np.array_equal(main, metal):
                main = grown(main, metal, around)
            rest = np.asarray(metal & ~main)
            if float(size[rest].sum()) < float(size[main].sum()):
                return rest
    left, best, most = metal.copy(), np.zeros_like(metal), -1.0
    while left.any() and float(size[left].sum()) > most:
        seed = np.zeros_like(metal)
        seed.flat[int(np.argmax(left))] = True
        piece = grown(seed, metal, around)
        left &= ~piece
        held = float(size[piece].sum())
        if held > most:
            best, most = piece, held
    return np.asarray(metal & ~best)


def _on_rings(metal: Mask) -> Mask | None:
    """Return the cells of a wall (layers, along, around) that hang on whole rings of it.

    They do by the cells of their own line along the tube. None where the rings do not plainly hang on
    each other, or there are none.
    """
    count = metal.shape[1]
    place = np.arange(count)
    ring = metal.all(axis=(0, 2))
    rings = np.flatnonzero(ring)
    if not len(rings):
        return None
    # The last gap of each line, and the last ring, before each place; the same behind it.
    gap = np.maximum.accumulate(np.where(metal, -1, place[:, None]), axis=1)
    if not (gap[:, rings[1:]] < rings[:-1, None]).any(axis=(0, 2)).all():
        return None
    hangs = np.maximum.accumulate(np.where(ring, place, -1))[:, None] > gap
    gap = np.minimum.accumulate(np.where(metal, count, place[:, None])[:, ::-1], axis=1)[:, ::-1]
    hangs |= np.minimum.accumulate(np.where(ring, place, count)[::-1])[::-1, None] < gap
    return np.asarray(metal & hangs)


def grown(kept: Mask, metal: Mask, around: int) -> Mask:
    """All metal that hangs together with some of it; `around` as for `loose`."""
    kept = kept & metal
    if not kept.any():
        return kept
    while True:
        more = kept
        for axis in range(kept.ndim):
            more = _along(more, metal, axis, is_closed=axis == around)
        if np.array_equal(more, kept):
            return kept
        kept = more


def _along(kept: Mask, metal: Mask, axis: int, *, is_closed: bool) -> Mask:
    """Return all of each run of metal along an axis of which some is kept.

    What is kept spreads by 1, 2, 4 ... cells, where there is metal all the way (parallel prefix, after
    Kogge and Stone).
    """
    kept, metal = np.moveaxis(kept, axis, 0), np.moveaxis(metal, axis, 0)
    count = len(kept)
    if is_closed:  # twice around: behind the second time, before the first, all of the others lie
        kept, metal = np.concatenate((kept, kept)), np.concatenate((metal, metal))
    found = np.zeros_like(kept[:count])
    for way in (slice(None), slice(None, None, -1)):
        here, open_ = kept[way].copy(), metal[way].copy()
        by = 1
        while by < count:
            here[by:] |= open_[by:] & here[:-by]
            open_[by:] &= open_[:-by]
            by *= 2
        found |= here[-count:][way]
    return np.moveaxis(found, 0, axis)
