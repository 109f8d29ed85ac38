r"""A solved bike as rigid groups, beams and hinges.

::

        head tube: cups rigid                 a tube's end sits on another's axis:
        o========o                            a rigid arm to the nearest place there
        |        |  down tube, top tube
        |        o~~~~~~~~~~~                        ~~~~~~~~o  end of the tube
        |        |                                           :  rigid
        o========o                            =======o=======O=======o====  target, flexible
                                                    between what is attached to it

Tubes are flexible up to the axis of what they sit on. The bottom bracket shell, a pivot's housings,
lugs and plates, and whatever an axle joins are rigid; a dropout's arms are tapering beams. Nothing is
fitted to any test. On a suspended frame each pivot leaves one rotation, and the shock keeps its length.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.errors import Fault, TubeError
from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Centreline
from frame3d.geometry.side_motion import SideMotion
from frame3d.geometry.vector import Point, Vector, point, unit, vector
from frame3d.linkage.structure import FRAME
from frame3d.parameters.models.junctions import Side
from frame3d.pivots.sockets import middle_of, socket
from frame3d.stiffness.beam import Beam, Sections, breaks, gauss
from frame3d.stiffness.elasticity import Elastic, elastic_of
from frame3d.stiffness.section_constants import (
    Numbers,
    SectionConstants,
    hollow_oval,
    hollow_rounded,
    rectangle,
)
from frame3d.stiffness.structure import Joined, Spot, Structure, Sum, Term, X, Z, joint
from frame3d.tubes.hardware import SHELL, Hardware, Housing, LinkPlate, Lug
from frame3d.tubes.placing.junctions import Which
from frame3d.tubes.tube import Bore, Dropout, Tube

AXLE = "rear_axle"
DROPOUTS = "dropouts"
"""What the energy of dropouts' arms is counted to."""
HEAD_ENDS: Final = {"start": "lower cup", "end": "upper cup"}
BOSS = 0.5
"""A dropout's arm bends from this share of the boss's radius on; compared with solids, see the tests."""
LONGEST = 60.0
"""Longest piece that is integrated in one go [mm]; results are the same to 6 digits from 2 to 400."""
PLAY = 0.05
"""Play about a post or cup up to which a bore counts as made for it [mm]."""
SAME = 1e-3
"""Attachments nearer to each other along a tube are one [mm]."""


