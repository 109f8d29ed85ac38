"""The worker's jobs, in this process: what they post, in which order, and their faults."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from frame3d.bike.choice import Choice
from frame3d.errors import FrameError
from frame3d.live.comparing.comparison import Measured
from frame3d.live.work.jobs import run
from frame3d.live.work.worker import Replaced
from frame3d.report.texts import texts
from tests.live.serving import SMALL
from tests.report.samples import CONFIGS

MINIMAL = (CONFIGS / "minimal.yaml").read_text("utf-8")
TEXT = SMALL.read_text("utf-8")


class Posts:
    """What a job has posted."""

    def __init__(self) -> None:
        self.all: list[tuple[str, Any]] = []

    def __call__(self, kind: str, what: Any) -> None:
        self.all.append((kind, what))

    def of(self, kind: str) -> list[Any]:
        return [what for one, what in self.all if one == kind]


def test_a_check_posts_its_verdict_and_curves_then_what_would_mend() -> None:
    posts = Posts()
    run("check", (MINIMAL, Choice(), "bike.yaml", "en"), posts)
    kinds = [kind for kind, _ in posts.all if kind != "progress"]
    assert kinds == ["checks", "curves", "ride", "measured", "checks"]
    for checks in posts.of("checks"):
        assert set(checks) == {"verdict", "clearances", "checks", "failing", "ok"}
        assert checks["failing"] == sum(not check["ok"] for check in checks["checks"])
        assert checks["ok"] == (checks["failing"] == 0)
    (curves,) = posts.of("curves")
    assert curves == {"curves": "", "plots": [], "poses": []}  # nothing moves
    stages = [stage for stage, _ in posts.of("progress")]
    assert list(dict.fromkeys(stages)) == ["check", "tracks"]  # and nothing to mend
    assert all(0 <= share <= 1 for _, share in posts.of("progress"))
    assert all(texts().get(f"live.state.{stage}") for stage in stages)


def test_a_check_posts_how_the_bike_rides() -> None:
    """The sections of the page of the same file."""
    hardtail = (CONFIGS / "trail_hardtail_29.yaml").read_text("utf-8")

    def until_ride(text: str) -> dict[str, Any]:
        posts = Posts()

        def enough(kind: str, what: Any) -> None:
            posts(kind, what)
            if kind == "ride":
                raise Replaced

        with pytest.raises(Replaced):
            run("check", (text, Choice(), "bike.yaml", "en"), enough)
        assert posts.of("checks")
        return dict(posts.of("ride")[0])

    made = until_ride(hardtail)
    for key in ("rider", "fit", "slopes", "springs", "damping", "steering"):
        assert f'class="of-{key}"' in made["ride"]
    assert made["plots"]


def test_curves_of_a_suspension_come_before_its_solids_and_not_from_its_checks(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Two processes share the work, so that neither clearances nor curves wait for the other."""
    suspended = (CONFIGS / "trail_full_140.yaml").read_text("utf-8")
    posts = Posts()

    def enough(kind: str, what: Any) -> None:
        posts(kind, what)
        if kind in ("curves", "checks") or posts.of("progress")[-1] == ("solids", 0.0):
            raise Replaced

    with pytest.raises(Replaced):
        run("solids", (suspended, Choice(), "bike.yaml", "en"), enough)
    assert [kind for kind, _ in posts.all] == ["progress", "curves"]
    assert posts.of("progress") == [("curves", 0.0)]
    assert posts.of("curves")[0]["plots"]


def test_a_bike_is_measured_for_a_comparison_also_after_an_exchange() -> None:
    found: list[Measured] = []
    for swaps in ((), ("build.front_wheel.tyre=71-622",)):
        posts = Posts()
        run("measure", (TEXT, Choice(swaps=swaps), "bike.yaml"), posts)
        found += posts.of("measured")
    old, new = found
    assert old.grams is not None
    assert 1000 < old.grams < 4000
    assert old.grams == new.grams
    name = "front_tyre_to_frame"
    assert old.gaps[name].least > new.gaps[name].least > 0
    assert old.gaps[name].required > 0


def test_a_bike_without_tubes_has_a_model_and_no_masses() -> None:
    posts = Posts()
    run("solids", (MINIMAL, Choice(), "bike.yaml", "en"), posts)
    assert Counter(kind for kind, _ in posts.all if kind != "progress") == {"model": 1}
    (model,) = posts.of("model")
    assert set(model) == {"glb", "scene"}
    names = [part["name"] for part in model["scene"]["parts"]]
    assert len(names) == len(set(names))


def test_a_frame_has_its_model_first_and_then_its_masses() -> None:
    posts = Posts()
    run("solids", (TEXT, Choice(), "bike.yaml", "en"), posts)
    assert [kind for kind, _ in posts.all if kind != "progress"] == ["model", "masses"]
    (model,), (masses,) = posts.of("model"), posts.of("masses")
    assert model["glb"][:4] == b"glTF"
    assert masses["parts"] == 5
    assert f"{masses['grams']:.0f} g" in masses["masses"]


def test_an_output_says_what_it_has_written(tmp_path: Path) -> None:
    posts = Posts()
    run("output", ("report", MINIMAL, Choice(), "bike.yaml", tmp_path), posts)
    ((written,),) = posts.of("written")
    assert written == "report.html"
    assert (tmp_path / written).is_file()


@pytest.mark.parametrize("kind", ["check", "solids"])
def test_a_text_that_makes_no_bike_is_a_fault(kind: str) -> None:
    posts = Posts()
    with pytest.raises(FrameError):
        run(kind, (MINIMAL.replace("reach:", "raech:"), Choice(), "bike.yaml", "en"), posts)
    assert posts.all == []


def test_there_is_no_such_job() -> None:
    with pytest.raises(KeyError):
        run("bake", (), Posts())
