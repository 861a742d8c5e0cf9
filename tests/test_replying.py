"""A short answer to what the bot asked last presses the button it names; what tells more, or fits two, presses none."""

from __future__ import annotations

import pytest
from conftest import Crew, reply


def kinds(crew: Crew, before: int) -> list[str]:
    return [r["kind"] for r in crew.standing()[before:]]


def asked_to_check(crew: Crew) -> int:
    """A is covered and its check has just rung."""
    crew.says("Ana", "started A")
    crew.later(5)
    crew.says("Ana", "A covered")
    rang = crew.later(6)
    assert [m["about"].get("reminder") for m in rang if m["to"] == "Ana"] == ["check"]
    return len(crew.standing())


@pytest.mark.parametrize(
    ("text", "result"),
    [
        ("nope not yet", "stuck"), ("not yet", "stuck"), ("no", "stuck"), ("todavia no", "stuck"), ("aún no", "stuck"),
        ("todavia no, esta pegado", "stuck"), ("still stuck", "stuck"), ("no suelta", "stuck"), ("nop", "stuck"),
        ("yes", "loose"), ("si", "loose"), ("yep it is", "loose"), ("simon", "loose"), ("its coming off in sheets", "loose"),
        ("si, ya afloja", "loose"), ("lets go", "loose"), ("half", "partly"), ("mostly", "partly"), ("a la mitad", "partly"),
        ("partly", "partly"), ("about a third", "partly"), ("casi", "partly"),
    ],
)  # fmt: skip
def test_the_answer_to_check_a(heron: Crew, text: str, result: str) -> None:
    before = asked_to_check(heron)
    heron.says("Ana", text)
    row = heron.standing()[before:]
    assert [(r["kind"], r["sections"], r["data"]["result"]) for r in row] == [("check", ["A"], result)]


@pytest.mark.parametrize(
    "text", ["ok", "no thanks", "no esta pegado", "half of us are at lunch", "yes we need tape", "no more coffee",
             "is it off?", "half the crew is out", "its almost lunch", "most of it is for B",
             "do you think it lets go", "ya mero", "in a sec", "nobody is here", "no, luis is getting gas"],
)  # fmt: skip
def test_what_is_no_answer_checks_nothing(heron: Crew, text: str) -> None:
    before = asked_to_check(heron)
    heron.says("Ana", text)
    assert kinds(heron, before) == []


@pytest.mark.parametrize(
    ("text", "result"),
    [("all off", "loose"), ("yes", "loose"), ("salio todo", "loose"), ("mostly", "partly"), ("some left", "partly"),
     ("no", "partly"), ("half", "partly"), ("mostly off, few spots left", "partly"), ("un tercio", "partly"),
     ("si queda", "partly"), ("si falta", "partly"), ("yes its left", "partly"), ("yeah like one left", "partly"),
     ("mostly. couple of spots in the grain", "partly"), ("it all came off", "loose"), ("all of it came off", "loose"),
     ("its all off none left", "loose"), ("nope, all off", "loose"), ("nothing left on it", "loose"),
     ("not all off", "partly")],
)  # fmt: skip
def test_is_the_finish_off(heron: Crew, text: str, result: str) -> None:
    asked_to_check(heron)
    assert "finish off?" in reply(heron.says("Ana", "A rinsed"))["text"]
    before = len(heron.standing())
    heron.says("Ana", text)
    assert [(r["kind"], r["sections"], r["data"]["result"]) for r in heron.standing()[before:]] == [("check", ["A"], result)]


def test_the_answer_is_of_what_was_asked_not_of_other_wet_wood(heron: Crew) -> None:
    heron.says("Luis", "empecé la B")
    asked_to_check(heron)
    heron.says("Ana", "A rinsed")
    heron.says("Ana", "mostly. couple of spots in the grain")
    last = heron.standing()[-1]
    assert (last["kind"], last["sections"]) == ("check", ["A"])


def test_a_status_between_leaves_the_question_open(heron: Crew) -> None:
    for text in ("empecé la A", "empecé la B", "le eche agua a la B"):
        said = reply(heron.says("Luis", text), "Luis")
    assert said["buttons"] == ["B: rociada", "B: enjuagada"]
    heron.later(2)
    heron.says("Luis", "cómo vamos")
    heron.says("Luis", "rociada")
    last = heron.standing()[-1]
    assert (last["kind"], last["sections"]) == ("rewet", ["B"])


