"""The demo bikes with rear suspension, and the starters: solved, with plausible curves, checked, built.

The other two starters of ``frame3d new --suspension`` are the demos under another name: see
tests/parameters/test_starter.py.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.travel import TravelAnalysis, over_travel
from frame3d.clearance.check import check
from tests.frames import demo, demo_solids
from tests.sampling import first

CONFIGS = Path(__file__).parent.parent / "configs"
DEMOS = ("trail_full_140", "enduro_170_mixed")
BIKES = (*DEMOS, "single-pivot")
TRAVEL = dict(zip(BIKES, (140, 170, 120), strict=True))
LENGTH = dict(zip(BIKES, (210, 230, 190), strict=True))
SAG = dict(zip(BIKES, (0.30, 0.30, 0.28), strict=True))


def layout(name: str) -> Bike:
    """A bike, solved."""
    return demo(name)


@cache
def travelled(name: str) -> TravelAnalysis:
    """Its curves at 51 travels."""
    return over_travel(layout(name), 51)


@pytest.mark.parametrize("name", BIKES)
def test_travel_and_shock_come_out_as_wished(name: str) -> None:
    linkage = layout(name).linkage
    assert linkage is not None
    assert linkage.full_travel == pytest.approx(TRAVEL[name], abs=1e-6)
    a, b = (np.array(linkage.drawn[point]) for point in linkage.shock)
    assert float(np.linalg.norm(b - a)) == pytest.approx(LENGTH[name], abs=1e-6)
    assert [n.message for n in layout(name).notes if n.code == "warning"] == []


@pytest.mark.parametrize("name", BIKES)
def test_leverage(name: str) -> None:
    """Between 3.2 and 2.2 and falling (but for a hundredth), by a tenth at least where a rocker shapes it:
    common practice, no source. Its mean over the stroke is travel over stroke, by its definition.
    """
    curves = travelled(name).curves
    assert curves.leverage.max() < 3.2
    assert curves.leverage.min() > 2.2
    rest = np.maximum.accumulate(curves.leverage[::-1])[::-1]
    assert (rest - curves.leverage).max() < 0.01
    least = 0.1 if name in DEMOS else 0.0
    assert least < curves.progression < 0.35
    assert curves.mean_leverage == pytest.approx(TRAVEL[name] / curves.stroke[-1])


@pytest.mark.parametrize("name", BIKES)
def test_the_spring_carries_the_rider_at_the_sag_asked_for(name: str) -> None:
    """Sag as asked; the end of the travel at three to six times the load, the wheel rate growing over the
    last fifth: common practice, no source.
    """
    found, curves = travelled(name), travelled(name).curves
    sprung = found.sprung
    assert sprung.found is not None
    assert sprung.found.stroke_share == pytest.approx(SAG[name], abs=1e-6)
    forces, load = curves.forces, sprung.load
    assert forces is not None
    assert load is not None
    assert 3 < forces.bottom_out_wheel / load < 6
    pushes = forces.wheel_force > 0  # none at full extension where air has rested at the sag
    assert (curves.travel[~pushes] < 0.1 * TRAVEL[name]).all()
    assert (np.diff(forces.wheel_force[pushes]) > 0).all()
    last = curves.travel >= 0.8 * curves.travel[-1]
    assert (np.diff(forces.wheel_rate[last]) > 0).all()
    assert found.sprung.notes == ()
    rates = [coil.rate_lb_in for coil in sprung.sold]
    assert bool(rates) == (name == "enduro_170_mixed")
    assert rates == sorted(rates)


@pytest.mark.parametrize("name", BIKES)
def test_pedalling_and_braking(name: str) -> None:
    """Anti-squat 90 to 130 % at sag in a middle gear, more in a smaller cog; anti-rise 40 to 110 %; the
    cranks turn back less than 30 degrees over the whole travel in the middle gear: common practice, no
    source.
    """
    found = travelled(name)
    curves = found.curves
    assert found.sag is not None
    at_sag = int(np.abs(curves.travel - found.sag.travel).argmin())
    cogs = [cog for _, cog in curves.gears]
    squats = [gear.anti_squat[at_sag] for gear in curves.gears.values()]
    assert 90 < squats[cogs.index(24)] < 130
    assert squats == sorted(squats, reverse=True)
    assert 40 < curves.anti_rise[at_sag] < 110
    for gear in curves.gears.values():
        assert gear.chain_growth[0] == 0
        assert (np.diff(gear.chain_growth) > 0).all()
    middle = curves.gears[32, 24]
    assert 0 < middle.crank_rotation[-1] < 30
    since = middle.crank_rotation_from_sag
    assert since is not None
    turned = np.interp(found.sag.travel, curves.travel, middle.crank_rotation)
    assert since == pytest.approx(middle.crank_rotation - turned, abs=2e-3)


@pytest.mark.parametrize("name", BIKES)
def test_every_check_holds(name: str) -> None:
    """Over all of rear travel, fork travel, steering and cranks; nothing is left out that is there."""
    report = check(layout(name))
    short = [f"{r.name} {r.between} {r.margin:.2f}" for r in report.results if not r.ok]
    assert short == []
    made = {result.name for result in report.results}
    assert {"links_to_frame", "shock_to_frame", "rear_tyre_to_frame", "chain_to_frame"} <= made
    assert {unchecked.name for unchecked in report.unchecked} <= {
        "bottle_to_frame",
        "bottle_to_parts",
        "own_to_parts",
        "links_to_links",
    }
    tightest = {r.at["rear"] for r in report.results if "rear" in r.at}
    assert max(tightest) == pytest.approx(TRAVEL[name], abs=1e-3)


@pytest.mark.parametrize("name", first(1, BIKES))
def test_it_builds(name: str) -> None:
    """Solids of every tube and of what the links turn on; each rigid body in one piece but for the
    plates of a link without tubes.
    """
    model = demo_solids(name)
    links = {body.link for body in model.bodies}
    suspension = layout(name).spec.suspension
    assert suspension is not None
    assert links == {None if link == "frame" else link for link in suspension.links}
    assert [note.message for note in model.notes] == []
    assert (
        1500 < model.mass < 4500
    )  # bare frames of aluminium and steel: common practice, no source
    for part in model.parts:
        assert part.volume == pytest.approx(model.meshes[part.name].volume, rel=0.01), part.name
