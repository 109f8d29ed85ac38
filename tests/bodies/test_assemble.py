"""All parts of a bike, what is absent and what would give it, and faults with their lines."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from frame3d.bike.solve import solve
from frame3d.bodies import Absent, bodies_of, carried_bodies
from frame3d.errors import SpecError
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.reader import load, loads
from frame3d.parameters.reading.schema import schema
from tests.bodies.bike import TEXT, bodies, layout, text

CONFIGS = Path(__file__).parents[2] / "configs"
NAMES = {
    "front_tyre", "rear_tyre", "front_rim", "rear_rim", "front_hub", "rear_hub", "front_rotor",
    "rear_rotor", "rear_caliper", "chainring", "cassette", "chain", "crank_arm", "crank_swept", "pedal",
    "shoe", "fork_crown", "fork_knob", "fork_leg", "fork_lower", "fork_arch", "fork_axle", "stem",
    "handlebar", "brake_lever", "seatpost", "saddle", "bottle",
}  # fmt: skip
"""Every part that a file can give, besides its own bodies."""

BARE = (
    TEXT[: TEXT.index("build:")]
    + """\
  fork_axle_to_crown: 529
  fork_offset: 44
  lower_headset_stack: 4
  front_wheel_radius: 372
  rear_wheel_radius: 372
"""
)


def bare(build: dict[str, Any] | None = None) -> tuple[Absent, ...]:
    data = loads(BARE).model_dump(exclude_unset=True)
    data["build"] = build or {}
    pole = {"start": {"at": [0.0, 0.0, 0.0]}, "end": {"at": [300.0, 0.0, 300.0]}}
    data["tubes"] = {"pole": {**pole, "od": 30.0, "wall": 1.0}}
    return bodies_of(solve(FrameSpec.model_validate(data))).absent


def test_a_file_that_gives_everything_has_every_part() -> None:
    found = bodies()
    assert found.absent == ()
    for name in NAMES:
        assert any(b.name == name or b.name.startswith(f"{name}_") for b in found.bodies), name


def test_what_pictures_need_is_the_same_without_the_frame() -> None:
    for bike in (layout(), solve(load(CONFIGS / "trail_full_140.yaml"))):
        every, carried = bodies_of(bike), carried_bodies(bike)
        assert carried.absent == every.absent
        own = [body.name for body in every.bodies if body.family == "frame"]
        assert {"down_tube", "bottom_bracket"} <= set(own)
        names = [body.name for body in every.bodies if body.family != "frame" and body.drawn]
        assert [body.name for body in carried.bodies if body.drawn] == names
        for body in carried.bodies:
            assert repr(body) == repr(every.body(body.name))  # swings are equal to themselves only


def test_an_own_body_may_touch_a_run_of_chain_that_is_not_drawn() -> None:
    guide = "box: {kind: box, fixed_to: frame, at: [0, 0, 0], size: [9, 9, 9], touches: [%s]}"
    run = next(b.name for b in bodies().bodies if b.name.startswith("chain_upper") and not b.drawn)
    bike = layout(("build:\n", f"build:\n  bodies: {{{guide % run}}}\n"))
    assert carried_bodies(bike).body("box").touches[0] == run
    with pytest.raises(SpecError, match="there is no body named 'chain_upper_0_0'"):
        carried_bodies(layout(("build:\n", f"build:\n  bodies: {{{guide % 'chain_upper_0_0'}}}\n")))


def test_an_own_body_cannot_have_a_tubes_name_in_pictures_either() -> None:
    own = "down_tube: {kind: box, fixed_to: frame, at: [0, 0, 0], size: [9, 9, 9]}"
    bike = layout(("build:\n", f"build:\n  bodies: {{{own}}}\n"))
    for made in (bodies_of, carried_bodies):
        with pytest.raises(SpecError, match="down_tube is a part of the bike already"):
            made(bike)


def test_a_bare_chart_has_none_and_lists_every_one() -> None:
    absent = bare()
    assert {a.name for a in absent} == NAMES
    assert len(absent) == len(NAMES)


def test_following_what_is_missing_leads_to_every_part() -> None:
    """Give the key that each absent part asks for, and ask again, until nothing is absent."""
    build: dict[str, Any] = {}
    asked: set[str] = set()
    for _ in range(8):
        absent = bare(build)
        if not absent:
            break
        for key in sorted({k for a in absent for k in a.needs.split(" and ")}):
            assert key not in asked, f"{key} was given and is asked for again"
            asked.add(key)
            give(build, key.split(".")[1:])
    assert not bare(build)


EXAMPLES: dict[str, Any] = {
    "fork": {"travel": 130.0},
    "cassette": {"cogs": [11, 28]},
    "chainring": {"teeth": 32},
    "stem": {"length": 45.0},
    "saddle_height": 720.0,
    "rider": {"mass_kg": 80.0},
}


def give(build: dict[str, Any], keys: list[str]) -> None:
    """Put the schema's example of a key into the file, and what its mapping cannot be without."""
    here = build
    for i, key in enumerate(keys):
        if i == len(keys) - 1:
            here.setdefault(key, copy.deepcopy(EXAMPLES.get(key, example(keys))))
        else:
            here = here.setdefault(key, copy.deepcopy(EXAMPLES.get(key, {})))


