"""The seatpost's section: the post's figures, or none."""

from __future__ import annotations

from dataclasses import replace

from frame3d.bike.seatpost import assumptions, facts, seatpost_of
from frame3d.report.sections.seatpost import seatpost
from frame3d.report.texts import texts
from tests.report.samples import bare, four_link_layout, minimal_bike, rows, words


def test_every_figure_of_the_post_has_its_row_and_assumptions_are_told() -> None:
    bike = four_link_layout()
    post = seatpost_of(bike)
    assert post is not None
    made = seatpost(bare(bike), texts())
    told = {row[0]: float(row[1].removesuffix(" mm").replace("−", "-")) for row in rows(made)}
    known = {texts()(f"seatpost.{name}"): value for name, value, _ in facts(post)}
    assert told.keys() == known.keys()
    assert all(abs(told[name] - value) < 0.051 for name, value in known.items())
    assert told["Insertion"] == 180.0
    assert all(said in words(made) for said in assumptions(bike))


def test_a_bike_without_a_post_has_no_section() -> None:
    assert seatpost(bare(minimal_bike()), texts()) is None
    bike = four_link_layout()
    build = bike.spec.build.model_copy(update={"seatpost": None})
    spec = bike.spec.model_copy(update={"build": build})
    assert seatpost(bare(replace(bike, spec=spec)), texts()) is None
