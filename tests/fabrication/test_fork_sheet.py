"""The fork sheet and the fork's part in the pack: cut list, templates, bends, parts, bench order."""

from __future__ import annotations

import csv
import io
import math

import pytest

from frame3d.bike.solve import solve
from frame3d.fabrication.fork_sheet import figures_of, fork_csv, fork_sheet, fork_tubes
from frame3d.fabrication.ordering.order_list import order_of
from frame3d.fabrication.ordering.stock import StockLength
from frame3d.fabrication.pack import Maker, Pack
from frame3d.paper.page_elements import PAPERS
from tests.built_forks import fork_bike


def rows(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"))))


def figure(kind: str, name: str) -> str:
    return next(value for _, what, value in figures_of(fork_bike(kind)) if what == name)


def test_what_is_measured() -> None:
    # Axle to crown 420 along the axis and an offset of 50: Pythagoras, with half a hub of 100.
    assert figure("segmented", "axle to crown, straight") == f"{math.hypot(420, 50):.2f} mm"
    assert figure("segmented", "axle to crown, along the steering axis") == "420.00 mm"
    assert figure("segmented", "offset (rake), square to the steering axis") == "50.00 mm"
    name = "crown race's centre to either dropout's inner face at the axle"
    assert figure("segmented", name) == f"{math.sqrt(420**2 + 50**2 + 50**2):.2f} mm"
    assert figure("raked", "axle ahead of the blades' line") == "6.00 mm"
    assert figure("raked", "corner of the blades' bend, below the crown race") == "300.00 mm"
    assert figure("unicrown", "blades' axes apart at the crown") == "110.00 mm"
    assert not any("bend" in what for _, what, _ in figures_of(fork_bike("unicrown")))
    # The upper post is 74 from the lower one.
    faces = [
        (float(figure("segmented", f"fork post {which}'s face, below the crown race")[:-3]))
        for which in ("upper", "lower")
    ]
    assert 60 < faces[1] - faces[0] < 74


@pytest.mark.parametrize("kind", ["unicrown", "raked", "segmented"])
def test_the_sheet_says_it_all(kind: str) -> None:
    bike = fork_bike(kind)
    said = list(fork_sheet(bike, PAPERS["A4"]).texts())
    for _, what, value in figures_of(bike):
        assert what in said or what.strip() in said
        assert value in said
    assert len(rows(fork_csv(bike))) == len(figures_of(bike)) + 2  # head and caution


@pytest.fixture(scope="module")
def pack() -> Pack:
    """Of a bike with no more of the frame than the pack cannot do without."""
    spec = fork_bike("segmented").spec
    few = {key: tube for key, tube in spec.tubes.items() if key in ("head_tube", "seat_tube")}
    return Maker(solve(spec.model_copy(update={"tubes": few})), "A4", None).make()


def test_the_pack_has_the_fork(pack: Pack) -> None:
    assert not pack.faults
    for name in (
        "fork.pdf", "fork.csv", "templates/fork_blade_left.dxf", "templates/fork_segment_right.svg",
        "templates/fork_post_upper.dxf", "plates/fork_dropout.dxf",
    ):  # fmt: skip
        assert name in pack.files
    assert "templates/fork_race_seat.dxf" not in pack.files
    cut = {row[0]: row for row in rows(pack.files["cut_list.csv"])}
    blade = cut["fork_blade_left"]
    assert blade[12:14] == ["mitre", "fork_segment_left"]
    assert blade[15:17] == ["square", "fork_dropout_left"]
    bends = [row for row in rows(pack.files["bend_table.csv"]) if row[0] == "fork_blade_left"]
    assert len(bends) == 1
    parts = {row[0]: row for row in rows(pack.files["parts_list.csv"])}
    assert parts["fork dropout"][1] == "2"
    assert parts["fork, race seat"][7] == parts["fork, race seat"][7].strip() != ""
    assert "headset, crown race" in parts
    grams = fork_bike("segmented").fork.frame.masses.parts  # type: ignore[union-attr]
    assert float(parts["fork dropout"][7]) == pytest.approx(grams["fork_dropout_left"], abs=0.1)
    steps = [" ".join(row) for row in rows(pack.files["bench_order.csv"])]
    tacked = [step for step in steps if "Fork: tack" in step]
    assert "race seat" in tacked[0]
    assert any("slot the fork blades" in step for step in steps)
    assert any("tap and face the fork's brake posts" in step for step in steps)


def test_the_order_has_the_forks_tubes() -> None:
    stock = (StockLength(2000.0),)
    order = order_of([("M", fork_bike("segmented"), 2)], stock=stock, kerf=2.0, trim=0.0)
    labels = [piece.tube for section in order.sections for piece in section.pieces]
    assert labels.count("fork_blade_left") == 2
    assert "fork_race_seat" not in labels
    assert any(line.what == "fork dropout" and line.counts == (4,) for line in order.parts)


def test_a_bought_fork_has_no_sheet() -> None:
    assert fork_tubes(fork_bike("bought")) == ()
