"""Who did it: what is told of another is put down to the one who is named, and never to who tells it."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bot.understand import lexicon
from bot.understand.reading import Reading, understand
from tests.conftest import Crew, reply

NOW = datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York"))
WORDS = lexicon.load(Path(__file__).parents[1] / "handlers")
PEOPLE = ("Dana", "Ana", "Luis", "Chuy", "Ray")


def read(text: str, people: tuple[str, ...] = PEOPLE) -> Reading:
    return understand(text, WORDS, NOW, people=people)


VISITS = [
    ("Ana got here at six thirty", "arrive", ["Ana"]), ("Luis went home at nine", "leave", ["Luis"]),
    ("llego el Chuy a las 8", "arrive", ["Chuy"]), ("Ana showed up too at half past eight", "arrive", ["Ana"]),
    ("Rays here", "arrive", ["Ray"]), ("morning Rays here", "arrive", ["Ray"]), ("Luis is here", "arrive", ["Luis"]),
    ("me and Luis just pulled up", "arrive", ["me", "Luis"]), ("ya llegaron Luis y Ana", "arrive", ["Luis", "Ana"]),
    ("morning its Ray me and Luis just pulled up", "arrive", ["Ray", "Luis"]), ("llegue con Luis", "arrive", ["me", "Luis"]),
    ("packing up me and Ana are heading out", "leave", ["me", "Ana"]), ("ya nos vamos todos", "leave", ["me", "*"]),
    ("Ana and Luis left at 9:35", "leave", ["Ana", "Luis"]), ("ya se fue Luis", "leave", ["Luis"]),
    ("Luis se fue a las 9", "leave", ["Luis"]), ("Luis left", "leave", ["Luis"]), ("Luis is gone", "leave", ["Luis"]),
    ("ya andamos aca yo y el luis", "arrive", ["me", "Luis"]), ("everyone went home", "leave", ["*"]),
    ("no Luis left at nine", "leave", ["Luis"]), ("Gus got here at 7", "arrive", ["Gus"]),
    ("Pedro got here at 7", "arrive", ["Pedro"]), ("Luis and Gus got here at 7", "arrive", ["Luis", "Gus"]),
    ("se fue el Beto a las 9", "leave", ["Beto"]), ("the new guy went home", "leave", ["?"]),
    ("el ayudante llego a las 8", "arrive", ["?"]), ("we are all heading out", "leave", ["me", "*"]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "act", "names"), VISITS)
def test_who_came_or_went_is_heard_by_name(text: str, act: str, names: list[str]) -> None:
    found = read(text)
    assert [(a.name, a.get("by")) for a in found.acts] == [(act, names)] and not found.ask


OWN = [
    "on site", "ya llegue Luis", "im here Ana", "we are here Luis", "Luis, im heading out", "night everybody, heading out",
    "ok guys im heading out", "bye everyone heading out", "ya me voy", "B rinsed, Luis", "ok Luis B rinsed",
    "Luis B is rinsed",
    "Luis ya enjuague la B", "hey Luis I rinsed B", "Luis we rinsed B", "gave Luis the hose, rinsed B",
    "Luis mix 4 gal brightener",
]  # fmt: skip


@pytest.mark.parametrize("text", OWN)
def test_who_is_only_called_did_nothing(text: str) -> None:
    found = read(text)
    assert found.acts and all(a.get("by") is None for a in found.acts), found


NOBODY = [
    "come here Luis", "Luis come here", "Luis left his gloves here", "Luis left the hose running", "Luis left for lunch",
    "Luis is not here yet", "Luis will be here at 11", "no Luis is not here", "Luis no llego", "Luis has not left",
    "is Luis here", "quien llego a las 8", "Luis went to get water", "that was Luis on the phone", "that was Ana's truck",
]  # fmt: skip


@pytest.mark.parametrize("text", NOBODY)
def test_nobody_came_or_went(text: str) -> None:
    found = read(text)
    assert all(a.name not in ("arrive", "leave", "amend") for a in (*found.acts, *found.ask)), found


STEPS = [
    ("luis ya enjuago la B", ["Luis"]), ("luis enjuago la B", ["Luis"]), ("B rinsed by Luis", ["Luis"]),
    ("Luis and I rinsed B", ["Luis", "me"]), ("luis rocio la A", ["Luis"]), ("Ana mixed four gallons of stripper", ["Ana"]),
    ("chuy empezo las escaleras hace 3 min", ["Chuy"]), ("chuy started the stairs", ["Chuy"]),
    ("Luis is rinsing B", ["Luis"]),
    ("Luis acaba de enjuagar la B", ["Luis"]), ("Ana covered B at 9:40", ["Ana"]), ("Ana read 14 15 16 on B", ["Ana"]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "names"), STEPS)
def test_who_did_a_step_is_heard_by_name(text: str, names: list[str]) -> None:
    assert [a.get("by") for a in read(text).acts] == [names]


def test_a_bare_verb_goes_on_about_who_did_what_came_before() -> None:
    assert [a.get("by") for a in read("Luis rinsed B and started C").acts] == [["Luis"], ["Luis"]]
    assert [a.get("by") for a in read("Luis rinsed B and I started C").acts] == [["Luis"], None]


def test_who_speaks_says_so() -> None:
    assert [a.get("by") for a in read("hey its Luis, I rinsed B").acts] == [["Luis"]]
    assert [a.get("by") for a in read("soy Luis, ya enjuague la B").acts] == [["Luis"]]


ASKED = ["llego Luis?", "ya se fue Ana?", "was Luis here today", "who was here today", "when is Luis getting here"]


@pytest.mark.parametrize("text", ASKED)
def test_who_came_is_asked(text: str) -> None:
    assert [(a.name, a.get("kind")) for a in read(text).acts] == [("ask", "visit")]


UNDONE = [
    "Luis rinse B", "Luis enjuaga la B", "que Luis enjuague la B", "Luis casi enjuago la B", "Luis no enjuago la B",
    "no Luis enjuago la B", "creo que Luis enjuago la B", "si Luis enjuago la B avisame", "Luis quiere enjuagar la B",
    "Luis says he will rinse B", "Luis va a enjuagar la B", "Luis almost rinsed B", "Luis should have rinsed B",
    "I think Luis rinsed B", "Luis rinsed his truck", "Luis and the neighbor rinsed his deck", "Luis fue a enjuagar la B",
    "make sure Luis rinsed B", "when Luis rinsed B it was still hot", "did Luis rinse B", "Luis rinsed B?",
    "Luis rinsed B yet",
    "enjuago la B, Luis", "Luis hasnt rinsed B", "en cuanto Luis enjuago la B", "Luis thinks he rinsed B",
]  # fmt: skip


@pytest.mark.parametrize("text", UNDONE)
def test_a_name_makes_no_rinse_of_what_is_none(text: str) -> None:
    found = read(text)
    assert all(a.name not in ("finish", "start") for a in found.acts), found


PUT_RIGHT = [
    "no that was Ana not me", "no that was Ana", "no fue Ana", "no fui yo fue Ana", "fue Ana, no yo", "not me, Ana",
    "Ana did it not me", "lo hizo Ana", "no it was Ana who rinsed it", "wait that was Ana", "sorry it was Ana who started A",
    "no, fue Ana quien la empezo", "no fui yo, fue Ana la que la enjuago",
]  # fmt: skip


@pytest.mark.parametrize("text", PUT_RIGHT)
def test_who_it_was_is_put_right(text: str) -> None:
    assert [(a.name, a.get("by")) for a in read(text).acts] == [("amend", ["Ana"])]


@pytest.mark.parametrize(
    "text", ["sorry it was Ana calling", "no it was Ana on the phone", "no, that was Ana driving by", "no thats Ana",
             "perdon, fue Ana la que llamo", "espera, fue Ana al bano", "wait, it was Ana who lost the key",
             "not me, Ana left the gate open", "no fui yo, fue Ana la que dejo la puerta abierta"],
)  # fmt: skip
def test_chatter_with_a_name_puts_nothing_down_to_them(text: str) -> None:
    assert all(a.name != "amend" for a in read(text).acts)


@pytest.mark.parametrize("text", [t for t, *_ in VISITS + STEPS])
def test_the_contract_knows_no_doer(text: str) -> None:
    assert all("by" not in a for a in read(text, ()).to_json(text)["acts"])


def hours(crew: Crew) -> str:
    return str(reply(crew.says("Dana", "hours"), "Dana")["text"])


def test_hours_are_of_the_named(heron: Crew) -> None:
    heron.says("Ana", "Luis got here at 8:30")
    heron.says("Ana", "on site")
    heron.later(60)
    told = heron.says("Ana", "Luis went home at 9:30")
    assert "Luis gone, 9:30" in reply(told)["text"]
    assert "Luis: 1 h on site" in hours(heron) and "Ana: 1 h on site, still there" in hours(heron)
    rows = list(heron.store.db.query("select who, came, went, hours from hours"))
    assert {"who": "Luis", "came": "08:30", "went": "09:30", "hours": 1.0} in rows


def test_several_come_and_all_go(heron: Crew) -> None:
    assert "Ana and Luis on site, 9:00" in reply(heron.says("Ana", "me and Luis just pulled up"))["text"]
    heron.later(120)
    assert "Luis y Ana se fueron" in reply(heron.says("Luis", "ya nos vamos todos"), "Luis")["text"]
    assert "Ana: 2 h on site" in hours(heron) and "Luis: 2 h on site" in hours(heron)
    heron.says("Luis", "deshacer")
    assert hours(heron).count("still there") == 2


@pytest.mark.parametrize("text", ["Gus got here at 8", "the new guy got here at 8", "llego el Beto a las 8"])
def test_who_is_unknown_is_asked_for(heron: Crew, text: str) -> None:
    asked = reply(heron.says("Ana", text))
    assert "Who was it?" in asked["text"] and "Luis" in str(asked["buttons"])
    assert "Ana:" not in hours(heron)
    heron.presses("Ana", "Luis")
    assert "Luis: 1 h on site" in hours(heron) and "Ana:" not in hours(heron)


def test_the_crew_is_not_put_down_by_the_heap(heron: Crew) -> None:
    assert "Only by name" in reply(heron.says("Ana", "the boys are here"))["text"]
    assert "Ana:" in hours(heron) and "Luis:" not in hours(heron)


def test_a_step_is_of_who_did_it(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.later(20)
    out = heron.says("Ana", "luis ya enjuago la B")
    assert "Put down to Luis." in reply(out)["text"]
    assert "by Luis (told by Ana)" in "\n".join(x["text"] for x in out if x["to"] == "Dana")
    assert "Luis: B: rinsed" in reply(heron.says("Ana", "who rinsed B"))["text"]
    assert "Luis: B: rinsed" in reply(heron.says("Ana", "what did Luis do today"))["text"]
    assert "B: rinsed" not in reply(heron.says("Ana", "what did Ana do today"))["text"]
    said = [r["said"] for r in heron.store.db.query("select said from timeline where kind = 'finish'")]
    assert said and "Luis: " in said[0]


def test_a_batch_is_of_who_mixed_it(heron: Crew) -> None:
    heron.says("Ana", "Luis mixed 4 gal of brightener")
    assert "Luis" in reply(heron.says("Dana", "which batches did we mix"), "Dana")["text"]
    assert [r["who"] for r in heron.store.db.query("select who from batches")] == ["Luis"]


def test_the_bells_of_wet_wood_go_to_who_told(heron: Crew) -> None:
    heron.says("Ana", "Luis started B")
    assert any(x["to"] == "Ana" for x in heron.later(15))


def test_put_right_at_once_and_by_name(heron: Crew) -> None:
    heron.says("Ana", "on site")
    told = reply(heron.says("Ana", "no that was Luis not me I got here at eight"))["text"]
    assert "Luis on site, 9:00" in told and "Ana on site, 8:00" in told
    heron.later(60)
    assert "Luis: 1 h on site" in hours(heron) and "Ana: 2 h on site" in hours(heron)


def test_of_a_while_ago_nothing_is_changed(heron: Crew) -> None:
    heron.says("Ana", "on site")
    heron.later(120)
    heron.says("Ana", "that was Luis")
    assert "Luis" not in hours(heron)
    assert "Pedro" in reply(heron.says("Ana", "no that was Pedro"))["text"] and "Luis" not in hours(heron)


def test_undone_is_said_with_its_name(heron: Crew) -> None:
    heron.says("Ana", "Luis got here at 8:30")
    assert "(Luis)" in reply(heron.says("Ana", "undo"))["text"]


def test_who_was_here_is_answered(heron: Crew) -> None:
    heron.says("Ana", "Luis got here at 8:30")
    assert "Luis" in reply(heron.says("Dana", "who was here today"), "Dana")["text"]
