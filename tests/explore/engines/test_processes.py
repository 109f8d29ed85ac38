"""Evaluation in processes: the same rows, whatever becomes of the processes."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

import frame3d
from frame3d.errors import FrameError
from frame3d.explore.engines.processes import Processes
from frame3d.explore.engines.serial import Serial
from frame3d.explore.store.store import Store
from frame3d.explore.study.study import Study
from tests.explore.fakes import (
    STUDY,
    Deadly,
    Formula,
    Marked,
    chunks,
    designs,
    result,
    with_bike,
)

ROOT = Path(frame3d.__file__).parent.parent


@pytest.fixture(scope="module")
def two() -> Iterator[Processes]:
    """Two processes, kept from test to test."""
    with Processes(Formula, 2) as engine:
        yield engine


def stored(file: Path, engine: Processes | Serial, size: int) -> bytes:
    """The contents of a store that an engine has filled."""
    with Store.open(file, STUDY) as store:
        for found in engine.run(STUDY, chunks(300, size)):
            store.add(found)
    return file.read_bytes()


def test_rows_are_the_same_byte_for_byte(tmp_path: Path, two: Processes) -> None:
    one = stored(tmp_path / "a", Serial(Formula), 300)
    rows = []
    for name in ("a", "b", "c"):
        if name != "a":
            stored(tmp_path / name, two, {"b": 300, "c": 11}[name])
        with Store.open(tmp_path / name, STUDY) as store:
            rows.append(repr(list(store.rows())))
    assert one
    assert rows[0] == rows[1] == rows[2]


def test_processes_are_kept_and_take_another_study(two: Processes, tmp_path: Path) -> None:
    two.make = Formula
    for study in (STUDY, with_bike("other"), STUDY):
        found = [one for some in two.run(study, [designs(40)]) for one in some]
        assert found == [result(design) for design in designs(40)]


def test_a_run_that_is_left_half_way_does_not_disturb_the_next(two: Processes) -> None:
    running = two.run(STUDY, chunks(200, 10))
    assert next(running)[0] == result(designs(1)[0])
    running.close()
    found = [one for some in two.run(STUDY, chunks(50, 5)) for one in some]
    assert found == [result(design) for design in designs(50)]


def test_a_design_that_ends_its_process_is_told_and_left_out() -> None:
    with Processes(Deadly, 2) as engine:
        found = [one for some in engine.run(STUDY, chunks(60, 60)) for one in some]
        assert found == [result(design) for design in designs(60) if abs(design[0] - 3.7) > 1e-9]
        (one,) = engine.left_out
        assert one.design == designs(60)[37]
        assert "ended" in one.why


def test_a_process_that_somebody_kills_loses_nothing(tmp_path: Path) -> None:
    log = tmp_path / "log"
    log.touch()
    study = with_bike(str(log))
    found = []
    killed = False
    with Processes(Marked, 2) as engine:
        for some in engine.run(study, chunks(400, 5)):
            found += some
            if len(found) > 100 and not killed:
                pid = int(log.read_text().splitlines()[-1].split()[0])
                os.kill(pid, signal.SIGKILL)
                killed = True
        assert killed
        assert engine.left_out == []
    assert found == [result(design) for design in designs(400)]


def hanging(study: Study) -> Formula:
    time.sleep(600)
    return Formula(study)


def test_what_hangs_is_ended_and_left_out() -> None:
    with Processes(hanging, 1, patience=1.5) as engine:
        assert [one for some in engine.run(STUDY, [designs(1)]) for one in some] == []
        assert [one.design for one in engine.left_out] == designs(1)


def refusing(study: Study) -> Formula:
    from frame3d.errors import Fault, SpecError

    raise SpecError(Fault("unknown-key", "geometry", "no such key"))


def test_a_study_that_cannot_be_evaluated_is_told() -> None:
    with Processes(refusing, 1) as engine, pytest.raises(FrameError, match="no such key"):
        list(engine.run(STUDY, [designs(3)]))


RUNNING = """
import signal, sys
from pathlib import Path
from frame3d.explore.engines.processes import Processes
from frame3d.explore.store.store import Store
from tests.explore.fakes import STUDY, Slow, chunks
if __name__ == "__main__":
    # Tests that run in the background of a shell are deaf to it, and so would this process be.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    with Store.open(Path(sys.argv[1]), STUDY) as store, Processes(Slow, 2) as engine:
        print("begun", flush=True)
        try:
            for found in engine.run(STUDY, chunks(100_000, 50)):
                store.add(found)
                if found:
                    print(len(store), flush=True)
        except KeyboardInterrupt:
            print("stopped", flush=True)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no such signal there")
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGKILL])
def test_a_run_that_is_stopped_keeps_its_results_and_leaves_no_process(
    tmp_path: Path, how: signal.Signals
) -> None:
    script = tmp_path / "run.py"
    script.write_text(RUNNING)
    run = subprocess.Popen(
        [sys.executable, str(script), str(tmp_path / "a")],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    assert run.stdout is not None
    assert run.stdout.readline() == "begun\n"
    kept = 0
    while kept < 60:
        kept = int(run.stdout.readline())
    run.send_signal(how)
    try:
        out, err = run.communicate(timeout=60)  # its pipes are closed by the last process with them
    except subprocess.TimeoutExpired:
        run.kill()
        run.communicate()
        raise
    assert err == ""
    if how == signal.SIGINT:
        assert out.endswith("stopped\n")
        assert run.returncode == 0
    with Store.open(tmp_path / "a", STUDY) as store:
        assert len(store) >= kept
        assert list(store.rows()) == [result(design) for design in designs(len(store))]
