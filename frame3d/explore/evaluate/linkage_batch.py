"""Rear suspensions of many designs at once, in arrays: what the stage ``linkage`` tells of them.

A design is told of here only where nothing about its suspension is doubtful; of any other the present
solver tells, one by one (see `frame3d.explore.linkages`). Both round to the same figures: where the last
bits might change a rounded one, the present solver tells, too.
"""

from __future__ import annotations

import re
from collections import OrderedDict
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

import numpy as np

from frame3d.bike.suspended import on_tube
from frame3d.bike.weight import given_centre
from frame3d.chart.as_built import pitch, sagged_parts
from frame3d.chart.solve import Solved, chart_of
from frame3d.errors import FrameError
from frame3d.explore.evaluate.designs import Designs, start_of
from frame3d.explore.evaluate.evaluation import rounded
from frame3d.explore.evaluate.making import Making
from frame3d.explore.linkages.adjusting import Wishes, adjust_many
from frame3d.explore.linkages.batch import (
    Followed,
    Grounded,
    InGear,
    followed,
    grounded,
    in_gear,
    strokes_at,
)
from frame3d.explore.linkages.points import Places, beside, values_of
from frame3d.explore.linkages.program import Program, program_of
from frame3d.explore.study.measured import SLACK
from frame3d.explore.study.study import Design, Quantity, Study
from frame3d.geometry.arrays import Array, Complex, Mask
from frame3d.geometry.vector import Point
from frame3d.linkage.curves.chain import pitch_radius
from frame3d.linkage.mechanism import make
from frame3d.linkage.points import Coordinate, positions
from frame3d.linkage.solve import FOUND_DIGITS, LENGTH_AGREES, TRAVEL_AGREES
from frame3d.linkage.structure import structure_of
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.suspension import SuspensionSpec, coordinates
from frame3d.parameters.reading import scalars
from frame3d.tubes.tube import Tube

_COORDINATE: Final = re.compile(r"suspension\.points\.([^.]+)\.([^.]+)")
_SHARES: Final = np.linspace(0.0, 1.0, 101)
"""Shares of the stroke at which `solve_linkage` solves."""
_HAIR: Final = 1e-9
"""Limits of the present solver are kept by so much [mm], or of the leverage ratio."""
_LAST_BITS: Final = 2e-12
"""Share of a value within which the present solver's may be."""
_BETWEEN: Final = 3e-3
"""Share of its last decimal within which the last bits say whether a coordinate found is rounded up or
down: ten times as far as the two ways to it were seen to differ."""
_ROOM: Final = 64
"""How many frames are kept."""
_ON_CURVES: Final = frozenset(
    (
        "travel",
        "mean_leverage",
        "progression",
        "leverage",
        "leverage_slope",
        "wheelbase_growth",
        "chainstay_growth",
        "anti_rise",
    )
)
_OF_GEAR: Final = frozenset(("anti_squat", "chain_growth", "kickback", "kickback_from_sag"))


@dataclass(frozen=True)
class Told:
    """What is known of one design at the stage ``linkage``."""

    values: tuple[float, ...]
    """Of the wanted quantities."""
    found: Mapping[Coordinate, float]
    """The coordinates that `solve_for` finds [mm]."""


@dataclass(frozen=True, eq=False)
class _Frame:
    """What bears on a suspension besides the coordinates of its points."""

    spec: FrameSpec
    solved: Solved
    nodes: Mapping[str, Point]
    tubes: tuple[Tube, ...]

    @property
    def suspension(self) -> SuspensionSpec:
        """The file's section."""
        assert self.spec.suspension is not None
        return self.spec.suspension

    @cached_property
    def values(self) -> Mapping[Coordinate, float]:
        """The file's values of all coordinates [mm]."""
        return values_of(self.suspension)

    @cached_property
    def axle(self) -> complex:
        """The rear axle as drawn [mm]."""
        return complex(-self.solved.values["rear_axle_setback"], self.solved.values["bb_drop"])

    @cached_property
    def kind(self) -> Hashable:
        """What frames share whose suspensions are followed together."""
        own, build = self.suspension, self.spec.build
        return (
            tuple(own.links.items()),
            tuple((n, getattr(p, "on", ""), coordinates(p)) for n, p in own.points.items()),
            (own.axle.on, own.brake_link, own.shock.start, own.shock.end),
            tuple((w.point, w.coordinate, w.to_meet) for w in own.solve_for),
            (own.sag is None, own.sag_of, own.travel is None, build.fork is None),
            None if build.chainring is None else build.chainring.teeth,
            () if build.cassette is None else build.cassette.cogs,
            given_centre(self.spec, self.nodes) is None,
        )

    @cached_property
    def program(self) -> Program | None:
        """The linkage's topology; None where it has no closed form."""
        own = self.suspension
        shock = (own.shock.start, own.shock.end)
        at = (self.axle.real, self.axle.imag)
        mechanism = make(
            structure_of(own.links, own.axle.on, shock), positions(own, at, on_tube(self.tubes))
        )
        return program_of(mechanism, own.brake_link, list(own.links.values()))


