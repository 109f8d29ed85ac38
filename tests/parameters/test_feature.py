"""Features in the file: each kind's keys, places, and sizes that do not go together."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from frame3d.parameters.models.tube_features.feature import FeatureSpec
from frame3d.parameters.models.tube_features.kinds import BRAKE_MOUNTS, KEYS, SIZES


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"kind": "boss"}, "where along the tube it stands is missing"),
        ({"kind": "boss", "from_start": 1, "from_end": 2}, "already placed by from_start"),
        ({"kind": "vent", "from_start": 1, "thread": "M5"}, "a vent has none"),
        ({"kind": "port", "from_start": 1, "width": 9, "length": 5}, "less than the port's width"),
        ({"kind": "boss", "from_start": 1, "thread": "M6", "diameter": 6.5}, "no metal around M6"),
        ({"kind": "guide", "from_start": 1, "diameter": 6}, "no metal around a hose of 5.5 mm"),
        ({"kind": "clamp_slot", "end_hole": 2}, "less than the slot's width"),
        ({"kind": "clamp_slot", "from_start": 2}, "a clamp_slot has none"),
        ({"kind": "flat_mount", "from_start": 2, "spacing": 40}, "a flat_mount has none"),
        ({"kind": "flat_mount", "from_start": 2, "diameter": 7}, "around the hole for M5"),
        ({"kind": "port", "from_start": 2, "patch_margin": 5}, "there is no patch"),
        ({"kind": "vent", "from_start": 2, "patch": 1}, "a vent has none"),
        ({"kind": "post_mount", "from_start": 2}, "a post_mount has none"),
        ({"kind": "post_mount", "diameter": 8}, "no metal around M6"),
        ({"kind": "post_mount", "side": "right"}, "the rear brake is on the left"),
        ({"kind": "vent", "from_start": 1, "spacing": 20}, "says nothing of a single one"),
    ],
)
def test_what_does_not_go_together_is_refused(given: dict[str, Any], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        FeatureSpec.model_validate(given)


def test_every_kind_has_its_usual_sizes() -> None:
    """Each is made from its kind and place alone, and has a size for every key of size."""
    for kind, keys in KEYS.items():
        place = {"from_start": 100} if "from_start" in keys else {}
        spec = FeatureSpec.model_validate({"kind": kind, **place})
        assert spec.number >= 1
        fixed = {"count", "spacing"} if kind in BRAKE_MOUNTS else set()  # by the published drawing
        assert set(SIZES[kind]) - fixed <= set(keys)
        for key, size in (
            ("diameter", spec.outside), ("width", spec.wide), ("length", spec.long),
        ):  # fmt: skip
            assert size > 0 or key not in keys
    assert FeatureSpec(kind="boss", from_start=1).number == 2
    assert FeatureSpec(kind="clamp_slot").around == 180.0
    mount = FeatureSpec(kind="flat_mount", from_start=1)
    assert (mount.number, mount.apart) == (2, 34.0)  # from memory of the published drawing
    assert FeatureSpec(kind="boss", from_start=1, thread="M6").bolt == 6.0
    post = FeatureSpec(kind="post_mount")  # M6 and 74.2 likewise
    assert (post.number, post.apart, post.threaded, post.outside) == (2, 74.2, "M6", 14.0)
