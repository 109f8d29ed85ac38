"""The size table as markup: a column a size, a row a figure; sizes that cannot be made by name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from frame3d.bike.choice import Choice
from frame3d.family.members import Family, Member, Missing
from frame3d.family.size_table import size_table
from frame3d.live import panels
from frame3d.live.choosing.others import Other
from frame3d.report.markup import Markup, el, together
from frame3d.report.sections.sizes import size_tables
from frame3d.report.texts import Texts


def sizes(found: Sequence[Other], chosen: Choice, texts: Texts) -> Markup:
    """Return the size table of a file.

    Args:
        found: each of its sizes.
        chosen: the bike in view.
        texts: of the page.
    """
    if not found:
        return el("p", texts("live.sizes.none"), class_="remark")
    outcomes = [other.outcome for other in found]
    family = Family(
        tuple(one for one in outcomes if isinstance(one, Member)),
        tuple(one for one in outcomes if isinstance(one, Missing)),
    )
    columns = tuple(member.choice.size or member.label for member in family.members)
    table = replace(size_table(family), columns=columns)
    return together(
        panels.could_not(family.faults, texts) if family.missing else None,
        size_tables(table, texts, chosen.size or "") if columns else None,
    )
