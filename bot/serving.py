"""The running bot: it listens, works, rings and delivers until told to stop, and loses nothing by it."""

from __future__ import annotations

import asyncio
import fcntl
import logging
import os
import sqlite3
from collections import OrderedDict
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Protocol

from bot.courier import FIRST_AID, Clock, Courier, Desk, Outbox, Pace
from bot.errors import Misconfigured
from bot.settings import PREFIX
from bot.wire import Delivery, Incoming, Outgoing

log = logging.getLogger(__name__)

RING_LOOK = 5.0  # seconds: a machine that slept or whose clock jumped is noticed by then
RING_JOBS = 8
WORK_LOOK = 1.0
RETRY_MOST = 15.0
TRIES = 3
ANSWERED_MOST = 10_000


class Transport(Protocol):
    """One way to talk with people."""

    async def listen(self, intake: Any) -> None:
        """Hands updates to `intake.keep` until cancelled."""

    async def send(self, outgoing: Outgoing) -> Delivery:
        """Tries once; never raises."""

    def weigh(self, outgoing: Outgoing) -> int:
        """As how many messages it counts against the platform's limits."""

    async def close(self) -> None:
        """Lets go of the network."""


class Intake:
    """Between transport and desk: commits, and sees to first aid and bells when nothing can be committed."""

    def __init__(
        self, desk: Desk, send: Callable[[Outgoing], Awaitable[Delivery]], woken: asyncio.Event
    ) -> None:
        self._desk, self._send, self._woken = desk, send, woken
        self._answered: OrderedDict[str, None] = OrderedDict()
        self._tries: dict[str, int] = {}
        self._open: list[Incoming] = []
        self._tasks: set[asyncio.Task[Any]] = set()

    def keep(self, incoming: Incoming) -> bool:
        """True once the update is committed (or was before): the platform may forget it then."""
        try:
            fresh = self._desk.receive(incoming)
        except (sqlite3.Error, OSError):
            log.exception("update %s cannot be kept; it will come again", incoming.key)
            self.spare(incoming)
            return False
        except Exception:
            return self._odd(incoming)
        self._tries.pop(incoming.key, None)
        if fresh:
            self._open.append(incoming)
        self._woken.set()
        return True

    def _odd(self, incoming: Incoming) -> bool:
        """An update that the desk itself stumbles over: a few tries, then the others' turn."""
        log.exception("update %s cannot be received", incoming.key)
        self.spare(incoming)
        tries = self._tries[incoming.key] = self._tries.get(incoming.key, 0) + 1
        if tries < TRIES:
            return False
        log.error("update %s was given up", incoming.key)
        self._tries.pop(incoming.key)
        return True

    def spare(self, incoming: Incoming) -> None:
        """Sends the first-aid words past the store, once for each update."""
        if incoming.key in self._answered:
            return
        try:
            words = self._desk.emergency(incoming)
        except Exception:
            log.exception("emergency")
            return
        if not words:
            return
        self._answered[incoming.key] = None
        if len(self._answered) > ANSWERED_MOST:
            self._answered.popitem(last=False)
        self._past(Outgoing(0, incoming.chat, words, loud=True, urgent=FIRST_AID))

    def unrung(self) -> None:
        """The bell cannot be written down: what is overdue is sent past the store, once."""
        try:
            for outgoing in self._desk.unwritten():
                self._past(outgoing)
        except Exception:
            log.exception("nor can what is due be read")

    def _past(self, outgoing: Outgoing) -> None:
        task = asyncio.ensure_future(self._insist(outgoing))
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    async def _insist(self, outgoing: Outgoing) -> None:
        for _ in range(20):
            delivery = await self._send(outgoing)
            if delivery.state != "retry":
                return
            await asyncio.sleep(max(0.5, delivery.wait))

    def knows(self, incoming: Incoming) -> bool:
        """Whether the sender is one of the crew; no, where the desk cannot tell."""
        try:
            return self._desk.knows(incoming)
        except Exception:
            log.exception("knows")
            return False

    def worked(self) -> None:
        """All that was received has been handled."""
        self._open.clear()

    def stuck(self) -> None:
        """The desk cannot work: what was received since is looked at for injuries."""
        for incoming in self._open:
            self.spare(incoming)


