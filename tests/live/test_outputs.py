"""Outputs of the page: each a command of the same name, its files, its faults."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d import fabrication
from frame3d.bike.choice import Choice
from frame3d.cli import commands
from frame3d.errors import Fault, OutputError
from frame3d.fabrication import Written
from frame3d.live.solved_text import good
from frame3d.live.work.outputs import BED, OUTPUTS, Output, output
from frame3d.report.texts import texts
from tests.live.families import FAMILY
from tests.report.samples import CONFIGS

MINIMAL = good((CONFIGS / "minimal.yaml").read_text("utf-8"), "minimal.yaml")


@pytest.mark.parametrize("one", OUTPUTS, ids=lambda one: one.key)
def test_an_output_is_a_command_with_a_title(one: Output) -> None:
    key = one.key
    assert output(key) is one
    assert key in commands.frame3d.commands
    for text in ("title", "says"):
        assert texts()(f"output.{key}.{text}")


def test_there_is_no_other() -> None:
    with pytest.raises(KeyError):
        output("print")


def test_the_bed_is_the_commands_own_default() -> None:
    (option,) = [p for p in commands.frame3d.commands["mockup"].params if p.name == "bed"]
    assert option.default == BED


def test_a_report_needs_no_tubes(tmp_path: Path) -> None:
    said: list[float] = []
    report = output("report")
    assert not report.needs_tubes
    files = report.write(MINIMAL, tmp_path, lambda _what, share: said.append(share))
    assert files == (tmp_path / "report.html",)
    assert files[0].stat().st_size > 1000
    assert said == sorted(said)
    assert all(one.needs_tubes for one in OUTPUTS if one.key != "report")


def test_a_pack_that_is_not_whole_is_a_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What could be made is written all the same."""
    fault = Fault("butt", "tubes.a.wall", "too long")

    def partly(*_bike: object, **_more: object) -> Written:
        return Written((), (fault,), ())

    monkeypatch.setattr(fabrication, "fabricate", partly)
    with pytest.raises(OutputError) as caught:
        output("fabricate").write(MINIMAL, tmp_path, lambda _what, _share: None)
    assert tuple(caught.value.faults) == (fault,)


def test_a_report_of_a_size_says_what_is_exchanged_and_has_the_table_of_sizes(
    tmp_path: Path,
) -> None:
    solved = good(FAMILY, "bike.yaml", Choice("L", ("quick",)))
    (file,) = output("report").write(solved, tmp_path, lambda _what, _share: None)
    page = file.read_text("utf-8")
    assert "Small bike, size L, quick" in page
    assert "build.fork.offset=37" in page
    assert "size-table" in page
