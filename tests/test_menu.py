"""The commands menu by role and language, and help: every word that they show is a word that is heard."""

from __future__ import annotations

import asyncio
import re
from datetime import datetime
from pathlib import Path
from types import SimpleNamespace

import pytest

from bot import app, menu
from bot.outcome import CREW, OWNER
from bot.speech import Phrases
from bot.understand import lexicon
from bot.understand.reading import understand
from tests.botapi.people import Person, group
from tests.botapi.running import until
from tests.botapi.shop import Shop, ask
from tests.conftest import ZONE, Crew, reply
from tests.test_faults import locked

pytest_plugins = ["tests.botapi.fixtures"]

NOW = datetime(2026, 6, 10, 9, 0, tzinfo=ZONE)
PHRASES, WORDS = Phrases(app.FOLDER), lexicon.load(app.FOLDER)
ROLES = [(role, language) for role in (CREW, OWNER, menu.GROUP) for language in ("en", "es")]
WIDE, SCREEN = (
    76,
    {"now": 5, "family": 6, "all": 10},
)  # two phone lines; a screen with its keyboard open: from memory


def heard(text: str) -> bool:
    """Whether it is understood as something."""
    return bool(understand(text, WORDS, NOW, known_sections=("A", "B", "stairs")).acts)


def examples(told: str) -> list[str]:
    """What a help text says to type: behind a colon, up to a bar or the end of the line."""
    found = []
    for row in told.splitlines():
        _, mark, rest = row.partition(": ")
        if mark and not row.endswith("."):
            found += [x.strip() for x in rest.split(" | ")]
    return found


@pytest.mark.parametrize(("role", "language"), ROLES)
def test_each_command_is_allowed_and_heard(role: str, language: str) -> None:
    """Bot API, BotCommand: 1 to 32 of a-z 0-9 _, a description of 1 to 256; at most 100 of them."""
    shown = menu.commands(PHRASES, role, language)
    assert 5 < len(shown) <= 100 and len({word for word, _ in shown}) == len(shown)
    for word, does in shown:
        assert re.fullmatch(r"[a-z0-9_]{1,32}", word) and 0 < len(does) < 40, word
        assert heard(word) and heard(f"/{word}"), word


@pytest.mark.parametrize("word", [w for w, _ in menu.commands(PHRASES, OWNER, "en")])
def test_each_command_is_answered(crew: Crew, word: str) -> None:
    assert crew.says("Dana", f"/{word}"), word


def test_only_the_owner_sees_the_owners_commands() -> None:
    crew, owner = (dict(menu.commands(PHRASES, role, "en")) for role in (CREW, OWNER))
    assert {"invite", "record", "pings"} <= owner.keys() and not {"invite", "record", "pings"} & crew.keys()
    assert menu.commands(PHRASES, "", "en") == []


HELP = sorted(k for k in PHRASES.said if k.startswith("help_"))


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("key", HELP)
def test_what_help_shows_is_heard_and_short(key: str, language: str) -> None:
    told = PHRASES.words(key, language).replace("{section:section}", "B")
    deaf = [x for x in examples(told) if not heard(x)]
    assert not deaf
    most = SCREEN["now" if key.startswith("help_now") else "family"]
    assert len(told.splitlines()) <= most and all(len(row) <= WIDE for row in told.splitlines()), told


@pytest.mark.parametrize(("who", "word"), [("Ana", "help all"), ("Luis", "ayuda todo")])
def test_everything_fits_on_a_screen(crew: Crew, who: str, word: str) -> None:
    told = reply(crew.says(who, word), who)["text"]
    assert 6 < len(told.splitlines()) <= SCREEN["all"]


def test_help_says_what_to_type_now(heron: Crew) -> None:
    """By the state of the job, with its own sections: wet wood first."""
    assert "started A" in reply(heron.says("Ana", "help"))["text"]
    heron.says("Ana", "started B")
    assert "B covered" in reply(heron.says("Ana", "help"))["text"]
    assert "B cubierta" in reply(heron.says("Luis", "ayuda"), "Luis")["text"]
    heron.says("Ana", "rinsing B")
    assert reply(heron.says("Ana", "help"))["text"].startswith("Type: B rinsed")
    heron.says("Ana", "B rinsed")
    assert "started A" in reply(heron.says("Ana", "help"))["text"]


