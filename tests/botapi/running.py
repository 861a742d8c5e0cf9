"""The bot on the loopback server, as a test starts and stops it."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from pathlib import Path
from typing import Any

from bot.courier import Pace
from bot.serving import serve
from bot.settings import Settings
from bot.transports.telegram import TelegramTransport
from tests.botapi.fakes import RunningClock
from tests.botapi.server import TOKEN, BotApi

QUICK = {"spacing": 0.0, "group_most": 1000, "all_most": 1000}


def settings(api: BotApi, data: Path, **more: Any) -> Settings:
    """The settings of a bot that talks with the loopback server."""
    return Settings(data=data, token=TOKEN, api_url=api.url, **more)


def transport(api: BotApi, data: Path, clock: Any = None, **more: Any) -> TelegramTransport:
    """A transport to the loopback server, without the pause between parts."""
    return TelegramTransport(settings(api, data, **more), clock or RunningClock(), spacing=0.0)


@asynccontextmanager
async def running(
    api: BotApi, data: Path, desk: Any, outbox: Any = None, clock: Any = None, **more: Any
) -> AsyncIterator[TelegramTransport]:
    """The whole bot but its wiring, until the block ends; then it is stopped as by SIGTERM."""
    stop = asyncio.Event()
    clock = clock or RunningClock()
    bot = transport(api, data, clock, **more)
    task = asyncio.create_task(serve(bot, desk, outbox or desk.outbox, clock, stop, pace=Pace(**QUICK)))
    try:
        yield bot
    finally:
        stop.set()
        await task


async def until(true: Callable[[], Any], seconds: float = 5.0) -> Any:
    """Waits until something is so; gives it, or fails."""
    loop = asyncio.get_running_loop()
    end = loop.time() + seconds
    while not (found := true()):
        assert loop.time() < end, "never so"
        await asyncio.sleep(0.005)
    return found


async def never(true: Callable[[], Any], seconds: float = 0.1) -> None:
    """Fails if something becomes so."""
    with suppress(AssertionError):
        await until(true, seconds)
        raise RuntimeError("it became so")
