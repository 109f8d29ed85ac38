"""``--all-sizes``: each size as ``--size`` writes it, in its own folder; one that fails stops no other."""

from __future__ import annotations

import json
from pathlib import Path

import click
import pytest

from frame3d.bike.bike import Bike
from frame3d.cli.every_size import ForAll, over_sizes
from frame3d.cli.options import OUT, common
from frame3d.cli.request import INPUT_AT_FAULT, Answer, Request, solved
from tests.hardening.running import SMALL, run

SIZES = """
sizes:
  S: {geometry.reach: 430}
  M:
  L: {geometry.reach: 900}
settings:
  long: {build.fork.axle_to_crown: 541}
"""


@pytest.fixture
def family(tmp_path: Path) -> Path:
    file = tmp_path / "family.yaml"
    file.write_text(SMALL.read_text("utf-8") + SIZES, "utf-8")
    return file


def digests(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_each_size_in_its_folder_and_a_bad_one_by_name(
    family: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    every = run("fabricate", family, "--all-sizes", "--json", "-o", tmp_path / "all")
    assert every.status == 2
    said = json.loads(every.out)["sizes"]
    assert list(said) == ["S", "M", "L"]
    assert said["S"]["size"] == "S"
    assert said["L"]["faults"][0]["message"].startswith("in size L: 900 is above")
    assert "in size L: 900" in every.err
    assert sorted(p.name for p in (tmp_path / "all").iterdir() if p.is_dir()) == ["M", "S"]
    alone = run("fabricate", family, "--size", "S", "-q", "-o", tmp_path / "alone")
    assert alone.status == 0
    assert digests(tmp_path / "alone") == digests(tmp_path / "all" / "S")


def test_default_folders(family: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)

    def folder(**asked: object) -> str:
        request = Request(family, (), (), False, True, **asked)  # type: ignore[arg-type]
        return request.folder.as_posix()

    assert folder() == "exports/family"
    assert folder(size="S") == "exports/family/S"
    assert folder(settings=("long",)) == "exports/family/long"
    assert folder(size="S", settings=("long", "low")) == "exports/family/S/long+low"
    assert folder(size="../..", settings=("/etc",)) == "exports/family/-/-etc"
    assert folder(size="S", out=Path("here")) == "here"


@pytest.mark.parametrize(
    ("extra", "message"),
    [(("--size", "S"), "a size is named too"), (("--set", "sizes=null"), "the file has no sizes")],
)
def test_what_cannot_go_together(family: Path, extra: tuple[str, ...], message: str) -> None:
    ended = run("fabricate", family, "--all-sizes", *extra)
    assert ended.status == 2
    assert message in ended.err


def test_what_is_added_for_all_sizes_comes_last(
    family: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def make(request: Request) -> Answer:
        bike, _ = solved(request)
        name = bike.spec.title
        return Answer(bike, lambda: {"name": name}, lambda: name)

    def finish(_request: Request, _names: tuple[str, ...], bikes: dict[str, Bike]) -> Answer:
        made = list(bikes)
        return Answer(bikes[made[0]], lambda: {"made": made}, lambda: f"made {made}")

    command = click.command()(common(OUT(over_sizes(make, ForAll(finish)))))
    asked = [str(family), "--all-sizes", "--setting", "long"]
    assert command.main([*asked, "--json"], standalone_mode=False) == INPUT_AT_FAULT
    document = json.loads(capsys.readouterr().out)
    assert document["made"] == ["S", "M"]
    assert document["sizes"]["S"]["name"].endswith("size S, long")
    command.main(asked, standalone_mode=False)
    last = capsys.readouterr().out.strip().splitlines()[-3:]
    assert last == ["made ['S', 'M']", "", "sizes done: S, M; not done: L"]


def test_a_command_without_the_option_is_of_one_size(family: Path, tmp_path: Path) -> None:
    ended = run("solve", family, "--size", "S", "--setting", "long", "--json")
    assert ended.status == 0
    document = json.loads(ended.out)
    assert (document["size"], document["settings"]) == ("S", ["long"])
    assert "as_built" in document
