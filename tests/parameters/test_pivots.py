"""Hardware at the rear suspension's points: what the file may say, and what does not go together."""

from __future__ import annotations

import pytest

from frame3d.errors import SpecError
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.pivots import PivotSpec, chips
from frame3d.parameters.reading.reader import loads

BIKE = """\
format: 1
name: Pivots
geometry: {}
suspension:
  points: {main_pivot: [0, 60], front: [150, 90], rear: [-50, 100], brace: [-80, 140]}
  links: {frame: [main_pivot, front], arm: [main_pivot, rear, brace]}
  axle: {on: arm}
  shock: {start: front, end: rear, size: 210x55}
"""


def pivots(text: str) -> FrameSpec:
    return loads(f"{BIKE}  pivots: {text}\n", "bike.yaml")


def test_every_value_may_be_left_out() -> None:
    spec = pivots("{main_pivot: {}, rear: {}}")
    assert spec.suspension is not None
    assert spec.suspension.pivots["main_pivot"] == PivotSpec(housing=None)
    bare = loads(BIKE, "bike.yaml").suspension
    assert bare is not None
    assert bare.pivots == {}


def test_every_value_is_taken() -> None:
    values = {"housing": "arm", "y": 30.0, "width": 14.0, "od": 28.0, "axle": 10.0, "plate": 8.0}
    text = ", ".join(f"{key}: {value}" for key, value in values.items())
    values["bearing"] = {"od": 22.0, "width": 7.0}
    values["chip"] = "frame"
    text += ", bearing: {od: 22, width: 7}, chip: frame"
    spec = pivots(f"{{main_pivot: {{{text}}}}}")
    assert spec.suspension is not None
    assert spec.suspension.pivots["main_pivot"].model_dump() == values


FAULTS = {
    "no such point": ("{main: {}}", "not-allowed", "pivots.main", "no point main", "main_pivot"),
    "nothing turns": ("{brace: {}}", "inconsistent", "pivots.brace", "on arm alone", "second link"),
    "chip elsewhere": (
        "{main_pivot: {chip: axle}}",
        "inconsistent",
        "pivots.main_pivot.chip",
        "no point of axle",
        "one of frame, arm",
    ),
    "housing elsewhere": (
        "{main_pivot: {housing: axle}}",
        "inconsistent",
        "pivots.main_pivot.housing",
        "no point of axle",
        "one of frame, arm",
    ),
    "housing at the shock": (
        "{rear: {housing: arm}}",
        "inconsistent",
        "pivots.rear.housing",
        "the shock's eye",
        "width",
    ),
    "two eyes": ("{front: {y: 20}}", "inconsistent", "pivots.front.y", "the shock's eye", "width"),
    "unknown key": (
        "{main_pivot: {axel: 12}}",
        "unknown-key",
        "pivots.main_pivot.axel",
        "unknown key",
        "axle",
    ),
    "no thickness": (
        "{main_pivot: {plate: 0}}",
        "out-of-range",
        "pivots.main_pivot.plate",
        "0",
        "0",
    ),
}


@pytest.mark.parametrize("name", FAULTS)
def test_faults(name: str) -> None:
    text, code, path, words, way = FAULTS[name]
    with pytest.raises(SpecError) as caught:
        pivots(text)
    (fault,) = caught.value.faults
    assert (fault.code, fault.path) == (code, f"suspension.{path}")
    assert words in fault.message
    assert way in fault.hint
    assert fault.place is not None
    assert fault.place.line == 9


@pytest.mark.parametrize(
    ("pivot", "point", "bodies"),
    [
        ("{}", "main_pivot", ("arm",)),
        ("{main_pivot: {housing: arm}}", "main_pivot", ("frame",)),
        ("{main_pivot: {chip: frame}}", "main_pivot", ("frame",)),
        ("{}", "front", ("frame",)),
        ("{}", "rear", ("arm",)),
        ("{}", "brace", ("arm",)),
    ],
)
def test_an_exchanged_position_lies_in_the_body_with_lugs(
    pivot: str, point: str, bodies: tuple[str, ...]
) -> None:
    suspension = pivots(pivot).suspension
    assert suspension is not None
    assert chips(suspension, point) == bodies


def test_a_point_that_every_bike_has_cannot_be_exchanged() -> None:
    about = BIKE.replace("main_pivot: [0, 60], ", "").replace("main_pivot", "bottom_bracket")
    with pytest.raises(SpecError) as caught:
        loads(f"{about}  pivots: {{bottom_bracket: {{chip: arm}}}}\n", "bike.yaml")
    (fault,) = caught.value.faults
    assert (fault.code, fault.path) == ("inconsistent", "suspension.pivots.bottom_bracket.chip")
    assert "no point of the file's own" in fault.message
