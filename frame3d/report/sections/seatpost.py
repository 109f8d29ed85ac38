"""The section of the seatpost: exposure, insertion, and the longest travel that fits."""

from __future__ import annotations

from frame3d.bike.seatpost import assumptions, facts, seatpost_of
from frame3d.report.data import ReportData
from frame3d.report.markup import Markup, el
from frame3d.report.texts import Texts


def seatpost(data: ReportData, texts: Texts) -> Markup | None:
    """Return the post's figures; None without a post, or without saddle height and seat tube."""
    post = seatpost_of(data.bike)
    if post is None or (post.exposure is None and post.bore is None):
        return None
    rows = [
        el(
            "tr",
            el("th", texts(f"seatpost.{name}"), scope="row"),
            el("td", texts.quantity(value, "mm", 1)),
            el("td", by, class_="section"),
        )
        for name, value, by in facts(post)
    ]
    return el(
        "div",
        el("h3", texts("seatpost.title")),
        el("table", el("tbody", *rows), class_="masses"),
        el(
            "p",
            texts("seatpost.assumed", list="; ".join(assumptions(data.bike))),
            class_="remark",
        ),
        class_="seatpost",
    )