@pytest.mark.parametrize("text", ["rinsed", "yes", "rinse", "si", "wood"])
def test_no_word_presses_a_rinse_while_somebody_is_hurt(heron: Crew, text: str) -> None:
    heron.says("Ana", "started B")
    heron.says("Ana", "eye burning help")
    heron.says("Ana", "rinsed it, ok now")
    before = len(heron.standing())
    heron.says("Ana", text)
    assert "finish" not in kinds(heron, before)


def test_how_much_is_left(heron: Crew) -> None:
    asked_to_check(heron)
    heron.says("Ana", "A rinsed")
    assert "How much?" in reply(heron.says("Ana", "some left"))["text"]
    heron.says("Ana", "a third")
    last = heron.standing()[-1]
    assert (last["kind"], last["data"]["share"]) == ("start", 0.33)


@pytest.mark.parametrize("yes", ["yes", "yep", "si", "simón", "yeah that", "sí, eso", "yes stairs", "correct"])
def test_a_yes_presses_the_only_button(heron: Crew, yes: str) -> None:
    asked = reply(heron.says("Ana", "so the stares are coming off i guess maybe"))
    assert asked["buttons"] == ["stairs: lets go"]
    before = len(heron.standing())
    heron.says("Ana", yes)
    assert kinds(heron, before) == ["check"]
    heron.says("Ana", yes)
    assert kinds(heron, before) == ["check"]


@pytest.mark.parametrize("text", ["yes but only B", "no", "yes at 9:40", "nope", "yes if it stops raining", "ok"])
def test_more_or_less_than_a_yes_presses_nothing(heron: Crew, text: str) -> None:
    heron.says("Ana", "so the stares are coming off i guess maybe")
    before = len(heron.standing())
    heron.says("Ana", text)
    assert kinds(heron, before) == []


@pytest.mark.parametrize(
    ("asked", "answer", "kind"),
    [("B came out 6.5", "ph", "ph"), ("B came out 6.5", "moisture", "moisture"), ("B came out 6.5", "the ph", "ph"),
     ("4 gal brightener", "mixed", "mixed"), ("took care of B", "stripper on", "start")],
)  # fmt: skip
def test_a_word_names_one_of_two_buttons(heron: Crew, asked: str, answer: str, kind: str) -> None:
    assert "Which one" in reply(heron.says("Ana", asked))["text"]
    before = len(heron.standing())
    heron.says("Ana", answer)
    assert kind in kinds(heron, before)


@pytest.mark.parametrize("answer", ["yes", "brightener", "B", "6.5"])
def test_a_word_of_both_buttons_presses_none(heron: Crew, answer: str) -> None:
    heron.says("Ana", "B came out 6.5")
    before = len(heron.standing())
    heron.says("Ana", answer)
    assert kinds(heron, before) == []


def test_a_question_is_open_for_half_an_hour_and_to_who_was_asked(heron: Crew) -> None:
    heron.says("Ana", "B came out 6.5")
    before = len(heron.standing())
    heron.says("Luis", "ph")
    heron.later(31)
    heron.says("Ana", "ph")
    assert kinds(heron, before) == []


def test_a_word_written_down_since_closes_it(heron: Crew) -> None:
    heron.says("Ana", "B came out 6.5")
    heron.says("Ana", "started A")
    before = len(heron.standing())
    heron.says("Ana", "ph")
    assert kinds(heron, before) == []


@pytest.mark.parametrize(
    "text", ["B has brightener on it too Ana did it at 9:00", "C has brightener on it too Ana did it at 12:33",
             "Luis put stripper on A", "la B ya tiene abrillantador desde las 8:50"],
)  # fmt: skip
def test_what_tells_its_own_section_answers_no_which_product(heron: Crew, text: str) -> None:
    assert "Which product" in reply(heron.says("Ana", "mixed it two and a half gallons"))["text"]
    heron.says("Ana", text)
    assert "mixed" not in [r["kind"] for r in heron.standing()]


