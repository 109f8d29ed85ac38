"""Results kept on disk: whole after a kill, resumed, told in one order, bad files refused."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

import frame3d
from frame3d.errors import OutputError
from frame3d.explore.store import store as module
from frame3d.explore.store.store import Store
from tests.explore.fakes import MASS, STUDY, chunks, designs, result, with_bike

ROOT = Path(frame3d.__file__).parent.parent


def test_what_is_added_is_known_also_after_opening_again(tmp_path: Path) -> None:
    file = tmp_path / "new folder" / "study.results"
    some = [result(design) for design in designs(700)]
    with Store.open(file, STUDY) as store:
        assert store.known(designs(10)) == {}
        assert store.best(3) == ()
        store.add(some)
    with Store.open(file, STUDY) as store:
        assert len(store) == 700
        assert store.known(designs(720)) == {one.design: one for one in some}
    assert [path.name for path in file.parent.iterdir()] == [file.name]


def test_rows_have_one_order_whatever_was_added_first(tmp_path: Path) -> None:
    some = [result(design) for design in designs(60)]
    with Store.open(tmp_path / "a", STUDY) as store:
        store.add(some)
        first = list(store.rows())
    with Store.open(tmp_path / "b", STUDY) as store:
        for one in reversed(some):
            store.add([one])
        assert list(store.rows()) == first
    assert [one.design[0] for one in first] == sorted(one.design[0] for one in some)


def test_a_result_is_kept_once(tmp_path: Path) -> None:
    one = result((12.0, "61-622"))
    with Store.open(tmp_path / "a", STUDY) as store:
        store.add([one])
        store.add([replace(one, total=9.0), result((12, "61-622")), result((-0.0, "61-622"))])
        store.add([result((0.0, "61-622"))])
        assert len(store) == 2
        assert store.known([(12.0, "61-622")]) == {(12.0, "61-622"): one}


def test_best_are_feasible_then_by_preference_then_nearest(tmp_path: Path) -> None:
    # The fake's trail holds for a reach of 54 to 84 mm, its mass is least at 60.
    reaches = [20.0, 50.0, 53.0, 58.0, 61.0, 80.0]
    with Store.open(tmp_path / "a", STUDY) as store:
        store.add([result((reach, "61-622")) for reach in reaches])
        assert [one.design[0] for one in store.best(5)] == [61.0, 58.0, 80.0, 53.0, 50.0]
        assert [one.design[0] for one in store.best(2)] == [61.0, 58.0]
    most = replace(STUDY, preferences=(replace(MASS, least=False),))
    with Store.open(tmp_path / "b", most) as store:
        store.add([result((reach, "61-622")) for reach in reaches])
        assert [one.design[0] for one in store.best(3)] == [80.0, 58.0, 61.0]


def test_another_question_has_results_of_its_own(tmp_path: Path) -> None:
    file = tmp_path / "a"
    with Store.open(file, STUDY) as store:
        store.add([result(design) for design in designs(5)])
    for other in (
        with_bike("format: 1\nname: other\n"),
        replace(STUDY, wishes=(replace(STUDY.wishes[0], high=130.0),)),
        replace(STUDY, checks="all"),
        replace(STUDY, sizes=("S", "M")),
    ):
        with Store.open(file, other) as store:
            assert store.known(designs(5)) == {}
            assert list(store.rows()) == []
    with Store.open(file, STUDY, mode="whole") as store:
        assert len(store) == 0
    with Store.open(file, STUDY) as store:
        assert len(store) == 5


def test_other_ranges_use_the_same_results_and_tell_only_their_own(tmp_path: Path) -> None:
    with Store.open(tmp_path / "a", STUDY) as store:
        store.add([result(design) for design in designs(20)])
    reach, tyre = STUDY.varied
    narrow = replace(STUDY, varied=(replace(tyre, values=("61-622",)), replace(reach, high=1.0)))
    with Store.open(tmp_path / "a", narrow) as store:
        assert [one.design for one in store.rows()] == [
            ("61-622", 0.1 * i) for i in (1, 3, 5, 7, 9)
        ]
        assert len(store) == 20


ADDING = """
import sys
from frame3d.explore.store.store import Store
from tests.explore.fakes import STUDY, chunks, result
with Store.open(sys.argv[1], STUDY) as store:
    for some in chunks(20_000, 20):
        store.add([result(design) for design in some])
        print(len(some), flush=True)
