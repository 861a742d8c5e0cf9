"""The whole bot over real HTTP with the real desk and database: people, buttons, edits, groups, restarts."""

from __future__ import annotations

import logging
from datetime import timedelta
from pathlib import Path

import pytest

from tests.botapi.people import Person, group, migrate
from tests.botapi.running import until
from tests.botapi.server import TOKEN, BotApi
from tests.botapi.shop import Shop, ask, quiet

pytest_plugins = ["tests.botapi.fixtures"]
JPEG = b"\xff\xd8\xff\xe0" + b"0" * 500


@pytest.fixture
async def shop(api: BotApi, tmp_path: Path) -> Shop:
    """A shop on the loopback server."""
    return Shop(api, tmp_path)


def labels(person: Person, chat: int | None = None) -> list[str]:
    """The buttons under the newest message."""
    rows = person.heard(chat)[-1].get("reply_markup", {}).get("inline_keyboard", [])
    return [button["text"] for row in rows for button in row]


async def a_job(owner: Person) -> None:
    """A job with two sections."""
    await ask(owner, "new job Heron Point")
    await ask(owner, "section A floor 12x16 ft")
    await ask(owner, "section B floor 10x12 ft")


async def test_claim_and_two_crew(shop: Shop, dana: Person, ana: Person, luis: Person) -> None:
    async with shop.running():
        await shop.admit(dana, ana, luis)
        await quiet(shop.api)
    found = shop.rows("select name, role, language from people order by id")
    assert [(p["name"], p["role"], p["language"]) for p in found] == [
        ("Dana", "owner", "en"),
        ("Ana", "crew", "en"),
        ("Luis", "crew", "es"),
    ]
    assert luis.texts()[0] != ana.texts()[0], "each in their own language"


async def test_a_code_works_once_and_a_stranger_learns_nothing(
    shop: Shop, dana: Person, ana: Person, api: BotApi
) -> None:
    stranger = Person(api, 66, "Stranger")
    async with shop.running():
        await shop.admit(dana)
        code = shop.invite("crew")
        await ask(ana, f"/start {code}")
        first = await ask(stranger, f"/start {code}")
        for text in ("/start " + "A" * 32, "hello", "status", "/start", f"/start {code}"):
            stranger.says(text)
        stranger.forges("1.0", stranger.heard()[0])
        stranger.photo(JPEG)
        await ask(dana, "help")
        await quiet(api)
    assert len(stranger.heard()) == 1 and "Dana" not in first and "code" not in first.lower()
    assert not list((shop.folder / "files").glob("*")), "a stranger's files are not fetched"


