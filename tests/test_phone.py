"""In the hand: buttons, replies, reactions, edits, albums, places, and no more than one sound a minute."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from typing import Any

import pytest

from bot.acts import Act
from bot.bundle import fewest, loudest
from bot.outcome import Button, line, say
from tests.botapi.people import Person
from tests.botapi.running import until
from tests.botapi.shop import Shop, ask, quiet
from tests.conftest import Crew, reply

pytest_plugins = ["tests.botapi.fixtures"]
JPEG = b"\xff\xd8\xff\xe0" + b"0" * 500


def keys(message: dict[str, Any]) -> list[list[str]]:
    """The rows of buttons under a message."""
    return [[b["text"] for b in row] for row in message.get("reply_markup", {}).get("inline_keyboard", [])]


async def a_job(owner: Person) -> None:
    """A job with two sections."""
    for text in ("new job Heron Point", "section A floor 12x16 ft", "section B floor 10x12 ft"):
        await ask(owner, text)


# ---- buttons


async def test_two_rows_at_most_and_undo_last(shop: Shop, dana: Person, ana: Person) -> None:
    said = ("mix 4 gal brightener", "mix 4 gal brightener strong", "mix stripper", "started A", "A covered",
            "misted A", "A coming off", "start", "rinsing A", "A rinsed", "status", "help", "plan")  # fmt: skip
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        for text in said:
            await ask(ana, text)
        await quiet(shop.api)
    for message in [*ana.heard(), *dana.heard()]:
        rows = keys(message)
        flat = [label for row in rows for label in row]
        assert len(rows) <= 2 and len(flat) <= 4, message["text"]
        assert all(len(label) <= 24 for label in flat), flat
        assert "Undo" not in flat or flat[-1] == "Undo"


def test_undo_is_never_the_one_left_out() -> None:
    made = [Button(f"b{i}", Act("note", {"text": str(i)})) for i in range(6)]
    kept = fewest((*made, Button("undo", Act("undo"))))
    assert [b.key for b in kept] == ["b0", "b1", "b2", "undo"]


async def test_a_press_shows_who_pressed_and_outlives_a_restart(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        await ask(ana, "started section A")
    wet = ana.heard()[-1]
    async with shop.running():
        ana.presses("Covered")
        await until(lambda: "> Covered: Ana" in wet["text"])
        await quiet(shop.api)
    assert all("Covered" not in row for row in keys(wet))


# ---- what a message refers to


async def test_a_reply_speaks_of_that_section(shop: Shop, dana: Person, ana: Person) -> None:
    """A and B are both wet: the bare word under A's message is of A, whatever was last talked of."""
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        await ask(ana, "started section A")
        of_a = ana.heard()[-1]
        await ask(ana, "started section B")
        ana.says("misted", reply_to=of_a)
        await until(lambda: shop.rows("select 1 from entries where kind = 'rewet'"))
    assert [r["sections"] for r in shop.rows("select sections from entries where kind = 'rewet'")] == ['["A"]']


async def test_a_reply_speaks_of_that_job(shop: Shop, dana: Person, ana: Person) -> None:
    """Two jobs: the answer under a message of the first goes there, though the second was talked of last."""
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        await ask(dana, "A moisture 22")
        of_first = dana.heard()[-1]
        await ask(dana, "new job Trial Row")
        dana.says("note: loose board", reply_to=of_first)
        await until(lambda: shop.rows("select 1 from entries where kind = 'note'"))
    (told,) = shop.rows("select j.name from entries e join jobs j on j.id = e.job where e.kind = 'note'")
    assert told["name"] == "Heron Point"


async def test_a_reaction_is_enough(shop: Shop, dana: Person, ana: Person) -> None:
    """It answers the reminder that it stands on: no owner is called; taking it off again changes nothing."""
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        await ask(ana, "started section A")
        await ask(dana, "new job Trial Row")
        ana.reacts(ana.heard()[-1], "👍")
        await until(lambda: shop.rows("select 1 from entries where kind = 'answered'"))
    (told,) = shop.rows("select e.sections, j.name from entries e join jobs j on j.id = e.job where e.kind = 'answered'")
    assert told == {"sections": '["A"]', "name": "Heron Point"}


def test_deleted_words_are_no_silent_change(heron: Crew) -> None:
    heron.says("Ana", "started A, started B")
    told = "\n".join(x["text"] for x in heron.edits("Ana", "started A"))
    assert "Taken back" in told and "B: stripper on" in told.split("\n")[0]
    assert [r["sections"] for r in heron.standing() if r["kind"] == "start"] == [["A"]]


def test_an_edit_to_chatter_takes_back_aloud(heron: Crew) -> None:
    heron.says("Luis", "empecé la A")
    told = "\n".join(x["text"] for x in heron.edits("Luis", "buenos días"))
    assert "Retirado" in told and not [r for r in heron.standing() if r["kind"] == "start"]


# ---- pictures, places and the rest


async def test_an_album_is_answered_once(shop: Shop, dana: Person, ana: Person) -> None:
    """Its caption stands on the first picture alone and counts for all of them."""
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        before = len(ana.heard())
        ana.photo(JPEG, caption="A before", album="7")
        for n in range(3):
            ana.photo(JPEG + bytes([n]), album="7")
        ana.photo(JPEG + b"x", album="8")
        await until(lambda: len(shop.rows("select 1 from entries where kind = 'photo'")) == 5)
        await until(lambda: len(ana.heard()) >= before + 2)
        await quiet(shop.api)
        assert len(ana.heard()) == before + 2
    told = shop.rows("select sections from entries where kind = 'photo' order by id")
    assert [r["sections"] for r in told] == ['["A"]'] * 4 + ["[]"]


