"""The section: how the bike fits its rider: contact points, cockpit, seatpost, knee and trunk."""

from __future__ import annotations

from frame3d.report.audience import Audience
from frame3d.report.data import ReportData
from frame3d.report.markup import Markup
from frame3d.report.texts import Texts


def section(data: ReportData, texts: Texts, audience: Audience) -> Markup | None:
    """Return the topic's section; None where the file gives nothing for it."""
    return None
