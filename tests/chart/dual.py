"""Dual numbers: a value with its derivative, for numpy object arrays."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from frame3d.chart.relations import Array, Values


@dataclass(frozen=True)
class Dual:
    """value + slope·ε, ε² = 0."""

    value: float
    slope: float = 0.0

    def __add__(self, other: Any) -> Dual:
        other = _dual(other)
        return Dual(self.value + other.value, self.slope + other.slope)

    def __mul__(self, other: Any) -> Dual:
        other = _dual(other)
        return Dual(self.value * other.value, self.value * other.slope + self.slope * other.value)

    def __truediv__(self, other: Any) -> Dual:
        other = _dual(other)
        ratio = self.value / other.value
        return Dual(ratio, (self.slope - ratio * other.slope) / other.value)

    def __pow__(self, power: int) -> Dual:
        return Dual(self.value**power, power * self.value ** (power - 1) * self.slope)

    def __neg__(self) -> Dual:
        return self * -1.0

    def __sub__(self, other: Any) -> Dual:
        return self + _dual(other) * -1.0

    def __rsub__(self, other: Any) -> Dual:
        return _dual(other) - self

    def __rtruediv__(self, other: Any) -> Dual:
        return _dual(other) / self

    __radd__ = __add__
    __rmul__ = __mul__

    # numpy's functions on object arrays call these.
    def sin(self) -> Dual:
        return Dual(math.sin(self.value), math.cos(self.value) * self.slope)

    def cos(self) -> Dual:
        return Dual(math.cos(self.value), -math.sin(self.value) * self.slope)

    def hypot(self, other: Any) -> Dual:
        other = _dual(other)
        long = math.hypot(self.value, other.value)
        return Dual(long, (self.value * self.slope + other.value * other.slope) / long)


def _dual(x: Any) -> Dual:
    return x if isinstance(x, Dual) else Dual(float(x))


def derivative(f: Callable[[Values], Array], at: Values, name: str) -> float:
    """df/d(name) of a function of variables, each of shape (1,)."""
    values = Values(
        {n: np.array([Dual(float(x[0]), float(n == name))], dtype=object) for n, x in at.items()}
    )
    result = np.asarray(f(values)).ravel()[0]
    return float(result.slope)
