"""Receipt over real HTTP: committed before the platform forgets, once, in order, whatever goes wrong."""

from __future__ import annotations

import asyncio
import logging
import sqlite3
import stat
from pathlib import Path
from typing import Any

import pytest

from bot.errors import Misconfigured
from bot.transports import telegram
from bot.transports.telegram_in import ALLOWED
from tests.botapi.fakes import FakeDesk
from tests.botapi.people import Person, group, migrate
from tests.botapi.running import never, running, settings, until
from tests.botapi.server import TOKEN, BotApi

pytest_plugins = ["tests.botapi.fixtures"]
JPEG = b"\xff\xd8\xff\xe0" + b"0" * 500


async def test_in_order_and_answered(api: BotApi, ana: Person, luis: Person, tmp_path: Path) -> None:
    for n in range(104):  # more than one batch of 100
        (ana if n % 2 else luis).says(f"n{n}")
    desk = FakeDesk()
    async with running(api, tmp_path, desk):
        await until(lambda: len(ana.texts()) + len(luis.texts()) == 104)
        await until(lambda: not api.updates.waiting)
    assert desk.texts == [f"n{n}" for n in range(104)]
    assert ana.texts() == [f"got n{n}" for n in range(104) if n % 2]
    assert api.updates.allowed == list(ALLOWED)


async def test_committed_before_it_is_confirmed(api: BotApi, ana: Person, tmp_path: Path) -> None:
    """Each time the desk is given an update, the server still has it."""
    desk = FakeDesk()
    waiting: list[set[int]] = []
    desk.on_receive = lambda incoming: waiting.append({u["update_id"] for u in api.updates.waiting})
    async with running(api, tmp_path, desk):
        for n in range(3):
            ana.says(f"n{n}")
            await until(lambda n=n: len(desk.kept) == n + 1)
    for incoming, there in zip(desk.received, waiting, strict=True):
        assert int(incoming.key.split(".")[0]) in there


async def test_killed_between_keeping_and_confirming(api: BotApi, ana: Person, tmp_path: Path) -> None:
    """The transport is thrown away after the commit: what comes again is known, nothing is acted on twice."""
    ana.says("started B")
    ana.says("B covered")
    desk = FakeDesk()

    class Killed(BaseException):
        pass

    def killed(incoming: Any) -> None:
        if len(desk.kept) == 1:
            raise Killed

    desk.on_receive = killed
    with pytest.raises(Killed):
        async with running(api, tmp_path, desk):
            await until(lambda: False, 1)
    assert desk.texts == ["started B"] and len(api.updates.waiting) == 2
    desk.on_receive = lambda incoming: None
    async with running(api, tmp_path, desk):
        await until(lambda: len(ana.texts()) == 2)
    assert desk.seen_again and ana.texts() == ["got started B", "got B covered"]


async def test_doubles_from_the_server(api: BotApi, ana: Person, tmp_path: Path) -> None:
    ana.says("once")
    update = dict(api.updates.waiting[0])
    desk = FakeDesk()
    async with running(api, tmp_path, desk):
        await until(lambda: ana.texts() == ["got once"])
        api.updates.raw(update)
        await until(lambda: desk.seen_again)
        await never(lambda: len(ana.texts()) > 1)


POISON: list[dict[str, Any]] = [
    {"message": {"message_id": 1, "date": 1, "chat": {"id": "x"}, "from": {"id": 1}, "text": "a"}},
    {"message": "not an object"},
    {"message": {"photo": [None], "chat": {"id": 1, "type": "private"}, "from": {"id": 1}, "message_id": 5}},
    {"callback_query": {"id": "5", "from": None, "data": "x", "message": {}}},
    {"message_reaction": []},
    {"a_kind_of_the_future": {}},
    {"message": {"message_id": 2**70, "chat": {"id": 1, "type": "private"}, "from": {"id": 1}, "text": "a"}},
]


@pytest.mark.parametrize("poison", POISON, ids=range(len(POISON)))
async def test_poison_stops_nobody(api: BotApi, ana: Person, tmp_path: Path, poison: dict[str, Any]) -> None:
    api.updates.raw({"update_id": api.updates.next_id, **poison})
    ana.says("after")
    desk = FakeDesk()
    async with running(api, tmp_path, desk):
        await until(lambda: ana.texts() == ["got after"])
        await until(lambda: not api.updates.waiting)


