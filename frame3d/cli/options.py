"""Options that several commands share."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import wraps
from pathlib import Path
from typing import Any

import click

from frame3d.cli.request import Request


class Number(click.FloatRange):
    """A finite number, within bounds where there are any."""

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Return the number.

        Raises:
            click.BadParameter: it is none, not finite, or out of bounds.
        """
        number: float = super().convert(value, param, ctx)
        if not math.isfinite(number):
            self.fail(f"{value} is no finite number.", param, ctx)
        return number


SET = click.option(
    "--set",
    "sets",
    multiple=True,
    metavar="KEY=VALUE",
    help="Design change: override a value of the file by its dotted path. Repeatable.",
)
SWAP = click.option(
    "--swap",
    "swaps",
    multiple=True,
    metavar="KEY=VALUE",
    help="As built: exchange a part; the frame stays as it is and the bike pitches. Repeatable.",
)
JSON = click.option("--json", "as_json", is_flag=True, help="One JSON document on stdout.")
QUIET = click.option("-q", "--quiet", is_flag=True, help="Say nothing but faults.")
OUT = click.option(
    "-o",
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder for results. Default: exports/<file stem>/",
)
FILE = click.argument("file", type=click.Path(path_type=Path))


def common(command: Callable[..., int | None]) -> Callable[..., int | None]:
    """Options that nearly every command takes; the command gets them as one request."""

    @wraps(command)
    def asked(
        file: Path,
        sets: Sequence[str],
        swaps: Sequence[str],
        as_json: bool,
        quiet: bool,
        out: Path | None = None,
        **wishes: Any,
    ) -> int | None:
        return command(Request(file, sets, swaps, as_json, quiet, out), **wishes)

    for option in (QUIET, JSON, SWAP, SET, FILE):
        asked = option(asked)
    return asked
