"""The door: nothing is shown to a browser whose user has not typed the terminal's code.

Rules: RFC 6265 (cookies; SameSite as browsers have it), values from memory.
"""

from __future__ import annotations

import re
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from frame3d.live import door as module
from frame3d.live.door import BROWSERS, ENTER, MOST, WRONG, Door
from frame3d.live.guard import Message, Scope
from frame3d.report.texts import texts
from tests.live.loops import run
from tests.live.serving import SECOND, has_address, served_to_network

if TYPE_CHECKING:
    from playwright.sync_api import Browser


@pytest.fixture(autouse=True)
def _quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "SLOW", 0.0)


class Lobby:
    """A door with a room behind it, and what the terminal showed."""

    def __init__(self) -> None:
        self.said: list[str] = []
        self.door = Door(self._room, texts(), self.said.append)
        self.door.tell()

    @property
    def code(self) -> str:
        return self.said[-1].rpartition(" ")[2]

    async def _room(self, scope: Scope, _receive: Any, send: Any) -> None:
        if scope["type"] == "websocket":
            await send({"type": "websocket.accept"})
            return
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": b"behind the door"})

    def ask(
        self,
        path: str = "/",
        method: str = "GET",
        body: bytes = b"",
        cookie: str = "",
        kind: str = "http",
    ) -> list[Message]:
        sent: list[Message] = []
        pieces = [body[i : i + 50] for i in range(0, len(body), 50)] or [b""]
        coming: Iterator[Message] = iter(
            {"type": "http.request", "body": piece, "more_body": i < len(pieces) - 1}
            for i, piece in enumerate(pieces)
        )

        async def receive() -> Message:
            return {"type": "websocket.connect"} if kind == "websocket" else next(coming)

        async def send(message: Message) -> None:
            sent.append(message)

        headers = [(b"cookie", cookie.encode())] if cookie else []
        scope = {"type": kind, "method": method, "path": path, "headers": headers}
        run(self.door(scope, receive, send))
        return sent

    def enter(self, code: str) -> str | None:
        """The cookie that a code brings; None where it is refused."""
        start = self.ask(ENTER, "POST", code.encode())[0]
        if start["status"] != 200:
            return None
        cookie = dict(start["headers"])[b"set-cookie"].decode()
        assert {"HttpOnly", "SameSite=Strict", "Path=/"} <= set(cookie.split("; "))
        return cookie.partition(";")[0]


@pytest.fixture
def lobby() -> Lobby:
    return Lobby()


def sees_bike(sent: list[Message]) -> bool:
    return any(
        b"behind the door" in m.get("body", b"") or m["type"] == "websocket.accept" for m in sent
    )


def test_without_a_code_there_is_nothing_but_the_question(lobby: Lobby) -> None:
    start, page = lobby.ask()
    assert start["status"] == 200
    assert b"<form>" in page["body"]
    assert lobby.code.encode() not in page["body"]
    for path, method, kind in [
        ("/f3d/held/1", "GET", "http"),
        ("/f3d/other", "POST", "http"),
        (ENTER, "GET", "http"),
        ("/", "POST", "http"),
        ("/_nicegui_ws/socket.io/", "GET", "websocket"),
    ]:
        sent = lobby.ask(path, method, kind=kind)
        assert not sees_bike(sent)
        assert sent[0].get("status") == 403 or sent[0]["type"] == "websocket.close"


def test_a_code_lets_one_browser_in_and_the_next_code_is_another(lobby: Lobby) -> None:
    code = lobby.code
    cookie = lobby.enter(code)
    assert cookie is not None
    assert sees_bike(lobby.ask("/f3d/held/1", cookie=f"theme=dark; {cookie}"))
    assert sees_bike(lobby.ask(cookie=cookie, kind="websocket"))
    assert lobby.code != code
    assert lobby.enter(code) is None
    assert lobby.enter(lobby.code.lower().replace("-", " ")) not in (None, cookie)


@pytest.mark.parametrize(
    "cookie", ["frame3d=", "frame3d=x", "frame3d", "=;=", "a=b", 'frame3d="\\']
)
def test_other_cookies_let_nobody_in(lobby: Lobby, cookie: str) -> None:
    assert lobby.enter(lobby.code) is not None
    assert not sees_bike(lobby.ask(cookie=cookie))


def test_after_some_wrong_codes_it_is_another(lobby: Lobby) -> None:
    code = lobby.code
    for _ in range(WRONG):
        assert lobby.enter("WRONG") is None
    assert lobby.code != code
    assert lobby.enter(code) is None
    assert lobby.enter(lobby.code) is not None


@pytest.mark.parametrize("body", [b"", b"\xff\xfe", "ÄÖÜ".encode(), b"A" * (MOST + 1)])
def test_what_is_no_code_is_refused(lobby: Lobby, body: bytes) -> None:
    assert lobby.ask(ENTER, "POST", body)[0]["status"] == 403


def test_the_first_browsers_have_to_ask_anew_when_many_have_come(lobby: Lobby) -> None:
    first = lobby.enter(lobby.code)
    assert first is not None
    for _ in range(BROWSERS):
        last = lobby.enter(lobby.code)
    assert last is not None
    assert sees_bike(lobby.ask(cookie=last))
    assert not sees_bike(lobby.ask(cookie=first))


@pytest.mark.skipif(not has_address(SECOND), reason="this machine has one loopback address only")
def test_a_tablet_sees_the_bike_and_can_change_nothing(browser: Browser, tmp_path: Path) -> None:
    with served_to_network(tmp_path) as (live, code):
        for url in (f"{live.url}f3d/held/1", live.url.replace(SECOND, "127.0.0.1")):
            with pytest.raises((urllib.error.HTTPError, urllib.error.URLError)):
                urllib.request.urlopen(url, timeout=20)
        page = browser.new_page(viewport={"width": 820, "height": 1180})
        page.goto(live.url)
        page.fill("#code", "nonsense")
        page.click("button")
        page.wait_for_selector("text=That is not the code")
        page.fill("#code", code)
        page.click("button")
        page.wait_for_selector("#f3d-view[data-glb]", timeout=60_000)
        for hidden in (".f3d-writing", "#f3d-save", "#f3d-tab-write"):
            assert not page.locator(hidden).is_visible()
        before = live.text
        page.evaluate(
            """() => {
              for (const more of [
                { what: "write", tab: "t", sequence: 1, base: "", text: "name: taken over" },
                { what: "try", path: "geometry.head_tube_angle", value: 60 },
                { what: "save" }, { what: "output", key: "build" }, { what: "mine" },
              ]) emitEvent("f3d", more);
            }"""
        )
        given = page.evaluate(
            "() => fetch('/f3d/other', { method: 'POST', body: 'x' }).then((a) => a.status)"
        )
        assert given == 403
        live.edit(before.replace("head_tube_angle: 65", "head_tube_angle: 66"))
        page.wait_for_function(
            "() => /^66/.test(document.querySelector('tr[data-figure=head_tube_angle] td').textContent)"
        )
        assert "taken over" not in live.text
        assert not live.out.exists()
        page.close()


def test_code_is_long_and_told_in_two_halves(lobby: Lobby) -> None:
    assert re.fullmatch(r"[2-9A-HJ-NP-Z]{4}-[2-9A-HJ-NP-Z]{4}", lobby.code)
