"""Files that once made a command fail with an error of its own: each ends as a fault with its line."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from frame3d.bike.solve import solve
from frame3d.errors import Fault, SpecError, TubeError
from frame3d.parameters.reading.reader import load, loads
from tests.hardening.running import CASES, SMALL, is_fault, run
from tests.sampling import diagonal

ODD = ("{}", "[]", "{on: {}}", "[[a]]", "null", "1.0e+300", "yes", '""', "{a: {b: c}}", "9" * 400)
"""Values of other kinds than wanted."""


@pytest.mark.parametrize(
    ("case", "says", "line"),
    [
        ("mapping_where_a_name_stands", "tubes.top_tube.start.on: a mapping of keys is no text", 3),
        ("point_on_tube_on_point", "circle: main_pivot → pivot_strut → main_pivot", 43),
        ("bend_of_no_radius", "1.0e-301 is too small", 30),
        ("wall_of_nothing", "5.0e-324 is too small", 36),
    ],
)
def test_case(case: str, says: str, line: int) -> None:
    file = CASES / f"{case}.yaml"
    ended = run("solve", file)
    assert is_fault(ended, file)
    assert says in ended.err
    assert f"{file}:{line}:" in ended.err


ANYWHERE = [
    "tubes.top_tube.start.on",
    "tubes.top_tube.start",
    "tubes.top_tube.link",
    "tubes.top_tube",
    "tubes",
    "suspension.points",
    "suspension.points.main_pivot.on",
    "suspension.points.main_pivot",
    "suspension.links",
    "suspension.links.frame",
    "suspension.links.frame.0",
    "suspension.axle.on",
    "suspension.shock.start",
    "suspension.shock",
    "suspension.pivots",
    "suspension",
    "build.bodies",
    "build.fork",
    "material",
    "name",
]


@pytest.mark.parametrize(("path", "value"), diagonal(3, ANYWHERE, ODD))
def test_value_of_another_kind(path: str, value: str) -> None:
    """Anywhere that a name or keys are wanted, beside another fault, which asks more of the rest."""
    file = CASES / "point_on_tube_on_point.yaml"
    for also in ((), ("geometry.reach=far",), ("suspension.sag=1",), ("tubes.down_tube.od=x",)):
        faults: Sequence[Fault] = ()
        try:
            load(file, sets=(f"{path}={value}", *also))
        except SpecError as error:
            faults = error.faults
        assert all(fault.message and fault.place for fault in faults)


@pytest.mark.parametrize(
    ("point", "tube", "circle"),
    [
        ("main_pivot", "on_it", True),  # directly
        ("main_pivot", "beside", True),  # through another tube
        ("rocker_pivot", "on_it", False),  # the tube waits for another point
    ],
)
def test_point_on_a_tube_that_waits_for_points(point: str, tube: str, circle: bool) -> None:
    """The way from the point back to it is shown, or to the point that its tube ends on."""
    text = (CASES / "point_on_tube_on_point.yaml").read_text(encoding="utf-8")
    text = text.replace("main_pivot: {on: pivot_strut, from_start: 73}", "main_pivot: [10, 60]")
    text = text.replace("pivot_strut:", "on_it:").replace(
        "suspension:\n",
        "  beside: {start: {on: on_it, from_start: 40}, end: {on: down_tube, from_start: 80}, "
        "od: 20, wall: 1}\nsuspension:\n",
    )
    spec = loads(
        text, "bike.yaml", sets=(f"suspension.points.{point}={{on: {tube}, from_start: 30}}",)
    )
    with pytest.raises(TubeError) as caught:
        solve(spec)
    (fault,) = [f for f in caught.value.faults if f.path == f"suspension.points.{point}.on"]
    assert fault.code == "junction-cycle"
    assert fault.hint
    assert f"{point} → {tube} → " in fault.message
    assert fault.message.endswith("→ main_pivot")
    assert ("circle" in fault.message) == circle


SMALLEST_OF = ("tubes.down_tube.wall", "tubes.down_tube.od")
SMALLEST = ("1.0e-6", "0.0001", "0.01")


@pytest.mark.parametrize("value", ["1.0e-7", "-1.0e-300", "5.0e-324", "0.0000000001"])
@pytest.mark.parametrize(
    "path", ["tubes.top_tube.wall", "tubes.top_tube.od", "geometry.head_tube_length"]
)
def test_lengths_just_above_nothing(path: str, value: str) -> None:
    with pytest.raises(SpecError) as caught:
        load(SMALL, sets=(f"{path}={value}",))
    (fault,) = [fault for fault in caught.value.faults if fault.path == path]
    assert fault.code == "out-of-range"
    assert "too small" in fault.message


@pytest.mark.parametrize(
    ("verb", "path", "value"),
    diagonal(4, ["solve --mass", "fabricate", "mockup --no-stand"], SMALLEST_OF, SMALLEST),
)
def test_the_smallest_lengths_that_are_read(
    path: str, value: str, verb: str, tmp_path: Path
) -> None:
    words = verb.split()
    out = ("-o", tmp_path) if words[0] != "solve" else ()
    more = ("--set", "tubes.down_tube.wall=solid") if path.endswith("od") else ()
    ended = run(*words, SMALL, *more, "--set", f"{path}={value}", *out, "-q")
    assert ended.status in (0, 1, 2)
    assert "Traceback" not in ended.err


def test_chainring_inside_its_shell(tmp_path: Path) -> None:
    """The scale model says which part nothing is left of, not how far the model may be tipped."""
    file = CASES / "chainring_in_shell.yaml"
    ended = run("mockup", file, "-o", tmp_path)
    assert is_fault(ended, file)
    assert "nothing is left of chainring" in ended.err
    assert "nan" not in ended.err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("number", ["nan", "inf", "-inf", "1e999", "NaN"])
@pytest.mark.parametrize(
    "option",
    [
        "check --tolerance",
        "check --near",
        "build --tolerance",
        "build --at rear=",
        "build --at steer=",
        "mockup --length",
        "mockup --wall",
        "mockup --rod",
        "mockup --fit",
        "mockup --turn",
        "mockup --scale",
        "mockup --bed 200x200x",
        "solve --set geometry.reach=",
        "solve --swap build.fork.offset=",
        "live --port",
    ],
)
def test_option_that_is_no_finite_number(option: str, number: str, tmp_path: Path) -> None:
    verb, name, *head = option.split()
    value = "".join(head) + number
    out = ("-o", tmp_path) if verb in ("build", "mockup") else ()
    assert is_fault(run(verb, SMALL, f"{name}={value}", *out))
