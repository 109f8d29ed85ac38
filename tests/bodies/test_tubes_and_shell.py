"""Outlines of the frame's tubes and shell."""

from __future__ import annotations

import numpy as np

from frame3d.bodies import bodies_of
from frame3d.bodies.motion.mounts import FRAME
from frame3d.bodies.shapes import Tubular
from tests.bodies.bike import bodies, body, layout
from tests.linked import ROCKER, ROCKER_TUBES
from tests.linked import layout as linked


def test_the_frames_tubes_and_shell_come_first() -> None:
    own = [b.name for b in bodies().bodies if b.family == "frame"]
    dropouts = ["rear_dropout_left", "rear_dropout_right"]
    assert own == [t.name for t in layout().tubes] + ["bottom_bracket", *dropouts]
    tube = bodies().body("head_tube").tubes[0]
    assert tube.flat == (True, True)  # cut square at both ends
    down = bodies().body("down_tube").tubes[0]
    assert all(x > 0 for x in down.trimmed)  # mitred at both ends
    assert len(down.cutters) >= 2


def metal(tube: Tubular, count: int = 4000) -> np.ndarray:
    """Random points of a tube's side between its first and last metal, less what its cutters take."""
    rng = np.random.default_rng(1)
    low, high = tube.span
    s, turn = rng.uniform(low, high, count), rng.uniform(0, 2 * np.pi, count)
    at, up, side = tube.axis.frames(s)
    a, b = tube.section.radii_at(s)
    points = at + (a * np.cos(turn))[:, None] * up + (b * np.sin(turn))[:, None] * side
    left = np.ones(count, dtype=bool)
    for cutter in tube.cutters:
        where, far = cutter.axis.approach(points)
        inside = far < np.minimum(*cutter.section.radii_at(where)) - 0.01
        inside &= (where > 0) | cutter.runs_on[0]
        inside &= (where < cutter.axis.length) | cutter.runs_on[1]
        left &= ~inside
    return points[left]


def test_tubes_end_at_their_cuts() -> None:
    """No metal of a mitred tube lies in the shell, the head tube or the seat tube that it sits on."""
    bike = layout()
    for name, target, radius in (
        ("down_tube", "bottom_bracket", 20.0),
        ("top_tube", "seat_tube", 17.45),
        ("chainstay_left", "bottom_bracket", 20.0),
    ):
        (tube,) = body(name).tubes
        assert [c.axis for c in tube.cutters][:1] == [
            bike.shell.axis if target == "bottom_bracket" and bike.shell else bike.tube(target).axis
        ]
        other = tube.cutters[0]
        _, far = other.axis.approach(metal(tube))
        assert far.min() > radius - 0.05
        assert far.min() < radius + 5


def test_the_stretch_in_which_a_mitre_cuts_is_told() -> None:
    bike = layout()
    (tube,) = body("down_tube").tubes
    placed = bike.tube("down_tube")
    by_axis = {id(c.axis): c for c in tube.cutters}
    assert bike.shell is not None
    shell, head = tube.cutters[:2]
    assert shell.between == (placed.start.long_point, placed.start.short_point)
    length = placed.axis.length
    assert head.between == (length - placed.end.short_point, length - placed.end.long_point)
    assert len(by_axis) == len(tube.cutters)


def test_a_cutter_goes_on_beyond_an_end_that_a_tube_sits_close_to() -> None:
    """The top tube's start, 40 mm below the seat tube's top, is within 1.5 times 31.8 mm of it."""
    close = body("top_tube").tubes[0].cutters[0]
    assert close.runs_on == (False, True)
    far = body("top_tube", ("below_top: 40}", "below_top: 60}")).tubes[0].cutters[0]
    assert far.runs_on == (False, False)


def test_hulls_are_for_what_links_may_meet() -> None:
    """A hardtail needs none; with a suspension, those of links and those that one bar contains."""
    assert all(body.hull == () for body in bodies().bodies)
    found = bodies_of(linked(ROCKER_TUBES, ROCKER))
    assert found.body("chainstay_left").hull != ()
    assert len(found.body("seat_tube").hull) == 1
    assert found.body("chainstay_left").axles == ("main_pivot",)
    assert found.body("seat_tube").axles == ()
    assert found.body("bottom_bracket").axles == ("bottom_bracket",)
    assert found.body("chainstay_left").tubes[0].mount.name == "swingarm"
    assert found.body("seat_tube").tubes[0].mount is FRAME
