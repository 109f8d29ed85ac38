"""The demo families: every size is a bike that holds, and grows as a rider's bike does."""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from pathlib import Path

import jsonschema
import pytest
from ruamel.yaml import YAML

from frame3d.bike.bike import Bike
from frame3d.bike.choice import Choice, solve_choice
from frame3d.clearance.check import check
from frame3d.parameters.models.variants import Variants
from frame3d.parameters.reading.reader import variants_of
from frame3d.parameters.reading.schema import schema
from tests.hardening.running import SMALL
from tests.sampling import EVERY_CASE
from tests.verbs import verb_documents

FOLDER = Path(__file__).parent.parent / "configs" / "families"
FILES = {path.stem: path.read_text("utf-8") for path in sorted(FOLDER.glob("*.yaml"))}
SIZES = {"trail_full": ("S", "M", "L", "XL", "XXL"), "trail_hardtail": ("S", "M", "L", "XL")}


@cache
def offered(name: str) -> Variants:
    return variants_of(FILES[name], name)


@cache
def bike(name: str, size: str, setting: str | None = None) -> Bike:
    settings = () if setting is None else (setting,)
    return solve_choice(FILES[name], name, Choice(size, settings)).bike


def test_there_are_five_sizes_and_four() -> None:
    assert {name: offered(name).sizes for name in FILES} == SIZES


@pytest.mark.parametrize("name", SIZES)
def test_the_file_is_as_its_schema_wants(name: str) -> None:
    plain = YAML(typ="safe", pure=True).load(FILES[name])
    assert list(jsonschema.Draft202012Validator(schema()).iter_errors(plain)) == []


@pytest.mark.parametrize("name", SIZES)
def test_sizes_grow(name: str) -> None:
    """Reach, stack, front centre and wheelbase, and the rider, from each size to the next."""
    for small, large in pairwise(bike(name, size) for size in SIZES[name]):
        for figure in ("reach", "stack", "front_centre", "wheelbase", "seat_tube_length"):
            a, b = small.chart[figure], large.chart[figure]
            assert a is not None
            assert b is not None
            assert a < b, figure
        assert small.spec.build.rider is not None
        assert large.spec.build.rider is not None
        assert small.spec.build.rider.height < large.spec.build.rider.height  # type: ignore[operator]


@pytest.mark.parametrize("name", SIZES)
def test_no_size_or_setting_is_warned_of(name: str) -> None:
    for size in SIZES[name]:
        for setting in (None, *offered(name).settings):
            notes = bike(name, size, setting).notes
            assert [n.message for n in notes if n.code == "warning"] == [], (size, setting)


CHECKED = [
    (name, size, setting)
    for name in SIZES
    for size in SIZES[name]
    for setting in (None, *offered(name).settings)
]
EVERYDAY = [("trail_hardtail", "XL", "long_fork"), ("trail_full", "S", "mixed")]


@pytest.mark.parametrize(("name", "size", "setting"), CHECKED if EVERY_CASE else EVERYDAY)
def test_every_clearance_holds(name: str, size: str, setting: str | None) -> None:
    report = check(bike(name, size, setting))
    assert [r.name for r in report.results if not r.ok] == []


def test_every_verb_sees_the_size_and_its_setting(tmp_path: Path) -> None:
    """Asked by name, or by the same values as changes of the design and exchanges: one bike.

    The plate of the scale model bears the name of the size, and the page has tables of sizes and settings,
    so these two are left out.
    """
    family = tmp_path / "family.yaml"
    long = "{build.fork.axle_to_crown: {S: 541, L: 551}}"
    family.write_text(
        f"{SMALL.read_text('utf-8')}\nsizes:\n  S:\n  L: {{geometry.reach: 480}}\nsettings:\n  long: {long}\n"
    )
    by_name = verb_documents(
        family, tmp_path / "a", [("--size", "L"), ("--setting", "long")], ["mockup", "report"]
    )
    by_hand = verb_documents(
        SMALL,
        tmp_path / "b",
        [("--set", "geometry.reach=480"), ("--swap", "build.fork.axle_to_crown=551")],
        ["mockup", "report"],
    )
    assert by_name == by_hand
