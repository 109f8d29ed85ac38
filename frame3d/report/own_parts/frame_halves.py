"""Front and rear triangle: which parts of the frame belong to each, and what they do."""

from __future__ import annotations

from frame3d.bike.bike import Bike
from frame3d.linkage import Linkage
from frame3d.parameters.models.parts import HubSpec
from frame3d.parameters.sizes import standards
from frame3d.report.data import ReportData
from frame3d.report.own_parts.own_part import Lit, OwnPart, listed, plain, told
from frame3d.report.texts import Texts


def front_triangle(data: ReportData, texts: Texts) -> OwnPart:
    """Return what the front triangle is, is made of, and measures."""
    chart = data.bike.chart
    said = told(
        (
            texts("own_parts.front_triangle.is"),
            _made(data, _front_names(data.bike), texts),
            texts(
                "own_parts.front_triangle.size",
                reach=texts.quantity(chart["reach"], "mm"),
                stack=texts.quantity(chart["stack"], "mm"),
            ),
        )
    )
    names = {o.name for o in data.side.outlines if o.family == "frame"} - rear_names(data.bike)
    solids = data.side.solids(names)
    lit = Lit((solids,)) if solids else Lit(lines=data.side.front_lines)
    return OwnPart("front_triangle", said, lit)


def rear_triangle(data: ReportData, texts: Texts) -> OwnPart:
    """Return what carries the rear wheel, how it moves, and what it measures."""
    said = told(
        (
            texts("own_parts.rear_triangle.is"),
            _made(data, _rear_tubes(data.bike), texts),
            _moving(data, texts),
            _length(data, texts),
        )
    )
    side, linkage = data.side, data.bike.linkage
    solids = (*side.solids(rear_names(data.bike)), *side.dropout_solids())
    if linkage is not None:
        return OwnPart("rear_triangle", said, Lit((solids,) if solids else (), side.link_lines))
    lit = Lit((solids,)) if solids else Lit(lines=side.rear_lines)
    return OwnPart("rear_triangle", said, lit)


def rear_names(bike: Bike) -> frozenset[str]:
    """Return the names of tubes, lugs and plates that carry the rear wheel.

    With a rear suspension, what moves with its links; else the stays, which end at the dropouts, and
    what sits on nothing but them.
    """
    if bike.linkage is not None:
        moving = [tube.name for tube in bike.tubes if tube.link is not None]
        moving += [item.name for item in bike.pivots if item.link is not None]
        return frozenset(moving)
    found = {name for dropout in bike.dropouts for name, _ in dropout.stays}
    for tube in bike.tubes:  # in build order, so what a bridge sits on comes before it
        targets = {tube.start.target, tube.end.target}
        if targets <= found:
            found.add(tube.name)
    return frozenset(found)


def _front_names(bike: Bike) -> list[str]:
    """Return the keys of the front triangle's tubes, each once, in build order."""
    rear = rear_names(bike)
    return list(dict.fromkeys(tube.key for tube in bike.tubes if tube.name not in rear))


def _rear_tubes(bike: Bike) -> list[str]:
    rear = rear_names(bike)
    return list(dict.fromkeys(tube.key for tube in bike.tubes if tube.name in rear))


def _made(data: ReportData, keys: list[str], texts: Texts) -> str | None:
    """Return of which tubes a triangle is made, and its mass with all that is fixed to it."""
    if not keys:
        return None
    bike, rear = data.bike, rear_names(data.bike)
    names = {tube.name for tube in bike.tubes if tube.key in keys}
    behind = names <= rear
    pairs = {tube.key for tube in bike.tubes if tube.side is not None}
    words = [
        texts("own_parts.pair", part=texts.part(key).lower())
        if key in pairs
        else texts.part(key).lower()
        for key in keys
    ]
    rear = rear | {dropout.name for dropout in bike.dropouts}
    grams = sum(g for name, g in data.meshes.grams.items() if (name in rear) == behind)
    if not grams:
        return texts("own_parts.made", parts=listed(words, texts))
    weight = texts.quantity(grams, "g", 0)
    if behind:
        return texts("own_parts.rear_triangle.made", parts=listed(words, texts), grams=weight)
    return texts("own_parts.front_triangle.made", parts=listed(words, texts), grams=weight)


def _moving(data: ReportData, texts: Texts) -> str:
    """Return how the rear wheel moves against the front triangle, or that it does not."""
    linkage = data.bike.linkage
    if linkage is None:
        return texts("own_parts.rear_triangle.rigid")
    travel = plain(linkage.full_travel, "mm", texts)
    count = len(linkage.links)
    if count == 1:
        said = texts("own_parts.rear_triangle.swings", travel=travel)
    else:
        said = texts(
            "own_parts.rear_triangle.linked", travel=travel, links=count, pivots=_pivots(linkage)
        )
    sag = None if data.travelled is None else data.travelled.sag
    if sag is None or sag.travel <= 0:
        return texts("own_parts.sentence", said=said)
    return texts(
        "own_parts.rear_triangle.sagged",
        said=said,
        sag=plain(sag.travel, "mm", texts),
        share=texts.quantity(100 * sag.travel_share, "%", 0),
    )


def _pivots(linkage: Linkage) -> int:
    """Return on how many axes links turn: points that two bodies or more share."""
    on = [name for points in linkage.bodies.values() for name in set(points)]
    return sum(on.count(name) > 1 for name in set(on))


def _length(data: ReportData, texts: Texts) -> str:
    """Return the chainstay length, at sag too where it changes, and the hub it is made for."""
    static = data.bike.chart["chainstay_length"]
    sagged = None if data.bike.sagged is None else data.bike.sagged.chart["chainstay_length"]
    length = texts.quantity(static, "mm")
    hub = _hub(data.bike)
    if data.bike.linkage is not None and sagged is not None:
        both = {"length": length, "sagged": texts.quantity(sagged, "mm")}
        if hub is None:
            return texts("own_parts.rear_triangle.length_moving", **both)
        return texts("own_parts.rear_triangle.length_moving_hub", **both, **_sizes(hub, texts))
    if hub is None:
        return texts("own_parts.rear_triangle.length", length=length)
    return texts("own_parts.rear_triangle.length_hub", length=length, **_sizes(hub, texts))


def _hub(bike: Bike) -> HubSpec | standards.Hub | None:
    wheel = bike.spec.build.rear_wheel
    hub = None if wheel is None else wheel.hub
    return standards.hub(hub) if isinstance(hub, str) else hub


def _sizes(hub: HubSpec | standards.Hub, texts: Texts) -> dict[str, str]:
    return {"width": plain(hub.width, "mm", texts), "axle": plain(hub.axle, "mm", texts)}
