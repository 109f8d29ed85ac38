"""Exchanged parts: the same frame carries them, and the bike is that of a file that says so."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML
from scipy.optimize import brentq

from frame3d.bike.bike import Bike
from frame3d.bike.exchange import as_built, exchange, exchange_values, redesign
from frame3d.bike.solve import solve
from frame3d.bike.travel import over_travel
from frame3d.clearance.check import check, run_checks
from frame3d.clearance.scene import scene_of
from frame3d.cli.commands import main
from frame3d.errors import FrameError, SpecError
from frame3d.parameters import load
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.change import value_at
from frame3d.tubes.hardware import Housing, LinkPlate
from frame3d.tubes.mass import masses_of
from tests.bike.same_bike import file_of, turned
from tests.bike.single import MINIMAL, SINGLE
from tests.hardening.running import SMALL
from tests.sampling import EVERY_CASE

CONFIGS = Path(__file__).parents[2] / "configs"
TOLERANCE = 0.01
CLOSE = 1e-9
"""How well the turned file describes the tubes [mm]."""
DEMOS = ("trail_hardtail_29", "adventure_rigid", "trail_full_140")


def raw(name: str) -> dict[str, Any]:
    data = YAML(typ="safe", pure=True).load((CONFIGS / f"{name}.yaml").read_text())
    assert isinstance(data, dict)
    return data


def level(name: str) -> dict[str, Any]:
    """A demo's data without `rise` in the bends of its paired tubes, its bridges round.

    A rise is square to the line between a tube's ends, and upward. Where that line leans sideways, no
    file says the same direction in axes turned with the frame. An oval tube across the bike is upright
    in its own file, and turned on a frame that has pitched.
    """
    data = raw(name)
    for key, tube in data["tubes"].items():
        if key.endswith("bridge") and isinstance(tube["od"], dict):
            tube["od"] = tube["od"]["height"]
        if tube.get("pair"):
            for bend in tube.get("bends", ()):
                bend.pop("rise", None)
    return data


def bike(data: dict[str, Any]) -> Bike:
    return solve(FrameSpec.model_validate(data))


def exchanged(data: dict[str, Any], changes: dict[str, Any]) -> Bike:
    out = copy.deepcopy(data)
    for path, value in changes.items():
        *way, last = path.split(".")
        here = out
        for key in way:
            here = here.setdefault(key, {})
        here[last] = value
    return exchange(bike(data), FrameSpec.model_validate(out), tuple(changes))


def fork_of(data: dict[str, Any]) -> float:
    length = data["build"]["fork"]["axle_to_crown"]
    assert isinstance(length, int | float)
    return float(length)


def mm(low: int, high: int) -> st.SearchStrategy[float]:
    return st.integers(10 * low, 10 * high).map(lambda n: n / 10)


@st.composite
def exchanges(draw: st.DrawFn, data: dict[str, Any]) -> dict[str, Any]:
    """One to four parts of a bike exchanged for others."""
    fork = fork_of(data)
    parts = {
        "build.fork.axle_to_crown": mm(-20, 20).map(lambda by: fork + by),
        "build.fork.offset": mm(37, 55),
        "build.headset.angle": st.sampled_from([-1.0, -0.5, 0.5, 1.0]),
        "build.headset.lower_stack": mm(0, 14),
        "build.front_wheel.tyre": st.sampled_from(["50-622", "57-622", "57-584", "65-584"]),
        "build.rear_wheel.tyre": st.sampled_from(["50-622", "57-622", "57-584", "65-584"]),
        "build.seatpost.saddle_height": mm(680, 780),
        "build.crank.length": st.sampled_from([160.0, 165.0, 175.0]),
        "build.chainring.teeth": st.sampled_from([28, 30, 34]),
        "build.stem.length": st.sampled_from([35.0, 50.0]),
        "build.rider.inseam": mm(780, 880),
    }
    paths = draw(st.lists(st.sampled_from(sorted(parts)), min_size=1, max_size=4, unique=True))
    return {path: draw(parts[path]) for path in paths}


def same_numbers(a: Any, b: Any, close: float, way: str = "", share: float = 0.0) -> None:
    """Documents that say the same, numbers within `close` or a share of themselves."""
    if isinstance(a, dict):
        assert set(a) == set(b), way
        for key in a:
            same_numbers(a[key], b[key], close, f"{way}.{key}", share)
    elif isinstance(a, list | tuple):
        assert len(a) == len(b), way
        for i, (x, y) in enumerate(zip(a, b, strict=True)):
            same_numbers(x, y, close, f"{way}.{i}", share)
    elif isinstance(a, int | float) and not isinstance(a, bool):
        assert b == pytest.approx(a, abs=close, rel=share), way
    else:
        assert a == b, way


@pytest.mark.parametrize("name", DEMOS)
@settings(max_examples=4 if EVERY_CASE else 2, deadline=None, derandomize=True)
@given(data=st.data())
def test_an_exchange_is_the_bike_of_the_file_that_says_the_same(
    name: str, data: st.DataObject
) -> None:
    own = level(name)
    changes = data.draw(exchanges(own))
    ours = exchanged(own, changes)
    theirs = bike(file_of(ours, own, changes))
    same_numbers(dict(ours.chart), dict(theirs.chart), 1e-8)
    assert set(ours.nodes) == set(theirs.nodes)
    for node, at in ours.nodes.items():
        assert np.abs(np.subtract(at, theirs.nodes[node])).max() < 1e-9, node
    for tube in ours.tubes:
        other = theirs.tube(tube.name)
        s = np.linspace(0.0, tube.axis.length, 9)
        assert np.abs(tube.axis.points(s) - other.axis.points(s)).max() < CLOSE, tube.name
        if abs(tube.axis.tangent(0.0)[1]) < 0.9:  # across, a section is upright in its own file
            assert np.abs(tube.axis.frames(s)[1] - other.axis.frames(s)[1]).max() < CLOSE
        assert tube.cut_by == other.cut_by
    assert masses_of(ours.frame).total == pytest.approx(masses_of(theirs.frame).total, rel=5e-5)
    assert (ours.sagged is None) == (theirs.sagged is None)
    if ours.sagged is not None and theirs.sagged is not None:
        same_numbers(dict(ours.sagged.chart), dict(theirs.sagged.chart), 1e-6)
    if ours.linkage is not None:
        mine, other_travel = over_travel(ours), over_travel(theirs)
        same_numbers(mine.charts, other_travel.charts, 1e-6)
        assert mine.curves.leverage == pytest.approx(other_travel.curves.leverage, abs=1e-6)
        centre, other_centre = mine.sprung.weight.centre, other_travel.sprung.weight.centre
        assert centre == pytest.approx(other_centre, abs=1e-2)
    gaps, others = gaps_of(ours), gaps_of(theirs)
    assert set(gaps) == set(others)
    for key, gap in gaps.items():
        assert gap == pytest.approx(others[key], abs=TOLERANCE), key


def gaps_of(ours: Bike) -> dict[tuple[str, ...], float]:
    """Gap of each pair checked. A bike is the same on both sides, so either side may be reported."""
    return {
        (r.name, *(re.sub("_(left|right)$", "", name) for name in r.between or ())): r.gap
        for r in check(ours, tolerance=TOLERANCE).results
    }


def test_the_worst_case_is_seen_by_check() -> None:
    """A fork 25 mm shorter puts the tyre into the crown, whichever way it is asked."""
    data = raw("trail_hardtail_29")
    short = {"build.fork.axle_to_crown": fork_of(data) - 25}

    def crown(layout: Bike) -> float:
        results = check(layout).results
        wanted = ("front_tyre", "fork_crown")
        return next(r.gap for r in results if r.between == wanted)

    built = crown(exchanged(data, short))
    data["build"]["fork"]["axle_to_crown"] = short["build.fork.axle_to_crown"]
    assert built == pytest.approx(crown(bike(data)), abs=0.02)
    assert built < 0


def test_nothing_exchanged_is_the_same_bike() -> None:
    data = raw("trail_hardtail_29")
    same = exchanged(data, {"build.fork.offset": data["build"]["fork"]["offset"]})
    assert same.frame.pitch == pytest.approx(0, abs=1e-12)
    change = as_built(bike(data), same).change
    assert max(abs(c) for c in change.values() if c is not None) < 1e-9


def test_there_and_back_is_the_same_bike() -> None:
    data = raw("trail_full_140")
    first = bike(data)
    there = exchange_values(first, {"build.rear_wheel.tyre": "57-584"})
    back = exchange_values(there, {"build.rear_wheel.tyre": data["build"]["rear_wheel"]["tyre"]})
    assert back.frame.pitch == pytest.approx(0, abs=1e-10)
    for node, at in first.nodes.items():
        assert np.abs(np.subtract(at, back.nodes[node])).max() < 1e-8


def test_what_is_fixed_to_frame_fork_and_steering_stays_there() -> None:
    """Own bodies in drawn coordinates keep their place on what carries them."""
    data = raw("trail_hardtail_29")
    data["build"]["bodies"] = {
        "guard": {"kind": "capsule", "at": [200, 0, 100], "axis": [1, 0, 1], "diameter": 20,
                  "length": 60},
        "lamp": {"kind": "box", "at": [500, 0, 700], "size": [30, 40, 50], "fixed_to": "steering"},
        "mudguard": {"kind": "capsule", "at": [700, 60, 300], "axis": [0, 0, 1], "diameter": 12,
                     "length": 80, "fixed_to": "fork"},
    }  # fmt: skip
    before, after = bike(data), exchanged(data, {"build.fork.axle_to_crown": fork_of(data) + 40})

    def origin(layout: Bike, name: str) -> np.ndarray[Any, np.dtype[np.float64]]:
        body = scene_of(layout).body(name)
        assert body is not None
        return np.array(body.shapes[0].origin)

    def off(layout: Bike, name: str, node: str) -> float:
        return float(np.linalg.norm(origin(layout, name) - layout.nodes[node]))

    x, z = turned(after, 200.0, 100.0)
    assert origin(after, "guard")[[0, 2]] == pytest.approx([x, z], abs=1e-9)
    for node in ("crown_race", "head_tube_top"):
        assert off(after, "lamp", node) == pytest.approx(off(before, "lamp", node), abs=1e-9)
    assert off(after, "mudguard", "front_axle") == pytest.approx(
        off(before, "mudguard", "front_axle"), abs=1e-9
    )
    # The longer fork carries the mudguard away from the crown.
    assert off(after, "mudguard", "crown_race") > off(before, "mudguard", "crown_race") + 20


def test_a_design_change_keeps_the_exchanged_parts() -> None:
    data = raw("trail_hardtail_29")
    longer = {"build.fork.axle_to_crown": fork_of(data) + 20}
    out = redesign(exchanged(data, longer), {"geometry.reach": 470.0})
    data["geometry"]["reach"] = 470.0
    wanted = exchanged(data, longer)
    assert out.chart == wanted.chart
    # A value of the exchanged part itself is that part's.
    again = redesign(out, {"build.fork.axle_to_crown": fork_of(data) + 10})
    assert again.frame.spec.build.fork == out.frame.spec.build.fork
    wanted = exchanged(data, {"build.fork.axle_to_crown": fork_of(data) + 10})
    assert again.chart["head_tube_angle"] == pytest.approx(wanted.chart["head_tube_angle"])


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        ("build.rear_wheel.hub", "142x12", "built for 148 x 12 mm"),
        ("build.seatpost.diameter", 30.9, "built for 31.6 mm"),
        ("build.headset.upper", "EC34/28.6", "the frame is built for"),
    ],
)
def test_a_part_of_another_size_does_not_go_on_the_frame(
    path: str, value: object, said: str
) -> None:
    with pytest.raises(SpecError) as caught:
        exchanged(raw("trail_hardtail_29"), {path: value})
    (fault,) = caught.value.faults
    assert fault.path == path
    assert said in fault.message


def test_documents_of_file_and_exchange_read_the_same(tmp_path: Path) -> None:
    """Through the commands, as a user asks them."""
    from tests.verbs import verb_documents

    file = CONFIGS / "trail_hardtail_29.yaml" if EVERY_CASE else SMALL
    data = YAML(typ="safe", pure=True).load(file.read_text())
    changes = {"build.fork.axle_to_crown": fork_of(data) + 12, "build.rear_wheel.tyre": "57-584"}
    other = tmp_path / file.name
    other.write_text(json.dumps(file_of(exchanged(data, changes), data, changes)))
    swaps = [f"{path}={value}" for path, value in changes.items()]
    ours = verb_documents(file, tmp_path / "ours", [("--swap", swap) for swap in swaps])
    theirs = verb_documents(other, tmp_path / "theirs")
    assert set(ours) == set(theirs)
    for verb, document in ours.items():
        # What is cut for a print in whole degrees, or is an area in mm², counts by its share.
        same_numbers(document, theirs[verb], 0.02, verb, 1e-3 if verb == "mockup" else 1e-6)


# The rear suspension: flip chips, and shocks of other sizes.

CHIP = {"suspension.points.rocker_rear.above": 35.0}
MIXED = {
    "build.rear_wheel.tyre": "61-584",
    "suspension.points.shock_front.offset": 45.0,
    "suspension.shock.size": "210x50",
    "build.fork.axle_to_crown": 565.0,
}
"""A smaller wheel behind, a chip in the shock's mount on the frame, another stroke, a longer fork."""


