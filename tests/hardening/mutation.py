"""Good parameter files and commands, spoilt at random by a seed; what a command must never do with them."""

from __future__ import annotations

import copy
import gc
import json
import random
import signal
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from ruamel.yaml import YAML

from tests.hardening.running import ROOT, SMALL, run

FAMILY: Final = Path(__file__).with_name("family.yaml")
"""A small bike with sizes, settings, values by size and by rule."""
SEEDS: Final = (
    SMALL,
    FAMILY,
    *sorted((ROOT / "configs").glob("*.yaml")),
    *sorted(Path(__file__).with_name("seeds").glob("*.yaml")),
)
"""Hardtails, suspended bikes, a family; bikes with what the demos have not: features of every kind, flat
parts, sections, a built fork, an eccentric insert, slots, a shop's own bodies, steps, dampers, limits."""
PATIENCE: Final = 120
"""Processor time that a command may take [s]; a check that looks for remedies takes 40."""
ODD: Final = (
    None, {}, [], "", True, 0, -1, 1e-6, 1e300, float("9" * 400), "x", "25%", [[]], {"a": {"b": 1}},
    {"on": {}}, {"on": "head_tube"}, ["head_tube"], "head_tube", "main_pivot", "rear_axle", "solid",
    {"start": 40, "end": {}}, "\x1b[31m", "é→", "9" * 400, "=1+1", "4130", "frame", {"format": 1},
)  # fmt: skip
"""Values of other kinds than wanted."""
FACTORS: Final = (0, -1, 1e-9, 1e-6, 1e-3, 0.1, 0.5, 0.9, 0.99, 1.01, 1.1, 1.5, 2, 10, 1e3, 1e12)
TRICKS: Final = (
    "&a", "*a", "<<: *a", "!!python/object:os.system x", "!t x", "---", "...", "\t", "\r", "? a",
    "[" * 30, "{a: [}", "- x", "a: b: c", "%YAML 1.1", "\ufeff", "a: |\n  b\n c", '"\\x1b\\u202e": 1',
    "'", '"', "# x", "0x10", "1_000", "1:30", "2001-01-01", "yes", "~", ".nan", "-.inf", "1e5", "@", "`",
    "*" * 9, "tubes:", "geometry:", "name: x", "a: &b [*b]", "\u2028", "<<: [1]", "<<: {name: y}",
    "sizes: [S, M]", "{from: 430, step: 20}", "{S: 1, M: 2}", "settings: {low: {a.b: 1}}", "S: {}",
)  # fmt: skip
"""Pieces of YAML that go in at random."""
OPTIONS: Final = (
    "--set", "--swap", "--at", "--tolerance", "--near", "--sensitivity", "--mass", "--travel",
    "--scale", "--length", "--bed", "--with", "--wall", "--what-fits", "--paper", "--size", "--setting",
    "--all-sizes", "--rider-height", "--quantity",
)  # fmt: skip
WORDS: Final = (
    "nan", "0", "-1", "1e999", "", "=", "a=b", "geometry.reach=470", "geometry.reach=", "tubes={}",
    "tubes.down_tube.od=1e-6", "build.fork.offset=60", "build.fork={}", "rear=sag", "rear=200%",
    "fork=50%,steer=10", "crank=1e9", "1:6", "1:0", "0.5", "1", "A4", "wheels", "frame", "220x220",
    "name=\x1b", "suspension.points={}", "tubes.top_tube=null", "a.b.c.d=1", "geometry=[1]", "é",
    "S", "long", "all", "drawn", "sizes.S=null", "sizes={M: {}}", "geometry.reach={from: 1, step: 1}", "1800",
)  # fmt: skip
LIGHT: Final = ("solve",) * 120 + ("check", "sizes", "compare")
ALL: Final = (
    ("solve",) * 60
    + ("check",) * 6
    + ("fabricate",) * 3
    + ("mockup",) * 2
    + ("report", "build")
    + ("sizes", "compare") * 2
)


