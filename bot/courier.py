"""Delivers the outbox: in order in each chat, at the platform's pace, first aid before all else.

The outbox is a table: what this process has not delivered when it stops, the next one delivers.
"""

from __future__ import annotations

import asyncio
import logging
import random
from collections import deque
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Protocol

from bot.wire import Delivery, Incoming, Outgoing

log = logging.getLogger(__name__)

FIRST_AID = 2  # Outgoing.urgent
BACKOFF_FIRST, BACKOFF_MOST = 1.0, 300.0
URGENT_BACKOFF_MOST = 5.0
AT_ONCE, AT_ONCE_URGENT = 8, 16
LOOK_EVERY = 1.0  # rows may also come from another process, such as `invite`
STOP_SECONDS = 1.0


class Clock(Protocol):
    """The desk's clock; its seconds may run faster for practice."""

    def now(self) -> datetime:
        """The moment, aware."""

    async def sleep(self, seconds: float) -> None:
        """Waits for that long on this clock."""


class Desk(Protocol):
    """The side that thinks; all of it synchronous and short."""

    def receive(self, incoming: Incoming) -> bool:
        """Commits an update, False if its key was seen before; raises where the store fails."""

    def work(self, most: int = 0) -> bool:
        """Handles what was received, one transaction each, at most so many (0: all); True where more waits."""

    def ring(self, most: int = -1) -> int:
        """Rings what is due, at most so many jobs (-1: all); gives how many jobs are left."""

    def unwritten(self) -> list[Outgoing]:
        """What is overdue to ring while nothing can be written, each once."""

    def next_due(self) -> datetime | None:
        """When the next reminder falls due, aware; None where none stands."""

    def emergency(self, incoming: Incoming) -> str | None:
        """The first-aid words for an update that could not be kept; None where it tells of no injury."""

    def knows(self, incoming: Incoming) -> bool:
        """Whether the sender is one of the crew; their files alone are fetched. Never raises."""


class Outbox(Protocol):
    """What is still to be delivered."""

    def ready(self, now: datetime, limit: int) -> list[Outgoing]:
        """The first undelivered message of each chat whose time has come, alarms first."""

    def sending(self, row: int) -> None:
        """Commits that a try begins: found so at the next start, it may have arrived."""

    def delivered(self, row: int, delivery: Delivery, now: datetime) -> None:
        """Commits what became of it; "retry" is due again after `wait` seconds."""


class Sends(Protocol):
    """The half of a transport that the courier needs."""

    async def send(self, outgoing: Outgoing) -> Delivery:
        """Tries once; never raises."""


@dataclass
class Pace:
    """When the platform lets us send, in seconds of a steady clock.

    One message a second in a chat, 20 a minute in a group, about 30 a second in all
    (core.telegram.org/bots/faq, "My bot is hitting limits"). A negative chat id is a group's.
    """

    spacing: float = 1.0
    group_most: int = 20
    group_seconds: float = 60.0
    all_most: int = 30
    _chats: dict[str, deque[float]] = field(default_factory=dict)
    _all: deque[float] = field(default_factory=deque)
    _held: dict[str, float] = field(default_factory=dict)

    def wait(self, chat: str, at: float, urgent: bool = False) -> float:
        """Seconds until this chat may get a message; an alarm waits only for what the platform ordered."""
        held = self._held.get(chat, at) - at
        if urgent:
            return max(0.0, held)
        past = self._past(chat, at)
        spaced = past[-1] + self.spacing - at if past else 0.0
        full = past[-self.group_most] + self.group_seconds - at if len(past) >= self.group_most else 0.0
        busy = self._all[-self.all_most] + 1.0 - at if len(self._all) >= self.all_most else 0.0
        return max(0.0, held, spaced, busy, full if chat.startswith("-") else 0.0)

    def sent(self, chat: str, at: float, count: int = 1) -> None:
        """Counts what went out; a message cut into several counts as so many, a spacing apart."""
        past = self._past(chat, at)
        for place in range(count):
            past.append(at + place * self.spacing)
            self._all.append(at)
        while len(self._all) > self.all_most * 2:
            self._all.popleft()

    def hold(self, chat: str, until: float) -> None:
        """The platform asked for quiet in this chat."""
        self._held[chat] = max(until, self._held.get(chat, until))

    def _past(self, chat: str, at: float) -> deque[float]:
        if len(self._chats) > 1000:  # chats long silent are forgotten
            self._chats = {c: p for c, p in self._chats.items() if p and p[-1] > at - self.group_seconds}
            self._held = {c: until for c, until in self._held.items() if until > at}
        past = self._chats.setdefault(chat, deque(maxlen=max(self.group_most, 1)))
        return past


