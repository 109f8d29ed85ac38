"""DamperSpec: the damper of shock or fork: ``suspension.shock.damper`` and ``build.fork.damper``.

::

    force          ___---  fast
      |     __---
      |   /   low speed
      |  /
      +---------|--------- speed of the shaft
             fast_from
"""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import Field

from frame3d.parameters.models.base import Model, Problem, number


def _coefficient(title: str, description: str, example: float) -> float | None:
    value: float | None = number(
        title, description, low=0, high=500000, example=example, unit="N·s/m"
    )
    return value


class FilmedReturnSpec(Model):
    """A free return, filmed: shock or fork alone, pushed in, let go."""

    start: float = number(
        "Start", "Stroke at the picture that the time counts from", above=0, high=400, example=45,
        default=...,
    )  # fmt: skip
    end: float = number(
        "End", "Stroke at the last picture", low=0, high=400, example=10, default=...
    )
    seconds: float = number(
        "Seconds", "Between the two pictures", above=0, high=30, example=0.14, unit="s", default=...
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a problem unless it extends."""
        if self.end >= self.start:
            yield Problem(
                "inconsistent",
                "end",
                f"never returns: the stroke is not less than at the start ({self.start:g} mm)",
                "stroke counts from full extension, so it falls: e.g. start: 45, end: 10",
            )


class DamperSpec(Model):
    """A damper: force over the shaft's speed, one slope up to `fast_from`, another beyond it."""

    rebound_n_s_m: float | None = _coefficient("Rebound", "Force over speed when extending", 5000)
    compression_n_s_m: float | None = _coefficient(
        "Compression", "Force over speed when shortening", 1500
    )
    rebound_fast_n_s_m: float | None = _coefficient(
        "Fast rebound", "Slope beyond fast_from when extending", 2500
    )
    compression_fast_n_s_m: float | None = _coefficient(
        "Fast compression", "Slope beyond fast_from when shortening", 600
    )
    fast_from: float | None = number(
        "Fast from", "Speed of the shaft from which the fast slopes hold", above=0, high=10,
        example=0.3, unit="m/s",
    )  # fmt: skip
    filmed_return: FilmedReturnSpec | None = Field(
        None,
        title="Filmed return",
        description="Measures the rebound instead of rebound_n_s_m: the spring and the time settle it",
    )

    def problems(self) -> Iterator[Problem]:
        """Yield problems: rebound given twice, fast slopes without their speed, nothing given."""
        if self.filmed_return is not None and self.rebound_n_s_m is not None:
            yield Problem(
                "inconsistent",
                "filmed_return",
                "rebound_n_s_m and filmed_return both give the rebound",
                "keep one of the two",
            )
        slow = {
            "rebound_fast_n_s_m": self.rebound_n_s_m is not None or self.filmed_return is not None,
            "compression_fast_n_s_m": self.compression_n_s_m is not None,
        }
        fast = [key for key in slow if getattr(self, key) is not None]
        if fast and self.fast_from is None:
            yield Problem(
                "missing-key",
                "fast_from",
                f"missing: the speed from which {fast[0]} holds",
                "speed of the shaft in m/s, e.g. fast_from: 0.3",
            )
        if self.fast_from is not None and not fast:
            yield Problem(
                "inconsistent",
                "fast_from",
                "says nothing without a fast slope",
                "give rebound_fast_n_s_m or compression_fast_n_s_m, or leave fast_from out",
            )
        for key in fast:
            if not slow[key]:
                wanted = key.replace("_fast", "")
                yield Problem(
                    "missing-key",
                    wanted,
                    f"missing: the slope before {key}",
                    f"give {wanted} as well",
                )
        if (
            self.filmed_return is None
            and self.rebound_n_s_m is None
            and self.compression_n_s_m is None
        ):
            yield Problem(
                "missing-key",
                "",
                "says nothing of the damper",
                "rebound_n_s_m: 5000, compression_n_s_m: 1500, or "
                "filmed_return: {start: 45, end: 10, seconds: 0.14}",
            )

    def over(self, stroke: float) -> Iterator[Problem]:
        """Yield a problem if the filmed return starts beyond the full stroke [mm].

        Keys begin with ``damper``.
        """
        filmed = self.filmed_return
        if filmed is not None and filmed.start > stroke:
            yield Problem(
                "inconsistent",
                "damper.filmed_return.start",
                f"beyond the full stroke of {stroke:g} mm",
                f"at most {stroke:g}",
            )
