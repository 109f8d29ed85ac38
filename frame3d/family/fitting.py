"""How each size of a file comes out for one rider: contact points, seatpost, standover, what holds.

The frame is as drawn. The rider sits on it: the saddle goes to the rider's height, and the post, which
keeps its length, goes in or out with it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from frame3d.bike.bike import Bike
from frame3d.bike.choice import Choice, solve_choice
from frame3d.bike.exchange import exchange_values
from frame3d.bike.seatpost import seatpost_of
from frame3d.chart.cache import ROOM, Cache
from frame3d.clearance.check import run_checks
from frame3d.clearance.result import Report, Result
from frame3d.clearance.scene import scene_of
from frame3d.errors import Fault, FrameError, SpecError, of_size
from frame3d.family.cockpit_ranges import CockpitRange, WishedGrips, cockpit_range, grips_of
from frame3d.family.members import Missing
from frame3d.family.wanted import Source
from frame3d.parameters.models.rider import RiderSpec
from frame3d.rider.contacts import SADDLE_OF_INSEAM
from frame3d.rider.segments import INSEAM_OF_STATURE

CHECKS: Final = frozenset(
    {
        "standover_room",
        "seatpost_insertion",
        "seatpost_room",
        "seatpost_exposure",
        "saddle_to_rear_tyre",
        "front_load",
    }
)
"""Checks that the rider's measures decide."""


@dataclass(frozen=True, slots=True)
class Body:
    """The measures that decide how a bike fits [mm]; None where not known."""

    height: float
    inseam: float
    saddle_height: float
    mass_kg: float | None
    assumed: tuple[str, ...]
    """Which of them were not given, and what they are taken as."""


@dataclass(frozen=True, slots=True)
class SizeFit:
    """One size under the rider."""

    size: str
    bike: Bike
    """With the rider on it, saddle and post at the rider's height."""
    report: Report
    drawn_for: float | None
    """Height of the rider whom the file gives for this size [mm]."""
    figures: Mapping[str, float | None]
    """By name, as `FIGURES`."""
    cockpit: CockpitRange | None = None
    """What stems, spacers and bars can do for the wished grips; None without a wish or a stem."""

    @property
    def short(self) -> tuple[Result, ...]:
        """Checks that fall short, the worst first."""
        return tuple(result for result in self.report.results if not result.ok)

    @property
    def holds(self) -> bool:
        """Whether the rider reaches grips and pedals, and every check that was made holds."""
        rider = self.bike.rider
        reached = rider is None or "hands" not in rider.contacts or rider.seated is not None
        return reached and (rider is None or rider.legs_reach is not False) and self.report.ok


FIGURES: Final[Mapping[str, tuple[str, str]]] = {
    "reach": ("Reach", "mm"),
    "stack": ("Stack", "mm"),
    "saddle_height": ("Saddle height", "mm"),
    "effective_seat_tube_angle": ("Effective seat tube angle there", "°"),
    "saddle_to_grips": ("Saddle to grips, level", "mm"),
    "grips_above_saddle": ("Grips above the saddle", "mm"),
    "trunk_angle": ("Trunk above level, seated", "°"),
    "standover_room": ("Inseam over the standover", "mm"),
    "post_insertion": ("Post in the seat tube", "mm"),
    "post_travel": ("Dropper post's travel", "mm"),
    "longest_travel": ("Longest travel that would fit", "mm"),
}
"""Figure -> title and unit, in the order in which they are shown."""


@dataclass(frozen=True, slots=True)
class Fitting:
    """All sizes of a file under one rider."""

    body: Body
    sizes: tuple[SizeFit, ...]
    missing: tuple[Missing, ...]
    """Sizes that cannot be made, or not with this rider."""
    grips: WishedGrips | None = None
    """Where the hands are wanted; None where nothing says so."""

    @property
    def holding(self) -> tuple[SizeFit, ...]:
        """The sizes on which everything holds."""
        return tuple(size for size in self.sizes if size.holds)

    @property
    def nearest(self) -> SizeFit | None:
        """Of the sizes that hold, the one whose own rider in the file is nearest in height.

        None where none holds, or where the file gives fewer than two sizes riders of their own, so that
        no figure tells one from another.
        """
        known = {size.drawn_for for size in self.sizes if size.drawn_for is not None}
        drawn = [size for size in self.holding if size.drawn_for is not None]
        if len(known) < 2 or not drawn:
            return None
        return min(drawn, key=lambda size: abs((size.drawn_for or 0.0) - self.body.height))


def body_of(
    rider: RiderSpec | None,
    height: float | None = None,
    inseam: float | None = None,
    saddle_height: float | None = None,
    mass_kg: float | None = None,
) -> Body:
    """Return a rider's measures: as given, else the file's where nothing is given, else by proportion.

    Args:
        rider: of the file; only the mass of it counts once height or inseam are given.
        height: stature, barefoot [mm].
        inseam: floor to crotch, barefoot [mm].
        saddle_height: bottom bracket centre to saddle [mm].
        mass_kg: with clothes and pack.

    Raises:
        SpecError: neither height nor inseam is known, or they do not go together.
    """
    if height is None and inseam is None and rider is not None:
        height, inseam = rider.height, rider.inseam
    mass = mass_kg if mass_kg is not None or rider is None else rider.mass_kg
    assumed = []
    if height is None and inseam is None:
        hint = "give --rider-height or --inseam, or build.rider.height in the file"
        raise SpecError(
            Fault("missing-key", "build.rider", "the rider's measures are missing", hint)
        )
    if inseam is None:
        assert height is not None
        inseam = INSEAM_OF_STATURE * height
        assumed.append(f"inseam {inseam:.0f} mm, {INSEAM_OF_STATURE} x height")
    if height is None:
        height = inseam / INSEAM_OF_STATURE
        assumed.append(f"height {height:.0f} mm, inseam / {INSEAM_OF_STATURE}")
    if inseam >= height:
        message = f"an inseam of {inseam:g} mm is longer than the rider is tall, {height:g} mm"
        raise SpecError(Fault("inconsistent", "", message, "floor to crotch, barefoot, e.g. 830"))
    if saddle_height is None:
        saddle_height = SADDLE_OF_INSEAM * inseam
        assumed.append(f"saddle height {saddle_height:.0f} mm, {SADDLE_OF_INSEAM} x inseam")
    return Body(height, inseam, saddle_height, mass, tuple(assumed))