class LinkageBatch:
    """How the designs of a study are followed at once, in one size."""

    def __init__(
        self, study: Study, designs: Designs, size: str | None, wanted: Sequence[Quantity]
    ) -> None:
        self.wanted = tuple(wanted)
        self.moved = _moved(study, designs, size)
        """Place in a design -> the coordinate that it is, of those that bear on nothing else."""
        self._limits = [(v.low, v.high, v.start) for v in study.varied]
        self._frames: OrderedDict[Hashable, _Frame | None] = OrderedDict()
        self._programs: dict[Hashable, Program | None] = {}

    def told(self, designs: Sequence[Design], makings: Sequence[Making]) -> list[Told | None]:
        """Return what is known of designs; None for those that the present solver must tell of.

        Args:
            designs: the designs.
            makings: of each, in this size. Of those with the same chart and the same tubes for points
                to stand on, one is made.
        """
        out: list[Told | None] = [None] * len(designs)
        kinds: dict[Hashable, list[tuple[int, _Frame]]] = {}
        for i, (design, making) in enumerate(zip(designs, makings, strict=True)):
            if self._is_within(design):
                frame = self._frame(design, making)
                if frame is not None:
                    kinds.setdefault(frame.kind, []).append((i, frame))
        for kind, members in kinds.items():
            if kind not in self._programs:
                self._programs[kind] = members[0][1].program
            program = self._programs[kind]
            if program is None:
                continue
            rows = [i for i, _ in members]
            group = _Group(
                program,
                [frame for _, frame in members],
                {
                    coordinate: np.array([designs[i][place] for i in rows], dtype=np.float64)
                    for place, coordinate in self.moved.items()
                },
                self.wanted,
            )
            for i, one in zip(rows, group.told(), strict=True):
                out[i] = one
        return out

    def _is_within(self, design: Design) -> bool:
        """Whether the file takes a design's coordinates, as it takes the ends of their ranges."""
        for place in self.moved:
            value, (low, high, start) = design[place], self._limits[place]
            if isinstance(value, str) or low is None or high is None:
                return False
            if not (low <= value <= high or value == start) or 0 < abs(value) < scalars.LEAST:
                return False
        return True

    def _frame(self, design: Design, making: Making) -> _Frame | None:
        """Return the frame of a design; None where it cannot be made."""
        key = tuple(value for place, value in enumerate(design) if place not in self.moved)
        if key in self._frames:
            self._frames.move_to_end(key)
            return self._frames[key]
        try:
            placing = making.placing
            tubes = () if placing is None else placing.tubes
            found = _Frame(making.drawn, making.solved, making.nodes, tubes)
        except FrameError:
            return None
        self._frames[key] = found if found.spec.suspension is not None else None
        if len(self._frames) > _ROOM:
            self._frames.popitem(last=False)
        return self._frames[key]


