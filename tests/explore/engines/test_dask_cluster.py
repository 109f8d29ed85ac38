"""Evaluation on a Dask scheduler with two worker processes, one of which is killed."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from shutil import which
from typing import Any

import pytest

import frame3d
from frame3d.errors import FrameError
from frame3d.explore.engines import dask_cluster
from frame3d.explore.engines.dask_cluster import DaskCluster, evaluate_piece
from frame3d.explore.engines.serial import Serial
from frame3d.explore.store.store import Store
from tests.explore.fakes import STUDY, Deadly, Formula, Marked, designs, result, with_bike

pytest.importorskip("distributed")
ROOT = Path(frame3d.__file__).parent.parent
ONE_LOSS = {"DASK_DISTRIBUTED__SCHEDULER__ALLOWED_FAILURES": "0"}


class Cluster:
    """A scheduler and its workers, each a process."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.file = folder / "scheduler.json"
        self.runs: list[subprocess.Popen[bytes]] = []

    def start(self, kind: str, *options: str, **env: str) -> subprocess.Popen[bytes]:
        known = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONWARNINGS": "ignore", **env}
        command = [sys.executable, "-m", f"distributed.cli.dask_{kind}", *options]
        command += ["--scheduler-file", str(self.file), "--no-dashboard"]
        with (self.folder / f"{len(self.runs)}.log").open("wb") as log:
            run = subprocess.Popen(command, cwd=self.folder, env=known, stdout=log, stderr=log)
        self.runs.append(run)
        return run

    def worker(self, nanny: str = "--no-nanny", threads: int = 1) -> subprocess.Popen[bytes]:
        return self.start("worker", "--nthreads", str(threads), nanny)

    @property
    def address(self) -> str:
        until = time.monotonic() + 30
        while time.monotonic() < until:
            with suppress(OSError, ValueError):  # not there yet, or not all of it
                return str(json.loads(self.file.read_text())["address"])
            time.sleep(0.05)
        raise TimeoutError((self.folder / "0.log").read_text())


@contextmanager
def cluster(folder: Path, *options: str, **env: str) -> Iterator[Cluster]:
    made = Cluster(folder)
    made.start("scheduler", "--host", "127.0.0.1", "--port", "0", *options, **env)
    try:
        yield made
    finally:
        for run in reversed(made.runs):
            run.terminate()
        for run in made.runs:
            try:
                run.wait(3)
            except subprocess.TimeoutExpired:
                run.kill()
                run.wait()


DRIVING = """
import sys
from frame3d.explore.engines.dask_cluster import DaskCluster
from frame3d.explore.store.store import Store
from tests.explore.fakes import Marked, chunks, with_bike
file, address, log = sys.argv[1:]
study = with_bike(log)
with Store.open(file, study) as store, DaskCluster(Marked, address, target=0.05) as engine:
    for found in engine.run(study, chunks(100_000, 10)):
        store.add(found)
        print(len(store), flush=True)
"""


def test_rows_are_the_same_also_where_a_worker_and_the_driver_are_killed(tmp_path: Path) -> None:
    log = tmp_path / "log"
    log.touch()
    study = with_bike(str(log))
    with cluster(tmp_path) as made:
        by_pid = {run.pid: run for run in (made.worker(), made.worker())}
        driver = subprocess.Popen(
            [sys.executable, "-c", DRIVING, str(tmp_path / "b"), made.address, str(log)],
            cwd=ROOT,
            stdout=subprocess.PIPE,
            text=True,
        )
        assert driver.stdout is not None
        told = 0
        while told < 100:
            told = int(driver.stdout.readline())
        killed = by_pid[int(log.read_text().splitlines()[-1].split()[0])]
        killed.kill()
        assert killed.wait(5) == -signal.SIGKILL
        while told < 400:
            told = int(driver.stdout.readline())
        driver.kill()
        driver.stdout.close()
        driver.wait(5)
        with Store.open(tmp_path / "b", study) as store:
            kept = len(store)
            assert kept >= told
            whole = designs(kept + 50)
            known = store.known(whole)
            assert set(known) == set(designs(kept))
            missing = [design for design in whole if design not in known]
            with DaskCluster(Marked, made.address) as engine:
                for found in engine.run(study, [missing]):
                    store.add(found)
            rows = list(store.rows())
    with Store.open(tmp_path / "a", study) as store:
        for found in Serial(Formula).run(study, [whole]):
            store.add(found)
        assert list(store.rows()) == rows


