"""Update ids that start anew, at random, after a week without updates (Bot API, Update.update_id)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from bot.transports import telegram
from tests.botapi.fakes import FakeDesk
from tests.botapi.people import Person
from tests.botapi.running import running, until
from tests.botapi.server import BotApi

pytest_plugins = ["tests.botapi.fixtures"]
LAST = 900_000


async def test_ids_far_lower_are_confirmed_and_lose_nothing(api: BotApi, ana: Person, tmp_path: Path) -> None:
    """More than one batch, in the very poll that waited meanwhile."""
    api.updates.next_id = LAST
    desk = FakeDesk()
    async with running(api, tmp_path, desk):
        ana.says("before the winter")
        await until(lambda: len(desk.kept) == 1 and not api.updates.waiting)
        api.updates.next_id = 5_000
        for n in range(130):
            ana.says(f"n{n}")
        await until(lambda: len(desk.kept) == 131, 15)
        await until(lambda: not api.updates.waiting)


async def test_ids_a_little_lower_are_not_taken_for_seen(
    api: BotApi, ana: Person, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The server believes an offset up to ten beyond its ids (TQueue::get) and would forget what lies below it."""
    monkeypatch.setattr(telegram, "POLL_SECONDS", 1)
    api.updates.next_id = LAST
    fetch = api.updates.fetch

    def a_week(*asked: Any) -> list[dict[str, Any]]:
        """After an empty answer it is spring, before the bot asks again."""
        if not (found := fetch(*asked)) and api.updates.next_id > LAST:
            api.updates.next_id = LAST - 5
            ana.says("in spring")
        return found

    monkeypatch.setattr(api.updates, "fetch", a_week)
    desk = FakeDesk()
    async with running(api, tmp_path, desk):
        ana.says("before the winter")
        await until(lambda: desk.texts == ["before the winter", "in spring"] and not api.updates.waiting)


async def test_a_press_is_answered_once(api: BotApi, ana: Person, tmp_path: Path) -> None:
    api.updates.next_id = LAST
    desk = FakeDesk()
    async with running(api, tmp_path, desk):
        message = ana.says("before the winter")
        await until(lambda: len(desk.kept) == 1 and not api.updates.waiting)
        api.updates.next_id = 5_000
        ana.forges("x", message)
        await until(lambda: len(desk.kept) == 2)
        ana.says("on")
        await until(lambda: len(desk.kept) == 3 and not api.updates.waiting)
        assert len(api.called("answerCallbackQuery")) == 1
