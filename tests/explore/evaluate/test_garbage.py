"""Cycles are collected once after each design, and the collector is left as it was."""

from __future__ import annotations

import gc
import weakref

import pytest

from frame3d.explore.evaluate.garbage import one_collection_each


class Cycle:
    def __init__(self) -> None:
        self.own = self


@pytest.mark.parametrize("is_enabled", [True, False])
def test_cycles_go_when_they_are_collected(is_enabled: bool) -> None:
    before = gc.isenabled()

    def spoilt() -> None:
        with one_collection_each() as collect:
            assert not gc.isenabled()
            cycle = weakref.ref(Cycle())
            assert cycle() is not None
            collect()
            assert cycle() is None
            raise ZeroDivisionError

    try:
        (gc.enable if is_enabled else gc.disable)()
        with pytest.raises(ZeroDivisionError):
            spoilt()
        assert gc.isenabled() == is_enabled
    finally:
        (gc.enable if before else gc.disable)()
