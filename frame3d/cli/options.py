"""Options that several commands share."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import wraps
from ipaddress import ip_address
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


def ip_address_of(_ctx: click.Context, _param: click.Parameter, value: str) -> str:
    """Return an IP address of one machine in its shortest form.

    Raises:
        click.BadParameter: it is none, or stands for more than one machine.
    """
    try:
        found = ip_address(value)
    except ValueError as problem:
        raise click.BadParameter(f"{value!r} is no IP address, as 192.168.1.20 is.") from problem
    if found.is_unspecified or found.is_multicast or "%" in value:
        raise click.BadParameter(
            f"{value} is not the address of one machine; give the one under which the tablet "
            "reaches this machine, as 192.168.1.20."
        )
    return found.compressed


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
SIZE = click.option(
    "--size", metavar="NAME", help="One of the file's sizes. Default: the one that the file says."
)
SETTING = click.option(
    "--setting",
    "settings",
    multiple=True,
    metavar="NAME",
    help="One of the file's settings: an exchange on the finished frame. Repeatable.",
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


FILES = click.argument(
    "bikes", nargs=-1, required=True, type=click.Path(), metavar="FILE[:SIZE][+SETTING]..."
)


def common(command: Callable[..., int | None]) -> Callable[..., int | None]:
    """Options that nearly every command takes; the command gets them as one request."""

    @wraps(command)
    def asked(file: Path, **choice: Any) -> int | None:
        request, wishes = _request(file, **choice)
        return command(request, **wishes)

    return _with_options(asked, FILE)


def common_of_several(command: Callable[..., int | None]) -> Callable[..., int | None]:
    """Options of a command that takes several bikes; it gets one request, with what was named in it.

    Where one bike is named, the request is the same as for a command that takes one.
    """

    @wraps(command)
    def asked(bikes: Sequence[str], **choice: Any) -> int | None:
        from frame3d.family.wanted import read_name

        file, size, settings = read_name(bikes[0])
        if len(bikes) == 1:
            choice["size"] = size or choice["size"]
            choice["settings"] = settings or choice["settings"]
        request, wishes = _request(Path(file), **choice)
        if len(bikes) > 1:
            request = replace(request, bikes=tuple(bikes))
        return command(request, **wishes)

    return _with_options(asked, FILES)


def _request(
    file: Path,
    sets: Sequence[str],
    swaps: Sequence[str],
    size: str | None,
    settings: Sequence[str],
    as_json: bool,
    quiet: bool,
    out: Path | None = None,
    **wishes: Any,
) -> tuple[Request, dict[str, Any]]:
    """Return the request, and a command's own options."""
    return Request(file, sets, swaps, as_json, quiet, out, size, tuple(settings)), wishes


def _with_options(
    command: Callable[..., int | None], argument: Callable[..., Any]
) -> Callable[..., int | None]:
    """Return a command with the options that nearly every one takes."""
    for option in (QUIET, JSON, SETTING, SIZE, SWAP, SET, argument):
        command = option(command)
    return command
