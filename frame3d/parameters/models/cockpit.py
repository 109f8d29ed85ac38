"""Stem and handlebar: what holds the hands."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from pydantic import Field, Strict

from frame3d.parameters.models.base import Model, Problem, number, part
from frame3d.parameters.models.mating import LeversSpec

_Size = Annotated[float, Field(ge=-200, le=300)]
_Sizes = Annotated[tuple[_Size, ...], Strict(False)]


class StemSpec(Model):
    """Stem."""

    length: float = number(
        "Length", "Steerer to bar, centre to centre", low=0, high=200, example=45, default=...
    )
    angle: float = number(
        "Angle",
        "Against the square to the steerer, positive rising",
        low=-45,
        high=60,
        example=0,
        unit="degrees",
        default=0,
    )
    spacers: float = number("Spacers", "Under the stem", low=0, high=120, example=10, default=0)
    most_spacers: float | None = number(
        "Most spacers", "Under the stem, that may be used", low=0, high=120, example=30
    )
    lengths: _Sizes | None = Field(
        None,
        title="Lengths",
        description="Stems to be had, for a table of cockpits [mm]",
        examples=[[35, 40, 45, 50, 60]],
        min_length=1,
        max_length=40,
    )
    clamp_height: float = number(
        "Clamp height", "Of the stem on the steerer", low=20, high=80, example=40, default=40
    )

    def problems(self) -> Iterator[Problem]:
        """Yield problems: more spacers than may be used, a stem shorter than none."""
        if self.lengths is not None and min(self.lengths) < 0:
            yield Problem(
                "out-of-range",
                "lengths",
                f"no stem is {min(self.lengths):g} mm long",
                "lengths from steerer to bar, e.g. [35, 40, 45, 50]",
            )
        if self.most_spacers is not None and self.spacers > self.most_spacers:
            yield Problem(
                "inconsistent",
                "spacers",
                f"more than most_spacers allows ({self.most_spacers:g} mm)",
                f"at most {self.most_spacers:g}, or a larger most_spacers",
            )


class HandlebarSpec(Model):
    """Handlebar: where the hands are, from the clamp."""

    rise: float = number("Rise", "Grips above the clamp", low=-200, high=200, example=20, default=0)
    forward: float = number(
        "Forward",
        "Grips ahead of the clamp; negative for backsweep",
        low=-200,
        high=200,
        example=-25,
        default=0,
    )
    width: float | None = number("Width", "End to end", low=300, high=1000, example=780)
    drop: float = number(
        "Drop",
        "Of a drop bar, from its tops to the lower ends; 0 for a flat or riser bar",
        low=0,
        high=250,
        example=120,
        default=0,
    )
    rises: _Sizes | None = Field(
        None,
        title="Rises",
        description="Rises of bars to be had, for a table of cockpits [mm]",
        examples=[[10, 20, 30, 40]],
        min_length=1,
        max_length=40,
    )
    levers: LeversSpec | None = part("Brake levers", "Their outline; {} takes usual sizes")

    def problems(self) -> Iterator[Problem]:
        """Yield a problem if a lever is beyond the middle of the bar."""
        if self.levers is None or self.width is None or self.drop > 0:
            return
        if self.levers.from_end >= self.width / 2:
            yield Problem(
                "inconsistent",
                "levers.from_end",
                f"beyond the middle of a bar of {self.width:g} mm",
                f"less than {self.width / 2:g}",
            )
