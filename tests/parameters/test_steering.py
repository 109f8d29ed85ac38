"""How far the bar turns: the first stop holds, and a narrower range is said to be one."""

from __future__ import annotations

from hypothesis import example, given, settings
from hypothesis import strategies as st

from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.steering import WHOLE, steering_of

ANGLES = st.one_of(st.none(), st.integers(20, 175).map(float))


def spec(headset: float | None, bumper: float | None, asked: float | None) -> FrameSpec:
    build: dict[str, object] = {"headset": {"stop": headset}}
    if bumper is not None:
        build["bumper"] = {"on": "boom", "stop": bumper}
    boom = {"start": {"at": [0, 0, 0]}, "end": {"at": [0, 0, 9]}, "od": 20, "wall": 1}
    return FrameSpec.model_validate(
        {
            "format": 1,
            "name": "T",
            "geometry": {},
            "build": build,
            "tubes": {"boom": boom},
            "clearance": {"steering": asked},
        }
    )


@settings(max_examples=60, deadline=None)
@given(ANGLES, ANGLES, st.one_of(st.none(), st.integers(0, 180).map(float)))
@example(80.0, 80.0, None)
@example(None, None, 180.0)
@example(None, 75.0, 75.0)
def test_the_first_stop_holds(
    headset: float | None, bumper: float | None, asked: float | None
) -> None:
    found = steering_of(spec(headset, bumper, asked))
    stops = [stop for stop in (headset, bumper) if stop is not None]
    turns = min(stops, default=WHOLE)
    assert found.turns == turns
    assert found.checked == min(turns, turns if asked is None else asked)
    assert found.partly == (found.checked < turns)
    assert (found.by == "nothing") == (not stops)
    if found.by == "headset":
        assert headset == turns
    if found.by == "bumper":
        assert bumper == turns
        assert found.bumper_on == "boom"
        assert "the bumper on boom" in found.says
    assert ("was not checked" in found.says) == found.partly
    assert found.by == "nothing" or f"{turns:g}°" in found.says
    assert not found.partly or f"{asked:g}°" in found.says