def fitting(
    source: Source,
    body: Body,
    settings: Sequence[str] = (),
    swaps: Sequence[str] = (),
    memory: Cache | None = None,
    grips: WishedGrips | None = None,
) -> Fitting:
    """Return how each size of a file comes out for a rider.

    Args:
        source: the file, with its changes of the design.
        body: the rider.
        settings: made on every size.
        swaps: exchanges of parts on every size, ``KEY=VALUE``.
        memory: cache from bikes solved earlier.
        grips: where the hands are wanted; without it, where the size has them that is drawn for the
            rider nearest in height, else the file's default size.

    Raises:
        FrameError: no size can be made.
    """
    known = Cache(2 * ROOM) if memory is None else memory
    found: list[SizeFit] = []
    missing: list[Missing] = []
    for size in source.variants.sizes:
        choice = Choice(size, tuple(settings), source.sets, tuple(swaps))
        try:
            drawn = solve_choice(source.text, source.name, choice, known, source.parse).bike
            found.append(_fit(size, drawn, body))
        except FrameError as error:
            missing.append(Missing(size, tuple(of_size(error, size).faults)))
    if not found:
        raise SpecError(fault for one in missing for fault in one.faults)
    wish = _drawn_grips(found, body, source.variants.default) if grips is None else grips
    if wish is not None:
        found = [replace(size, cockpit=cockpit_range(size.bike, wish)) for size in found]
    return Fitting(body, tuple(found), tuple(missing), wish)


def _drawn_grips(sizes: Sequence[SizeFit], body: Body, default: str | None) -> WishedGrips | None:
    """Return the grips of the size that is drawn for the nearest rider, else of the default size."""
    riders = {size.drawn_for for size in sizes if size.drawn_for is not None}
    drawn = [size for size in sizes if size.drawn_for is not None]
    if len(riders) > 1:
        chosen = min(drawn, key=lambda size: abs((size.drawn_for or 0.0) - body.height))
    else:
        chosen = next((size for size in sizes if size.size == default), sizes[0])
    return grips_of(chosen.bike, chosen.size)


def _fit(size: str, drawn: Bike, body: Body) -> SizeFit:
    bike = seated(drawn, body)
    own = drawn.spec.build.rider
    report = run_checks(scene_of(bike), names=CHECKS)
    return SizeFit(size, bike, report, None if own is None else own.height, _figures(bike, body))


def seated(bike: Bike, body: Body) -> Bike:
    """Return the same frame with a rider, saddle and post at the rider's height.

    The post keeps its length, so it stands as much deeper as the saddle is lower. A knee angle that the
    file gives counts only for the very rider that it was measured on.

    Raises:
        FrameError: the bike cannot be set so.
    """
    build = bike.spec.build
    own = {} if build.rider is None else build.rider.model_dump(exclude_none=True)
    rider: dict[str, Any] = {**own, "height": body.height, "inseam": body.inseam}
    if (own.get("height"), own.get("inseam")) != (body.height, body.inseam):
        for measured in ("knee_angle", "at_saddle_height"):
            rider.pop(measured, None)
    if body.mass_kg is not None:
        rider["mass_kg"] = body.mass_kg
    values: dict[str, Any] = {"build.rider": rider}
    if build.seatpost is not None:
        post = build.seatpost.model_dump(exclude_none=True)
        post["saddle_height"] = body.saddle_height
        drawn = seatpost_of(bike)
        if drawn is not None and drawn.insertion is not None and drawn.exposure is not None:
            post.pop("insertion", None)
            post["length"] = drawn.insertion + drawn.exposure
        values["build.seatpost"] = post
    return exchange_values(bike, values)


def _figures(bike: Bike, body: Body) -> dict[str, float | None]:
    chart, rider, post = bike.chart, bike.rider, seatpost_of(bike)
    out: dict[str, float | None] = {
        "reach": chart["reach"],
        "stack": chart["stack"],
        "saddle_height": body.saddle_height,
        "effective_seat_tube_angle": chart["effective_seat_tube_angle"],
    }
    hands = None if rider is None else rider.contacts.get("hands")
    if rider is not None and hands is not None:
        saddle = rider.contacts["saddle"]
        out["saddle_to_grips"] = hands[0] - saddle[0]
        out["grips_above_saddle"] = hands[2] - saddle[2]
    if rider is not None and rider.seated is not None:
        hip, shoulder = rider.seated.joints["hip"], rider.seated.joints["shoulder"]
        out["trunk_angle"] = math.degrees(math.atan2(shoulder[2] - hip[2], shoulder[0] - hip[0]))
    standover = chart["standover"]
    out["standover_room"] = None if standover is None else body.inseam - standover
    if post is not None:
        out["post_insertion"] = post.insertion
        out["post_travel"] = post.travel or None
        out["longest_travel"] = None if post.longest_travel is None else post.longest_travel.value
    return {name: out.get(name) for name in FIGURES}