def side(point: tuple[float, ...]) -> complex:
    return complex(point[0], point[-1])


@pytest.mark.parametrize("tyre", ["61-622", "61-584"])
def test_a_chip_on_a_four_bar_by_bars_circles_and_level_ground(tyre: str) -> None:
    """By scipy alone: the rocker from the shock's length, the chainstay from the bar between both pivots,
    the pitch from two wheels on one level. What is taken from here are points and sizes as designed.
    """
    first = bike(raw("trail_full_140"))
    assert first.linkage is not None
    p = {name: complex(*at) for name, at in first.linkage.drawn.items()}
    main, top, mount = p["main_pivot"], p["rocker_pivot"], p["shock_front"]
    hole = top + complex(-100, 35)  # in the rocker; the seatstay keeps its own
    bar = p["rocker_rear"] - p["rear_pivot"]

    def rocker(turn: float) -> complex:
        return np.exp(1j * turn) * (p["rocker_shock"] - top) + top - mount

    def root(f: Callable[[float], float]) -> float:
        """The one next to 0 within a radian."""
        grid = np.linspace(-1.0, 1.0, 401)
        signs = np.sign([f(x) for x in grid])
        at = min(np.flatnonzero(signs[1:] != signs[:-1]), key=lambda i: abs(grid[i]))
        return float(brentq(f, grid[at], grid[at + 1], xtol=1e-15, rtol=1e-14))

    def axle(length: float) -> complex:
        turn = root(lambda x: abs(rocker(x)) - length)
        end = top + np.exp(1j * turn) * (hole - top)
        stay = root(
            lambda x: abs(main + np.exp(1j * x) * (p["rear_pivot"] - main) - end) - abs(bar)
        )
        low = main + np.exp(1j * stay) * (p["rear_pivot"] - main)
        return complex(low + (end - low) / bar * (p["rear_axle"] - p["rear_pivot"]))

    size = {"61-622": 622 / 2 + 61, "61-584": 584 / 2 + 61}
    front, radius = side(first.nodes["front_axle"]), size[tyre]

    def pitched(turn: float) -> tuple[complex, complex]:
        return axle(210.0) * np.exp(1j * turn), front * np.exp(1j * turn)

    def level(turn: float) -> float:
        rear, ahead = pitched(turn)
        return float((rear.imag - radius) - (ahead.imag - size["61-622"]))

    turn = root(level)
    rear, ahead = pitched(turn)
    ours = exchange_values(first, {**CHIP, "build.rear_wheel.tyre": tyre})
    assert ours.linkage is not None
    assert abs(side(ours.nodes["rear_axle"]) - rear) < 1e-6
    assert abs(side(ours.nodes["front_axle"]) - ahead) < 1e-6
    assert abs(complex(*ours.linkage.drawn["rear_axle"]) - rear) < 1e-6
    assert ours.frame.pitch == pytest.approx(np.degrees(turn), abs=1e-8)
    assert ours.chart["bb_height"] == pytest.approx(radius - rear.imag, abs=1e-6)
    assert ours.chart["chainstay_length"] == pytest.approx(abs(rear), abs=1e-6)
    angle = first.chart["head_tube_angle"]
    assert angle is not None
    assert ours.chart["head_tube_angle"] == pytest.approx(angle - np.degrees(turn), abs=1e-7)
    for stroke in (20.0, 52.5):
        end = axle(210.0 - stroke) * np.exp(1j * turn)
        at = float(ours.linkage.at_strokes(np.array([stroke])).travel[0])
        assert at == pytest.approx(end.imag - rear.imag, abs=1e-6)


