"""A real shop on the loopback server: the real desk and database, invented people, a clock that can skip."""

from __future__ import annotations

import asyncio
import sqlite3
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any
from unittest.mock import patch
from zoneinfo import ZoneInfo

from bot import app, people
from bot.desk import Desk
from bot.ledger import House
from bot.store import Store
from bot.transports.telegram import TelegramTransport
from bot.understand import lexicon
from tests.botapi.fakes import RunningClock
from tests.botapi.people import Person
from tests.botapi.running import running, until
from tests.botapi.server import BotApi

words = cache(lexicon.load)  # a quarter of a second each time, and it never changes
HOUSE = House(ZoneInfo("America/New_York"))


class SkippingClock(RunningClock):
    """The running clock, with hours that a test lets pass while the bot is down."""

    skipped = timedelta()

    def now(self) -> datetime:
        """The moment."""
        return super().now() + self.skipped


class Shop:
    """The same data over several runs of the bot."""

    def __init__(self, api: BotApi, folder: Path) -> None:
        self.api, self.folder, self.clock = api, folder, SkippingClock()
        self.file = folder / "rinsebell.db"

    def open(self) -> tuple[Store, Desk]:
        """The data as a start of the bot opens it."""
        store = Store(self.file, self.clock.now())
        store.recover()
        with patch.object(lexicon, "load", words):
            return store, app.desk(store, HOUSE, self.clock)  # type: ignore[arg-type]

    @asynccontextmanager
    async def running(self) -> AsyncIterator[TelegramTransport]:
        """One run of the whole bot."""
        store, desk = self.open()
        self.store = store
        try:
            async with running(self.api, self.folder, desk, store, self.clock) as bot:
                yield bot
        finally:
            store.close()

    def invite(self, role: str) -> str:
        """A code, made while the bot runs."""
        return str(people.invite(self.store, role, self.clock.now())["code"])

    def rows(self, sql: str) -> list[dict[str, Any]]:
        """What the database says, read beside the running bot."""
        reader = sqlite3.connect(self.file)
        reader.row_factory = sqlite3.Row
        found = [dict(row) for row in reader.execute(sql)]
        reader.close()
        return found

    async def admit(self, owner: Person, *crew: Person) -> None:
        """Claims the bot and lets the crew in; the bot must be running."""
        for person in (owner, *crew):
            await ask(person, f"/start {self.invite('owner' if person is owner else 'crew')}")


async def ask(person: Person, text: str, chat: int | None = None) -> str:
    """Says something and waits for the answer; gives it."""
    before = len(person.heard(chat))
    person.says(text, chat=chat)
    await until(lambda: len(person.heard(chat)) > before)
    return person.texts(chat)[-1]


async def quiet(api: BotApi) -> None:
    """Waits until all that was sent to the bot has been fetched and confirmed, and a moment more."""
    await until(lambda: not api.updates.waiting)
    await asyncio.sleep(0.05)
