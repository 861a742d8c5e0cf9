"""Groups on the loopback server: opened by the owner alone, one job in each, silent on chatter, moved, left."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from tests.botapi.people import Person, group, member_change, migrate
from tests.botapi.running import until
from tests.botapi.server import BotApi
from tests.botapi.shop import Shop, ask, quiet

pytest_plugins = ["tests.botapi.fixtures"]
CHAT = -5


async def opened(shop: Shop, dana: Person, *crew: Person) -> int:
    """Heron Point with A and B, in a group that Dana opened."""
    await shop.admit(dana, *crew)
    for text in ("new job Heron Point", "section A floor 12x16 ft", "section B floor 10x12 ft"):
        await ask(dana, text)
    chat = group(shop.api, CHAT, "Heron Point", dana)
    await until(lambda: dana.heard(chat))
    return chat


def change(api: BotApi, chat: int, by: Person, old: str, new: str) -> None:
    """Something becomes of the bot in a group."""
    api.updates.add("my_chat_member", member_change(api, chat, by.user, old, new))


def labels(message: dict[str, Any]) -> list[str]:
    """The buttons under a message."""
    return [b["text"] for row in message.get("reply_markup", {}).get("inline_keyboard", []) for b in row]


async def test_privacy_mode_is_explained_at_once(shop: Shop, dana: Person, ana: Person) -> None:
    """As one of the members the bot is blind to plain words (privacy mode, on by default): it says what to do."""
    async with shop.running():
        chat = await opened(shop, dana, ana)
        assert "administrator" in dana.texts(chat)[0]
        change(shop.api, chat, dana, "member", "administrator")
        await until(lambda: len(dana.heard(chat)) == 2)
        assert "read" in dana.texts(chat)[-1]
        other = group(shop.api, -6, "As administrator", dana, status="administrator")
        await until(lambda: dana.heard(other))
        assert "administrator" not in dana.texts(other)[0]


async def test_it_rings_and_answers_there_and_nowhere_else(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        chat = await opened(shop, dana, ana)
        alone = len(ana.heard())
        await ask(ana, "started section B", chat=chat)
    shop.clock.skipped = timedelta(minutes=14)
    async with shop.running():
        await until(lambda: any("B" in t and "Mist" in t for t in dana.texts(chat)))
        await quiet(shop.api)
        assert len(ana.heard()) == alone, "the group heard it, and nobody twice"
        ana.presses("Misted", chat=chat)
        await until(lambda: shop.rows("select 1 from entries where kind = 'rewet'"))


async def test_the_groups_language(shop: Shop, dana: Person, ana: Person, luis: Person) -> None:
    """One language for all who read along, changed by a word said there; private answers stay each one's own."""
    async with shop.running():
        chat = await opened(shop, dana, ana, luis)
        assert "stripper on" in await ask(luis, "empecé la B", chat=chat)
        assert "Español" in await ask(luis, "en español", chat=chat)
        assert "cubierta" in (await ask(ana, "B covered", chat=chat)).lower() or "decapante" in dana.texts(chat)[-1]
        assert "Heron Point" in await ask(ana, "status") and "WET" in ana.texts()[-1]