def holes(ours: Bike) -> Iterator[tuple[str, str, complex]]:
    """Where each body has its points, told by its metal: (point, body, place)."""
    for part in ours.pivots:
        link = "frame" if part.link is None else part.link
        if isinstance(part, LinkPlate):
            yield from ((boss.pivot, link, complex(boss.x, boss.z)) for boss in part.bosses)
        else:
            yield part.pivot, link, side(part.at if isinstance(part, Housing) else part.axle)
    for dropout in ours.dropouts:
        yield "rear_axle", str(dropout.link), side(dropout.axle)


@pytest.mark.parametrize(
    ("changes", "chip"),
    [(CHIP, ("rocker_rear", "rocker")), (MIXED, ("shock_front", "frame"))],
)
def test_metal_of_every_body_meets_at_the_pivots(
    changes: dict[str, Any], chip: tuple[str, str]
) -> None:
    """Every hole but the chip's is where the linkage has the point; the chip's metal is as made."""
    ours = exchanged(raw("trail_full_140"), changes)
    assert ours.linkage is not None
    seen = set()
    for point, body, at in holes(ours):
        off = abs(at - complex(*ours.linkage.drawn[point]))
        seen.add((point, body))
        assert off > 2 if (point, body) == chip else off < 1e-9, (point, body)
    assert chip in seen
    assert len(seen) > 8


