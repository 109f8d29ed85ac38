"""Exchanged parts: the same frame carries them, and the bike is that of a file that says so."""

from __future__ import annotations

import copy
import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from frame3d.bike.bike import Bike
from frame3d.bike.exchange import as_built, exchange, exchange_values, redesign
from frame3d.bike.solve import solve
from frame3d.bike.travel import over_travel
from frame3d.clearance.check import check
from frame3d.clearance.scene import scene_of
from frame3d.errors import SpecError
from frame3d.parameters.models.frame import FrameSpec
from frame3d.tubes.mass import masses_of
from tests.bike.same_bike import file_of, turned

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
@settings(max_examples=4, deadline=None, derandomize=True)
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

    name = "trail_hardtail_29"
    data = raw(name)
    changes = {"build.fork.axle_to_crown": fork_of(data) + 12, "build.rear_wheel.tyre": "57-584"}
    other = tmp_path / f"{name}.yaml"
    other.write_text(json.dumps(file_of(exchanged(data, changes), data, changes)))
    swaps = [f"{path}={value}" for path, value in changes.items()]
    ours = verb_documents(CONFIGS / f"{name}.yaml", tmp_path / "ours", swaps)
    theirs = verb_documents(other, tmp_path / "theirs")
    assert set(ours) == set(theirs)
    for verb, document in ours.items():
        # What is cut for a print in whole degrees, or is an area in mm², counts by its share.
        same_numbers(document, theirs[verb], 0.02, verb, 1e-3 if verb == "mockup" else 1e-6)
