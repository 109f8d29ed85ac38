"""Texts: all in one file, none missing, none unused."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import pytest

import frame3d.report
from frame3d.parameters.models.figures import FIGURES, STANDOVERS, GeometrySpec, title
from frame3d.parameters.requirements import REQUIREMENTS
from frame3d.report.texts import texts

PACKAGE = Path(frame3d.report.__file__).parent
VIEWER = PACKAGE.parent / "viewer"
SAY = texts("en")


def leaves(data: object, path: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(data, dict):
        for key, value in data.items():
            yield from leaves(value, f"{path}.{key}" if path else key)
    else:
        assert isinstance(data, str), path
        yield path, data


KEYS = dict(leaves(json.loads((files("frame3d.report.texts") / "en.json").read_text("utf-8"))))


def asked() -> Iterator[str]:
    """Keys that Python and the page's scripts ask for by name; parts that vary as ``*``."""
    for path in (*PACKAGE.rglob("*.py"), *VIEWER.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and node.args:
                name = ast.unparse(node.func)
                if name in ("texts", "texts.get", "texts.section", "self", "self.get"):
                    yield from _strings(node.args[0])
    for path in (PACKAGE / "page_files").glob("*.js"):
        source = path.read_text("utf-8")
        for quoted in re.findall(r"(?:say|words\.get|this\.get)\(\s*[\"`]([^\"`]+)[\"`]", source):
            yield re.sub(r"\$\{[^}]*\}", "*", quoted)


def _strings(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.JoinedStr):
        yield "".join(
            str(part.value) if isinstance(part, ast.Constant) else "*" for part in node.values
        )


ASKED = sorted({k for k in asked() if re.fullmatch(r"[\w.*%/-]+", k) and not k.startswith("*")})
BY_TABLE = ("unit.", "tool.cut.", "tool.take.", "part.", "check.", "viewer.", "live.", "output.")
"""Sections whose keys are names of other things, or that other modules' tests look after."""


@pytest.mark.parametrize("key", ASKED)
def test_no_text_is_missing(key: str) -> None:
    pattern = re.escape(key).replace(r"\*", r"[\w.-]+")
    assert any(re.fullmatch(pattern, known) for known in KEYS)


def test_no_text_is_unused() -> None:
    """Not asked for, nor named in any source at all."""
    sources = [
        p.read_text("utf-8") for p in (*PACKAGE.rglob("*.py"), *PACKAGE.glob("page_files/*.js"))
    ]
    named = {k for source in sources for k in re.findall(r'"([\w.]+)"', source)}
    patterns = [re.compile(re.escape(key).replace(r"\*", r"[\w-]+")) for key in ASKED]
    left = [k for k in KEYS if not k.startswith(BY_TABLE)]
    assert [k for k in left if k not in named and not any(p.fullmatch(k) for p in patterns)] == []


@pytest.mark.parametrize("figure", FIGURES)
def test_every_figure_is_explained_in_one_sentence(figure: str) -> None:
    """Titles are those of the parameter file; the ride is told in one sentence."""
    assert SAY(f"figure.{figure}.title") == title(figure)
    assert SAY(f"figure.{figure}.is").endswith(".")
    ride = SAY(f"figure.{figure}.ride")
    assert ride.endswith(".")
    assert ". " not in ride
    assert 40 < len(ride) < 200


def test_definitions_are_those_of_the_parameter_file() -> None:
    """Four are worded for riders; the others are the format's own."""
    own = {
        name: str(field.description).partition(" [")[0]
        for name, field in GeometrySpec.model_fields.items()
    }
    differ = {n for n in own if SAY(f"figure.{n}.is").rstrip(".") != own[n]}
    assert differ == {"effective_seat_tube_angle", "seat_tube_length", *STANDOVERS}


@pytest.mark.parametrize("check", REQUIREMENTS)
def test_every_check_has_a_title(check: str) -> None:
    assert SAY(f"check.{check}")


def test_parts_are_named_for_people() -> None:
    assert SAY.part("chainstay_left") == "Chainstay left"
    assert SAY.part("chain_upper_32_51") == "Chain, upper run 32/51"
    assert SAY.part("plate_rocker_left") == "Link plate, rocker left"
    assert SAY.part("my_gusset") == "My gusset"
    assert SAY.part("") == ""
    assert texts().part("rear_dropout-brake-1_left") == "Rear dropout: brake 1 left"
    assert texts().part("down_tube-cage_low") == "Down tube: cage low"


def test_numbers() -> None:
    assert SAY.number(-0.04, 1) == "0.0"
    assert SAY.number(-12.34, 1) == "−12.3"
    assert SAY.number(3.0, 1, sign=True) == "+3.0"
    assert SAY.number(None) == "–"
    assert SAY.quantity(65.5, "degrees") == "65.5°"
    assert SAY.quantity(1193.02, "mm") == "1193.0 mm"
    assert SAY.quantity(2.0, "1", 2) == "2.00"


def test_a_text_that_is_not_there_is_a_defect() -> None:
    with pytest.raises(KeyError):
        SAY("no.such.text")
    with pytest.raises(KeyError):
        SAY("page.title", other=1)
