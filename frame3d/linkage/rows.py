"""Points of a linkage as linear functions of exp(i·θ), with θ the links' angles."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.geometry.arrays import Complex


@dataclass(frozen=True, eq=False)
class Rows:
    """Positions as rows of ``fixed + arms @ exp(i·θ)``."""

    fixed: Complex
    """(rows,) complex [mm]."""
    arms: Complex
    """(rows, links) complex [mm]."""

    def at(self, turned: Complex) -> Complex:
        """Return the positions, (rows, k) complex [mm], for exp(i·θ) of shape (links, k)."""
        return self.fixed[:, None] + self.arms @ turned

    def toward(self, other: Rows, share: float) -> Rows:
        """Return the rows at a share of the way to other ones."""
        return Rows(
            self.fixed + share * (other.fixed - self.fixed),
            self.arms + share * (other.arms - self.arms),
        )

    def __sub__(self, other: Rows) -> Rows:
        return Rows(self.fixed - other.fixed, self.arms - other.arms)

    def __getitem__(self, rows: slice) -> Rows:
        return Rows(self.fixed[rows], self.arms[rows])
