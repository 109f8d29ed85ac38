"""What a file may say of the features of its rear dropouts."""

from __future__ import annotations

from typing import Any

import pytest

from frame3d.parameters.models.flat_parts.on_dropouts import DropoutFeatureSpec
from tests.parameters.test_dropouts import told


@pytest.mark.parametrize(
    ("given", "problem"),
    [
        (
            {"features": {"b": {"kind": "post_mount", "side": "right"}}},
            ("inconsistent", "features.b.side"),
        ),
        (
            {"features": {"b": {"kind": "post_mount", "at": [9, 9]}}},
            ("inconsistent", "features.b.at"),
        ),
        (
            {"features": {"b": {"kind": "post_mount", "diameter": 8}}},
            ("inconsistent", "features.b.diameter"),
        ),
        (
            {"features": {"b": {"kind": "post_mount", "depth": 12, "length": 13}}},
            ("inconsistent", "features.b.length"),
        ),
        ({"features": {"b": {"kind": "flat_mount"}}}, ("missing-key", "features.b.outward")),
        (
            {"features": {"a": {"kind": "post_mount"}, "b": {"kind": "post_mount"}}},
            ("inconsistent", "features.b"),
        ),
        ({"features": {"e": {"kind": "eye"}}}, ("missing-key", "features.e.at")),
        (
            {"features": {"e": {"kind": "eye", "at": [-22, 9], "diameter": 6}}},
            ("inconsistent", "features.e.diameter"),
        ),
    ],
)
def test_what_does_not_go_together(given: dict[str, Any], problem: tuple[str, str]) -> None:
    assert told(given) == {problem}


def test_usual_sizes() -> None:
    """M6 and 12 of thread over 2 of floor for posts, M5 clear by 0.5 (value from memory of ISO 273)."""
    post = DropoutFeatureSpec.model_validate({"kind": "post_mount"})
    assert (post.threaded, post.hole, post.outside, post.long, post.apart) == (
        "M6",
        6,
        14,
        14,
        74.2,
    )
    flat = DropoutFeatureSpec.model_validate({"kind": "flat_mount", "outward": 11, "head": 4})
    assert (flat.threaded, flat.hole, flat.outside, flat.long, flat.apart) == (
        "M5",
        5.5,
        12,
        15,
        34,
    )
    assert (flat.beside, flat.bolt) == (11, 4)
    eye = DropoutFeatureSpec.model_validate({"kind": "eye", "at": [-20, 20], "thread": "M6"})
    assert (eye.threaded, eye.outside, eye.is_mount) == ("M6", 12, False)
