"""The commands menu of the phone, by role and language: set at the start, and whenever a person's changes."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable, Sequence

from bot.outcome import CREW, OWNER
from bot.speech import Phrases
from bot.store import Store

log = logging.getLogger(__name__)

GROUP = "group"
SHOWN = {
    CREW: ("status", "plan", "timeline", "stock", "undo", "jobs", "help", "language", "practice"),
    OWNER: ("status", "plan", "timeline", "board", "stock", "record", "picture", "undo", "jobs", "people", "invite",
            "pings", "quiet", "help", "language", "practice"),
    GROUP: ("status", "plan", "timeline", "undo", "jobs", "help", "language"),
}  # fmt: skip
LOOK = 2.0  # seconds between two looks at who belongs
PATIENCE = 6  # a menu that cannot be set is tried again after so many looks more each time, at most
Menu = Sequence[tuple[str, str]]
Kind = tuple[str, str]


def commands(phrases: Phrases, role: str, language: str) -> Menu:
    """(word to send, what it does) for a role; nothing for who does not belong."""
    told = (phrases.words(f"menu_{name}", language).partition(": ") for name in SHOWN.get(role, ()))
    return [(word, does) for word, _, does in told]


def wanted(store: Store, source: str) -> dict[str, Kind]:
    """Which menu each chat ought to have: (role, language); no role where somebody was taken out."""
    people = store.rows(
        "select chat, role, language, removed from people where source = ? and chat != '' and blocked is null", source
    )
    groups = store.rows("select chat, language, state from chats where source = ?", source)
    found = {p["chat"]: ("" if p["removed"] else str(p["role"]), str(p["language"] or "en")) for p in people}
    return {**found, **{g["chat"]: (GROUP if g["state"] == "open" else "", str(g["language"] or "en")) for g in groups
                        if g["state"] != "left"}}  # fmt: skip


class Menus:
    """Keeps the menus as they ought to be; `set_` sends one and says whether that worked."""

    def __init__(
        self, store: Store, phrases: Phrases, set_: Callable[[Menu, str, str], Awaitable[bool]], source: str = "telegram"
    ) -> None:
        self._store, self._phrases, self._set, self._source = store, phrases, set_, source
        self._shown: dict[str, Kind] = {}
        self._wait: dict[str, int] = {}
        self._failed: dict[str, int] = {}

    async def look(self) -> None:
        """Sets every menu that is not as it ought to be."""
        for chat, kind in wanted(self._store, self._source).items():
            if self._shown.get(chat) == kind or self._waits(chat):
                continue
            if await self._set(commands(self._phrases, *kind), "", chat):
                self._shown[chat] = kind
                self._failed.pop(chat, None)
            else:
                self._failed[chat] = self._failed.get(chat, 0) + 1
                self._wait[chat] = min(2 ** self._failed[chat], 2**PATIENCE)

    def _waits(self, chat: str) -> bool:
        left = self._wait.get(chat, 0)
        self._wait[chat] = max(0, left - 1)
        return left > 0

    async def run(self, pause: float = LOOK) -> None:
        """Looks again and again until cancelled; a menu is a comfort, and no fault of it stops the bot."""
        while True:
            try:
                await self.look()
            except Exception:
                log.exception("the menus")
            await asyncio.sleep(pause)
