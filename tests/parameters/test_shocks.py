"""Shock sizes: a name is its two numbers, and what is none names those that are."""

from __future__ import annotations

import pytest

from frame3d.parameters.sizes.shocks import SHOCKS, shock
from frame3d.parameters.sizes.unknown import UnknownSize


@pytest.mark.parametrize("name", SHOCKS)
def test_a_name_is_length_by_stroke_in_millimetres_or_inches(name: str) -> None:
    size = shock(name)
    length, stroke = map(float, name.split("x"))
    scale = 25.4 if length < 20 else 1
    assert (size.length, size.stroke) == (length * scale, stroke * scale)
    assert size.stroke < size.length / 2


def test_a_trunnion_is_an_eyelet_brought_nearer() -> None:
    trunnions = [size for size in SHOCKS.values() if size.mount == "trunnion"]
    assert trunnions
    for size in trunnions:
        assert shock(f"{size.length + 25:g}x{size.stroke:g}").mount == "eyelet"


@pytest.mark.parametrize(("name", "near"), [("210x56", "210x55"), ("7.875 x 2.0", "7.875x2.0")])
def test_the_nearest_are_named(name: str, near: str) -> None:
    with pytest.raises(UnknownSize) as caught:
        shock(name)
    assert near in caught.value.hint
    assert "eye-to-eye and stroke" in caught.value.hint
