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
    found = np.moveaxis(kept.copy(), axis, 0)
    for way in (slice(None), slice(None, None, -1)):
        here, open_ = found[way], np.moveaxis(metal, axis, 0)[way].copy()
        by = 1
        while by < len(here):
            if is_closed:  # the last cell is beside the first
                here |= open_ & np.roll(here, by, axis=0)
                open_ &= np.roll(open_, by, axis=0)
            else:
                here[by:] |= open_[by:] & here[:-by]
                open_[by:] &= open_[:-by]
            by *= 2
    return np.moveaxis(found, 0, axis)