async def test_start_press_and_double_tap(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        answer = await ask(ana, "started section A")
        wet = ana.heard()[-1]
        assert "Covered" in labels(ana) and "rinse" in answer.lower()
        ana.presses("Covered")
        ana.forges(wet["reply_markup"]["inline_keyboard"][0][0]["callback_data"], wet)
        await until(lambda: "Ana" in wet["text"])
        await quiet(shop.api)
        assert "Covered" not in str(wet.get("reply_markup")), "the message shows who pressed what"
    kinds = [r["kind"] for r in shop.rows("select kind from entries where undone is null order by id")]
    assert kinds.count("finish") == 1, kinds


async def test_a_button_of_another_chat_does_nothing(
    shop: Shop, dana: Person, ana: Person, luis: Person
) -> None:
    async with shop.running():
        await shop.admit(dana, ana, luis)
        await a_job(dana)
        await ask(ana, "started section A")
        data = ana.heard()[-1]["reply_markup"]["inline_keyboard"][0][0]["callback_data"]
        before = shop.rows("select count(*) as n from entries")
        luis.forges(data, luis.heard()[-1])
        await quiet(shop.api)
        assert shop.rows("select count(*) as n from entries") == before
        assert len(shop.api.methods.answered) == 1, "the spinner stops all the same"


async def test_an_edit_amends(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        await ask(ana, "started section A")
        messages = shop.api.methods.messages[1].values()
        said = next(m for m in messages if m.get("text") == "started section A")
        before = len(ana.heard())
        ana.edits(said, "started section B")
        await until(lambda: len(ana.heard()) > before)
        ana.edits(said, "started section B")  # the platform tells of edits that change no word
        await quiet(shop.api)
    standing = shop.rows("select sections from entries where kind = 'start' and undone is null")
    assert [r["sections"] for r in standing] == ['["B"]']
    jobs = shop.rows("select distinct sections from reminders")
    assert jobs and all('"A"' not in r["sections"] for r in jobs)


async def test_reminders_stand_over_a_restart(shop: Shop, dana: Person, ana: Person) -> None:
    """What fell due while the bot was down rings at once, loud, marked late; its buttons work."""
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        await ask(ana, "started section A")
        await quiet(shop.api)
    assert shop.rows("select 1 from reminders")
    sent = len(shop.api.called("sendMessage"))
    shop.clock.skipped = timedelta(minutes=45)

    def loud() -> bool:
        calls = [c for c in shop.api.called("sendMessage")[sent:] if c["chat_id"] == ana.id]
        return any(not c.get("disable_notification", False) for c in calls)

    async with shop.running():
        await until(lambda: loud() and labels(ana))
        ana.presses(labels(ana)[0])
        await until(lambda: shop.rows("select 1 from buttons where pressed is not null"))
    rang = shop.rows("select json_extract(about, '$.sections') as sections from outbox where kind = 'late'")
    assert rang and {r["sections"] for r in rang} == {'["A"]'}


async def test_a_button_after_a_restart(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        await ask(ana, "started section A")
    async with shop.running():
        ana.presses("Covered")
        await until(lambda: shop.rows("select 1 from entries where kind = 'finish'"))


async def test_a_group(shop: Shop, dana: Person, ana: Person) -> None:
    """Opened by the owner; silent on chatter; answers commands and facts there; follows to its new id."""
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        chat = group(shop.api, -5, "Heron Point", dana)
        await until(lambda: dana.heard(chat))
        before = len(dana.heard(chat))
        ana.says("nice weather for a barbecue", chat=chat)
        ana.says("/mix@SomeOtherBot 4 gal", chat=chat)
        await ask(ana, "/mix@RinsebellTestBot 4 gal brightener", chat=chat)
        await quiet(shop.api)
        assert len(dana.heard(chat)) == before + 1
        migrate(shop.api, chat, -100500, dana)
        await quiet(shop.api)
        await ask(ana, "mix 2 gal brightener", chat=-100500)
    assert shop.rows("select chat from chats where state = 'open'") == [{"chat": "-100500"}]


async def test_a_group_that_a_stranger_makes(shop: Shop, dana: Person, api: BotApi) -> None:
    stranger = Person(api, 66, "Stranger")
    async with shop.running():
        await shop.admit(dana)
        await ask(dana, "new job Heron Point")
        chat = group(api, -6, "Curious", stranger)
        stranger.says("status", chat=chat)
        await quiet(api)
        assert not dana.heard(chat)


async def test_photo_album_reaction_reply_and_place(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        await ask(ana, "started section A")
        wet = ana.heard()[-1]
        ana.photo(JPEG, caption="A before", album="1")
        ana.photo(JPEG + b"2", album="1")
        ana.location(40.72, -73.99)
        ana.reacts(wet, "👍")
        ana.says("misted", reply_to=wet)
        await until(lambda: shop.rows("select 1 from entries where kind = 'rewet'"))
        files = await until(lambda: len(found := list((shop.folder / "files").glob("*.jpg"))) == 2 and found)
    rows = shop.rows("select kind, sections, data from entries where undone is null order by id")
    told = [r for r in rows if r["kind"] == "photo"]
    assert len(told) == 2 and all(any(f.name in r["data"] for f in files) for r in told)
    assert any("40.72" in r["data"] for r in rows)
    assert [r["sections"] for r in rows if r["kind"] == "rewet"] == ['["A"]']


async def test_somebody_blocks_the_bot(shop: Shop, dana: Person, ana: Person) -> None:
    """The owner is told once; nothing waits for ever; it goes on when they come back."""
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        await quiet(shop.api)
        before = len(dana.heard())
        ana.blocks()
        await until(lambda: any("Ana" in text for text in dana.texts()[before:]))
        await quiet(shop.api)
        assert len(dana.heard()) == before + 1
        ana.blocks("member")
        assert await ask(ana, "help")


async def test_first_aid_first(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        before = len(dana.heard())
        answer = await ask(ana, "eye burning help")
        assert "15" in answer, "at least 15 minutes of water"
        await until(lambda: len(dana.heard()) > before)


async def test_the_token_is_nowhere(
    shop: Shop, dana: Person, ana: Person, caplog: pytest.LogCaptureFixture
) -> None:
    """Not in a log at DEBUG, not in the database, not in any file of the data folder."""
    caplog.set_level(logging.DEBUG)
    async with shop.running():
        await shop.admit(dana, ana)
        shop.api.fail("sendMessage", "500")
        await a_job(dana)
        ana.photo(JPEG)
        await quiet(shop.api)
    secret = TOKEN.split(":")[1]
    assert len(caplog.text) > 1000 and secret not in caplog.text
    for path in shop.folder.rglob("*"):
        assert path.is_dir() or secret.encode() not in path.read_bytes(), path


async def test_a_stale_button_asks_first(shop: Shop, dana: Person, ana: Person) -> None:
    """Hours later a tap may be a mistake: it says so, writes nothing, and offers to do it now."""
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        await ask(ana, "started section A")
        old = ana.heard()[-1]
        shop.clock.skipped = timedelta(hours=3)
        before = len(ana.heard())
        ana.forges(old["reply_markup"]["inline_keyboard"][0][0]["callback_data"], old)
        await until(lambda: any("9:50" in text for text in ana.texts()[before:]))  # when the button is from
        await quiet(shop.api)
        assert not shop.rows("select 1 from entries where kind = 'finish'")


async def test_two_jobs_at_once(shop: Shop, dana: Person, ana: Person) -> None:
    """Which job a message belongs to is asked where it is not clear, and the answer goes there."""
    async with shop.running():
        await shop.admit(dana, ana)
        for name in ("Heron Point", "Trial Row"):
            await ask(dana, f"new job {name}")
            await ask(dana, "section A floor 12x16 ft")
        await ask(ana, "started section A")
        assert {"Heron Point", "Trial Row"} <= set(labels(ana))
        ana.presses("Trial Row")
        await until(lambda: shop.rows("select 1 from entries where kind = 'start'"))
    (job,) = shop.rows("select j.name from entries e join jobs j on j.id = e.job where e.kind = 'start'")
    assert job["name"] == "Trial Row"
