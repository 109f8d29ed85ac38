"""Move a built frame to where it stands: each of its rigid bodies, front frame and links, as a whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial

from frame3d.geometry.disc_hull import Disc, Flat
from frame3d.geometry.side_motion import SideMotion
from frame3d.geometry.vector import pitched_side
from frame3d.tubes.frame import Frame
from frame3d.tubes.hardware import Arm, Boss, Hardware, Housing, LinkPlate, Web
from frame3d.tubes.plate import Plate
from frame3d.tubes.tube import Dropout, End, Shell, Tube


def move_frame(
    frame: Frame,
    pitch: float,
    links: Mapping[str, SideMotion] | None = None,
    shift: tuple[float, float] = (0.0, 0.0),
) -> Frame:
    """Return a frame moved from the position that it was designed in.

    Bores are given relative to their tubes, so they do not change. Metal keeps its shape: a lug or plate
    whose point of the suspension was exchanged is still drawn as it was made.

    Args:
        frame: as designed.
        pitch: turn of the front frame about the bottom bracket's axis, nose up positive [degrees].
        links: motion of each link, pitch included; links that are left out pitch with the front frame.
        shift: (x, z) by which the frame first moves about the bottom bracket, in the axes that it was
            designed in, because an eccentric insert was turned [mm].
    """
    moved = replace(
        frame,
        pitch=pitch,
        links={} if links is None else links,
        shift=pitched_side(shift, pitch),
    )
    shell = frame.shell
    return replace(
        moved,
        shell=None if shell is None else _shell(shell, moved.motion(None)),
        tubes=tuple(_tube(tube, moved.motion(tube.link)) for tube in frame.tubes),
        dropouts=tuple(_dropout(dropout, moved.motion(dropout.link)) for dropout in frame.dropouts),
        plates=tuple(_plate(plate, moved.motion(plate.link)) for plate in frame.plates),
        pivots=tuple(_hardware(part, moved.motion(part.link)) for part in frame.pivots),
    )


def shift_frame(frame: Frame, motion: SideMotion) -> Frame:
    """Return a frame without links moved as a whole from where it was laid out."""
    return replace(
        frame,
        tubes=tuple(_tube(tube, motion) for tube in frame.tubes),
        dropouts=tuple(_dropout(dropout, motion) for dropout in frame.dropouts),
        plates=tuple(_plate(plate, motion) for plate in frame.plates),
        pivots=tuple(_hardware(part, motion) for part in frame.pivots),
    )


def _shell(shell: Shell, motion: SideMotion) -> Shell:
    return replace(shell, at=motion.side(shell.at))


def _tube(tube: Tube, motion: SideMotion) -> Tube:
    return replace(
        tube,
        axis=tube.axis.moved(motion),
        start=_end(tube.start, motion),
        end=_end(tube.end, motion),
    )


def _end(end: End, motion: SideMotion) -> End:
    return replace(end, point=motion.point(end.point))


def _dropout(dropout: Dropout, motion: SideMotion) -> Dropout:
    slide = dropout.slide
    if slide is not None:
        stop = slide.stop
        slide = replace(
            slide,
            front=motion.point(slide.front),
            back=motion.point(slide.back),
            stop=None if stop is None else (motion.point(stop[0]), motion.point(stop[1])),
        )
    return replace(
        dropout,
        axle=motion.point(dropout.axle),
        plate=None if dropout.plate is None else _plate(dropout.plate, motion),
        slide=slide,
        ears=tuple(_flat(ear, motion) for ear in dropout.ears),
        eyes=tuple(eye.moved(motion) for eye in dropout.eyes),
        mount=None if dropout.mount is None else dropout.mount.moved(motion),
    )


def _plate(plate: Plate, motion: SideMotion) -> Plate:
    return replace(plate, plane=plate.plane.moved(motion))


def _hardware(part: Hardware, motion: SideMotion) -> Hardware:
    if isinstance(part, LinkPlate):
        bosses = tuple(_boss(boss, motion) for boss in part.bosses)
        own = None if part.own is None else _plate(part.own, motion)
        return replace(part, plate=_flat(part.plate, motion), bosses=bosses, own=own)
    webs = tuple(map(partial(_web, motion=motion), part.webs))
    if isinstance(part, Housing):
        return replace(part, at=motion.point(part.at), webs=webs)
    plate = None if part.plate is None else _plate(part.plate, motion)
    return replace(part, axle=motion.point(part.axle), webs=webs, plate=plate)


def _boss(boss: Boss, motion: SideMotion) -> Boss:
    x, z = motion.side((boss.x, boss.z))
    return replace(boss, x=x, z=z)


def _web(web: Web, motion: SideMotion) -> Web:
    tongue = None if web.tongue is None else _disc(web.tongue, motion)
    if isinstance(web.metal, Flat):
        return replace(web, metal=_flat(web.metal, motion), tongue=tongue)
    return replace(web, metal=_arm(web.metal, motion), tongue=tongue)


def _arm(arm: Arm, motion: SideMotion) -> Arm:
    return replace(arm, start=motion.point(arm.start), end=motion.point(arm.end))


def _flat(flat: Flat, motion: SideMotion) -> Flat:
    return replace(flat, discs=tuple(_disc(disc, motion) for disc in flat.discs))


def _disc(disc: Disc, motion: SideMotion) -> Disc:
    x, z, radius = disc
    return (*motion.side((x, z)), radius)
