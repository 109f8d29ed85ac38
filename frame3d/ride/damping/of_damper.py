"""The file's damper, with a filmed return worked out on its spring."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.errors import GeometryError
from frame3d.linkage.curves.springs import Spring
from frame3d.parameters.models.damper import DamperSpec
from frame3d.parameters.models.frame import FrameSpec
from frame3d.ride.damping.damper import DampingLaw
from frame3d.ride.damping.free_return import ReturnError, filmed_law


@dataclass(frozen=True, slots=True)
class GivenDamper:
    """What the file gives of a damper; a direction that it does not give is None."""

    rebound: DampingLaw | None
    compression: DampingLaw | None
    filmed: bool
    """Whether a filmed return settles the rebound."""


def given_damper(spec: FrameSpec, path: str, given: DamperSpec, spring: Spring) -> GivenDamper:
    """Return a damper of the file.

    A filmed shock or fork was held until its air was as warm as outside, then let go quickly.

    Args:
        spec: the file.
        path: dotted path of the damper in it.
        given: the damper.
        spring: the one that pushes it out.

    Raises:
        GeometryError: it never returns as filmed.
    """
    rebound = _law(given.rebound_n_s_m, given.rebound_fast_n_s_m, given.fast_from)
    film = given.filmed_return
    if film is not None:
        try:
            rebound = filmed_law(
                spring.resting_at(film.start).force,
                film.start,
                film.end,
                film.seconds,
                given.rebound_fast_n_s_m,
                None if given.rebound_fast_n_s_m is None else given.fast_from,
            )
        except ReturnError as error:
            raise GeometryError(
                spec.fault(
                    "impossible",
                    f"{path}.filmed_return",
                    str(error),
                    "check start, end and seconds, and the spring: its pressure, or its table near "
                    "full extension; an end further in avoids where a negative chamber holds it",
                )
            ) from None
    return GivenDamper(
        rebound,
        _law(given.compression_n_s_m, given.compression_fast_n_s_m, given.fast_from),
        film is not None,
    )


def _law(low: float | None, fast: float | None, fast_from: float | None) -> DampingLaw | None:
    if low is None:
        return None
    return DampingLaw(low, fast, None if fast is None else fast_from)
