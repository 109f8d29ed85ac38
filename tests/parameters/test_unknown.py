"""The error of a name in no table."""

from __future__ import annotations

from frame3d.parameters.sizes.unknown import unknown


def test_similar_names_are_named_as_the_table_writes_them() -> None:
    error = unknown("hub", "WIDE-148", ["Wide-148", "wide-157", "narrow-100"], "{width: 148}")
    assert str(error) == "'WIDE-148' is no known hub"
    assert error.hint == "nearest: Wide-148, wide-157; or plain millimetres: {width: 148}"


def test_without_a_similar_name_all_are_named() -> None:
    error = unknown("hub", "x", iter(["Wide-148", "narrow-100"]), "{width: 148}")
    assert error.hint == "known: Wide-148, narrow-100; or plain millimetres: {width: 148}"
