"""What people write for a number. Inch, foot, pound by their exact definitions of 1959;
1 lbf/in = 4.4482216152605/25.4 N/mm, 1 psi = 6894.757293168 Pa, 1 bar = 100 000 Pa.
"""

from __future__ import annotations

import pytest

from frame3d.parameters.reading.measures import measure, no_number, shown


@pytest.mark.parametrize(
    ("given", "unit", "code", "way"),
    [
        ("455mm", "mm", "wrong-unit", "write 455"),
        ("455 MM", "mm", "wrong-unit", "write 455"),
        ("45,5cm", "mm", "wrong-unit", "write 455"),
        ("-1.5 cm", "mm", "wrong-unit", "write -15"),
        ("0.455 m", "mm", "wrong-unit", "write 455"),
        ("1in", "mm", "wrong-unit", "write 25.4"),
        ("1 in.", "mm", "wrong-unit", "write 25.4"),
        ('1.125"', "mm", "wrong-unit", "write 28.575"),
        ("3 inches", "mm", "wrong-unit", "write 76.2"),
        ("1 ft", "mm", "wrong-unit", "write 304.8"),
        ("7/8 in", "mm", "wrong-unit", "write 22.225"),
        ("1 3/8 in", "mm", "wrong-unit", "write 34.925"),
        ("7/8", "mm", "wrong-type", "write 22.225 if inches are meant"),
        ("7/0", "mm", "wrong-type", "ALLOWED"),
        ("65.5 deg", "degrees", "wrong-unit", "write 65.5"),
        ("65.5°", "degrees", "wrong-unit", "write 65.5"),
        ("1.14 rad", "degrees", "wrong-unit", "ALLOWED"),
        ("65.5%", "degrees", "wrong-unit", "ALLOWED"),
        ("80kg", "kg", "wrong-unit", "write 80"),
        ("100 lb", "kg", "wrong-unit", "write 45.3592"),
        ("500 g", "kg", "wrong-unit", "write 0.5"),
        ("5kg", "mm", "wrong-unit", "ALLOWED"),
        ("500lb", "lb/in", "wrong-unit", "write 500"),
        ("500 lbs/in", "lb/in", "wrong-unit", "write 500"),
        ("80 N/mm", "lb/in", "wrong-unit", "write 456.812"),
        ("500 lb/in", "N/mm", "wrong-unit", "write 87.5634"),
        ("205psi", "bar", "wrong-unit", "write 14.1343"),
        ("14 bar", "psi", "wrong-unit", "write 203.053"),
        ("1.4 MPa", "bar", "wrong-unit", "write 14"),
        ("2,5", "mm", "wrong-type", "write 2.5"),
        ("455", "mm", "wrong-type", "write 455, without quotes"),
        ("", "mm", "wrong-type", "ALLOWED"),
        ("long", "mm", "wrong-type", "ALLOWED"),
        ("12 mm 5", "mm", "wrong-type", "ALLOWED"),
        ("-Infinity", "mm", "not-finite", "ALLOWED"),
        (True, "mm", "wrong-type", "ALLOWED"),
        (None, "mm", "wrong-type", "ALLOWED"),
        ((1, 2), "mm", "wrong-type", "ALLOWED"),
    ],
)
def test_no_number(given: object, unit: str, code: str, way: str) -> None:
    problem = no_number(given, unit, "ALLOWED")
    assert (problem.code, problem.hint) == (code, way)
    assert f"a bare number of {unit} is wanted" in problem.message or code == "not-finite"


def test_shown() -> None:
    assert shown("a") == '"a"'
    assert shown('1"') == "'1\"'"
    assert shown("x" * 99) == f'"{"x" * 40}…"'
    assert shown(True) == "true"
    assert shown(2.50) == "2.5"
    assert shown(None) == "nothing"
    assert shown((1,)) == "a list"
    assert shown({}) == "a mapping of keys"


def test_measure() -> None:
    assert measure("500lb") == (500.0, "lb")
    assert measure(" 2,5 N/mm") == (2.5, "n/mm")
    assert measure(500) == (500.0, "")
    assert measure("500") == (500.0, "")
    for nothing in (True, None, "long", [1], "12 mm 5"):
        assert measure(nothing) == (None, "")