@dataclass(frozen=True)
class Case:
    """A spoilt file and a command for it."""

    number: int
    kind: str
    data: bytes
    words: tuple[str, ...]
    """Of the command, but for the file."""

    def __str__(self) -> str:
        return f"case {self.number} ({self.kind}): frame3d {' '.join(map(repr, self.words))}"


def case(number: int, verbs: tuple[str, ...] = LIGHT) -> Case:
    """The case of a number; always the same one."""
    dice = random.Random(f"frame3d {number}")
    seed = dice.choice(SEEDS).read_text(encoding="utf-8")
    kind = dice.choice(tuple(KINDS))
    data = KINDS[kind](seed, dice)
    verb = dice.choice(verbs)
    words = [verb]
    if verb == "solve":
        words += ["--mass", "--travel"]
    if kind == "options":
        for _ in range(dice.randint(1, 3)):
            words.append(dice.choice(OPTIONS))
            if dice.random() < 0.9:
                words.append(dice.choice(WORDS))
    if dice.random() < 0.5:
        words.append("--json")
    return Case(number, kind, data, tuple(words))


def wrong_with(case: Case) -> str:
    """What a command did that it must not; empty where all is well."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "bike.yaml"
        file.write_bytes(case.data)
        out = [] if case.words[0] in ("solve", "check", "sizes") else ["-o", f"{folder}/out"]
        try:
            with _limit(PATIENCE):
                ended = run(*case.words, file, *out)
        except _SlowError:
            return f"it took more than {PATIENCE} s of the processor"
        except Exception as error:
            return f"{type(error).__name__} comes through: {error}"
        finally:
            gc.enable()
    if ended.status not in (0, 1, 2):
        return f"exit status {ended.status}: {ended.err[-300:]}"
    if "Traceback" in ended.err or any(
        ord(c) < 32 and c not in "\n\t" for c in ended.out + ended.err
    ):
        return f"a traceback or an escape: {ended.err[-300:]!r}"
    if ended.status == 2:
        # An option without its value takes the file for it, and a word before for the file.
        return _unnamed(ended.err, (str(file), *case.words))
    return ""


def _unnamed(said: str, files: tuple[str, ...]) -> str:
    """A fault that names neither a file nor an option; empty where each does."""
    if said.startswith("Usage:") or "\nUsage:" in said:
        return "" if "Error:" in said else f"no error told: {said}"
    for fault in said.split("\n\n"):
        first = fault.strip().partition("\n")[0]
        counted = first.endswith(" faults") and first.split()[0].isdigit()
        if not counted and not first.startswith((*files, "--")):
            return f"it names neither file nor option: {first}"
    return ""


# -- what is done to files -----------------------------------------------------------------------


def _dumped(data: Any) -> bytes:
    return json.dumps(data, indent=1, ensure_ascii=False, allow_nan=True).encode("utf-8", "replace")


def _loaded(text: str) -> Any:
    """A file as plain data, to be changed at will; each text is read once."""
    return copy.deepcopy(_read(text))


@cache
def _read(text: str) -> Any:
    return YAML(typ="safe", pure=True).load(text)


def places(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, Any, tuple[Any, ...]]]:
    """Every container with each key or index in it, and the keys down to there."""
    pairs = data.items() if isinstance(data, dict) else enumerate(data)
    for key, value in list(pairs):
        yield data, key, (*path, key)
        if isinstance(value, dict | list):
            yield from places(value, (*path, key))


def _some(found: list[Any], dice: random.Random) -> list[Any]:
    """A few places of a list."""
    return dice.sample(found, min(len(found), dice.choice((1, 1, 1, 2, 3, 6))))


def _structure(text: str, dice: random.Random) -> bytes:
    data = _loaded(text)
    for _ in range(dice.choice((1, 1, 1, 2, 4))):
        found = list(places(data))
        if not found:
            break
        holder, key, _ = dice.choice(found)
        what = dice.randrange(6)
        if what == 0:
            holder.pop(key)
        elif what == 1:
            other, there, _ = dice.choice(list(places(data)))
            holder[key] = json.loads(json.dumps(other[there]))
        elif what == 2 and isinstance(holder, dict):
            name = dice.choice(
                ("a", "A b", "", "on", "start", "head_tube", "x.y", "0", "\x1b[0m", "é")
            )
            holder[name] = holder.pop(key)
        elif what == 3 and isinstance(holder, list):
            holder[key:key] = [holder[key]] * dice.choice((1, 30))
        else:
            holder[key] = copy.deepcopy(dice.choice(ODD))
    return _dumped(data)


def _numbers(text: str, dice: random.Random) -> bytes:
    data = _loaded(text)
    found = [
        (holder, key)
        for holder, key, _ in places(data)
        if isinstance(holder[key], int | float) and not isinstance(holder[key], bool)
    ]
    for holder, key in _some(found, dice):
        factor = dice.choice(FACTORS) if dice.random() < 0.6 else dice.uniform(0.7, 1.4)
        value = holder[key] * factor
        holder[key] = (
            round(value) if isinstance(holder[key], int) and dice.random() < 0.7 else value
        )
    return _dumped(data)


def _names(text: str, dice: random.Random) -> bytes:
    """Names that name other things, of their kind or of any."""
    data = _loaded(text)
    found = [(holder, key) for holder, key, _ in places(data) if isinstance(holder[key], str)]
    names = [holder[key] for holder, key in found] + [
        k for _, k, _ in places(data) if isinstance(k, str)
    ]
    for holder, key in _some(found, dice):
        holder[key] = dice.choice(names)
    return _dumped(data)


def _bytes(text: str, dice: random.Random) -> bytes:
    data = bytearray(text.encode())
    for _ in range(dice.choice((1, 1, 2, 5, 20))):
        if not data:
            break
        at = dice.randrange(len(data))
        what = dice.randrange(4)
        if what == 0:
            data[at] = dice.randrange(256)
        elif what == 1:
            del data[at : at + dice.choice((1, 1, 2, 40))]
        elif what == 2:
            data[at:at] = bytes(
                dice.choices(b"\x00\t\r\n :{}[],&*!|>%@\"'#-?0\xc3\xff", k=dice.choice((1, 2, 9)))
            )
        else:
            data = data[: max(at, 40)]
    return bytes(data)


def _tricks(text: str, dice: random.Random) -> bytes:
    rows = text.split("\n")
    for _ in range(dice.choice((1, 1, 2, 4))):
        at = dice.randrange(len(rows))
        trick = dice.choice(TRICKS)
        what = dice.randrange(3)
        if what == 0:
            indent = len(rows[at]) - len(rows[at].lstrip())
            rows[at:at] = [" " * indent + trick]
        elif what == 1:
            rows[at] = f"{rows[at]} {trick}"
        else:
            rows[at] = rows[at].replace(": ", f": {trick} ", 1)
    end = dice.choice(("\n",) * 8 + ("\r\n", "\r"))
    start = dice.choice(("",) * 8 + ("\ufeff",))
    whole = start + end.join(rows)
    return whole.encode(dice.choice(("utf-8",) * 12 + ("utf-16", "utf-32", "cp1252")), "replace")


KINDS: Final[dict[str, Callable[[str, random.Random], bytes]]] = {
    "structure": _structure,
    "numbers": _numbers,
    "names": _names,
    "bytes": _bytes,
    "tricks": _tricks,
    "options": lambda text, _: text.encode(),
}


class _SlowError(BaseException):
    """A command takes too long."""


@contextmanager
def _limit(seconds: int) -> Iterator[None]:
    """End what takes longer, where the system can."""

    def end(_number: int, _frame: object) -> None:
        raise _SlowError

    if not hasattr(signal, "SIGPROF"):
        yield
        return
    before = signal.signal(signal.SIGPROF, end)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)
