"""Old coatings and old treated wood: nothing lifts them until the site has been told and, for lead, checked.

Sources: lead paint banned for homes in 1978 (40 CFR 745 subpart E), CCA residential use ended 2003 (EPA cancellation).
"""

from __future__ import annotations

import pytest

from tests.conftest import Crew, reply

TOUCHES = ["started B", "patch on B", "started patch on B with gel", "patch loose 10 min", "empece el parche en la B"]


def refusals(crew: Crew) -> list[str]:
    return [r["data"]["reason"] for r in crew.timeline() if r["kind"] == "refused"]


@pytest.mark.parametrize("text", TOUCHES)
def test_an_unchecked_coating_is_not_touched(heron: Crew, text: str) -> None:
    heron.says("Dana", "house built 1962, not treated")
    out = heron.says("Ana", text)
    assert reply(out)["loud"] and reply(out)["text"].startswith("NO.")
    assert refusals(heron) == ["lead_unchecked"]
    assert not [r for r in heron.standing() if r["kind"] in ("start", "patch")]


@pytest.mark.parametrize("text", TOUCHES)
def test_old_treated_wood_gets_no_stripper_not_even_a_patch(heron: Crew, text: str) -> None:
    heron.says("Dana", "house built 1999, treated pine")
    heron.says("Ana", text)
    assert refusals(heron) == ["old_treated_wood"]


def test_a_patch_on_an_untold_site_asks_once(heron: Crew) -> None:
    first = heron.says("Ana", "patch on A")
    again = heron.says("Ana", "patch on B")
    assert "year the house was built" in reply(first)["text"] and "year" not in reply(again)["text"]


OPENS = ["lead check done", "ok lead check done boss", "we did the lead check", "lead test came back negative",
    "no lead found", "prueba de plomo hecha", "prueba de plomo negativa", "no hay plomo"]  # fmt: skip
OPENS_NOTHING = ["no lead check yet", "no lead test done", "lead check not done", "need a lead check done",
    "get lead tested", "have the lead check done first", "lead check done tomorrow", "lead test came back",
    "was the lead check done?", "lead check done, positive", "there may be no lead", "sin prueba de plomo",
    "no se ha hecho la prueba de plomo", "prueba de plomo hecha?", "falta la prueba de plomo"]  # fmt: skip
FOUND = ["lead found", "lead check came back positive", "lead test came back hot", "it has lead",
    "tested for lead, there is lead", "lead check done, it has lead",
    "prueba de plomo positiva", "salio plomo", "hay plomo"]  # fmt: skip


def test_the_owner_hears_who_lifted_the_refusal(heron: Crew) -> None:
    heron.says("Dana", "house built 1950")
    told = [x["text"] for x in heron.says("Ana", "lead check done") if x["to"] == "Dana" and x["kind"] == "ping"]
    assert len(told) == 1 and "Ana" in told[0]


@pytest.mark.parametrize("text", OPENS)
def test_a_lead_check_told_plainly_opens_the_way(heron: Crew, text: str) -> None:
    heron.says("Dana", "house built 1962, not treated")
    heron.says("Ana", text)
    heron.says("Ana", "started B")
    assert refusals(heron) == [] and [r for r in heron.standing() if r["kind"] == "start"]


@pytest.mark.parametrize("text", OPENS_NOTHING)
def test_no_other_word_of_lead_opens_it(heron: Crew, text: str) -> None:
    heron.says("Dana", "house built 1962, not treated")
    heron.says("Ana", text)
    heron.says("Ana", "started B")
    assert refusals(heron) == ["lead_unchecked"]


@pytest.mark.parametrize("text", FOUND)
def test_lead_found_closes_it_whatever_the_year(heron: Crew, text: str) -> None:
    heron.says("Dana", "house built 1985, not treated")
    out = heron.says("Ana", text)
    assert any(x["to"] == "Dana" and x["loud"] for x in out)
    heron.says("Ana", "lead check done")  # of the newest or of the old one? asked
    heron.says("Ana", "mix 3 gal stripper")
    assert refusals(heron) == ["lead_found"]
    heron.presses("Ana", "No lead found")
    heron.says("Ana", "started B")
    assert refusals(heron) == ["lead_found"]


@pytest.mark.parametrize("texts", [("house built 1962, deck built 2015",), ("house built 1962", "la terraza es de 2015")])
def test_the_year_of_the_deck_lifts_no_lead_check(heron: Crew, texts: tuple[str, ...]) -> None:
    for text in (*texts, "not treated"):
        out = heron.says("Dana", text)
    heron.says("Ana", "started B")
    assert refusals(heron) == ["lead_unchecked"]
    heron.presses("Dana", "The deck, 2015")
    heron.says("Ana", "started B")
    assert refusals(heron) == ["lead_unchecked"] * 2, out


def test_the_year_of_the_deck_does_tell_of_its_wood(heron: Crew) -> None:
    for text in ("house built 1985", "deck built 2015"):
        heron.says("Dana", text)
    heron.presses("Dana", "The deck, 2015")
    heron.says("Dana", "treated pine")
    heron.says("Ana", "started B")
    assert refusals(heron) == []


def test_a_year_put_right_for_the_house_stands(heron: Crew) -> None:
    heron.says("Dana", "house built 1962, not treated")
    heron.says("Dana", "house built 1992")
    heron.presses("Dana", "The house, 1992")
    heron.says("Ana", "started B")
    assert refusals(heron) == []


def test_treated_wood_is_not_untold_by_a_slip(heron: Crew) -> None:
    heron.says("Dana", "house built 1999, treated pine")
    heron.says("Ana", "the deck is not treated yet")
    heron.says("Ana", "started B")
    assert refusals(heron) == ["old_treated_wood"]
