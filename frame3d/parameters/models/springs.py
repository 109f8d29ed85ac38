"""Springs of shock and fork: ``suspension.spring`` and ``build.fork.spring`` in the parameter file."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import Field, Strict

from frame3d.parameters.models.base import Model, Problem, Share, number
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


class MeasuredSpec(Model):
    """A pressure, and the sag that it gave under a rider of known mass."""

    pressure_bar: float = number(
        "Pressure", "Above the air outside, at full extension", above=0, high=60, example=13,
        unit="bar", default=...,
    )  # fmt: skip
    sag: Share = Field(
        ..., title="Sag", description="Share of the stroke that it gave, e.g. 28%", examples=["28%"]
    )
    rider_mass_kg: float = number(
        "Rider's mass",
        "With clothes and pack",
        low=10,
        high=250,
        example=80,
        unit="kg",
        default=...,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a problem if the sag is none, or all."""
        if not 0 < self.sag < 1:
            yield Problem(
                "inconsistent",
                "sag",
                "a shock that rests at either end of its stroke measures nothing",
                "the share of the stroke that is used up at rest, e.g. 28%",
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
    reducer_cm3: float | None = number(
        "Volume of a reducer", "How much of the positive chamber one takes up", above=0, high=500,
        example=8, unit="cm³",
    )  # fmt: skip
    reducers: int = number(
        "Reducers", "How many are in the positive chamber; volume_cm3 is without them", low=0, high=30,
        example=1, unit="no unit", default=0,
    )  # fmt: skip
    most_reducers: int | None = number(
        "Most reducers", "How many it may take, as its maker says", low=0, high=30, example=3,
        unit="no unit",
    )  # fmt: skip
    highest_pressure_bar: float | None = number(
        "Highest pressure", "That its maker allows", above=0, high=60, example=20, unit="bar"
    )
    measured: MeasuredSpec | None = Field(
        None,
        title="Measured",
        description="One pressure with the sag it gave under a rider; calibrates the set-up sheet",
    )

    @property
    def air_cm3(self) -> float:
        """Volume of the positive chamber at full extension, less its reducers [cm³]."""
        return self.volume_cm3 - self.reducers * (self.reducer_cm3 or 0.0)

    @property
    def least_air_cm3(self) -> float:
        """The same with as many reducers as it may take, where the file says [cm³]."""
        most = self.reducers if self.most_reducers is None else self.most_reducers
        return self.volume_cm3 - most * (self.reducer_cm3 or 0.0)

    def problems(self) -> Iterator[Problem]:
        """Yield problems: pressure given twice or too high, reducers that do not go in."""
        yield from super().problems()
        if self.reducers and self.reducer_cm3 is None:
            yield Problem(
                "missing-key", "reducer_cm3", "missing: how much room each reducer takes", "e.g. 8"
            )
        if self.most_reducers is not None and self.reducers > self.most_reducers:
            yield Problem(
                "inconsistent",
                "reducers",
                f"more than most_reducers allows ({self.most_reducers})",
                f"at most {self.most_reducers}",
            )
        if self.air_cm3 <= 0:
            yield Problem(
                "inconsistent",
                "reducers",
                f"{self.reducers} of {self.reducer_cm3:g} cm³ leave no air in {self.volume_cm3:g} cm³",
                "fewer reducers, or volume_cm3 without them",
            )
        highest = self.highest_pressure_bar
        if (
            highest is not None
            and self.pressure is not None
            and self.pressure > highest * BAR + 1e-9
        ):
            yield Problem(
                "inconsistent",
                "pressure_psi" if self.pressure_psi is not None else "pressure_bar",
                f"above the highest that is allowed ({highest:g} bar)",
                f"at most {highest:g} bar",
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

    @property
    def is_open(self) -> bool:
        """Whether a rate or pressure is left open, to be found from the sag and its load."""
        if self.coil is not None:
            return self.coil.rate is None
        return self.air is not None and self.air.pressure is None

    def over(self, stroke: float, sag: str | None) -> Iterator[Problem]:
        """Yield problems of the spring over a full stroke [mm]; keys begin with ``spring``.

        Args:
            stroke: how far the shock or fork shortens [mm].
            sag: example of the key that gives a sag, where the file gives none.
        """
        if sag is not None:
            if self.coil is not None and self.coil.rate is None:
                yield _needs_sag("spring.coil.rate_n_mm", "rate", "rate_lb_in: 450", sag)
            if self.air is not None and self.air.pressure is None:
                yield _needs_sag("spring.air.pressure_bar", "pressure", "pressure_bar: 10", sag)
        if self.air is not None:
            swept = 3.141592653589793 / 4 * self.air.piston**2 * stroke / 1000
            if swept >= self.air.air_cm3:
                yield Problem(
                    "inconsistent",
                    "spring.air.reducers" if self.air.reducers else "spring.air.volume_cm3",
                    f"the piston sweeps {swept:.4g} cm³ over the stroke, which leaves no air",
                    f"more than {swept:.4g}, or a smaller piston"
                    + (", or fewer reducers" if self.air.reducers else ""),
                )
            elif self.air.least_air_cm3 <= swept:
                yield Problem(
                    "inconsistent",
                    "spring.air.most_reducers",
                    f"{self.air.most_reducers} of {self.air.reducer_cm3:g} cm³ leave no air at the "
                    f"end of the stroke: the piston sweeps {swept:.4g} of {self.air.volume_cm3:g} cm³",
                    "fewer, or volume_cm3 without any reducer",
                )
        if self.table and self.table[-1][0] < stroke:
            yield Problem(
                "inconsistent",
                f"spring.table.{len(self.table) - 1}",
                f"the table ends at {self.table[-1][0]:g} mm, before the stroke of {stroke:g} mm",
                f"go on to {stroke:g}",
            )


def _needs_sag(key: str, what: str, example: str, sag: str) -> Problem:
    return Problem(
        "missing-key",
        key,
        f"missing: without a sag nothing settles the {what}",
        f"give it, e.g. {example}, or the sag, e.g. {sag}",
    )
