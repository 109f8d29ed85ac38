"""What the terminal says of dampers and frequencies."""

from __future__ import annotations

import pytest

from frame3d.cli.riding.damping import rounded, text
from frame3d.ride.damping.of_bike import Damping
from tests.ride.damping.bikes import DAMPED, damping


@pytest.mark.parametrize(
    ("value", "shown"),
    [(12557.6, "13000"), (994.6, "990"), (0.403, "0.4"), (7.96, "8"), (1.25, "1.2"), (45.0, "45")],
)
def test_two_digits_are_meant(value: float, shown: str) -> None:
    assert rounded(value) == shown


def test_both_ends_with_dampers() -> None:
    said = text(damping(*DAMPED), 120)
    assert "rear  front" in said
    assert "Damper rear, rebound: " in said
    assert "from the filmed return, beyond 0.3 m/s 2500 for each further m/s" in said
    assert "Damper front, rebound: 900 N·s/m: " in said
    assert "Damper front, compression" not in said
    assert said.count("this damper") == 2
    assert said.count("Return after a hit") == 2
    assert "with tyre [Hz]" in said
    assert "click" not in said.lower()


def test_without_dampers() -> None:
    said = text(damping(name="trail_hardtail_29"), 120)
    assert "rear" not in said
    assert "this damper" not in said
    assert "with tyre [Hz]" not in said
    assert "back soonest" in said


def test_slower_than_followed() -> None:
    said = text(damping("build.fork.damper.rebound_n_s_m=9000", name="trail_hardtail_29"), 120)
    (row,) = [line for line in said.splitlines() if line.startswith("this damper")]
    assert "over 2" in row


def test_no_returns() -> None:
    said = text(damping("suspension.sag=75%", "suspension.sag_of=travel"), 120)
    assert "Return after a hit, rear" not in said


def test_nothing() -> None:
    assert text(Damping(None, None, (), ("rear: no spring",)), 120) == ""
