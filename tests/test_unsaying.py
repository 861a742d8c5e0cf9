"""Corrections in free words: an undo that names its thing takes that or asks; nothing else is taken in its place."""

from __future__ import annotations

from typing import Any

import pytest
from conftest import Crew, reply

SURE = "Take back"


@pytest.fixture
def told(heron: Crew) -> Crew:
    """Ana told of rain, a batch, two starts and a mist, that last; Luis of a mist."""
    for text in ("its raining", "mixed 4 gal stripper", "started A", "started B", "misted B"):
        heron.says("Ana", text)
        heron.later(1)
    heron.says("Luis", "rocié la A")
    return heron


def last(crew: Crew, kind: str, who: str = "Ana") -> list[dict[str, Any]]:
    return [r for r in crew.standing() if r["kind"] == kind and r["who"] == who]


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("undo that last batch we only mixed one", "stripper 4 gal mixed"), ("deshaz lo de la lluvia", "weather told"),
        ("undo the rain", "weather told"), ("delete that batch", "stripper 4 gal mixed"), ("borra la mezcla", "4 gal mixed"),
        ("undo that bit about A", "A: stripper on"), ("sorry, undo the start on A", "A: stripper on"),
        ("borra lo de la A", "A: stripper on"), ("undo start B", "B: stripper on"),
        ("quita eso de la lluvia", "weather told"),
        ("scratch the stripper on A", "A: stripper on"), ("can you undo that batch", "4 gal mixed"),
        ("remove that bit about the rain", "weather told"), ("no era lluvia, eran los aspersores", "weather told"),
        ("no it wasn't rain it was the sprinklers", "weather told"),
    ],
)  # fmt: skip
def test_what_is_not_the_last_word_is_asked_about(told: Crew, text: str, asked: str) -> None:
    before = told.standing()
    said = reply(told.says("Ana", text))
    assert SURE in said["text"] and asked in said["text"] and said["buttons"] == ["Yes, take it back"]
    assert told.standing() == before
    told.says("Ana", "yes")
    assert len(told.standing()) == len(before) - 1 and last(told, "rewet")


@pytest.mark.parametrize(
    "text", ["undo that mist", "undo the mist on B", "borra lo de la B", "undo that bit about B", "undo B"]
)
def test_the_last_word_named_is_taken_back_at_once(told: Crew, text: str) -> None:
    told.says("Ana", text)
    assert not last(told, "rewet") and len(last(told, "start")) == 2 and last(told, "rewet", "Luis")


@pytest.mark.parametrize(
    "text", ["borra eso del aceite", "undo that bit about the stairs", "undo the ph", "deshaz lo del abrillantador",
             "undo that last reading", "undo the note", "borra lo de la escalera"],
)  # fmt: skip
def test_what_was_never_told_takes_nothing_else(told: Crew, text: str) -> None:
    before = told.standing()
    assert "nothing was taken back" in reply(told.says("Ana", text))["text"]
    assert told.standing() == before


@pytest.mark.parametrize(
    "text", ["quita el plastico de la B", "remove the tape from B", "delete the last photo", "cancel lunch",
             "scratch on the rail", "take the oil off the truck", "how do i undo that batch", "should i undo the rain",
             "did you undo the start on A?",
             "delete the stairs from the list", "cancel the pizza for B"],
)  # fmt: skip
def test_what_is_no_undo_of_an_entry(told: Crew, text: str) -> None:
    before = told.standing()
    assert SURE not in reply(told.says("Ana", text))["text"]
    assert told.standing() == before


def test_of_sections_named_the_others_stand(heron: Crew) -> None:
    heron.says("Ana", "A and stairs let go")
    heron.says("Ana", "undo that bit about the stairs they havent been touched")
    assert [r["sections"] for r in last(heron, "check")] == [["A"]]


@pytest.mark.parametrize("text", ["scratch that", "undo", "no wait scratch that", "borra eso", "deshazlo"])
def test_an_undo_of_what_was_only_asked_takes_nothing_back(told: Crew, text: str) -> None:
    assert "Which one" in reply(told.says("Ana", "took care of B"))["text"]
    before = told.standing()
    assert "misted" in reply(told.says("Ana", text))["text"]
    assert told.standing() == before


