"""The base of all models: numbers, shares, names of the tables, keys with nothing."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from frame3d.parameters.models.parts import HubSpec


@pytest.mark.parametrize("number", [True, "455", None, [455], float("nan"), float("inf")])
def test_a_number_is_a_number(number: object) -> None:
    with pytest.raises(ValidationError):
        HubSpec.model_validate({"width": number, "axle": 12})
