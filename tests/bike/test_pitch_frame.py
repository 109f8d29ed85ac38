"""A frame turned as one rigid body: every point by the same rotation, sizes and lateral places kept."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

from frame3d.bike.pitch_frame import pitch_frame
from frame3d.geometry.disc_hull import Flat
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
        turned = pitch_frame(frame, angle)
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


def test_turns_add_up_and_back_again_is_the_same_frame() -> None:
    frame = frame_with_everything()
    twice, once = pitch_frame(pitch_frame(frame, 2.0), -5.0), pitch_frame(frame, -3.0)
    for (name, a), (_, b) in zip(points(twice), points(once), strict=True):
        assert a == pytest.approx(b, abs=1e-9), name
    back = pitch_frame(pitch_frame(frame, 4.0), -4.0)
    assert back.pitch == pytest.approx(0)
    for (name, a), (_, b) in zip(points(back), points(frame), strict=True):
        assert a == pytest.approx(b, abs=1e-9), name