def test_a_tube_keeps_its_place_in_its_link() -> None:
    """Distances of the stays from the holes of their own link are those of the design."""
    first = bike(raw("trail_full_140"))
    ours = exchange_values(first, MIXED)
    assert first.linkage is not None
    assert ours.linkage is not None
    for before, after in zip(first.tubes, ours.tubes, strict=True):
        s = np.linspace(0.0, before.axis.length, 5)
        for point in first.linkage.bodies["frame" if before.link is None else before.link]:
            if point != "shock_front":
                a, b = (
                    np.array([x, 0.0, z])
                    for x, z in (first.linkage.drawn[point], ours.linkage.drawn[point])
                )
                told = np.linalg.norm(before.axis.points(s) - a, axis=1)
                now = np.linalg.norm(after.axis.points(s) - b, axis=1)
                assert now == pytest.approx(told, abs=1e-9), (before.name, point)


def test_chips_and_shock_there_and_back_is_the_design() -> None:
    first = bike(raw("trail_full_140"))
    there = exchange_values(exchange_values(first, CHIP), MIXED)
    assert there.exchanged == (*CHIP, *MIXED)
    own = {path: value_at(first.spec, path) for path in there.exchanged}
    back = exchange_values(there, own)
    assert back.frame.pitch == pytest.approx(0, abs=1e-10)
    assert back.frame.links == {}
    for node, at in first.nodes.items():
        assert np.abs(np.subtract(at, back.nodes[node])).max() < 1e-9
    assert first.linkage is not None
    assert back.linkage is not None
    assert back.linkage.leverage == pytest.approx(first.linkage.leverage, abs=1e-12)


