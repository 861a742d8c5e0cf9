"""Answers that name no section: read of the wood that is wet, taken or asked about, and never heard in mere talk."""

from __future__ import annotations

import pytest
from conftest import Crew, reply


@pytest.fixture
def wet(heron: Crew) -> Crew:
    """Stripper on B alone, eleven minutes ago: the check has just rung."""
    heron.says("Ana", "started stripper on B")
    heron.says("Ana", "B covered")
    heron.later(11)
    return heron


@pytest.mark.parametrize(
    ("text", "kind", "data"),
    [
        ("va soltando bien chido", "check", {"result": "loose"}),
        ("coming off good", "check", {"result": "loose"}),
        ("only about half came off", "check", {"result": "partly"}),
    ],
)
def test_a_short_answer_is_of_the_wood_that_has_rung(wet: Crew, text: str, kind: str, data: dict[str, object]) -> None:
    wet.says("Ana", text)
    last = wet.standing()[-1]
    assert (last["kind"], last["sections"]) == (kind, ["B"])
    assert data.items() <= last["data"].items()


@pytest.mark.parametrize(
    ("text", "label"),
    [("simon ya la moje", "B: misted"), ("ya la lave", "B: rinsed"), ("ya casi suelta", "B: lets go"),
        ("le damos 5 mas nomas", "B: 5 min more")],
)
def test_what_is_less_sure_gets_a_button(wet: Crew, text: str, label: str) -> None:
    before = len(wet.standing())
    asked = reply(wet.says("Ana", text))
    assert asked["buttons"] == [label] and len(wet.standing()) == before
    wet.presses("Ana", label)
    assert len(wet.standing()) > before


@pytest.mark.parametrize(
    "text",
    [
        "morning everyone", "rinsed out my thermos", "stuck in traffic", "who took my gloves", "lunch was good",
        "jajaja que calor", "we covered 300 miles on that trip", "la sandia salio buenisima",
    ],
)
def test_talk_beside_wet_wood_is_written_nowhere(wet: Crew, text: str) -> None:
    before = len(wet.standing())
    wet.says("Luis", text)
    assert len(wet.standing()) == before


def test_of_two_wet_sections_each_gets_its_button(wet: Crew) -> None:
    wet.says("Ana", "started stripper on A")
    wet.later(45)  # nothing has rung for half an hour where Luis reads
    assert reply(wet.says("Luis", "ya la moje"), "Luis")["buttons"] == ["A: rociada", "B: rociada"]


def test_both_is_never_the_only_one_that_is_wet(wet: Crew) -> None:
    before = len(wet.standing())
    asked = reply(wet.says("Ana", "started the rinse on both"))
    assert "Which section" in asked["text"] and len(wet.standing()) == before


def test_a_button_of_no_section_names_none(heron: Crew) -> None:
    asked = reply(heron.says("Ana", "coming off good"))
    assert all(not b.startswith((":", "*")) for b in asked["buttons"])


def test_it_is_the_batch_that_was_made_last(heron: Crew) -> None:
    heron.says("Ana", "mixed 3 gal brightener")
    heron.says("Ana", "ok im putting it on A now")
    last = heron.standing()[-1]
    assert (last["kind"], last["sections"], last["data"]["step"]) == ("start", ["A"], "brighten")


def test_a_named_part_is_of_the_wood_after_an_injury_too(heron: Crew) -> None:
    heron.says("Ana", "started stripper on the stairs")
    heron.says("Ana", "got stripper on my arm")
    heron.says("Ana", "rinsing the stairs now")
    assert heron.standing()[-1]["kind"] == "start"
    heron.says("Ana", "arm is good, im off home")
    assert [r["kind"] for r in heron.standing()][-1] == "leave"


def test_what_was_wetted_again_does_not_dry(heron: Crew) -> None:
    heron.says("Ana", "started stripper on A")
    heron.later(5)
    said = reply(heron.says("Ana", "ok sprayed the dry end its wet again"))
    assert "Mist A now" not in said["text"]


OTHER_THINGS = [
    "chairs rinsed", "client wants it rinsed", "can it be rinsed", "rinsed tonight", "las sillas enjuagadas",
    "rinsed and ate", "rinsing now, just the wheelbarrow",
    "misted my neck", "ya enjuague mi plato", "got it rinsed, the bucket",
    "need 10 more minutes to get there", "dame 10 minutos mas ya voy llegando", "luis needs 10 more minutes to get gas",
    "neighbors patio is rinsed", "enjuague todo lo del carro", "covered the mower",
]  # fmt: skip
OF_THE_WOOD = [
    ("done rinsing", "finish"), ("rinsed it all off good", "finish"), ("just misted it again", "rewet"),
    ("need 10 more minutes", "extend"), ("its letting go now", "check"), ("luis is rinsing it now", "start"),
    ("ya la enjuague toda jefe", "finish"), ("give it 5 more min please", "extend"),
    ("rinsed like you said", "finish"),
    ("rinsing with the garden hose", "start"), ("misted it down real good", "rewet"), ("rinsed, looks great", "finish"),
    ("enjuagando con presion baja", "start"),
]  # fmt: skip


@pytest.mark.parametrize("text", OTHER_THINGS)
def test_what_is_not_of_the_wood_moves_no_clock(heron: Crew, text: str) -> None:
    heron.says("Ana", "started stripper on A")
    before = len(heron.standing())
    heron.later(5)
    heron.says("Ana", text)
    assert not [r for r in heron.standing()[before:] if r["kind"] in ("finish", "start", "rewet", "extend", "check")]


@pytest.mark.parametrize(("text", "kind"), OF_THE_WOOD)
def test_what_is_of_the_wood_is_written_at_once(heron: Crew, text: str, kind: str) -> None:
    heron.says("Ana", "started stripper on A")
    heron.later(5)
    heron.says("Ana", text)
    assert heron.standing()[-1]["kind"] == kind


def test_more_time_than_the_whole_dwell_is_asked_about(heron: Crew) -> None:
    heron.says("Ana", "started stripper on A")
    heron.says("Ana", "20 more minutes on A")
    asked = reply(heron.says("Ana", "15 more minutes on A"))
    given = [r["data"]["minutes"] for r in heron.standing() if r["kind"] == "extend"]
    assert "35 min" in asked["text"] and given == [20]
    heron.presses("Ana", asked["buttons"][0])
    assert [r["data"]["minutes"] for r in heron.standing() if r["kind"] == "extend"] == [20, 15]


@pytest.mark.parametrize("text", ["its peeling", "10 more min", "lo rociamos", "se esta pelando", "it came off", "misted"])
def test_right_after_an_injury_it_may_be_the_person(heron: Crew, text: str) -> None:
    heron.says("Ana", "started stripper on A")
    heron.says("Ana", "luis got stripper in his eye")
    before = len(heron.standing())
    asked = reply(heron.says("Ana", text))
    assert not [r for r in heron.standing()[before:] if r["kind"] in ("check", "extend", "rewet")]
    assert any("not the wood" in b or "no es la madera" in b for b in asked["buttons"]) or "eye" in asked["text"].lower()


def test_a_yes_minutes_later_moves_no_clock(heron: Crew) -> None:
    heron.says("Ana", "started stripper on A")
    heron.later(24)
    asked = reply(heron.says("Ana", "chairs rinsed, i mean"))
    asked = asked if "A: rinsed" in asked["buttons"] else reply(heron.says("Ana", "neighbors patio is rinsed"))
    heron.later(3)
    heron.presses("Ana", "A: rinsed")
    last = heron.standing()[-1]
    assert last["data"]["step"] == "rinse" and last["local"][11:16] == "09:24", last
