"""The workspace's server: for this machine alone, or read-only for browsers on its network."""

from __future__ import annotations

import asyncio
import contextlib
import gc
import json
import socket
import webbrowser
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from importlib.resources import files
from pathlib import Path
from typing import Final
from urllib.parse import quote

import uvicorn
from fastapi import FastAPI, Request, Response
from nicegui import app as nicegui_app
from nicegui import ui

from frame3d.bike.choice import Choice
from frame3d.errors import Fault, OutputError, SpecError
from frame3d.live.disk import Disk
from frame3d.live.door import Door
from frame3d.live.guard import NAMES, Guard
from frame3d.live.page import build, stylesheet
from frame3d.live.work.slow_work import LANGUAGE
from frame3d.live.workspace import Workspace
from frame3d.parameters.reading.reader import MAX_BYTES, variants_of
from frame3d.parameters.reading.variant_tree import DRAWN, not_offered
from frame3d.report.texts import texts as of_language
from frame3d.viewer.three_bundle import three_bundle

ADDRESS: Final = "127.0.0.1"
PORT: Final = 7029
"""Default port; 0 takes any free one."""
RECONNECT: Final = 60.0
"""Time that a busy or sleeping page may be silent before it must reload [s]."""
FOLDERS: Final = {
    "live": ("frame3d.live", "client"),
    "page": ("frame3d.report", "page_files"),
    "viewer": ("frame3d.viewer", "client"),
}
"""Folders of the page's modules, by the name in their URL."""
_ICON: Final = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32"><g fill="none" stroke="#1d5c50" '
    'stroke-width="2.6" stroke-linejoin="round"><circle cx="7.5" cy="20" r="5.5"/>'
    '<circle cx="24.5" cy="20" r="5.5"/><path d="M7.5 20l5-8.5 9.5-1L14.5 20z"/></g></svg>'
)


def run(
    file: Path,
    folder: Path,
    port: int = PORT,
    *,
    address: str = ADDRESS,
    read_only: bool = False,
    browse: bool = True,
    say: Callable[[str], None] = print,
    choice: Choice | None = None,
) -> None:
    """Serve the workspace of a file until stopped.

    Where the address is another than `ADDRESS`, each browser is let in by a code, see `Door`.

    Args:
        file: the parameter file, the only one that is read or written.
        folder: where outputs go.
        port: of the address; 0 for any that is free.
        address: IP address of this machine at which it listens.
        read_only: whether pages only show the bike, as the file on the disk has it.
        browse: whether to open a browser.
        say: called with the page's address, and with what was left unsaved.
        choice: the size and settings that are shown first; the file's default if not given.

    Raises:
        SpecError: the file is not there, cannot be read, or does not have what `choice` names.
        OutputError: the port is taken, the address is not this machine's, or pages at it could write.
    """
    is_own = address == ADDRESS
    if not (is_own or read_only):
        raise OutputError(
            Fault(
                "output",
                "",
                f"pages at {address} could be written to by others on the network",
                "add --read-only, or leave --on out: then the page is for this machine alone",
            )
        )
    texts = of_language(LANGUAGE)
    workspace = Workspace(Disk(file), folder, texts)
    if choice is not None:
        begin_with(workspace, choice)
    listening = _listen(address, port)
    port = listening.getsockname()[1]
    name = f"[{address}]" if ":" in address else address
    place = f"http://{name}:{port}/"

    def started() -> None:
        say(f"{file} is open at {place} (stop with Ctrl-C)")
        if door is not None:
            door.tell()
        elif browse:
            webbrowser.open(place)

    app = application(workspace, started, read_only=read_only)
    door = None if is_own else Door(app, texts, say)

    gc.enable()  # commands run without it, a server cannot
    gc.freeze()  # a collection over the libraries would take a tenth of a second
    config = uvicorn.Config(
        Guard(app if door is None else door, port, NAMES if is_own else (name,)),
        log_level="error",
        access_log=False,
        lifespan="on",
        timeout_graceful_shutdown=1,
        server_header=False,
    )
    with contextlib.closing(listening), contextlib.suppress(KeyboardInterrupt):
        uvicorn.Server(config).run(sockets=[listening])
    if workspace.left.keeper.kept is not None:
        say(f"what was not saved to {file} is kept in {folder}: the next start offers it")
    elif workspace.session.unsaved:
        say(f"what was not saved to {file} is gone")


