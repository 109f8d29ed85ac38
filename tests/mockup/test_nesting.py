from __future__ import annotations

import numpy as np
import pytest
import shapely
import shapely.affinity

from frame3d.mockup.options import EDGE
from frame3d.mockup.printing.nesting import APART, Laid, PlateOf, fits, packed
from frame3d.mockup.solid import area, circle
from tests.mockup.samples import RIGID, laid

BED = (220.0, 220.0, 250.0)


def thing(name: str, shadow: object, colour: str = "#000000", height: float = 5.0) -> Laid:
    return Laid(name, colour, np.eye(3), shadow, height)  # type: ignore[arg-type]


def plate(width: float, depth: float) -> object:
    return area(np.array([(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)]))


def polygon(item: Laid, angle: float, shift: tuple[float, float]) -> shapely.Geometry:
    """By shapely, from the outlines: outer ones run anticlockwise, inner ones clockwise."""
    rings = [shapely.LinearRing(outline) for outline in item.shadow.to_polygons()]
    outer = shapely.union_all([shapely.Polygon(ring) for ring in rings if ring.is_ccw])
    inner = shapely.union_all([shapely.Polygon(ring) for ring in rings if not ring.is_ccw])
    whole = outer.difference(inner)
    turned = shapely.affinity.rotate(whole, angle, origin=(0.0, 0.0))
    return shapely.affinity.translate(turned, *shift)


def check(items: list[Laid], plates: tuple[PlateOf, ...], bed: tuple[float, float, float]) -> None:
    names = {item.name: item for item in items}
    assert sorted(i.name for p in plates for i in p.items) == sorted(names)
    room = shapely.box(EDGE - 0.01, EDGE - 0.01, bed[0] - EDGE + 0.01, bed[1] - EDGE + 0.01)
    for p in plates:
        shapes = [polygon(names[i.name], i.angle, i.shift) for i in p.items]
        for shape in shapes:
            assert room.contains(shape)
        for i, a in enumerate(shapes):
            for b in shapes[:i]:
                assert a.distance(b) >= APART - 0.1


def test_squares_fill_plates() -> None:
    """Four of 100 mm go on a bed with 214 mm to use, one after the other."""
    items = [thing(f"part_{i}", plate(100.0, 100.0)) for i in range(9)]
    plates = packed(items, BED, mixed=False)
    assert [len(p.items) for p in plates] == [4, 4, 1]
    check(items, plates, BED)


def test_small_parts_lie_inside_a_ring() -> None:
    ring = area(circle(100.0)) - area(circle(85.0))
    items = [thing("ring", ring), *(thing(f"bar_{i}", plate(60.0, 12.0)) for i in range(5))]
    plates = packed(items, BED, mixed=False)
    assert len(plates) == 1
    check(items, plates, BED)


def test_a_long_part_lies_across() -> None:
    long = thing("long", plate(270.0, 20.0))
    assert fits(long, BED)
    check([long], packed([long], BED, mixed=False), BED)
    assert not fits(thing("longer", plate(290.0, 20.0)), BED)
    assert not fits(thing("tall", plate(10.0, 10.0), height=251.0), BED)


def test_a_plate_has_one_colour_unless_mixed() -> None:
    items = [
        thing(f"part_{i}", plate(20.0, 20.0), "#ff0000" if i % 2 else "#00ff00") for i in range(6)
    ]
    apart, together = packed(items, BED, mixed=False), packed(items, BED, mixed=True)
    assert [p.colours for p in apart] == [("#00ff00",), ("#ff0000",)]
    assert len(together) == 1
    assert set(together[0].colours) == {"#ff0000", "#00ff00"}
    check(items, together, BED)


@pytest.mark.parametrize(
    ("plates", "bed"),
    [(laid(), BED), (laid(RIGID, bed="110x110x110"), (110.0, 110.0, 110.0))],
    ids=["whole", "cut"],
)
def test_the_demos(plates: object, bed: tuple[float, float, float]) -> None:
    items = [item.laid for item in plates.parts]  # type: ignore[attr-defined]
    check(items, plates.plates, bed)  # type: ignore[attr-defined]


def test_parts_on_their_plates_are_where_the_plan_says() -> None:
    """The transform of a part's file, against its outline on the plan."""
    for item in laid().parts:
        turn = item.transform
        corners = (item.flat.vertices @ turn[:, :3].T + turn[:, 3])[:, :2]
        low, high = corners.min(axis=0), corners.max(axis=0)
        plan = polygon(item.laid, item.place.angle, item.place.shift).bounds
        assert [*low, *high] == pytest.approx(plan, abs=0.05)
