"""Four-bars whose lengths are known are found again from the curve that a point of theirs draws.

The mechanism: a crank about the origin, a ground link along x, a coupler from the crank's pin to the
rocker's, and a point carried by the coupler. Loop closure by the law of cosines.
"""

from __future__ import annotations

import numpy as np

from frame3d.explore.search.driver import search
from frame3d.explore.search.problem import Problem, Scored
from tests.explore.search.problems import box

CRANK = 1.0


def curve(lengths: np.ndarray, angles: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return the carried point at crank angles [rad], (m, 2), and how far the loop fails to close, (m,).

    Lengths: ground, coupler, rocker, then the point along and beside the coupler, from the crank's pin.
    """
    ground, coupler, rocker, along, beside = lengths
    pin = CRANK * np.column_stack((np.cos(angles), np.sin(angles)))
    across = np.array([ground, 0.0]) - pin
    reach = np.hypot(*across.T)
    cosine = (coupler**2 + reach**2 - rocker**2) / (2 * coupler * reach)
    turned = np.arctan2(across[:, 1], across[:, 0]) + np.arccos(np.clip(cosine, -1, 1))
    ways = np.column_stack((np.cos(turned), np.sin(turned)))
    normal = np.column_stack((-ways[:, 1], ways[:, 0]))
    return pin + along * ways + beside * normal, np.maximum(np.abs(cosine) - 1, 0)


def _found_again(
    lengths: np.ndarray, angles: np.ndarray, start: list[float], seed: int
) -> np.ndarray:
    """Search for lengths whose curve lies within 0.02 of another's everywhere, and nearest to it."""
    wanted, open_by = curve(lengths, angles)
    assert not open_by.any()

    def objective(points: np.ndarray) -> list[Scored]:
        scores = []
        for x in points:
            drawn, open_by = curve(x, angles)
            away = np.hypot(*(drawn - wanted).T)
            margins = {f"p{i}": (float(0.02 - a) / 0.01,) for i, a in enumerate(away)}
            misses = sum(max(0.0, -m) for (m,) in margins.values()) + 1000 * float(open_by.sum())
            scores.append(
                Scored(misses, (float(away @ away),), margins, {"closure": float(open_by.sum())})
            )
        return scores

    where = box([0.5, 0.5, 0.5, -1, -2], [4, 4, 4, 7, 2], start)
    found = search(Problem(where, objective, ("apart",)), 4000, seed)
    assert found.best is not None
    assert found.best.scored.feasible
    return np.array(found.best.point)


def test_hoekens_linkage() -> None:
    """Ground 2, coupler 2.5, rocker 2.5, the point 5 along the coupler, of a crank of 1 (Hoeken's
    proportions as textbooks of mechanisms print them: value from memory). They are checked by what
    they are known for: half a turn of the crank draws a line, straight to a hundredth of its length.
    """
    hoeken = np.array([2, 2.5, 2.5, 5, 0])
    half = np.linspace(np.pi / 2, 3 * np.pi / 2, 50)
    drawn, _ = curve(hoeken, half)
    assert np.ptp(drawn[:, 1]) < 0.01 * np.ptp(drawn[:, 0])
    assert np.ptp(drawn[:, 0]) > 3.9
    all_round = np.linspace(0, 2 * np.pi, 12, endpoint=False)
    found = _found_again(hoeken, all_round, [3, 3, 3, 3, 0.5], 1)
    np.testing.assert_allclose(found, hoeken, atol=5e-3)


def test_parallelogram() -> None:
    """Every point of the coupler draws the crank's circle: it does not turn (opposite sides of a
    parallelogram stay parallel). So the curve gives the rocker's length and the point, and that ground
    and coupler are alike, but not how long they are.
    """
    lengths = np.array([3, 3, 1, 1.5, 0.8])
    open_branch = np.linspace(0.3, np.pi - 0.3, 12)
    drawn, _ = curve(lengths, open_branch)
    np.testing.assert_allclose(np.hypot(*(drawn - [1.5, 0.8]).T), CRANK, atol=1e-12)
    found = _found_again(lengths, open_branch, [2.5, 2.6, 1.4, 1, 0.3], 1)
    np.testing.assert_allclose(found[2:], lengths[2:], atol=1e-3)
    assert abs(found[0] - found[1]) < 1e-3