def test_a_design_that_ends_its_worker_is_told_and_left_out(tmp_path: Path) -> None:
    some = designs(3, 36)
    with (
        cluster(tmp_path, **ONE_LOSS) as made,
        DaskCluster(Deadly, made.address, target=0.05) as engine,
    ):
        made.worker("--nanny")
        found = [one for part in engine.run(STUDY, [some]) for one in part]
        assert found == [result(design) for design in some if abs(design[0] - 3.7) > 1e-9]
        assert [one.design for one in engine.left_out] == [some[1]]


def test_a_scheduler_without_workers_or_with_threads_is_told(tmp_path: Path) -> None:
    with cluster(tmp_path) as made:
        engine = DaskCluster(Formula, made.address, patience=0.5)
        with pytest.raises(FrameError, match="has no workers"):
            next(engine.run(STUDY, [designs(1)]))
        made.worker(threads=2)
        engine.patience = 10
        with engine, pytest.raises(FrameError, match="has 2 threads, one is wanted"):
            next(engine.run(STUDY, [designs(1)]))


def test_no_scheduler_is_told_in_time() -> None:
    with socket.create_server(("127.0.0.1", 0)) as silent:
        port = silent.getsockname()[1]
        begun = time.monotonic()
        engine = DaskCluster(Formula, f"tcp://127.0.0.1:{port}", patience=1.0)
        with pytest.raises(FrameError, match=rf"no scheduler answers at tcp://127.0.0.1:{port}"):
            next(engine.run(STUDY, [designs(1)]))
        assert time.monotonic() - begun < 5
    with pytest.raises(FrameError, match="no scheduler answers"):
        next(engine.run(STUDY, [designs(1)]))


def test_without_dask_its_extra_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(FrameError, match=r"frame3d\[dask\]"):
        next(DaskCluster(Formula, "tcp://127.0.0.1:1").run(STUDY, [designs(1)]))


def test_a_worker_says_its_version(monkeypatch: pytest.MonkeyPatch) -> None:
    import pickle

    monkeypatch.setattr(dask_cluster, "__version__", "9.9.9")
    payload: Any = pickle.dumps((Formula, STUDY))
    version, found = evaluate_piece(payload, tuple(designs(3)))
    assert version == "9.9.9"
    assert found.evaluations == tuple(result(design) for design in designs(3))


def certificate(folder: Path, name: str) -> tuple[str, str]:
    """Files of a certificate that signs itself, and of its key."""
    cert, key = str(folder / f"{name}.pem"), str(folder / f"{name}.key")
    words = f"req -x509 -newkey rsa:2048 -nodes -days 2 -subj /CN={name} -keyout {key} -out {cert}"
    subprocess.run(["openssl", *words.split()], check=True, capture_output=True)
    return cert, key


def config_of(cert: str, key: str) -> dict[str, object]:
    """What names a client's certificate, as the environment does in the README."""
    tls = "distributed.comm.tls"
    return {f"{tls}.ca-file": cert, f"{tls}.client.cert": cert, f"{tls}.client.key": key}


@pytest.mark.skipif(which("openssl") is None, reason="no openssl")
def test_over_tls_only_with_a_key_that_the_scheduler_trusts(tmp_path: Path) -> None:
    """A scheduler and two workers with one certificate; a client without it, or with its own, is refused."""
    import dask.config

    ours, another = certificate(tmp_path, "shop"), certificate(tmp_path, "stranger")
    options = ("--tls-ca-file", ours[0], "--tls-cert", ours[0], "--tls-key", ours[1])
    whole = designs(60)
    with cluster(tmp_path, "--protocol", "tls", *options) as made:
        for _ in range(2):
            made.start("worker", "--nthreads", "1", "--no-nanny", *options)
        assert made.address.startswith("tls://")
        with dask.config.set(config_of(*ours)), DaskCluster(Formula, made.address) as engine:
            found = [one for some in engine.run(STUDY, [whole]) for one in some]
        assert found == [result(design) for design in whole]
        for config in ({}, config_of(*another)):
            with (
                dask.config.set(config),
                DaskCluster(Formula, made.address, patience=1.0) as engine,
                pytest.raises(FrameError) as told,
            ):
                list(engine.run(STUDY, [whole]))
            assert made.address in str(told.value)
            assert "DASK_DISTRIBUTED__COMM__TLS__CLIENT__KEY" in str(told.value)