async def serve(
    transport: Transport,
    desk: Desk,
    outbox: Outbox,
    clock: Clock,
    stop: asyncio.Event,
    *,
    pace: Pace | None = None,
) -> None:
    """Runs until `stop` is set (within two seconds), or raises what ended one of its parts."""
    woken, rung = asyncio.Event(), asyncio.Event()
    intake = Intake(desk, transport.send, woken)
    courier = Courier(transport, outbox, clock, pace=pace, weigh=transport.weigh)
    woken.set()  # what an earlier run received and did not handle
    parts = [
        asyncio.create_task(transport.listen(intake), name="listen"),
        asyncio.create_task(_work(desk, intake, courier, woken, rung), name="work"),
        asyncio.create_task(_ring(desk, intake, courier, clock, rung), name="ring"),
        asyncio.create_task(courier.run(), name="courier"),
    ]
    stopped = asyncio.create_task(stop.wait(), name="stop")
    try:
        done, _ = await asyncio.wait([*parts, stopped], return_when=asyncio.FIRST_COMPLETED)
        for task in done - {stopped}:
            task.result()
            raise RuntimeError(f"{task.get_name()} ended by itself")
    finally:
        for task in [*parts, stopped]:
            task.cancel()
        await asyncio.gather(*parts, stopped, return_exceptions=True)
        await courier.finish()
        with suppress(TimeoutError):
            async with asyncio.timeout(0.5):
                await transport.close()


async def _work(
    desk: Desk, intake: Intake, courier: Courier, woken: asyncio.Event, rung: asyncio.Event
) -> None:
    """Has the desk handle what came, a row at a time; a failing store is tried again.

    Between two rows the bell and the courier have their turn, so that a flood holds up nobody's reminder.
    """
    pause = 0.25
    while True:
        with suppress(TimeoutError):  # rows also come from the outbox: somebody who stopped the bot
            async with asyncio.timeout(WORK_LOOK):
                await woken.wait()
        woken.clear()
        try:
            more = desk.work(1)
        except Exception:
            log.exception("the desk cannot work; trying again in %.2f s", pause)
            intake.stuck()
            await asyncio.sleep(pause)
            pause = min(pause * 2, RETRY_MOST)
            woken.set()
            continue
        pause = 0.25
        if more:
            woken.set()
        else:
            intake.worked()
        courier.bell.set()
        rung.set()
        await asyncio.sleep(0)


async def _ring(desk: Desk, intake: Intake, courier: Courier, clock: Clock, rung: asyncio.Event) -> None:
    """Rings what is due; sleeps until the next, or until new work may have brought an earlier one."""
    pause = 0.05
    while True:
        rung.clear()
        try:
            due = desk.next_due()
            now = clock.now()
            if due is not None and due <= now:
                await _ring_due(desk, courier)
                due = desk.next_due()
            late = due is not None and due <= clock.now()
        except Exception:
            log.exception("the bell cannot ring")
            intake.unrung()
            due, late = None, True
        # still due after ringing means that the desk could not: a wait that grows, never a spin
        pause = min(pause * 2, RETRY_MOST) if late else 0.05
        seconds = pause if late or due is None else (due - clock.now()).total_seconds()
        await _sleep(clock, RING_LOOK if due is None and not late else seconds, rung)


async def _ring_due(desk: Desk, courier: Courier) -> None:
    """Rings a few jobs at a time, others having their turn between, until it no longer helps."""
    before, left = None, desk.ring(RING_JOBS)
    courier.bell.set()
    while left and (before is None or left < before):
        await asyncio.sleep(0)
        before, left = left, desk.ring(RING_JOBS)
        courier.bell.set()


async def _sleep(clock: Clock, seconds: float, rung: asyncio.Event) -> None:
    """Sleeps on the desk's clock, at most until woken."""
    tasks = [
        asyncio.ensure_future(clock.sleep(max(0.0, min(seconds, RING_LOOK)))),
        asyncio.ensure_future(rung.wait()),
    ]
    try:
        await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
    finally:
        for task in tasks:
            task.cancel()


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Holds the data folder: a second bot on the same data would poll, act and ring twice."""
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    handle = os.open(folder / "lock", os.O_RDWR | os.O_CREAT, 0o600)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            raise Misconfigured(
                PREFIX + "DATA",
                fault=f"{folder} is in use by a bot that runs now",
                example="another folder, or stop that bot first",
            ) from error
        yield
    finally:
        os.close(handle)
