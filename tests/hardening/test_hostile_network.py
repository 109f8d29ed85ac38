"""The workspace's server among strangers: what they send is refused, shows nothing, and it lives on."""

from __future__ import annotations

import base64
import os
import random
import socket
import struct
import urllib.request
from collections.abc import Iterator

import pytest

from tests.hardening.edits import growth
from tests.hardening.test_workspace_lives_on import quick
from tests.live.serving import Live, serving

SECRET = "a file beside the bike, which nobody asked to be shown"
PATIENCE = 30.0

__all__ = ["quick"]


@pytest.fixture(scope="module")
def live(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Live]:
    folder = tmp_path_factory.mktemp("hostile")
    (folder / "secret.txt").write_text(SECRET, encoding="utf-8")
    with serving(folder) as running:
        (folder / "out").mkdir(exist_ok=True)
        (folder / "out" / "link.txt").symlink_to(folder / "secret.txt")
        yield running


def lives(live: Live) -> bool:
    """Whether the server still answers with its page."""
    with urllib.request.urlopen(live.url, timeout=PATIENCE) as answer:
        return live.process.poll() is None and b"f3d" in answer.read()


def exchanged(live: Live, data: bytes) -> bytes:
    """Send bytes; return what comes back until the server closes or is silent for a second."""
    with socket.create_connection(("127.0.0.1", live.port), timeout=PATIENCE) as line:
        found = b""
        try:
            line.sendall(data)
            line.settimeout(1.0)
            while part := line.recv(65536):
                found += part
        except (TimeoutError, ConnectionError):
            pass
        return found


def asked(
    live: Live, target: str, method: str = "GET", extra: str = "", body: bytes = b""
) -> bytes:
    head = f"{method} {target} HTTP/1.1\r\nHost: 127.0.0.1:{live.port}\r\n{extra}Connection: close\r\n\r\n"
    return exchanged(live, head.encode("latin-1") + body)


def status(answer: bytes) -> int:
    return int(answer.split(b" ", 2)[1]) if answer.startswith(b"HTTP/1.") else 0


def test_paths_that_climb_show_no_file(live: Live) -> None:
    ways = ("..", "%2e%2e", "..%2f", "%2e%2e%2f", "..%5c", "....//", "%c0%ae%c0%ae")
    starts = ("/", "/out/", "/model/", "/static/", "/_nicegui/", "/f3d/", "/_nicegui/1.0/static/")
    for start in starts:
        for way in ways:
            for depth in (1, 3, 8):
                target = start + "/".join([way] * depth) + "/secret.txt"
                answer = asked(live, target)
                assert SECRET.encode() not in answer, target
                assert status(answer) in (0, 400, 403, 404, 405), (target, answer[:200])
    for target in ("/secret.txt", "/out/link.txt", "/bike.yaml", "/etc/passwd", "//etc/passwd",
                   f"http://127.0.0.1:{live.port}/bike.yaml", "/%00", "/model/%00", "*"):  # fmt: skip
        answer = asked(live, target)
        assert SECRET.encode() not in answer
        assert status(answer) in (0, 400, 403, 404, 405), (target, answer[:200])
    assert lives(live)


def test_requests_that_are_large_are_answered_or_cut_off(live: Live) -> None:
    assert status(asked(live, "/" + "a" * 300_000)) in (0, 400, 404, 414, 431)
    assert status(asked(live, "/", extra=f"X: {'a' * 300_000}\r\n")) in (0, 200, 400, 431)
    many = "".join(f"X-{i}: a\r\n" for i in range(20_000))
    assert status(asked(live, "/", extra=many)) in (0, 200, 400, 431)
    origin = f"Origin: http://127.0.0.1:{live.port}\r\n"
    body = b"x" * 5_000_000
    answer = asked(live, "/", "POST", f"{origin}Content-Length: {len(body)}\r\n", body)
    assert status(answer) in (0, 400, 403, 404, 405, 413)
    assert lives(live)


