"""The running bot: it stops within two seconds and loses nothing, rings in time, and never runs twice."""

from __future__ import annotations

import asyncio
import subprocess
import sys
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from bot.errors import Misconfigured
from bot.serving import alone, serve
from tests.botapi.fakes import FakeDesk, RunningClock
from tests.botapi.people import Person
from tests.botapi.running import never, running, transport, until
from tests.botapi.server import BotApi

pytest_plugins = ["tests.botapi.fixtures"]


async def test_a_stop_loses_nothing(api: BotApi, ana: Person, luis: Person, tmp_path: Path) -> None:
    """Stopped again and again while messages come and answers go: each is kept once and answered."""
    desk = FakeDesk()
    for round_ in range(4):
        for n in range(5):
            (ana, luis)[n % 2].says(f"r{round_}n{n}")
        async with running(api, tmp_path, desk):
            await until(lambda r=round_: len(desk.kept) > r * 5)
    async with running(api, tmp_path, desk):
        await until(lambda: not desk.outbox.undelivered() and len(desk.kept) == 20)
    assert sorted(desk.texts) == sorted(f"r{r}n{n}" for r in range(4) for n in range(5))
    assert {f"got {t}" for t in desk.texts} == set(ana.texts()) | set(luis.texts())


async def test_the_stop_takes_less_than_two_seconds(api: BotApi, ana: Person, tmp_path: Path) -> None:
    """In the middle of a long poll, and of a send that hangs."""
    desk = FakeDesk()
    loop = asyncio.get_running_loop()
    api.fail("sendMessage", "slow:4")
    async with running(api, tmp_path, desk):
        ana.says("hello")
        await until(lambda: "sendMessage" in api.tried)
        began = loop.time()
    assert loop.time() - began < 2.0
    assert desk.outbox.rows[1].state == "sending", "unsure, so it goes out again"


async def test_a_reminder_rings_in_time_and_wakes_for_an_earlier_one(
    api: BotApi, ana: Person, tmp_path: Path
) -> None:
    desk, clock = FakeDesk(), RunningClock()
    desk.due = clock.now() + timedelta(hours=1)
    async with running(api, tmp_path, desk, clock=clock):
        await never(lambda: desk.rung, 0.2)
        desk.due = clock.now() + timedelta(seconds=0.2)
        ana.says("started B")  # new work may bring an earlier reminder
        await until(lambda: "rinse now" in ana.texts())
    assert len(desk.rung) == 1


async def test_a_reminder_due_while_it_was_down_rings_at_once(
    api: BotApi, ana: Person, tmp_path: Path
) -> None:
    desk, clock = FakeDesk(), RunningClock()
    desk.due = clock.now() - timedelta(hours=2)
    async with running(api, tmp_path, desk, clock=clock):
        await until(lambda: "rinse now" in ana.texts())


async def test_a_bell_that_cannot_ring_does_not_spin(api: BotApi, tmp_path: Path) -> None:
    desk, clock = FakeDesk(), RunningClock()
    rings: list[int] = []
    desk.due = clock.now() - timedelta(seconds=1)
    desk.ring = lambda most: rings.append(1)  # type: ignore[method-assign]  # leaves it due for ever
    async with running(api, tmp_path, desk, clock=clock):
        await asyncio.sleep(0.5)
    assert 1 <= len(rings) < 10


async def test_a_desk_that_fails_is_tried_again(
    api: BotApi, ana: Person, luis: Person, tmp_path: Path
) -> None:
    """What was received and cannot be handled is looked at for injuries, once, and handled later."""
    desk = FakeDesk()
    fails: list[int] = []

    def broken() -> None:
        if len(fails) < 3:
            fails.append(1)
            raise OSError("disk full")

    desk.on_work = broken
    ana.says("skin burning")
    async with running(api, tmp_path, desk):
        await until(lambda: "got skin burning" in ana.texts())
    assert ana.texts() == ["Flush with water for at least 15 minutes.", "got skin burning"]


async def test_slow_sends_to_one_do_not_hold_up_another(
    api: BotApi, ana: Person, luis: Person, tmp_path: Path
) -> None:
    desk = FakeDesk()
    api.fail("sendMessage", "slow:1.5")
    loop = asyncio.get_running_loop()
    async with running(api, tmp_path, desk):
        ana.says("hello")
        await until(lambda: "sendMessage" in api.tried)
        began = loop.time()
        luis.says("hello")
        await until(lambda: luis.texts())
        assert loop.time() - began < 1.0 and not ana.texts()


async def test_a_part_that_dies_ends_the_whole(api: BotApi, tmp_path: Path) -> None:
    """A bot of which a part is dead must end, so that the service manager starts it anew."""
    bot = transport(api, tmp_path)

    async def listen(intake: Any) -> None:
        raise RuntimeError("a fault of ours")

    bot.listen = listen  # type: ignore[method-assign]
    with pytest.raises(RuntimeError, match="a fault of ours"):
        await serve(bot, FakeDesk(), FakeDesk().outbox, RunningClock(), asyncio.Event())


def test_never_two_on_the_same_data(tmp_path: Path) -> None:
    with alone(tmp_path):
        with pytest.raises(Misconfigured, match="DATA"), alone(tmp_path):
            pass
        code = (
            "import sys, pathlib; from bot.serving import alone\n"
            "with alone(pathlib.Path(sys.argv[1])): print('in')"
        )
        other = subprocess.run(
            [sys.executable, "-c", code, str(tmp_path)], capture_output=True, text=True, check=False
        )
        assert "Misconfigured" in other.stderr and "in\n" not in other.stdout
    with alone(tmp_path):
        pass
