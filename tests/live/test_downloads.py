"""Downloads: what the workspace wrote, by number, and nothing that stands in its place since."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from frame3d.live.work.downloads import OFFERED, Downloads


def test_what_was_written_is_read_by_number(tmp_path: Path) -> None:
    files = [tmp_path / "a.stl", tmp_path / "gone.stl", tmp_path]
    files[0].write_bytes(b"solid")
    downloads = Downloads()
    number, *others = downloads.offer(files)
    assert number is not None
    assert others == [None, None]
    assert downloads.read(number) == ("a.stl", b"solid")
    assert downloads.read(number + 1) is None
    assert downloads.read(0) is None


@pytest.mark.parametrize("how", ["replaced", "changed", "gone", "link", "folder", "pipe"])
def test_another_file_in_its_place_is_not_read(tmp_path: Path, how: str) -> None:
    file, other = tmp_path / "a.stl", tmp_path / "secret"
    file.write_bytes(b"solid")
    other.write_bytes(b"other")  # of the same length
    downloads = Downloads()
    (number,) = downloads.offer([file])
    assert number is not None
    if how == "changed":
        file.write_bytes(b"longer than it was")
    elif how == "replaced":
        os.replace(other, file)
    else:
        file.unlink()
    if how == "link":
        file.symlink_to(other)
    elif how == "folder":
        file.mkdir()
    elif how == "pipe":
        os.mkfifo(file)
    assert downloads.read(number) is None


def test_a_link_is_not_offered_and_the_oldest_are_dropped(tmp_path: Path) -> None:
    file, link = tmp_path / "a.stl", tmp_path / "b.stl"
    file.write_bytes(b"solid")
    link.symlink_to(file)
    downloads = Downloads()
    assert downloads.offer([link]) == [None]
    numbers = downloads.offer([file] * (OFFERED + 1))
    assert numbers[0] is not None
    assert numbers[-1] is not None
    assert downloads.read(numbers[0]) is None
    assert downloads.read(numbers[-1]) == ("a.stl", b"solid")
