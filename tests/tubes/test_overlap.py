"""What a tube overlaps cuts it, against dense samples."""

from __future__ import annotations

import numpy as np

from frame3d.bike.place_tubes import PlacedTubes
from frame3d.tubes.cuts.mitre import MitreCut, level
from frame3d.tubes.tube import Shell, Tube
from tests.tubes.placing import image, with_tubes


def inside(body: Tube | Shell, points: np.ndarray) -> np.ndarray:
    """Whether points lie in a body's outside between its ends, independently of `overlap`."""
    low, high = 0.0, body.axis.length
    if isinstance(body, Tube):
        low, high = body.start.long_point, high - body.end.long_point
    outside, s = level(body, points)
    return (outside < -0.02) & (s > low) & (s < high)


def assert_cut_by_what_it_overlaps(placed: PlacedTubes) -> None:
    """A dense sample of each tube's outside, less its mitres, against every body before it."""
    bodies: dict[str, Tube | Shell] = {}
    if placed.shell is not None:
        bodies["bottom_bracket"] = placed.shell
    rng = np.random.default_rng(3)
    for tube in placed.tubes:
        phi = rng.uniform(0.0, 360.0, 20000)
        ends = []
        for at, end in (("start", tube.start), ("end", tube.end)):
            if end.cut == "mitre" and end.target is not None:
                grid = np.linspace(0.0, 360.0, 721)
                z = MitreCut(tube, at, bodies[end.target]).edge_at(grid).z  # type: ignore[arg-type]
                ends.append(np.interp(phi, grid, z))
            else:
                ends.append(np.zeros(len(phi)))
        low, high = ends[0], tube.axis.length - ends[1]
        s = low + (high - low) * rng.uniform(0.0, 1.0, len(phi))
        centre, up, across = tube.axis.frames(s)
        a, b = tube.section.radii_at(s)
        turn = np.radians(phi)
        points = centre + (a * np.cos(turn))[:, None] * up + (b * np.sin(turn))[:, None] * across
        touched = {name for name, body in bodies.items() if inside(body, points).any()}
        assert touched <= set(tube.cut_by), tube.name
        bodies[tube.name] = tube


def test_tubes_are_cut_by_what_they_overlap(hardtail: PlacedTubes) -> None:
    assert_cut_by_what_it_overlaps(hardtail)
    assert hardtail.tubes[2].cut_by == ("bottom_bracket", "head_tube", "seat_tube")


def test_braces_that_run_through_other_tubes() -> None:
    placed = with_tubes(
        brace={
            "start": {"on": "seat_tube", "above_bottom": 120.0},
            "end": {"on": "head_tube", "above_bottom": 70.0},
        },
        crossing={
            "start": {"on": "top_tube", "from_start": 250.0},
            "end": {"on": "down_tube", "from_start": 250.0},
        },
        far={
            "start": {"on": "top_tube", "from_start": 150.0},
            "end": {"on": "seat_tube", "above_bottom": 300.0},
        },
    )
    assert_cut_by_what_it_overlaps(placed)
    tubes = {t.name: t for t in placed.tubes}
    assert tubes["crossing"].cut_by == ("top_tube", "down_tube", "brace")
    assert tubes["far"].cut_by == ("top_tube", "seat_tube")


def test_a_wishbone_is_cut_by_its_own_left_side() -> None:
    placed = with_tubes(
        strut={
            "pair": True,
            "start": {"on": "seat_tube", "below_top": 100.0},
            "end": {"on": "seatstay", "from_start": 300.0},
        }
    )
    left, right = image(placed, "strut")
    assert "strut_left" in right.cut_by
    assert "strut_right" not in left.cut_by
    assert any("left and right strut overlap" in n.message for n in placed.notes)


def test_a_tube_on_one_side_only_cuts_that_side_only() -> None:
    placed = with_tubes(
        spar={"start": {"at": [-160.0, -42.0, -60.0]}, "end": {"at": [-160.0, -42.0, 120.0]}},
        strut={
            "pair": True,
            "start": {"on": "rear_axle", "y": 50.0},
            "end": {"on": "bottom_bracket", "y": 26.0},
        },
    )
    left, right = image(placed, "strut")
    assert "spar" not in left.cut_by
    assert "spar" in right.cut_by
    assert_cut_by_what_it_overlaps(placed)