async def test_a_message_with_a_part_that_the_library_cannot_parse(
    api: BotApi, ana: Person, tmp_path: Path
) -> None:
    body = {"message_id": 9, "date": 1781099400, "chat": {"id": 1, "type": "private"}, "from": ana.user}
    odd = {**body, "text": "started B", "entities": [{"type": 5}], "reply_markup": "?", "new_field": {"x": 1}}
    api.updates.raw({"update_id": 2000, "message": odd})
    desk = FakeDesk()
    async with running(api, tmp_path, desk):
        await until(lambda: desk.texts == ["started B"])


async def test_the_store_fails_and_comes_back(
    api: BotApi, ana: Person, luis: Person, dana: Person, tmp_path: Path
) -> None:
    """Nothing is confirmed, first aid is given once all the same, and then everything is there, in order."""
    desk = FakeDesk()
    desk.broken = sqlite3.OperationalError("database or disk is full")
    luis.says("eye burning help")
    ana.says("started B")
    dana.says("skin burning")
    async with running(api, tmp_path, desk):
        await until(lambda: luis.texts() and dana.texts())
        await never(lambda: len(luis.texts() + dana.texts()) > 2 or ana.texts(), 0.6)
        assert len(api.updates.waiting) == 3 and desk.kept == {}
        desk.broken = None
        await until(lambda: len(desk.kept) == 3 and ana.texts())
    assert "Flush" in luis.texts()[0] and desk.texts == ["eye burning help", "started B", "skin burning"]
    assert not api.called("sendMessage")[0].get("disable_notification", False)