def _moved(study: Study, designs: Designs, size: str | None) -> dict[int, Coordinate]:
    """Return which values that vary are coordinates of points and nothing else, by place in a design.

    Their ranges are within what the file takes at both ends, so between them, too.
    """
    found: dict[int, Coordinate] = {}
    start = start_of(study)
    for place, varied in enumerate(study.varied):
        named = _COORDINATE.fullmatch(varied.path)
        if named is None or not varied.is_range:
            continue
        try:
            base = designs.spec(start, size)
            ends = [
                (end, designs.spec((*start[:place], end, *start[place + 1 :]), size))
                for end in (varied.low, varied.high)
                if end is not None
            ]
        except FrameError:
            continue
        if base.suspension is None or named[1] not in base.suspension.points:
            continue
        keys = coordinates(base.suspension.points[named[1]])
        key = keys[int(named[2])] if named[2] in ("0", "1") else named[2]
        if key in keys and all(_differs_by(base, spec, (named[1], key), v) for v, spec in ends):
            found[place] = (named[1], key)
    return found


def _differs_by(base: FrameSpec, spec: FrameSpec, coordinate: Coordinate, value: float) -> bool:
    """Whether a file differs from another in one coordinate alone, which has a value."""
    one, other = base.suspension, spec.suspension
    if one is None or other is None:
        return False
    if values_of(other) != {**values_of(one), coordinate: value}:
        return False
    if other.model_copy(update={"points": one.points}) != one:
        return False
    rest = (name for name in type(base).model_fields if name not in ("suspension", "variants"))
    return all(getattr(base, name) == getattr(spec, name) for name in rest)