def example(keys: list[str]) -> Any:
    if keys == ["bottles"]:
        return [{"on": "pole", "from_start": 20.0}]
    made = schema()
    model = made["$defs"]["BuildSpec"]
    for key in keys:
        value = model["properties"][key]
        if "examples" in value:
            return value["examples"][0]
        refs = [o["$ref"] for o in value["anyOf"] if "$ref" in o]
        model = made["$defs"][refs[0].rpartition("/")[2]]
    return {}


def test_names_are_unique_and_paths_are_in_the_file() -> None:
    found = bodies().bodies
    names = [b.name for b in found]
    assert len(set(names)) == len(names)
    spec = layout().spec
    for b in found:
        assert spec.place(b.part) is not None
        assert b.part.startswith(("build.", "tubes."))
        for solid in (*b.shapes, *b.tubes):
            assert solid.name == b.name
    known = set(names) | {"top_tube"}
    for b in found:
        assert set(b.touches) <= known, b.name


def test_default_sizes_say_where_they_come_from() -> None:
    for b in bodies().bodies:
        if b.family != "frame" and b.name != "seatpost":
            assert "common practice, no source" in b.note or "ISO 606" in b.note or "ETRTO" in b.note \
                or "rotor" in b.name, b.name  # fmt: skip


DOWN = "{on: down_tube, from_start: 300}"
COGS = "cogs: [10, 12, 14, 16, 18, 21, 24, 28, 32, 38, 44, 50]"
BAD = "inconsistent"


def own(text: str) -> tuple[str, str]:
    """A spare body a."""
    return ("  bottles:", f"  bodies: {{a: {{{text}}}}}\n  bottles:")


