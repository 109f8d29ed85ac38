"""Facts about a part, for the viewer and for tables."""

from __future__ import annotations

from itertools import groupby

from frame3d.bike.bike import Bike
from frame3d.bodies.body import Body
from frame3d.geometry.section import Section
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.change import value_at
from frame3d.report.texts import Texts
from frame3d.solids.body import SolidBody

Facts = list[tuple[str, str]]
"""(name, value) in the order in which they are shown."""


def frame_facts(
    bike: Bike, part: SolidBody, grams: float, length: float | None, texts: Texts
) -> Facts:
    """Return section, length, mass, material and junctions of a part of the frame.

    Args:
        bike: whose part it is.
        part: the part.
        grams: its mass.
        length: its cut length, if it is a tube and that is known [mm].
        texts: for the names.
    """
    found: list[tuple[str, str | None]] = [
        ("section", section_text(bike, part.name, texts)),
        ("length", None if length is None else texts.quantity(length, "mm", 0)),
        ("mass", texts.quantity(grams, "g", 0)),
        ("material", part.material),
        (
            "joins",
            ", ".join(texts.part(n) for n in joins(bike, part.name)) or texts("facts.none"),
        ),
    ]
    return [(texts(f"facts.{key}"), value) for key, value in found if value is not None]


def carried_facts(spec: FrameSpec, body: Body, texts: Texts) -> Facts:
    """Return size, place in the file and note of a part that the frame carries."""
    size = plain_value(spec, body.part)
    found = [("size", size), ("file", body.part), ("note", body.note or None)]
    return [(texts(f"facts.{key}"), value) for key, value in found if value is not None]


def plain_value(spec: FrameSpec, path: str) -> str | None:
    """Return the file's value at a path as text; None where that is not one plain value."""
    value = value_at(spec, path)
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        return None
    return value if isinstance(value, str) else f"{value:g}"


def section_text(bike: Bike, name: str, texts: Texts) -> str | None:
    """Return a tube's section as text: ``⌀ 38.1, wall 0.9/0.6/0.9``; None for parts without one."""
    tube = next((t for t in bike.tubes if t.name == name), None)
    if tube is not None:
        section = tube.section
    elif name == "bottom_bracket" and bike.shell is not None:
        section = bike.shell.section
    else:
        return None
    sizes = [_size(section, i, texts) for i in section.corners]
    steps = [size for size, _ in groupby(sizes)]
    outside = (
        texts("section_text.to", start=steps[0], end=steps[1])
        if len(steps) == 2
        else " / ".join(steps)
    )
    if section.is_solid:
        return texts("section_text.bar", outside=outside)
    walls = [
        wall for wall, _ in groupby(_short(section.wall[i], texts) for i in section.wall_corners)
    ]
    return texts("section_text.wall", outside=outside, wall="/".join(walls))


def _size(section: Section, i: int, texts: Texts) -> str:
    """Return the outside at a station as text."""
    height, width = section.height[i], section.width[i]
    if section.rounds:
        return texts(
            "section_text.d" if section.is_d else "section_text.rectangle",
            height=_short(height, texts),
            width=_short(width, texts),
            corner=_short(min(section.rounds[i]), texts),
        )
    if abs(height - width) < 1e-6:
        return texts("section_text.round", od=_short(height, texts))
    return texts("section_text.oval", height=_short(height, texts), width=_short(width, texts))


def _short(value: float, texts: Texts) -> str:
    """Return a number with no more decimals than it needs, two at most."""
    shown = texts.number(value, 2)
    return (
        shown.rstrip("0").rstrip(texts("number.point")) if texts("number.point") in shown else shown
    )


def joins(bike: Bike, name: str) -> list[str]:
    """Return the names of the parts of the frame to which a part is joined."""
    found: dict[str, None] = {}
    for tube in bike.tubes:
        targets = [end.target for end in (tube.start, tube.end) if end.target is not None]
        if tube.name == name:
            found.update(dict.fromkeys(targets))
        elif name in targets:
            found[tube.name] = None
    for plate in bike.plates:
        if plate.name == name:
            found.update(dict.fromkeys(plate.on))
        elif name in plate.on:
            found[plate.name] = None
    return list(found)
