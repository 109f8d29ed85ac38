"""One file through every command on machines that differ: what is written and said is the same bytes."""

from __future__ import annotations

import hashlib
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from tests.hardening.running import command, environment

COMMANDS: Final = (
    ("solve", "--mass", "--json"),
    ("solve", "--mass", "--sensitivity"),
    ("check", "--json"),
    ("build", "-o", "built"),
    ("fabricate", "-o", "pack"),
    ("mockup", "-o", "model", "--length", "200"),
    ("report", "-o", "page"),
    ("compare", "--set", "name=Other", "-o", "compared"),
)
MACHINES: Final[dict[str, dict[str, str]]] = {
    "a": {"PYTHONHASHSEED": "1", "TZ": "UTC", "LC_ALL": "C", "NUMBA_NUM_THREADS": "1",
          "OMP_NUM_THREADS": "1", "COLUMNS": "80"},
    "b, far from a": {"PYTHONHASHSEED": "4242", "TZ": "Pacific/Kiritimati", "LC_ALL": "C.UTF-8",
                      "LANG": "tr_TR.UTF-8", "NUMBA_NUM_THREADS": "2", "OMP_NUM_THREADS": "4",
                      "PYTHONUTF8": "1", "COLUMNS": "80"},
}  # fmt: skip
"""Environments; each also has a folder of its own name."""


ENDS: Final = (0, 1, 2)
"""Exit statuses; what is refused, as a file without tubes is by `build`, is refused alike."""


def different(
    file: Path, folder: Path, commands: Sequence[tuple[str, ...]] = COMMANDS
) -> list[str]:
    """Return what differs between the machines: files by name, and what commands say."""
    found = [_made(file, folder / name, changes, commands) for name, changes in MACHINES.items()]
    names = set().union(*found)
    return sorted(name for name in names if len({one.get(name) for one in found}) > 1)


def _made(
    file: Path, folder: Path, changes: dict[str, str], commands: Sequence[tuple[str, ...]]
) -> dict[str, str]:
    """Run the commands in a folder; return a digest of each file and of what each command says."""
    folder.mkdir()
    shutil.copy(file, folder / "bike.yaml")
    digests = {}
    for verb, *options in commands:
        done = subprocess.run(
            command(verb, "bike.yaml", *options),
            cwd=folder,
            env=environment(**changes),
            capture_output=True,
            check=False,
        )
        assert done.returncode in ENDS, done.stderr.decode("utf-8", "replace")
        digests[" ".join((verb, *options))] = hashlib.sha256(done.stdout + done.stderr).hexdigest()
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            digests[str(path.relative_to(folder))] = hashlib.sha256(path.read_bytes()).hexdigest()
    return digests
