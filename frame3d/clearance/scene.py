"""Bodies, limits of motions and requirements that the checks of one bike need."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bike.exchange import exchange_values, redesign
from frame3d.bike.tension.insert import other_angles
from frame3d.bike.tension.slide import other_ends
from frame3d.bodies import Absent, Bodies, Body, bodies_of, carried_bodies, some_bodies
from frame3d.bodies.motion.mounts import MOTIONS, Name
from frame3d.bodies.placement import End, Placement
from frame3d.chart.as_built import INSERT, SLIDE
from frame3d.chart.cache import Cache
from frame3d.clearance.certify.broad_phase import BroadPhase
from frame3d.clearance.certify.distance import TOLERANCE
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.certify.numbers import Numbers
from frame3d.clearance.memory import PairMemory, fingerprint, key_of
from frame3d.clearance.mirror import Twins
from frame3d.clearance.pair_lists import Listed, PairLists
from frame3d.clearance.result import Tensioned
from frame3d.geometry.arrays import Array, Ints
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.steering import Steering, steering_of
from frame3d.parameters.requirements import (
    RACING_MASS,
    RACING_TYRE,
    RACING_TYRE_SOURCE,
    RACING_WIDTH,
    REQUIREMENTS,
)


@dataclass(frozen=True)
class Scene:
    """A solved bike with its parts, ready to be checked."""

    bike: Bike
    tolerance: float
    """Width of the certificates [mm]."""
    memory: PairMemory | None = field(default=None, compare=False, repr=False)
    """What was measured before; scenes made from this one share it."""
    solved: Cache = field(default_factory=Cache, compare=False, repr=False)
    """What was solved and placed before; scenes made from this one share it."""
    lists: PairLists = field(default_factory=PairLists, compare=False, repr=False)
    """Which pairs each check is of; scenes made from this one share it."""
    make: Callable[[Bike], Bodies] = field(default=bodies_of, compare=False, repr=False)
    """Makes the bodies of a bike, once they are asked for."""

    @property
    def spec(self) -> FrameSpec:
        """The parameter file."""
        return self.bike.spec

    @cached_property
    def parts(self) -> Bodies:
        """The bodies, and what the file does not give.

        Raises:
            SpecError: parts that do not go together, all of them.
        """
        return self.make(self.bike)

    @property
    def bodies(self) -> tuple[Body, ...]:
        """Every body. Raises SpecError as `parts`."""
        return self.parts.bodies

    @property
    def absent(self) -> tuple[Absent, ...]:
        """What the file does not give. Raises SpecError as `parts`."""
        return self.parts.absent

    @property
    def steering(self) -> Steering:
        """How far the bar turns, and over how much of that gaps are checked."""
        return steering_of(self.spec)

    def with_parts(self, values: Mapping[str, Any]) -> Scene:
        """Return the scene of the same frame with other values at some dotted paths of its parts.

        Raises:
            FrameError: the parts do not fit the frame, or it cannot stand on them.
        """
        return self._of(exchange_values(self.bike, values, self.solved))

    @cached_property
    def elsewhere(self) -> tuple[tuple[str, float, Scene], ...]:
        """The same bike where its chain is tensioned otherwise, for checks of single figures.

        Path and value of what tensions it, with the scene: the rear axle at each other end of sliding
        dropouts, and an eccentric insert at the ends of its turn, and foremost, lowest and so on.
        """
        return tuple(
            (path, value, self.with_parts({path: value})) for path, value in self._other_places
        )

    @property
    def _other_places(self) -> tuple[tuple[str, float], ...]:
        slides = ((SLIDE, at) for _, at in other_ends(self.bike))
        return (*slides, *((INSERT, angle) for angle in other_angles(self.bike)))

    def at(self, slide: float | None, insert: float | None) -> Scene:
        """Return the scene with the rear axle so far back [mm] or the insert at an angle [degrees].

        None is where each is.
        """
        values = {path: v for path, v in ((SLIDE, slide), (INSERT, insert)) if v is not None}
        if not values:
            return self
        known = (s for path, v, s in self.elsewhere if values == {path: v})
        return next(known, None) or self.with_parts(values)

    @property
    def drawn(self) -> dict[str, float]:
        """Where what tensions the chain is drawn, in the file: ``slide`` [mm], ``insert`` [degrees]."""
        slide, insert = self.spec.build.slide, self.spec.build.insert
        if slide is not None and self.bike.dropouts:
            return {"slide": slide.at}
        return {} if insert is None else {"insert": insert.angle}

    @property
    def tensioned(self) -> Tensioned | None:
        """Over what of the chain's tensioning is checked; None where nothing tensions the chain."""
        slide, insert = self.spec.build.slide, self.spec.build.insert
        at = tuple(sorted((*self.drawn.values(), *(value for _, value in self._other_places))))
        if slide is not None and self.bike.dropouts:
            return Tensioned("slide", 0.0, slide.length, at)
        return None if insert is None else Tensioned("insert", *insert.range, at)

    def redesigned(self, values: Mapping[str, Any]) -> Scene:
        """Return the scene of the bike that is designed anew with other values at some dotted paths.

        Raises:
            FrameError: that bike cannot be made.
        """
        return self._of(redesign(self.bike, values, self.solved))

    def _of(self, bike: Bike) -> Scene:
        """Return the scene of another bike, which shares what is known with this one."""
        return Scene(bike, self.tolerance, self.memory, self.solved, self.lists)

    def body(self, name: str) -> Body | None:
        """Return the body of that name, or None."""
        return next((b for b in self.bodies if b.name == name), None)

    def some(self, *names: str) -> tuple[Body | None, ...]:
        """Return the bodies of some names, None for one that is not there.

        On a bike with a rear suspension, whose bodies take time, most others are left for later.

        Raises:
            SpecError: as `parts`.
        """
        if "parts" in self.__dict__ or self.bike.linkage is None or self.spec.build.bodies:
            return tuple(self.body(name) for name in names)
        if not self._some or not self._some.keys() >= set(names):
            self._some.update({body.name: body for body in some_bodies(self.bike, names)})
        return tuple(self._some.get(name) for name in names)

    @cached_property
    def _some(self) -> dict[str, Body]:
        """Bodies that were made before the others, by name."""
        return {}

    def named(self, *starts: str) -> tuple[Body, ...]:
        """Return bodies whose name is one of these, or begins with one followed by ``_``."""
        return tuple(
            b for b in self.bodies if any(b.name == s or b.name.startswith(f"{s}_") for s in starts)
        )

    @cached_property
    def listed(self) -> Listed:
        """The pairs of every check among its bodies."""
        return self.lists.of(self.bodies)

    @cached_property
    def kinds(self) -> dict[str, tuple[Body, ...]]:
        """Kind, as in `table.KINDS` -> its bodies."""
        bodies = self.bodies
        return {kind: tuple(bodies[i] for i in own) for kind, own in self.listed.kinds.items()}

    @property
    def lines(self) -> dict[str, str]:
        """Name of a body -> name of its line in the list, see `start_of`."""
        return self.listed.lines

    @cached_property
    def twins(self) -> Twins:
        """Which pairs of its bodies are mirror images of others."""
        return Twins(self.bodies, self.ranges(MOTIONS))

    @cached_property
    def numbers(self) -> Numbers:
        """What the search needs of its solids."""
        return Numbers()

    @cached_property
    def broad_phase(self) -> BroadPhase:
        """Lower bounds of the gaps of its bodies."""
        return BroadPhase()

    @cached_property
    def _fingerprints(self) -> dict[str, bytes]:
        """Those that were asked for so far, by name."""
        return {}

    def _fingerprint(self, body: Body) -> bytes:
        known = self._fingerprints.get(body.name)
        if known is None:
            known = self._fingerprints[body.name] = fingerprint(body)
        return known

    def key(
        self,
        pairs: Iterable[tuple[Body, Body]],
        ranges: Sequence[Range],
        tolerance: float,
        cutoff: float | None,
    ) -> bytes:
        """Return the key of a search for the smallest gap of some pairs, as `memory.key_of`."""
        both = [(self._fingerprint(a), self._fingerprint(b)) for a, b in pairs]
        return key_of(both, ranges, tolerance, cutoff)

    @cached_property
    def _numbers(self) -> dict[str, int]:
        """Name of a body -> its place among the bodies."""
        return {b.name: i for i, b in enumerate(self.bodies)}

    @cached_property
    def _swept(self) -> Array:
        return self.broad_phase.swept(self.bodies, self.ranges(MOTIONS))

    def apart(self, pairs: Sequence[tuple[Body, Body]]) -> list[float]:
        """Return a lower bound of each pair's gap, from boxes that hold all their positions [mm]."""
        both = [(self._numbers[x.name], self._numbers[y.name]) for x, y in pairs]
        found = self.apart_of(np.array(both, dtype=np.int64).reshape(-1, 2))
        return [float(low) for low in found]

    def apart_of(self, both: Ints) -> Array:
        """Return the same of pairs that are given by the bodies' places among the bodies: (n,) [mm].

        Args:
            both: (n, 2).
        """
        boxes, (a, b) = self._swept, both.T
        between = np.maximum(boxes[a, 0] - boxes[b, 1], boxes[b, 0] - boxes[a, 1])
        return np.asarray(np.linalg.norm(np.maximum(between, 0.0), axis=1))

    def frame(self) -> tuple[Body, ...]:
        """Return the frame's own bodies: tubes, shell, dropouts, what the rear suspension turns on."""
        own = self._place.frame_names
        return tuple(b for b in self.bodies if b.name in own)

    def ranges(self, names: Iterable[Name]) -> tuple[Range, ...]:
        """Return the limits of motions, without those that cannot move."""
        return tuple(r for n in names if (r := self._limits[n]).high > r.low)

    @cached_property
    def _place(self) -> Placement:
        return Placement(self.bike)

    @cached_property
    def _limits(self) -> dict[Name, Range]:
        """Every motion, from its least value to its greatest: the same where it cannot move."""
        spec, linkage = self.spec, self.bike.linkage
        slots, insert = self._place.slots, self._place.insert
        swing, steer = spec.clearance.heel_swing, self.steering.checked
        return {
            "rear": Range("rear", 0.0, 0.0 if linkage is None else linkage.full_travel),
            "fork": Range("fork", 0.0, 0.0 if spec.build.fork is None else spec.build.fork.travel),
            "steer": Range("steer", -steer, steer),
            "crank": Range("crank", 0.0, 360.0),
            "heel": Range("heel", -swing, swing),
            "slide": Range("slide", *((0.0, 0.0) if slots is None else (slots.low, slots.high))),
            "insert": Range(
                "insert", *((0.0, 0.0) if insert is None else (insert.low, insert.high))
            ),
        }

    def required(self, name: str) -> tuple[float, str]:
        """Return the limit of a check and its source: the file's own, or the strictest that applies."""
        own = self.spec.clearance.limit(name)
        if own is not None:
            place = self.spec.place(f"clearance.{name}")
            line = f" line {place.line}" if place is not None and place.line is not None else ""
            return own, f"the file's own limit,{line}" if line else "the file's own limit"
        requirement = REQUIREMENTS[name]
        if requirement.limit == 6 and "tyre" in name and self._is_racing():
            return RACING_TYRE, RACING_TYRE_SOURCE
        return requirement.limit, requirement.source

    def _is_racing(self) -> bool:
        """Return whether the bike is a racing bicycle by ISO 4210-2, as far as the file tells.

        Tyres of at most 28 mm (by name), a bar with several grips (a drop bar, where the file gives
        the bar), and at most 12 kg (where it gives the mass). Value from memory of ISO 4210-2.
        """
        place, build = self._place, self.spec.build
        ends: tuple[End, ...] = ("front", "rear")
        sizes = [size for end in ends if (size := place.tyre(end)) is not None]
        return (
            bool(sizes)
            and max(size.width for size in sizes) <= RACING_WIDTH
            and (build.handlebar is None or build.handlebar.drop > 0)
            and (build.bike_mass_kg is None or build.bike_mass_kg <= RACING_MASS)
        )


def scene_of(
    bike: Bike,
    tolerance: float = TOLERANCE,
    memory: PairMemory | None = None,
    lists: PairLists | None = None,
) -> Scene:
    """Return the scene of a solved bike with its parts.

    Args:
        bike: from `solve`.
        tolerance: width of the certificates [mm].
        memory: results are taken from it and kept in it; where many bikes differ in little, most
            gaps need no search.
        lists: which pairs each check is of is taken from it and kept in it.
    """
    scene = Scene(bike, tolerance, memory, lists=PairLists() if lists is None else lists)
    _ = scene.parts
    return scene


def pictured_scene(bike: Bike) -> Scene:
    """Return the scene of a solved bike without the frame's own bodies: for pictures, not for checks."""
    scene = Scene(bike, TOLERANCE, make=carried_bodies)
    _ = scene.parts
    return scene
