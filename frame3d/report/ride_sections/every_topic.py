"""The sections on how the bike fits and rides, in the order in which they are shown."""

from __future__ import annotations

from frame3d.report.audience import Audience
from frame3d.report.data import ReportData
from frame3d.report.markup import Markup
from frame3d.report.ride_sections import damping, fit, slopes, springs, steering
from frame3d.report.texts import Texts


def ride_sections(
    data: ReportData, texts: Texts, audience: Audience
) -> list[tuple[str, Markup | None]]:
    """Return each topic's key and section; None where the file gives nothing for it."""
    topics = {
        "fit": fit,
        "slopes": slopes,
        "springs": springs,
        "damping": damping,
        "steering": steering,
    }
    return [(key, topic.section(data, texts, audience)) for key, topic in topics.items()]
