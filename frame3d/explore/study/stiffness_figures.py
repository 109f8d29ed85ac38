"""Load cases that a study names, held against those that the bike's frame has the places for."""

from __future__ import annotations

from difflib import get_close_matches

from frame3d.bike.solve import solve
from frame3d.errors import FrameError
from frame3d.explore.study.quantities import STIFFNESS, STIFFNESS_UNITS
from frame3d.parameters.models.frame import FrameSpec
from frame3d.stiffness.of_bike import Stiffness, stiffness_of

_LISTED = "frame3d stiffness --json FILE lists all of them"


class StiffnessFigures:
    """The stiffness of one bike, worked out when first asked for."""

    def __init__(self, spec: FrameSpec) -> None:
        self._spec = spec
        self._known: Stiffness | FrameError | None = None

    def lack(self, name: str) -> tuple[str, str] | None:
        """Return why the bike has no stiffness in a load case, and what to do; None where it has.

        Args:
            name: of the load case, without ``stiffness.`` before it.

        Raises:
            FrameError: the bike cannot be made.
        """
        if name not in STIFFNESS_UNITS:
            near = get_close_matches(name, STIFFNESS_UNITS, n=3, cutoff=0.5)
            names = [STIFFNESS + one for one in near]
            way = f"did you mean {' or '.join(names)}? " if names else ""
            return "there is no such load case", way + _LISTED
        if self._known is None:
            bike = solve(self._spec)
            try:
                self._known = stiffness_of(bike)
            except FrameError as error:
                self._known = error
        if isinstance(self._known, FrameError):
            fault = self._known.faults[0]
            return fault.message, f"in the bike's file: {fault.hint}"
        if self._known.value(name) is None:
            return "this bike's frame has not all places of this load case", _LISTED
        return None