def test_the_order_of_exchanges_does_not_matter() -> None:
    first = bike(raw("trail_full_140"))
    wanted = exchange_values(first, {**CHIP, **MIXED})
    for order in (list(MIXED), list(reversed(MIXED))):
        ours = exchange_values(first, CHIP)
        for path in order:
            ours = exchange_values(ours, {path: MIXED[path]})
        assert ours.chart == wanted.chart
        assert ours.nodes == wanted.nodes
        assert ours.frame.links == wanted.frame.links
        assert ours.designed == first


def test_a_design_change_keeps_the_chip() -> None:
    data = raw("trail_full_140")
    out = redesign(exchanged(data, CHIP), {"geometry.reach": 470.0})
    data["geometry"]["reach"] = 470.0
    wanted = exchanged(data, CHIP)
    assert out.chart == wanted.chart
    assert out.frame.links == wanted.frame.links
    # A value of the exchanged point is the chip's, not the frame's.
    again = redesign(out, {"suspension.points.rocker_rear.above": 34.0})
    assert again.designed is not None
    assert again.designed.chart == bike(data).chart
    assert again.chart == exchanged(data, {"suspension.points.rocker_rear.above": 34.0}).chart


def test_a_chip_on_the_frame_is_the_bike_of_a_file_with_the_points_that_come_out() -> None:
    data = YAML(typ="safe", pure=True).load(MINIMAL + SINGLE)
    changes = {
        "suspension.points.shock_front": [154.0, 243.0],
        "geometry.rear_wheel_radius": 350.0,
    }
    ours = exchanged(data, changes)
    assert ours.linkage is not None
    theirs_data = copy.deepcopy(data)
    theirs_data["geometry"] = {figure: ours.chart[figure] for figure in data["geometry"]}
    for name in theirs_data["suspension"]["points"]:
        theirs_data["suspension"]["points"][name] = list(ours.linkage.drawn[name])
    theirs = bike(theirs_data)
    same_numbers(dict(ours.chart), dict(theirs.chart), 1e-8)
    mine, other = over_travel(ours), over_travel(theirs)
    same_numbers(mine.charts, other.charts, 1e-6)
    assert ours.linkage.full_travel != pytest.approx(bike(data).linkage.full_travel, abs=0.1)  # type: ignore[union-attr]
    for curve in ("leverage", "axle", "anti_rise", "wheelbase", "pitch"):
        a, b = getattr(mine.curves, curve), getattr(other.curves, curve)
        assert a == pytest.approx(b, abs=1e-6), curve


