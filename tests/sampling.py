"""Which cases run: a few of each property in everyday runs and CI, the others when asked for.

Further cases of a property that others show already are marked `thorough`: `pytest -m thorough` runs those
alone, and every other run leaves them out (pyproject.toml). Cases that nobody runs but once in a while, for
minutes or hours, are there with FRAME3D_EVERY_CASE=1 only.
"""

from __future__ import annotations

import os
from collections.abc import Collection, Iterable, Sequence
from itertools import product
from typing import Any, Final, TypeVar

import pytest

EVERY_CASE: Final = os.environ.get("FRAME3D_EVERY_CASE") == "1"
T = TypeVar("T")


def sample(cases: Sequence[T], step: int) -> list[T]:
    """Every step-th case, the first among them; all of them where every case was asked for."""
    return list(cases if EVERY_CASE else cases[::step])


def first(count: int, cases: Iterable[Any]) -> list[Any]:
    """Cases for `parametrize`: those after the first `count` are thorough. A tuple is several values."""
    return [case if i < count else thorough(case) for i, case in enumerate(cases)]


def everyday(some: Collection[Any], cases: Iterable[Any]) -> list[Any]:
    """Cases for `parametrize`: those that are not among `some` are thorough. A tuple is several values.

    Fault if some that should run are no cases.
    """
    cases = list(cases)
    assert all(one in cases for one in some), some
    return [case if case in some else thorough(case) for case in cases]


def diagonal(step: int, *axes: Sequence[Any]) -> list[Any]:
    """Combinations for `parametrize`: those whose places on the axes add up to no multiple of `step` are
    thorough. Each value of each axis runs in some other case where an axis has `step` values or more.
    """
    places = product(*(range(len(axis)) for axis in axes))
    cases = zip(product(*axes), places, strict=True)
    return [case if sum(at) % step == 0 else thorough(case) for case, at in cases]


def thorough(case: Any) -> Any:
    """A case for `parametrize` that runs with the thorough ones only. A tuple is several values."""
    if hasattr(case, "marks"):
        return pytest.param(*case.values, marks=(*case.marks, pytest.mark.thorough), id=case.id)
    values = case if isinstance(case, tuple) else (case,)
    return pytest.param(*values, marks=pytest.mark.thorough)
