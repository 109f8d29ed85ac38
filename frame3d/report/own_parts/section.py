"""The section of the bike's main parts: what each is and does, with this bike's figures and picture."""

from __future__ import annotations

from frame3d.report.data import ReportData
from frame3d.report.markup import Markup, el
from frame3d.report.own_parts.fork import fork
from frame3d.report.own_parts.frame_halves import front_triangle, rear_triangle
from frame3d.report.own_parts.headset import headset
from frame3d.report.own_parts.own_part import OwnPart
from frame3d.report.own_parts.picture import picture
from frame3d.report.own_parts.shock import shock
from frame3d.report.side import Side
from frame3d.report.texts import Texts


def own_parts(data: ReportData, texts: Texts) -> Markup:
    """Return a card for each part. Needs `frame3d.report.drawing.side_view.bike_symbol` on the page."""
    made = (part(data, texts) for part in (front_triangle, rear_triangle, headset, fork, shock))
    cards = [_card(data.side, part, texts) for part in made if part is not None]
    return el("div", *cards, class_="own-parts")


def _card(side: Side, part: OwnPart, texts: Texts) -> Markup:
    title = texts(f"own_parts.{part.key}.title")
    return el(
        "article",
        el("h3", title),
        picture(side, part.lit, texts("own_parts.picture", part=title)),
        None if part.lighter is None else el("p", part.lighter, class_="lighter"),
        el("p", " ".join(part.sentences)),
        *(el("p", el("b", f"{name}: "), said) for name, said in part.inside),
        class_="own-part",
        data_own=part.key,
    )
