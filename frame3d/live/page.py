"""Layout of the workspace's page with nicegui: text at the left, bike at the right, tables below."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, Final

from nicegui import ui

from frame3d.caution import CAUTION
from frame3d.live.merge import Edit
from frame3d.live.workspace import Workspace
from frame3d.parameters.reading.editing import LARGEST
from frame3d.parameters.reading.variant_tree import MOST
from frame3d.report.markup import Markup, el, together
from frame3d.report.texts import Texts

READ_ONLY: Final = ("sides", "overlay", "measure", "stiffness", "vary")
"""What a read-only page may ask for."""
LONGEST: Final = 1000
"""Characters that an exchange may be typed with."""
PANELS: Final = (
    "figures",
    "sizes",
    "clearances",
    "curves",
    "ride",
    "stiffness",
    "compare",
    "write",
    "messages",
)

# Messages may come before the page's module is loaded.
_LINK: Final = (
    "<script>window.f3d = {{ waiting: [], editor: {editor}, take(n) {{ this.waiting.push(n); }}, "
    "typed() {{}} }};</script>"
)
_HEAD: Final = (
    '<link rel="stylesheet" href="/f3d/live.css">'
    '<script type="module" src="/f3d/live/live.js"></script>'
)


def build(workspace: Workspace, *, read_only: bool = False) -> None:
    """Build the page for one browser tab; a read-only one without text and what changes anything."""
    texts, client = workspace.texts, ui.context.client
    file = workspace.disk.path.name
    with ui.element("div").classes("f3d-live f3d-read-only" if read_only else "f3d-live"):
        ui.html(_heading(texts), sanitize=False, tag="header").classes("f3d-sheet")
        ui.html(_notices(texts), sanitize=False).classes("f3d-sheet f3d-notices")
        with ui.element("div").classes("f3d-desk"):
            with ui.element("div").classes("f3d-writing"):
                label = el("h2", texts("live.text_of", file=file), id="f3d-text-of")
                way_out = el("p", texts("live.way_out"), class_="remark", id="f3d-way-out")
                ui.html(together(label, way_out), sanitize=False).classes("f3d-sheet f3d-file")
                if not read_only:
                    _place_variants(texts)
                editor = ui.codemirror(
                    workspace.session.text, language="YAML", theme="eclipse", indent="  "
                ).classes("f3d-editor")
                if read_only:
                    editor.disable()
                else:
                    editor.on("update:value", js_handler="() => window.f3d.typed()")
                ui.html(_beside(texts), sanitize=False).classes("f3d-sheet f3d-beside")
            ui.html(
                _divider("text", "vertical", texts("live.divider.text")), sanitize=False
            ).classes("f3d-divider of-text")
            with ui.element("div").classes("f3d-looking"):
                if read_only:
                    _place_variants(texts)
                ui.html(_model(texts), sanitize=False).classes("f3d-sheet f3d-model")
                ui.html(
                    _divider("picture", "horizontal", texts("live.divider.picture")), sanitize=False
                ).classes("f3d-divider of-picture")
                ui.html(_panels(workspace), sanitize=False).classes("f3d-sheet f3d-panels")
    ui.add_head_html(_LINK.format(editor=editor.id) + _HEAD)

    key = id(client)
    acts = _acts(workspace, key)
    if read_only:
        acts = {name: act for name, act in acts.items() if name in READ_ONLY}

    async def on_message(event: Any) -> None:
        said = event.args if isinstance(event.args, Mapping) else {}
        act = acts.get(str(said.get("what")))
        if act is not None:
            try:
                done = act(said)
                if done is not None:
                    await done
            except Exception as error:
                workspace.has_defect(error)

    def tell(news: Mapping[str, Any]) -> None:
        client.run_javascript(f"window.f3d.take({json.dumps(news)})")

    ui.on("f3d", on_message)
    client.on_connect(lambda: workspace.join(key, tell))
    client.on_delete(lambda: workspace.leave(key))


def _acts(workspace: Workspace, key: int) -> dict[str, Callable[[Mapping[str, Any]], Any]]:
    """Return the handlers of the page's requests by name; malformed requests are ignored."""

    def write(said: Mapping[str, Any]) -> None:
        edit = Edit.of(said)
        if edit is not None:
            workspace.write(key, edit)

    def attempt(said: Mapping[str, Any]) -> None:
        path, value = said.get("path"), said.get("value")
        if isinstance(path, str) and isinstance(value, int | float) and abs(value) <= LARGEST:
            workspace.attempt(path, float(value), dragging=said.get("dragging") is True)

    def vary(said: Mapping[str, Any]) -> None:
        size, settings = said.get("size"), said.get("settings")
        if isinstance(settings, list) and all(isinstance(name, str) for name in settings):
            workspace.vary(size if isinstance(size, str) else None, settings[:MOST])

    return {
        "write": write,
        "vary": vary,
        "try": attempt,
        "sides": lambda said: workspace.compare(str(said.get("first")), str(said.get("second"))),
        "exchange": lambda said: workspace.exchange(str(said.get("typed"))[:LONGEST]),
        "measure": lambda _: workspace.measure(),
        "choose": lambda said: workspace.choose(str(said.get("path")), on=said.get("on") is True),
        "overlay": lambda said: workspace.overlay(said.get("on") is True),
        "output": lambda said: workspace.write_output(str(said.get("key"))),
        "let_go": lambda _: workspace.let_go(),
        "undo": lambda _: workspace.undo(),
        "redo": lambda _: workspace.redo(),
        "save": lambda _: workspace.save(),
        "theirs": lambda _: workspace.take_theirs(),
        "mine": lambda _: workspace.keep_mine(),
        "take_left": lambda _: workspace.left.take(),
        "discard_left": lambda _: workspace.left.discard(),
        "stiffness": lambda said: workspace.look_at_stiffness(key, on=said.get("on") is True),
    }


