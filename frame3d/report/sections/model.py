"""The section of the 3D model, which scripts fill; a side view until then."""

from __future__ import annotations

from frame3d.report.data import ReportData
from frame3d.report.drawing.sheet import SvgDrawing
from frame3d.report.drawing.side_view import BIKE
from frame3d.report.markup import Markup, el, together
from frame3d.report.texts import Texts


def model(data: ReportData, texts: Texts) -> Markup:
    """Return stage, toolbar, panel and motions, empty and hidden except for the side view."""
    (x0, z0), (x1, z1) = data.side.corners
    sheet = SvgDrawing(26.0)
    sheet.use(BIKE, 2.4)
    sheet.line((x0, data.side.ground), (x1, data.side.ground), "ground")
    margin = 80.0
    placeholder = sheet.svg(
        (x0 - margin, z0 - margin),
        (x1 + margin, z1 + margin),
        texts("drawing.plain", name=data.bike.spec.title),
        "sheet placeholder",
    )
    tabs = [
        el(
            "button",
            texts(f"panel.{key}"),
            type="button",
            role="tab",
            id=f"tab-{key}",
            aria_controls=f"panel-{key}",
            aria_selected="true" if i == 0 else "false",
            tabindex=0 if i == 0 else -1,
        )
        for i, key in enumerate(("parts", "checks"))
    ]
    card = el("div", class_="card", role="status", hidden=True)
    return stage(
        texts,
        together(placeholder, card),
        el(
            "div",
            el("div", *tabs, role="tablist", aria_label=texts("section.model.title")),
            el("div", id="panel-parts", role="tabpanel", aria_labelledby="tab-parts"),
            el(
                "div", id="panel-checks", role="tabpanel", aria_labelledby="tab-checks", hidden=True
            ),
            class_="panel",
            hidden=True,
        ),
    )


def stage(texts: Texts, before: Markup | None = None, beside: Markup | None = None) -> Markup:
    """Return the place of a model, which scripts fill: toolbar, stage and motions.

    Args:
        texts: of the page.
        before: what the stage shows beside the model's own view.
        beside: what stands after them.
    """
    return el(
        "div",
        el("div", class_="toolbar", role="group", aria_label=texts("panel.tools"), hidden=True),
        el("div", class_="bending", role="status", hidden=True),
        el(
            "div",
            el("div", id="view", class_="view"),
            before,
            el(
                "p",
                el("noscript", texts("page.without_script")),
                class_="waiting",
                role="status",
                data_loading=texts("page.loading"),
                data_failed=texts("page.no_viewer"),
                data_old=texts("page.no_decompression"),
                data_webgl=texts("page.no_webgl"),
            ),
            class_="stage",
        ),
        el("div", class_="motions", role="group", aria_label=texts("pose.title"), hidden=True),
        beside,
        class_="model",
        id="bike-model",
    )