async def test_an_edited_caption_keeps_the_picture(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        sent = ana.photo(JPEG, caption="A before")
        await until(lambda: shop.rows("select 1 from entries where kind = 'photo'"))
        sent.update(caption="B before", edit_date=shop.api.date())
        shop.api.updates.add("edited_message", dict(sent))
        await until(lambda: len(shop.rows("select 1 from entries where kind = 'photo'")) == 2)
        await quiet(shop.api)
    (stands,) = shop.rows("select sections, data from entries where kind = 'photo' and undone is null")
    assert stands["sections"] == '["B"]' and "file" in stands["data"]


async def test_a_place_sets_the_site(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        before = len(ana.heard())
        ana.location(40.72, -73.99)
        await until(lambda: len(ana.heard()) > before)
    (told,) = shop.rows("select data from entries where kind = 'survey'")
    assert "40.72" in told["data"] and "-73.99" in told["data"]


async def test_voice_gets_one_kind_line_and_the_rest_none(shop: Shop, dana: Person, ana: Person) -> None:
    async with shop.running():
        await shop.admit(dana, ana)
        await a_job(dana)
        before = len(ana.heard())
        ana.sends(sticker={"file_id": "s", "file_unique_id": "s", "type": "regular", "width": 9, "height": 9})
        ana.sends(contact={"phone_number": "555-0100", "first_name": "Somebody"})
        ana.sends(poll={"id": "1", "question": "Lunch?", "options": [], "total_voter_count": 0})
        ana.sends(voice={"file_id": "v", "file_unique_id": "v", "duration": 3})
        await until(lambda: len(ana.heard()) > before)
        await quiet(shop.api)
        assert len(ana.heard()) == before + 1 and "type" in ana.texts()[-1].lower()


# ---- sounds


def sounds(out: list[dict[str, Any]], who: str) -> list[dict[str, Any]]:
    """What made a phone sound, answers aside."""
    return [x for x in out if x["to"] == who and x["loud"] and x["kind"] != "reply"]


def test_no_more_than_one_sound_a_minute(heron: Crew) -> None:
    """A whole wet afternoon of three sections; what is being overdone may always sound."""
    for text in ("started A", "started B", "started stairs"):
        heron.says("Ana", text)
        heron.later(0.4)
    rang = sounds(heron.later(40), "Ana")
    calm = [x for x in rang if x["about"].get("reminder") != "rinse late"]
    moments = [timedelta(minutes=int(x["at"][14:16]), seconds=int(x["at"][17:19]), hours=int(x["at"][11:13])) for x in calm]
    assert len(moments) > 3
    assert all(b - a >= timedelta(minutes=1) for a, b in pairwise(moments))


def test_what_rings_together_sounds_once_for_the_most_urgent() -> None:
    kinds = ("mist", "rinse", "rinse open")
    told = [say(line("x"), to=(1,), kind="reminder", loud=True, about={"reminder": k}) for k in kinds]
    other = say(line("x"), to=(2,), kind="reminder", loud=True, about={"reminder": "mist"})
    assert [s.loud for s in loudest([*told, other])] == [False, True, False, True]


def test_an_overdone_section_and_an_injury_always_sound(heron: Crew) -> None:
    heron.says("Ana", "started B")
    late = [x for x in heron.later(60) if x["about"].get("reminder") == "rinse late"]
    assert late and all(x["loud"] for x in late)
    for text in ("stripper in my eye", "Luis fell off the stairs"):
        assert sounds(heron.says("Ana", text), "Dana"), "twice in one minute, and both are heard"


@pytest.mark.parametrize("text", ["status", "help", "A moisture 16", "note: loose board", "mix 4 gal brightener"])
def test_an_answer_is_silent(heron: Crew, text: str) -> None:
    assert not reply(heron.says("Ana", text))["loud"], "who asked is looking"


# ---- which job


def test_a_section_of_another_job_is_asked_about(heron: Crew) -> None:
    """She talked of Trial Row last, which has no B; Heron Point has one: a short question, and a button acts at once."""
    heron.says("Dana", "new job Trial Row")
    heron.says("Dana", "C 10x10 ft")
    heron.says("Ana", "switch to Trial Row")
    asked = reply(heron.says("Ana", "started B"))
    assert set(asked["buttons"]) == {"Heron Point", "Trial Row"}
    heron.presses("Ana", "Heron Point")
    (told,) = heron.store.rows("select job from entries where kind = 'start'")
    assert told["job"] == 1
    heron.says("Ana", "B covered")
    assert heron.store.rows("select distinct job from entries where kind in ('start', 'finish')") == [{"job": 1}]


def test_a_question_with_two_jobs_open_is_asked_back(heron: Crew) -> None:
    heron.says("Dana", "new job Trial Row")
    assert set(reply(heron.says("Ana", "status"))["buttons"]) == {"Heron Point", "Trial Row"}
    assert reply(heron.presses("Ana", "Heron Point"))["text"].startswith("Heron Point")


def test_a_bare_answer_goes_to_the_job_that_rang(heron: Crew) -> None:
    """Two jobs; Dana, who switched on, starts for Ana by name of none: only what rang for her tells which."""
    heron.says("Ana", "started B")
    heron.says("Dana", "new job Trial Row")
    heron.at("09:12")
    heron.says("Ana", "misted")
    (told,) = heron.store.rows("select job, sections from entries where kind = 'rewet'")
    assert told == {"job": 1, "sections": '["B"]'}
