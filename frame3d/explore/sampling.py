"""Designs of a sweep: a full grid, Sobol points or a Latin hypercube, in a fixed order."""

from __future__ import annotations

import math
import warnings
from collections.abc import Iterator, Sequence
from itertools import product
from typing import Final

import numpy as np

from frame3d.explore.rounding import nearest, steps_in
from frame3d.explore.study.study import Design, Sample, Value, Varied
from frame3d.geometry.arrays import Array

_BLOCK: Final = 4096
"""Points drawn at a time."""


def designs_of(varied: Sequence[Varied], sample: Sample) -> Iterator[Design]:
    """Yield the designs of a sweep, each once, in an order that is always the same.

    Of a grid the last value changes fastest, each from its least to its greatest, a list in its own
    order. Samples come in the order of their sequence: Sobol points by
    `scipy.stats.qmc.Sobol`, Latin hypercubes by `scipy.stats.qmc.LatinHypercube`, both scrambled with
    the seed. A share of a range becomes the value there, rounded to the nearest of its steps; a share of
    a list of k values becomes one of them, all alike often. Designs that rounding makes the same are
    left out, so that there may be fewer than the sample counts.

    Args:
        varied: what varies, at least one value.
        sample: which designs.
    """
    if sample.kind == "grid":
        axes = [values_on(one, sample.count) for one in varied]
        yield from product(*axes)
        return
    seen: set[Design] = set()
    for block in _shares(sample, len(varied)):
        for shares in block:
            design = tuple(
                value_at(one, float(share)) for one, share in zip(varied, shares, strict=True)
            )
            if design not in seen:
                seen.add(design)
                yield design


def count_of(varied: Sequence[Varied], sample: Sample) -> int:
    """Return how many designs a sweep has at most; a grid has exactly so many."""
    every = math.prod(_most(one, sample.count) for one in varied)
    return every if sample.kind == "grid" else min(sample.count, every)


def values_on(varied: Varied, count: int) -> tuple[Value, ...]:
    """Return the values of a grid on one axis: all of a list (each once) or of a range with steps, or
    else `count` values from the least to the greatest, the least alone where `count` is 1.
    """
    if not varied.is_range:
        return tuple(dict.fromkeys(varied.values))
    low, high = _limits(varied)
    count = _most(varied, count)
    last = high if varied.step is None else low + (count - 1) * varied.step
    spread = np.linspace(low, last, count) if count > 1 else np.array([low])
    return tuple(float(value) for value in nearest(spread, low, high, varied.step))


def value_at(varied: Varied, share: float) -> Value:
    """Return the value at a share, 0 to 1, of a range or of a list; see `designs_of`."""
    if not varied.is_range:
        number = len(varied.values)
        return varied.values[min(int(share * number), number - 1)]
    low, high = _limits(varied)
    return float(nearest(np.array(low + share * (high - low)), low, high, varied.step))


def _limits(varied: Varied) -> tuple[float, float]:
    """Return the least and the greatest value of a range."""
    if varied.low is None or varied.high is None:
        raise ValueError(f"{varied.path}: a range has two limits")
    return varied.low, varied.high


def _most(varied: Varied, count: int) -> int:
    """Return how many values a grid with `count` values on free ranges has on one axis.

    A range without steps holds any number of values: as many as are asked.
    """
    if not varied.is_range:
        return len(dict.fromkeys(varied.values))
    low, high = _limits(varied)
    if varied.step is not None:
        return steps_in(low, high, varied.step) + 1
    return count if high > low else 1


def _shares(sample: Sample, numbers: int) -> Iterator[Array]:
    """Yield the sample's points in the unit cube, block by block, (m, numbers)."""
    from scipy.stats import qmc

    # A generator, not the number: scipy takes numbers in two ways, by the name of the argument.
    random = np.random.default_rng(sample.seed)
    if sample.kind == "latin_hypercube":
        yield np.asarray(qmc.LatinHypercube(numbers, seed=random).random(sample.count))
        return
    sobol = qmc.Sobol(numbers, scramble=True, seed=random)
    for drawn in range(0, sample.count, _BLOCK):
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)  # of counts that are no powers of two
            block = np.asarray(sobol.random(min(sample.count - drawn, _BLOCK)))
        yield block
