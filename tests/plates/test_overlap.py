"""What tubes take of a plate, against closed forms: a plate through a straight round tube."""

from __future__ import annotations

import math

import pytest

from frame3d.geometry.closed_path import Path
from frame3d.geometry.extrusion import Plane
from frame3d.geometry.outline import Hole, Outline
from frame3d.plates.overlap import largest_share, reached, taken_by
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.tube import Shell

SHELL = Envelope.of(Shell("shell", 100.0, 40.0, 30.0), "bottom_bracket")
ACROSS = Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def square(half: float) -> Path:
    return Path.polygon([(-half, -half), (half, -half), (half, half), (-half, half)])


def test_a_plate_square_to_a_tube_loses_a_disc() -> None:
    taken = taken_by(Outline(square(30)), ACROSS, (-2.0, 2.0), [SHELL])
    assert taken == pytest.approx(math.pi * 400 * 4, rel=1e-3)


def test_a_hole_in_the_tube_is_not_taken_twice() -> None:
    outline = Outline(square(30), (Hole(0.0, 0.0, 20.0),))
    taken = taken_by(outline, ACROSS, (-2.0, 2.0), [SHELL])
    assert taken == pytest.approx(math.pi * 300 * 4, rel=1e-3)


def test_a_plate_along_a_tube_loses_its_chords() -> None:
    """In a plate of thickness t about the axis: the integral of √(R² - y²), in closed form."""
    along = Plane((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    outline = Outline(Path.polygon([(-20, 10), (20, 10), (20, 40), (-20, 40)]))
    t, r = 3.0, 20.0
    under = t * math.sqrt(r * r - t * t) + r * r * math.asin(t / r)
    taken = taken_by(outline, along, (-t, t), [SHELL])
    assert taken == pytest.approx(40 * (under - 2 * t * 10), rel=1e-3)


def test_nothing_is_taken_by_nothing() -> None:
    assert taken_by(Outline(square(30)), ACROSS, (-2.0, 2.0), []) == 0.0


def test_what_a_plate_reaches() -> None:
    touching = Outline(Path.polygon([(20, -5), (40, -5), (40, 5), (20, 5)]))
    span = (-2.0, 2.0)
    assert reached(touching, ACROSS, span, [SHELL]) == ("bottom_bracket",)
    assert reached(touching, ACROSS, span, [SHELL], 0.3) == ()
    away = Outline(touching.outer.moved(3.0))
    assert reached(away, ACROSS, span, [SHELL]) == ()


ALONG = Plane((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def test_a_tube_through_a_plate_leaves_two_pieces() -> None:
    """30 mm above the tube and 10 below, along all of it."""
    outline = Outline(Path.polygon([(-40, -30), (40, -30), (40, 50), (-40, 50)]))
    assert largest_share(outline, ALONG, (-1.0, 1.0), [SHELL]) == pytest.approx(0.75, abs=0.01)


def test_a_plate_around_a_tube_is_whole() -> None:
    assert largest_share(Outline(square(30)), ACROSS, (-1.0, 1.0), [SHELL]) == 1.0
    assert largest_share(Outline(square(30), (Hole(25, 25, 4),)), ACROSS, (-1.0, 1.0), []) == 1.0


def test_both_legs_of_a_fork_are_one_piece() -> None:
    """Two runs in the rows below that come together above."""
    fork = [(-30, 0), (-25, 0), (-25, 60), (25, 60), (25, 0), (30, 0), (30, 70), (-30, 70)]
    assert largest_share(Outline(Path.polygon(fork)), ACROSS, (-1.0, 1.0), [SHELL]) == 1.0
