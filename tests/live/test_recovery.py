"""Unsaved text of a workspace: kept for the user alone, found after a kill, never mixed up or lost."""

from __future__ import annotations

import json
import os
import stat
from pathlib import Path

import pytest

from frame3d.live.unsaved.recovery import NAME, PLACES, PREFIX, Recovery, Unsaved, text_sum

ONE = Unsaved("a: 1\n  # é 🚲\n", {"a": 1.5}, text_sum("a: 0\n"))


def kept(out: Path) -> list[Path]:
    return sorted(out.glob(f"{PREFIX}-*/{NAME}"))


def killed(out: Path, file: Path, unsaved: Unsaved = ONE) -> None:
    """A workspace has kept a text and ends without removing it."""
    recovery = Recovery(out, file)
    recovery.keep(unsaved)
    recovery.close()


def test_what_is_kept_is_private_and_found_again(tmp_path: Path) -> None:
    out, file = tmp_path / "deep" / "out", tmp_path / "bike.yaml"
    recovery = Recovery(out, file)
    assert recovery.left() == ([], [])
    assert not out.exists()
    recovery.keep(ONE)
    recovery.keep(Unsaved("a: 2\n", {}, ONE.saved))
    (place,) = kept(out)
    assert stat.S_IMODE(place.stat().st_mode) == 0o600
    assert stat.S_IMODE(place.parent.stat().st_mode) == 0o700
    recovery.close()
    (left,), problems = Recovery(out, file).left()
    assert left.unsaved == Unsaved("a: 2\n", {}, ONE.saved)
    assert problems == []


def test_nothing_stays_of_what_is_no_longer_unsaved(tmp_path: Path) -> None:
    out = tmp_path / "deep" / "out"
    recovery = Recovery(out, tmp_path / "bike.yaml")
    recovery.keep(ONE)
    recovery.forget()
    assert not out.parent.exists()
    recovery.keep(ONE)
    (out / "frame.stl").write_text("a result")
    recovery.forget()
    recovery.close()
    assert os.listdir(out) == ["frame.stl"]


def test_two_workspaces_of_one_file_keep_apart(tmp_path: Path) -> None:
    """What a running one keeps is not offered; after both are killed, both texts are."""
    file = tmp_path / "bike.yaml"
    first, second = Recovery(tmp_path, file), Recovery(tmp_path, file)
    first.keep(ONE)
    assert second.left() == ([], [])
    second.keep(Unsaved("a: 2\n", {}, ""))
    assert len(kept(tmp_path)) == 2
    second.forget()
    assert len(kept(tmp_path)) == 1
    second.keep(Unsaved("a: 2\n", {}, ""))
    first.close()
    second.close()
    third = Recovery(tmp_path, file)
    left, _ = third.left()
    assert {one.unsaved.text for one in left} == {ONE.text, "a: 2\n"}
    third.keep(Unsaved("a: 3\n", {}, ""))  # beside what is offered, not over it
    assert len(kept(tmp_path)) == 3
    third.drop(left[0])
    assert len(kept(tmp_path)) == 2


def test_another_file_of_that_name_is_another_file(tmp_path: Path) -> None:
    out = tmp_path / "out"
    killed(out, tmp_path / "a" / "bike.yaml")
    other = Recovery(out, tmp_path / "b" / "bike.yaml")
    assert other.left() == ([], [])
    other.keep(Unsaved("other\n", {}, ""))
    other.forget()
    (left,), _ = Recovery(out, tmp_path / "a" / "bike.yaml").left()
    assert left.unsaved == ONE


def test_a_text_that_names_another_file_is_not_offered_and_stays(tmp_path: Path) -> None:
    file = tmp_path / "bike.yaml"
    killed(tmp_path, file)
    (place,) = kept(tmp_path)
    document = {**json.loads(place.read_bytes()), "file": "/elsewhere/bike.yaml"}
    place.write_text(json.dumps(document))
    recovery = Recovery(tmp_path, file)
    assert recovery.left() == ([], [])
    recovery.keep(ONE)
    assert json.loads(place.read_bytes()) == document


WHOLE = {"format": "frame3d unsaved 1", "saved": "", "tried": {}, "text": "a"}


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\xff\xfe\x00",
        b'{"format": "frame3d unsaved 1", "te',
        b"[" * 100_000,
        b" " * (1 << 24),
        b"[1, 2]",
        json.dumps({**WHOLE, "format": "frame3d unsaved 2"}).encode(),
        *(
            json.dumps({**WHOLE, **wrong}).encode()
            for wrong in (
                {"text": 7},
                {"text": "\ud800"},
                {"tried": {"a": "b"}},
                {"tried": {"a": float("nan")}},
                {"tried": 7},
                {"saved": None},
            )
        ),
    ],
    ids=lambda data: data[:40],
)
def test_garbage_is_told_and_left_alone(tmp_path: Path, data: bytes) -> None:
    file = tmp_path / "bike.yaml"
    if data.startswith(b"{") and data.endswith(b"}"):
        data = json.dumps({**json.loads(data), "file": str(file.resolve())}).encode()
    killed(tmp_path, file)
    (place,) = kept(tmp_path)
    place.write_bytes(data)
    recovery = Recovery(tmp_path, file)
    assert recovery.left() == ([], [str(place)])
    recovery.keep(ONE)
    assert len(kept(tmp_path)) == 2
    recovery.forget()
    assert place.read_bytes() == data


@pytest.mark.parametrize("kind", ["folder", "pipe", "link"])
def test_no_plain_file_is_garbage_too(tmp_path: Path, kind: str) -> None:
    file = tmp_path / "bike.yaml"
    killed(tmp_path, file)
    (place,) = kept(tmp_path)
    place.unlink()
    {"folder": os.mkdir, "pipe": os.mkfifo, "link": lambda p: os.symlink("/dev/zero", p)}[kind](
        place
    )
    assert Recovery(tmp_path, file).left() == ([], [str(place)])


def test_folder_that_cannot_be_used(tmp_path: Path) -> None:
    """It is told in both directions: root may read anything, so a file stands for a folder here."""
    out = tmp_path / "out"
    out.write_text("no folder")
    recovery = Recovery(out, tmp_path / "bike.yaml")
    assert recovery.left() == ([], [])
    with pytest.raises(OSError, match="out"):
        recovery.keep(ONE)
    recovery.forget()
    recovery.close()
    assert out.read_text() == "no folder"


def test_read_only_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was left is offered all the same; that nothing can be kept is a fault."""
    file = tmp_path / "bike.yaml"
    killed(tmp_path, file)

    def refuse(*_: object, **__: object) -> int:
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr("frame3d.live.unsaved.recovery.held", refuse)
    recovery = Recovery(tmp_path, file)
    (left,), problems = recovery.left()
    assert left.unsaved == ONE
    assert problems == []
    with pytest.raises(OSError, match="Read-only"):
        recovery.keep(ONE)


def test_there_is_an_end_to_it(tmp_path: Path) -> None:
    running = [Recovery(tmp_path, tmp_path / "bike.yaml") for _ in range(PLACES + 1)]
    for recovery in running[:-1]:
        recovery.keep(ONE)
    with pytest.raises(OSError, match=f"holds {PLACES} unsaved texts"):
        running[-1].keep(ONE)
