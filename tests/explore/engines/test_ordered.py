"""Results in order, and what becomes of lost pieces."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from frame3d.explore.engines.ordered import Ordered, Piece
from frame3d.explore.engines.work import Worked
from frame3d.explore.study.study import Design
from tests.explore.fakes import designs, result


def found(piece: Piece) -> None:
    piece.found = Worked(tuple(result(design) for design in piece.designs))


def reaches(ordered: Ordered) -> list[float]:
    return [float(one.design[0]) for part in ordered.done() for one in part.evaluations]


def test_a_design_that_is_lost_alone_twice_is_left_out() -> None:
    ordered = Ordered(iter([tuple(designs(3))]), 4)
    whole = ordered.take()
    assert whole is not None
    assert not whole.is_second
    ordered.lost(whole)
    alone = [ordered.take() for _ in range(3)]
    assert ordered.take() is None
    assert all(piece is not None and piece.is_second for piece in alone)
    first, bad, last = (piece for piece in alone if piece is not None)
    found(first)
    found(last)
    ordered.lost(bad)
    assert reaches(ordered) == []
    assert ordered.take() is bad
    ordered.lost(bad)
    done = list(ordered.done())
    assert [one.design for part in done for one in part.evaluations] == [
        *first.designs,
        *last.designs,
    ]
    assert [one.design for part in done for one in part.left_out] == list(bad.designs)
    assert ordered.is_empty


@given(st.data(), st.integers(1, 6), st.integers(0, 12))
def test_order_is_that_of_submission_whoever_is_first(
    data: st.DataObject, window: int, n: int
) -> None:
    pieces: list[tuple[Design, ...]] = [tuple(designs(2, 2 * i)) for i in range(n)]
    ordered = Ordered(iter(pieces), window)
    flight: list[Piece] = []
    told: list[float] = []
    while not ordered.is_empty:
        while (piece := ordered.take()) is not None:
            flight.append(piece)
        assert len(flight) <= 2 * window
        if flight:
            piece = flight.pop(data.draw(st.integers(0, len(flight) - 1)))
            if not piece.is_second and data.draw(st.booleans()):
                ordered.lost(piece)
            else:
                found(piece)
        told += reaches(ordered)
    assert told == [float(design[0]) for piece in pieces for design in piece]
