"""Kinds of features: their keys, and the usual sizes of what the file leaves out."""

from __future__ import annotations

from typing import get_args

import pytest

from frame3d.parameters.models.tube_features.kinds import (
    CLEAR,
    KEYS,
    SCREWED,
    SCREWS,
    SIZES,
    Kind,
    usual_outside,
    usual_thread,
)


def test_every_kind_has_its_keys_and_no_usual_size_of_another() -> None:
    assert set(KEYS) == set(SIZES) == set(get_args(Kind))
    for kind, sizes in SIZES.items():
        own = {
            "depth",
            "end_hole",
            "length",
            "spacing",
            "count",
        }  # some are not asked of every kind
        assert set(sizes) - own <= set(KEYS[kind]), kind


@pytest.mark.parametrize(
    ("thread", "head", "high", "hole"),
    # Value from memory of ISO 4762 (head of a socket head cap screw) and of ISO 273, medium (clear hole).
    [("M4", 7.0, 4.0, 4.5), ("M5", 8.5, 5.0, 5.5), ("M6", 10.0, 6.0, 6.6), ("M8", 13.0, 8.0, 9.0)],
)
def test_screws_are_those_of_their_standards(
    thread: str, head: float, high: float, hole: float
) -> None:
    screw = SCREWS[thread]  # type: ignore[index]
    assert (screw.head, screw.high) == (head, high)
    # One clearance serves all: exact for M4 and M5, which all but post mounts and eyes take.
    assert (
        0 <= hole - (screw.major + CLEAR) <= {"M4": 0, "M5": 0, "M6": 0.1, "M8": 0.5}[thread] + 1e-9
    )


def test_a_post_mount_takes_the_larger_screw() -> None:
    assert {kind: usual_thread(kind) for kind in SCREWED} == {
        "boss": "M5",
        "eye": "M5",
        "flat_mount": "M5",
        "post_mount": "M6",
    }


@pytest.mark.parametrize("thread", SCREWS)
def test_metal_stands_around_every_screw(thread: str) -> None:
    """A wall of 1.5 mm at least: common practice, no source."""
    screw = SCREWS[thread]  # type: ignore[index]
    for kind in SCREWED:
        assert usual_outside(kind, screw) >= screw.major + 3.0
    assert usual_outside("post_mount", screw) > usual_outside("boss", screw)
    assert usual_outside("flat_mount", screw) > usual_outside("boss", screw)