@dataclass(frozen=True, slots=True)
class TubeLine:
    """A tube's axis where it stands at the travel asked for, and how its section varies."""

    tube: Tube
    axis: Centreline
    elastic: Elastic
    bores: tuple[Bore, ...]

    def sections(self, low: float, high: float) -> Sections:
        """Return sections along the axis between two places, in the order from `low` to `high` [mm]."""
        section = self.tube.section
        places = breaks((np.array(section.s), self.axis.starts, self._depths()), low, high, LONGEST)
        s, share = gauss(places)
        at, up, across = self.axis.frames(s)
        return Sections(
            at=at,
            share=share,
            tangent=np.cross(across, up),
            up=up,
            across=across,
            constants=self.constants(s),
            young=self.elastic.young,
            shear=self.elastic.shear,
        )

    def constants(
        self, s: Array, out: complex = 0.0, into: Numbers | float = 0.0
    ) -> SectionConstants:
        """Return the constants of its sections at places, (n,) [mm].

        Args:
            s: along its axis [mm].
            out: how much further out its outside is moved, all around [mm].
            into: how much further out the outside of its bore, where it has one, (n,) or one [mm].
        """
        (a, b), (c, d) = self.radii(s)
        hollow = c > 0
        outer = a + out, b + out
        inner = np.where(hollow, c + into, 0.0), np.where(hollow, d + into, 0.0)
        section = self.tube.section
        if not section.rounds:
            return hollow_oval(outer, inner, self.elastic.poisson)
        corners = section.rounds_at(s) + out
        within = (section.rounds_at(s, 1.0).T + into).T
        within = np.where(hollow[:, None], within, 0.0)
        return hollow_rounded((*outer, corners), (*inner, within))

    def radii(self, s: Array) -> tuple[tuple[Array, Array], tuple[Array, Array]]:
        """Return half height and half width of outside and bore at places: (n,) each [mm]."""
        section = self.tube.section
        outer, inner = section.radii_at(s), section.radii_at(s, 1.0)
        for bore in self.bores:
            depth = s if bore.at == "start" else self.axis.length - s
            wide = np.where(depth < bore.depth, bore.diameter / 2, 0.0)
            inner = np.maximum(inner[0], wide), np.maximum(inner[1], wide)
        return outer, inner

    def reamed(self, s: Array) -> Array:
        """Return whether what fits into it sets the inside there, not the wall: (n,) bool.

        A tube that fits its seatpost without reaming counts too: it would, were it larger.
        """
        own = self.tube.section.radii_at(s, 1.0)
        set_by_fit = np.zeros(len(s), dtype=bool)
        for bore in self.bores:
            depth = s if bore.at == "start" else self.axis.length - s
            tight = bore.diameter / 2 > np.minimum(own[0], own[1]) - PLAY
            set_by_fit |= (depth < bore.depth) & tight
        return set_by_fit

    def places(self, at: Array) -> Array:
        """Return where along the axis points of it lie: (n, 3) -> (n,) [mm]."""
        return self.axis.nearest(at)

    def _depths(self) -> Array:
        depths = [b.depth if b.at == "start" else self.axis.length - b.depth for b in self.bores]
        return np.array(depths, dtype=float)


@dataclass(frozen=True, slots=True)
class Hinge:
    """Two groups that may only turn against each other, about an axle along y."""

    pivot: str
    first: str
    second: str
    at: Point

    def ties(self) -> tuple[Sum, ...]:
        """Return the five motions that vanish."""
        return joint(self.first, self.second, self.at, (X, Z))


@dataclass(frozen=True)
class FrameModel:
    """A bike's frame as a structure, with the places that tests take hold of."""

    bike: Bike
    structure: Structure
    lines: Mapping[str, TubeLine]
    """`Tube.name` -> its axis and wall."""
    spots: Mapping[str, Spot]
    """``bottom_bracket``, ``rear_axle``, ``head_tube_bottom``, ``head_tube_top``, ``head_tube_middle``,
    ``seat_tube_top``."""
    bridges: tuple[str, ...]
    """Keys of tubes that join left to right member of a pair."""
    hinges: tuple[Hinge, ...]
    travel: float | None
    """Wheel travel at which a suspended frame is taken [mm]; None on a frame without suspension."""
    faults: tuple[Fault, ...] = ()
    """Ends of tubes that join nothing."""


