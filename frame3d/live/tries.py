"""The sliders of the pages, and the values tried with them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from frame3d.errors import FrameError
from frame3d.live.choosing.chooser import Chooser
from frame3d.live.session import Session
from frame3d.live.sliders import Input, inputs, origin
from frame3d.report.texts import Texts


class Tries:
    """Which numbers of the chosen bike have a slider, and what is tried of them."""

    def __init__(self, session: Session, chooser: Chooser, texts: Texts) -> None:
        """Begin without sliders.

        Args:
            session: holds text and tried values, by their places in the text.
            chooser: the bike whose numbers are meant.
            texts: of the pages.
        """
        self.chosen: tuple[str, ...] = ()
        """Numbers that have a slider, by their paths in the bike."""
        self._session, self._chooser, self._texts = session, chooser, texts
        self._known: Mapping[str, Input] = {}
        """Numbers of the bike, as they were looked up last."""

    def inputs(self) -> Mapping[str, Input]:
        """Return the numbers of the chosen bike that can have a slider, by path.

        Raises:
            FrameError: the text has no such bike.
        """
        self._known = inputs(self._session.text, self._chooser.choice)
        return self._known

    def attempt(self, path: str, value: float, *, dragging: bool) -> bool:
        """Try a slider's value; return whether it is another than before.

        Raises:
            FrameError: the text has no such bike, or no number stands there.
        """
        one = self.inputs().get(path)
        at, number = (path, value) if one is None else (one.place.written, one.in_file(value))
        return self._session.attempt(at, number, dragging=dragging)

    def choose(self, path: str, *, on: bool) -> bool:
        """Add or remove the slider of a number; return whether a tried value went with it."""
        self.chosen = tuple(p for p in self.chosen if p != path) + ((path,) if on else ())
        one = self._known.get(path)
        return not on and self._session.let_go(path if one is None else one.place.written)

    def values(self) -> dict[str, Any]:
        """Return the tried values by path in the bike, and the places of those that it does not have."""
        tried = self._session.tried
        here = {one.place.written: one for one in self._known.values()} if tried else {}
        return {
            "tried": {here[at].path: here[at].in_bike(v) for at, v in tried.items() if at in here},
            "elsewhere": [at for at in tried if at not in here],
        }

    def document(self) -> dict[str, Any]:
        """Return the numbers that can have a slider, and the sliders in use, for pages."""
        try:
            known = self.inputs()
        except FrameError:
            return {"known": [], "chosen": []}
        every = self._chooser.offered.sizes
        chosen = [known[path] for path in self.chosen if path in known]
        return {
            "known": [[one.path, one.title] for one in known.values()],
            "chosen": [
                {
                    "path": one.path,
                    "title": one.title,
                    "unit": self._texts.unit(one.unit),
                    "low": one.low,
                    "high": one.high,
                    "step": one.step,
                    "value": one.value,
                    "of": origin(one.place, every, self._texts),
                }
                for one in chosen
            ],
        }
