"""A flood, a sleeping machine and files that lie, over real HTTP: nobody else waits, and nothing fills up."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from bot import serving
from bot.transports import telegram_files
from tests.botapi.fakes import FakeDesk
from tests.botapi.people import Person
from tests.botapi.running import never, running, until
from tests.botapi.server import BotApi
from tests.botapi.shop import Shop, SkippingClock, ask, quiet

pytest_plugins = ["tests.botapi.fixtures"]
FLOOD = 300


async def test_a_flood_of_one_delays_neither_anothers_first_aid_nor_the_bell(
    shop: Shop, dana: Person, ana: Person, luis: Person
) -> None:
    """Counted in turns and not in seconds: at the first aid the flood is hardly begun, though it came first."""
    async with shop.running():
        await shop.admit(dana, ana, luis)
        for text in ("new job Heron Point", "B 10x12 ft", "started B"):
            await ask(dana, text)
        await quiet(shop.api)
    before = len(dana.texts())
    shop.clock.skipped = timedelta(minutes=11)  # the check of B is due
    for n in range(FLOOD):
        luis.says(f"nota: {n}")
    ana.says("eye burning help")

    def handled() -> int:
        return shop.rows("select count(*) as n from inbox where state = 'done' and payload like '%nota: %'")[0]["n"]

    async with shop.running():
        await until(lambda: any("15 minutes" in text for text in ana.texts()), 20)
        at_aid = handled()
        await until(lambda: any("Check B" in text for text in dana.texts()[before:]))
        assert at_aid < FLOOD / 2 and handled() < FLOOD, (at_aid, handled())


async def test_a_machine_that_slept_rings_as_soon_as_it_looks(
    api: BotApi, ana: Person, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Sleep stops the steady clock that the bell waits on, and moves the wall clock past it."""
    assert serving.RING_LOOK <= 5.0
    monkeypatch.setattr(serving, "RING_LOOK", 0.1)
    desk, clock = FakeDesk(), SkippingClock()
    desk.due = clock.now() + timedelta(minutes=30)
    async with running(api, tmp_path, desk, clock=clock):
        await never(lambda: desk.rung, 0.3)
        clock.skipped = timedelta(hours=1)
        await until(lambda: "rinse now" in ana.texts())


async def test_a_file_larger_than_it_was_said_to_be_is_not_kept(
    api: BotApi, ana: Person, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither where the platform then tells its true size nor where the bytes alone do; and the next one is fetched."""
    monkeypatch.setattr(telegram_files, "FILE_MOST", 400)
    desk = FakeDesk()
    async with running(api, tmp_path, desk):
        for body in (b"%PDF-" + b"a" * 500, b"%PDF-" + b"b" * 500, b"%PDF-small"):
            told = ana.document(body, "application/pdf", "label.pdf", file_size=10)
            if body[5:6] == b"b":
                path, _ = api.methods.known_files[told["document"]["file_id"]]
                api.methods.known_files[told["document"]["file_id"]] = (path, 10)
        folder = tmp_path / "files"
        await until(lambda: len(desk.kept) == 3)
        last = desk.received[2].data["file"]
        await until(lambda: [p.name for p in folder.iterdir()] == [last])
