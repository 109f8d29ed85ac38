"""Order in which tubes are placed and cut."""

from __future__ import annotations

from frame3d.parameters.models.suspension import PointSpec
from frame3d.tubes.hardware import DROPOUT, SHELL
from frame3d.tubes.placing.context import PlacementContext


def build_order(context: PlacementContext) -> list[str]:
    """Return the keys of the tubes, each after whatever it sits on.

    Head tube and seat tube come first where they depend on no other tube; otherwise the order of the
    file holds as far as possible. Tubes that cannot be placed, because they name something that does
    not exist or depend on each other in a circle, are left out, and so is what depends on them; each
    cause is a fault.
    """
    tubes = context.spec.tubes
    pivots = () if context.spec.suspension is None else tuple(context.spec.suspension.points)
    leans: dict[str, tuple[str, ...]] = {}
    out: set[str] = set()
    for key, tube in tubes.items():
        if _is_taken(context, key):
            out.add(key)
        on: list[str] = []
        for end, junction in (("start", tube.start), ("end", tube.end)):
            if junction is None or junction.on is None:
                continue
            if junction.on in tubes:
                on.append(junction.on)
            elif junction.on not in (SHELL, DROPOUT, *pivots) and junction.on not in context.nodes:
                _missing(context, key, end, junction.on)
                out.add(key)
        leans[key] = tuple(dict.fromkeys(on))
    first = [key for key in ("head_tube", "seat_tube") if key in tubes]
    wishes = [*first, *(key for key in tubes if key not in first)]
    order: list[str] = []
    loops: set[frozenset[str]] = set()

    def visit(key: str, trail: tuple[str, ...]) -> bool:
        """Append `key` after what it depends on; return whether it can be placed."""
        if key in trail:
            loop = trail[trail.index(key) :]
            if frozenset(loop) not in loops:
                loops.add(frozenset(loop))
                _circle(context, loop)
            return False
        if key in order:
            return True
        for other in leans[key]:  # all, so that every circle is found
            if not visit(other, (*trail, key)):
                out.add(key)
        if key in out:
            return False
        if key not in order:
            order.append(key)
        return True

    for key in wishes:
        visit(key, ())
    return order


def split_order(context: PlacementContext, order: list[str]) -> tuple[list[str], list[str]]:
    """Return the tubes that the suspension's points may refer to, and those placed after the points.

    Links' tubes, and tubes that end on a point, wait for the points, and so does what leans on them.
    A point that is given from one of these is taken down as a fault.
    """
    suspension = context.spec.suspension
    if suspension is None:
        return order, []
    early: list[str] = []
    for key in order:
        tube = context.spec.tubes[key]
        on = [j.on for j in (tube.start, tube.end) if j is not None and j.on is not None]
        waits = tube.link is not None or any(
            name in suspension.points or (name in context.spec.tubes and name not in early)
            for name in on
        )
        if not waits:
            early.append(key)
    late = [key for key in order if key not in early]
    for name, place in suspension.points.items():
        if isinstance(place, PointSpec) and place.is_on_tube and place.on in late:
            _point_too_early(context, name, place.on, tuple(suspension.points))
    return early, late


def _point_too_early(
    context: PlacementContext, point: str, on: str, points: tuple[str, ...]
) -> None:
    """A point of the suspension that is given from a tube which itself needs the points."""
    trail = [point, on]
    while trail[-1] not in points:
        tube = context.spec.tubes[trail[-1]]
        ends = [j.on for j in (tube.start, tube.end) if j is not None and j.on is not None]
        on_point = [name for name in ends if name in points]
        leans = [name for name in ends if name in context.spec.tubes]
        if on_point:
            trail.append(point if point in on_point else on_point[0])
        elif leans:
            trail.append(_waiting(context, leans, points))
        else:
            break
    shown = " → ".join(trail)
    circle = trail[-1] == point
    what = (
        f"the point and what it is given from lean on each other in a circle: {shown}"
        if circle
        else f"{on} is itself placed from a point of the suspension: {shown}"
    )
    context.fault(
        "junction-cycle",
        f"suspension.points.{point}.on",
        what,
        "give the point as [x, z], or from a tube that ends on no point of the suspension",
    )


def _waiting(context: PlacementContext, keys: list[str], points: tuple[str, ...]) -> str:
    """The tube among `keys` that leans on a point, directly or through other tubes."""

    def waits(key: str) -> bool:
        tube = context.spec.tubes[key]
        ends = [j.on for j in (tube.start, tube.end) if j is not None and j.on is not None]
        return any(name in points for name in ends) or any(
            waits(name) for name in ends if name in context.spec.tubes
        )

    return next((key for key in keys if waits(key)), keys[0])


def _is_taken(context: PlacementContext, key: str) -> bool:
    """Return whether a tube has the name of one of a pair, which is a fault."""
    for side in ("left", "right"):
        pair = key.removesuffix(f"_{side}")
        if pair != key and pair in context.spec.tubes and context.spec.tubes[pair].pair:
            context.fault(
                "bad-name",
                f"tubes.{key}",
                f"the {side} one of the pair {pair} has this name already",
                "another name",
            )
            return True
    return False


def _missing(context: PlacementContext, asker: str, end: str, name: str) -> None:
    """Record the fault of an end that names nothing known."""
    for side in ("left", "right"):
        key = name.removesuffix(f"_{side}")
        if key != name and key in context.spec.tubes and context.spec.tubes[key].pair:
            hint = f"{name} is one of the pair {key}: write on: {key}, side: {side}"
            break
    else:
        hint = context.suggest(name, asker)
    path = f"tubes.{asker}.{end}.on"
    context.fault("junction-target", path, f"there is no tube or node {name}", hint)


def _circle(context: PlacementContext, loop: tuple[str, ...]) -> None:
    """Record the fault of tubes that depend on each other in a circle."""
    key, following = loop[0], loop[1 % len(loop)]
    tube = context.spec.tubes[key]
    end = "start" if tube.start is not None and tube.start.on == following else "end"
    context.fault(
        "junction-cycle",
        f"tubes.{key}.{end}.on",
        f"ends lean on each other in a circle: {' → '.join((*loop, key))}",
        "let one of them end on something else, e.g. on a node or at a free point",
    )
