"""What else can be asked of a solved bike, together in one document."""

from __future__ import annotations

import json

import pytest

from frame3d.cli.commands import main
from tests.linkage.demos import CONFIGS

MINIMAL = str(CONFIGS / "minimal.yaml")


def out_of(capsys: pytest.CaptureFixture[str], *options: str) -> str:
    with pytest.raises(SystemExit) as left:
        main(["solve", MINIMAL, *options])
    assert left.value.code == 0
    return capsys.readouterr().out


def test_each_question_has_its_block(capsys: pytest.CaptureFixture[str]) -> None:
    plain = json.loads(out_of(capsys, "--json"))
    assert not {"ride", "sensitivity", "travel", "mass"} & set(plain)
    more = json.loads(out_of(capsys, "--json", "--ride", "--sensitivity"))
    assert {"ride", "sensitivity"} <= set(more)
    assert {key: more[key] for key in plain} == plain


def test_tables_follow_the_chart(capsys: pytest.CaptureFixture[str]) -> None:
    plain = out_of(capsys)
    more = out_of(capsys, "--ride", "--sensitivity")
    assert more.startswith(plain.rstrip())
    assert "As built: the frame stays" in more
