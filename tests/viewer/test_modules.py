"""Joining the viewer's modules, and what holds for the text of all of them."""

from __future__ import annotations

import json
import re
from importlib.resources import files

import pytest

from frame3d.viewer.modules import PUBLIC, joined, viewer_source

VIEWER = {
    entry.name: entry.read_text(encoding="utf-8")
    for entry in (files("frame3d.viewer") / "client").iterdir()
    if entry.name.endswith(".js")
}


def test_modules_are_joined_in_the_order_of_their_needs() -> None:
    text = joined(
        {
            "main.js": 'import { b, c } from "./b.js";\nexport function run() { return b + c; }\n',
            "b.js": 'import {\n  a,\n} from "./a.js";\nexport const b = a;\nexport class c {}\n',
            "a.js": "// A.\nexport const a = 1;\n",
        },
        "main.js",
        ("run",),
    )
    assert text == (
        "// a.js\n// A.\nconst a = 1;\n\n"
        "// b.js\nconst b = a;\nclass c {}\n\n"
        "// main.js\nfunction run() { return b + c; }\n\n"
        "export { run };\n"
    )


@pytest.mark.parametrize(
    ("modules", "said"),
    [
        ({"m.js": 'import { a } from "./a.js";\n', "a.js": "export const b = 1;\n"}, "no such export"),
        ({"m.js": 'import { a } from "./a.js";\n'}, "which is not there"),
        ({"m.js": 'import * as a from "./a.js";\n', "a.js": ""}, "cannot join|no module needs"),
        ({"m.js": 'import { a as b } from "./a.js";\n', "a.js": "export const a = 1;\n"}, "no such export"),
        ({"m.js": "export default 1;\n"}, "cannot join 'export default 1;'"),
        ({"m.js": "const a = 1;\n", "a.js": ""}, "no module needs a.js"),
        (
            {"m.js": 'import { a } from "./a.js";\nconst x = 1;\n', "a.js": "let x;\nexport const a = x;\n"},
            "x is declared in a.js and in m.js",
        ),
        (
            {
                "m.js": 'import { a } from "./a.js";\nexport const m = 1;\n',
                "a.js": 'import { m } from "./m.js";\nexport const a = 1;\n',
            },
            "circle: m.js -> a.js -> m.js",
        ),
        ({"m.js": "const a = 1;\n"}, "no module declares run"),
    ],
)  # fmt: skip
def test_what_cannot_be_joined_is_refused(modules: dict[str, str], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        joined(modules, "m.js", ("run",))


def test_the_viewer_is_one_module() -> None:
    text = viewer_source()
    assert text.endswith(f"export {{ {', '.join(PUBLIC)} }};\n")
    assert re.findall(r"^(?:import|export)\b.*", text, re.MULTILINE) == [text.splitlines()[-1]]


@pytest.mark.parametrize("name", sorted(VIEWER))
def test_no_module_makes_markup_or_code_of_text(name: str) -> None:
    """What comes from the file is set as text alone; the page's policy would stop the rest anyway."""
    banned = r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\b|new Function|fetch\(|https?://(?!www\.w3\.org/2000/svg)"
    assert re.findall(banned, VIEWER[name]) == []
    assert VIEWER[name].startswith("// "), "says what it is for"
    assert len(VIEWER[name].splitlines()) <= 600
    assert max(map(len, VIEWER[name].splitlines())) <= 110


def test_every_text_the_viewer_says_is_there() -> None:
    texts = json.loads((files("frame3d.report") / "texts" / "en.json").read_text(encoding="utf-8"))
    everything = "\n".join(VIEWER.values())
    said = set(re.findall(r'\.say\(\s*"([\w.]+)"', everything))
    assert {"mm", "canvas", "check.required", "keys.title"} <= said
    said |= {
        f"check.{key}" for key in ("holds", "short", "about", "exact", "least", "least_overlap")
    }
    said |= {f"measure.{axis}" for axis in "xyz"}
    commands = re.findall(r'text: "(\w+)"', VIEWER["keys.js"])
    views = re.findall(r'\["\d", "(\w+)"\]', VIEWER["keys.js"])
    assert len(commands) == 9
    assert len(views) == 6
    said |= {f"keys.{text}.{part}" for text in commands + views for part in ("key", "does")}
    for key in said:
        found = texts["viewer"]
        for part in key.split("."):
            found = found[part]
        assert isinstance(found, str), key
    dynamic = set(re.findall(r"\.say\(`([^`]+)`", everything))
    assert dynamic == {
        "check.${kind}",
        "check.${about}",
        "measure.${axis}",
        "keys.${text}.key",
        "keys.${text}.does",
    }
