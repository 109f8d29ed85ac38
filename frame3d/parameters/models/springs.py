"""Springs of a rear shock: ``suspension.spring`` in the parameter file."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import Field, Strict

from frame3d.parameters.models.base import Model, Problem, number
from frame3d.parameters.reading.measures import measure
from frame3d.parameters.units import BAR, LB_IN, PSI

_RATES = {"rate_lb_in": ("lb", "lbs", "lb/in", "lbs/in"), "rate_n_mm": ("n/mm",)}
"""Key of a coil's rate -> units that people write for it."""


class CoilSpec(Model):
    """A coil: its rate in one of two units, or none, where the rate comes from the sag."""

    rate_n_mm: float | None = number(
        "Rate", "Force over stroke", above=0, high=1000, example=78.8, unit="N/mm"
    )
    rate_lb_in: float | None = number(
        "Rate in pounds an inch", "As springs are sold", above=0, high=5000, example=450,
        unit="lb/in",
    )  # fmt: skip
    preload: float = number(
        "Preload", "How far the coil is compressed at full extension", low=0, high=50, example=1,
        default=0,
    )  # fmt: skip

    def problems(self) -> Iterator[Problem]:
        """Yield a problem if the rate is given twice."""
        if self.rate_n_mm is not None and self.rate_lb_in is not None:
            yield Problem(
                "inconsistent",
                "rate_lb_in",
                "rate_n_mm and rate_lb_in both give the rate",
                "keep one of the two",
            )

    @property
    def rate(self) -> float | None:
        """Rate [N/mm]; None where it is left open."""
        return self.rate_n_mm if self.rate_lb_in is None else self.rate_lb_in * LB_IN

    @classmethod
    def meant(cls, given: object) -> str | None:
        """Return the meaning of a bare rate in place of the coil."""
        value, unit = measure(given)
        if value is None or value <= 0:
            return None
        keys = [key for key, units in _RATES.items() if not unit or unit in units]
        return " or ".join(f"{{{key}: {value:g}}}" for key in keys) or None


class _Filled(Model):
    """A chamber with its pressure in one of two units."""

    if TYPE_CHECKING:
        pressure_bar: float | None
        pressure_psi: float | None

    def problems(self) -> Iterator[Problem]:
        """Yield a problem if the pressure is given twice."""
        if self.pressure_bar is not None and self.pressure_psi is not None:
            yield Problem(
                "inconsistent",
                "pressure_psi",
                "pressure_bar and pressure_psi both give the pressure",
                "keep one of the two",
            )

    @property
    def pressure(self) -> float | None:
        """Pressure [N/mm²]; None where it is left open."""
        if self.pressure_psi is not None:
            return self.pressure_psi * PSI
        return None if self.pressure_bar is None else self.pressure_bar * BAR


_PSI: Any = number(
    "Pressure in pounds a square inch",
    "The same in another unit",
    low=0,
    high=870,
    example=145,
    unit="psi",
)


class NegativeSpec(_Filled):
    """The negative chamber of an air spring, which pulls against the positive one."""

    volume_cm3: float = number(
        "Volume", "At full extension", above=0, high=2000, example=20, unit="cm³", default=...
    )
    pressure_bar: float | None = number(
        "Pressure",
        "Above the air outside, at full extension; left out, that of the positive chamber",
        low=0,
        high=60,
        example=10,
        unit="bar",
    )
    pressure_psi: float | None = _PSI
    piston: float | None = number(
        "Piston",
        "Diameter of a circle with the area that the negative chamber works on; left out, the "
        "positive chamber's",
        low=10,
        high=120,
        example=40,
    )


class AirSpec(_Filled):
    """An air spring: positive chamber, and a negative one where there is one."""

    piston: float = number("Piston", "Its diameter", low=10, high=120, example=42, default=...)
    volume_cm3: float = number(
        "Volume",
        "Of the positive chamber at full extension",
        above=0,
        high=2000,
        example=130,
        unit="cm³",
        default=...,
    )
    pressure_bar: float | None = number(
        "Pressure",
        "Above the air outside, at full extension and rest; left out, from the sag",
        low=0,
        high=60,
        example=10,
        unit="bar",
    )
    pressure_psi: float | None = _PSI
    exponent: float = number(
        "Polytropic exponent",
        "Of the ride about the sag: 1 for slow (isothermal) movement, 1.4 for fast (adiabatic) movement "
        "of air. At rest air is isothermal, so pressure and sag do not depend on it",
        low=1,
        high=1.67,
        example=1.3,
        unit="no unit",
        default=1.3,
    )
    negative: NegativeSpec | None = Field(
        None, title="Negative chamber", description="Left out, there is none"
    )


_Stroke = Annotated[float, Field(ge=0, le=400)]
_Force = Annotated[float, Field(ge=0, le=100000)]
_Row = Annotated[tuple[_Stroke, _Force], Strict(False)]


class SpringSpec(Model):
    """The spring: one of coil, air and table."""

    coil: CoilSpec | None = Field(None, title="Coil", description="Rate and preload")
    air: AirSpec | None = Field(None, title="Air", description="Chambers and pressure")
    table: Annotated[tuple[_Row, ...], Strict(False)] | None = Field(
        None,
        title="Table",
        description="Measured stroke [mm] and force [N], in order of stroke from 0",
        min_length=2,
        max_length=1000,
        examples=[[[0, 150], [25, 1600], [55, 4200]]],
    )

    def problems(self) -> Iterator[Problem]:
        """Yield problems: no or several springs, a table that is not in order."""
        given = [k for k in ("coil", "air", "table") if getattr(self, k) is not None]
        if not given:
            yield Problem(
                "missing-key",
                "",
                "says nothing of the spring",
                "one of coil: {rate_lb_in: 450}, air: {piston: 42, volume_cm3: 130}, "
                "table: [[stroke, force], ...]",
            )
        for key in given[1:]:
            yield Problem(
                "inconsistent",
                key,
                f"the spring is given by {given[0]} already",
                "keep one of coil, air, table",
            )
        if self.table is None:
            return
        if self.table[0][0] != 0:
            yield Problem(
                "inconsistent", "table.0", "the table does not start at stroke 0",
                "give the force at full extension first, e.g. [0, 150]",
            )  # fmt: skip
        for i, (a, b) in enumerate(pairwise(self.table), 1):
            if b[0] <= a[0]:
                yield Problem(
                    "inconsistent",
                    f"table.{i}",
                    f"stroke {b[0]:g} comes after {a[0]:g}",
                    "rows in order of stroke, each stroke once",
                )
