"""After an incident: how somebody is, is heard as that, and never as a new incident or as work on the wood."""

from __future__ import annotations

import re

import pytest

from bot.understand.alarm import alarm
from tests.conftest import Crew

GONE = [
    "no more burning", "no blisters", "no burns", "arm doesnt burn anymore", "my eye doesnt hurt anymore",
    "eye isnt burning now", "his eyes are not red, not burning", "burning stopped", "the stinging went away",
    "hand stopped bleeding", "no swelling in the eye", "yea arm's fine now, no blisters",
    "the arms good now, no more burning", "ya no me arde el ojo, todo bien", "ya se labo como 15 min y ya no le arde",
    "ya no le arde el brazo", "sin ampollas, sin ardor", "no me arde la piel, ya me lave", "dejo de arderle el ojo",
    "se le quito el ardor del brazo", "no hay dolor en el ojo", "ya no le kema", "ya no me pican los ojos",
    "no tiene ampollas el luis",
]  # fmt: skip
STILL_LOUD = [
    "no gloves and it burned my hand", "not just burning, its blistering my arm", "no its burning my arm",
    "no me deja de arder el ojo", "sin guantes y me quemo la mano", "no veo con el ojo, me arde", "not breathing",
    "no burning on the arm but he cant breathe", "no pain but blisters all over my arm", "now the other eye burns",
    "stopped burning then it got in my eye", "no me duele pero me cayo en el ojo",
    "ya no me arde la mano, ahora me arde el ojo", "ya no me arde el brazo pero me entro en el ojo",
    "arm doesnt burn but the eye does", "burning hasnt stopped, its my eye",
    "it doesnt hurt yet but i got stripper all over my arm", "ya no aguanto, me arde el brazo",
    "no deja de sangrar la mano", "no longer breathing", "his back hurts", "luis says his knee is swollen",
    "le duele la espalda", "dust stings my nose",
]  # fmt: skip
NO_CRY = [
    "theres one bit by the rail still stuck tho", "bit by bit its coming off", "a bit by the stairs is left",
    "his back hurts from scrubbing lol", "my back hurts lol", "le duele el precio", "the back boards are swollen",
]  # fmt: skip


@pytest.mark.parametrize("text", [*GONE, *NO_CRY])
def test_a_symptom_that_is_denied_cries_no_more(text: str) -> None:
    """With no incident open it raises nothing either."""
    assert alarm(text) is None


@pytest.mark.parametrize("text", STILL_LOUD)
def test_what_stands_beside_a_denial_still_cries(text: str) -> None:
    assert alarm(text) is not None


BETTER = [
    *GONE, "hes up and walking around now, says hes fine", "his back ok", "hes good, rico. back ok",
    "im ok, not burning", "i rinsed it like forever its ok now just pink", "mi ojo ya esta bien, 15 min de agua",
    "ya respiro bien", "luis is fine", "hes ok he rinsed it fifteen minutes no mark", "its been like 15 mins eye ok",
    "eyes fine now, flushed the whole time", "ya sali al aire y ya respiro bien", "ya esta bien el luis",
    "me lave los ojos 15 minutos y ya veo bien", "all good", "todo bien", "mucho mejor",
    "no es otro, es el mismo, ya esta bien", "rinsd the hand its good",
]  # fmt: skip
FLUSHING = [
    "still flushing", "flushing it", "im holding it under the tap", "rinsing his arm now",
    "ya me estoy lavando los ojos con agua", "le estamos echando agua al ojo", "hes flushing it out",
    "sigo enjuagandome el ojo", "washing it off under the hose",
]  # fmt: skip


def _after(heron: Crew, text: str) -> list[dict[str, object]]:
    heron.says("Ana", "started stripper on A")
    heron.says("Ana", "got stripper in my eye")
    heron.later(4)
    return heron.says("Ana", text)


@pytest.mark.parametrize("text", [*BETTER, *FLUSHING])
def test_the_answer_is_kept_and_stops_no_clock(heron: Crew, text: str) -> None:
    out = _after(heron, text)
    rows = [(r["kind"], r["data"].get("text")) for r in heron.standing() if r["kind"] not in ("start", "job", "section")]
    assert ("note", text) in rows and [k for k, _ in rows].count("incident") == 1
    assert not {"finish", "leave", "rewet"} & {k for k, _ in rows}
    assert not any(r["data"].get("step") == "rinse" for r in heron.standing())
    assert any(x["to"] == "Dana" and text in str(x["text"]) for x in out)
    assert heron.store.rows("select 1 from reminders where kind = 'rinse' and sections = '[\"A\"]'")


