"""A desk and an outbox in memory, and clocks that tests can see through."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from bot.wire import Delivery, Incoming, Outgoing

MORNING = datetime(2026, 6, 10, 13, 50, tzinfo=UTC)


class RunningClock:
    """The demo's morning, running at the machine's pace."""

    def __init__(self) -> None:
        self._born = time.monotonic()

    def now(self) -> datetime:
        """The moment."""
        return MORNING + timedelta(seconds=time.monotonic() - self._born)

    async def sleep(self, seconds: float) -> None:
        """Waits."""
        await asyncio.sleep(seconds)


@dataclass
class Row:
    """An outbox row."""

    outgoing: Outgoing
    due: datetime | None = None
    state: str = "new"
    tries: int = 0
    deliveries: list[Delivery] = field(default_factory=list)


class FakeOutbox:
    """Rows in memory, with the rules of the protocol in bot/courier.py."""

    def __init__(self) -> None:
        self.rows: dict[int, Row] = {}
        self.broken: Exception | None = None

    def put(self, chat: str, text: str, **parts: object) -> int:
        """A new row; gives its id."""
        number = len(self.rows) + 1
        self.rows[number] = Row(Outgoing(number, chat, text, **parts))  # type: ignore[arg-type]
        return number

    def ready(self, now: datetime, limit: int) -> list[Outgoing]:
        """The first undelivered row of each chat, alarms first, if its time has come."""
        if self.broken:
            raise self.broken
        waiting = [r for r in self.rows.values() if r.state in ("new", "sending")]
        waiting.sort(key=lambda r: (-r.outgoing.urgent, r.outgoing.id))
        heads: dict[str, Row] = {}
        for row in waiting:
            heads.setdefault(row.outgoing.chat, row)
        free = [r for r in heads.values() if r.state == "new" and (r.due is None or r.due <= now)]
        return [r.outgoing for r in free][:limit]

    def sending(self, row: int) -> None:
        """A try begins."""
        self.rows[row].state = "sending"
        self.rows[row].tries += 1

    def delivered(self, row: int, delivery: Delivery, now: datetime) -> None:
        """A try ended."""
        kept = self.rows[row]
        kept.deliveries.append(delivery)
        kept.state = "new" if delivery.state in ("retry", "moved") else delivery.state
        if delivery.state == "retry":
            kept.due = now + timedelta(seconds=delivery.wait)
        if delivery.state == "moved":
            kept.outgoing = Outgoing(row, delivery.chat, kept.outgoing.text)

    def undelivered(self) -> list[str]:
        """The words that still wait."""
        return [r.outgoing.text for r in self.rows.values() if r.state in ("new", "sending")]


class FakeDesk:
    """Keeps what it receives and answers each text with "got TEXT"; fails when told to."""

    def __init__(self, outbox: FakeOutbox | None = None) -> None:
        self.outbox = outbox or FakeOutbox()
        self.kept: dict[str, Incoming] = {}
        self.seen_again: list[str] = []
        self.todo: list[Incoming] = []
        self.broken: Exception | None = None
        self.on_receive: Callable[[Incoming], None] = lambda incoming: None
        self.on_work: Callable[[], None] = lambda: None
        self.crew: set[str] | None = None
        self.due: datetime | None = None
        self.rung: list[datetime | None] = []

    def receive(self, incoming: Incoming) -> bool:
        """Keeps it; False where its key was seen."""
        if self.broken:
            raise self.broken
        self.on_receive(incoming)
        if incoming.key in self.kept:
            self.seen_again.append(incoming.key)
            return False
        self.kept[incoming.key] = incoming
        self.todo.append(incoming)
        return True

    def work(self, most: int = 0) -> bool:
        """Answers all that waits."""
        self.on_work()
        while self.todo:
            incoming = self.todo.pop(0)
            if incoming.text:
                self.outbox.put(incoming.chat, f"got {incoming.text}")
        return False

    def unwritten(self) -> list[Outgoing]:
        """Nothing."""
        return []

    def next_due(self) -> datetime | None:
        """When to ring."""
        return self.due

    def ring(self, most: int = -1) -> int:
        """Rings once."""
        self.rung.append(self.due)
        self.due = None
        self.outbox.put("1", "rinse now", kind="reminder", loud=True)
        return 0

    def emergency(self, incoming: Incoming) -> str | None:
        """First aid by one word."""
        return "Flush with water for at least 15 minutes." if "burning" in incoming.text else None

    def knows(self, incoming: Incoming) -> bool:
        """Everybody, unless a crew was named."""
        return self.crew is None or incoming.person in self.crew

    @property
    def received(self) -> list[Incoming]:
        """What was kept, in order."""
        return list(self.kept.values())

    @property
    def texts(self) -> list[str]:
        """The words that were kept."""
        return [i.text for i in self.received]
