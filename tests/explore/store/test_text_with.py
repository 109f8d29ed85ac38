"""Values put into a file's text where none stands."""

from __future__ import annotations

import pytest
from ruamel.yaml import YAML

from frame3d.explore.store.text_with import text_with

TEXT = """\
# head
a: {b: 1}   # of a
c:
  # of d
  d: 2   # two
  e:
    - f: 3
      g: {}   # empty
r: {from: 430, step: 25}   # a rule
n: {x: 1,   # over two lines
    y: 2}
"""


def data(text: str) -> object:
    """By an independent reader of the whole of YAML."""
    return YAML(typ="safe", pure=True).load(text)


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ("a.z", "a: {z: 7, b: 1}   # of a"),
        ("a.z.y", "a: {z: {y: 7}, b: 1}   # of a"),
        ("c.z", "  z: 7"),
        ("c.e.0.z", "    - z: 7"),
        ("c.e.0.g.z", "      g: {z: 7}   # empty"),
        ("z.y", "z: {y: 7}"),
        ("r", "r: 7                       # a rule"),
        ("c.d", "  d: 7   # two"),
        ("n.z", "n: {z: 7, x: 1,   # over two lines"),
    ],
)
def test_a_value_is_put_in_and_all_else_stays(path: str, line: str) -> None:
    found = text_with(TEXT, path, "7")
    assert found is not None
    assert line in found.splitlines()
    expected = here = data(TEXT)
    *way, last = path.split(".")
    for step in way:
        if isinstance(here, list):
            here = here[int(step)]
        else:
            assert isinstance(here, dict)
            here = here.setdefault(step, {})
    assert isinstance(here, dict)
    here[last] = 7
    assert data(found) == expected
    assert [part for part in TEXT.split("#")[1:] if f"#{part.splitlines()[0]}" not in found] == []


@pytest.mark.parametrize("path", ["n", "c.e", "c.e.5", "c.d.x"])
def test_what_cannot_be_done_in_the_text_is_left(path: str) -> None:
    assert text_with(TEXT, path, "7") is None
