"""ShockSpec: the rear shock: its ends, its size, its outline."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from pydantic import Field

from frame3d.parameters.models.base import Model, Problem, known, number
from frame3d.parameters.models.damper import DamperSpec
from frame3d.parameters.models.names import PointName
from frame3d.parameters.sizes import standards


class ReservoirSpec(Model):
    """The shock's reservoir: a cylinder beside its body, alongside it."""

    diameter: float = number("Diameter", "Outside", above=0, high=100, example=40, default=40)
    length: float = number("Length", "Along the shock", above=0, high=250, example=90, default=90)
    along: float = number(
        "Along",
        "Of its nearer end from the start's eye, along the shock",
        low=-50,
        high=250,
        example=20,
        default=20,
    )
    offset: float = number(
        "Offset",
        "Of its axis from the shock's, square to it in the side view, positive above it (ahead of an "
        "upright one)",
        low=-100,
        high=100,
        example=48,
        default=48,
    )


class ShockSpec(Model):
    """The shock: its two ends, its size by name or in plain millimetres, its outline.

    The end at `start` carries the body, the one at `end` the shaft.
    """

    start: PointName = Field(
        ..., title="Start", description="Point of one end", examples=["shock_front"]
    )
    end: PointName = Field(
        ..., title="End", description="Point of the other end", examples=["rocker_shock"]
    )
    size: (
        Annotated[
            str, known(standards.shock), Field(json_schema_extra={"enum": list(standards.SHOCKS)})
        ]
        | None
    ) = Field(
        None,
        title="Size",
        description="A standard size, eye-to-eye x stroke, instead of the two numbers",
        examples=["210x55"],
    )
    eye_to_eye: float | None = number(
        "Eye to eye", "At full extension, between bolt centres", low=60, high=500, example=210
    )
    stroke: float | None = number(
        "Stroke", "By how much the shock shortens", above=0, high=250, example=55
    )
    diameter: float | None = number(
        "Diameter", "Of its body, or of its coil", above=10, high=120, example=56
    )
    eye: float = number(
        "Eye", "Outside diameter of its eyes", above=0, high=60, example=26, default=26
    )
    eye_width: float = number(
        "Eye width", "Over the eyes' hardware", above=0, high=120, example=30, default=30
    )
    damper: DamperSpec | None = Field(
        None, title="Damper", description="Force over the shaft's speed"
    )
    reservoir: ReservoirSpec | None = Field(
        None, title="Reservoir", description="Beside the body; left out, there is none"
    )

    @property
    def length(self) -> float:
        """Eye-to-eye length at full extension [mm]."""
        if self.size is not None:
            return standards.shock(self.size).length
        if self.eye_to_eye is None:
            raise AssertionError("a shock without a size has its length")
        return self.eye_to_eye

    @property
    def full_stroke(self) -> float:
        """Stroke [mm]."""
        if self.size is not None:
            return standards.shock(self.size).stroke
        if self.stroke is None:
            raise AssertionError("a shock without a size has its stroke")
        return self.stroke

    def problems(self) -> Iterator[Problem]:
        """Yield problems: size missing or given twice, stroke too long, both ends on one point."""
        if self.start == self.end:
            yield Problem(
                "shock", "end", "both ends sit on the same point", "the shock's other end"
            )
        for key in ("eye_to_eye", "stroke"):
            if self.size is not None and getattr(self, key) is not None:
                yield Problem(
                    "inconsistent",
                    key,
                    f"the size {self.size} says it already",
                    "keep either size, or eye_to_eye and stroke",
                )
            if self.size is None and getattr(self, key) is None:
                yield Problem(
                    "missing-key",
                    key,
                    "missing",
                    "size: 210x55, or eye_to_eye: 210 and stroke: 55",
                )
        if (
            self.size is None
            and self.eye_to_eye is not None
            and self.stroke is not None
            and self.stroke >= self.eye_to_eye / 2
        ):
            yield Problem(
                "shock",
                "stroke",
                f"a shock of {self.eye_to_eye:g} mm cannot shorten by {self.stroke:g}: body and "
                "shaft need half its length at least",
                f"less than {self.eye_to_eye / 2:g}",
            )
