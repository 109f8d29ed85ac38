"""The frame: its tubes and the bottom bracket shell."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.bodies.body import Body
from frame3d.bodies.place import Place
from frame3d.bodies.shapes import Placed, Tubular, cylinder


def frame(place: Place) -> Iterator[Body]:
    """Every tube as it runs, and the shell.

    Ends that are mitred are rounded: they lie within what they are mitred to.
    """
    layout = place.layout
    for tube in layout.tubes:
        flat = (tube.start.cut == "square", tube.end.cut == "square")
        yield Body(
            name=tube.name,
            part=f"tubes.{tube.key}",
            family="frame",
            shapes=(),
            tubes=(Tubular(tube.name, tube.axis, tube.section, place.link(tube.link), flat),),
            colour=tube.colour,
        )
    shell = layout.shell
    if shell is not None:
        yield Body(
            name="bottom_bracket",
            part="build.bottom_bracket",
            family="frame",
            shapes=(
                Placed("bottom_bracket", cylinder(shell.od / 2, *shell.faces), (0.0, 0.0, 0.0)),
            ),
            tubes=(Tubular("bottom_bracket", shell.axis, shell.section),),
            colour=layout.spec.colour,
        )
