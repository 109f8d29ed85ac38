"""Rear suspensions of many designs at once give the very rows that one by one gives."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.explore.evaluate.designs import Designs
from frame3d.explore.evaluate.evaluator import Evaluator
from frame3d.explore.evaluate.linkage_batch import LinkageBatch
from frame3d.explore.study.quantities import quantity
from frame3d.explore.study.study import Design, Preference, Study, Varied
from frame3d.parameters.reading.reader import variants_of
from tests.explore.evaluate.studies import between, study_of, within
from tests.sampling import first

FREE = "suspension.points."
TRAIL = (
    Varied(f"{FREE}main_pivot.from_start", 60, 90, start=73.0),
    Varied(f"{FREE}rear_pivot.above", -25, 5, start=-8.0),
    Varied(f"{FREE}rocker_rear.above", 20, 45, start=32.0),
    Varied(f"{FREE}shock_front.offset", 30, 50, start=40.0),
)
ENDURO = (
    Varied(f"{FREE}swingarm_top.0", -90, -70, start=-81.0),
    Varied(f"{FREE}swingarm_top.1", 200, 225, start=213.0),
    Varied(f"{FREE}rocker_pivot.from_start", 190, 205, start=198.0),
)
ASKED = (
    quantity("leverage", at="start"),
    quantity("leverage", at="sag"),
    quantity("leverage", at=75.0),
    quantity("leverage_slope", at="end"),
    quantity("travel"),
    quantity("mean_leverage"),
    quantity("progression"),
    quantity("kickback"),
    quantity("kickback_from_sag", gear=(32, 24)),
    quantity("chain_growth", at=60.0, gear=(32, 50)),
    quantity("wheelbase_growth"),
    quantity("chainstay_growth", at="sag"),
    quantity("trail", stance="sag"),
)


def study(demo: str, varied: tuple[Varied, ...], **more: object) -> Study:
    """A study that every design fails at the start of the leverage, so that it goes no further."""
    wishes = (between(ASKED[0], 100.0), *(between(one) for one in ASKED[1:]))
    return study_of(demo, varied, wishes=wishes, **more)  # type: ignore[arg-type]


def some(of: Study, count: int) -> list[Design]:
    """Random designs, the same every time."""
    random = np.random.default_rng(11)
    return [within(of.varied, random) for _ in range(count)]


def told_of(of: Study, designs: list[Design], size: str | None = None) -> int:
    """How many designs are told of at once."""
    evaluator = Evaluator(of)
    wanted = [one.quantity for one in of.wishes]
    batch = LinkageBatch(of, Designs(of), size, wanted)
    makings = [evaluator.making(design, size) for design in designs]
    return sum(one is not None for one in batch.told(designs, makings))


def one_by_one(of: Study, designs: list[Design]) -> list[str]:
    """Rows of designs that are evaluated alone."""
    evaluator = Evaluator(of)
    return [evaluator.evaluate([design])[0].text() for design in designs]


@pytest.mark.parametrize(
    ("demo", "varied"), first(1, [("trail_full_140", TRAIL), ("enduro_170_mixed", ENDURO)])
)
def test_rows_are_the_same_byte_for_byte(demo: str, varied: tuple[Varied, ...]) -> None:
    of = study(demo, varied)
    designs = some(of, 40)
    together = Evaluator(of).evaluate(designs)
    assert [one.text() for one in together] == one_by_one(of, designs)
    fine = sum(one.fault is None for one in together)
    assert fine > 20
    assert fine - 5 <= told_of(of, designs) <= fine


def test_values_that_move_the_frame_and_lists() -> None:
    """Each design has a chart and tubes of its own, or one of two shocks."""
    shocks = Varied("suspension.shock.size", values=("210x52.5", "210x55"), start="210x52.5")
    chart = Varied("geometry.reach", 470, 490, start=480.0)
    of = study("trail_full_140", (chart, TRAIL[0], shocks))
    designs = some(of, 12)
    together = [one.text() for one in Evaluator(of).evaluate(designs)]
    assert together == one_by_one(of, designs)
    assert told_of(of, designs) > 6


def test_what_locks_or_misses_is_told_as_ever() -> None:
    """Far from the demo: shocks that do not fit, links that lock, a wheel that goes down."""
    far = (
        Varied(f"{FREE}rocker_rear.above", -200, 200, start=32.0),
        Varied(f"{FREE}rocker_shock.forward", -60, 60, start=-14.5),
    )
    of = study("trail_full_140", far)
    designs = some(of, 24)
    together = Evaluator(of).evaluate(designs)
    assert [one.text() for one in together] == one_by_one(of, designs)
    assert len({one.rejected_by for one in together}) > 2


def test_a_search_goes_on_with_what_was_found() -> None:
    prefer = (Preference("mass", quantity("mass"), least=True),)
    wishes = (
        between(quantity("leverage", at="end"), 2.0),
        between(quantity("anti_rise", at="sag")),
    )
    of = study_of("trail_full_140", TRAIL, wishes=wishes, preferences=prefer)
    designs = some(of, 9)
    evaluator = Evaluator(of, reject=False)
    together = [one.text() for one in evaluator.evaluate(designs)]
    alone = Evaluator(of, reject=False)
    assert together == [alone.evaluate([design])[0].text() for design in designs]
    assert sum("anti_rise.sag" in text for text in together) > 3


def test_every_size_is_followed() -> None:
    demo = "families/trail_full"
    sizes = variants_of(study_of(demo, ()).bike_text).sizes[:2]
    of = study(demo, TRAIL[:2], sizes=sizes)
    designs = some(of, 9)
    together = [one.text() for one in Evaluator(of).evaluate(designs)]
    assert together == one_by_one(of, designs)
    assert all(told_of(of, designs, size) > 5 for size in sizes)


def test_a_given_centre_of_mass_decides_anti_squat_early() -> None:
    wish = between(quantity("anti_squat", at="sag", gear=(32, 24)), 300.0)
    of = study_of("trail_full_140", TRAIL, wishes=(wish,))
    text = of.bike_text.replace(
        "  sag: 30%  ", "  rear_share: 64%\n  centre_of_mass_height: 1100\n  sag: 30%  "
    )
    assert text != of.bike_text
    of = Study(**{**of.__dict__, "bike_text": text})
    designs = some(of, 10)
    together = Evaluator(of).evaluate(designs)
    assert {one.stage for one in together} == {"linkage"}
    fine = [one for one in together if one.fault is None]
    assert [one.text() for one in together] == one_by_one(of, designs)
    assert len(fine) - 2 <= told_of(of, designs) <= len(fine)
    whole = Evaluator(of).making(fine[0].design).values("placement", [wish.quantity])[0]
    assert fine[0].values[wish.label] == pytest.approx(whole, rel=1e-8)


def test_what_only_the_solver_of_one_tells() -> None:
    """A gear that the bike does not have, a travel that it does not reach, a value out of bounds."""
    of = study_of(
        "trail_full_140", TRAIL, wishes=(between(quantity("kickback", gear=(30, 24)), 0),)
    )
    assert told_of(of, some(of, 8)) == 0
    of = study_of("trail_full_140", TRAIL, wishes=(between(quantity("leverage", at=160.0), 0),))
    assert told_of(of, some(of, 8)) == 0
    of = study("trail_full_140", TRAIL)
    outside: list[Design] = [(95.0, -8.0, 32.0, 40.0), (73.0, 1e-7, 32.0, 40.0)]
    assert told_of(of, outside) == 0
    wide = (Varied(f"{FREE}rocker_rear.above", 20, 2000, start=32.0),)
    of = study("trail_full_140", wide)
    assert not LinkageBatch(of, Designs(of), None, ASKED).moved
