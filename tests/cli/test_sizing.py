"""``frame3d sizes``: what is asked for, told, and refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.hardening.running import SMALL, run

FAMILY = Path(__file__).parents[2] / "configs" / "families" / "trail_hardtail.yaml"


def test_table_and_sentence() -> None:
    ended = run("sizes", FAMILY, "--rider-height", "1850", "--inseam", "885")
    assert ended.status == 0
    assert "L is drawn for the nearest rider, as tall" in ended.out
    assert "Drawn for a rider of [mm]" in ended.out
    assert "no claim about strength" in ended.out


def test_the_files_own_rider_and_plain_data() -> None:
    ended = run("sizes", FAMILY, "--json", "--setting", "long_fork")
    document = json.loads(ended.out)
    assert document["rider"]["height"] == 1765
    assert list(document["sizes"]) == ["S", "M", "L", "XL"]
    assert document["nearest"] == "M"
    assert document["sentence"] in run("sizes", FAMILY, "--setting", "long_fork").out


def test_a_rider_for_whom_nothing_holds() -> None:
    ended = run("sizes", FAMILY, "--rider-height", "1250", "--inseam", "560")
    assert ended.status == 1
    assert "No size holds all that was checked" in ended.out
    assert "Falls short:" in ended.out


@pytest.mark.parametrize(
    ("file", "options", "message"),
    [
        (SMALL, (), "the file has no sizes"),
        (FAMILY, ("--size", "M"), "leave --size out"),
        (FAMILY, ("--rider-height", "nan"), "no finite number"),
        (FAMILY, ("--rider-height", "1500", "--inseam", "1200", "--set", "build.rider=null"), ""),
        (FAMILY, ("--rider-height", "1000", "--inseam", "1100"), "longer than the rider is tall"),
        (FAMILY, ("--setting", "quick"), "there is no setting quick"),
        (FAMILY, ("--grip-reach", "450"), "give --grip-stack too"),
        (FAMILY, ("--grip-stack", "700"), "give --grip-reach too"),
    ],
)
def test_bad_input(file: Path, options: tuple[str, ...], message: str) -> None:
    ended = run("sizes", file, *options)
    assert ended.status in ((2,) if message else (1, 2))
    assert message in ended.err + ended.out


def test_a_size_that_fails_is_told_by_name() -> None:
    ended = run("sizes", FAMILY, "--set", "sizes.XL.geometry.reach=900")
    assert ended.status == 2
    assert "900 is above 800 mm" in ended.err
    assert "All that was checked holds on S, M, L" in ended.out


def test_hands_that_are_given() -> None:
    ended = run("sizes", FAMILY, "--json", "--grip-reach", "450", "--grip-stack", "700")
    document = json.loads(ended.out)
    assert document["grips"] == {"reach": 450, "stack": 700, "as_on": None}
    assert document["sizes"]["S"]["cockpit"]["reached"] is True
    assert document["sizes"]["XL"]["cockpit"]["reached"] is False