@dataclass
class _Builder:
    """Collects groups, places along tubes, beams and ties of one bike."""

    bike: Bike
    motions: Mapping[str | None, SideMotion]
    groups: dict[str, Vector] = field(default_factory=dict)
    lines: dict[str, TubeLine] = field(default_factory=dict)
    marks: dict[str, list[tuple[float, str]]] = field(default_factory=dict)
    """Tube -> places along its axis, with the group there."""
    zones: dict[str, list[tuple[float, float, str]]] = field(default_factory=dict)
    """Tube -> stretches that are rigid, with their group."""
    arms: list[Joined] = field(default_factory=list)
    ties: list[Sum] = field(default_factory=list)
    hinges: list[Hinge] = field(default_factory=list)
    free: list[tuple[Tube, str, str]] = field(default_factory=list)
    """Ends on a free point or bare node: tube, which end, its group."""

    def moved(self, link: str | None, p: Point | Vector) -> Vector:
        """Return where a point of a link is at the travel asked for (3,) [mm]."""
        return vector(self.motions[link].point((float(p[0]), float(p[1]), float(p[2]))))

    def group(self, name: str, at: Vector) -> str:
        """Return a group's name; made at `at` where it is new."""
        self.groups.setdefault(name, at)
        return name

    def shell(self) -> str:
        """Return the name of the bottom bracket shell's group."""
        shell = self.bike.shell
        return self.group(SHELL, np.zeros(3) if shell is None else vector(shell.place))

    def mark(self, tube: str, s: float, group: str | None = None) -> str:
        """Return the group at a place along a tube; `group`, or a new one, where there was none."""
        marks = self.marks.setdefault(tube, [])
        known = next((g for low, high, g in self.zones.get(tube, []) if low <= s <= high), None)
        known = known or next((g for place, g in marks if abs(place - s) < SAME), None)
        at = self.lines[tube].axis.at(s)
        if known is None:
            known = group or self.group(f"{tube} at {s:.1f} mm", at)
            marks.append((s, known))
        elif group is not None and group != known:
            self.weld(known, group, at)
        return known

    def on(self, tube: str, at: Vector, group: str | None = None) -> str:
        """Return the group at the place of a tube's axis nearest to a point, as `mark` does."""
        axis = self.lines[tube].axis
        s = float(np.clip(axis.nearest(at[None])[0], 0.0, axis.length))
        return self.mark(tube, s, group)

    def weld(self, first: str, second: str, at: Vector) -> None:
        """Let two groups move as one."""
        self.ties += joint(first, second, point(at))

    def axle(self) -> str:
        """Return the group of the rear axle, which joins both dropouts."""
        suspension = self.bike.spec.suspension
        link = None if suspension is None or suspension.axle.on == FRAME else suspension.axle.on
        return self.group(AXLE, self.moved(link, self.bike.nodes["rear_axle"]))

    def hardware(self, part: Hardware) -> str:
        """Return the group of a housing, a lug, or a link's pair of plates."""
        if isinstance(part, LinkPlate):
            boss = part.bosses[0]
            name, at = plates_group(part.link), np.array([boss.x, 0.0, boss.z])
        else:
            name = part.name
            at = vector(part.at) if isinstance(part, Housing) else middle_of(part)
        return self.group(name, self.moved(part.link, at))

    # -- tubes --------------------------------------------------------------------------------------

    def lay_tubes(self) -> None:
        """Put all tubes where they are at the travel, with the cups' rigid zones on the head tube."""
        bores = self.bike.bores
        for tube in self.bike.tubes:
            axis = tube.axis.moved(self.motions[tube.link]) if tube.link else tube.axis
            elastic = elastic_of(self.bike.frame.spec, tube)
            own = tuple(bore for bore in bores if bore.tube == tube.name)
            line = self.lines[tube.name] = TubeLine(tube, axis, elastic, own)
            if tube.name != "head_tube":
                continue
            for which, s in (("start", 0.0), ("end", axis.length)):
                name = self.group(HEAD_ENDS[which], axis.at(s))
                deep = min(
                    max((b.depth for b in own if b.at == which), default=0.0), 0.4 * axis.length
                )
                self.mark(tube.name, s, name)
                if deep:
                    far = deep if which == "start" else axis.length - deep
                    self.mark(tube.name, far, name)
                    self.zones.setdefault(tube.name, []).append((min(s, far), max(s, far), name))
            assert line.axis is axis

    def join_tubes(self) -> None:
        """Join each end of each tube to what it sits on."""
        for tube in self.bike.tubes:
            if tube.name == "head_tube":
                continue
            junctions = self.bike.frame.spec.tubes[tube.key]
            line = self.lines[tube.name]
            for which, end in (("start", tube.start), ("end", tube.end)):
                s = 0.0 if which == "start" else line.axis.length
                tip = line.axis.at(s)
                junction = junctions.start if which == "start" else junctions.end
                on = end.target or (None if junction is None else junction.on)
                if on in self.lines:
                    assert on is not None
                    self.mark(tube.name, s, self.on(on, tip))
                else:
                    self._on_rigid(tube, which, s, tip, on)

    def _on_rigid(self, tube: Tube, which: str, s: float, tip: Vector, on: str | None) -> None:
        """Join a tube's end to shell, dropout, pivot hardware or axle; a free end stays free."""
        bike = self.bike
        if on in (SHELL, "bottom_bracket") or (on is None and tube.key == "seat_tube" and s == 0.0):
            self.mark(tube.name, s, self.shell())
            return
        for dropout in bike.dropouts:
            if dropout.name == on:
                self.mark(
                    tube.name, s, self._arm(dropout, tube, "start" if s == 0.0 else "end", tip)
                )
                return
        for part in bike.pivots:
            if part.name == on:
                self.mark(tube.name, s, self.hardware(part))
                return
        group = self.mark(tube.name, s, self.axle() if on == AXLE else None)
        if on != AXLE and tube.key != "seat_tube":
            self.free.append((tube, which, group))

    def _arm(self, dropout: Dropout, tube: Tube, which: Which, tip: Vector) -> str:
        """Return the group at a stay's end on a dropout, joined to the axle by the dropout's arm."""
        axle = self.axle()
        arm = socket(dropout, tube, which).arm
        if arm is None:
            return axle
        start, end = self.moved(dropout.link, arm.start), self.moved(dropout.link, arm.end)
        way, length = unit(end - start), float(np.linalg.norm(end - start))
        low = min(BOSS * dropout.boss / 2, 0.9 * length)
        axis = Centreline.through((point(start), point(end)), ())
        s, share = gauss(breaks((), low, length, (length - low) / 4))
        at, up, across = axis.frames(s)
        height = np.interp(s, (0.0, length), arm.height)
        width = np.interp(s, (0.0, length), arm.width)
        elastic = elastic_of(self.bike.frame.spec, None)
        sections = Sections(
            at,
            share,
            np.tile(way, (len(s), 1)),
            up,
            across,
            rectangle(height, width),
            elastic.young,
            elastic.shear,
        )
        name = self.group(f"{tube.name} {which}", tip)
        ends = (start + low * way, tip)
        self.arms.append(Joined(Beam.of(dropout.name, DROPOUTS, ends, sections), axle, name))
        return name

    # -- suspension ---------------------------------------------------------------------------------

    def join_pivots(self) -> None:
        """Join pivot hardware to the tubes of its body, then bodies to each other by hinges."""
        ended = {end.target for tube in self.bike.tubes for end in (tube.start, tube.end)}
        plates = {part.link for part in self.bike.pivots if isinstance(part, LinkPlate)}
        for part in self.bike.pivots:
            group = self.hardware(part)
            if isinstance(part, LinkPlate):
                continue
            at = self.groups[group]
            for web in part.webs:
                if web.to in self.lines:
                    self.on(web.to, at, group)
                else:
                    self.weld(group, self.axle(), at)
            if part.webs or part.name in ended:
                continue
            if part.link in plates:
                self.weld(group, plates_group(part.link), at)
            else:
                self._in_a_tube(part, group, at)

    def _in_a_tube(self, part: Housing | Lug, group: str, at: Vector) -> None:
        """Join a part that lies in a tube of its body to the nearest one."""
        side = part.side if isinstance(part, Lug) else None
        near = [
            (float(line.axis.approach(at[None])[1][0]), name)
            for name, line in self.lines.items()
            if line.tube.link == part.link and line.tube.side in (None, side)
        ]
        if near:
            self.on(min(near)[1], at, group)

    def hinge(self) -> None:
        """Add the hinges of all pivots and the locked shock."""
        suspension = self.bike.spec.suspension
        if suspension is None:
            return
        stacks = self._stacks()
        for pivot, bodies in stacks.items():
            names = list(bodies)
            for other in names[1:]:
                for side, (group, y) in bodies[other].items():
                    base = bodies[names[0]].get(side)
                    if base is None:
                        continue
                    at = self._at(pivot, other)
                    hinge = Hinge(pivot, base[0], group, (float(at[0]), y, float(at[2])))
                    self.hinges.append(hinge)
                    self.ties += hinge.ties()
        ends = (suspension.shock.start, suspension.shock.end)
        spots = [self._shock_end(end, stacks.get(end, {})) for end in ends]
        way = unit(spots[1][1] - spots[0][1])
        terms: list[Term] = []
        for (groups, at), sign in zip(spots, (-1.0, 1.0), strict=True):
            share = sign / len(groups) * way
            terms += [Term(Spot(group, point(at)), point(share)) for group in groups]
        self.ties.append(tuple(terms))

    def _at(self, pivot: str, link: str) -> Vector:
        """Return a pivot's place at the travel asked for, y = 0: (3,) [mm]."""
        linkage = self.bike.linkage
        assert linkage is not None
        x, z = linkage.drawn[pivot]
        return self.moved(None if link == FRAME else link, np.array([x, 0.0, z]))

    def _shock_end(
        self, end: str, bodies: Mapping[str, Mapping[Side, tuple[str, float]]]
    ) -> tuple[list[str], Vector]:
        """Return the groups that hold an end of the shock, and its place (3,) [mm]."""
        suspension = self.bike.spec.suspension
        assert suspension is not None
        for body, sides in bodies.items():
            return sorted({group for group, _ in sides.values()}), self._at(end, body)
        body = suspension.bodies_of(end)[0]
        at, link = self._at(end, body), None if body == FRAME else body
        near = [
            (float(line.axis.approach(at[None])[1][0]), name)
            for name, line in self.lines.items()
            if line.tube.link == link
        ]
        return [self.on(min(near)[1], at)] if near else [self.axle()], at

    def _stacks(self) -> dict[str, dict[str, dict[Side, tuple[str, float]]]]:
        """Return for each pivot, body and side the group there and its lateral position [mm].

        The body with the housing comes first.
        """
        stacks: dict[str, dict[str, dict[Side, tuple[str, float]]]] = {}
        if SHELL in self.groups and self.bike.shell is not None:
            half = self.bike.shell.half
            stacks[SHELL] = {FRAME: {"left": (SHELL, half), "right": (SHELL, -half)}}
        suspension = self.bike.spec.suspension
        if AXLE in self.groups and suspension is not None:
            y = {d.side: d.axle[1] for d in self.bike.dropouts}
            stacks[AXLE] = {suspension.axle.on: {side: (AXLE, at) for side, at in y.items()}}
        for part in sorted(self.bike.pivots, key=lambda p: not isinstance(p, Housing)):
            group, body = self.hardware(part), part.link or FRAME
            if isinstance(part, Housing):
                half = part.width / 2
                sides: dict[Side, tuple[str, float]] = {
                    "left": (group, half),
                    "right": (group, -half),
                }
                stacks.setdefault(part.pivot, {})[body] = sides
            elif isinstance(part, Lug):
                y_mid = sum(part.span) / 2
                own = stacks.setdefault(part.pivot, {}).setdefault(body, {})
                own.setdefault(part.side, (group, y_mid))
            else:
                for boss in part.bosses:
                    own = stacks.setdefault(boss.pivot, {}).setdefault(body, {})
                    own.setdefault(part.side, (group, (boss.low + boss.high) / 2))
        return stacks


