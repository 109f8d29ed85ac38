r"""The fork's steerer in the head tube: how long it must be, and how many spacers it allows.

::

    stem's top      ---  ^                        ^ RECESS
    steerer's end   ---  | clamp height           |  ^
                         |                        |  |
    stem's underside --- v                           |
                         | spacers                   | steerer
    headset's top   ---  ^                           |
                         | headset's upper stack     |
    head tube's top ---  |                           |
                         | head tube                 |
                         | headset's lower stack     |
    crown race      ---  v                           v

Lengths along the steering axis from the crown race. A longer steerer takes spacers over the stem too.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from frame3d.errors import GeometryError, Note
from frame3d.geometry.vector import Point
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.requirements import PRACTICE

RECESS = 3.0
"""How far the steerer's end stays below the top of stem or spacers, so that the cap presses on those and
not on the steerer [mm]; common practice, no source."""
_SAME = 1e-6
ASSUMED = f"the steerer ends {RECESS:g} mm below what stands on it ({PRACTICE})"


@dataclass(frozen=True, slots=True)
class Steerer:
    """A steerer and what stands on it, along the steering axis from the crown race [mm]."""

    headset_top: float
    """Where the lowest spacer or the stem sits."""
    stem_top: float | None
    """Upper side of the stem with its spacers; None without a stem."""
    length: float | None
    """Of the steerer as cut; None where the file does not say."""
    least: float | None
    """Shortest steerer that holds the stem where it is; None without a stem."""
    over_the_stem: float | None
    """Spacers that go over the stem; negative by as much as the steerer is too short."""
    most_spacers: float | None
    """Spacers that there is room for, under and over the stem; negative where not even the stem has
    room."""


def steerer_of(
    spec: FrameSpec, nodes: Mapping[str, Point], chart: Mapping[str, float | None]
) -> Steerer:
    """Return the steerer in the head tube of a solved bike.

    Args:
        spec: the file, for fork, headset and stem.
        nodes: named points of the bike as drawn [mm].
        chart: its figures [mm and degrees].
    """
    build, angle = spec.build, chart["head_tube_angle"]
    assert angle is not None
    turn = math.radians(angle)
    top, race = nodes["head_tube_top"], nodes["crown_race"]
    upper = 0.0 if build.headset is None else build.headset.upper_stack
    above = (race[0] - top[0]) * math.cos(turn) + (top[2] - race[2]) * math.sin(turn) + upper
    stem = build.stem
    length = None if build.fork is None else build.fork.steerer_length
    if stem is None:
        return Steerer(above, None, length, None, None, None)
    top_of_stem = above + stem.spacers + stem.clamp_height
    least = top_of_stem - RECESS
    if length is None and spec.build.fork is not None and spec.build.fork.built is not None:
        length = least  # cut to what stands on it
    over = None if length is None else length - least
    return Steerer(
        headset_top=above,
        stem_top=top_of_stem,
        length=length,
        least=least,
        over_the_stem=over,
        most_spacers=None if over is None else over + stem.spacers,
    )


def steerer_notes(spec: FrameSpec, steerer: Steerer) -> Iterator[Note]:
    """Yield a warning where the steerer is too short for the stem.

    Raises:
        GeometryError: it does not even come out of the headset.
    """
    length, least = steerer.length, steerer.least
    if length is None:
        return
    path = "build.fork.steerer_length"
    if length <= steerer.headset_top:
        raise GeometryError(
            spec.fault(
                "impossible",
                path,
                f"ends below the headset's top, which is {steerer.headset_top:.1f} mm above the crown "
                "race",
                "a longer steerer, a shorter head tube, or a lower headset"
                + ("" if least is None else f"; this stem asks for at least {least:.1f}"),
            )
        )
    if least is not None and length < least - _SAME:
        yield spec.note(
            "warning",
            f"the steerer is {least - length:.1f} mm too short for this stem and its spacers, which ask "
            f"for {least:.1f} mm ({ASSUMED})",
            path,
        )
