"""Turn a built frame about the bottom bracket as one rigid body."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from frame3d.geometry.disc_hull import Disc, Flat
from frame3d.geometry.vector import pitched, pitched_side
from frame3d.tubes.frame import Frame
from frame3d.tubes.hardware import Arm, Boss, Hardware, Housing, LinkPlate, Web
from frame3d.tubes.tube import Dropout, End, Tube


def pitch_frame(frame: Frame, angle: float) -> Frame:
    """Return the frame turned about the bottom bracket's axis, nose up positive [degrees].

    The shell lies on that axis, and bores are given relative to their tubes, so neither changes.
    """
    return replace(
        frame,
        tubes=tuple(_tube(tube, angle) for tube in frame.tubes),
        dropouts=tuple(_dropout(dropout, angle) for dropout in frame.dropouts),
        pivots=tuple(_hardware(part, angle) for part in frame.pivots),
        pitch=frame.pitch + angle,
    )


def _tube(tube: Tube, angle: float) -> Tube:
    return replace(
        tube,
        axis=tube.axis.pitched(angle),
        start=_end(tube.start, angle),
        end=_end(tube.end, angle),
    )


def _end(end: End, angle: float) -> End:
    return replace(end, point=pitched(end.point, angle))


def _dropout(dropout: Dropout, angle: float) -> Dropout:
    return replace(dropout, axle=pitched(dropout.axle, angle))


def _hardware(part: Hardware, angle: float) -> Hardware:
    if isinstance(part, LinkPlate):
        bosses = tuple(_boss(boss, angle) for boss in part.bosses)
        return replace(part, plate=_flat(part.plate, angle), bosses=bosses)
    webs = tuple(map(partial(_web, angle=angle), part.webs))
    if isinstance(part, Housing):
        return replace(part, at=pitched(part.at, angle), webs=webs)
    return replace(part, axle=pitched(part.axle, angle), webs=webs)


def _boss(boss: Boss, angle: float) -> Boss:
    x, z = pitched_side((boss.x, boss.z), angle)
    return replace(boss, x=x, z=z)


def _web(web: Web, angle: float) -> Web:
    tongue = None if web.tongue is None else _disc(web.tongue, angle)
    if isinstance(web.metal, Flat):
        return replace(web, metal=_flat(web.metal, angle), tongue=tongue)
    return replace(web, metal=_arm(web.metal, angle), tongue=tongue)


def _arm(arm: Arm, angle: float) -> Arm:
    return replace(arm, start=pitched(arm.start, angle), end=pitched(arm.end, angle))


def _flat(flat: Flat, angle: float) -> Flat:
    return replace(flat, discs=tuple(_disc(disc, angle) for disc in flat.discs))


def _disc(disc: Disc, angle: float) -> Disc:
    x, z, radius = disc
    return (*pitched_side((x, z), angle), radius)
