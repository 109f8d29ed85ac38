"""What fits: true at the answer, false one further, and nothing else spoilt."""

from __future__ import annotations

import math
import re

from ruamel.yaml import YAML

from frame3d.bike.seatpost import seatpost_of
from frame3d.bike.solve import solve
from frame3d.clearance.advice.fits import Fit, what_fits
from frame3d.clearance.check import run_checks
from frame3d.clearance.scene import Scene, scene_of
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.reader import load
from tests.clearance.test_check import DEMO, scene_with


def fit_of(scene: Scene, what: str) -> Fit:
    (found,) = what_fits(scene, names=frozenset({what}))
    return found


def test_what_fits_is_true_at_the_answer_and_false_one_further(scene: Scene) -> None:
    fits = {f.what: f for f in what_fits(scene)}
    rear = fits["widest rear tyre"]
    assert rear.largest is not None
    width = int(rear.largest.split("-")[0])
    assert width >= 61
    only = frozenset({"rear_tyre_to_frame", "chain_to_rear_tyre", "saddle_to_rear_tyre"})
    for w, ok in ((width, True), (width + 1, False)):
        tried = scene.with_parts({"build.rear_wheel.tyre": f"{w}-622"})
        assert run_checks(tried, names=only).ok is ok
    within = fits["most fork travel within its length"]
    assert within.limited_by.startswith("front_tyre")
    with_it = fits["most fork travel, its length with it"]
    assert with_it.largest is not None
    assert within.largest is not None
    travel, length = (float(n) for n in re.findall(r"[\d.]+", with_it.largest))
    assert length - 535 == travel - 130  # the demo's fork
    assert travel > float(within.largest.split()[0])
    longer = {"build.fork.travel": travel, "build.fork.axle_to_crown": length}
    front = frozenset({"front_tyre_to_frame", "front_tyre_to_fork", "fork_to_frame"})
    assert run_checks(scene.with_parts(longer), names=front).ok
    assert set(fits) == {
        "widest rear tyre",
        "widest front tyre",
        "largest chainring",
        "longest crank",
        "most fork travel within its length",
        "most fork travel, its length with it",
        "most seatpost travel",
    }


def test_what_fits_spoils_no_other_check() -> None:
    """An own body behind the seat tube, which only the check of the file's own bodies knows."""
    data = YAML(typ="safe", pure=True).load(DEMO.read_text("utf-8"))
    peg = {"kind": "capsule", "at": [-50, 0, 60], "axis": [0, 1, 0], "diameter": 4, "length": 30}
    plain = scene_of(solve(load(DEMO)))
    widest = fit_of(plain, "widest rear tyre")
    data["build"]["bodies"] = {"peg": peg}
    scene = scene_of(solve(FrameSpec.model_validate(data)))
    tight = fit_of(scene, "widest rear tyre")
    assert widest.largest is not None
    assert tight.largest is not None
    width = int(tight.largest.split("-")[0])
    assert width < int(widest.largest.split("-")[0])
    assert "peg" in tight.limited_by
    for w, ok in ((width, True), (width + 1, False)):
        tried = scene.with_parts({"build.rear_wheel.tyre": f"{w}-622"})
        assert run_checks(tried, names=frozenset({"own_to_parts"})).ok is ok


def test_what_fits_starts_from_the_present_size() -> None:
    """The smallest rings' chain would run into the stay: that does not hide the larger ones that fit."""
    whole = scene_of(solve(load(DEMO.with_name("trail_full_140.yaml"))))
    names = frozenset({"chainring_to_frame", "chain_to_frame", "chainring_to_ground"})

    def holds(teeth: int) -> bool:
        tried = whole.with_parts({"build.chainring.teeth": teeth})
        return run_checks(tried, names=names).ok

    assert not holds(18)
    assert holds(32)
    ring = fit_of(whole, "largest chainring")
    assert ring.now == "32 teeth"
    assert ring.largest is not None
    largest = int(ring.largest.split()[0])
    assert largest >= 32
    assert holds(largest)
    assert not holds(largest + 1)


def test_the_longest_travel_is_the_same_everywhere() -> None:
    """Where the tyre is far, what fits is what `solve` says, in steps of 5 mm."""
    for sets in ((), ("build.seatpost.insertion=340",), ("build.seatpost.head_height=61",)):
        scene = scene_with(*sets, "clearance.skip=[saddle_to_rear_tyre]")
        post = seatpost_of(scene.bike)
        assert post is not None
        assert post.longest_travel is not None
        fit = fit_of(scene, "most seatpost travel")
        assert fit.largest == f"{5 * math.floor(post.longest_travel.value / 5 + 1e-9):g} mm"
