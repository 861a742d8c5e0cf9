"""A bell that the platform refuses (403, 400) rings for whoever is left; it was lost with its message."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from bot.wire import Delivery
from tests.botapi.people import Person
from tests.botapi.running import until
from tests.botapi.server import BotApi
from tests.botapi.shop import Shop, ask
from tests.conftest import Crew
from tests.test_attack import OPENED, in_group, raw

pytest_plugins = ["tests.botapi.fixtures"]
REFUSED = [
    Delivery("blocked", why="Forbidden: bot was blocked by the user"),
    Delivery("never", why="Chat not found"),
    Delivery("never", why="Topic_closed"),
]
ALL_REFUSE = pytest.mark.parametrize("delivery", REFUSED, ids=range(len(REFUSED)))


def due(crew: Crew, chat: str) -> int:
    """ "Rinse B NOW" has fallen due; its row, on its way."""
    crew.later(27.5)
    crew.clock.move(crew.clock.now() + timedelta(minutes=1))
    crew.played.desk.ring()
    row = crew.store.row("select id from outbox where chat = ? and state = 'new' and text like 'Rinse B NOW%'", chat)
    assert row is not None
    return int(row["id"])


def refused(crew: Crew, chat: str, delivery: Delivery) -> list[dict[str, Any]]:
    """It is refused; what the others hear within a minute."""
    row = due(crew, chat)
    crew.store.sending(row)
    crew.store.delivered(row, delivery, crew.clock.now())
    crew.played.desk.work()
    return [*crew.played._deliver(), *crew.later(1)]


def told(out: list[dict[str, Any]], who: str) -> int:
    return sum("Rinse B NOW" in x["text"] for x in out if x["to"] == who)


@ALL_REFUSE
def test_a_persons_reaches_the_owner_once(heron: Crew, delivery: Delivery) -> None:
    heron.says("Ana", "started B")
    out = refused(heron, "chat:Ana", delivery)
    assert told(out, "Dana") == 1 and "Ana cannot be reached" in "".join(x["text"] for x in out)


@ALL_REFUSE
def test_a_groups_reaches_each(heron: Crew, delivery: Delivery) -> None:
    in_group(heron, "Dana", "", "member", data=OPENED)
    in_group(heron, "Ana", "started B")
    out = refused(heron, "-7", delivery)
    assert told(out, "Ana") == told(out, "Dana") == 1


def test_where_the_owner_is_gone_too_it_reaches_anybody_and_goes_round_no_further(heron: Crew) -> None:
    heron.says("Dana", "started B")
    row = due(heron, "chat:Dana")
    heron.store.delivered(row, REFUSED[1], heron.clock.now())
    heron.played.desk.work()
    again = heron.store.rows("select id from outbox where text like '%Rinse B NOW%' and state = 'new'")
    assert len(again) == 1  # Ana's: Luis reads Spanish
    heron.store.delivered(again[0]["id"], REFUSED[1], heron.clock.now())
    heron.played.desk.work()
    assert not heron.store.rows("select id from outbox where text like '%Rinse B NOW%' and state = 'new'")


def test_one_that_waited_when_the_platform_told_of_the_block(heron: Crew) -> None:
    heron.says("Ana", "started B")
    due(heron, "chat:Ana")
    assert told(raw(heron, "Ana", "blocked", data={"status": "kicked"}), "Dana") == 1


async def test_over_http(api: BotApi, shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        await shop.admit(dana, ana)
        for text in ("new job Heron Point", "B 10x12 ft"):
            await ask(dana, text)
        await ask(ana, "started B")
    api.methods.blocked.add(ana.id)  # the platform need not have told
    shop.clock.skipped = timedelta(minutes=29)
    async with shop.running():
        await until(lambda: any("Rinse B NOW" in text for text in dana.texts()))
        await until(lambda: any("stopped this bot" in text for text in dana.texts()))
