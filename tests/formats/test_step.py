"""STEP as text: schema, header, names, colours, instances; nothing on standard output."""

from __future__ import annotations

import re
from typing import Any

import pytest

from frame3d.formats import copies
from frame3d.formats.step import encoded, step
from frame3d.solids import make
from tests.frames import bar, context, hardtail, hardtail_files


@pytest.fixture(scope="module")
def text() -> str:
    return hardtail_files()["step"].decode("ascii")


def test_schema_unit_and_header(text: str) -> None:
    """ISO 10303-21 header; AP242; lengths in millimetres."""
    header = text[: text.index("ENDSEC;")]
    assert header.startswith("ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((")
    assert "AP242" in header
    assert "makes no claim about strength" in header
    assert "FILE_NAME('Trail hardtail 29','1980-01-01T00:00:00',('frame3d')," in header
    assert "SI_UNIT(.MILLI.,.METRE.)" in text
    assert all(len(s) <= 256 for s in re.findall(r"'([^']*)'", header))


def test_date_from_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    text = step(make(context({"mast": bar(40.0, (0, 0, 0), (0, 0, 400), 2.0)})))
    assert b"'2023-11-14T22:13:20'" in text


def test_products_and_occurrences(text: str) -> None:
    """Occurrences carry the parts' names, counted from one; products too, or the pair's key."""
    flat = re.sub(r"\n\s*", "", text)
    found = re.findall(r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\('(\d+)','([^']*)'", flat)
    names = [part.name for part in hardtail().parts]
    assert found == [(str(i), name) for i, name in enumerate(names, start=1)]
    products = re.findall(r"= PRODUCT\('([^']*)'", flat)
    assert products[0] == "frame"
    solids = re.findall(r"= MANIFOLD_SOLID_BREP\('([^']*)'", flat)
    assert sorted(solids) == sorted(products[1:])
    keys = {part.key for part in hardtail().parts}
    assert set(products[1:]) <= set(names) | keys


def test_every_id_is_defined_once(text: str) -> None:
    defined = re.findall(r"^#(\d+) = ", text, re.MULTILINE)
    assert len(defined) == len(set(defined))
    assert set(re.findall(r"#(\d+)", text)) == set(defined)


def test_one_colour_a_product(text: str) -> None:
    products = len(re.findall(r"= PRODUCT\(", text)) - 1
    assert len(re.findall(r"= STYLED_ITEM\(", text)) == products
    rgb = hardtail().parts[0].colour
    assert "COLOUR_RGB(''," + ",".join(f"{value:.6f}" for value in rgb) + ")" in text


PAIR = bar(20.0, (-50, 30, 0), (-400, 70, 60), 1.0, pair=True)


def test_straight_pair_is_two_instances_of_one_product() -> None:
    """A straight tube has planes of symmetry: the right one is the left one turned."""
    model = make(context({"stay": PAIR}))
    text = step(model).decode()
    assert re.findall(r"= PRODUCT\('([^']*)'", text) == ["frame", "stay"]
    assert len(re.findall(r"= MANIFOLD_SOLID_BREP\(", text)) == 1
    assert re.findall(r"OCCURRENCE\('\d','([^']*)'", text) == ["stay_left", "stay_right"]


def test_pair_without_symmetry_is_two_products() -> None:
    """Bent in space, the right one is the left one's mirror image, which no motion gives."""
    bends = [
        {"along": 100.0, "y": 40.0, "radius": 100.0},
        {"along": 250.0, "y": 55.0, "rise": 50.0, "radius": 100.0},
    ]
    model = make(context({"stay": {**PAIR, "bends": bends}}))
    text = step(model).decode()
    assert re.findall(r"= PRODUCT\('([^']*)'", text) == ["frame", "stay_left", "stay_right"]
    left, right = (model.part(f"stay_{side}").shape for side in ("left", "right"))
    assert copies.motion_to_right(left, right) is None


def test_nothing_is_printed(capfd: pytest.CaptureFixture[str]) -> None:
    step(make(context({"mast": bar(40.0, (0, 0, 0), (0, 0, 400), 2.0)})))
    assert capfd.readouterr().out == ""


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("plain", "'plain'"),
        ("it's", "'it''s'"),
        ("back\\slash", "'back\\\\slash'"),
        ("Grün 29", "'Gr\\X2\\00FC\\X0\\n 29'"),
        ("\U0001f6b2", "'\\X4\\0001F6B2\\X0\\'"),
    ],
)
def test_strings_as_the_standard_writes_them(text: str, written: str) -> None:
    """ISO 10303-21, string encoding with X2 and X4 (value from memory of the standard)."""
    assert encoded(text) == written


def test_long_names_survive(monkeypatch: Any) -> None:
    name = "a" + "b" * 59
    text = step(make(context({name: bar(40.0, (0, 0, 0), (0, 0, 400), 2.0)}))).decode()
    assert f"MANIFOLD_SOLID_BREP('{name}'," in text
    assert len(re.findall(r"= STYLED_ITEM\(", text)) == 1
