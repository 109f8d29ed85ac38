"""What is unsaved in a session, kept as it changes, and what killed workspaces have left of it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping
from typing import Any, Final, Protocol

from frame3d.live import panels
from frame3d.live.session import Session
from frame3d.live.unsaved.keeping import Keeper
from frame3d.live.unsaved.recovery import Left, Recovery, Unsaved, text_sum
from frame3d.report.texts import Texts

AGAIN: Final = 1.0
"""Time after which keeping begins anew where it has failed [s]."""


class Desk(Protocol):
    """What it needs of the workspace."""

    session: Session
    texts: Texts

    def show(self, html: Mapping[str, str | None], **more: Any) -> None:
        """Send markup by place, and other data, to all pages."""

    def state(self) -> dict[str, Any]:
        """Return the state for pages."""

    def say(self, what: str) -> None:
        """Tell all pages something about what was asked for."""

    def has_defect(self, error: Exception) -> None:
        """Tell all pages of an error of frame3d's own."""


class Offering:
    """Keeps the session's unsaved text, and asks about what was left. Called in the event loop."""

    def __init__(self, desk: Desk, recovery: Recovery, restored: Callable[[], None]) -> None:
        """Keep nothing yet.

        Args:
            desk: the workspace.
            recovery: where unsaved text goes.
            restored: called once the session has taken over what was left.
        """
        self.keeper = Keeper(recovery, self.unsaved, self._cannot_keep)
        self._desk, self._restored = desk, restored

    @property
    def has_any(self) -> bool:
        """Whether the user is asked about anything."""
        return bool(self.keeper.offered)

    def unsaved(self) -> Unsaved | None:
        """Return what the file does not have; None where it has all."""
        session = self._desk.session
        if not (session.unsaved or session.tried or session.conflict is not None):
            return None
        return Unsaved(session.text, dict(session.tried), text_sum(session.saved))

    async def keep(self, end: asyncio.Event) -> None:
        """Offer what killed workspaces have left, then keep what is unsaved; no error ends this."""
        while not end.is_set():
            try:
                problems = await self.keeper.look()
                if problems:
                    texts = self._desk.texts
                    self._desk.say(texts("live.left.unreadable", files=", ".join(problems)))
                await self._offer()
                await self.keeper.run()
            except Exception as error:
                self._desk.has_defect(error)
                await asyncio.sleep(AGAIN)

    async def take(self) -> None:
        """Take over what a killed workspace has left; it is removed once it is kept as our own."""
        left = self._left()
        if left is not None:
            self._desk.session.restore(left.unsaved.text, left.unsaved.tried)
            self._restored()
            await self._drop(left, remove=await self.keeper.update())

    async def discard(self) -> None:
        """Remove what a killed workspace has left."""
        left = self._left()
        if left is not None:
            await self._drop(left, remove=True)

    def _cannot_keep(self, why: str) -> None:
        self._desk.say(self._desk.texts("live.left.cannot_keep", why=why))

    def _left(self) -> Left | None:
        """Return what the user is asked about."""
        return next(iter(self.keeper.offered), None)

    async def _offer(self) -> None:
        """Show what was left, with its difference from the file; what the file holds is removed."""
        desk = self._desk
        disk = desk.session.saved
        while (left := self._left()) is not None:
            if left.unsaved.text != disk or left.unsaved.tried:
                break
            await self.keeper.drop(left)
        changed = left is not None and left.unsaved.saved != text_sum(disk)
        shown = None if left is None else panels.left(left, disk, desk.texts, changed=changed)
        desk.show({"left": shown}, state=desk.state())

    async def _drop(self, left: Left, *, remove: bool) -> None:
        problem = await self.keeper.drop(left, remove=remove)
        if problem is not None:
            self._desk.say(self._desk.texts("live.left.cannot_remove", why=problem))
        await self._offer()
