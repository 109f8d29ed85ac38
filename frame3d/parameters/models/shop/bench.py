"""BenchSpec: how the builder joins the frame: ``bench:`` in the parameter file."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Annotated, Literal

from pydantic import Field, Strict

from frame3d.parameters.models.base import Model, Problem, unknown

Process = Literal["tig", "fillet_brazed", "lug_brazed", "bonded"]
_Pair = Annotated[tuple[str, str], Strict(False)]


class BenchSpec(Model):
    """The builder's own way of joining, for the bench order; it changes nothing of the frame."""

    process: Process | None = Field(
        None,
        title="Process",
        description="How tubes are joined; left out, the bench order says join where this would say "
        "weld, braze or bond",
        examples=["tig"],
    )
    order: Annotated[tuple[_Pair, ...], Strict(False)] = Field(
        default=(),
        title="Order",
        description="The builder's own order of joints, each by the two bodies that meet: tubes, "
        "bottom_bracket, rear_dropout, points of the suspension; both sides of a pair are one joint. "
        "Left out, the tubes' build order is taken",
        examples=[[["seat_tube", "bottom_bracket"], ["down_tube", "head_tube"]]],
        max_length=300,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield joints that stand twice, or of a body with itself."""
        seen: set[frozenset[str]] = set()
        for i, (one, other) in enumerate(self.order):
            if frozenset((one, other)) in seen:
                hint = "each joint once, whichever body is named first"
                yield Problem("duplicate-key", f"order.{i}", f"{one} and {other} stand twice", hint)
            seen.add(frozenset((one, other)))


def bench_problems(bench: BenchSpec, bodies: Collection[str]) -> Iterator[Problem]:
    """Yield bodies of the order that the file does not have; keys below ``bench``."""
    for i, pair in enumerate(bench.order):
        for name in pair:
            if name not in bodies:
                yield unknown(f"order.{i}", "tube, shell, dropout or pivot", name, bodies)