def test_what_is_fixed_to_a_link_stays_on_it() -> None:
    """The caliper on its stays, and an own body in drawn coordinates on the rocker."""
    data = raw("trail_full_140")
    data["build"]["bodies"] = {
        "guard": {"kind": "capsule", "at": [-60, 40, 320], "axis": [1, 0, 1], "diameter": 10,
                  "length": 30, "fixed_to": "rocker"},
    }  # fmt: skip
    first, ours = bike(data), exchanged(data, MIXED)

    def seen(layout: Bike, name: str) -> tuple[complex, complex]:
        body = scene_of(layout).body(name)
        assert body is not None
        shape = body.shapes[0]
        return side(shape.origin), side(shape.axes[2])

    for name, link in (("guard", "rocker"), ("rear_caliper", "seatstay_link")):
        (at, way), (now, turned_way) = seen(first, name), seen(ours, name)
        motion = ours.frame.motion(link)
        assert motion.turn != pytest.approx(ours.frame.pitch, abs=0.1)
        assert abs(complex(*motion.side((at.real, at.imag))) - now) < 1e-9
        assert abs(way * np.exp(1j * np.radians(motion.turn)) - turned_way) < 1e-12


def test_check_and_commands_see_the_chip(capsys: pytest.CaptureFixture[str]) -> None:
    """A chip far forward puts the shock's shaft into the seat tube behind the rocker."""
    data = raw("trail_full_140")
    chip = {"suspension.points.shock_front.offset": 46.0}
    first = bike(data)
    ours = exchange_values(first, chip)

    def shaft(layout: Bike) -> float:
        scene = scene_of(layout)
        results = run_checks(scene, names=frozenset({"shock_to_frame"})).results
        return min(r.gap for r in results if r.between == ("shock_shaft", "seat_tube"))

    assert shaft(first) > 3
    assert shaft(ours) < 0
    file = CONFIGS / "trail_full_140.yaml"
    with pytest.raises(SystemExit):
        main(["solve", str(file), "--swap", "suspension.points.shock_front.offset=46", "--json"])
    document = json.loads(capsys.readouterr().out)
    for node, at in ours.nodes.items():
        assert document["nodes"][node] == pytest.approx(list(at), abs=1e-8), node
    assert document["as_built"]["pitch"] == pytest.approx(ours.frame.pitch, abs=1e-8)


