"""What is said of an eccentric insert."""

from __future__ import annotations

import frame3d
from frame3d.bike.tension.insert_notes import insert_notes
from tests.bike.tension.bikes import RIGID, eccentric


def test_where_the_bottom_bracket_stands_and_what_the_turn_changes() -> None:
    bike = eccentric("build.bottom_bracket.eccentric.angle=-150")
    first, second = insert_notes(bike.spec, bike.frame, bike.nodes, bike.chart["bb_height"])
    # 6 cos 150° = -5.196, 6 sin -150° = -3: so it can go down by 3 mm and up by 3 from 281 mm.
    assert "5.20 mm behind and 3.00 mm below the shell's middle" in first.message
    assert "-150 of -180 to 0°" in first.message
    assert "bottom bracket height goes from 278.00 to 284.00 mm" in second.message
    assert "maybe only one with a half link" in second.message
    assert {first, second} <= set(bike.notes)
    plain = frame3d.solve(frame3d.load(RIGID))
    assert insert_notes(plain.spec, plain.frame, plain.nodes, None) == ()
