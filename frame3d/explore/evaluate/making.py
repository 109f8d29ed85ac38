"""One bike of a design, made as far as is asked, with the quantities that are known so far."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Final

from frame3d.bike.bike import Bike
from frame3d.bike.exchange import exchange
from frame3d.bike.place_tubes import BegunPlacing
from frame3d.bike.solve import BegunBike, begin_placed, finish, placing_of, point_tubes
from frame3d.bike.suspended import inputs_of, rear_sag
from frame3d.bike.weight import given_centre
from frame3d.chart.as_built import pitch, sagged_parts
from frame3d.chart.cache import Cache
from frame3d.chart.nodes import nodes_of
from frame3d.chart.solve import Solved, chart_of, solve_chart
from frame3d.clearance.memory import PairMemory
from frame3d.clearance.pair_lists import PairLists
from frame3d.clearance.result import Result
from frame3d.clearance.scene import Scene, scene_of
from frame3d.errors import FrameError, LinkageError
from frame3d.explore.evaluate.designs import Designs
from frame3d.explore.evaluate.distance import chart_distance, rear_distance
from frame3d.explore.evaluate.gaps import measured, short_of
from frame3d.explore.study.measured import Measured, number_at, on_curves, values_of
from frame3d.explore.study.quantities import KINDS
from frame3d.explore.study.study import Design, Quantity, Stage
from frame3d.geometry.vector import Point
from frame3d.linkage import SuspensionInputs, target_sag
from frame3d.parameters.models.figures import STANDOVERS
from frame3d.parameters.models.frame import FrameSpec
from frame3d.ride.ride import Ride, ride_of
from frame3d.rider.contacts import saddle_height_of
from frame3d.stiffness.of_bike import Stiffness, stiffness_of

_OF_CENTRE: Final = frozenset(("anti_squat", "anti_rise"))
"""Quantities of the rear suspension that depend on the centre of mass."""
_OF_SPRING: Final = frozenset(("wheel_force", "wheel_rate"))
"""Quantities of the rear suspension that depend on the load on the spring."""
_FROM_SAG: Final = "kickback_from_sag"


class Making:
    """A bike of one size, with its settings; each part of it is made when it is first asked for."""

    def __init__(
        self,
        designs: Designs,
        design: Design,
        size: str | None,
        memory: Cache,
        gaps: PairMemory,
        lists: PairLists,
    ) -> None:
        self._designs, self._design, self._size = designs, design, size
        self._memory, self._gaps, self._lists = memory, gaps, lists
        self.found: Mapping[tuple[str, str], float] | None = None
        """What `solve_for` finds [mm], where that is known before."""
        self._short: dict[str, tuple[Result, ...]] = {}
        """What falls short, by check, of those that were made."""

    @cached_property
    def spec(self) -> FrameSpec:
        """The file with its values. Raises SpecError where that would be refused."""
        return self._designs.spec(self._design, self._size)

    @cached_property
    def drawn(self) -> FrameSpec:
        """The same without settings."""
        if not self.spec.variants.exchanged:
            return self.spec
        return self._designs.drawn(self._design, self._size)

    @cached_property
    def solved(self) -> Solved:
        """The chart as drawn. Raises GeometryError where there is none."""
        return solve_chart(self.drawn, self._memory)

    @cached_property
    def nodes(self) -> Mapping[str, Point]:
        """The chart's nodes as drawn."""
        return nodes_of(self.solved.values, saddle_height_of(self.drawn))

    @cached_property
    def placing(self) -> BegunPlacing | None:
        """The tubes that the suspension's points stand on, as drawn; None where none does.

        Raises TubeError.
        """
        return placing_of(self.drawn, self.solved, self.nodes, self._memory)

    @cached_property
    def begun(self) -> BegunBike:
        """Chart and rear suspension as drawn. Raises TubeError or LinkageError."""
        return begin_placed(
            self.drawn, self.solved, self.nodes, self.placing, self._memory, self.found
        )

    @cached_property
    def bike(self) -> Bike:
        """The whole bike. Raises FrameError where it cannot be made."""
        bike = finish(self.begun)
        settled = self.spec.variants.exchanged
        return exchange(bike, self.spec, settled) if settled else bike

    @cached_property
    def scene(self) -> Scene:
        """The bike with its parts, ready to be checked."""
        return scene_of(self.bike, memory=self._gaps, lists=self._lists)

    @cached_property
    def stiffness(self) -> Stiffness:
        """How stiff its frame is, at full extension. Raises TubeError where that cannot be told."""
        return stiffness_of(self.bike)

    @cached_property
    def ride(self) -> Ride:
        """How it rides. Raises GeometryError where a spring cannot be worked out."""
        return ride_of(self.bike)

    def known_at(self, quantity: Quantity) -> Stage:
        """Return the stage after which a quantity of this bike is known.

        It is later than the quantity's own where masses are wanted, or a setting is made on the finished
        frame.
        """
        stage = quantity.stage
        if stage not in ("chart", "linkage"):
            return stage
        spec = self.drawn
        if self.spec.variants.exchanged:
            return "placement"
        if quantity.stance == "sag":
            return "placement" if quantity.name in STANDOVERS else "linkage"
        if stage == "chart":
            return stage
        is_sag_asked = spec.suspension is not None and spec.suspension.sag is not None
        needs_sag = quantity.at == "sag" or quantity.name == _FROM_SAG
        needs_masses = quantity.name in _OF_SPRING or (
            quantity.name in _OF_CENTRE and given_centre(spec, self.nodes) is None
        )
        if needs_masses or (needs_sag and not is_sag_asked):
            return "placement"
        return stage

    def values(self, stage: Stage, wanted: Sequence[Quantity]) -> tuple[float | None, ...]:
        """Return quantities that are known at a stage; None for what the bike does not have.

        The bike is made as far as the stage says even if nothing is wanted.

        Raises:
            FrameError: it cannot be made so far.
        """
        if stage == "chart":
            figures = self.solved.figures()
            return tuple(figures.get(one.name) for one in wanted)
        if stage == "linkage":
            return self._of_linkage(wanted)
        if stage == "placement":
            return values_of(wanted, Measured(self.bike))
        if stage == "stiffness":
            return tuple(self.stiffness.value(one.name) for one in wanted)
        if stage == "ride":
            return tuple(number_at(self.ride, one.name) for one in wanted)
        gaps = {name: measured(self.scene, name) for name in dict.fromkeys(q.name for q in wanted)}
        return tuple(min((r.least for r in gaps[one.name]), default=None) for one in wanted)

    def short_of(self, check: str, following: Sequence[str] = ()) -> tuple[Result, ...]:
        """Return the results of a check that fall short.

        Args:
            check: its name.
            following: checks that will be asked for next: those made together take less time.
        """
        if check not in self._short:
            wanted = [name for name in (check, *following) if name not in self._short]
            self._short |= short_of(self.scene, wanted)
        return self._short[check]

    def distance(self, error: FrameError) -> float:
        """Return how far the bike is from one that can be made, as far as that is known [mm]."""
        if "spec" not in self.__dict__:
            return 0.0
        if "solved" not in self.__dict__:
            return chart_distance(self.drawn)
        if isinstance(error, LinkageError) and "begun" not in self.__dict__:
            tubes = point_tubes(self.drawn, self.solved, self._memory)
            return rear_distance(self.drawn, self.solved, tubes)
        return 0.0

    def _of_linkage(self, wanted: Sequence[Quantity]) -> tuple[float | None, ...]:
        """Return quantities of the rear suspension that no mass bears on."""
        begun, spec = self.begun, self.drawn
        linkage = begun.linkage
        rear = [one for one in wanted if one.stance == "static"]
        found: dict[Quantity, float | None] = dict.fromkeys(wanted)
        if linkage is not None and rear:

            def inputs(forks: Sequence[float]) -> SuspensionInputs:
                # Where the file does not give it, nothing that is wanted here depends on the centre.
                centre = given_centre(spec, begun.nodes) or (0.0, 1000.0)
                return inputs_of(spec.build, begun.nodes, begun.solved, centre, forks)

            suspension = spec.suspension
            assert suspension is not None
            sag = None
            if suspension.sag is not None:
                sag = target_sag(linkage, suspension.sag, suspension.sag_of)
            found |= dict(zip(rear, on_curves(rear, spec, linkage, sag, inputs, None), strict=True))
        sagged = [one for one in wanted if one.stance == "sag"]
        if sagged:
            chart = self._sagged_chart()
            found |= {one: chart.get(one.name) for one in sagged}
        return tuple(found[one] for one in wanted)

    def _sagged_chart(self) -> dict[str, float | None]:
        """Return the chart under the rider's weight; empty where nothing is sprung."""
        spec, solved, linkage = self.drawn, self.solved, self.begun.linkage
        parts = sagged_parts(spec, solved)
        axle = None if linkage is None else linkage.axle_at(rear_sag(spec, linkage))
        if parts is None and axle is None:
            return {}
        pitched = pitch(solved, {} if parts is None else parts, axle)
        return {} if pitched is None else dict(chart_of(pitched.values))


def missing_travel(quantity: Quantity, making: Making) -> float:
    """Return how much too short a bike's travel is for where a quantity is wanted [mm]."""
    if not isinstance(quantity.at, float) or quantity.name not in KINDS:
        return 0.0
    linkage = making.begun.linkage
    return 0.0 if linkage is None else max(quantity.at - linkage.full_travel, 0.0)
