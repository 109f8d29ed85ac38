"""Solve a state of the text and draw its bike, with a cache of what has not changed."""

from __future__ import annotations

from typing import Final

from frame3d.bike.choice import Choice
from frame3d.chart.cache import Cache
from frame3d.chart.partial import UnderDeterminedError
from frame3d.errors import Fault, FrameError
from frame3d.live import panels
from frame3d.live.begun import begun
from frame3d.live.choosing.chooser import Chooser
from frame3d.live.comparing.sides import Side
from frame3d.live.model_store import light_picture
from frame3d.live.session import State
from frame3d.live.shown import Begun, Drawn
from frame3d.live.solved_text import SolvedText, Solver
from frame3d.live.stiffening.stiffness_panel import StiffnessPanel
from frame3d.live.work.worker import defect
from frame3d.report.texts import Texts

Outcome = Drawn | SolvedText | Begun | tuple[Fault, ...]


class Drawing:
    """Draws the states of one workspace. Methods run in a thread, one at a time."""

    def __init__(
        self, source: str, chooser: Chooser, stiffness: StiffnessPanel, texts: Texts
    ) -> None:
        """Begin with empty caches.

        Args:
            source: the file's name.
            chooser: which bike of the file is meant.
            stiffness: drawn with the bike while a page shows it.
            texts: of the pages.
        """
        self._source: Final = source
        self._chooser, self._stiffness, self._texts = chooser, stiffness, texts
        self.forget()

    def forget(self) -> None:
        """Empty the caches: they may hold half a result."""
        self._solver, self._drawn = Solver(self._source), Cache()

    def __call__(self, state: State, other: Side | None, last: SolvedText | None) -> Outcome:
        """Solve a state and draw its bike unless it is the last one, or return its faults.

        Args:
            state: of the session.
            other: the bike that figures are compared with.
            last: the bike that is shown.
        """
        try:
            text = state.whole
            choice = self._choice_in(text)
            if last is not None and (text, choice) == last.key:
                return last
            solved = self._solver(text, choice)
            if last is None or last.choice != choice:
                other = None  # it may be in the size before
            figures = panels.figures(solved, None if other is None else other.solved, self._texts)
            picture = light_picture(solved, self._texts, self._drawn)
            side = "" if picture.scene["parts"] else str(panels.side_view(solved, self._texts))
            stiffness = self._stiffness.told(solved, other) if self._stiffness.is_open else None
            return Drawn(solved, picture, str(figures), side, stiffness)
        except UnderDeterminedError as error:
            return Begun(tuple(error.faults), str(begun(error.partial, self._texts)))
        except FrameError as error:
            return tuple(error.faults)
        except Exception as error:
            self.forget()
            return (defect(error),)

    def _choice_in(self, text: str) -> Choice:
        """Return the chosen bike, of those that a text offers."""
        try:
            self._chooser.read(self._solver.offered(text))
        except FrameError:  # solving tells what is wrong
            self._chooser.read(None)
        return self._chooser.choice
