"""What a set takes away of the set before, and what it leaves alone."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from frame3d.formats.manifest import listing, outdated
from frame3d.formats.writer import write

LIST = "pack.sha256"
BEFORE = {"drawing.pdf": b"one", "templates/brace.dxf": b"two", "templates/brace.svg": b"three"}
NOW = {"drawing.pdf": b"four", "templates/strut.dxf": b"five"}


def names(folder: Path) -> list[str]:
    return sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file())


def test_a_renamed_tubes_templates_go_and_a_users_own_files_stay(tmp_path: Path) -> None:
    write(BEFORE, tmp_path, manifest=LIST)
    (tmp_path / "templates" / "mine.dxf").write_bytes(b"mine")
    (tmp_path / "templates" / "brace.svg").write_bytes(b"changed by hand")
    done = write(NOW, tmp_path, manifest=LIST)
    assert done.removed == (tmp_path / "templates/brace.dxf",)
    assert done.kept == (tmp_path / "templates/brace.svg",)
    assert names(tmp_path) == [
        "drawing.pdf", LIST, "templates/brace.svg", "templates/mine.dxf", "templates/strut.dxf",
    ]  # fmt: skip
    assert write(NOW, tmp_path, manifest=LIST).kept == ()  # it is the user's from then on


def test_two_sets_in_one_folder_leave_each_other_alone(tmp_path: Path) -> None:
    write(BEFORE, tmp_path, manifest=LIST)
    write({"part_1.stl": b"1", "part_2.stl": b"2"}, tmp_path, manifest="mockup.sha256")
    write({"part_1.stl": b"1"}, tmp_path, manifest="mockup.sha256")
    write({"frame.stl": b"3"}, tmp_path)
    assert names(tmp_path) == sorted([*BEFORE, LIST, "part_1.stl", "mockup.sha256", "frame.stl"])


def test_a_folder_that_gets_empty_goes(tmp_path: Path) -> None:
    write(BEFORE, tmp_path, manifest=LIST)
    write({"drawing.pdf": b"four"}, tmp_path, manifest=LIST)
    assert not (tmp_path / "templates").exists()


def test_without_a_listing_nothing_goes(tmp_path: Path) -> None:
    write(BEFORE, tmp_path)
    assert outdated(tmp_path, LIST, NOW) == ({}, ())
    (tmp_path / LIST).write_bytes(b"\xff\xfe")
    assert outdated(tmp_path, LIST, NOW) == ({}, ())


@pytest.mark.parametrize(
    "name", ["../outside.dxf", "/etc/x", "templates/../x", "deep/er/x", ".hidden", "templates/.x"]
)
def test_a_listing_reaches_nowhere_else(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "pack"
    (folder / "templates").mkdir(parents=True)
    (folder / "deep" / "er").mkdir(parents=True)
    for file in ("../outside.dxf", "x", "deep/er/x", ".hidden", "templates/.x"):
        (folder / file).write_bytes(b"kept")
    row = f"{hashlib.sha256(b'kept').hexdigest()}  {name}\n"
    (folder / LIST).write_text(row)
    assert outdated(folder, LIST, NOW) == ({}, ())


def test_the_listing_is_what_sha256sum_checks() -> None:
    # coreutils, from memory: the sum, two blanks, the name. The sum is FIPS 180-4's of "abc".
    assert listing({"drawing.pdf": b"abc"}) == (
        b"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  drawing.pdf\n"
    )
