"""Cut ends: mitres on their targets, square ends cut back, what misses and what is warned of."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bike.place_tubes import PlacedTubes
from frame3d.geometry.vector import vector
from frame3d.tubes.cuts.mitre import MitreCut
from frame3d.tubes.tube import Shell, Tube
from tests.bikes import hardtail_data
from tests.tubes.placing import (
    OTHER,
    Faulty,
    assert_fault,
    from_data,
    one,
    place,
    refused,
    strut,
    with_tubes,
)


def test_ends_sit_on_their_targets_axes(hardtail: PlacedTubes) -> None:
    bodies: dict[str, Tube | Shell] = {t.name: t for t in hardtail.tubes}
    assert hardtail.shell is not None
    bodies["bottom_bracket"] = hardtail.shell
    for tube in hardtail.tubes:
        for at, end in (("start", tube.start), ("end", tube.end)):
            assert end.point == (tube.axis.start if at == "start" else tube.axis.end)
            if end.cut == "mitre":
                assert end.target is not None
                _, distance = bodies[end.target].axis.approach(vector(end.point)[None])
                assert distance[0] >= end.offset - 1e-9
                edge = MitreCut(tube, at, bodies[end.target]).edge(180)  # type: ignore[arg-type]
                assert edge.z.min() == pytest.approx(end.long_point, abs=0.02)
                assert edge.z.max() == pytest.approx(end.short_point, abs=0.02)


def test_partly_missed_targets_are_warned_of() -> None:
    placed = with_tubes(
        strut={
            "od": 44.45,
            "start": {"on": "bottom_bracket"},
            "end": {"on": "top_tube", "from_start": 300.0},
        }
    )
    paths = [n.path for n in placed.notes]
    assert paths == ["tubes.strut.start", "tubes.strut.end"]
    assert "of its mitre passes the shell by" in placed.notes[0].message


def test_mitres_that_hang_over_an_end_are_warned_of() -> None:
    data = hardtail_data()
    data["tubes"]["top_tube"]["start"] = {"on": "seat_tube", "below_top": 10.0}
    data["tubes"]["chainstay"]["start"]["y"] = 31.0
    notes = from_data(data).notes
    assert [n.path for n in notes] == ["tubes.top_tube.start", "tubes.chainstay.start"]
    # 31 + half of 17 less half of the shell's 73 is 3; the stay slants out by some 6 degrees.
    past = float(notes[1].message.split(" reaches ")[1].split()[0])
    assert 3.0 < past < 3.0 + 22.0 * np.tan(np.radians(6.0))


def test_square_cut_on_a_tube_clears_it() -> None:
    tube = one(
        {"on": "down_tube", "from_start": 250.0, "cut": "square"},
        {"on": "top_tube", "from_start": 250.0},
    )
    assert tube.start.cut == "square"
    assert tube.start.target == "down_tube"
    assert (tube.start.long_point, tube.start.short_point) == (0.0, 0.0)
    down = next(t for t in place({}).tubes if t.name == "down_tube")
    height, width = tube.axis.frame(0.0)
    turn = np.linspace(0.0, 2 * np.pi, 3600)
    rim = vector(tube.start.point) + 10.0 * (
        np.outer(np.cos(turn), height) + np.outer(np.sin(turn), width)
    )
    _, distance = down.axis.approach(rim)
    assert distance.min() == pytest.approx(19.05, abs=1e-4)
    assert "down_tube" not in tube.cut_by


SEAT_LOW = {
    "start": {"on": "bottom_bracket"},
    "end": {"on": "seat_tube", "from_start": 0.0, "cut": "square"},
    "od": 34.9,
    "wall": 0.9,
}


def test_a_tube_butted_to_the_end_of_another_stands_on_it() -> None:
    """The lower part of a seat tube in two, in line with the upper: nothing is cut back."""
    upper = {"start": {"above_bottom": 190.0}, "od": 34.9, "wall": 1.2}
    placed = place({"seat_tube": upper, "seat_low": SEAT_LOW})
    low = next(tube for tube in placed.tubes if tube.name == "seat_low")
    seat = next(tube for tube in placed.tubes if tube.name == "seat_tube")
    assert low.end.point == pytest.approx(seat.start.point, abs=1e-9)
    assert low.end.cut == "square"


def test_tubes_in_line_are_told_from_tubes_that_pass_by() -> None:
    upper = {"start": {"above_bottom": 190.0}, "od": 34.9, "wall": 1.2}
    mitred = {**SEAT_LOW, "end": {"on": "seat_tube", "from_start": 0.0}}
    (fault,) = refused({"seat_tube": upper, "seat_low": mitred})
    assert fault.code == "junction-miss"
    assert "seat_low runs along seat_tube (their axes at 0.0°, 0.0 mm apart)" in fault.message
    assert "butt it to the very end" in fault.hint
    assert "toward the target's axis" not in fault.hint


FAULTS: dict[str, Faulty] = {
    "beside a tube": (
        strut({"on": "seat_tube", "below_top": 50.0, "y": 28.0}, OTHER),
        "junction-miss",
        "tubes.strut.start.y",
        "their outsides reach 10.0 and 17.4 mm",
    ),
    "above the shell": (
        strut({"on": "bottom_bracket", "above": 200.0, "forward": 100.0}, OTHER),
        "junction-miss",
        "tubes.strut.start",
        "strut passes the shell by",
    ),
    "nothing left": (
        strut({"on": "seat_tube", "above_bottom": 30.0}, {"on": "down_tube", "from_start": 30.0}),
        "junction-miss",
        "tubes.strut",
        "nothing is left of strut between its cuts",
    ),
    "stops too short": (
        strut({"at": [-400.0, 0.0, 100.0]}, {"on": "rear_axle", "stop_short": 200.0}),
        "junction-miss",
        "tubes.strut",
        "nothing is left of strut",
    ),
}


@pytest.mark.parametrize(("tubes", "code", "path", "words"), FAULTS.values(), ids=FAULTS)
def test_faults(tubes: dict[str, Any], code: str, path: str, words: str) -> None:
    assert_fault(tubes, code, path, words)
