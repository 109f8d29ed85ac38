"""The section: dampers, natural frequencies and the energy of the springs."""

from __future__ import annotations

from frame3d.report.audience import Audience
from frame3d.report.data import ReportData
from frame3d.report.markup import Markup
from frame3d.report.texts import Texts


def section(data: ReportData, texts: Texts, audience: Audience) -> Markup | None:
    """Return the topic's section; None where the file gives nothing for it."""
    return None
