"""Spans at which a frame may be cut: free of every junction, and nothing else is lost."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from frame3d.mockup.cuttable_spans import PAST, STEP, gaps, limbs_of
from tests.mockup.samples import drawing, layout

SPANS = st.tuples(st.integers(-20, 120), st.integers(0, 60)).map(lambda s: (s[0], s[0] + s[1]))


@given(SPANS, st.lists(SPANS, max_size=6))
def test_gaps_are_every_place_that_nothing_takes(
    whole: tuple[int, int], taken: list[tuple[int, int]]
) -> None:
    """By looking at each half millimetre."""
    found = list(gaps(whole, taken))
    assert found == sorted(found)
    for at in np.arange(-30.25, 190.0, 0.5):
        inside = whole[0] < at < whole[1] and not any(low < at < high for low, high in taken)
        assert any(low < at < high for low, high in found) == inside, at


def test_limbs_run_along_the_tubes_axes_clear_of_what_joins_them() -> None:
    drawn, bike = drawing(), layout()
    limbs = limbs_of(drawn, bike)
    assert limbs
    tubes = {tube.name: tube for tube in bike.tubes}
    ends = [
        (np.array(end.point), end.target)
        for tube in bike.tubes
        for end in (tube.start, tube.end)
        if end.target is not None
    ]
    owners = []
    for limb in limbs:
        points = limb.points / drawn.scale
        far = {name: tube.axis.approach(points)[1].max() for name, tube in tubes.items()}
        owner = min(far, key=lambda name: far[name])
        owners.append(owner)
        assert far[owner] < 1e-4
        section = tubes[owner].section
        assert limb.radius.max() <= max(*section.height, *section.width) / 2 * drawn.scale + 1e-9
        steps = np.linalg.norm(np.diff(limb.points, axis=0), axis=1)
        assert steps.max() < 1.5 * STEP
        for point, target in ends:
            if target == owner:
                assert np.linalg.norm(points - point, axis=1).min() > PAST
    assert "head_tube" not in owners
    assert {"down_tube", "top_tube", "seat_tube"} <= set(owners)
