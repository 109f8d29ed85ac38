"""What a pack takes away of the pack before, and what it leaves alone."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from frame3d.errors import OutputError
from frame3d.fabrication.manifest import LISTING, listing, outdated
from frame3d.formats.writer import remove, write

BEFORE = {"drawing.pdf": b"one", "templates/brace.dxf": b"two", "templates/brace.svg": b"three"}
NOW = {"drawing.pdf": b"four", "templates/strut.dxf": b"five"}


def wrote(files: dict[str, bytes], folder: Path) -> None:
    write({**files, LISTING: listing(files)}, folder)


def names(folder: Path) -> list[str]:
    return sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file())


def test_a_renamed_tubes_templates_go_and_a_users_own_files_stay(tmp_path: Path) -> None:
    wrote(BEFORE, tmp_path)
    (tmp_path / "templates" / "mine.dxf").write_bytes(b"mine")
    (tmp_path / "templates" / "brace.svg").write_bytes(b"changed by hand")
    old = outdated(tmp_path, NOW)
    wrote(NOW, tmp_path)
    remove(old)
    assert names(tmp_path) == [
        "drawing.pdf", LISTING, "templates/brace.svg", "templates/mine.dxf", "templates/strut.dxf",
    ]  # fmt: skip


def test_without_a_listing_nothing_goes(tmp_path: Path) -> None:
    write(BEFORE, tmp_path)
    assert outdated(tmp_path, NOW) == []
    (tmp_path / LISTING).write_bytes(b"\xff\xfe")
    assert outdated(tmp_path, NOW) == []


@pytest.mark.parametrize(
    "name", ["../outside.dxf", "/etc/x", "templates/../x", "deep/x", ".hidden", "templates/.x"]
)
def test_a_listing_reaches_nowhere_else(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "pack"
    (folder / "templates").mkdir(parents=True)
    (folder / "deep").mkdir()
    for file in ("../outside.dxf", "x", "deep/x", ".hidden", "templates/.x"):
        (folder / file).write_bytes(b"kept")
    row = f"{hashlib.sha256(b'kept').hexdigest()}  {name}\n"
    (folder / LISTING).write_text(row)
    assert outdated(folder, NOW) == []


def test_a_file_that_cannot_be_removed_is_told(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match=r"cannot remove .*brace\.dxf"):
        remove([tmp_path / "brace.dxf"])


def test_the_listing_is_what_sha256sum_checks() -> None:
    # coreutils, from memory: the sum, two blanks, the name. The sum is FIPS 180-4's of "abc".
    assert listing({"drawing.pdf": b"abc"}) == (
        b"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  drawing.pdf\n"
    )