def test_no_two_buttons_have_one_name(heron: Crew) -> None:
    said = reply(heron.says("Ana", "oh and the stripper was sixty dollars for the twenty pounds"))
    assert len(set(said["buttons"])) == len(said["buttons"]) == 2


@pytest.mark.parametrize("text", ["no queda", "nada", "no queda nada"])
def test_what_may_be_either_says_nothing_of_the_finish(heron: Crew, text: str) -> None:
    asked_to_check(heron)
    heron.says("Ana", "A rinsed")
    before = len(heron.standing())
    heron.says("Ana", text)
    assert "check" not in kinds(heron, before)


@pytest.mark.parametrize(("text", "written"), [("the wood", []), ("its the wood", []), ("not the wood", ["note"])])
def test_a_part_of_a_label_with_a_not_is_its_opposite(heron: Crew, text: str, written: list[str]) -> None:
    for each in ("started A", "luis got stripper in his eye"):
        heron.says("Ana", each)
    assert "not the wood" in reply(heron.says("Ana", "rinsed"))["buttons"]
    before = len(heron.standing())
    heron.says("Ana", text)
    assert kinds(heron, before) == written


@pytest.mark.parametrize(
    ("asked", "button", "answer", "kind"),
    [
        ("neighbors deck rinsed", "A: rinsed", "yes", ""), ("neighbors deck rinsed", "A: rinsed", "yes please", ""),
        ("neighbors deck rinsed", "A: rinsed", "yes rinsed", "finish"), ("10 more bags", "A: 10 min more", "yes", ""),
        ("10 more bags", "A: 10 min more", "min", ""), ("5 more boards", "A: 5 min more", "more", ""),
        ("10 more bags", "A: 10 min more", "10 more", "extend"),
    ],
)  # fmt: skip
def test_of_other_things_a_bare_yes_is_not_enough(heron: Crew, asked: str, button: str, answer: str, kind: str) -> None:
    heron.says("Ana", "started A")
    assert reply(heron.says("Ana", asked))["buttons"] == [button]
    before = len(heron.standing())
    heron.says("Ana", answer)
    assert kinds(heron, before) == ([kind] if kind else [])


@pytest.mark.parametrize(
    "text", ["A not yet", "A no", "la A todavia no", "B is next", "b right back", "la A mañana", "A when luis comes",
             "luis A", "A and B tomorrow", "everything is fine", "B looks good", "A after lunch",
             "la B esta bien", "B has the ladder"],
)  # fmt: skip
@pytest.mark.parametrize("asked", ["rinsed", "misted", "10 more min"])
def test_which_section_is_answered_by_sections_alone(heron: Crew, asked: str, text: str) -> None:
    for each in ("started A", "started B"):
        heron.says("Ana", each)
    assert "Which section" in reply(heron.says("Ana", asked))["text"]
    before = len(heron.standing())
    heron.says("Ana", text)
    assert not {"finish", "rewet", "extend"} & set(kinds(heron, before))


@pytest.mark.parametrize(
    ("text", "sections"),
    [("A", ["A"]), ("la B", ["B"]), ("the B one", ["B"]), ("A and B", ["A", "B"]), ("just section A", ["A"]),
     ("toda la B", ["B"]), ("all of it", ["A", "B"]), ("on A please", ["A"])],
)  # fmt: skip
def test_which_section(heron: Crew, text: str, sections: list[str]) -> None:
    for each in ("started A", "started B", "rinsed"):
        heron.says("Ana", each)
    heron.says("Ana", text)
    assert [r["sections"] for r in heron.standing() if r["kind"] == "finish"] == [sections]


@pytest.mark.parametrize(
    ("text", "step"),
    [("not rinsed", ""), ("rinsed no", ""), ("rinsed the cups", ""), ("rinsed my hands", ""), ("no rinsed", ""),
     ("not covered yet", ""), ("rinsed", "rinse"), ("covered", "strip"), ("enjuagada", "rinse"), ("all covered", "strip")],
)  # fmt: skip
def test_done_with_what(heron: Crew, text: str, step: str) -> None:
    heron.says("Ana", "started A")
    heron.later(8)
    assert "done with what" in reply(heron.says("Ana", "done"))["text"]
    heron.says("Ana", text)
    assert [r["data"]["step"] for r in heron.standing() if r["kind"] == "finish"] == ([step] if step else [])
