"""The name plate: engraved, as long as there is room, in its pocket one way only."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.mockup.parts.letters import written
from frame3d.mockup.parts.nameplate import (
    DEEP,
    KEY,
    LEANS,
    LEAST,
    THICK,
    lean_of,
    lines_of,
    lying,
    plate,
)
from frame3d.mockup.solid import bounds

X, Y, Z = np.eye(3)


def test_name_plate() -> None:
    made_plate = plate("Trail hardtail 29", "1:6", 120.0)
    assert made_plate is not None
    assert made_plate.missing == ""
    box = bounds(made_plate.solid)
    assert box[:, 0] == pytest.approx([-made_plate.width / 2, made_plate.width / 2], abs=1e-6)
    assert box[1] == pytest.approx([made_plate.width / 2, made_plate.height, THICK], abs=1e-6)
    assert made_plate.width <= 120.0
    # Engraved, not through: the back is whole, the front is not.
    back = float(made_plate.solid.slice(THICK - DEEP - 0.01).area())
    front = float(made_plate.solid.slice(THICK - 0.01).area())
    assert back == pytest.approx(made_plate.width * made_plate.height - KEY**2 / 2, rel=0.01)
    assert 0.02 * back < back - front < 0.3 * back


def test_names_that_are_long_or_cannot_be_engraved() -> None:
    short, long = (
        plate("Hardtail", "1:6", 60.0),
        plate("A very long name of a bicycle", "1:6", 60.0),
    )
    assert short is not None
    assert long is not None
    assert long.width <= 60.0 + 1e-6
    assert long.height > short.height
    assert (short.left, long.left) == ("", "")
    assert plate("山地", "1:6", 100.0) is None
    assert plate("", "1:6", 100.0) is None
    partly = plate("Ω 29", "1:6", 100.0)
    assert partly is not None
    assert partly.missing == "Ω"


@pytest.mark.parametrize(
    "name",
    ["x" * 5000, "many words " * 400, "Supercalifragilisticexpialidocious 29 in black and silver"],
)
def test_a_name_that_is_too_long_stays_readable(name: str) -> None:
    """As much as three lines hold, in capitals of 4 mm at least; the rest is told."""
    made_plate = plate(name, "1:6", 60.0)
    assert made_plate is not None
    assert made_plate.width <= 60.0 + 1e-6
    assert name.strip().endswith(made_plate.left[-20:])
    assert 0 < len(made_plate.left) < len(name)
    # Strokes side by side leave free what is between them: engraved areas are many, not one blot.
    engraved = made_plate.outline - made_plate.solid.slice(THICK - 0.01)
    box = np.array([piece.bounds() for piece in engraved.decompose()])
    assert np.ptp(box[:, [1, 3]], axis=1).max() >= LEAST
    assert len(box) > 15


def test_names_break_between_words_and_evenly() -> None:
    room = written("black and silver").width + 1.0
    assert lines_of("Hardtail in black and silver", room) == (
        ["Hardtail in", "black and silver"],
        "",
    )
    assert lines_of("  one\nline\t", room) == (["one line"], "")
    found, left = lines_of("a b c d e f g h i j k", written("a b").width)
    assert (found, left) == (["a b", "c d", "e f"], "g h i j k")


def test_lying_faces_the_drive_side() -> None:
    motion = lying(np.zeros(3), 10.0, LEANS[0])
    assert motion[:, 0] == pytest.approx(X)
    assert motion[1, 2] < -0.5
    assert motion[2, 2] > 0.5
    assert np.linalg.det(motion[:, :3]) == pytest.approx(1.0)


def test_a_plate_leans_back_as_far_as_it_must() -> None:
    """In its place, no corner of it is higher than asked for, where any of the tilts will do."""
    made = plate("Trail hardtail 29", "1:18", 55.0)
    assert made is not None
    assert lean_of(made.height, 100.0) == LEANS[0]
    assert lean_of(made.height, 1.0) == LEANS[-1]
    lean = lean_of(made.height, 14.0)
    assert LEANS[0] < lean < LEANS[-1]
    foot = made.solid.transform(lying(np.zeros(3), made.height, lean))
    assert float(np.ptp(bounds(foot)[:, 2])) < 14.0
    steeper = made.solid.transform(lying(np.zeros(3), made.height, LEANS[0]))
    assert float(np.ptp(bounds(steeper)[:, 2])) > 14.0
