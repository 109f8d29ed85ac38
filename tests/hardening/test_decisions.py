"""Checks decided for studies and by the full check agree on random designs of the demos, a few of many."""

from __future__ import annotations

from tests.hardening.decisions import DEMOS, differing


def test_a_design_of_each_demo() -> None:
    found = [differing(number) for number in range(len(DEMOS))]
    assert not any(found)
    assert sum(one is not None for one in found) >= 1