def plates_group(link: str) -> str:
    """Return the group of the pair of plates of a link without tubes."""
    return f"plates of {link}"


def model_of(bike: Bike, travel: float | None = None) -> FrameModel:
    """Return a bike's frame as a structure.

    Args:
        bike: solved, with tubes.
        travel: wheel travel at which a suspended frame stands with its shock locked [mm]; None for
            full extension, as drawn.

    Raises:
        TubeError: it has no tubes, no head tube, or a material without elastic constants.
        ValueError: the travel is out of range.
    """
    spec = bike.frame.spec
    if not any(tube.name == "head_tube" for tube in bike.tubes):
        raise TubeError(
            (
                spec.fault(
                    "missing-key",
                    "tubes",
                    "stiffness needs the frame's tubes, a head_tube among them",
                    "add them under tubes; frame3d new writes a file that has them",
                ),
            )
        )
    linkage = bike.linkage
    motions: dict[str | None, SideMotion] = {None: SideMotion()}
    if linkage is not None:
        for link, (x, z, turn) in linkage.pose_at(travel=travel or 0.0).moves.items():
            motions[None if link == FRAME else link] = SideMotion(turn, x, z)
    builder = _Builder(bike, motions)
    builder.lay_tubes()
    builder.join_tubes()
    builder.join_pivots()
    builder.hinge()
    spots = _spots(builder)
    beams = [*builder.arms, *_beams(builder)]
    structure = Structure(builder.groups, tuple(beams), tuple(builder.ties))
    return FrameModel(
        bike=bike,
        structure=structure,
        lines=builder.lines,
        spots=spots,
        bridges=_bridges(bike),
        hinges=tuple(builder.hinges),
        travel=None if linkage is None else travel or 0.0,
        faults=_loose_ends(builder),
    )


