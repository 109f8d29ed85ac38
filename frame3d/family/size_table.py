"""The size table: a row a figure, a column a bike, as drawn and at sag."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from frame3d.family.members import Family
from frame3d.parameters.models.figures import title, unit

ROWS: Final = (
    "reach",
    "stack",
    "effective_top_tube",
    "seat_tube_length",
    "head_tube_length",
    "head_tube_angle",
    "effective_seat_tube_angle",
    "effective_seat_tube_angle_at_stack",
    "actual_seat_tube_angle",
    "seat_tube_offset",
    "chainstay_length",
    "front_centre",
    "wheelbase",
    "bb_drop",
    "bb_height",
    "standover",
    "standover_mid_tube",
    "trail",
    "mechanical_trail",
    "wheel_flop",
    "fork_axle_to_crown",
    "fork_offset",
    "lower_headset_stack",
    "front_wheel_radius",
    "rear_wheel_radius",
)
"""Figures in the order in which the trade's tables have them: fit, frame, handling, parts (common
practice, no source)."""

Stand = Literal["static", "sagged"]


@dataclass(frozen=True, slots=True)
class Row:
    """One figure of all bikes."""

    figure: str
    values: tuple[float | None, ...]
    """In mm or degrees, a value a bike; None where one does not have the figure."""

    @property
    def title(self) -> str:
        """The figure's name."""
        return title(self.figure)

    @property
    def unit(self) -> str:
        """``mm`` or ``degrees``."""
        return unit(self.figure)


@dataclass(frozen=True, slots=True)
class SizeTable:
    """Chart figures of all bikes side by side."""

    columns: tuple[str, ...]
    """Labels of the bikes."""
    static: tuple[Row, ...]
    sagged: tuple[Row, ...]
    """Under the rider's weight, on level ground; empty where no bike is sprung."""

    def rows(self, stand: Stand) -> tuple[Row, ...]:
        """Return the rows as drawn (``static``) or at sag (``sagged``)."""
        return self.static if stand == "static" else self.sagged


def size_table(family: Family) -> SizeTable:
    """Return the figures of a family that any of its bikes has."""
    bikes = [member.bike for member in family.members]
    return SizeTable(
        tuple(member.label for member in family.members),
        _rows([bike.chart for bike in bikes]),
        _rows([{} if bike.sagged is None else bike.sagged.chart for bike in bikes]),
    )


def _rows(charts: Sequence[Mapping[str, float | None]]) -> tuple[Row, ...]:
    rows = (Row(figure, tuple(chart.get(figure) for chart in charts)) for figure in ROWS)
    return tuple(row for row in rows if any(value is not None for value in row.values))
