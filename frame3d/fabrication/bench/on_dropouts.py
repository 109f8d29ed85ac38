"""What the bench order says of eyes and of a brake mount on the rear dropouts.

Blocks follow once the frame stands in line, held by axle and caliper. Common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from frame3d.fabrication.bench.on_tubes import Line, numbers
from frame3d.fabrication.bench.words import JOIN
from frame3d.fabrication.on_tubes.on_dropouts import DropoutMark, bolts_angle
from frame3d.parameters.models.shop.bench import Process


def stood(marks: Sequence[DropoutMark], process: Process | None) -> Iterator[Line]:
    """Yield the joining of a brake mount's blocks to their dropout."""
    blocks = [mark for mark in marks if mark.block is not None]
    if blocks:
        yield (
            "On the frame",
            f"left dropout: with wheel axle and caliper, or a dummy, in place, {JOIN[process]} the "
            f"blocks of the brake mount {numbers(blocks)} to the plate's edge and inner face",
            f"{len(blocks)} × {blocks[0].what}; page of the dropouts",
        )


def finished(marks: Sequence[DropoutMark]) -> Iterator[Line]:
    """Yield the facing of a brake mount, and the threads."""
    blocks = [mark for mark in marks if mark.block is not None]
    mounts = (mark.dropout.mount for mark in blocks)
    mount = next((one for one in mounts if one is not None), None)
    if mount is not None:
        yield (
            f"face the blocks of the brake mount {numbers(blocks)} in one plane, square to the rotor, "
            "once cold",
            f"{mount.apart:g} between the bolts, {bolts_angle(mount):.1f}° up from level; middles of "
            "the faces on the fixture sheet",
        )
        if mount.kind == "post_mount":
            yield (
                f"chase the threads of the brake mount {numbers(blocks)}",
                f"{mount.thread}, {len(blocks)} of them",
            )
    eyes = [mark for mark in marks if mark.block is None]
    if eyes:
        counted = Counter(mark.what for mark in eyes)
        yield (
            f"tap the eyes of the dropouts {numbers(eyes)}",
            "; ".join(f"{n} × {what}" if n > 1 else what for what, n in counted.items()),
        )
