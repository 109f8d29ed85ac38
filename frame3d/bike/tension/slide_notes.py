"""What is said of an axle in sliding dropouts."""

from __future__ import annotations

import math
from collections.abc import Sequence

from frame3d.errors import Note
from frame3d.parameters.models.frame import FrameSpec
from frame3d.tubes.tube import Dropout


def slide_notes(spec: FrameSpec, dropouts: Sequence[Dropout]) -> tuple[Note, ...]:
    """Return where the axle stands in its slots, with the chainstay length at their ends."""
    given = spec.build.slide
    slide = dropouts[0].slide if dropouts else None
    if slide is None or given is None:
        return ()
    front, back = (math.hypot(place[0], place[2]) for place in (slide.front, slide.back))
    said = (
        f"the rear axle stands {given.at:g} of {given.length:g} mm back in its slots; "
        f"foremost the chainstay length is {front:.2f}, rearmost {back:.2f} mm"
    )
    return (spec.note("solved", said, "build.dropout.slide"),)
