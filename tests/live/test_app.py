"""The server: what it hands out, what it does not, and a port that is taken."""

from __future__ import annotations

import json
import socket
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest

from frame3d.bike.choice import Choice
from frame3d.errors import OutputError, SpecError
from frame3d.live.app import ADDRESS, FOLDERS, application, begin_with
from frame3d.live.app import run as serve
from frame3d.live.disk import Disk
from frame3d.live.workspace import Workspace
from frame3d.parameters.reading.reader import MAX_BYTES, variants_of
from frame3d.report.texts import texts
from tests.live.families import FAMILY
from tests.live.loops import run
from tests.live.serving import SMALL


@pytest.fixture(scope="module")
def workspace(tmp_path_factory: pytest.TempPathFactory) -> Workspace:
    folder = tmp_path_factory.mktemp("app")
    file = folder / "bike.yaml"
    file.write_text(SMALL.read_text("utf-8"), "utf-8")
    return Workspace(Disk(file), folder, texts())


@dataclass(frozen=True)
class Answer:
    """What the server answers."""

    status: int
    headers: dict[str, str]
    body: bytes


@dataclass(frozen=True)
class Client:
    """Asks the application itself; its life is not started, so no worker is."""

    app: Any

    def ask(self, method: str, url: str, body: bytes = b"") -> Answer:
        path, _, query = url.partition("?")
        scope = {
            "type": "http", "http_version": "1.1", "method": method, "scheme": "http", "path": unquote(path),
            "raw_path": path.encode(), "query_string": query.encode(), "root_path": "", "headers": [],
            "server": (ADDRESS, 80), "client": (ADDRESS, 1),
        }  # fmt: skip
        sent: list[dict[str, Any]] = []

        async def receive() -> dict[str, Any]:
            return {"type": "http.request", "body": body, "more_body": False}

        async def send(message: dict[str, Any]) -> None:
            sent.append(message)

        run(self.app(scope, receive, send))
        start, *rest = sent
        headers = {key.decode().lower(): value.decode() for key, value in start["headers"]}
        return Answer(start["status"], headers, b"".join(m.get("body", b"") for m in rest))

    def get(self, url: str) -> Answer:
        return self.ask("GET", url)


@pytest.fixture(scope="module")
def client(workspace: Workspace) -> Client:
    return Client(application(workspace))


def test_models_are_fetched_by_number(client: Client, workspace: Workspace) -> None:
    number = workspace.shelf.put(b"data")
    found = client.get(f"/f3d/held/{number}")
    assert (found.status, found.body) == (200, b"data")
    assert found.headers["cache-control"] == "no-store"
    assert client.get(f"/f3d/held/{number + 1}").status == 404


@pytest.mark.parametrize("folder", FOLDERS)
def test_modules_are_handed_out_from_their_folders_alone(client: Client, folder: str) -> None:
    package, place = FOLDERS[folder]
    here = Path(__file__).parents[2].joinpath(*package.split("."), place)
    modules = sorted(here.glob("*.js"))
    assert modules
    found = client.get(f"/f3d/{folder}/{modules[0].name}")
    assert found.body == modules[0].read_bytes()
    assert found.headers["content-type"].startswith("text/javascript")


@pytest.mark.parametrize(
    "path",
    [
        "/f3d/nowhere/page.js",
        "/f3d/live/not_there.js",
        "/f3d/live/..%2F..%2Fapp.js",
        "/f3d/live/.js",
        "/f3d/live/a-b.js",
        "/f3d/live/page.css",
        "/docs",
        "/openapi.json",
    ],
)
def test_nothing_else_is_handed_out(client: Client, path: str) -> None:
    assert client.get(path).status == 404


def test_texts_and_styles(client: Client) -> None:
    assert json.loads(client.get("/f3d/texts.json").body) == texts().everything
    assert client.get("/f3d/live.css").headers["content-type"].startswith("text/css")
    assert b"export" in client.get("/f3d/three.js").body


def test_a_file_to_compare_with_may_be_as_large_as_a_parameter_file(client: Client) -> None:
    assert client.ask("POST", "/f3d/other?name=x", b"#" * (MAX_BYTES + 1)).status == 413


def test_a_port_that_is_taken_is_a_fault(tmp_path: Path) -> None:
    file = tmp_path / "bike.yaml"
    file.write_text(SMALL.read_text("utf-8"), "utf-8")
    with socket.socket() as taken:
        taken.bind((ADDRESS, 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(OutputError, match=f"port {port} at {ADDRESS}") as caught:
            serve(file, tmp_path, port, browse=False)
    assert "--port 0" in caught.value.faults[0].hint
    with pytest.raises(OutputError, match="cannot be had"):
        serve(file, tmp_path, 70_000, browse=False)


def test_a_file_that_is_not_there_is_a_fault_before_anything_is_served(tmp_path: Path) -> None:
    with pytest.raises(SpecError, match="no such file"):
        serve(tmp_path / "nothing.yaml", tmp_path, 0, browse=False)


def family(tmp_path: Path, text: str = FAMILY) -> Workspace:
    file = tmp_path / "family.yaml"
    file.write_text(text, "utf-8")
    return Workspace(Disk(file), tmp_path, texts())


def test_the_bike_that_is_shown_first(tmp_path: Path) -> None:
    workspace = family(tmp_path)
    begin_with(workspace, Choice("L", ("long", "quick")))
    assert workspace.chooser.choice == Choice("L", ("long", "quick"))


@pytest.mark.parametrize(
    ("choice", "message"),
    [
        (Choice("XL"), "--size XL: there is no size XL"),
        (Choice(None, ("lang",)), "--setting lang: there is no setting lang"),
    ],
)
def test_a_bike_that_the_file_does_not_have(tmp_path: Path, choice: Choice, message: str) -> None:
    with pytest.raises(SpecError) as caught:
        begin_with(family(tmp_path), choice)
    assert str(caught.value).startswith(message)


def test_a_text_with_faults_opens_nevertheless(tmp_path: Path) -> None:
    workspace = family(tmp_path, FAMILY + "\nshop: [\n")
    begin_with(workspace, Choice("L"))
    assert workspace.chooser.choice.size is None
    workspace.chooser.read(variants_of(FAMILY))
    assert workspace.chooser.choice.size == "L"
