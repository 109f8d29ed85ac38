"""Coverage-guided fuzzing of the reader: ``python -m tests.hardening.fuzz [SECONDS] [FOLDER]``.

Needs atheris (``pip install atheris``; Linux and macOS). The demos are the first inputs; FOLDER keeps
what reaches new branches. Ends with the first input that makes anything but a fault of the file.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["frame3d.parameters", "frame3d.errors", "ruamel"]):
    from frame3d.errors import FrameError
    from frame3d.parameters.reading.reader import loads

from tests.hardening.mutation import SEEDS


def one(data: bytes) -> None:
    """Read a file's bytes; whatever is wrong with them is a fault with a message."""
    try:
        loads(data.decode("utf-8", "replace"))
    except FrameError as error:
        if not all(fault.render() for fault in error.faults):
            raise AssertionError("a fault without a message") from error


def main(words: list[str]) -> None:
    """Fuzz for some seconds."""
    seconds = int(words[0]) if words else 3600
    with tempfile.TemporaryDirectory() as made:
        folder = Path(words[1] if len(words) > 1 else made)
        folder.mkdir(parents=True, exist_ok=True)
        for seed in SEEDS:
            (folder / seed.name).write_bytes(seed.read_bytes())
        limits = ["-max_len=20000", "-timeout=20", f"-max_total_time={seconds}"]
        atheris.Setup([sys.argv[0], *limits, str(folder)], one)
        atheris.Fuzz()


if __name__ == "__main__":
    main(sys.argv[1:])
