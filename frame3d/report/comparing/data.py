"""What the page of a comparison is made from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from frame3d.family.differences import Change, against_first
from frame3d.family.measured import Measured
from frame3d.family.members import Family, Member
from frame3d.family.size_table import SizeTable, size_table
from frame3d.report.side import Side
from frame3d.stiffness.comparison import SideBySide, side_by_side


@dataclass(frozen=True)
class Comparison:
    """Bikes side by side, with what is known of each."""

    family: Family
    measured: tuple[Measured, ...]
    """Of each bike, in the family's order."""

    @property
    def members(self) -> tuple[Member, ...]:
        """The bikes."""
        return self.family.members

    @property
    def labels(self) -> tuple[str, ...]:
        """Their short names."""
        return tuple(member.label for member in self.members)

    @cached_property
    def changes(self) -> tuple[Sequence[Change], ...]:
        """What differs from the first bike, for each bike; nothing for the first itself."""
        return ((), *(changes for _, changes in against_first(self.family, self.measured)))

    @cached_property
    def table(self) -> SizeTable:
        """The charts."""
        return size_table(self.family)

    @cached_property
    def stiffness(self) -> SideBySide | None:
        """The stiffness of each bike beside the first's; None where there is nothing to compare."""
        return side_by_side(self.labels, [one.stiffness for one in self.measured])

    @cached_property
    def sides(self) -> tuple[Side, ...]:
        """The side view of each bike; bikes that are one share it."""
        made: dict[int, Side] = {}
        for member, one in zip(self.members, self.measured, strict=True):
            if id(member.bike) not in made:
                made[id(member.bike)] = Side(member.bike, one.scene.parts)
        return tuple(made[id(member.bike)] for member in self.members)
