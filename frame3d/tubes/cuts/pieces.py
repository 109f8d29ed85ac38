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
    while True:
        more = kept.copy()
        for axis in range(kept.ndim):
            to, here = np.moveaxis(more, axis, 0), np.moveaxis(kept, axis, 0)
            to[1:] |= here[:-1]
            to[:-1] |= here[1:]
            if axis == around:
                to[0] |= here[-1]
                to[-1] |= here[0]
        more &= metal
        if (more == kept).all():
            return kept
        kept = more