@pytest.mark.parametrize("text", ["sorry scratch that she put it on at 8:50", "scratch that, it was 8:50", "no, at 8:50"])
def test_a_time_behind_it_is_of_what_was_asked(heron: Crew, text: str) -> None:
    heron.says("Ana", "misted A")
    heron.says("Ana", "took care of B")
    assert "B: stripper on" in reply(heron.says("Ana", text))["buttons"]
    heron.says("Ana", "stripper on")
    start = last(heron, "start")[-1]
    assert start["local"][11:16] == "08:50" and last(heron, "rewet")


@pytest.mark.parametrize(
    "text", ["wait undo that i meant A", "scratch that i meant A", "undo that it was A", "borra eso, era la A",
             "no, undo that I meant A"],
)  # fmt: skip
def test_another_section_behind_an_undo_is_the_correction(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    heron.says("Ana", "started B")
    heron.says("Ana", "misted B")
    heron.says("Ana", text)
    assert [r["sections"] for r in last(heron, "rewet")] == [["A"]] and len(last(heron, "start")) == 2


@pytest.mark.parametrize(
    ("first", "text", "button"),
    [
        ("misted B", "no perdon la q rocie fue la A no la B", "A: misted"),
        ("B ph 6.5", "actually A was ph six and a half not B", "A: pH 6.5"),
        ("B is still stuck", "no no, la B no afloja, me equivoque, era la A", "A: still stuck"),
        ("mixed 3 gal brightener", "wait no i lied it was only 2.5 gal sorry", "brightener 2.5 gal mixed"),
        ("misted B", "the one i misted was A not B", "A: misted"),
    ],
)
def test_what_is_not_sure_is_offered_in_its_place(heron: Crew, first: str, text: str, button: str) -> None:
    for each in ("started A", "started B", first):
        heron.says("Ana", each)
    kind = heron.standing()[-1]["kind"]
    before = heron.standing()
    said = reply(heron.says("Ana", text))
    assert said["buttons"] == [button] and heron.standing() == before
    heron.says("Ana", "yes")
    assert len(last(heron, kind)) == 1 and len(heron.standing()) == len(before)


@pytest.mark.parametrize(
    "text", ["we used 2 gal stripper not 2.5", "stripper was 2 gal not two and a half", "it was 2 gal of stripper not 2.5",
             "fueron 2 galones de decapante no 2.5"],
)  # fmt: skip
def test_another_amount_of_a_batch_is_offered_wherever_it_stands(heron: Crew, text: str) -> None:
    heron.says("Ana", "mixed 2.5 gal stripper")
    heron.says("Ana", "misted A")
    assert reply(heron.says("Ana", text))["buttons"] == ["stripper 2 gal mixed"]
    heron.says("Ana", "yes")
    assert [r["data"]["volume"]["value"] for r in last(heron, "mixed")] == [2]


@pytest.mark.parametrize(
    "text", ["no those last three were bee", "C isnt started, it was the leftover bucket", "no me fui, sigo aqui",
             "no keep the rail one that was about the brightener", "no thats wrong stairs is 17 15 and C is 24",
             "hold on were not rinsing bee yet I was talking about the bushes", "no no eso no",
             "no enjuagamos la A todavia", "no rocie la A"],
)  # fmt: skip
def test_what_cannot_be_done_is_told_how(told: Crew, text: str) -> None:
    before = told.standing()
    said = reply(told.says("Ana", text))["text"]
    assert "undo | no, C | no, at 9:40" in said or "Which" in said or SURE in said
    assert told.standing() == before


def test_nobody_elses_word_is_taken_back(told: Crew) -> None:
    told.says("Luis", "borra lo de la A")
    assert not last(told, "rewet", "Luis") and len(last(told, "start")) == 2
    assert "nothing" not in reply(told.says("Luis", "deshaz lo de la lluvia"), "Luis")["text"]
    assert last(told, "conditions")


@pytest.mark.parametrize(
    ("first", "text", "button"),
    [("B lets go", "no, A still stuck", "A: still stuck"), ("B rinsed", "wait A is rinsed too", "A: rinsed"),
     ("B rinsed", "no I said A has brightener on", "A: brightener on")],
)  # fmt: skip
def test_a_fact_behind_a_no_is_asked_about_as_it_was_told(told: Crew, first: str, text: str, button: str) -> None:
    told.says("Ana", first)
    before = told.standing()
    assert button in reply(told.says("Ana", text))["buttons"] and told.standing() == before


OF_A_THING = [
    "undo the screws on A", "undo the bungee on A", "take off that part on A", "remove the stuff on A", "quita lo de la A",
    "strike a chalk line on A", "scratch A with a nail", "borra las rayas en la A", "deshaz el nudo de la A", "undo the hose",
    "undo the knot in the rope", "take off the start plate", "saca eso de la A", "scratch it off the deck", "undo A",
    "undo the latch", "quita lo de arriba de la A", "delete the pics of A", "scratch that itch", "quita eso de ahi",
]  # fmt: skip


@pytest.mark.parametrize("text", OF_A_THING)
def test_an_undo_of_a_thing_stops_no_clock(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    before = heron.standing()
    heron.says("Ana", text)
    assert heron.standing() == before


@pytest.mark.parametrize("text", ["undo the start on A", "undo start A", "undo that", "scratch that, wrong one", "undo",
                                  "borra lo que dije", "undo the last thing i said", "quita eso", "delete my last text"])
def test_an_undo_that_says_so_takes_a_start_back(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    heron.says("Ana", text)
    assert not last(heron, "start")


@pytest.mark.parametrize(
    ("first", "text", "stands"),
    [
        ("misted A", "undo the mist nozzle", True), ("misted A", "deshaz la manguera", True),
        ("misted A", "undo the mist", False), ("misted A", "cancel the mist on A", False),
        ("misted A", "scratch the mist idea", True),
        ("mixed 4 gal brightener", "saca la mezcla", True), ("mixed 4 gal brightener", "take out the batch", True),
        ("mixed 4 gal brightener", "undo the last batch", False), ("mixed 4 gal brightener", "borra la mezcla", False),
        ("A rinsed", "undo the rinse hose", True), ("A rinsed", "undo A rinse", False),
    ],
)  # fmt: skip
def test_the_words_behind_an_undo_are_of_the_record(heron: Crew, first: str, text: str, stands: bool) -> None:
    for each in ("started A", first):
        heron.says("Ana", each)
    before = heron.standing()
    heron.says("Ana", text)
    assert (heron.standing() == before) is stands and last(heron, "start")


CHAT = ["sorry im running late", "wait for me", "my bad im late", "wrong number", "no se", "espera", "im not thirsty",
        "not now", "no la veo", "no luis hasnt called", "actually its windy"]  # fmt: skip


@pytest.mark.parametrize("text", CHAT)
@pytest.mark.parametrize("answer", ["yes", "si", "back", "yes take it"])
def test_a_chat_word_opens_no_undo_for_a_yes(heron: Crew, text: str, answer: str) -> None:
    heron.says("Ana", "started A")
    before = heron.standing()
    heron.says("Ana", text)
    heron.says("Ana", answer)
    assert heron.standing() == before


@pytest.mark.parametrize(
    ("between", "answer", "stands"),
    [((), "yes", False), (("how long till rinse",), "yes", True), ((12,), "yes", True), ((), "back", True),
     ((), "take", True)],
)  # fmt: skip
def test_an_undo_asked_about_waits_for_the_next_word_alone(
    heron: Crew, between: tuple[str | int, ...], answer: str, stands: bool
) -> None:
    heron.says("Ana", "started A")
    assert SURE in reply(heron.says("Ana", "undo the screws on A"))["text"]
    for each in between:
        heron.says("Ana", each) if isinstance(each, str) else heron.later(each)
    heron.says("Ana", answer)
    assert bool(last(heron, "start")) is stands


@pytest.mark.parametrize(("text", "asked"), [("A isnt started", "A"), ("A was wrong", "A"), ("B isnt started", "B")])
def test_what_is_denied_is_of_the_section_named(heron: Crew, text: str, asked: str) -> None:
    for each in ("started A", "started B"):
        heron.says("Ana", each)
    assert f"{SURE}: {asked}: stripper on" in reply(heron.says("Ana", text))["text"]
    heron.says("Ana", "yes")
    assert [r["sections"] for r in last(heron, "start")] == [["B" if asked == "A" else "A"]]


@pytest.mark.parametrize("text", ["A not yet", "A rinse wasnt done", "la A no la veo"])
def test_a_denial_of_another_section_takes_nothing_back(heron: Crew, text: str) -> None:
    for each in ("started A", "started B", text, "yes"):
        heron.says("Ana", each)
    assert len(last(heron, "start")) == 2
