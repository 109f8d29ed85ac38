"""The guard: requests of other sites, of rebound names and of unknown origin are refused.

Rules: RFC 6455 section 10.2 (origins of websockets), Fetch Metadata Request Headers (W3C), RFC 9110
section 9.2.1 (safe methods); DNS rebinding is held off by the Host header. Values from memory of these.
"""

from __future__ import annotations

from typing import Any

import pytest

from frame3d.live.guard import Guard, Message, Scope
from tests.live.loops import run

PORT = 7029
HOME = f"http://127.0.0.1:{PORT}"


def asked(kind: str = "http", method: str = "GET", **headers: str) -> list[Message]:
    """What a server behind the guard answers; 200 where it is asked."""
    sent: list[Message] = []

    async def app(scope: Scope, _receive: Any, send: Any) -> None:
        if scope["type"] == "websocket":
            await send({"type": "websocket.accept"})
            return
        await send(
            {"type": "http.response.start", "status": 200, "headers": [(b"X-Frame-Options", b"no")]}
        )
        await send({"type": "http.response.body", "body": b"hello"})

    async def receive() -> Message:
        return {"type": "websocket.connect"}

    async def send(message: Message) -> None:
        sent.append(message)

    headers = {"host": f"127.0.0.1:{PORT}"} | headers
    scope = {
        "type": kind,
        "method": method,
        "headers": [(k.replace("_", "-").encode(), v.encode()) for k, v in headers.items() if v],
    }
    run(Guard(app, PORT)(scope, receive, send))
    return sent


def let_through(kind: str = "http", method: str = "GET", **headers: str) -> bool:
    first = asked(kind, method, **headers)[0]
    return first["type"] == "websocket.accept" or first.get("status") == 200


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"host": f"localhost:{PORT}"},
        {"origin": HOME},
        {"origin": f"http://localhost:{PORT}", "sec_fetch_site": "same-origin"},
        {"sec_fetch_site": "none", "sec_fetch_mode": "navigate", "sec_fetch_dest": "document"},
        {
            "sec_fetch_site": "cross-site",
            "sec_fetch_mode": "navigate",
            "sec_fetch_dest": "document",
        },
    ],
)
def test_own_pages_may_ask(headers: dict[str, str]) -> None:
    assert let_through(**headers)


@pytest.mark.parametrize(
    "headers",
    [
        {"host": ""},
        {"host": "127.0.0.1"},
        {"host": f"127.0.0.1:{PORT + 1}"},
        {"host": f"rebound.example:{PORT}"},
        {"host": f"127.0.0.1.rebound.example:{PORT}"},
        {"host": f"localhost:{PORT}@example.org"},
        {"origin": "http://example.org"},
        {"origin": "null"},
        {"origin": f"https://127.0.0.1:{PORT}"},
        {"origin": f"http://127.0.0.1:{PORT + 1}"},
        {"origin": f"http://127.0.0.1:{PORT}.example.org"},
        {"sec_fetch_site": "cross-site", "sec_fetch_mode": "no-cors", "sec_fetch_dest": "script"},
        {"sec_fetch_site": "same-site", "sec_fetch_mode": "cors", "sec_fetch_dest": "empty"},
        {"sec_fetch_site": "cross-site", "sec_fetch_mode": "navigate", "sec_fetch_dest": "iframe"},
    ],
)
def test_other_sites_may_not_ask(headers: dict[str, str]) -> None:
    assert not let_through(**headers)
    assert not let_through("websocket", **({"origin": HOME} | headers))


def test_what_changes_something_has_to_say_where_it_comes_from() -> None:
    assert not let_through(method="POST")
    assert let_through(method="POST", origin=HOME)
    assert not let_through(method="POST", origin="http://example.org")
    assert not let_through(
        method="POST",
        origin=HOME,
        sec_fetch_site="cross-site",
        sec_fetch_mode="navigate",
        sec_fetch_dest="document",
    )


def test_a_websocket_has_to_say_where_it_comes_from() -> None:
    assert not let_through("websocket")
    assert let_through("websocket", origin=HOME)
    (closed,) = asked("websocket", origin="http://example.org")
    assert closed["type"] == "websocket.close"


def test_a_refusal_says_why_and_shows_nothing() -> None:
    start, body = asked(host="rebound.example")
    assert start["status"] == 403
    assert b"not its own" in body["body"]
    assert b"hello" not in body["body"]


def test_answers_forbid_frames_and_everything_from_elsewhere() -> None:
    headers = dict(asked()[0]["headers"])
    policy = headers[b"content-security-policy"].decode()
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "http:" not in policy
    assert "*" not in policy
    assert headers[b"x-frame-options"] == b"DENY"
    assert b"X-Frame-Options" not in headers