class _Group:
    """Designs whose suspensions are followed together."""

    def __init__(
        self,
        program: Program,
        frames: Sequence[_Frame],
        moved: Mapping[Coordinate, Array],
        wanted: Sequence[Quantity],
    ) -> None:
        self.program, self.frames, self.wanted = program, frames, wanted
        self.one = frames[0]
        own = self.one.suspension
        self.places = Places(own, program.points)
        given = [frame.values for frame in frames]
        self.values: dict[Coordinate, Array] = {
            name: np.array([of[name] for of in given], dtype=np.float64) for name in given[0]
        }
        self.values |= moved
        self.full: Array = np.array(
            [frame.suspension.shock.full_stroke for frame in frames], dtype=np.float64
        )
        rows: dict[int, list[int]] = {}
        for i, frame in enumerate(frames):
            rows.setdefault(id(frame), []).append(i)
        self._axes = [
            ({tube.key: tube.axis for tube in reversed(frames[at[0]].tubes)}, np.array(at))
            for at in rows.values()
        ]

    def on_tube(self, tube: str, along: str, at: Array, offset: Array) -> Complex:
        """Return positions on a tube; see `ManyOnTube`."""
        out = np.empty(len(at), dtype=np.complex128)
        for axes, rows in self._axes:
            axis = axes[tube]
            s = at[rows] if along == "from_start" else axis.length - at[rows]
            out[rows] = beside(axis, s, offset[rows])
        return out

    def told(self) -> list[Told | None]:
        """Return what is known of each."""
        with np.errstate(all="ignore"):
            return self._told()

    def _told(self) -> list[Told | None]:
        axle = np.array([frame.axle for frame in self.frames])
        clean = np.ones(len(axle), dtype=np.bool_)
        wishes = self.one.suspension.solve_for
        moved: tuple[Coordinate, ...] = tuple((w.point, w.coordinate) for w in wishes)
        if moved:
            clean &= self._adjust(axle, moved)
        self.points = self.places.positions(self.values, axle, self.on_tube)
        self.strokes = self.full[:, None] * _SHARES
        self.over = followed(self.program, self.points, self.strokes)
        clean &= self.over.clean & (self.over.leverage > _HAIR).all(axis=1)
        clean &= self._agrees()
        columns = [self._column(one, clean) for one in self.wanted]
        for column in columns:
            clean &= np.isfinite(column)
        if columns:
            clean[clean] = _is_sure(np.stack(columns, axis=1)[clean]).all(axis=1)
        found = [{name: float(self.values[name][i]) for name in moved} for i in range(len(axle))]
        return [
            Told(tuple(float(column[i]) for column in columns), found[i]) if good else None
            for i, good in enumerate(clean)
        ]

    def _adjust(self, axle: Complex, moved: tuple[Coordinate, ...]) -> Mask:
        """Find the coordinates of `solve_for`; return where that is as the present solver does."""
        names = tuple(wish.to_meet for wish in self.one.suspension.solve_for)
        own = [frame.suspension for frame in self.frames]
        goals = {
            "travel": [float(one.travel or 0.0) for one in own],
            "eye_to_eye": [float(one.shock.length) for one in own],
        }
        wanted: Array = np.array([goals[name] for name in names]).T
        drawn = self.places.positions(self.values, axle, self.on_tube)
        clean = followed(self.program, drawn, np.zeros(1)).clean
        found = adjust_many(
            self.program,
            self.places,
            self.values,
            axle,
            self.on_tube,
            Wishes(moved, names, wanted),
            self.full,
        )
        self.values = dict(found.values)
        clean &= found.clean
        for name in moved:
            exact = self.values[name]
            self.values[name] = np.round(exact, FOUND_DIGITS)
            units = exact * 10.0**FOUND_DIGITS
            clean &= np.abs(units - np.floor(units) - 0.5) > _BETWEEN
        return clean

    def _agrees(self) -> Mask:
        """Whether shock and travel are as the file says."""
        lengths = np.array([float(frame.suspension.shock.length) for frame in self.frames])
        good: Mask = np.abs(self.over.length - lengths) <= LENGTH_AGREES - _HAIR
        if self.one.suspension.travel is not None:
            travels = np.array([f.suspension.travel for f in self.frames], dtype=np.float64)
            good &= np.abs(self.over.travel[:, -1] - travels) <= TRAVEL_AGREES - _HAIR
        return good

    # -- quantities -----------------------------------------------------------------------------------

    def _column(self, wanted: Quantity, clean: Mask) -> Array:
        """Return a quantity of each design; NaN where it is not known here."""
        if wanted.stance == "sag":
            return self._of_sagged(wanted.name, clean)
        if wanted.name not in _ON_CURVES | _OF_GEAR:
            return np.full(len(self.full), np.nan)
        stroke = self._stroke("start" if wanted.at is None else wanted.at)
        strokes = np.stack((np.zeros_like(stroke), stroke), axis=1)
        if wanted.name == "kickback_from_sag":
            strokes[:, 0] = self._stroke("sag")
        column = np.full(len(stroke), np.nan)
        good = np.flatnonzero(clean & np.isfinite(strokes).all(axis=1))
        if len(good):
            at = followed(self.program, self.points[good], strokes[good], tested=False)
            column[good] = self._on_curve(wanted, at, good)
        return column

    def _stroke(self, at: str | float) -> Array:
        """Return the strokes at ``start``, ``end``, ``sag`` or a wheel travel [mm]; NaN where none."""
        if at == "start":
            return np.zeros_like(self.full)
        if at == "end":
            return self.full
        full = self.over.travel[:, -1]
        if at == "sag":
            if self.one.suspension.sag is None:
                return np.full_like(self.full, np.nan)
            shares = np.array([frame.suspension.sag for frame in self.frames], dtype=np.float64)
            if self.one.suspension.sag_of == "stroke":
                return shares * self.full
            travels = shares * full
        else:
            travels = np.full_like(self.full, float(at))
        found = strokes_at(self.program, self.points, self.over, self.strokes, travels)
        inside = (travels >= -SLACK + _HAIR) & (travels <= full + SLACK - _HAIR)
        return np.where(inside, found, np.nan)

    def _on_curve(self, wanted: Quantity, at: Followed, rows: Any) -> Array:
        """Return a quantity at the second of two strokes, the first of which it is counted from."""
        name = wanted.name
        if name in ("travel", "mean_leverage", "progression"):
            found: Array = self._single(name)[rows]
            return found
        if name in ("leverage", "leverage_slope"):
            return _second(at.leverage if name == "leverage" else at.leverage_rate)
        if name == "chainstay_growth":
            return _growth(np.abs(at.axle[0]))
        under = self._grounded(at, rows)
        if name == "wheelbase_growth":
            return _growth(under.wheelbase)
        return (
            _second(under.anti_rise) if name == "anti_rise" else self._in_gears(wanted, at, under)
        )

    def _single(self, name: str) -> Array:
        """Return a figure of the whole stroke."""
        travel, leverage = self.over.travel, self.over.leverage
        if name == "travel":
            return _second(travel[:, [0, -1]])
        if name == "mean_leverage":
            return _growth(travel[:, [0, -1]]) / self.full
        return -100 * (_growth(leverage[:, [0, -1]]) / leverage[:, 0])

    def _in_gears(self, wanted: Quantity, at: Followed, under: Grounded) -> Array:
        """Return a quantity of a gear, or the greatest of all gears."""
        build, none = self.one.spec.build, np.full(len(under.contact), np.nan)
        if build.chainring is None or build.cassette is None:
            return none
        ring, cogs = build.chainring.teeth, build.cassette.cogs
        if wanted.gear is not None:
            if wanted.gear[0] != ring or wanted.gear[1] not in cogs:
                return none
            cogs = (wanted.gear[1],)
        gears: list[InGear] = [in_gear(at, under, ring, cog) for cog in cogs]
        if wanted.name == "anti_squat":
            return _greatest([_second(gear.anti_squat) for gear in gears])
        grown = _greatest([_growth(gear.wound) for gear in gears])
        return (
            grown if wanted.name == "chain_growth" else grown * np.degrees(1 / pitch_radius(ring))
        )

    def _grounded(self, at: Followed, rows: Any) -> Grounded:
        """Return the ground under both wheels, the fork at the same share of its travel."""
        frames = [self.frames[i] for i in rows]
        held = [frame.spec.build.fork for frame in frames]
        forks = np.array([0.0 if fork is None else fork.travel for fork in held])
        angle = np.array([frame.solved.values["head_tube_angle"] for frame in frames])
        front = np.array(
            [complex(f.nodes["front_axle"][0], f.nodes["front_axle"][2]) for f in frames]
        )
        share = at.travel / self.over.travel[rows, -1:]
        up = np.exp(1j * (np.pi - angle))
        centres = [given_centre(frame.spec, frame.nodes) or (0.0, 1000.0) for frame in frames]
        return grounded(
            at,
            front[:, None] + forks[:, None] * share * up[:, None],
            np.array([complex(*centre) for centre in centres]),
            np.array([frame.solved.values["rear_wheel_radius"] for frame in frames]),
            np.array([frame.solved.values["front_wheel_radius"] for frame in frames]),
        )

    @cached_property
    def _sagged_axle(self) -> Complex:
        """The rear axle at the sag that the file asks for, or as drawn, (n,) [mm]."""
        stroke = self._stroke("start" if self.one.suspension.sag is None else "sag")
        at = followed(self.program, self.points, stroke[:, None], tested=False)
        out: Complex = at.axle[0, :, 0]
        return out

    def _of_sagged(self, figure: str, clean: Mask) -> Array:
        """Return a figure of the chart under the rider's weight."""
        out = np.full(len(self.full), np.nan)
        for i in np.flatnonzero(clean & np.isfinite(self._sagged_axle)):
            value = self._sagged_chart(int(i)).get(figure)
            out[i] = np.nan if value is None else value
        return out

    def _sagged_chart(self, i: int) -> Mapping[str, float | None]:
        if i not in self._charts:
            frame, axle = self.frames[i], self._sagged_axle[i]
            parts = sagged_parts(frame.spec, frame.solved)
            pitched = pitch(
                frame.solved, {} if parts is None else parts, (float(axle.real), float(axle.imag))
            )
            self._charts[i] = {} if pitched is None else chart_of(pitched.values)
        return self._charts[i]

    @cached_property
    def _charts(self) -> dict[int, Mapping[str, float | None]]:
        return {}


def _second(values: Array) -> Array:
    """Return the second column."""
    out: Array = values[:, 1]
    return out


def _growth(values: Array) -> Array:
    """Return the second column less the first."""
    out: Array = values[:, 1] - values[:, 0]
    return out


def _greatest(columns: Sequence[Array]) -> Array:
    """Return the greatest of some columns in each row."""
    out: Array = np.max(columns, axis=0)
    return out


def _is_sure(values: Array) -> Mask:
    """Whether values round to the same whatever their last bits are, of the same shape."""
    slack = _LAST_BITS * np.maximum(1.0, np.abs(values))
    low, high = (np.vectorize(rounded, otypes=[float])(values + by) for by in (-slack, slack))
    out: Mask = low == high
    return out
