r"""The bottom bracket's shell: ``build.bottom_bracket`` in the parameter file.

An eccentric insert carries the bottom bracket beside the shell's middle and turns in the shell to
tension the chain (side view, drive side, x forward to the right)::

             ..---..
           .'       '.       c  the shell's middle
          /     c     \      o  the bottom bracket: `offset` from c, at `angle` up from straight ahead
          |      \ )   |         (here below: negative)
          \       o   /
           '.       .'
             ''---''
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Annotated, Final

from pydantic import Field, Strict, Tag

from frame3d.parameters.models.base import Model, Problem, examples_of, known, named, number
from frame3d.parameters.sizes import standards

ShellName = Annotated[
    str, known(standards.shell), examples_of(names=standards.SHELLS), Tag("<text>")
]
INSERT_WALL: Final = 1.5
"""Least metal of an eccentric insert beside its bore [mm]; common practice, no source."""


THREADED: Final = ("threaded-68", "threaded-73", "threaded-83", "threaded-100")
"""Threaded shells, the narrowest first."""
Turn = Annotated[float, Field(ge=-360, le=360)]


class ShellSpec(Model):
    """A bottom bracket shell in plain millimetres."""

    width: float = number("Width", "Face to face", low=40, high=150, example=73, default=...)
    od: float = number("Outside diameter", "Of the shell", low=30, high=80, example=40, default=...)
    bore: float = number(
        "Bore", "Of the shell, before tapping", low=25, high=75, example=33.65, default=...
    )
    middle: float = number(
        "Middle",
        "Of the shell, to the left of the centre plane; 0 where it reaches as far on either side",
        low=-20,
        high=20,
        example=5.5,
        default=0,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a problem if no metal is left between bore and outside."""
        if self.bore >= self.od:
            yield Problem(
                "section",
                "bore",
                f"leaves no metal in a shell of {self.od:g} mm",
                f"less than {self.od:g}",
            )


_Shell = Annotated[
    ShellName | Annotated[ShellSpec, Tag("<mapping>")],
    named("a name such as threaded-73, or {width: 73, od: 40, bore: 33.65}"),
]


class EccentricSpec(Model):
    """An insert in the shell that carries the bottom bracket off the shell's middle."""

    offset: float = number(
        "Offset",
        "Of the bottom bracket from the shell's middle; common are 5 to 7 in a bore of 54 (common "
        "practice, no source)",
        above=0,
        high=20,
        example=6,
        default=...,
    )
    angle: float = number(
        "Angle",
        "Where the bottom bracket is drawn about the shell's middle: 0 straight ahead, 90 above, -90 "
        "below, in the side view of the bike as designed",
        low=-360,
        high=360,
        example=-90,
        unit="degrees",
        default=...,
    )
    between: Annotated[tuple[Turn, Turn], Strict(False)] | None = Field(
        None,
        title="Between",
        description="Least and greatest angle that the insert is turned to; left out, the half turn "
        "below the shell's middle, or above it where the angle is above 0: either gives all chainstay "
        "lengths but for hundredths of a millimetre (derived) [degrees]",
        examples=[[-170, -10]],
    )
    holds: ShellName | None = Field(
        None,
        title="Holds",
        description="Shell whose bottom bracket the insert takes; its bore and thread count. Left out, "
        "the threaded shell of that width, or the next narrower one",
        examples=["threaded-68"],
    )

    @property
    def range(self) -> tuple[float, float]:
        """Least and greatest angle that the insert is turned to [degrees]."""
        if self.between is not None:
            return self.between
        return (0.0, 180.0) if self.angle > 0 else (-180.0, 0.0)

    def middle(self, angle: float) -> tuple[float, float]:
        """Return x and z of the shell's middle from the bottom bracket, as designed [mm].

        Args:
            angle: that the insert stands at [degrees].
        """
        turn = math.radians(angle)
        return -self.offset * math.cos(turn), -self.offset * math.sin(turn)

    def problems(self) -> Iterator[Problem]:
        """Yield a range in the wrong order, or one that leaves the angle out."""
        low, high = self.range
        if not low < high <= low + 360:
            yield Problem(
                "inconsistent",
                "between",
                f"from {low:g} to {high:g} is no turn of the insert",
                "the least angle first, at most 360 degrees apart, e.g. [-170, -10]",
            )
        elif not low <= self.angle <= high:
            yield Problem(
                "inconsistent",
                "angle",
                f"the insert is drawn at {self.angle:g} degrees, outside of its range",
                f"{low:g} to {high:g}, or another range (between)",
            )


class BottomBracketSpec(Model):
    """Bottom bracket shell."""

    shell: _Shell = Field(
        ...,
        title="Shell",
        description="Name of a standard shell, or plain millimetres",
        examples=["threaded-73"],
    )
    eccentric: EccentricSpec | None = Field(
        None,
        title="Eccentric",
        description="An insert that carries the bottom bracket beside the shell's middle and turns to "
        "tension the chain",
    )
    od: float | None = number(
        "Outside diameter",
        "Of the shell, where it is not the usual one",
        low=30,
        high=80,
        example=40,
    )

    @property
    def held(self) -> standards.ShellSize:
        """The shell whose bottom bracket fits: that of the insert, where there is one.

        Raises:
            ValueError: there is no insert.
        """
        if self.eccentric is None:
            raise ValueError("no insert")
        if self.eccentric.holds is not None:
            return standards.shell(self.eccentric.holds)
        own = self.shell if isinstance(self.shell, ShellSpec) else standards.shell(self.shell)
        threaded = [size for name in THREADED if (size := standards.shell(name)).width <= own.width]
        return threaded[-1] if threaded else standards.shell(THREADED[0])

    def problems(self) -> Iterator[Problem]:
        """Yield problems: no metal left in shell or insert, or the outside given twice."""
        yield from self._insert()
        if self.od is None:
            return
        if isinstance(self.shell, ShellSpec):
            yield Problem("inconsistent", "od", "stands in shell already", "keep the one in shell")
        elif self.od <= standards.shell(self.shell).bore:
            bore = standards.shell(self.shell).bore
            yield Problem(
                "section",
                "od",
                f"leaves no metal around the bore of {bore:g} mm of {self.shell}",
                f"more than {bore:g}; usual is {standards.shell(self.shell).od:g}",
            )

    def _insert(self) -> Iterator[Problem]:
        """Yield why an eccentric insert does not go into the shell, or not around its bottom bracket."""
        if self.eccentric is None:
            return
        own = self.shell if isinstance(self.shell, ShellSpec) else standards.shell(self.shell)
        if isinstance(own, standards.ShellSize) and own.thread:
            yield Problem(
                "inconsistent",
                "eccentric",
                f"{own.name} is threaded, and an insert that turns needs a plain bore",
                "shell: eccentric-68, eccentric-73, or {width: 68, od: 60, bore: 54}",
            )
            return
        held = self.held.bore
        most = (own.bore - held) / 2 - INSERT_WALL
        if self.eccentric.offset > most:
            yield Problem(
                "section",
                "eccentric.offset",
                f"leaves {max((own.bore - held) / 2 - self.eccentric.offset, 0.0):.2f} mm of the insert "
                f"between its bore of {held:g} and the shell's of {own.bore:g} mm",
                f"at most {most:.2f}"
                if most > 0
                else "a wider shell, or a smaller bottom bracket (holds)",
            )
