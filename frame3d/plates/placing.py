"""Place the plates that a file names, once its tubes and its pivot hardware are in place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from frame3d.geometry.closed_path import Path
from frame3d.geometry.extrusion import Extrusion, Plane
from frame3d.geometry.outline import Flaw, Outline
from frame3d.geometry.vector import Point
from frame3d.parameters.models.flat_parts.plates import (
    SHELL,
    ChainguideSpec,
    GussetSpec,
    LinkPlateSpec,
    PathSpec,
    PivotTabSpec,
    PlateSpec,
    TabSpec,
)
from frame3d.parameters.models.junctions import Side
from frame3d.plates import chainguides, gussets, own_paths, tabs
from frame3d.plates.dropout_metal import Filled
from frame3d.plates.overlap import TOUCH, Taker, largest_share, reached, taken_by
from frame3d.plates.sheet_material import sheet_material
from frame3d.plates.tabs import MisfitError
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.hardware import DROPOUT
from frame3d.tubes.placing.context import PlacementContext, other_side
from frame3d.tubes.plate import Plate
from frame3d.tubes.tube import Dropout, Shell, Tube

WHOLE = 0.995
"""A plate whose largest piece is less than this share of it is told to be cut in pieces."""
INTO = 0.3
"""How deep a gusset or tab may lie in a tube that it does not stand on, without a word [mm]."""


def plates(
    context: PlacementContext, taken: Sequence[str], dropouts: Sequence[Dropout] = ()
) -> tuple[Plate, ...]:
    """Return all plates in the file's order, the left one of a pair before the right one.

    Records a fault for each that does not fit, and a note for each that stands on nothing.

    Args:
        context: the tubes in place.
        taken: names of other parts of the frame.
        dropouts: the rear dropouts, which cut what reaches into them.
    """
    found: list[Plate] = []
    for key, spec in context.spec.plates.items():
        if isinstance(spec, PivotTabSpec | LinkPlateSpec):
            continue  # metal of the pivots' hardware: `pivot_tabs`, `link_plates`
        try:
            made = list(_made(context, key, spec, dropouts))
        except MisfitError as problem:
            path = f"plates.{key}.{problem.key}" if problem.key else f"plates.{key}"
            context.fault("inconsistent", path, problem.message, problem.hint)
            continue
        flaws = made[0].outline.flaws()
        crossing = tuple(flaw for flaw in flaws if flaw.kind == "crossing")
        flaws = crossing or flaws  # one that crosses itself has no sense of turning either
        for flaw in flaws:
            context.fault("inconsistent", *_flawed(key, spec, flaw))
        names = {*taken, *context.tubes, *(plate.name for plate in found)}
        for plate in made:
            if plate.name in names:
                context.fault(
                    "bad-name",
                    f"plates.{key}",
                    f"another part is named {plate.name}",
                    "another name",
                )
            if not plate.on and not flaws:
                context.warn(f"plates.{key}", f"{plate.name} touches no tube of its body")
        found += made
    return tuple(found)


def _flawed(key: str, spec: PlateSpec, flaw: Flaw) -> tuple[str, str, str]:
    """Return path, message and hint of what is wrong with an outline."""
    of = flaw.of[-1] if flaw.of else "outer"
    if isinstance(spec, PathSpec):
        edge = "path" if spec.path is not None else "corners"
        where = edge if of == "outer" else of
    else:
        where = "" if of == "outer" else "hole"
    hint = "the edge must not meet itself"
    if flaw.kind in ("edge", "overlap"):
        hint = "holes, slots and pockets need metal all round: make it smaller, or move it"
    at = f"plates.{key}.{where}" if where else f"plates.{key}"
    if flaw.kind == "edge":
        return at, f"breaks the edge: {flaw.message}", hint
    return at, flaw.message, hint


@dataclass(frozen=True)
class _Shape:
    """A plate without its names and material."""

    outline: Outline
    rough: Path
    plane: Plane
    low: float
    high: float
    on: tuple[str, ...]
    """Tubes whose surface its edge follows."""
    link: str | None


def _made(
    context: PlacementContext,
    key: str,
    spec: GussetSpec | TabSpec | ChainguideSpec | PathSpec,
    dropouts: Sequence[Dropout],
) -> Iterator[Plate]:
    match spec:
        case GussetSpec():
            shape, pair = _gusset(context, spec)
        case TabSpec():
            shape, pair = _tab(context, spec)
        case ChainguideSpec():
            shape, pair = _chainguide(context, spec), False
        case PathSpec():
            shape, pair = _own(context, spec), spec.pair
    volume, on = _metal(context, key, spec, shape, dropouts)
    name, density = sheet_material(context.spec, spec.material)
    colour = context.spec.colour if spec.colour is None else spec.colour
    sides: tuple[Side | None, ...] = ("left", "right") if pair else (None,)
    for side in sides:
        plate = Plate(
            name=key if side is None else f"{key}_{side}",
            key=key,
            kind=spec.kind,
            side=side,
            outline=shape.outline,
            rough=shape.rough,
            plane=shape.plane,
            low=shape.low,
            high=shape.high,
            volume=volume,
            on=on,
            material=name,
            density=density,
            colour=colour,
            link=shape.link,
        )
        if side == "right":
            plate = _mirrored(context, plate)
            if any(one.startswith(DROPOUT) for one in on):  # left and right may differ
                volume, _ = _metal(context, key, spec, _shape_of(plate), dropouts)
                plate = replace(plate, volume=volume)
        yield plate


def _shape_of(plate: Plate) -> _Shape:
    return _Shape(
        plate.outline, plate.rough, plate.plane, plate.low, plate.high, plate.on, plate.link
    )


def _metal(
    context: PlacementContext,
    key: str,
    spec: PlateSpec,
    shape: _Shape,
    dropouts: Sequence[Dropout],
) -> tuple[float, tuple[str, ...]]:
    """Return the volume of a plate where others have cut it, and what it stands on."""
    metal = replace(shape.outline, outer=shape.rough)
    span = (shape.low, shape.high)
    volume, on = metal.volume(shape.high - shape.low), shape.on
    if shape.outline.flaws():
        return volume, on
    near: list[Taker] = [*_bodies(context, shape.link)]
    whole = Extrusion(shape.rough, shape.plane, *span)
    reaching = (Filled.of(one, context.tubes) for one in dropouts if one.link == shape.link)
    near += [one for one in reaching if one.meets(whole)]
    on = tuple(dict.fromkeys((*on, *_also_on(context, key, spec, shape, near))))
    cutting = [one for one in near if one.name in on]
    volume -= taken_by(metal, shape.plane, span, cutting)
    for pocket in metal.pockets:  # no pocket where there is no metal left
        deep = span[1] - pocket.depth if pocket.face == "front" else span[0]
        floor = (deep, deep + pocket.depth)
        volume += taken_by(Outline(pocket.path), shape.plane, floor, cutting)
    share = largest_share(metal, shape.plane, span, cutting)
    if share < WHOLE:
        context.warn(
            f"plates.{key}",
            f"{key} is cut in pieces by {', '.join(on)}: the largest, {100 * share:.0f} % of it, is "
            "the part; write the others as plates of their own",
        )
    return share * volume, on


def _bodies(context: PlacementContext, link: str | None) -> list[Envelope]:
    """Return the tubes of a body, and the shell where that is of the front frame."""
    found = [Envelope.of(t, t.name) for t in context.tubes.values() if t.link == link]
    if context.shell is not None and link is None:
        found.append(Envelope.of(context.shell, SHELL))
    return found


def _also_on(
    context: PlacementContext, key: str, spec: PlateSpec, shape: _Shape, near: Sequence[Taker]
) -> tuple[str, ...]:
    """Return further tubes that a plate runs into, with a note where its kind should not."""
    others = [one for one in near if one.name not in shape.on]
    deeper = -TOUCH if isinstance(spec, PathSpec) else INTO
    found = reached(shape.outline, shape.plane, (shape.low, shape.high), others, deeper)
    if found and not isinstance(spec, PathSpec):
        context.warn(
            f"plates.{key}",
            f"{key} runs into {', '.join(found)} too, and what lies inside is cut off there: the "
            "outline on the sheet does not show it",
        )
    return found


def _mirrored(context: PlacementContext, plate: Plate) -> Plate:
    """Return the mirror image of a plate, on the tubes of the other side."""
    pairs = [key for key, tube in context.spec.tubes.items() if tube.pair]
    on = tuple(name for one in plate.on if (name := other_side(one, pairs)) is not None)
    return replace(
        plate,
        outline=plate.outline.opposite(),
        plane=plate.plane.mirrored(),
        low=-plate.high + 0.0,
        high=-plate.low + 0.0,
        on=on,
    )


def _tube(context: PlacementContext, key: str) -> tuple[Tube, bool]:
    """Return a tube by its key, the left one of a pair, and whether it is one of a pair."""
    pair = context.spec.tubes[key].pair
    return context.tubes[f"{key}_left" if pair else key], pair


def _gusset(context: PlacementContext, spec: GussetSpec) -> tuple[_Shape, bool]:
    (one, pair), (two, other_pair) = (_tube(context, key) for key in spec.on)
    if one.link != two.link:
        raise MisfitError(
            "on",
            f"{one.name} and {two.name} move against each other",
            "two tubes of one link, or of the front frame",
        )
    corner = gussets.corner_of(spec, (one, two))
    half = spec.thickness / 2
    edges = gussets.edges_of(spec, corner, half)
    outline = gussets.outline_of(spec, edges.fitted)
    on = (one.name, two.name)
    shape = _Shape(outline, edges.rough, corner.plane, -half, half, on, one.link)
    return shape, pair or other_pair


def _tab(context: PlacementContext, spec: TabSpec) -> tuple[_Shape, bool]:
    body: Tube | Shell
    if spec.on == SHELL:
        body, pair, link, name = _shell(context, "on"), False, None, SHELL
    else:
        body, pair = _tube(context, spec.on)
        link, name = body.link, body.name
    stand = tabs.stand_of(spec, body)
    low, high = -spec.thickness / 2, spec.thickness / 2
    if spec.gap is not None:
        if abs(stand.plane.y[1]) > 1e-6 or abs(stand.plane.origin[1]) > 1e-6:
            raise MisfitError(
                "gap",
                "left and right of the gap are no mirror images there",
                "angle: 0 or 180 on a tube in the centre plane, or tabs of their own without gap",
            )
        low, high = spec.gap / 2, spec.gap / 2 + spec.thickness
        if stand.plane.normal[1] < 0:
            low, high = -high, -low
        pair = True
    edges = tabs.edges_of(spec, stand, max(abs(low), abs(high)))
    outline = tabs.outline_of(spec, edges.fitted, stand)
    return _Shape(outline, edges.rough, stand.plane, low, high, (name,), link), pair


def _shell(context: PlacementContext, key: str) -> Shell:
    if context.shell is None:
        raise MisfitError(
            key,
            "there is no bottom bracket shell to stand on",
            "say which one under build, e.g. bottom_bracket: {shell: threaded-73}",
        )
    return context.shell


def _chainguide(context: PlacementContext, spec: ChainguideSpec) -> _Shape:
    shell = _shell(context, "")
    if any(shell.at):
        raise MisfitError(
            "",
            "its holes stand on a circle about the bottom bracket, which an eccentric insert moves",
            "another shell, or no chainguide",
        )
    edges = chainguides.edges_of(spec, shell)
    outline = chainguides.outline_of(spec, edges.fitted)
    high = -shell.faces[0] - spec.inset  # heights are toward the right
    if high - spec.thickness < -shell.faces[1]:
        raise MisfitError(
            "inset", f"it lies beside the shell, which is {shell.width:g} mm wide", "a smaller one"
        )
    low = high - spec.thickness
    return _Shape(outline, edges.rough, chainguides.PLANE, low, high, (SHELL,), None)


def _own(context: PlacementContext, spec: PathSpec) -> _Shape:
    places: Mapping[str, Point] = {**context.nodes, **context.pivots}
    plane, outline = own_paths.plane_of(spec, places), own_paths.outline_of(spec)
    half = spec.thickness / 2
    return _Shape(outline, outline.outer, plane, -half, half, (), spec.link)
