"""Records that the compiled search works on: for each a class that names and explains the fields.

Compiled code reads and writes fields by name (`piece.length`). A class is only for readers and type
checkers: what is passed is a record of the numpy array of the same name in capitals::

    class Piece                     PIECE = layout(Piece)          rows = np.zeros(8, PIECE)
        length: float        ->         8 bytes             ->     rows[3] is a Piece to compiled code,
        origin: Vector3                24 bytes                    rows["length"] an array to numpy
"""

from __future__ import annotations

from collections.abc import MutableSequence, Sequence
from typing import Annotated, Any, Final, TypeAlias, TypeVar, get_args, get_origin, get_type_hints

import numpy as np
from numpy.typing import NDArray

from frame3d.geometry.arrays import Array, Ints

Records: TypeAlias = NDArray[np.void]
R = TypeVar("R", np.void, np.float64)
"""Records, or rows of plain numbers."""

TORUS_KIND: Final = 0
RING_KIND: Final = 1
DISC_KIND: Final = 2
BOX_KIND: Final = 3
CAPSULE_KIND: Final = 4
PRISM_KIND: Final = 5

MOST: Final = 5
"""Most motions of one pair."""
PARAMETERS: Final = 1 + MOST
"""Most parameters of a tube's axis point: the place along the piece, then the motions."""
SIDES: Final = PARAMETERS + 2
"""Most parameters of a box: those, then the place (u, v) across the section."""

Pair2: TypeAlias = Annotated[Array, (2,)]
Vector3: TypeAlias = Annotated[Array, (3,)]
Vectors: TypeAlias = Annotated[Array, (PARAMETERS, 3)]
Row: TypeAlias = Annotated[Array, (SIDES,)]
Motions: TypeAlias = Annotated[Array, (MOST,)]
Slice: TypeAlias = Annotated[Ints, (2,)]
"""First index, and the index after the last."""


def layout(record: type) -> np.dtype[np.void]:
    """Return numpy's type for a class whose annotations are float, int, bool, arrays or such classes."""
    fields: list[tuple[Any, ...]] = []
    for name, kind in get_type_hints(record, include_extras=True).items():
        if get_origin(kind) is Annotated:
            array, shape = get_args(kind)
            if get_origin(array) is MutableSequence:
                fields.append((name, layout(get_args(array)[0]), shape))
            else:
                fields.append((name, np.int64 if array == Ints else np.float64, shape))
        elif kind in (float, int, bool):
            fields.append((name, {float: np.float64, int: np.int64, bool: np.bool_}[kind]))
        else:
            fields.append((name, layout(kind)))
    return np.dtype(fields, align=True)


def end_to_end(parts: Sequence[NDArray[R]]) -> NDArray[R]:
    """Return the rows of several arrays of one layout in one array.

    Rows are copied whole. `numpy.concatenate` compares and copies them field by field, which takes
    twenty times as long, and was a tenth of a search for what mends a check.
    """
    kind = parts[0].dtype
    whole = np.dtype((np.void, kind.itemsize))
    return np.concatenate([part.view(whole) for part in parts]).view(kind)


def gathered(parts: Sequence[NDArray[R]], which: Ints) -> tuple[NDArray[R], Ints]:
    """Return the rows of some of several arrays end to end, each array as often as it is named.

    Args:
        parts: arrays of one layout.
        which: (n,), the indices of those that are wanted.

    Returns:
        The rows; (n, 2), the first row of each, and the row after its last.
    """
    counts = np.array([len(part) for part in parts])
    begins = (np.cumsum(counts) - counts)[which]
    ends = np.cumsum(counts[which])
    starts = ends - counts[which]
    rows = np.arange(ends[-1]) + np.repeat(begins - starts, counts[which])
    joined = end_to_end(parts)
    whole = np.dtype((np.void, joined.dtype.itemsize))
    return joined.view(whole)[rows].view(joined.dtype), np.stack((starts, ends), axis=1)


class Piece:
    """A part of a tube with a straight or circular axis and a linearly tapering section."""

    curvature: float
    """0 for a line [1/mm]."""
    length: float
    radius: float
    """Radius of an arc; 0 for a line [mm]."""
    origin: Vector3
    """Start of a line, or centre of an arc [mm]."""
    out: Vector3
    """Unit vector from an arc's centre to its start."""
    tangent: Vector3
    """Tangent at the start."""
    major: Vector3
    """Direction of the larger half width of a line's section."""
    held: Vector3
    """Held direction of an arc's section (see `Centreline.frames`); normal of the bend if round."""
    is_oval: bool
    is_across: bool
    """Whether the larger half width of an arc's section lies across the held direction, not along it."""
    a: float
    """Larger half width at the start [mm]."""
    a_slope: float
    """Its change per mm."""
    b: float
    """Smaller half width at the start [mm]."""
    b_slope: float
    """Its change per mm."""
    before: float
    """Distance from the start back to the nearest flat end or cut; 1e300 for none [mm]."""
    after: float
    """Distance from the end on to the nearest flat end or cut; 1e300 for none [mm]."""
    widest: float
    """Largest half width in the piece [mm]."""
    steepest: float
    """How much a place (u, v) of the section moves per mm by its taper at most: the largest |slope| of a
    half width; of a rounded outline both together."""
    turn: float
    """Largest angular velocity |w| of the section along the axis [1/mm]."""
    turn_rate: float
    """Largest |w'| [1/mm²]."""
    cutters: Slice
    """What cuts it: its own rows of `CutterPiece`s."""
    is_rounded: bool
    """Whether its section is a rounded outline (`rounded_sections`) instead of an ellipse; such a piece
    is `is_oval` too."""
    rounds: Annotated[Array, (4,)]
    """Radii of the corners at the start, in the directions +M +N, -M +N, -M -N, +M -N [mm]."""
    round_slopes: Annotated[Array, (4,)]
    """Their change per mm."""