def _loose_ends(builder: _Builder) -> tuple[Fault, ...]:
    """Return the tubes' free ends that hold nothing: no other tube sits on them."""
    spec = builder.bike.frame.spec
    faults = {}
    for tube, which, group in builder.free:
        users = [name for name, marks in builder.marks.items() for _, g in marks if g == group]
        tied = any(term.spot.group == group for tie in builder.ties for term in tie)
        if users == [tube.name] and not tied:
            faults[tube.key, which] = spec.fault(
                "junction-miss",
                f"tubes.{tube.key}.{which}",
                f"the {which} of {tube.key} joins nothing, so it stiffens nothing",
                "let it sit on a tube, the shell, a dropout or a pivot",
            )
    return tuple(faults.values())


def _beams(builder: _Builder) -> list[Joined]:
    """Return the beams between the places along each tube."""
    found: list[Joined] = []
    for name, marks in builder.marks.items():
        line = builder.lines[name]
        for (low, start), (high, end) in pairwise(sorted(marks)):
            if start != end:
                ends = line.axis.at(low), line.axis.at(high)
                beam = Beam.of(name, line.tube.key, ends, line.sections(low, high))
                found.append(Joined(beam, start, end))
    return found


def _spots(builder: _Builder) -> dict[str, Spot]:
    """Return the places that load cases take hold of."""
    axis = builder.lines["head_tube"].axis
    middle = builder.mark("head_tube", axis.length / 2)
    spots = {
        "bottom_bracket": Spot(builder.shell(), (0.0, 0.0, 0.0)),
        AXLE: Spot(group := builder.axle(), point(builder.groups[group])),
        "head_tube_bottom": Spot(HEAD_ENDS["start"], axis.start),
        "head_tube_top": Spot(HEAD_ENDS["end"], axis.end),
        "head_tube_middle": Spot(middle, point(axis.at(axis.length / 2))),
    }
    if "seat_tube" in builder.lines:
        seat = builder.lines["seat_tube"].axis
        spots["seat_tube_top"] = Spot(builder.mark("seat_tube", seat.length), seat.end)
    return spots


def _bridges(bike: Bike) -> tuple[str, ...]:
    """Return the keys of tubes that join the left to the right member of a pair."""
    of = {tube.name: tube for tube in bike.tubes}
    found = []
    for tube in bike.tubes:
        ends = [of.get(end.target or "") for end in (tube.start, tube.end)]
        if {one.side for one in ends if one is not None} == {"left", "right"}:
            found.append(tube.key)
    return tuple(dict.fromkeys(found))
