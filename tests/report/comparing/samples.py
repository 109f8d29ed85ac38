"""Comparisons for tests, each made once a process; all bikes invented."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from frame3d.family.measured import measure
from frame3d.family.members import solve_family
from frame3d.family.wanted import wanted_of
from frame3d.report.comparing.data import Comparison
from frame3d.report.comparing.page import comparison_page
from tests.family.files import family_file
from tests.report.samples import CONFIGS


def compared(*named: str, **options: object) -> Comparison:
    """Return a comparison of the bikes that are named."""
    family = solve_family(wanted_of(named, **options))  # type: ignore[arg-type]
    return Comparison(family, measure(family))


@cache
def sizes() -> Comparison:
    """Return three bikes of the invented family: a size, a larger one, and the first with a long fork."""
    with TemporaryDirectory() as folder:
        file = family_file(Path(folder))
        return compared(f"{file}:S", f"{file}:L", f"{file}:S+long")


@cache
def sprung() -> Comparison:
    """Return two different bikes with rear suspension."""
    return compared(str(CONFIGS / "trail_full_140.yaml"), str(CONFIGS / "enduro_170_mixed.yaml"))


@cache
def sizes_page() -> bytes:
    """Return the page of `sizes`."""
    return comparison_page(sizes())
