"""Cranks, chainrings, cogs, pedals: the drivetrain under ``build:`` in the parameter file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from pydantic import Field, Strict

from frame3d.parameters.models.base import Model, Problem, Share, number


class CrankSpec(Model):
    """Cranks."""

    length: float = number("Length", "Axle to axle", low=80, high=220, example=170, default=170)
    q_factor: float | None = number(
        "Q factor", "Between the outer faces of the arms", low=100, high=280, example=172
    )
    chainline: float | None = number(
        "Chainline",
        "Centre plane to the chainring, or to the middle between two",
        low=35,
        high=90,
        example=52,
    )
    thickness: float = number(
        "Thickness", "Of the arm at the pedal, sideways", low=6, high=40, example=14, default=14
    )
    boss: float = number(
        "Boss",
        "Diameter of the arm's end around the pedal",
        low=15,
        high=60,
        example=32,
        default=32,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a problem if the chainring is not inboard of the crank arm."""
        if self.q_factor is not None and self.chainline is not None:
            inner = self.q_factor / 2 - self.thickness
            if self.chainline >= inner:
                yield Problem(
                    "inconsistent",
                    "chainline",
                    f"puts the chainring into the crank arm, whose inner face lies {inner:g} mm from "
                    "the centre plane",
                    f"less than {inner:g}, or a larger q_factor",
                )


class ChainringSpec(Model):
    """Chainring."""

    teeth: int = Field(
        ..., title="Teeth", description="Number of teeth", ge=18, le=70, examples=[32]
    )
    inner_teeth: int | None = Field(
        None,
        title="Inner teeth",
        description="Number of teeth of a second, inner ring",
        ge=18,
        le=70,
        examples=[22],
    )
    spacing: float = number("Spacing", "Between two rings", low=4, high=15, example=8, default=8)
    thickness: float = number("Thickness", "At the teeth", low=1, high=8, example=4, default=4)
    ovality: Share = Field(
        0.0,
        title="Ovality",
        description="By how much an oval ring's largest diameter exceeds its smallest, e.g. 12%",
        examples=["12%"],
    )
    guard: float | None = number(
        "Guard", "Diameter of a guard ring outside the chainring", low=80, high=320, example=150
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a problem if the inner ring is not the smaller one."""
        if self.inner_teeth is not None and self.inner_teeth >= self.teeth:
            yield Problem(
                "inconsistent",
                "inner_teeth",
                f"not less than the outer ring's {self.teeth}",
                f"at most {self.teeth - 1}",
            )


class CassetteSpec(Model):
    """Cogs on the rear hub."""

    cogs: Annotated[tuple[int, ...], Strict(False)] = Field(
        ...,
        title="Cogs",
        description="Teeth of each cog, smallest first",
        min_length=1,
        max_length=14,
        examples=[[10, 12, 14, 16, 18, 21, 24, 28, 32, 38, 44, 50]],
    )
    spacing: float | None = number(
        "Spacing",
        "Cog to cog; left out, by their number: 3.65 for twelve, 3.8 for eleven, 3.95 for ten",
        low=2.5,
        high=12,
        example=3.65,
    )
    inset: float | None = number(
        "Inset",
        "From the dropout's inner face to the middle of the smallest cog; left out, 6 from the hub's "
        "shoulder: 9.5 for hubs of 142, 148 and 157, 6 for others; a single cog in line with the "
        "chainring (common practice, no source)",
        low=0,
        high=80,
        example=9.5,
    )
    chain_width: float | None = number(
        "Chain width",
        "Over the pins; left out, by the number of cogs: 5.25 for twelve, 5.5 for eleven, 5.9 for ten",
        low=4,
        high=14,
        example=5.25,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield problems of cogs with impossible numbers of teeth or in the wrong order."""
        for i, teeth in enumerate(self.cogs):
            if not 9 <= teeth <= 60:
                yield Problem(
                    "out-of-range",
                    f"cogs.{i}",
                    f"no cog has {teeth} teeth",
                    "cogs have from 9 to 60 teeth",
                )
            elif i and teeth <= self.cogs[i - 1]:
                yield Problem(
                    "inconsistent",
                    f"cogs.{i}",
                    f"{teeth} comes after {self.cogs[i - 1]}",
                    "smallest cog first, each with more teeth than the one before",
                )


class PedalSpec(Model):
    """Pedals."""

    width: float = number("Width", "Side to side", low=20, high=160, example=100, default=100)
    length: float = number("Length", "Front to back", low=20, high=160, example=100, default=100)
    thickness: float = number(
        "Thickness", "Of the platform", low=5, high=60, example=18, default=18
    )
    axle: float = number(
        "Axle",
        "From the crank arm's outer face to the pedal's centre",
        low=10,
        high=150,
        example=55,
        default=55,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a problem if the pedal reaches into the crank arm."""
        if self.width / 2 >= self.axle:
            yield Problem(
                "inconsistent",
                "width",
                f"reaches into the crank arm, {self.axle:g} mm from the pedal's centre",
                f"less than {2 * self.axle:g}, or a longer axle",
            )