@pytest.mark.parametrize("text", FLUSHING)
def test_water_that_runs_is_told_until_when(heron: Crew, text: str) -> None:
    own = next(x for x in _after(heron, text) if x["to"] == "Ana")
    assert "9:15" in str(own["text"])


@pytest.mark.parametrize(
    "text",
    ["still burns", "his back hurts tho", "it hurts more now", "todavia le arde", "no deja de arder", "its getting worse",
     "hes ok but it still stings", "my arm is swelling", "no se me quita"],
)  # fmt: skip
def test_what_goes_on_is_an_incident_again(heron: Crew, text: str) -> None:
    out = _after(heron, text)
    assert [r["kind"] for r in heron.standing()].count("incident") == 2
    assert any(x["loud"] for x in out if x["to"] == "Ana") and any(x["loud"] for x in out if x["to"] == "Dana")


@pytest.mark.parametrize(
    ("text", "kept"),
    [("hes ok, starting B", ("start", ["B"])), ("hes ok rinsing A now", ("start", ["A"])), ("rinsed A", ("finish", ["A"])),
     ("ya esta bien el luis, ya enjuagamos la A", ("finish", ["A"])), ("he rinsed A", ("finish", ["A"]))],
)  # fmt: skip
def test_work_on_a_named_section_stands_beside_it(heron: Crew, text: str, kept: tuple[str, list[str]]) -> None:
    _after(heron, text)
    assert kept in [(r["kind"], r["sections"]) for r in heron.standing()]


@pytest.mark.parametrize("text", ["rinsing it", "rinsed it", "rinsing", "ya la enjuague"])
def test_a_rinse_of_nothing_named_is_asked_about(heron: Crew, text: str) -> None:
    out = _after(heron, text)
    assert not any(r["data"].get("step") == "rinse" for r in heron.standing())
    assert [b for x in out if x["to"] == "Ana" for b in x["buttons"]]


@pytest.mark.parametrize(
    "text", ["A all good", "is he ok?", "the boards are still red", "how is luis", "A still bubbling", "im good on stripper"]
)
def test_what_is_of_the_wood_or_asked_is_no_answer(heron: Crew, text: str) -> None:
    _after(heron, text)
    assert [r["kind"] for r in heron.standing()].count("incident") == 1
    assert not [r for r in heron.standing() if r["kind"] == "note"]


@pytest.mark.parametrize("text", ["im ok", "still flushing", "all good", "hes ok", "flushing it", "ya respiro bien"])
def test_with_no_incident_nothing_is_kept(heron: Crew, text: str) -> None:
    before = len(heron.standing())
    out = heron.says("Ana", text)
    assert len(heron.standing()) == before and not [x for x in out if x["to"] == "Dana"]


def test_the_owner_hears_who_tells_it(heron: Crew) -> None:
    out = heron.says("Ana", "al luis le salpico decapante en el brazo")
    told = next(x["text"] for x in out if x["to"] == "Dana")
    assert re.search(r"told by Ana\. \"al luis", told)


@pytest.mark.parametrize("text", ["se kebro un vidrio de la puerta", "cracked a window", "rajamos una ventana"])
def test_what_is_broken_is_not_to_be_rinsed(heron: Crew, text: str) -> None:
    own = next(x["text"] for x in heron.says("Ana", text) if x["to"] == "Ana")
    assert "rinse" not in own.lower() and "njuaga" not in own.lower()


@pytest.mark.parametrize("text", ["stripper etched the glass", "el decapante manchó la ventana"])
def test_what_a_chemical_spoils_is_rinsed(heron: Crew, text: str) -> None:
    own = next(x["text"] for x in heron.says("Ana", text) if x["to"] == "Ana")
    assert "Rinse it NOW" in own or "YA" in own


@pytest.mark.parametrize("text", ["yes", "yep still", "si", "todavía"])
def test_a_bare_yes_answers_the_bell_that_asked(heron: Crew, text: str) -> None:
    heron.says("Ana", "got stripper in my eye")
    heron.later(16)
    heron.says("Ana", text)
    assert [r["data"]["text"] for r in heron.standing() if r["kind"] == "note"] == [text]


@pytest.mark.parametrize(
    "text", ["he's sitting in the shade drinking water", "hes going to the clinic", "vamos al doctor con el"]
)
def test_what_is_done_for_somebody_is_told_on(heron: Crew, text: str) -> None:
    out = _after(heron, text)
    assert any(x["to"] == "Dana" and text in str(x["text"]) for x in out)


