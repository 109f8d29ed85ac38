"""Inconsistencies between the tubes and the links to which they belong."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from frame3d.parameters.models.base import NODE_NAMES, Problem, unknown
from frame3d.parameters.models.custom_bodies import FIXED, SpareSpec
from frame3d.parameters.models.suspension import FRAME, SuspensionSpec
from frame3d.parameters.models.tubes import TubeSpec

REAR = ("rear_dropout", "rear_axle")
"""Targets of tubes that move with the rear wheel."""


def link_problems(
    suspension: SuspensionSpec | None, tubes: Mapping[str, TubeSpec]
) -> Iterator[Problem]:
    """Yield unknown links, and joints that would lock a link; keys below ``tubes``."""
    for key, tube in tubes.items():
        if tube.link is None and suspension is None:
            continue
        if suspension is None:
            yield Problem(
                "inconsistent",
                f"{key}.link",
                "this bike has no rear suspension, so nothing moves",
                "leave link out, or describe the links under suspension",
            )
        elif tube.link is not None and tube.link not in suspension.links:
            yield unknown(f"{key}.link", "link", tube.link, tuple(suspension.links))
        else:
            yield from _joints(suspension, tubes, key, tube)


def spare_problems(
    suspension: SuspensionSpec | None, spares: Mapping[str, SpareSpec]
) -> Iterator[Problem]:
    """Yield custom bodies that are fixed to something unknown; keys below ``build.bodies``."""
    links = () if suspension is None else tuple(suspension.links)
    for key, spare in spares.items():
        if spare.fixed_to not in (*FIXED, *links):
            yield unknown(f"{key}.fixed_to", "part or link", spare.fixed_to, (*FIXED, *links))


def _joints(
    suspension: SuspensionSpec, tubes: Mapping[str, TubeSpec], key: str, tube: TubeSpec
) -> Iterator[Problem]:
    """Yield problems of a tube's ends that sit on another body than its own link."""
    own = FRAME if tube.link is None else tube.link
    for end, junction in (("start", tube.start), ("end", tube.end)):
        if junction is None or junction.on is None:
            continue
        on, path = junction.on, f"{key}.{end}.on"
        if on in suspension.points:
            if on not in suspension.links[own]:
                yield Problem(
                    "inconsistent",
                    path,
                    f"{on} is no point of {own}, which {key} belongs to",
                    f"points of {own}: {', '.join(suspension.links[own])}; or list {on} under "
                    f"links.{own}",
                )
            continue
        if on in tubes:
            other = tubes[on].link
            other = FRAME if other is None else other
            if other not in suspension.links:  # already reported by its own check
                continue
        elif on in REAR:
            other = suspension.axle.on
        elif on in NODE_NAMES:
            other = FRAME
        else:
            continue
        if other != own:
            yield Problem(
                "inconsistent",
                path,
                f"{on} belongs to {other} and {key} to {own}: joined, neither could move",
                f"tubes.{key}.link: {other}; or end it on a pivot of {own}, e.g. on: "
                f"{next(iter(suspension.links[own]), 'main_pivot')}",
            )
