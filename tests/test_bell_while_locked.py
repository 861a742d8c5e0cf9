"""While nothing can be written (a full disk, a SQLite tool left open), what is overdue rings past the store, once."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from datetime import timedelta

from bot.courier import Pace
from bot.serving import serve
from bot.wire import Outgoing
from tests.botapi.running import until
from tests.conftest import Crew
from tests.test_faults import CANNOT, Flooded


def rung(phone: Flooded) -> list[Outgoing]:
    return [o for o in phone.got if o.chat == "chat:Ana" and "Rinse B NOW" in o.text]


@CANNOT
async def test_a_bell_is_heard_where_nothing_can_be_written(heron: Crew, cannot: Callable) -> None:
    """By everybody, and again once the store works: a doubled bell is the safe side."""
    heron.says("Ana", "started B")
    phone, stop = Flooded(), asyncio.Event()
    pace = Pace(spacing=0.0, group_most=10**6, all_most=10**6)
    with cannot(heron):
        heron.clock.move(heron.clock.now() + timedelta(minutes=29))
        running = asyncio.create_task(serve(phone, heron.played.desk, heron.store, heron.clock, stop, pace=pace))
        await until(lambda: rung(phone))
        await asyncio.sleep(0.3)  # several tries of the bell
        assert len(rung(phone)) == 1 and rung(phone)[0].loud and "not be written down" in rung(phone)[0].text
        assert [o for o in phone.got if o.chat == "chat:Dana"] and not heron.played.desk.unwritten()
    await until(lambda: len(rung(phone)) == 2, 15)
    stop.set()
    await running
    assert [r["kind"] for r in heron.timeline()].count("rang") >= 1


@CANNOT
async def test_a_file_held_for_a_moment_doubles_no_bell(heron: Crew, cannot: Callable) -> None:
    heron.says("Ana", "started B")
    with cannot(heron):
        heron.clock.move(heron.clock.now() + timedelta(minutes=10, seconds=5))  # due for five seconds
        assert heron.played.desk.unwritten() == []
