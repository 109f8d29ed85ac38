"""Find loose pieces of a cut tube, on a grid of cells of its wall."""

from __future__ import annotations

import numpy as np

from frame3d.geometry.arrays import Array, Mask


def loose(metal: Mask, size: Array) -> Mask:
    """Return the cells of metal outside the largest connected piece, which is what is kept of a part.

    Args:
        metal: (layers, along, around): whether anything is left of a cell.
        size: the same shape: how much is left.

    Returns:
        The same shape. Cells are connected by their faces, the last around with the first.
    """
    if metal.all():
        return np.zeros_like(metal)
    left, best, most = metal.copy(), np.zeros_like(metal), -1.0
    while left.any() and float(size[left].sum()) > most:
        seed = np.zeros_like(metal)
        seed.flat[int(np.argmax(left))] = True
        piece = _grown(seed, metal)
        left &= ~piece
        held = float(size[piece].sum())
        if held > most:
            best, most = piece, held
    return np.asarray(metal & ~best)


def _grown(kept: Mask, metal: Mask) -> Mask:
    """Return all metal that is connected with some of it."""
    while True:
        grown = kept | np.roll(kept, 1, axis=2) | np.roll(kept, -1, axis=2)
        grown[:, 1:] |= kept[:, :-1]
        grown[:, :-1] |= kept[:, 1:]
        grown[1:] |= kept[:-1]
        grown[:-1] |= kept[1:]
        grown &= metal
        if (grown == kept).all():
            return kept
        kept = grown