def test_help_before_any_job(crew: Crew) -> None:
    assert "new job" in reply(crew.says("Ana", "help"))["text"]


@pytest.mark.parametrize(
    ("text", "part"),
    [("help mix", "Water first"), ("help clocks", "B covered"), ("help rinse", "Foam"), ("help dry", "moisture"),
     ("help safety", "15 minutes")],
)  # fmt: skip
def test_one_family(crew: Crew, text: str, part: str) -> None:
    assert part in reply(crew.says("Ana", text))["text"]


@pytest.mark.parametrize(
    "topic",
    ["mezcla", "relojes", "enjuague", "secciones", "secado", "trabajos", "gente", "seguridad", "todo"],
)
def test_a_word_for_help_is_no_word_for_work(heron: Crew, topic: str) -> None:
    """ "ayuda enjuague" has a verb in it that also begins a rinse: it must not."""
    before = heron.timeline()
    assert not reply(heron.says("Luis", f"ayuda {topic}"), "Luis")["buttons"]
    assert heron.timeline() == before


def test_jobs_are_listed_and_one_tap_away(heron: Crew) -> None:
    heron.says("Dana", "new job Trial Row")
    told = reply(heron.says("Dana", "jobs"), "Dana")
    assert "Trial Row (this one)" in told["text"] and told["buttons"] == ["Heron Point"]
    heron.presses("Dana", "Heron Point")
    assert "Heron Point (this one)" in reply(heron.says("Dana", "jobs"), "Dana")["text"]


async def test_menus_follow_role_language_and_group(
    shop: Shop, dana: Person, ana: Person, luis: Person
) -> None:
    async with shop.running() as bot:
        await shop.admit(dana, ana, luis)
        keeping = asyncio.create_task(menu.Menus(shop.store, PHRASES, bot.menu).run(0.01))
        menus = shop.api.methods.menus

        def first(person: int) -> str:
            return next(
                (m[0]["command"] for (scope, _), m in menus.items() if str(person) in scope and m), ""
            )

        await until(lambda: first(dana.id) and first(luis.id))
        assert first(ana.id) == "status" and first(luis.id) == "estado"
        await ask(ana, "/language es")
        await until(lambda: first(ana.id) == "estado")
        chat = group(shop.api, -5, "Heron Point", dana)
        await until(lambda: first(chat) == "status")
        calls = len(shop.api.called("setMyCommands"))
        await asyncio.sleep(0.1)
        assert len(shop.api.called("setMyCommands")) == calls, "only what changed is sent"
        await ask(dana, "remove Ana")
        await until(lambda: shop.api.called("setMyCommands")[-1].get("commands") in ([], "[]"))
        keeping.cancel()


async def test_a_menu_that_cannot_be_set_is_tried_again(tmp_path: Path) -> None:
    crew = Crew(tmp_path)
    tries: list[str] = []

    async def refuse(shown: menu.Menu, language: str, chat: str) -> bool:
        tries.append(chat)
        return len(tries) > 4

    menus = menu.Menus(crew.store, PHRASES, refuse, "rehearsal")
    for _ in range(3):
        await menus.look()
    assert len(tries) < 9, "not at every look"
    for _ in range(10):
        await menus.look()
    assert set(tries[-3:]) == {"chat:Dana", "chat:Ana", "chat:Luis"}
    crew.store.close()


async def test_the_bots_name_is_kept_once_the_file_can_be_written(heron: Crew, monkeypatch: pytest.MonkeyPatch) -> None:
    """The task died unseen on a locked file: no menus, and invitations without a link."""
    monkeypatch.setattr(app, "NAME_AGAIN", 0.01)
    transport = SimpleNamespace(me=SimpleNamespace(username="RinsebellTestBot"), menu=None)
    with locked(heron):
        task = asyncio.create_task(app._named(transport, heron.store))
        await asyncio.sleep(0.05)
        assert not task.done()
    await until(lambda: heron.store.kept("username") == "RinsebellTestBot")
    task.cancel()
