"""Options: finite numbers within bounds, and one request from what nearly every command takes."""

from __future__ import annotations

from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from frame3d.cli.options import OUT, Number, common
from frame3d.cli.request import Request


@pytest.mark.parametrize(
    ("said", "value"), [("0.4", 0.4), ("5", 5.0), ("1e0", 1.0), ("nan", None), ("inf", None), ("-inf", None),
                        ("0.39", None), ("5.01", None), ("wide", None), ("", None)]
)  # fmt: skip
def test_a_number_is_finite_and_within_its_bounds(said: str, value: float | None) -> None:
    kind = Number(0.4, 5.0)
    if value is None:
        with pytest.raises(click.BadParameter):
            kind.convert(said, None, None)
    else:
        assert kind.convert(said, None, None) == value


@pytest.mark.parametrize("said", ["nan", "inf", "-inf", "1e999"])
def test_without_bounds_it_is_finite_all_the_same(said: str) -> None:
    assert Number().convert("-1e300", None, None) == -1e300
    with pytest.raises(click.BadParameter, match="finite"):
        Number().convert(said, None, None)


def asked(*words: str) -> tuple[Request, int]:
    """What a command with these options gets."""
    got: list[tuple[Request, int]] = []

    @click.command()
    @common
    @OUT
    @click.option("--more", type=int, default=3)
    def command(request: Request, more: int) -> None:
        got.append((request, more))

    result = CliRunner().invoke(command, list(words))
    assert result.exit_code == 0, result.output
    (found,) = got
    return found


def test_a_command_gets_one_request_and_its_own_options() -> None:
    plain, more = asked("bike.yaml")
    assert plain == Request(Path("bike.yaml"), (), (), as_json=False, quiet=False, out=None)
    assert more == 3
    words = ["--set", "a=1", "-q", "bike.yaml", "--set", "b=2", "--swap", "c=3", "--json"]
    found, more = asked(*words, "-o", "there", "--more", "4")
    assert found == Request(
        Path("bike.yaml"), ("a=1", "b=2"), ("c=3",), as_json=True, quiet=True, out=Path("there")
    )
    assert more == 4
