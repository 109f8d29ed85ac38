"""Nesting: nothing overlaps, nothing is lost, the gap and the margin are kept."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.fabrication.flat.nest import Nest, Stock, nests_of, smallest_box, too_large_notes
from frame3d.fabrication.flat.parts import SheetPart
from frame3d.geometry.outline import Outline
from tests.fabrication.flat.samples import gusset, own_plate, strip
from tests.geometry.outlines import face, stars


@st.composite
def orders(draw: st.DrawFn) -> list[SheetPart]:
    """Draw a few parts of random outlines, in two thicknesses."""
    paths = draw(st.lists(stars(), min_size=1, max_size=4))
    return [
        SheetPart(
            f"part_{i}",
            "Part",
            Outline(path),
            draw(st.sampled_from([4.0, 6.0])),
            "4130",
            7.85,
            draw(st.integers(1, 4)),
            draw(st.integers(0, 2)),
        )
        for i, path in enumerate(paths)
    ]


def hold(nest: Nest, parts: list[SheetPart]) -> None:
    """Assert what every nest must keep; shapely sees each outline."""
    for sheet in nest.sheets:
        stock = sheet.stock
        room = shapely.box(0, 0, stock.width, stock.height).buffer(-stock.margin + 1e-6)
        seen = [face(piece.outline, 1e-4) for piece in sheet.pieces]
        assert seen
        assert all(one.is_valid and room.contains(one) for one in seen)
        for a, b in combinations(seen, 2):
            assert a.distance(b) > stock.gap - 1e-6
            assert not a.intersects(b) or stock.gap == 0
    laid = [piece for sheet in nest.sheets for piece in sheet.pieces]
    large = {part.name for part in nest.too_large}
    for part in parts:
        if (part.thickness, part.material) == (nest.thickness, nest.material):
            own = [piece for piece in laid if piece.part.name == part.name]
            wanted = (0, 0) if part.name in large else (part.count, part.mirrored)
            mirrored = sum(piece.is_mirrored for piece in own)
            assert (len(own) - mirrored, mirrored) == wanted
            for piece in own:
                assert piece.outline.area == pytest.approx(part.outline.area)


@given(
    orders(),
    st.sampled_from([(400.0, 300.0), (260.0, 120.0), (100.0, 2000.0), (85.0, 85.0)]),
    st.sampled_from([0.0, 2.5, 8.0]),
    st.sampled_from([0.0, 5.0]),
)
@settings(max_examples=20, deadline=None)
def test_nothing_overlaps_and_nothing_is_lost(
    parts: list[SheetPart], size: tuple[float, float], gap: float, margin: float
) -> None:
    nests = nests_of(parts, Stock(*size, gap, margin))
    assert {(n.thickness, n.material) for n in nests} == {(p.thickness, p.material) for p in parts}
    for nest in nests:
        hold(nest, parts)
        assert all(
            smallest_box(p.outline, Stock(*size, gap, margin).room) is None for p in nest.too_large
        )


def test_pieces_keep_their_hand() -> None:
    """A mirrored piece is the mirror image, moved and turned: its own image is the part."""
    (nest,) = nests_of([own_plate()], Stock(300, 200))
    ahead, image = nest.sheets[0].pieces
    assert (ahead.is_mirrored, image.is_mirrored) == (False, True)

    def turn(outline: Outline) -> float:
        (ax, ay), (bx, by), (cx, cy) = (hole.at for hole in outline.holes)
        return (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)

    drawn = turn(own_plate().outline)
    assert turn(ahead.outline) == pytest.approx(drawn)
    assert turn(image.outline) == pytest.approx(-drawn)


def test_smallest_box_of_a_turned_rectangle() -> None:
    outline = Outline.rounded([(0, 0, 4), (90, 0, 4), (90, 30, 4), (0, 30, 4)]).moved(turn=37)
    found = smallest_box(outline, (500, 500))
    assert found is not None
    low_x, low_y, high_x, high_y = found.bounds
    assert sorted((high_x - low_x, high_y - low_y)) == pytest.approx([30, 90], abs=1e-3)


@given(stars())
@settings(max_examples=25, deadline=None)
def test_smallest_box_against_shapely(path: object) -> None:
    """Shapely's minimum rotated rectangle of the same outline."""
    outline = Outline(path)  # type: ignore[arg-type]
    found = smallest_box(outline, (500, 500))
    assert found is not None
    _, _, wide, tall = found.bounds
    reference = face(outline, 1e-3).minimum_rotated_rectangle.area
    assert wide * tall == pytest.approx(reference, rel=2e-3)


def test_a_part_that_fits_on_a_slant_alone() -> None:
    """A bar of 120 × 10 in a sheet of 100 × 90: the diagonal is 134.5 long."""
    outline = Outline.rounded([(0, 0, 0), (120, 0, 0), (120, 10, 0), (0, 10, 0)])
    part = replace(gusset(), outline=outline, count=1)
    (nest,) = nests_of([part], Stock(100, 90, 5, 0))
    assert not nest.too_large
    hold(nest, [part])


def test_what_is_too_large_is_told_and_the_rest_is_laid() -> None:
    parts = [strip(), gusset()]
    stock = Stock(200, 150, 5, 5)
    nests = nests_of(parts, stock)
    (nest,) = nests
    assert [part.name for part in nest.too_large] == ["strip"]
    assert sum(len(sheet.pieces) for sheet in nest.sheets) == 2
    (note,) = too_large_notes(nests, stock)
    assert "strip is larger than a sheet of 200 x 150 mm" in note.message
    assert note.code == "warning"
    assert "no flat parts" in too_large_notes([], stock)[0].message


def test_more_sheets_where_one_is_full() -> None:
    """Four strips of 260 × 90 on sheets of 300 × 200: two a sheet."""
    (nest,) = nests_of([replace(strip(), count=4)], Stock(300, 200))
    assert [len(sheet.pieces) for sheet in nest.sheets] == [2, 2]
    assert nest.sheets[0].share == pytest.approx(2 * strip().outline.area / 60000)
    assert not math.isclose(nest.sheets[0].share, 1)


def test_names_of_files() -> None:
    (nest,) = nests_of([replace(gusset(), material="7020 T6/x")], Stock(300, 200))
    assert nest.name == "nested_4mm_7020_T6_x"
