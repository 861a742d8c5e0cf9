"""What the wire and the machine did and the bot outlasted, over real HTTP."""

from __future__ import annotations

import asyncio
import os
import re
import resource
import signal
from datetime import timedelta
from pathlib import Path

import pytest

from bot import saving, serving
from tests.botapi.people import Person, group
from tests.botapi.running import until
from tests.botapi.server import BotApi
from tests.botapi.shop import Shop, ask, quiet
from tests.test_telegram_kill import furnished, run_out

pytest_plugins = ["tests.botapi.fixtures"]


async def test_a_group_that_moved_untold_rings_at_its_new_id(
    api: BotApi, dana: Person, ana: Person, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Only the refused send tells of it; the service messages come after, in the wrong order."""
    monkeypatch.setattr(serving, "RING_LOOK", 0.2)
    async with shop.running():
        await shop.admit(dana, ana)
        for text in ("new job Heron Point", "B 10x12 ft"):
            await ask(dana, text)
        group(api, -7, "Deck", dana, "administrator")
        await until(lambda: ana.heard(-7))
        await ask(ana, "started B", chat=-7)
        api.methods.chats[-1007] = {**api.methods.chats[-7], "id": -1007, "type": "supergroup"}
        api.methods.moved[-7] = -1007
        shop.clock.skipped += timedelta(minutes=29)
        await until(lambda: any("Rinse B NOW" in t for t in ana.texts(-1007)), 10)
        head = {"from": ana.user, "date": api.date(), "message_id": 1}
        api.updates.add("message", {**head, "chat": api.methods.chats[-1007], "migrate_from_chat_id": -7})
        api.updates.add("message", {**head, "chat": api.methods.chats[-7], "migrate_to_chat_id": -1007})
        ana.says("B rinsed", chat=-1007)
        await until(lambda: any("B rinsed" in t for t in ana.texts(-1007)))
        await quiet(api)
        assert shop.rows("select chat, state, job from chats") == [{"chat": "-1007", "state": "open", "job": 1}]
        assert not shop.rows("select 1 from outbox where chat = '-7' and state != 'sent'")


FAULTS = ["429:1", "500", "cut before", "cut after", "bad json", "slow:0.3"]


async def test_every_fault_in_turn_loses_nothing_and_keeps_the_order(
    api: BotApi, dana: Person, ana: Person, shop: Shop
) -> None:
    async with shop.running():
        await shop.admit(dana, ana)
        await ask(dana, "new job Heron Point")
        before = len(ana.texts())
        for n, fault in enumerate(FAULTS):
            api.fail("sendMessage", fault)
            api.fail("getUpdates", fault)
            ana.says(f"note: n{n}")
        await until(lambda: all(any(f"n{n}" in t for t in ana.texts()) for n in range(len(FAULTS))), 30)
        heard = [m[1] for t in ana.texts()[before:] if (m := re.search(r"\bn(\d)\b", t))]
        assert list(dict.fromkeys(heard)) == [str(n) for n in range(len(FAULTS))]
        kept = [r["words"] for r in shop.rows("select words from entries where kind = 'note' order by id")]
        assert kept == [f"note: n{n}" for n in range(len(FAULTS))]


def run_with_room(shop: Shop, ana: Person, most: int) -> None:
    """Runs the bot in a process to which the kernel refuses each write beyond a size, and kills it after first aid."""

    async def run() -> None:
        async with shop.running():
            await asyncio.sleep(60)

    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
        asyncio.run(run())
        os._exit(0)
    try:
        shop.api.until(lambda: any("15 minutes" in text for text in ana.texts()), 20)
    finally:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)


@pytest.mark.parametrize("room", [0, 200_000])
def test_with_no_room_on_the_disk_first_aid_goes_out_and_the_rest_waits_on_the_server(
    api: BotApi, dana: Person, ana: Person, tmp_path: Path, room: int
) -> None:
    """With room again all of it is there, once."""
    shop = Shop(api, tmp_path)
    furnished(shop)
    for n in range(20):
        ana.says(f"note: n{n} " + "the hose bib at the back leaks and the client knows about it, " * 20)
    ana.says("eye burning help")
    run_with_room(shop, ana, shop.file.stat().st_size + room)
    assert api.updates.waiting, "not all of it could be kept"
    asyncio.run(run_out(shop))
    kept = shop.rows("select kind, count(*) as n from entries where kind in ('note', 'incident') group by 1")
    assert {r["kind"]: r["n"] for r in kept} == {"note": 20, "incident": 1}
    assert saving.integrity(shop.file) == "ok"