class CutterPiece:
    """A part of a body that cuts a tube; the fields from `steepest` on are of the whole cutter."""

    piece: Piece
    low: float
    """Lower limit of the place along the piece; -1e300 where a line runs on [mm]."""
    high: float
    """Upper limit; 1e300 where a line runs on [mm]."""
    from_start: float
    """Distance from the cutter's start to the piece's start; 1e300 where it runs on [mm]."""
    to_end: float
    """Distance from the piece's end to the cutter's end; 1e300 where it runs on [mm]."""
    steepest: float
    """How much the cutter's level changes per mm at most (L in `cutters`)."""
    jump: float
    """How much of that is along its axis."""
    bend: float
    """What turn and taper add to the second derivatives of its level [1/mm]."""
    skew: float
    """By how much turn and taper of a rounded outline carry those across the axis to those along it."""
    far: float
    """Up to how far from its axis these of a rounded outline hold; 1e300 for no limit [mm]."""
    count: int
    """How many pieces the cutter has from this one on."""


class Edge:
    """An edge of a profile, turned about y or a prism's (`radius` is its x); counter-clockwise."""

    radius: float
    """Distance of its start from the axis [mm]."""
    y: float
    """Place of its start along the axis [mm]."""
    normal_radius: float
    """Outward unit normal: its part away from the axis."""
    normal_y: float
    length: float


class ShapeNumbers:
    """A shape of `bodies.shapes` in its own axes; a ring, disc or prism has `Edge`s."""

    kind: int
    """TORUS_KIND, RING_KIND, DISC_KIND, BOX_KIND, CAPSULE_KIND or PRISM_KIND."""
    ring: float
    """Radius of a torus's centre circle [mm]."""
    radius: float
    """Radius of a torus's tube, of a capsule at z = 0, of a box's rounding [mm]."""
    end_radius: float
    """Radius of a capsule at z = length [mm]."""
    length: float
    """Length of a capsule, half thickness of a prism [mm]."""
    half: Vector3
    """Half sizes of a box less its rounding [mm]."""
    inradius: float
    """Radius of the largest ball inside: nowhere is the signed distance below minus this [mm]."""


class MotionStep:
    """One step of the motion from a tube's drawn place to the shape's own axes, in those axes."""

    kind: int
    """TURN, SHIFT, CIRCLE or SWING."""
    motion: int
    """Index of its motion; -1 if it stands still."""
    point: Vector3
    """A point of a TURN's or SWING's axis. A CIRCLE subtracts cos v · point + sin v · axis, both of
    them as long as its radius [mm]."""
    axis: Vector3
    """Direction of a turn's axis or of a shift."""
    value: float
    """Fixed part of the step's value [mm or radians]; of a SWING the travel of its first row."""
    factor: float
    """Times the motion's value, added to it."""
    knots: Slice
    """Rows of a SWING's table."""
    spacing: float
    """Travel from row to row [mm]."""
    turn_bound: float
    """Bound of √(p'² + |p''|) of a SWING's turn p (see `positions`)."""
    shift_bound: float
    """Bound of |d'| of its shift d."""
    bend_bound: float
    """Bound of |d''|."""


class Knot:
    """A row of a SWING's table, in the shape's axes."""

    turn: float
    """[radians]"""
    turn_rate: float
    shift: Vector3
    shift_rate: Vector3


class PairNumbers:
    """One pair: its shape, the limits of its motions, and which rows of the arrays are its own."""

    shape: ShapeNumbers
    pieces: Slice
    edges: Slice
    steps: Slice
    knots: Slice
    cutters: Slice
    motions: int
    """How many motions change the gap."""
    low: Motions
    """Lower limit of each [mm or radians]."""
    high: Motions
    """Upper limit of each [mm or radians]."""


