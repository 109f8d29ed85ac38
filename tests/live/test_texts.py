"""The workspace's texts: none missing, none unused; its scripts import what is there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

from frame3d.live.app import FOLDERS
from frame3d.live.page import PANELS
from frame3d.report.texts import texts

LIVE = Path(str(files("frame3d.live")))
SAY = texts()


def keys(data: object, path: str) -> Iterator[str]:
    if isinstance(data, str):
        yield path
    else:
        assert isinstance(data, dict)
        for key, value in data.items():
            yield from keys(value, f"{path}.{key}")


def sources() -> str:
    files = [*LIVE.rglob("*.py"), *LIVE.glob("client/*.js")]
    return "\n".join(file.read_text("utf-8") for file in files)


def test_no_text_is_missing() -> None:
    asked = set(re.findall(r"(?:texts|say)\(\s*[\"`](live\.[\w.]+\w)[\"`]", sources()))
    assert len(asked) > 25
    assert [key for key in sorted(asked) if SAY.get(key) is None] == []
    assert [key for key in PANELS if SAY.get(f"live.panel.{key}") is None] == []


def test_no_text_is_unused() -> None:
    text = sources()
    made = {f"live.panel.{key}" for key in PANELS}
    made |= {f"live.state.{key}" for key in re.findall(r"say\((?:[^()]*\? )?\"(\w+)\"", text)}
    made |= {f"live.state.{key}" for key in re.findall(r": \"(\w+)\"\)", text)}
    made |= {f"live.code.{key}" for key in re.findall(r"=text\(\"(\w+)\"\)", text)}
    known = set(keys(SAY.section("live"), "live"))
    assert sorted(key for key in known - made if key not in text) == []


def test_scripts_import_what_is_exported_where_they_say() -> None:
    found = 0
    for file in LIVE.glob("client/*.js"):
        for names, place in re.findall(
            r'import \{ ([\w, ]+) \} from "([^"]+)"', file.read_text("utf-8")
        ):
            # The server has live, page and viewer beside each other.
            folder, _, name = place.removeprefix("../").rpartition("/")
            package, inner = FOLDERS["live" if folder == "." else folder]
            target = Path(str(files(package) / inner / name))
            exported = re.findall(
                r"^export (?:async )?\w+ (\w+)", target.read_text("utf-8"), re.MULTILINE
            )
            assert set(names.split(", ")) <= set(exported), (file.name, place)
            found += 1
    assert found > 10


def test_every_element_that_scripts_look_for_is_on_the_page() -> None:
    page = (LIVE / "page.py").read_text("utf-8")
    scripts = "\n".join(f.read_text("utf-8") for f in LIVE.glob("client/*.js"))
    for name in set(re.findall(r'find\("#f3d-([\w-]+)"\)', scripts)):
        assert re.search(f'"f3d-{name}"|_button\\(\\s*"{name}"', page), name
