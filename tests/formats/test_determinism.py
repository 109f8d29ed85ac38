"""The same frame gives the same bytes, in this process and in another."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

from frame3d.formats.glb import glb
from frame3d.formats.step import step
from frame3d.formats.stl import stl
from frame3d.formats.threemf import threemf
from tests.formats.suspended import files_at_pose
from tests.frames import hardtail, hardtail_files

ROOT = Path(__file__).parents[2]
SCRIPT = """
import hashlib
from frame3d.formats.documents import dumps
from frame3d.formats import document_of
from tests.frames import hardtail, hardtail_files
for name, data in hardtail_files().items():
    print(name, hashlib.sha256(data).hexdigest())
print("json", hashlib.sha256(dumps(document_of(hardtail())).encode()).hexdigest())
from tests.formats.suspended import files_at_pose
for name, data in files_at_pose().items():
    print(name, hashlib.sha256(data).hexdigest())
"""


def test_another_process_writes_the_same_bytes() -> None:
    from frame3d.formats import document_of
    from frame3d.formats.documents import dumps

    environment = {**os.environ, "PYTHONHASHSEED": "12345", "PYTHONPATH": str(ROOT)}
    there = subprocess.run(
        [sys.executable, "-c", SCRIPT],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    files = {**hardtail_files(), "json": dumps(document_of(hardtail())).encode()}
    files |= files_at_pose()
    here = [f"{name} {hashlib.sha256(data).hexdigest()}" for name, data in files.items()]
    assert there.stdout.splitlines() == here  # and nothing else on standard output


def test_again_in_the_same_process() -> None:
    """The kernel counts occurrences on from file to file; what we write does not show it."""
    model, files = hardtail(), hardtail_files()
    again = {"step": step(model), "stl": stl(model), "3mf": threemf(model), "glb": glb(model)}
    assert {name: again[name] == files[name] for name in files} == dict.fromkeys(files, True)
