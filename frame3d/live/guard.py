"""Let only this server's own pages, opened under its own address, send requests to it.

A page of another site can make a browser send requests to 127.0.0.1. So the Host header must name this
server (against DNS rebinding), and where the browser names the requesting page (Origin, Sec-Fetch-Site),
it must be one of our own. Websockets, which have no same-origin rule, are checked in the same way.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, MutableMapping, Sequence
from typing import Any, Final

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

NAMES: Final = ("127.0.0.1", "localhost")
"""Names of this machine that a browser may use."""
SAFE: Final = ("GET", "HEAD")
"""Methods that change nothing (RFC 9110, section 9.2.1)."""


class Guard:
    """An ASGI application that passes on allowed requests only."""

    def __init__(self, app: App, port: int, names: Sequence[str] = NAMES) -> None:
        """Guard an application.

        Args:
            app: what gets the allowed requests.
            port: of this server.
            names: of this machine that a browser may use; an IPv6 address in brackets.
        """
        self.app = app
        self.hosts = {f"{name}:{port}" for name in names}
        if port == 80:
            self.hosts |= set(names)
        self.headers = _headers(self.hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one connection."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        why = self.refusal(scope)
        if why is None:
            await self.app(scope, receive, self._adding(send))
        elif scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.close", "code": 1008, "reason": why})
        else:
            await refuse(send, why)

    def refusal(self, scope: Scope) -> str | None:
        """Return why a request is refused; None where it is allowed."""
        host, origin = _header(scope, b"host"), _header(scope, b"origin")
        if host is None or host not in self.hosts:
            return "this server is asked for by a name that is not its own"
        if origin is not None and origin not in {f"http://{h}" for h in self.hosts}:
            return "this request comes from another site"
        if origin is None and (scope["type"] == "websocket" or scope["method"] not in SAFE):
            return "this request does not say where it comes from"
        asked_by = _header(scope, b"sec-fetch-site")
        if asked_by not in (None, "same-origin", "none") and not _followed_link(scope):
            return "this request comes from another site"
        return None

    def _adding(self, send: Send) -> Send:
        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                own = {name for name, _ in self.headers}
                kept = [(k, v) for k, v in message.get("headers", []) if k.lower() not in own]
                message["headers"] = [*kept, *self.headers]
            await send(message)

        return with_headers


def _headers(hosts: set[str]) -> list[tuple[bytes, bytes]]:
    """Return the security headers of every answer: no foreign content, no foreign target, no framing.

    The page's framework compiles templates in the browser and uses inline scripts and styles.
    """
    sockets = " ".join(f"ws://{host}" for host in sorted(hosts))
    policy = (
        "default-src 'none'; script-src 'self' 'unsafe-inline' 'unsafe-eval'; "
        "style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; font-src 'self' data:; "
        f"connect-src 'self' {sockets}; worker-src 'none'; manifest-src 'none'; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )
    return [
        (b"content-security-policy", policy.encode()),
        (b"x-content-type-options", b"nosniff"),
        (b"x-frame-options", b"DENY"),
        (b"referrer-policy", b"no-referrer"),
        (b"cross-origin-resource-policy", b"same-origin"),
        (b"cross-origin-opener-policy", b"same-origin"),
    ]


def _followed_link(scope: Scope) -> bool:
    """Return whether the request follows a link to the page; the other site cannot read the answer."""
    return (
        scope["type"] == "http"
        and scope["method"] in SAFE
        and _header(scope, b"sec-fetch-mode") == "navigate"
        and _header(scope, b"sec-fetch-dest") == "document"
    )


def _header(scope: Scope, name: bytes) -> str | None:
    """Return a header's value; None where it is missing, an invalid value where it occurs twice."""
    found = [value for key, value in scope["headers"] if key.lower() == name]
    if not found:
        return None
    return found[0].decode("latin-1").lower() if len(found) == 1 else "several"


async def refuse(send: Send, why: str) -> None:
    """Answer a request with status 403 and the reason."""
    body = f"frame3d: refused, {why}\n".encode()
    await answer(
        send,
        403,
        "text/plain",
        body,
        (b"x-content-type-options", b"nosniff"),
        (b"cross-origin-resource-policy", b"same-origin"),
    )


async def answer(
    send: Send, status: int, kind: str, body: bytes, *headers: tuple[bytes, bytes]
) -> None:
    """Answer a request with a whole body, text of a kind in UTF-8."""
    own = [
        (b"content-type", f"{kind}; charset=utf-8".encode()),
        (b"content-length", str(len(body)).encode()),
    ]
    await send({"type": "http.response.start", "status": status, "headers": [*own, *headers]})
    await send({"type": "http.response.body", "body": body})
