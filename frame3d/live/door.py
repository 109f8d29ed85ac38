"""Let in only browsers whose user has typed a code that this machine's terminal shows.

For pages on a shop's own network. Each code lets in one browser, which then shows a cookie; the next
code is told after that. Wrong codes are answered slowly, and after `WRONG` of them the code is another.
The network sees everything in the clear, codes and cookies too: HTTP without TLS.
"""

from __future__ import annotations

import asyncio
import html
import json
import secrets
from collections.abc import Callable
from http.cookies import CookieError, SimpleCookie
from importlib.resources import files
from string import Template
from typing import Final

from frame3d.live.guard import App, Receive, Scope, Send, answer, refuse
from frame3d.report.texts import Texts

ALPHABET: Final = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Letters of codes; none that look alike (0 and O, 1 and I)."""
LETTERS: Final = 8
"""In a code: 40 bits."""
WRONG: Final = 8
"""Wrong codes after which another one is chosen."""
SLOW: Final = 1.0
"""How long the answer to a wrong code takes; one is answered after the other [s]."""
MOST: Final = 400
"""Longest request with a code [bytes]."""
BROWSERS: Final = 20
"""Most browsers that may be let in; after that the first ones have to ask anew."""
ENTER: Final = "/f3d/enter"
COOKIE: Final = "frame3d"
FRESH: Final = (b"cache-control", b"no-store")


class Door:
    """An ASGI application behind which only browsers come that have shown a code."""

    def __init__(self, app: App, texts: Texts, say: Callable[[str], None]) -> None:
        """Choose the first code.

        Args:
            app: what is behind the door.
            texts: of the page that asks for the code.
            say: called with each new code.
        """
        self.app, self.texts, self.say = app, texts, say
        self._known: list[str] = []
        self._wrong = 0
        self._one_by_one = asyncio.Lock()
        self._code = _code()

    def tell(self) -> None:
        """Say the code."""
        half = LETTERS // 2
        self.say(f"code for one browser: {self._code[:half]}-{self._code[half:]}")

    def _renew(self) -> None:
        self._code, self._wrong = _code(), 0
        self.tell()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one connection."""
        if scope["type"] not in ("http", "websocket") or self._is_known(scope):
            await self.app(scope, receive, send)
        elif scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.close", "code": 1008, "reason": "no code was given"})
        elif scope["method"] == "POST" and scope["path"] == ENTER:
            await self._enter(receive, send)
        elif scope["method"] in ("GET", "HEAD") and scope["path"] == "/":
            await answer(send, 200, "text/html", self._page(), FRESH)
        else:
            await refuse(send, "no code was given")

    def _is_known(self, scope: Scope) -> bool:
        for name, value in scope["headers"]:
            if name.lower() != b"cookie":
                continue
            try:
                found = SimpleCookie(value.decode("latin-1")).get(COOKIE)
            except CookieError:
                continue
            if found is not None and any(
                secrets.compare_digest(found.value.encode(), known.encode())
                for known in self._known
            ):
                return True
        return False

    async def _enter(self, receive: Receive, send: Send) -> None:
        code = await _body(receive)
        if code is None:
            await refuse(send, "this is no code")
            return
        async with self._one_by_one:
            if not secrets.compare_digest(_read(code).encode(), self._code.encode()):
                self._wrong += 1
                if self._wrong >= WRONG:
                    self._renew()
                await asyncio.sleep(SLOW)
                await refuse(send, "the code is another")
                return
            key = secrets.token_urlsafe(32)
            self._known = [*self._known, key][-BROWSERS:]
            self._renew()
        cookie = f"{COOKIE}={key}; Path=/; HttpOnly; SameSite=Strict"
        await answer(send, 200, "text/html", b"", FRESH, (b"set-cookie", cookie.encode()))

    def _page(self) -> bytes:
        def text(key: str) -> str:
            return html.escape(self.texts(f"live.code.{key}"))

        page = Template((files("frame3d.live") / "client" / "code.html").read_text("utf-8"))
        whole = page.substitute(
            language=html.escape(self.texts("language")),
            title=text("title"),
            says=text("says"),
            label=text("label"),
            enter=text("enter"),
            wrong=json.dumps(self.texts("live.code.wrong")).replace("<", "\\u003c"),
            place=ENTER,
        )
        return whole.encode()


def _code() -> str:
    return "".join(secrets.choice(ALPHABET) for _ in range(LETTERS))


def _read(typed: bytes) -> str:
    """Return a code as it was meant: without dashes and spaces, in capitals."""
    text = typed.decode("utf-8", "replace").upper()
    return "".join(letter for letter in text if letter.isalnum())


async def _body(receive: Receive) -> bytes | None:
    """Return a request's body; None where it is longer than `MOST`, or the browser has gone."""
    found = b""
    while True:
        message = await receive()
        if message["type"] != "http.request":
            return None
        found += bytes(message.get("body", b""))
        if len(found) > MOST:
            return None
        if not message.get("more_body", False):
            return found
