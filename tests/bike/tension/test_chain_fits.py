"""Which chains a range of chainstay lengths tensions."""

from __future__ import annotations

import pytest

import frame3d
from frame3d.bike.tension.chain_fits import HALF_LINK, chain_fits, gear_of, tension_text
from frame3d.parameters.sizes.chains import links_around
from tests.bike.tension.bikes import RIGID, eccentric


def test_every_whole_chain_within_the_range_is_found() -> None:
    spec = eccentric().spec
    found = chain_fits(spec, 431.0, 443.0)
    low, high = (links_around(d, 38, 18) for d in (431.0, 443.0))
    assert [one.links for one in found] == [n for n in range(80, 120) if low <= n <= high]
    for one in found:
        assert links_around(one.chainstay_length, 38, 18) == pytest.approx(one.links, abs=1e-8)
    # A half link more asks for about half a pitch of chainstay: exactly so where ring and cog are alike.
    a, b = (one.chainstay_length for one in found)
    assert b - a == pytest.approx(HALF_LINK, abs=0.05)


def test_several_gears_have_no_one_chain() -> None:
    assert gear_of(frame3d.load(RIGID)) is None
    several = frame3d.load(RIGID, sets=["build.cassette={cogs: [11, 13, 15]}"])
    assert chain_fits(several, 431.0, 443.0) == ()


@pytest.mark.parametrize(
    ("span", "said"),
    [
        (12.7, "without a half link always fits"),
        (11.9, "maybe only one with a half link"),
        (6.35, "maybe only one with a half link"),
        (5.0, "less than the 6.35 mm of one"),
    ],
)
def test_what_a_range_is_enough_for(span: float, said: str) -> None:
    """One pitch is 12.7 mm of chain, there and back 6.35 mm of chainstay; a link pair twice that."""
    assert said in tension_text(span)