def test_a_point_that_the_design_searched_may_be_given_in_another_way() -> None:
    """By x and z instead of along a tube: the same place is the same bike."""
    first = bike(raw("trail_full_140"))
    assert first.linkage is not None
    x, z = first.linkage.drawn["shock_front"]
    same = exchange_values(first, {"suspension.points.shock_front": [x, z]})
    assert same.frame.links == {}
    off = exchange_values(first, {"suspension.points.shock_front": [x + 3, z + 4]})
    assert off.linkage is not None
    (note,) = (note for note in off.notes if note.code == "exchanged")
    assert "5.00 mm" in note.message
    found = off.linkage.moved
    assert ("shock_front", "from_start") not in found
    assert found["rocker_shock", "above"] == first.linkage.moved["rocker_shock", "above"]
    again = redesign(off, {"geometry.reach": 475.0})
    assert again.chart["reach"] != off.chart["reach"]


@pytest.mark.parametrize(
    ("swaps", "path", "said"),
    [
        (
            [
                "suspension.shock={start: shock_front, end: rocker_shock, eye_to_eye: 320, stroke: 9}"
            ],
            "suspension.shock",
            "shock_front come in line",
        ),
        (
            ["suspension.shock={start: rocker_shock, end: shock_front, size: 210x50}"],
            "suspension.shock",
            "not its ends",
        ),
        (["suspension.travel=150"], "suspension.travel", "or suspension.points"),
        (["suspension.shock.eye_width=40"], "suspension.shock.eye_width", "built for 30 mm"),
    ],
)
def test_what_cannot_be_exchanged_is_said_with_its_swap(
    swaps: list[str], path: str, said: str
) -> None:
    file = CONFIGS / "trail_full_140.yaml"
    with pytest.raises(FrameError) as caught:
        exchange(solve(load(file)), load(file, swaps=swaps), [path])
    fault = caught.value.faults[0]
    assert fault.path == path
    assert said in f"{fault.message} {fault.hint}"
    assert fault.place is not None
    assert fault.place.source == f"--swap {swaps[0]}"
