"""Keep unsaved text a short time after each change, and offer what a killed workspace has left."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Final

from frame3d.errors import OutputError
from frame3d.live.unsaved.recovery import Left, Recovery, Unsaved

SOON: Final = 1.0
"""Time after a change in which the unsaved text is kept [s]."""


class Keeper:
    """Keeps a workspace's unsaved text. Methods are called in the event loop."""

    def __init__(
        self,
        recovery: Recovery,
        unsaved: Callable[[], Unsaved | None],
        cannot: Callable[[str], None],
    ) -> None:
        """Keep nothing yet.

        Args:
            recovery: where to.
            unsaved: returns what is unsaved now; None where nothing is.
            cannot: called with the reason when the text cannot be kept, once until it can be again.
        """
        self.offered: tuple[Left, ...] = ()
        """What killed workspaces have left; the user is asked about the first."""
        self.kept: Unsaved | None = None
        """What is kept."""
        self._recovery, self._unsaved, self._cannot = recovery, unsaved, cannot
        self._news = asyncio.Event()
        self._turn = asyncio.Lock()
        self._known = True
        """Whether `kept` is what is on the disk; not while it is written, or was broken off."""
        self._told = False

    async def look(self) -> list[str]:
        """Look for what killed workspaces have left; return the paths of what cannot be read."""
        left, problems = await asyncio.to_thread(self._recovery.left)
        self.offered = tuple(left)
        return problems

    def changed(self) -> None:
        """Say that something may be unsaved, or no longer."""
        self._news.set()

    async def run(self) -> None:
        """Keep what is unsaved, again and again."""
        while True:
            await self._news.wait()
            await asyncio.sleep(SOON)
            self._news.clear()
            await self.update()

    async def update(self) -> bool:
        """Keep what is unsaved now; return whether that was possible."""
        async with self._turn:
            unsaved = self._unsaved()
            if unsaved == self.kept and self._known:
                return True
            self._known = False
            try:
                if unsaved is None:
                    await asyncio.to_thread(self._recovery.forget)
                else:
                    await asyncio.to_thread(self._recovery.keep, unsaved)
            except (OSError, OutputError) as error:
                if not self._told:
                    self._told = True
                    self._cannot(_why(error))
                return False
            self.kept, self._known, self._told = unsaved, True, False
            return True

    async def drop(self, left: Left, *, remove: bool = True) -> str | None:
        """Offer it no longer, and remove it; return why it cannot be removed, else None."""
        self.offered = tuple(one for one in self.offered if one is not left)
        if not remove:
            return None
        try:
            await asyncio.to_thread(self._recovery.drop, left)
        except OSError as error:
            return _why(error)
        return None

    async def close(self) -> None:
        """Keep what is unsaved, for the next start, and unlock it."""
        await self.update()
        await asyncio.to_thread(self._recovery.close)


def _why(error: OSError | OutputError) -> str:
    if isinstance(error, OutputError):
        return error.faults[0].message
    return error.strerror or str(error)