def test_bytes_at_random_and_requests_broken_off(live: Live) -> None:
    dice = random.Random(13)
    good = f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{live.port}\r\nConnection: close\r\n\r\n".encode()
    for _ in range(40):
        data = bytearray(good)
        for _ in range(dice.randint(1, 6)):
            at = dice.randrange(len(data))
            if dice.random() < 0.5:
                data[at] = dice.randrange(256)
            else:
                data[at:at] = dice.randbytes(dice.choice((1, 4, 60)))
        # The name in Host may have become another's, which is refused; nothing else comes of it.
        with socket.create_connection(("127.0.0.1", live.port), timeout=PATIENCE) as line:
            line.sendall(bytes(data[: dice.randint(1, len(data))]))
    assert lives(live)


def test_slow_connections_keep_nobody_out(live: Live) -> None:
    """A hundred that send a byte and wait, and the page is still there at once."""
    lines = [
        socket.create_connection(("127.0.0.1", live.port), timeout=PATIENCE) for _ in range(100)
    ]
    try:
        for line in lines:
            line.sendall(b"G")
        assert lives(live)
        for line in lines:
            line.sendall(b"E")
        assert lives(live)
    finally:
        for line in lines:
            line.close()


def _frame(kind: int, data: bytes) -> bytes:
    """A masked frame of a client (RFC 6455, section 5.2; from memory of it)."""
    mask = b"\1\2\3\4"
    size = len(data)
    if size < 126:
        head = struct.pack("!BB", 0x80 | kind, 0x80 | size)
    elif size < 1 << 16:
        head = struct.pack("!BBH", 0x80 | kind, 0x80 | 126, size)
    else:
        head = struct.pack("!BBQ", 0x80 | kind, 0x80 | 127, size)
    return head + mask + bytes(b ^ mask[i % 4] for i, b in enumerate(data))


@pytest.mark.parametrize(
    "messages",
    [
        [(1, b"\xff\xfe not UTF-8")],
        [(1, b"x" * 3_000_000)],
        [(3, b"a reserved kind")],
        [(1, b"40"), *[(1, b'42["' + word + b'",{}]') for word in (b"event", b"log", b"x", b"")]],
        [(1, b"40"), (1, b'42["event",' + b"[" * 5000), (1, b"42{}"), (1, b"2"), (2, b"\0" * 100)],
        [(1, b"40"), (1, b'42["handshake",{"client_id":"../../x","next_message_id":-1}]')],
        [(1, b"40"), (1, b'451-["event",{"_placeholder":true,"num":99}]'), (2, b"x")],
        [(8, b"\x03")],
    ],
    ids=["no text", "large", "reserved", "odd events", "deep", "handshake", "placeholder", "close"],
)
def test_websocket_messages_that_are_none(messages: list[tuple[int, bytes]], live: Live) -> None:
    key = base64.b64encode(os.urandom(16)).decode()
    head = (
        "GET /_nicegui_ws/socket.io/?EIO=4&transport=websocket HTTP/1.1\r\n"
        f"Host: 127.0.0.1:{live.port}\r\nOrigin: http://127.0.0.1:{live.port}\r\n"
        "Upgrade: websocket\r\nConnection: Upgrade\r\n"
        f"Sec-WebSocket-Key: {key}\r\nSec-WebSocket-Version: 13\r\n\r\n"
    )
    answer = exchanged(live, head.encode() + b"".join(_frame(*one) for one in messages))
    assert status(answer) in (101, 400, 403), answer[:200]
    assert SECRET.encode() not in answer
    assert b"Traceback" not in answer
    assert lives(live)


def test_a_websocket_of_another_site_hears_nothing(live: Live) -> None:
    head = (
        "GET /_nicegui_ws/socket.io/?EIO=4&transport=websocket HTTP/1.1\r\n"
        f"Host: 127.0.0.1:{live.port}\r\nOrigin: http://elsewhere.example\r\n"
        "Upgrade: websocket\r\nConnection: Upgrade\r\n"
        "Sec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\nSec-WebSocket-Version: 13\r\n\r\n"
    )
    assert status(exchanged(live, head.encode())) == 403


@pytest.mark.usefixtures("quick")
def test_memory_stays_while_a_bike_is_edited() -> None:
    """`python -m tests.hardening edits N` for any number; a held text alone would cost 1,000 bytes."""
    assert growth(40, after=50) < 20_000
