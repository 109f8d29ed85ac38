"""What is said of an eccentric insert in the shell."""

from __future__ import annotations

from collections.abc import Mapping

from frame3d.bike.tension.chain_fits import tension_text
from frame3d.bike.tension.turn import Turn
from frame3d.errors import Note
from frame3d.geometry.vector import Point
from frame3d.parameters.models.frame import FrameSpec
from frame3d.tubes.frame import Frame


def insert_notes(
    spec: FrameSpec, frame: Frame, nodes: Mapping[str, Point], bb_height: float | None
) -> tuple[Note, ...]:
    """Return where an eccentric insert carries the bottom bracket, and what its turn changes.

    Args:
        spec: the file with the parts that the bike carries.
        frame: moved to where the bike stands.
        nodes: of the bike.
        bb_height: of the bike [mm]; None where not known.
    """
    insert = spec.build.insert
    if insert is None or frame.shell is None:
        return ()
    key = "build.bottom_bracket.eccentric"
    (x, z), (low, high) = (-value + 0.0 for value in frame.shell.at), insert.range
    ahead = f"{abs(x):.2f} mm {'ahead of' if x >= 0 else 'behind'}"
    above = f"{abs(z):.2f} mm {'above' if z >= 0 else 'below'}"
    stands = (
        f"the bottom bracket stands {ahead} and {above} the shell's middle, the insert at "
        f"{insert.angle:g} of {low:g} to {high:g}°; every length is from the bottom bracket as it "
        "stands now, and tubes on the shell are placed from the shell's middle"
    )
    axle = nodes["rear_axle"]
    turn = Turn(insert, (axle[0] + x, axle[2] + z), frame.pitch)
    shortest, longest = (turn.chainstay_length(angle) for angle in turn.lengths)
    changes = (
        f"as the insert turns, the chainstay length goes from {shortest:.2f} to {longest:.2f} mm: "
        f"{tension_text(longest - shortest)}"
    )
    if bb_height is not None:
        lowest, highest = (bb_height + turn.rise(angle) for angle in turn.heights)
        changes += f"; the bottom bracket height goes from {lowest:.2f} to {highest:.2f} mm"
    return (spec.note("solved", stands, key), spec.note("solved", changes, key))
