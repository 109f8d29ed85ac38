"""The steps of assembling a model, in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.mockup.model import ScaleModel
from frame3d.mockup.printing.plates import Plates


class Numbers:
    """Numbers of parts by name; the name of a part that was cut stands for all its pieces."""

    def __init__(self, plates: Plates) -> None:
        self._of: dict[str, list[int]] = {}
        for item in plates.parts:
            name = item.part.name
            whole, _, last = name.rpartition("_")
            for key in (name, whole) if last.isdigit() else (name,):
                self._of.setdefault(key, []).append(item.number)

    def __contains__(self, name: str) -> bool:
        return name in self._of

    def of(self, *names: str) -> str:
        """Return the numbers of some parts in brackets, such as ``(3, 4)``."""
        return "(" + ", ".join(str(n) for name in names for n in self._of.get(name, [])) + ")"


def steps(model: ScaleModel, plates: Plates) -> list[str]:
    """Return the steps, one or two sentences each, with the parts' numbers."""
    return list(_steps(model, Numbers(plates)))


def _steps(model: ScaleModel, numbers: Numbers) -> Iterator[str]:
    of = numbers.of
    marks = sorted({joint.mark for joint in model.joints if joint.mark}, key=lambda m: (len(m), m))
    if marks:
        yield (
            f"Glue what was cut: ends with the same letter ({marks[0]} to {marks[-1]}) go together, "
            "over a peg where there are holes. The peg's flat lets it in one way."
        )
    if "front_tyre" in numbers:
        for end in ("front", "rear"):
            yield (
                f"{end.capitalize()} wheel: glue left and right half "
                f"{of(f'{end}_wheel_left', f'{end}_wheel_right')} into the tyre {of(f'{end}_tyre')} "
                "from both sides, the tyre's rib in their grooves."
            )
    if "fork" in numbers:
        top = f", then the stem {of('cockpit')} on its top" if "cockpit" in numbers else ""
        yield (
            f"Glue the steerer {of('steerer')} into the fork {of('fork')}, flat ahead; put it up "
            f"through the head tube of the frame {of('frame')}{top}. It turns in the head tube: no glue "
            "there."
        )
    if "front_axle" in numbers:
        yield (
            f"Set the wheels between fork legs and dropouts and push their axles {of('front_axle')} and "
            f"{of('rear_axle')} through from the left, with a drop of glue at the head; the cogs are on "
            "the right."
        )
    if "crank_spindle" in numbers:
        ring = (
            f"the chainring {of('chainring')}, boss inward, and " if "chainring" in numbers else ""
        )
        pedals = ""
        if "pedal_left" in numbers:
            pedals = (
                f" The pedals {of('pedal_left', 'pedal_right')} go in with their flat side down."
            )
        yield (
            f"Push the spindle {of('crank_spindle')} through the shell; glue {ring}the arm R "
            f"{of('crank_arm_right')} on its right end, the arm L {of('crank_arm_left')} on its left."
            f"{pedals}"
        )
    if "saddle" in numbers:
        yield f"Glue the saddle {of('saddle')} into the seat tube."
    if "stand" in numbers:
        plate = (
            f"Lay the name plate {of('name_plate')} into its pocket. "
            if "name_plate" in numbers
            else ""
        )
        what = (
            "the wheels into their docks" if "front_tyre" in numbers else "the frame onto its posts"
        )
        yield f"{plate}Put {what} on the stand {of('stand')}."
