"""Parts by name."""

from __future__ import annotations

import pytest

from tests.bodies.bike import bodies


def test_bodies_by_name() -> None:
    found = bodies()
    for body in found.bodies:
        assert found.body(body.name) is body
    for wrong in ("rear tyre", "", "crank_arm"):
        with pytest.raises(KeyError, match=f"'{wrong}'"):
            found.body(wrong)