@pytest.mark.parametrize("text", ["ya salimos al aire", "salimos al aire libre", "we are out for some air"])
def test_out_of_the_fumes_is_not_off_the_site(heron: Crew, text: str) -> None:
    heron.says("Ana", text)
    assert not [r for r in heron.standing() if r["kind"] == "leave"]


@pytest.mark.parametrize("text", ["rinsing them", "ya las lavamos con mucha agua", "rinsed it"])
def test_water_on_the_plants_is_no_rinse_of_the_wood(heron: Crew, text: str) -> None:
    heron.says("Ana", "started stripper on A")
    heron.says("Ana", "le cayo decapante a las plantas")
    heron.says("Ana", text)
    assert not [r for r in heron.standing() if r["data"].get("step") == "rinse"]


@pytest.mark.parametrize(
    "text", ["i drenched it w the hose its prob fine", "plants look fine now", "las plantas ya estan bien"]
)
def test_how_the_plants_are_is_kept(heron: Crew, text: str) -> None:
    heron.says("Ana", "le cayo decapante a las plantas")
    heron.says("Ana", text)
    assert [r["data"]["text"] for r in heron.standing() if r["kind"] == "note"] == [text]


@pytest.mark.parametrize(
    "text", ["im good on stripper", "its bubbling good", "done, all good", "we rinse 240 sq ft in 35 min"]
)
def test_talk_of_the_work_soon_after_is_no_answer(heron: Crew, text: str) -> None:
    _after(heron, text)
    assert not [r for r in heron.standing() if r["kind"] == "note"]
    assert [r["kind"] for r in heron.standing()].count("incident") == 1


def test_who_is_well_and_what_else_is_said_are_both_heard(heron: Crew) -> None:
    heron.says("Ana", "got stripper in my eye")
    heron.says("Ana", "my eye is fine, back to work")
    kinds = [r["kind"] for r in heron.standing()]
    assert "note" in kinds and kinds.count("incident") == 1


ALWAYS = (  # cries by themselves, or nearly
    "ya no responde", "se desmayo", "he cant open it", "a mi tambien me cayo", "he is shaking", "esta temblando",
)  # fmt: skip
MORE_HURT = [
    "me too", "ana got some too", "the other eye too", "a mi tambien", "a mi tambien me cayo", "y a luis tambien",
    "he cant open it", "he is shaking", "esta temblando", "ya no responde", "he is worse", "peor", "theres swelling",
    "it got marco too", "its swelling up", "el otro ojo tambien", "se desmayo",
]  # fmt: skip
NOT_MORE_HURT = ["weather is getting worse", "B too", "traffic is worse", "ok me too im hungry?", "misted B too", "gracias",
    "y la ana tambien llego a las 9", "luis left too", "shaking out the tarp", "A looks worse than B",
    "cant open the gate", "Luis tambien ya llego", "swelling grain on B", "it looks worse than last year"]  # fmt: skip


@pytest.mark.parametrize("text", MORE_HURT)
def test_somebody_else_or_worse_is_an_incident_again(heron: Crew, text: str) -> None:
    heron.says("Ana", "started stripper on A")
    heron.says("Ana", "luis got stripper in his eye")
    heron.later(2)
    heron.says("Ana", text)
    assert len([r for r in heron.standing() if r["kind"] == "incident"]) == 2


@pytest.mark.parametrize("text", MORE_HURT)
def test_the_same_words_are_no_incident_where_nobody_was_hurt(heron: Crew, text: str) -> None:
    heron.says("Ana", "started stripper on A")
    heron.says("Ana", text)
    told = [r["data"].get("text") for r in heron.standing() if r["kind"] == "incident"]
    assert not told or text in ALWAYS


@pytest.mark.parametrize("text", NOT_MORE_HURT)
def test_other_talk_after_an_incident_is_none(heron: Crew, text: str) -> None:
    heron.says("Ana", "started stripper on A")
    heron.says("Ana", "luis got stripper in his eye")
    heron.says("Ana", text)
    assert len([r for r in heron.standing() if r["kind"] == "incident"]) == 1


@pytest.mark.parametrize("text", ["luis rinsed bee", "before we sat down luis rinsed bee at 9 so quit yelling"])
def test_a_rinse_of_a_named_part_is_no_flushing(heron: Crew, text: str) -> None:
    heron.says("Ana", "started stripper on B")
    heron.says("Ana", "luis got stripper in his eye")
    heron.later(20)
    heron.says("Ana", text)
    last = heron.standing()[-1]
    assert last["kind"] != "note", last