def _button(name: str, label: str, *, disabled: bool = False, title: str | None = None) -> Markup:
    return el(
        "button",
        label,
        type="button",
        id=f"f3d-{name}",
        class_="do",
        disabled=disabled,
        title=title,
    )


def _place(name: str, tag: str = "div", **attributes: object) -> Markup:
    """Return an empty element into which messages of that name are put."""
    return el(tag, data_place=name, **attributes)


def _divider(name: str, orientation: str, label: str) -> Markup:
    return el(
        "div",
        role="separator",
        tabindex=0,
        data_divider=name,
        aria_orientation=orientation,
        aria_label=label,
        aria_valuemin=0,
        aria_valuemax=100,
    )


def _work(name: str) -> Markup:
    """Return an element that says how far work of that name is."""
    return el(
        "p", el("progress", max=1, value=0), el("span"), data_work=name, class_="doing", hidden=True
    )


def _heading(texts: Texts) -> Markup:
    return together(
        _place("title", "h1"),
        _place("verdict", hidden=True),
        el("span", id="f3d-pending", class_="pending", role="status"),
        el("span", id="f3d-doing", class_="doing", role="status"),
        el("span", id="f3d-saved", class_="saved", role="status"),
        el(
            "span",
            _button("undo", texts("live.undo"), disabled=True),
            _button("redo", texts("live.redo"), disabled=True),
            _button("save", texts("live.save"), disabled=True),
            class_="buttons",
        ),
    )


def _notices(texts: Texts) -> Markup:
    return together(
        el(
            "div",
            el("p", id="f3d-conflict-says"),
            _button("theirs", texts("live.conflict.theirs")),
            _button("mine", texts("live.conflict.mine")),
            id="f3d-conflict",
            class_="notice",
            role="alert",
            hidden=True,
        ),
        el(
            "div",
            el("p", texts("live.gone")),
            id="f3d-gone",
            class_="notice",
            role="alert",
            hidden=True,
        ),
        el(
            "div",
            _place("left"),
            _button("take-left", texts("live.left.take")),
            _button("discard-left", texts("live.left.discard")),
            id="f3d-left",
            class_="notice",
            role="alert",
            hidden=True,
        ),
        el("div", id="f3d-note", class_="notice", role="alert", hidden=True),
    )


def _place_variants(texts: Texts) -> None:
    ui.html(_variants(texts), sanitize=False).classes("f3d-sheet f3d-which")


def _variants(texts: Texts) -> Markup:
    """Return the choice of size and settings; their names come with the state."""

    def group(name: str, legend: str) -> Markup:
        return el("fieldset", el("legend", legend), id=name, hidden=True)

    sizes = group("f3d-sizes", texts("live.variants.sizes"))
    settings = group("f3d-settings", texts("live.variants.settings"))
    return el("div", sizes, settings, id="f3d-variants", hidden=True)


def _beside(texts: Texts) -> Markup:
    """Return the elements beside the text: faults and sliders."""
    return together(
        _place("faults", class_="faults", role="alert"),
        el(
            "div",
            el(
                "div",
                el("h2", texts("live.try.title")),
                el("select", id="f3d-known", aria_label=texts("live.try.choose")),
                class_="row",
            ),
            el("p", texts("live.try.says"), class_="remark", id="f3d-try-says"),
            el("ul", id="f3d-tries", class_="tries"),
            el("p", class_="remark", id="f3d-elsewhere", hidden=True),
            el(
                "div",
                _button(
                    "keep",
                    texts("live.try.keep"),
                    disabled=True,
                    title=texts("live.try.keep_means"),
                ),
                _button("let-go", texts("live.try.let_go"), disabled=True),
                class_="row",
            ),
            class_="trying",
        ),
    )