async def test_chatter_is_not_answered(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        chat = await opened(shop, dana, ana)
        before = len(dana.heard(chat))
        for text in ("who brings lunch?", "lol", "that client again", "nice weather today"):
            ana.says(text, chat=chat)
        voice = shop.api.methods.new_message(
            chat, ana.user, voice={"file_id": "v", "file_unique_id": "v", "duration": 3}
        )
        shop.api.updates.add("message", dict(voice))
        await quiet(shop.api)
        assert len(dana.heard(chat)) == before


async def test_money_is_for_the_owner_alone(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        chat = await opened(shop, dana, ana)
        await ask(dana, "bought 5 lb oxalic for 30")
        before, alone = len(dana.heard(chat)), len(dana.heard())
        for text in ("what does the job cost", "stock"):
            dana.says(text, chat=chat)
        await until(lambda: len(dana.heard()) > alone)
        await quiet(shop.api)
        assert all("30" not in t and "$" not in t and "6" not in t for t in dana.texts(chat)[before:])
        for text in ("stock", "what does the job cost"):
            ana.says(text, chat=chat)
        await quiet(shop.api)
        assert all("$" not in t for t in dana.texts(chat)[before:])


async def test_somebody_elses_group_is_silent_until_the_owners_word(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        await shop.admit(dana, ana)
        await ask(dana, "new job Heron Point")
        before = len(dana.heard())
        chat = group(shop.api, CHAT, "Ana's", ana)
        await until(lambda: any("use this group" in t for t in dana.texts()[before:]))
        ana.says("status", chat=chat)
        ana.says("use this group", chat=chat)
        dana.says("status", chat=chat)
        await quiet(shop.api)
        assert not dana.heard(chat)
        dana.says("use this group", chat=chat)
        await until(lambda: dana.heard(chat))
        assert "Heron Point" in await ask(ana, "status", chat=chat)


async def test_two_open_jobs_and_a_group_is_asked_for_which(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        await shop.admit(dana, ana)
        for name in ("Heron Point", "Trial Row"):
            await ask(dana, f"new job {name}")
        await until(lambda: len(shop.rows("select 1 from jobs")) == 2)
        with shop.store.turn():
            shop.store.db.execute("update people set job = null")
        chat = group(shop.api, CHAT, "The deck", dana)
        await until(lambda: dana.heard(chat))
        assert set(labels(dana.heard(chat)[-1])) == {"Heron Point", "Trial Row"}
        dana.presses("Trial Row", chat=chat)
        await until(lambda: shop.rows("select 1 from chats where job = 2"))
        await ask(ana, "section A floor 12x16 ft", chat=chat)
    (told,) = shop.rows("select j.name from entries e join jobs j on j.id = e.job where e.kind = 'measure'")
    assert told["name"] == "Trial Row"


async def test_a_supergroup_keeps_job_buttons_and_rings(shop: Shop, dana: Person, ana: Person, api: BotApi) -> None:
    """Upgraded by somebody we do not know: the platform's word is enough."""
    stranger = Person(api, 77, "Stranger")
    async with shop.running():
        chat = await opened(shop, dana, ana)
        await ask(ana, "started section B", chat=chat)
        migrate(api, chat, -100500, stranger)
        await until(lambda: shop.rows("select 1 from chats where chat = '-100500' and state = 'open'"))
        assert await ask(ana, "B covered", chat=-100500)
    assert shop.rows("select chat from jobs") == [{"chat": "-100500"}]


async def test_put_out_of_the_group(shop: Shop, dana: Person, ana: Person, api: BotApi) -> None:
    """By anybody at all: everybody is told once, and rings go to each from then on."""
    stranger = Person(api, 77, "Stranger")
    async with shop.running():
        chat = await opened(shop, dana, ana)
        await ask(ana, "started section B", chat=chat)
        change(api, chat, stranger, "member", "kicked")
        await until(lambda: any("put out" in t for t in ana.texts()) and any("put out" in t for t in dana.texts()))
    assert shop.rows("select state from chats") == [{"state": "left"}]


async def test_a_crew_member_leaves_the_group(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        chat = await opened(shop, dana, ana)
        before, there = len(dana.heard()), len(dana.heard(chat))
        gone = shop.api.methods.new_message(chat, ana.user, left_chat_member=ana.user)
        shop.api.updates.add("message", dict(gone))
        await until(lambda: any("Ana has left" in t for t in dana.texts()[before:]))
        await quiet(shop.api)
        assert len(dana.heard(chat)) == there


@pytest.mark.parametrize("text", ["practice", "invite crew"])
async def test_what_is_said_in_private_only(shop: Shop, dana: Person, text: str) -> None:
    async with shop.running():
        chat = await opened(shop, dana)
        assert "private" in await ask(dana, text, chat=chat)
