"""What quantities need of a bike's file."""

from __future__ import annotations

import pytest

from frame3d.explore.study.needs import beyond_chart, gear_fault, has_rear_sag, lack_of
from frame3d.explore.study.quantities import KINDS
from frame3d.parameters import loads
from tests.explore.study.faults import FULL, HARDTAIL

SPRUNG = loads(FULL)
RIGID = loads(HARDTAIL)


@pytest.mark.parametrize("name", KINDS)
def test_the_full_suspension_bike_lacks_nothing(name: str) -> None:
    assert lack_of(name, SPRUNG, "sag", stance_sag=KINDS[name].stage == "chart") is None


@pytest.mark.parametrize("name", [name for name, kind in KINDS.items() if kind.needs])
def test_a_hardtail_lacks_the_suspension(name: str) -> None:
    lack = lack_of(name, RIGID, None, stance_sag=False)
    assert lack is not None
    assert lack.what == "no rear suspension"


def test_without_chain_spring_top_tube_or_sag() -> None:
    def without(key: str) -> str:
        spec = loads(FULL, sets=[f"{key}=null"])
        name = {"build.cassette": "kickback", "suspension.spring": "wheel_rate"}[key]
        lack = lack_of(name, spec, "end", stance_sag=False)
        assert lack is not None
        return f"{lack.what}: {lack.way}"

    assert without("build.cassette") == "no chain: describe build.cassette"
    assert without("suspension.spring") == "no rear spring: describe suspension.spring"
    bare = loads(
        HARDTAIL, sets=["tubes.top_tube=null", "build.fork.sag=0%", "build.fork.spring=null"]
    )
    lack = lack_of("standover", bare, None, stance_sag=False)
    assert lack is not None
    assert "top_tube" in lack.what
    lack = lack_of("trail", bare, "sag", stance_sag=True)
    assert lack is not None
    assert lack.what == "nothing that sags"


def test_the_rear_sags_as_the_file_says_or_by_its_spring_under_a_rider() -> None:
    assert has_rear_sag(SPRUNG)
    assert not has_rear_sag(RIGID)
    assert not has_rear_sag(loads(FULL, sets=["suspension.sag=null", "suspension.spring=null"]))


def test_standover_under_a_straight_top_tube_is_the_charts() -> None:
    assert not beyond_chart("trail", SPRUNG)
    bent = loads(FULL, sets=["tubes.top_tube.bends=[{along: 300, rise: 10, radius: 300}]"])
    assert beyond_chart("standover", bent)
    assert not beyond_chart("standover", loads(HARDTAIL)) or "top_tube" in RIGID.tubes


@pytest.mark.parametrize(
    ("name", "gear", "varied", "wrong"),
    [
        ("leverage", None, (), None),
        ("leverage", (32, 24), (), "is the same in every gear"),
        ("kickback", None, (), None),
        ("kickback", (32, 24), (), None),
        ("anti_squat", None, (), "depends on the gear"),
        ("anti_squat", (34, 24), (), "is asked in a gear that the bike has not, 34x24"),
        ("anti_squat", (34, 24), ("build.chainring.teeth",), None),
        (
            "anti_squat",
            (32, 25),
            ("geometry.reach",),
            "is asked in a gear that the bike has not, 32x25",
        ),
    ],
)
def test_gears(
    name: str, gear: tuple[int, int] | None, varied: tuple[str, ...], wrong: str | None
) -> None:
    found = gear_fault(KINDS[name], gear, SPRUNG, varied)
    assert (None if found is None else found.what) == wrong
