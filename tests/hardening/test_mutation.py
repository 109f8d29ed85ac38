"""Spoilt files by a seed: no traceback, no exit status but 0, 1, 2, and every fault names its place."""

from __future__ import annotations

import pytest

from tests.hardening.mutation import KINDS, case, wrong_with

COUNT, BUNCH = 3_000, 50
"""`python -m tests.hardening N` runs any number, with all commands."""


@pytest.mark.parametrize("first", range(0, COUNT, BUNCH))
@pytest.mark.filterwarnings("ignore")
def test_spoilt_files(first: int) -> None:
    wrong = {}
    for number in range(first, first + BUNCH):
        one = case(number)
        said = wrong_with(one)
        if said:
            wrong[str(one)] = said
    assert wrong == {}


def test_cases_are_the_same_each_time_and_of_all_kinds() -> None:
    assert case(7) == case(7)
    assert {case(number).kind for number in range(100)} == set(KINDS)
