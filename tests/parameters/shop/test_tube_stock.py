"""Tubes as they are sold: which values go together."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from frame3d.parameters.models.shop.tube_stock import SoldButtsSpec, StockTubeSpec

TUBE: dict[str, Any] = {"name": "A", "od": 28.6, "wall": 0.8, "length": 600.0, "material": "4130"}
BUTTS: dict[str, Any] = {"butted": [0.9, 0.6, 0.9], "lengths": [90.0, 120.0], "transition": 50.0}


@pytest.mark.parametrize(
    "change",
    [
        {"wall": "solid"},
        {"wall": BUTTS},
        {"od": {"height": 30.0, "width": 17.0}},
        {"od": {"start": 20.0, "end": 14.0, "after": 60.0, "over": 200.0}},
        {"count": 4},
    ],
)
def test_every_form_is_taken(change: dict[str, Any]) -> None:
    assert StockTubeSpec.model_validate(TUBE | change).name == "A"


@pytest.mark.parametrize(
    "change",
    [{"od": {"start": 20.0}}, {"wall": "thin"}, {"wall": 14.5}, {"length": 0.0}, {"od": [1]}],
)
def test_what_is_no_tube_is_refused(change: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        StockTubeSpec.model_validate(TUBE | change)


def test_butts_have_one_length_fewer_than_walls() -> None:
    assert SoldButtsSpec.model_validate(BUTTS).taken == 310.0
    with pytest.raises(ValidationError, match="2 butt lengths"):
        SoldButtsSpec.model_validate(BUTTS | {"lengths": [90.0]})