BOX = "kind: box, at: [0, 0, 0], size: [9, 9, 9]"
FAULTS: list[tuple[tuple[tuple[str, str], ...], str, str, str]] = [
    # exchanged text, code, path below build, what the message says
    (((DOWN, "{on: dwn_tube, from_start: 300}"),), "junction-target", "bottles.0.on", "down_tube"),
    (((DOWN, "{on: down_tube, from_start: 900}"),), BAD, "bottles.0.from_start", "beyond"),
    ((("guard: 150", "guard: 120"),), BAD, "chainring.guard", "137.7"),
    ((("guard: 150", "inner_teeth: 34"),), BAD, "chainring.inner_teeth", "32"),
    ((("insertion: 150", "length: 240"),), BAD, "seatpost.length", "above the seat tube"),
    ((("insertion: 150", "insertion: 150, length: 400"),), BAD, "seatpost.length", "both"),
    (((COGS, "cogs: [10, 12, 11]"),), BAD, "cassette.cogs.2", "comes after"),
    (((COGS, "cogs: [3, 12]"),), "out-of-range", "cassette.cogs.0", "3 teeth"),
    (((COGS, COGS + ", spacing: 6"),), BAD, "cassette", "centre plane"),
    ((("rotor: 160", "rotor: 300"),), "out-of-range", "rear_wheel.rotor", "260"),
    ((("61-622, hub: 148x12", "54-203, hub: 148x12"),), BAD, "rear_wheel.rotor", "bead seat 203"),
    ((("hub: 148x12, rotor: 160", "hub: 148x12"),), "missing-key", "rear_wheel.rotor", "caliper"),
    ((("hub: 148x12, rotor", "rotor"),), "missing-key", "rear_wheel.hub", "caliper"),
    ((("chainline: 52", "chainline: 75"),), BAD, "crank.chainline", "72"),
    ((("pedal: {}", "pedal: {axle: 40}"),), BAD, "pedal.width", "40"),
    ((("pedal: {}", "pedal: {axle: 4}"),), "out-of-range", "pedal.axle", "10"),
    ((("travel: 130, sag: 25%,", ""), (", arch: {}", "")), BAD, "fork.knobs", "no travel"),
    ((("travel: 130, sag: 25%,", ""), ("legs: {}, knobs: {}, arch: {}", "legs: {lead: 9}")), BAD,
     "fork.legs.lead", "rigid"),
    ((("travel: 130", "travel: 300"), ("height: 42", "height: 150")), BAD, "fork.travel", "lower legs"),
    ((("levers: {}", "levers: {from_end: 395}"),), BAD, "handlebar.levers.from_end", "390"),
    ((("  bottles:", f"  bodies: {{saddle: {{{BOX}}}}}\n  bottles:"),), "bad-name", "bodies.saddle",
     "already"),
    ((("  bottles:", f"  bodies: {{Big One: {{{BOX}}}}}\n  bottles:"),), "bad-name",
     "bodies.Big One", "not a name"),
    ((own("kind: box, at: [0, 0, 0]"),), "missing-key", "bodies.a.size", "box"),
    ((own(BOX + ", diameter: 3"),), BAD, "bodies.a.diameter", "box"),
    ((own("kind: ball, at: [0, 0, 0]"),), "not-allowed", "bodies.a.kind", "ball"),
    ((own(BOX + ", axis: [0, 0, 0]"),), BAD, "bodies.a.axis", "no direction"),
    ((own(BOX + ", rounding: 5"),), BAD, "bodies.a.rounding", "half"),
    ((own("kind: ring, at: [0, 0, 0], profile: [[0, 0], [9, 0], [9, 9]]"),), BAD,
     "bodies.a.profile", "axis"),
    ((own("kind: disc, at: [0, 0, 0], profile: [[0, 0], [9, 0], [2, 2], [9, 9], [0, 9]]"),), BAD,
     "bodies.a.profile", "convex"),
    ((("  pedal: {}\n", ""), own(BOX + ", fixed_to: left_pedal")), "missing-key",
     "bodies.a.fixed_to", "left pedal"),
    ((own(BOX + ", pair: true, fixed_to: crank"),), BAD, "bodies.a.pair", "alike"),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "code", "path", "says"), FAULTS, ids=[f[2] for f in FAULTS])
def test_faults(changes: tuple[tuple[str, str], ...], code: str, path: str, says: str) -> None:
    """One fault, at its line in the file, with a way out."""
    path = f"build.{path}"
    with pytest.raises(SpecError) as caught:
        bodies_of(solve(loads(text(*changes), "bike.yaml")))
    fault = next(f for f in caught.value.faults if f.path == path)
    assert [f.path for f in caught.value.faults] == [path]
    assert fault.code == code
    assert says in f"{fault.message} {fault.hint}"
    assert fault.hint
    assert fault.place is not None
    assert fault.place.line is not None
    # The line is the one that holds the key, or, where that is missing, its part.
    keys = [k for k in path.split(".")[1:] if not k.isdigit()]
    assert any(f"{key}:" in fault.place.text for key in keys[-2:])


def test_faults_of_several_parts_at_once() -> None:
    changes = (
        ("guard: 150", "guard: 120"),
        ("from_start: 300", "from_start: 900"),
        ("insertion: 150", "length: 240"),
    )
    with pytest.raises(SpecError) as caught:
        bodies_of(solve(loads(text(*changes))))
    assert {f.path for f in caught.value.faults} == {
        "build.chainring.guard",
        "build.bottles.0.from_start",
        "build.seatpost.length",
    }