class Courier:
    """One loop over the outbox; a few sends at once, never two in one chat (but for an alarm)."""

    def __init__(
        self,
        sends: Sends,
        outbox: Outbox,
        clock: Clock,
        *,
        pace: Pace | None = None,
        steady: Callable[[], float] | None = None,
        weigh: Callable[[Outgoing], int] = lambda outgoing: 1,
        jitter: Callable[[], float] = lambda: random.uniform(0.5, 1.0),
    ) -> None:
        self._sends, self._outbox, self._clock = sends, outbox, clock
        self._pace = pace or Pace()
        # the platform counts real seconds, whatever the speed of the desk's clock
        self._steady = steady or (lambda: asyncio.get_running_loop().time())
        self._weigh, self._jitter = weigh, jitter
        self._flying: dict[str, asyncio.Task[None]] = {}
        self._tries: dict[int, int] = {}
        self.bell = asyncio.Event()

    async def run(self) -> None:
        """Delivers until cancelled; a failing store is logged and tried again."""
        while True:
            self.bell.clear()
            try:
                wait = self.step()
            except Exception:
                log.exception("the outbox cannot be read")
                wait = LOOK_EVERY
            # not wait_for: in Python 3.11 it can swallow the cancellation that stops us
            with suppress(TimeoutError):
                async with asyncio.timeout(min(wait, LOOK_EVERY)):
                    await self.bell.wait()

    def step(self) -> float:
        """Starts every send whose time has come; gives the seconds until it is worth looking again."""
        soonest = LOOK_EVERY
        for outgoing in self._outbox.ready(self._clock.now(), 100):
            if lane(outgoing) in self._flying:
                continue
            urgent = is_urgent(outgoing)
            if len(self._flying) >= (AT_ONCE_URGENT if urgent else AT_ONCE):
                continue  # the next one to land rings the bell
            wait = self._pace.wait(outgoing.chat, self._steady(), urgent)
            if wait > 0:
                soonest = min(soonest, wait)
                continue
            self._start(outgoing)
        return soonest

    def _start(self, outgoing: Outgoing) -> None:
        self._pace.sent(outgoing.chat, self._steady(), self._weigh(outgoing))
        self._outbox.sending(outgoing.id)
        task = asyncio.ensure_future(self._deliver(outgoing))
        self._flying[lane(outgoing)] = task
        task.add_done_callback(lambda done: self._landed(outgoing))

    def _landed(self, outgoing: Outgoing) -> None:
        self._flying.pop(lane(outgoing), None)
        self.bell.set()

    async def _deliver(self, outgoing: Outgoing) -> None:
        try:
            delivery = await self._sends.send(outgoing)
        except Exception as error:  # a transport should not raise; if it does, the message may be there
            log.exception("message %s", outgoing.id)
            delivery = Delivery("retry", maybe=True, why=type(error).__name__)
        await self._note(outgoing, self.judged(outgoing, delivery))

    async def _note(self, outgoing: Outgoing, delivery: Delivery) -> None:
        """Commits the result; while the store fails the chat waits, so that haste sends nothing twice."""
        while True:
            try:
                self._outbox.delivered(outgoing.id, delivery, self._clock.now())
                return
            except Exception:
                log.exception("the delivery of message %s cannot be noted yet", outgoing.id)
                await asyncio.sleep(LOOK_EVERY)

    def judged(self, outgoing: Outgoing, delivery: Delivery) -> Delivery:
        """The delivery with its wait: the platform's where it named one, else growing, with jitter."""
        if delivery.state == "moved":  # two chats that name each other must not be asked without end
            self._pace.hold(delivery.chat, self._steady() + BACKOFF_FIRST)
        if delivery.state != "retry":
            self._tries.pop(outgoing.id, None)
            return delivery
        if delivery.wait > 0:
            self._pace.hold(outgoing.chat, self._steady() + delivery.wait)
            return delivery
        tries = self._tries[outgoing.id] = self._tries.get(outgoing.id, 0) + 1
        most = URGENT_BACKOFF_MOST if is_urgent(outgoing) else BACKOFF_MOST
        wait = min(BACKOFF_FIRST * 2.0 ** min(tries - 1, 20), most) * self._jitter()
        return replace(delivery, wait=wait)

    async def finish(self) -> None:
        """Gives what is on its way a moment to land, then lets go; the outbox knows what was not sure."""
        flying = list(self._flying.values())
        if flying:
            _, late = await asyncio.wait(flying, timeout=STOP_SECONDS)
            for task in late:
                task.cancel()
            await asyncio.gather(*late, return_exceptions=True)


def lane(outgoing: Outgoing) -> str:
    """What goes one at a time: a chat, and beside it the alarms of a chat, which wait for no slow send."""
    return f"{outgoing.chat} alarm" if is_urgent(outgoing) else outgoing.chat


def is_urgent(outgoing: Outgoing) -> bool:
    """First aid and the owner's alarm: they wait for no pace of ours."""
    return outgoing.urgent >= FIRST_AID
