"""The README's examples run as written."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import click
import pytest

from frame3d.cli import commands
from tests.sampling import everyday

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text()
BLOCKS = re.findall(r"^```(\w+)\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
COMMANDS = [
    line.split(" #")[0].strip()
    for kind, text in BLOCKS
    if kind == "sh"
    for line in text.splitlines()
    if line.startswith("frame3d ")
]
LONG = ("build", "fabricate", "mockup", "report")
"""Commands that take long: of each the shortest line runs every time, the others are thorough."""
EVERYDAY = [
    command
    for command in COMMANDS
    if not any(command.startswith(f"frame3d {verb} ") for verb in LONG)
] + [min((c for c in COMMANDS if c.startswith(f"frame3d {verb} ")), key=len) for verb in LONG]


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the demo files and a file of the reader's own."""
    shutil.copytree(ROOT / "configs", tmp_path / "configs")
    monkeypatch.chdir(tmp_path)
    with pytest.raises(SystemExit):
        commands.main(["new", "my_bike.yaml", "-q"])
    return tmp_path


def test_the_readme_has_commands() -> None:
    assert len(COMMANDS) > 8


@pytest.mark.parametrize("command", COMMANDS)
def test_its_words_are_read(command: str, here: Path) -> None:
    """Options are there and take what is given; files are found. Nothing runs."""
    verb, *words = shlex.split(command)[1:]
    if verb == "new":
        (here / words[0]).unlink(missing_ok=True)
    group = commands.frame3d
    found = group.get_command(click.Context(group), verb)
    assert found is not None
    found.make_context(verb, words)


@pytest.mark.parametrize("command", everyday(EVERYDAY, COMMANDS))
def test_command(command: str, here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = shlex.split(command)[1:]
    if words[0] == "new":
        (here / words[1]).unlink(missing_ok=True)
    if words[0] == "explore":  # which of three designs meets every wish is the search's own affair
        words += ["--designs", "3", "--engine", "serial"]
    with pytest.raises(SystemExit) as left:
        commands.main(words)
    done = (0, 1) if words[0] == "explore" else (0,)
    assert left.value.code in done, capsys.readouterr().err


def test_python_example(here: Path) -> None:
    (code,) = [text for kind, text in BLOCKS if kind == "python"]
    exec(compile(code, "README.md", "exec"), {})
    assert (here / "exports/python/frame.step").exists()


def test_the_first_commands_are_those_of_ci() -> None:
    script = (ROOT / ".ci/run").read_text()
    first, second = (text.strip() for kind, text in BLOCKS[:2] if kind == "sh")
    assert first.replace("install -e", "install -q -e") in script
    assert second.replace("install -e", "install -q -e") in script


def test_linked_files_exist() -> None:
    for target in re.findall(r"\]\((?!https?:)([^)]+)\)", README):
        assert (ROOT / target).exists(), target