def _model(texts: Texts) -> Markup:
    return together(
        el(
            "div",
            class_="toolbar",
            id="f3d-tools",
            role="toolbar",
            aria_label=texts("panel.tools"),
            hidden=True,
        ),
        el("div", class_="bending", role="status", hidden=True),
        el(
            "ul", id="f3d-pins", class_="pins", aria_label=texts("live.figures.pinned"), hidden=True
        ),
        el(
            "div",
            _place("drawing"),
            el("div", id="f3d-view"),
            el("p", texts("live.waiting"), id="f3d-waiting", class_="waiting", role="status"),
            el(
                "p",
                texts("live.dimmed"),
                id="f3d-dimmed",
                class_="older-one",
                role="status",
                hidden=True,
            ),
            el("p", id="f3d-pictured", class_="older-one of-two", role="status", hidden=True),
            el("div", id="f3d-card", class_="card", role="status", hidden=True),
            class_="view",
        ),
        el("div", class_="motions", role="group", aria_label=texts("pose.title"), hidden=True),
    )


def _panels(workspace: Workspace) -> Markup:
    texts = workspace.texts
    tabs = [
        el(
            "button",
            texts(f"live.panel.{key}"),
            type="button",
            role="tab",
            id=f"f3d-tab-{key}",
            aria_controls=f"f3d-panel-{key}",
            aria_selected="true" if i == 0 else "false",
            tabindex=0 if i == 0 else -1,
        )
        for i, key in enumerate(PANELS)
    ]
    inside = {
        "figures": together(_place("figures"), _work("solids"), _place("masses")),
        "clearances": together(_work("check"), _place("clearances")),
        "curves": together(_work("curves"), _place("curves")),
        "ride": _place("ride"),
        "compare": together(_sides(texts), _work("compare"), _place("compare")),
        "write": together(
            _place("write"),
            _work("output"),
            _place("written", role="status"),
        ),
        "messages": together(_place("messages"), el("p", CAUTION, class_="remark")),
    }
    panels = [
        el(
            "div",
            inside.get(key) or _place(key),
            id=f"f3d-panel-{key}",
            role="tabpanel",
            aria_labelledby=f"f3d-tab-{key}",
            tabindex=0,
            hidden=i > 0,
        )
        for i, key in enumerate(PANELS)
    ]
    return together(
        el("div", *tabs, role="tablist", id="f3d-tabs", aria_label=texts("live.panel.label")),
        *panels,
    )


def _sides(texts: Texts) -> Markup:
    """Return the choice of the two bikes that are compared."""

    def choice(label: str, name: str) -> Markup:
        return el("label", el("span", label), el("select", id=name))

    return together(
        el(
            "div",
            choice(texts("live.compare.first"), "f3d-first"),
            choice(texts("live.compare.second"), "f3d-second"),
            el(
                "label",
                el("input", type="checkbox", id="f3d-overlay"),
                el("span", texts("live.compare.overlay")),
            ),
            _button("give", texts("live.compare.file")),
            el("input", type="file", id="f3d-file", accept=".yaml,.yml", hidden=True),
            class_="row",
        ),
        el(
            "form",
            el(
                "label",
                el("span", texts("live.compare.swap")),
                el(
                    "input",
                    type="text",
                    id="f3d-swap",
                    placeholder="build.fork.axle_to_crown=551",
                    spellcheck="false",
                    autocomplete="off",
                ),
            ),
            el("button", texts("live.compare.exchange"), class_="do"),
            id="f3d-exchange",
            class_="row",
        ),
    )


@cache
def stylesheet() -> str:
    """Return the page's style sheet: the report's for tables and plots, and the workspace's own."""
    page = files("frame3d.report") / "page_files"
    palette = json.loads((page / "palette.json").read_text(encoding="utf-8"))

    def colours(theme: str) -> str:
        lines = "\n".join(f"  --{name}: {value};" for name, value in palette[theme].items())
        return f":root {{\n  color-scheme: {theme};\n{lines}\n}}\n"

    own = files("frame3d.live") / "client" / "live.css"
    shared = (page / "page.css").read_text(encoding="utf-8")
    # What a drawing uses of its symbol is styled as if it stood in no other element.
    used = "\n".join(re.findall(r"^\.(?:part|frame|open) \{.*\}$", shared, re.MULTILINE))
    return (
        colours("light")
        + f"@media (prefers-color-scheme: dark) {{\n{colours('dark')}}}\n"
        + f"{used}\n.f3d-sheet {{\n{shared}}}\n"
        + own.read_text(encoding="utf-8")
    )
