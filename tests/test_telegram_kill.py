"""Killed (SIGKILL) at each point between the poll and the delivery: nothing is lost, nothing is done twice.

The bot runs in a forked process on the real database and over real HTTP; then it is started again.
Entries are exactly once. Replies are at least once: the platform has no key against doubles (issues
126 and 482 of tdlib/telegram-bot-api), so a message that may have gone out goes out again.
"""

from __future__ import annotations

import asyncio
import os
import signal
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bot import people
from bot.store import Store
from bot.transports.telegram import TelegramTransport
from bot.wire import Incoming
from tests.botapi.fakes import MORNING
from tests.botapi.people import Person
from tests.botapi.running import until
from tests.botapi.server import BotApi
from tests.botapi.shop import Shop, quiet

pytest_plugins = ["tests.botapi.fixtures"]

POINTS: dict[str, tuple[Any, str, str]] = {
    "before the update is kept": (Store, "receive", "before"),
    "after it is kept": (Store, "receive", "after"),
    "in the turn": (Store, "append", "after"),
    "at the end of the turn": (Store, "handled", "after"),
    "before the try is noted": (Store, "sending", "before"),
    "before it is sent": (Store, "sending", "after"),
    "after it is sent": (Store, "delivered", "before"),
    "after that is noted": (Store, "delivered", "after"),
    "before the next poll": (TelegramTransport, "take", "after"),
}


def killing(where: Any, name: str, when: str, nth: int) -> None:
    """Has this process kill itself at the nth call."""
    real: Callable[..., Any] = getattr(where, name)
    calls = 0

    def wrapped(*args: Any, **kwargs: Any) -> Any:
        nonlocal calls
        calls += name != "take" or bool(args[1])  # an empty poll is no point of interest
        if calls == nth and when == "before":
            os.kill(os.getpid(), signal.SIGKILL)
        found = real(*args, **kwargs)
        if calls == nth and when == "after":
            os.kill(os.getpid(), signal.SIGKILL)
        return found

    setattr(where, name, wrapped)


def furnished(shop: Shop) -> None:
    """An owner, a crew member and a job with two sections, written by the desk itself."""
    store, desk = shop.open()
    with store.turn():
        for person, role in ((3, "owner"), (1, "crew")):
            hello = Incoming(
                "telegram", f"hello{person}", "text", str(person), str(person), MORNING, name=str(person)
            )
            people.admit(store, hello, role, MORNING, "en", "us")
    for n, text in enumerate(("new job Heron Point", "section A floor 12x16 ft", "section B floor 10x12 ft")):
        desk.receive(Incoming("telegram", f"set{n}", "text", "3", "3", MORNING, name="3", text=text))
    desk.work()
    with store.turn():
        store.db.execute("update outbox set state = 'sent'")
    store.close()


async def run_out(shop: Shop) -> None:
    """Runs the bot until all that waits is handled and delivered."""
    async with shop.running():
        await until(lambda: not shop.api.updates.waiting and not open_rows(shop), 30)
        await quiet(shop.api)


def open_rows(shop: Shop) -> list[dict[str, Any]]:
    """What is not handled, or not delivered; a pinned board waits for its next turn and does not count."""
    return shop.rows(
        "select id from inbox where state = 'new' union all"
        " select id from outbox where state in ('new', 'sending') and kind != 'board'"
    )


def killed_run(shop: Shop, point: str, nth: int) -> int:
    """Runs the bot in a process of its own until it kills itself; gives its exit status."""
    child = os.fork()
    if child == 0:
        try:
            killing(*POINTS[point], nth)
            asyncio.run(run_out(shop))
        except BaseException:
            traceback.print_exc()
        os._exit(7)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


@pytest.mark.parametrize(
    ("point", "nth"), [*((point, 1) for point in POINTS), ("after it is kept", 2), ("after it is sent", 2)]
)
def test_killed(api: BotApi, dana: Person, ana: Person, tmp_path: Path, point: str, nth: int) -> None:
    shop = Shop(api, tmp_path)
    furnished(shop)
    ana.says("started section A")
    ana.says("A covered")
    dana.says("mix 2 gal brightener")
    assert killed_run(shop, point, nth) == -signal.SIGKILL, "the point was reached"
    asyncio.run(run_out(shop))

    entries = shop.rows(
        "select kind from entries where undone is null and kind in ('start', 'finish', 'quoted')"
    )
    kinds = [e["kind"] for e in entries]
    assert kinds.count("start") == kinds.count("finish") == 1, kinds
    assert shop.rows("select count(*) as n from inbox where state = 'done'")[0]["n"] == 6
    assert not open_rows(shop) and shop.rows("select 1 from reminders")
    for person in (ana, dana):
        chat = str(person.id)
        sql = f"select text from outbox where chat = '{chat}' and inbox > 3 and kind != 'board' order by id"
        wanted = [r["text"] for r in shop.rows(sql)]
        heard = person.texts()
        assert wanted and set(heard) == set(wanted), "each reply was delivered"
        assert list(dict.fromkeys(heard)) == list(dict.fromkeys(wanted)), "in order"
        assert len(heard) <= len(wanted) + 1, "at most the one that was on its way went out again"
