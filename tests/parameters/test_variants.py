"""The words for a size and settings in titles."""

from __future__ import annotations

import pytest

from frame3d.parameters.models.variants import Variants


@pytest.mark.parametrize(
    ("variants", "title"),
    [
        (Variants(), "Heron"),
        (Variants(sizes=("S", "L"), default="S", size="L"), "Heron, size L"),
        (Variants(settings=("low", "long"), chosen=("low", "long")), "Heron, low, long"),
        (Variants(sizes=("L",), size="L", chosen=("low",)), "Heron, size L, low"),
    ],
)
def test_titles(variants: Variants, title: str) -> None:
    assert variants.titled("Heron") == title