def _listen(address: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    listening = socket.socket(family, socket.SOCK_STREAM)
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((address, port))
        listening.listen(128)
    except (OSError, OverflowError) as problem:
        listening.close()
        why = getattr(problem, "strerror", None) or str(problem)
        raise OutputError(
            Fault(
                "output",
                "",
                f"port {port} at {address} cannot be had: {why}",
                "is a workspace open already? Choose another: --port 0 takes any that is free"
                if address == ADDRESS
                else "is this an address of this machine, and is no workspace open at it already?",
            )
        ) from problem
    return listening


def begin_with(workspace: Workspace, choice: Choice) -> None:
    """Choose a bike of the file before pages open.

    Raises:
        SpecError: the file does not have that size or setting.
    """
    with contextlib.suppress(SpecError):  # the page tells what is wrong with the text
        workspace.chooser.read(variants_of(workspace.session.text, workspace.source))
    offered = workspace.chooser.offered
    faults = [
        not_offered(what, name, names)
        for what, wanted, names in (
            ("size", () if choice.size is None else (choice.size,), offered.sizes),
            ("setting", choice.settings, offered.settings),
        )
        for name in wanted
        if workspace.chooser.is_read and name not in (*names, DRAWN)
    ]
    if faults:
        raise SpecError(faults)
    workspace.chooser.choose(choice.size, choice.settings)


def application(
    workspace: Workspace, started: Callable[[], None] | None = None, *, read_only: bool = False
) -> FastAPI:
    """Return the server's application, without the guard."""

    @asynccontextmanager
    async def life(_app: FastAPI) -> AsyncIterator[None]:
        workspace.open(keep=not read_only)
        if started is not None:
            asyncio.get_running_loop().call_soon(started)
        yield
        await workspace.close()

    app = FastAPI(lifespan=life, docs_url=None, redoc_url=None, openapi_url=None)

    @app.get("/f3d/held/{number}")
    async def held(number: int) -> Response:
        data = workspace.shelf.get(number)
        if data is None:
            return Response(status_code=404)
        return _fresh(data, "application/octet-stream")

    @app.get("/f3d/written/{number}")
    async def written(number: int) -> Response:
        found = await asyncio.to_thread(workspace.slow.downloads.read, number)
        if found is None:
            return Response(status_code=404)
        name, data = found
        # As an attachment, and as no kind that a browser shows: what is written runs nothing here.
        answer = _fresh(data, "application/octet-stream")
        answer.headers["Content-Disposition"] = f"attachment; filename*=UTF-8''{quote(name)}"
        return answer

    @app.get("/f3d/three.js")
    async def three() -> Response:
        return _fresh(three_bundle().encode(), "text/javascript")

    @app.get("/f3d/live.css")
    async def style() -> Response:
        return _fresh(stylesheet().encode(), "text/css")

    @app.get("/f3d/texts.json")
    async def texts() -> Response:
        return _fresh(json.dumps(workspace.texts.everything).encode(), "application/json")

    @app.get("/f3d/{folder}/{name}.js")
    async def module(folder: str, name: str) -> Response:
        if folder not in FOLDERS or not name.replace("_", "").isalnum():
            return Response(status_code=404)
        package, place = FOLDERS[folder]
        found = files(package) / place / f"{name}.js"
        if not found.is_file():
            return Response(status_code=404)
        return _fresh(found.read_bytes(), "text/javascript")

    @app.post("/f3d/other")
    async def other(request: Request, name: str = "") -> Response:
        if read_only:
            return Response(status_code=403)
        data = bytearray()
        async for piece in request.stream():
            data += piece
            if len(data) > MAX_BYTES:
                return Response(status_code=413)
        text = data.decode("utf-8-sig", "replace").replace("\r\n", "\n")
        await workspace.compare_with_text(name[:200] or "?", text)
        return Response(status_code=204)

    ui.page("/")(lambda: build(workspace, read_only=read_only))
    # Its bar of all requests has no name, and says less than the page does.
    nicegui_app.config.quasar_config["loadingBar"]["skipHijack"] = True
    ui.run_with(
        app,
        title="frame3d",
        language="en-US",
        favicon=_ICON,
        dark=None,
        tailwind=False,
        show_welcome_message=False,
        gzip_middleware_factory=None,
        reconnect_timeout=RECONNECT,
    )
    return app


def _fresh(data: bytes, kind: str) -> Response:
    """Return an answer that browsers may not cache."""
    return Response(data, media_type=kind, headers={"Cache-Control": "no-store"})