async def test_a_message_that_the_desk_itself_stumbles_over(
    api: BotApi, ana: Person, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    desk = FakeDesk()

    def stumble(incoming: Any) -> None:
        if incoming.text == "odd":
            raise TypeError("a fault of ours")

    desk.on_receive = stumble
    ana.says("odd")
    ana.says("even")
    async with running(api, tmp_path, desk):
        await until(lambda: ana.texts() == ["got even"])
    assert "given up" in caplog.text


@pytest.mark.parametrize(
    "fault", ["500", "cut before", "cut after", "bad json", "429:0", "502", "409:Conflict"]
)
async def test_polls_that_fail_lose_nothing(api: BotApi, ana: Person, tmp_path: Path, fault: str) -> None:
    api.fail("getUpdates", fault)
    ana.says("hello")
    desk = FakeDesk()
    async with running(api, tmp_path, desk):
        await until(lambda: ana.texts() == ["got hello"])


async def test_no_network_at_start(
    api: BotApi, ana: Person, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    api.fail("getMe", "cut before", "500")
    api.fail("deleteWebhook", "500")
    ana.says("hello")
    desk = FakeDesk()
    async with running(api, tmp_path, desk) as bot:
        await until(lambda: ana.texts() == ["got hello"])
        assert bot.me.username == "RinsebellTestBot" and bot.polled_at is not None


async def test_a_wrong_token_ends_it_at_once(api: BotApi, tmp_path: Path) -> None:
    api.fail("getMe", "401")
    with pytest.raises(Misconfigured, match="TOKEN") as error:
        async with running(api, tmp_path, FakeDesk()):
            await until(lambda: False, 0.5)
    assert TOKEN not in str(error.value)


async def test_another_poller_is_told_and_waited_out(
    api: BotApi, ana: Person, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    desk = FakeDesk()
    async with running(api, tmp_path, desk):
        ana.says("one")
        await until(lambda: ana.texts())
        await asyncio.to_thread(api.updates.fetch, 0, 1, 0, None)  # somebody else, once
        ana.says("two")
        await until(lambda: len(ana.texts()) == 2)
    assert "another program polls" in caplog.text


async def test_a_webhook_set_meanwhile_is_taken_off(api: BotApi, ana: Person, tmp_path: Path) -> None:
    desk = FakeDesk()
    async with running(api, tmp_path, desk):
        await until(lambda: api.updates.allowed)
        api.webhook = {"url": "https://elsewhere.example"}
        ana.says("one")
        ana.says("two")
        await until(lambda: len(ana.texts()) == 2 and not api.webhook)


async def test_presses_are_answered_and_kept(api: BotApi, ana: Person, tmp_path: Path) -> None:
    """Too late an answer (150 s) is no reason to lose the press."""
    desk = FakeDesk()
    desk.outbox.put("1", "B on", buttons=((("Covered", "1z.0"),),))
    async with running(api, tmp_path, desk):
        await until(lambda: ana.heard())
        first = ana.presses("Covered")
        second = ana.presses("Covered")
        await until(lambda: len(api.methods.answered) == 2 and len(desk.kept) == 2)
        api.fail("answerCallbackQuery", "400:Bad Request: query is too old and response timeout expired")
        ana.presses("Covered")
        await until(lambda: len(desk.kept) == 3)
    assert set(api.methods.answered) == {first, second}
    assert [(i.kind, i.press, i.message) for i in desk.received] == [("press", "1z.0", "1")] * 3


async def test_every_kind_at_once(api: BotApi, ana: Person, luis: Person, tmp_path: Path) -> None:
    desk = FakeDesk()
    desk.outbox.put("1", "rinse now")
    async with running(api, tmp_path, desk):
        await until(lambda: ana.heard())
        said = ana.says("started B")
        ana.edits(said, "started C")
        ana.reacts(ana.heard()[0], "👍")
        ana.location(40.7, -74.0)
        ana.sends(voice={"file_id": "v", "file_unique_id": "v", "duration": 2})
        ana.sends(sticker={"file_id": "s"})
        ana.blocks()
        ana.blocks("member")
        old = group(api, -5, "Heron Point", ana)
        luis.says("B covered", chat=old)
        migrate(api, old, -100500, ana)
        luis.says("C covered", chat=-100500)
        await until(lambda: len(desk.kept) == 11)
    kinds = "text edit reaction location voice blocked blocked member text migrate text"
    assert " ".join(i.kind for i in desk.received) == kinds
    assert [i.chat for i in desk.received][-3:] == ["-5", "-5", "-100500"]


async def test_photos_are_fetched_under_names_of_ours(api: BotApi, ana: Person, tmp_path: Path) -> None:
    desk = FakeDesk()
    desk.crew = {"1"}
    stranger = Person(api, 66, "Stranger")
    async with running(api, tmp_path, desk):
        ana.photo(JPEG, caption="B after", album="1")
        ana.photo(JPEG + b"2", album="1")
        ana.document(b"%PDF-1.7 label", "application/pdf", "../../label.pdf")
        ana.document(b"MZ program", "application/pdf", "label.pdf")  # not what it says
        stranger.photo(JPEG)
        folder = tmp_path / "files"
        await until(lambda: len(desk.kept) == 5)
        names = sorted(i.data["file"] for i in desk.received[:3])
        await until(lambda: sorted(p.name for p in folder.iterdir()) == names)
    names = [i.data["file"] for i in desk.received[:3]]
    assert (folder / names[0]).read_bytes() == JPEG and [i.data.get("album") for i in desk.received[:2]] == [
        "1",
        "1",
    ]
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert {stat.S_IMODE(p.stat().st_mode) for p in folder.iterdir()} == {0o600}


async def test_a_photo_not_fetched_before_the_stop_is_fetched_at_the_next_start(
    api: BotApi, ana: Person, tmp_path: Path
) -> None:
    api.fail("getFile", *["500"] * 3)
    desk = FakeDesk()
    async with running(api, tmp_path, desk):
        ana.photo(JPEG)
        await until(lambda: desk.kept and "getFile" in api.tried)
        await until(lambda: not api.updates.waiting)
    api.well()
    name = desk.received[0].data["file"]
    assert not (tmp_path / "files" / name).exists()
    async with running(api, tmp_path, desk):
        await until(lambda: (tmp_path / "files" / name).exists())


def test_the_long_poll_is_within_what_the_server_allows() -> None:
    assert 1 <= telegram.POLL_SECONDS <= 50


async def test_no_token_in_what_was_logged(
    api: BotApi, ana: Person, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG)
    api.fail("getUpdates", "500", "cut before")
    async with running(api, tmp_path, FakeDesk()):
        ana.says("hello")
        await until(lambda: ana.texts())
    assert len(caplog.text) > 1000 and TOKEN not in caplog.text
    assert settings(api, tmp_path).token == TOKEN