"""


def test_a_kill_amid_adding_loses_no_chunk_and_tears_none(tmp_path: Path) -> None:
    file = tmp_path / "a"
    run = subprocess.Popen(
        [sys.executable, "-c", ADDING, str(file)], cwd=ROOT, stdout=subprocess.PIPE, text=True
    )
    assert run.stdout is not None
    said = sum(int(run.stdout.readline()) for _ in range(15))
    run.send_signal(signal.SIGKILL)
    said += sum(map(int, run.stdout.read().split()))
    run.stdout.close()
    assert run.wait() == -signal.SIGKILL
    with Store.open(file, STUDY) as store:
        kept = len(store)
        assert kept % 20 == 0
        assert said <= kept <= said + 20
        assert kept < 20_000
        for some in chunks(kept + 40, 20):
            known = store.known(some)
            store.add([result(design) for design in some if design not in known])
        resumed = list(store.rows())
    with Store.open(tmp_path / "b", STUDY) as store:
        store.add([result(design) for design in designs(kept + 40)])
        assert list(store.rows()) == resumed


def test_one_writer_at_a_time(tmp_path: Path) -> None:
    with Store.open(tmp_path / "a", STUDY), pytest.raises(OutputError, match="another run"):
        Store.open(tmp_path / "a", STUDY)
    Store.open(tmp_path / "a", STUDY).close()


def test_a_store_of_another_version_says_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "a"
    with Store.open(file, STUDY) as store:
        store.add([result((1.0, "61-622"))])
    before = file.read_bytes()
    monkeypatch.setattr(module, "__version__", "9.9.9")
    with pytest.raises(OutputError, match=r"made by frame3d 0.*this is frame3d 9") as caught:
        Store.open(file, STUDY)
    assert "--fresh" in caught.value.faults[0].hint
    assert file.read_bytes() == before
    with Store.open(file, STUDY, fresh=True) as store:
        assert len(store) == 0
    monkeypatch.setattr(module, "FORMAT", 2)
    with pytest.raises(OutputError, match="layout 1, this is layout 2"):
        Store.open(file, STUDY)


@pytest.mark.parametrize("fresh", [False, True])
def test_other_files_are_refused_and_left_alone(tmp_path: Path, fresh: bool) -> None:
    text = tmp_path / "bike.yaml"
    text.write_text("format: 1\n")
    with pytest.raises(OutputError, match="no store"):
        Store.open(text, STUDY, fresh=fresh)
    assert text.read_text() == "format: 1\n"
    base = tmp_path / "other.db"
    link = sqlite3.connect(base)
    link.execute("CREATE TABLE t (x)")
    link.commit()
    link.close()
    before = base.read_bytes()
    with pytest.raises(OutputError, match="other database"):
        Store.open(base, STUDY, fresh=fresh)
    assert base.read_bytes() == before
    with pytest.raises(OutputError, match="cannot be opened"):
        Store.open(tmp_path, STUDY, fresh=fresh)
    with pytest.raises(OutputError, match="cannot be opened"):
        Store.open(text / "a", STUDY, fresh=fresh)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["bike.yaml", "other.db"]


def test_a_damaged_store_is_told_and_can_be_begun_anew(tmp_path: Path) -> None:
    file = tmp_path / "a"
    with Store.open(file, STUDY) as store:
        store.add([result(design) for design in designs(200)])
    data = file.read_bytes()
    file.write_bytes(data[:100] + b"\xff" * (len(data) - 100))
    with pytest.raises(OutputError, match="damaged"):
        Store.open(file, STUDY)
    with Store.open(file, STUDY, fresh=True) as store:
        assert len(store) == 0


@contextmanager
def as_somebody() -> Iterator[None]:
    """Whoever runs the tests, but not root, to whom nothing is read-only."""
    is_root = os.geteuid() == 0
    if is_root:
        os.seteuid(65534)
    try:
        yield
    finally:
        if is_root:
            os.seteuid(0)


def test_a_read_only_store_is_told() -> None:
    with tempfile.TemporaryDirectory() as folder:
        place, file = Path(folder), Path(folder) / "a"
        place.chmod(0o777)
        with as_somebody():
            Store.open(file, STUDY).close()
            file.chmod(0o400)
            with pytest.raises(OutputError, match="cannot be written to"):
                Store.open(file, STUDY)
            file.chmod(0o600)
        place.chmod(0o555)
        with as_somebody(), pytest.raises(OutputError, match="cannot be"):
            Store.open(file, STUDY)
        place.chmod(0o777)


FILLING = """
import resource, signal, sys
from frame3d.errors import OutputError
from frame3d.explore.store.store import Store
from tests.explore.fakes import STUDY, chunks, result
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
with Store.open(sys.argv[1], STUDY) as store:
    resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000))
    try:
        for some in chunks(20_000, 50):
            store.add([result(design) for design in some])
            print(len(some))
    except OutputError as error:
        sys.stderr.write(str(error))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="sizes of files cannot be limited")
def test_a_disk_that_takes_no_more_loses_nothing(tmp_path: Path) -> None:
    run = subprocess.run(
        [sys.executable, "-c", FILLING, str(tmp_path / "a")],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    assert "is kept" in run.stderr
    kept = sum(map(int, run.stdout.split()))
    assert kept > 0
    with Store.open(tmp_path / "a", STUDY) as store:
        assert len(store) == kept
        store.add([result(design) for design in designs(50, kept)])


def test_a_thousand_results_are_kept_in_little_time(tmp_path: Path) -> None:
    some = [[result(design) for design in few] for few in chunks(1000, 50)]
    with Store.open(tmp_path / "a", STUDY) as store:
        begun = time.process_time()
        for few in some:
            store.add(few)
        assert time.process_time() - begun < 1.0