class SectionFrame:
    """A tube's section at one place: axis point and directions, and how each parameter moves them."""

    point: Vector3
    """Axis point C [mm]."""
    tangent: Vector3
    """T, along the axis."""
    major: Vector3
    """M, direction of the larger half width."""
    minor: Vector3
    """N = T × M."""
    rate: Vectors
    """dC/dx_i of each parameter."""
    spin: Vectors
    """Angular velocity w_i by which each parameter turns the section."""


class Reading:
    """A shape's signed distance at a point, and what goes with it (see `signed_distance.signed`)."""

    value: float
    gradient: Vector3
    axis_distance: float
    fall: float
    noise: float


class Plane:
    """A plane below the signed distance, found in one section (see `bounds`)."""

    first: Reading
    """At the first point that was tried."""
    best: Reading
    """At the plane's own point x0."""
    point: Vector3
    """x0 [mm]."""
    place: Pair2
    """(u, v) of x0 in the section."""
    slope: Pair2
    """V, the plane's slopes in u and v [mm]."""
    rim: Pair2
    """Of a patch: unit normal in (u, v) of the section's rim in x0, inwards of which all of the
    section lies; zero where x0 is not on the rim."""
    over: float
    """By how much the box's sections reach over that rim, which is the middle section's, in (u, v)."""
    size: float
    """|V|."""


class CutterLevel:
    """Level of one cutter at a point (see `cutters`)."""

    value: float
    gradient: Vector3
    from_axis: float
    """b r; of a rounded outline what stands for it (see `cutters`)."""
    across: Pair2
    """Work space."""
    beyond: float
    """How far the point lies beyond the cutter's ends; negative between them [mm]."""
    to_station: float
    """Distance along the axis to the nearest station [mm]."""


class CutEdge:
    """A cutter's level f about a patch's middle, as a linear form (see `cutters`)."""

    value: float
    """f at the middle [mm]."""
    along: float
    """Slope of f along the tube."""
    u: float
    """Slope of f in u."""
    v: float
    """Slope of f in v."""
    rest: float
    """By how much f may exceed that linear form in the box."""
    holds: bool
    """Whether all of these hold, or only `value`."""
    weight: float
    """How much of f is taken off the signed distance for the bound of the patch (l)."""


CutEdges: TypeAlias = Annotated[MutableSequence[CutEdge], (2,)]
"""Those of the two cutters nearest to a patch's middle, the nearest first."""


class Found:
    """What `bounds.evaluate` found at a box's middle."""

    tube_point: Vector3
    shape_point: Vector3
    is_inside: bool
    """Whether the centre of the deepest ball is inside the shape."""
    miss: float
    """By how much the bound would miss for a box of no width [mm]."""
    enough: float
    """The miss that `bounds.face` was content with [mm]."""
    is_cut_off: bool
    """Whether the least may lie at a cut's edge."""


class Box:
    """A range of each parameter, of one piece."""

    bound: float
    """Proven lower bound in it [mm]."""
    key: float
    """The same, of depths in steps of a fraction of the tolerance: the lowest is split next [mm]."""
    value: float
    """D at its middle, which decides between boxes of one key [mm]."""
    piece: int
    holds: int
    """SECTION, PATCH, BALL or BALLS."""
    split: int
    """Parameter to split next; -1: split sections into patches."""
    tilt: float
    """By how much the box's plane falls or rises over half the box along `split`."""
    centre: Row
    half: Row


class Place:
    """Where a shape is drawn."""

    origin: Vector3
    """Origin of its own axes, in the frame's [mm]."""
    axes: Annotated[Array, (3, 3)]
    """Its own axes as rows."""
    about: Pair2
    """Point (x, z) near the tube, about which the swings of links are taken to turn [mm]."""


class Work:
    """Work space of one search, made once."""

    box: Box
    centre: Row
    """Middle of the box that is evaluated."""
    half: Row
    """Its half widths."""
    tilt: Row
    """By how much its plane falls or rises over half the box along each parameter."""
    frame: SectionFrame
    plane: Plane
    found: Found
    edges: CutEdges
    level: CutterLevel
    cutter_frame: SectionFrame


class Outcome:
    """Result of the search of one pair; points in the shape's axes."""

    value: float
    """Least D found [mm]."""
    bound: float
    """Proven lower bound of D [mm]."""
    boxes: int
    """How many boxes were evaluated."""
    state: int
    """SEPARATE, OVERLAP or APART."""
    is_inside: bool
    """Whether the centre of the deepest ball is inside the shape."""
    tube_point: Vector3
    shape_point: Vector3
    pose: Motions
    """Value of each motion [mm or radians]."""


PIECE: Final = layout(Piece)
CUTTER: Final = layout(CutterPiece)
EDGE: Final = layout(Edge)
SHAPE: Final = layout(ShapeNumbers)
STEP: Final = layout(MotionStep)
KNOT: Final = layout(Knot)
PAIR: Final = layout(PairNumbers)
PLACE: Final = layout(Place)
FRAME: Final = layout(SectionFrame)
BOX: Final = layout(Box)
WORK: Final = layout(Work)
OUTCOME: Final = layout(Outcome)
