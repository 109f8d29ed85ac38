"""``frame3d live``: what stops it before there is a page."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from frame3d.cli.commands import frame3d
from frame3d.live.work.outputs import OUTPUTS
from frame3d.report.texts import texts
from tests.live.serving import ROOT, SMALL


def live(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "frame3d", "live", *arguments, "--no-open"],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )


def test_a_file_that_is_gone_is_said_so(tmp_path: Path) -> None:
    done = live(str(tmp_path / "none.yaml"))
    assert done.returncode == 2
    assert "there is no such file" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_port_that_is_taken_is_said_so() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = live(str(SMALL), "--port", str(port))
    assert done.returncode == 2
    assert f"port {port} at 127.0.0.1 cannot be had" in done.stderr
    assert "--port 0" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (("--on", "127.0.0.2"), "add --read-only"),
        (("--read-only", "--on", "203.0.113.9"), "is this an address of this machine"),
        (("--read-only", "--on", "0.0.0.0"), "not the address of one machine"),
        (("--read-only", "--on", "shop.example"), "no IP address"),
    ],
)
def test_addresses_that_would_not_do_are_said_so(arguments: tuple[str, ...], why: str) -> None:
    """203.0.113.0/24 is nobody's (RFC 5737, value from memory)."""
    done = CliRunner().invoke(frame3d, ["live", str(SMALL), *arguments, "--no-open", "--port", "0"])
    assert done.exit_code != 0
    assert why in " ".join(f"{done.output} {done.exception}".split())


def test_outputs_have_commands_and_texts() -> None:
    keys = [one.key for one in OUTPUTS]
    assert len(set(keys)) == len(keys)
    for key in keys:
        assert key in frame3d.commands
        assert texts().get(f"output.{key}.title")
        assert texts().get(f"output.{key}.says")
