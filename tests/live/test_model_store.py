"""The store of models: the newest and what is fixed."""

from __future__ import annotations

import json
import struct

from frame3d.live.model_store import HELD, ModelStore, Picture, packed


def test_a_shelf_holds_the_newest_and_what_is_fixed() -> None:
    shelf = ModelStore()
    first = shelf.put(b"first")
    shelf.fix(first)
    numbers = [shelf.put(bytes([i])) for i in range(HELD + 3)]
    assert shelf.get(first) == b"first"
    assert shelf.get(numbers[0]) is None
    assert shelf.get(numbers[-1]) == bytes([HELD + 2])
    shelf.fix()
    shelf.put(b"last")
    assert shelf.get(first) is None


def test_a_picture_is_packed_with_the_length_of_its_scene() -> None:
    data = packed(Picture(b"glTF-bytes", {"parts": [{"name": "Größe"}], "x": 1.0000000004}))
    (size,) = struct.unpack("<I", data[:4])
    assert json.loads(data[4 : 4 + size]) == {"parts": [{"name": "Größe"}], "x": 1.0}
    assert data[4 + size :] == b"glTF-bytes"


def test_numbers_are_never_used_again() -> None:
    shelf = ModelStore()
    numbers = [shelf.put(b"") for _ in range(3 * HELD)]
    assert len(set(numbers)) == len(numbers)
    assert [shelf.get(n) is not None for n in numbers] == [False] * (2 * HELD) + [True] * HELD
    assert shelf.get(10**6) is None
