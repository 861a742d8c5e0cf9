"""The owner's files and board over real HTTP: a picture is a photo, the record a document, the board one message."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from bot import app
from bot.courier import Pace
from bot.making import WithFiles
from bot.serving import serve
from tests.botapi.people import Person
from tests.botapi.running import QUICK, transport, until
from tests.botapi.server import BotApi
from tests.botapi.shop import Shop, ask

pytest_plugins = ["tests.botapi.fixtures"]
JPEG = b"\xff\xd8\xff\xe0" + b"0" * 500


@asynccontextmanager
async def served(shop: Shop) -> AsyncIterator[None]:
    """One run of the bot, wired as `serve` wires it."""
    shop.store, desk = shop.open()
    stop = asyncio.Event()
    bot = WithFiles(transport(shop.api, shop.folder, shop.clock), app.making_for(desk, shop.folder))
    task = asyncio.create_task(serve(bot, desk, shop.store, shop.clock, stop, pace=Pace(**QUICK)))  # type: ignore[arg-type]
    try:
        yield
    finally:
        stop.set()
        await task
        shop.store.close()


async def begun(shop: Shop, dana: Person, ana: Person) -> None:
    await shop.admit(dana, ana)
    await ask(dana, "new job Heron Point")
    await ask(dana, "section B floor 10x12 ft")
    await ask(ana, "started B")


def boards(person: Person) -> list[dict[str, Any]]:
    return [m for m in person.heard() if m.get("text", "").startswith("Heron Point\n")]


async def test_a_picture_goes_out_as_a_photo(api: BotApi, dana: Person, ana: Person, tmp_path: Path) -> None:
    shop = Shop(api, tmp_path)
    async with served(shop):
        await begun(shop, dana, ana)
        dana.says("picture")
        await until(lambda: any("photo" in m for m in dana.heard()), 20)
    (row,) = shop.rows("select state, files from outbox where files like '%picture%'")
    assert row["state"] == "sent" and '"make"' in row["files"], "the row keeps the wish, not the file"
    (file,) = (tmp_path / "files").glob("picture-*.png")
    assert file.read_bytes().startswith(b"\x89PNG")


async def test_the_record_goes_out_as_a_document_with_the_photo_in_it(
    api: BotApi, dana: Person, ana: Person, tmp_path: Path
) -> None:
    shop = Shop(api, tmp_path)
    async with served(shop):
        await begun(shop, dana, ana)
        ana.photo(JPEG, "B foam after rinse")
        await until(lambda: list((tmp_path / "files").glob("*.jpg")), 10)
        await until(lambda: shop.rows("select 1 from entries where kind = 'photo'"))
        dana.says("record")
        await until(lambda: any("document" in m for m in dana.heard()), 20)
    (file,) = (tmp_path / "files").glob("record-*.html")
    page = file.read_text()
    assert "foam after rinse" in page and "data:image/jpeg;base64," in page


async def test_the_board_is_one_pinned_message_changed_in_place(
    api: BotApi, dana: Person, ana: Person, tmp_path: Path
) -> None:
    shop = Shop(api, tmp_path)
    async with served(shop):
        await begun(shop, dana, ana)
        (board,) = await until(lambda: boards(dana), 10)
        await until(lambda: api.methods.pinned.get(dana.id) == board["message_id"])
        shop.clock.skipped += timedelta(seconds=21)
        await until(lambda: any("WET" in m["text"] for m in boards(dana)), 10)
        assert len(boards(dana)) == 1
        assert len(api.called("pinChatMessage")) == 1


@pytest.mark.parametrize("times", [12])
async def test_a_busy_crew_costs_few_edits(api: BotApi, dana: Person, ana: Person, tmp_path: Path, times: int) -> None:
    shop = Shop(api, tmp_path)
    async with served(shop):
        await begun(shop, dana, ana)
        await until(lambda: boards(dana), 10)
        before = len(api.called("editMessageText"))
        for _ in range(times):
            await ask(ana, "misted B")
        edits = [c for c in api.called("editMessageText")[before:] if str(dana.id) in str(c)]
        assert len(edits) <= 1
