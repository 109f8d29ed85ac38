"""A frame moved: every point of a body by one rigid motion, sizes and lateral places kept."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

from frame3d.bike.move_frame import move_frame
from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.side_motion import SideMotion
from frame3d.tubes.frame import Frame
from frame3d.tubes.hardware import Arm, Housing, LinkPlate
from tests.bikes import hardtail_layout
from tests.linked import ROCKER, ROCKER_TUBES, layout

Array = np.ndarray[Any, np.dtype[np.float64]]
ANGLES = (-7.5, 3.0)


def frame_with_everything() -> Frame:
    """Tubes, dropouts, housings, lugs with webs of both kinds, and link plates."""
    return layout(ROCKER_TUBES, ROCKER).frame


def frame_with_arms() -> Frame:
    """The housing between the rocker's plates, and lugs of the frame that reach for it aside."""
    return layout(ROCKER_TUBES, ROCKER, "{rocker_pivot: {housing: rocker, width: 72}}").frame


def rotation(angle: float) -> Array:
    """Nose up about the lateral axis: x forward goes toward z up."""
    c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    return np.array([[c, 0, -s], [0, 1, 0], [s, 0, c]])


def side(x: float, z: float) -> Array:
    return np.array([x, 0.0, z])


def points(frame: Frame) -> Iterator[tuple[str, Array]]:
    """Every place in a frame, by what it is of."""
    for tube in frame.tubes:
        for s in np.linspace(0, tube.axis.length, 5):
            yield tube.name, tube.axis.at(s)
        yield f"{tube.name} start", np.array(tube.start.point)
        yield f"{tube.name} end", np.array(tube.end.point)
    for dropout in frame.dropouts:
        yield dropout.name, np.array(dropout.axle)
    for part in frame.pivots:
        if isinstance(part, LinkPlate):
            for boss in part.bosses:
                yield f"{part.name} {boss.pivot}", side(boss.x, boss.z)
            for x, z, _ in part.plate.discs:
                yield part.name, side(x, z)
            continue
        yield part.name, np.array(part.at if isinstance(part, Housing) else part.axle)
        for web in part.webs:
            if web.tongue is not None:
                yield f"{part.name} tongue", side(*web.tongue[:2])
            if isinstance(web.metal, Flat):
                for x, z, _ in web.metal.discs:
                    yield f"{part.name} web", side(x, z)
            else:
                yield f"{part.name} arm", np.array(web.metal.start)
                yield f"{part.name} arm", np.array(web.metal.end)


def sizes(frame: Frame) -> list[float]:
    """What a turn leaves: radii, faces, lengths."""
    out = [tube.axis.length for tube in frame.tubes]
    for part in frame.pivots:
        if isinstance(part, LinkPlate):
            out += [x for boss in part.bosses for x in (boss.low, boss.high, boss.od, boss.bore)]
            out += [part.plate.low, part.plate.high, *(r for _, _, r in part.plate.discs)]
            continue
        for web in part.webs:
            if isinstance(web.metal, Arm):
                out += [*web.metal.height, *web.metal.width]
            else:
                out += [r for _, _, r in web.metal.discs]
    return out


@pytest.mark.parametrize("angle", ANGLES)
def test_every_point_turns_about_the_bottom_bracket(angle: float) -> None:
    for frame in (frame_with_everything(), frame_with_arms(), hardtail_layout().frame):
        turned = move_frame(frame, angle)
        before, after = list(points(frame)), list(points(turned))
        assert [name for name, _ in after] == [name for name, _ in before]
        wanted = np.array([at for _, at in before]) @ rotation(angle).T
        assert np.array([at for _, at in after]) == pytest.approx(wanted, abs=1e-9)
        assert sizes(turned) == pytest.approx(sizes(frame), abs=1e-9)
        assert (turned.shell, turned.bores) == (frame.shell, frame.bores)
        assert turned.pitch == pytest.approx(angle)


def test_hardware_of_every_kind_was_looked_at() -> None:
    """So that the test above sees what it is for."""
    pivots = (*frame_with_everything().pivots, *frame_with_arms().pivots)
    webs = [w for p in pivots if not isinstance(p, LinkPlate) for w in p.webs]
    kinds = {type(p).__name__ for p in pivots} | {type(w.metal).__name__ for w in webs}
    assert {"Housing", "Lug", "LinkPlate", "Flat", "Arm"} <= kinds, kinds
    assert any(web.tongue is not None for web in webs)


def test_a_link_moves_with_all_that_is_on_it_and_nothing_else_does() -> None:
    """One link by a motion of its own, told in numpy; a length of 1e-9 is left to rounding."""
    frame = frame_with_everything()
    swing = SideMotion(4.0, 12.0, -7.0)
    moved = move_frame(frame, 1.5, {"swingarm": swing})
    links = {part.name: part.link for part in (*frame.tubes, *frame.dropouts, *frame.pivots)}
    assert {"swingarm", None} < set(links.values())
    for (name, a), (_, b) in zip(points(frame), points(moved), strict=True):
        body = next(n for n in sorted(links, key=len, reverse=True) if name.startswith(n))
        if links[body] == "swingarm":
            assert b == pytest.approx(rotation(4.0) @ a + (12.0, 0.0, -7.0), abs=1e-9), name
        else:
            assert b == pytest.approx(rotation(1.5) @ a, abs=1e-9), name
    assert sizes(moved) == pytest.approx(sizes(frame), abs=1e-9)
    assert moved.motion("swingarm") == swing
    assert moved.motion("rocker") == moved.motion(None) == SideMotion(1.5)


def test_sections_turn_with_their_link() -> None:
    """Upright stays upright in the link's own axes: an oval is turned with it."""
    frame = frame_with_everything()
    moved = move_frame(frame, 0.0, {"swingarm": SideMotion(5.0, 3.0, 1.0)})
    stays = [i for i, tube in enumerate(frame.tubes) if tube.link == "swingarm"]
    for i in stays:
        s = np.linspace(0.0, frame.tubes[i].axis.length, 5)
        before, after = frame.tubes[i].axis.frames(s), moved.tubes[i].axis.frames(s)
        for a, b in zip(before[1:], after[1:], strict=True):
            assert b == pytest.approx(a @ rotation(5.0).T, abs=1e-9)
    assert stays


def test_not_moved_is_the_same_frame() -> None:
    frame = frame_with_everything()
    assert list(map(str, points(move_frame(frame, 0.0)))) == list(map(str, points(frame)))
