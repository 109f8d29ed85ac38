"""Sizes and settings: a file with them is, size by size, the file that one would write out by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.errors import SpecError
from frame3d.parameters.models.variants import Variants
from frame3d.parameters.reading.reader import loads, variants_of
from frame3d.parameters.starters.starter import starter

BIKE = starter("Test")
ROCKER = starter("Test", "single-pivot-rocker")


def family(changes: str, text: str = BIKE, **values: str) -> str:
    """Return a file with sizes: values by the key that stands there, and sections at the end."""
    for key, value in values.items():
        found = next(line for line in text.splitlines() if line.strip().startswith(f"{key}:"))
        old = found.split(":", 1)[1].split("#")[0].strip()
        text = text.replace(found, found.replace(old, value, 1), 1)
    return f"{text}\n{changes}\n"


def same(text: str, by_hand: tuple[str, ...], size: str | None = None) -> bool:
    """Whether a size of a file is the starter with these values written into it."""
    one = loads(text, size=size)
    return one.model_dump() == loads(BIKE, sets=by_hand).model_dump()


def fault(text: str, **asked: object) -> tuple[str, str, str, str]:
    """Code, path, message and marked text of the first fault."""
    with pytest.raises(SpecError) as caught:
        loads(text, "bike.yaml", **asked)  # type: ignore[arg-type]
    first = caught.value.faults[0]
    assert first.place is not None
    line = first.place.line
    shown = text.splitlines()[line - 1].strip() if line else first.place.source
    return first.code, first.path, f"{first.message}; {first.hint}", shown


THREE = "sizes: [S, M, L]"


def test_a_value_listed_for_each_size() -> None:
    text = family(THREE, reach="{S: 430, M: 455, L: 481.5}")
    for size, reach in (("S", 430), ("M", 455), ("L", 481.5)):
        assert same(text, (f"geometry.reach={reach}",), size)


def test_a_rule_counts_from_the_first_size() -> None:
    text = family(THREE, reach="{from: 430, step: 25}", head_tube_angle="{from: 66, step: -0.1}")
    for size, reach, angle in (("S", "430", "66"), ("M", "455", "65.9"), ("L", "480", "65.8")):
        assert same(text, (f"geometry.reach={reach}", f"geometry.head_tube_angle={angle}"), size)


@given(start=st.decimals(400, 450, places=3), step=st.decimals(-15, 15, places=3))
@settings(max_examples=15, deadline=None)
def test_a_rule_is_exact_in_decimals(start: Decimal, step: Decimal) -> None:
    text = family(THREE, reach=f"{{from: {start}, step: {step}}}")
    assert loads(text, size="L").geometry.reach == float(start + 2 * step)


def test_a_rule_of_shares() -> None:
    text = family(f"{THREE}\n").replace("sag: 25%", "sag: {from: 20%, step: 2.5%}")
    fork = loads(text, size="L").build.fork
    assert fork is not None
    assert fork.sag == 0.25


@pytest.mark.parametrize(
    "changes",
    [
        "{geometry.reach: 481, build.crank.length: 175}",
        "{geometry: {reach: 481}, build.crank: {length: 175}}",
        "{build: {crank.length: 175}, geometry.reach: 481}",
    ],
)
def test_dotted_and_nested_changes_say_the_same(changes: str) -> None:
    text = family(f"sizes:\n  M:\n  L: {changes}")
    assert same(text, (), "M")
    assert same(text, ("geometry.reach=481", "build.crank.length=175"), "L")


def test_null_takes_a_value_out_and_a_list_is_replaced_as_a_whole() -> None:
    bends = "[{along: 100, rise: 5, radius: 200}]"
    text = family(f"sizes: {{M: {{build.bottles: null, tubes.down_tube.bends: {bends}}}}}")
    assert same(text, ("build.bottles=null", f"tubes.down_tube.bends={bends}"))


@pytest.mark.parametrize("reach", ["{from: 430, step: 25}", "{S: 430, M: 455, L: 480}"])
@pytest.mark.parametrize("own", ["481", "{S: 1, M: 2, L: 481}", "{from: 441, step: 20}"])
def test_a_size_replaces_a_value_by_size_or_by_rule_as_a_whole(reach: str, own: str) -> None:
    text = family(f"sizes:\n  S:\n  M:\n  L: {{geometry: {{reach: {own}}}}}", reach=reach)
    assert same(text, ("geometry.reach=455",), "M")
    assert same(text, ("geometry.reach=481",), "L")


def test_the_default_is_the_middle_one_unless_the_file_says() -> None:
    assert variants_of(family("sizes: [S, M, L]")).default == "M"
    assert variants_of(family("sizes: [S, M, L, XL]")).default == "M"
    assert variants_of(family("sizes: {default: L, S: , M: , L: }")).default == "L"
    assert variants_of(BIKE) == Variants()
    text = family("sizes: {default: L, S: , L: {geometry.reach: 480}}")
    assert same(text, ("geometry.reach=480",))


def test_a_size_named_default_is_meant_without_a_word() -> None:
    text = family("sizes: {S: {geometry.reach: 430}, default: {geometry.reach: 460}, L: }")
    assert variants_of(text).sizes == ("S", "default", "L")
    assert same(text, ("geometry.reach=460",))


def test_overrides_come_after_the_size_and_may_change_the_sizes_themselves() -> None:
    text = family("sizes: {M: , L: {geometry.reach: 480}}")
    assert loads(text, sets=["geometry.reach=470"], size="L").geometry.reach == 470
    assert loads(text, sets=["sizes.L.geometry.reach=490"], size="L").geometry.reach == 490
    assert loads(text, sets=["geometry.reach={M: 1, L: 491}"], size="L").geometry.reach == 491
    assert loads(text, sets=["sizes.X={geometry.reach: 500}"], size="X").geometry.reach == 500


def test_settings_are_put_in_last_and_name_what_they_exchange() -> None:
    long = "{build.fork: {axle_to_crown: 551, offset: {S: 44, M: 45, L: 46}}}"
    text = family(f"{THREE}\nsettings: {{long: {long}, small: {{build.front_wheel.tyre: 57-584}}}}")
    plain = loads(text, size="L")
    assert plain.variants.settings == ("long", "small")
    assert plain.variants.exchanged == plain.variants.chosen == ()
    both = loads(text, size="L", settings=["small", "long"], swaps=["build.crank.length=175"])
    assert both.variants.exchanged == (
        "build.front_wheel.tyre",
        "build.fork.axle_to_crown",
        "build.fork.offset",
        "build.crank.length",
    )
    assert both.build.fork is not None
    assert (both.build.fork.axle_to_crown, both.build.fork.offset) == (551, 46)
    assert both.title == "Test, size L, small, long"
    assert loads(text, settings=["drawn"]).variants.chosen == ()


def test_lines_are_those_of_the_value_that_counts() -> None:
    text = family("sizes:\n  M:\n  L:\n    geometry.reach: 900")
    assert fault(text, size="L")[::3] == ("out-of-range", "geometry.reach: 900")
    rule = family(THREE, reach="{from: 430, step: 300}")
    assert loads(rule, size="S").geometry.reach == 430
    assert fault(rule, size="L")[0] == "out-of-range"


@pytest.mark.parametrize(
    ("text", "code", "path", "message", "shown"),
    [
        ("sizes: {M L: }", "bad-name", "sizes.M L", "is no name of a size", "sizes: {M L: }"),
        ("sizes: [reach]", "bad-name", "sizes.reach", "a capital or a digit", "sizes: [reach]"),
        ("sizes: [all]", "bad-name", "sizes.all", "is no name of a size", "sizes: [all]"),
        ("sizes: [ML, Ml]", "duplicate-key", "sizes.Ml", "twice, capitals", "sizes: [ML, Ml]"),
        ("sizes: [[M]]", "wrong-type", "sizes", "a size's name is wanted", "sizes: [[M]]"),
        ("sizes: 5", "wrong-type", "sizes", "what each size changes", "sizes: 5"),
        ("sizes: []", "missing-key", "sizes", "no size stands here", "sizes: []"),
        ("sizes: {M: 5}", "wrong-type", "sizes.M", "keys of the file", "sizes: {M: 5}"),
        ("sizes: {M: {a..b: 5}}", "override", "sizes.M.a..b", "no dotted", "sizes: {M: {a..b: 5}}"),
        (
            "sizes: {default: Q, M: }",
            "not-allowed",
            "sizes.default",
            "there is no size Q; known here: M",
            "sizes: {default: Q, M: }",
        ),
        (
            "sizes: {M: {sizes.L: 5}}",
            "not-allowed",
            "sizes.M.sizes.L",
            "no sizes of its own",
            "sizes: {M: {sizes.L: 5}}",
        ),
        ("settings: 5", "wrong-type", "settings", "each setting exchanges", "settings: 5"),
        ("settings: {a: 5}", "wrong-type", "settings.a", "keys of the file", "settings: {a: 5}"),
        ("settings: {lo+w: }", "bad-name", "settings.lo+w", "no name of", "settings: {lo+w: }"),
        ("settings: {lo w: }", "bad-name", "settings.lo w", "no name of", "settings: {lo w: }"),
        ("settings: {drawn: }", "bad-name", "settings.drawn", "else", "settings: {drawn: }"),
        (
            "sizes: {M: {geometri.reach: 5}}",
            "unknown-key",
            "geometri",
            "did you",
            "sizes: {M: {geo",
        ),
    ],
)
def test_faults_of_the_sections(text: str, code: str, path: str, message: str, shown: str) -> None:
    found = fault(family(text))
    assert found[:2] == (code, path)
    assert message in found[2]
    assert found[3].startswith(shown)


def test_a_setting_cannot_have_the_name_of_a_size() -> None:
    found = fault(family("sizes: [Low, High]\nsettings:\n  Low: {build.fork.offset: 40}"))
    assert found[:2] == ("bad-name", "settings.Low")
    assert found[3].startswith("Low:")


@pytest.mark.parametrize(
    ("value", "code", "message"),
    [
        ("{S: 430, M: 455}", "missing-key", "no value for size L"),
        ("{S: 430}", "missing-key", "no value for sizes M and L"),
        ("{S: 430, M: 455, L: 480, XL: 500}", "not-allowed", "there is no size XL"),
        ("{from: 430, step: 5%}", "wrong-type", "two bare numbers of one kind"),
        ("{from: far, step: 5}", "wrong-type", "two bare numbers"),
        ("{from: 430, step: [5]}", "wrong-type", "two bare numbers"),
        ("{from: 430}", "wrong-type", ""),
    ],
)
def test_faults_of_values_by_size(value: str, code: str, message: str) -> None:
    found = fault(family(THREE, reach=value))
    assert (found[0], found[1].split(".")[:2]) in (
        (code, ["geometry", "reach"]),
        ("unknown-key", ["geometry", "reach"]),
    )
    assert message in found[2]


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        ({"size": "XXL"}, "there is no size XXL; known here: S, M, L"),
        ({"settings": ["lo"]}, "there is no setting lo; did you mean low? known here: low"),
    ],
)
def test_names_that_the_file_does_not_have(asked: dict[str, object], message: str) -> None:
    found = fault(family(f"{THREE}\nsettings: {{low: {{build.fork.offset: 40}}}}"), **asked)
    assert found[0] == "not-allowed"
    assert found[2] == message
    assert found[3].startswith("--")
    assert "the file has no sizes" in fault(BIKE, size="M")[2]


def test_more_than_a_file_may_have() -> None:
    names = ", ".join(f"S{i}" for i in range(25))
    assert fault(family(f"sizes: [{names}]"))[:2] == ("out-of-range", "sizes")
    each = ", ".join(f"s{i}: {{build.fork.offset: 40}}" for i in range(25))
    assert fault(family(f"settings: {{{each}}}"))[:2] == ("out-of-range", "settings")


def test_lists_keep_what_is_not_given_by_size() -> None:
    x = "{S: -20, M: -22, L: -24}"
    text = family(f"{THREE}\n", ROCKER)
    points = loads(text).suspension
    assert points is not None
    name = next(key for key, place in points.points.items() if isinstance(place, tuple))
    z = points.points[name][1]  # type: ignore[index]
    made = loads(text, sets=[f"suspension.points.{name}=[{x}, {z}]"], size="L").suspension
    assert made is not None
    assert made.points[name] == (-24, z)
