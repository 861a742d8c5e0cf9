"""Bleach on wood: onto acid, or acid onto it, it gives off chlorine; and what else is no product of this shop."""

from __future__ import annotations

import pytest

from tests.conftest import Crew
from tests.test_attack import words

ONTO_ACID = [
    "misted B with bleach", "rinsed B with bleach", "bleach on B", "put bleach on B", "spraying bleach on B",
    "B bleached", "misted with bleach", "rocie la B con cloro", "enjuague la B con cloro", "le puse cloro a la B",
]  # fmt: skip


@pytest.mark.parametrize("text", ONTO_ACID)
def test_bleach_told_onto_standing_acid_is_an_alarm(heron: Crew, text: str) -> None:
    """ "B misted", "B rinsed. No product left on.", or "nothing written down" was all that was said."""
    for said in ("started B", "B rinsed", "brightener on B"):
        heron.says("Ana", said)
        heron.later(3)
    out = heron.says("Ana", text)
    mine = words(out, "Ana")
    assert "GET AWAY" in mine and "plenty of water" in mine and "safety data sheet" in mine
    assert any(x["loud"] for x in out if x["to"] == "Ana") and "INCIDENT" in words(out, "Dana")
    assert heron.store.rows("select 1 from reminders where kind = 'rinse late'")  # the acid's clock goes on


@pytest.mark.parametrize("text", ["brightener on B", "started brightener on B", "abrillantador en la B"])
def test_acid_onto_bleach_that_nobody_rinsed_off_is_an_alarm(heron: Crew, text: str) -> None:
    assert "Rinse it off" in words(heron.says("Ana", "put bleach on B"), "Ana")
    heron.later(3)
    out = heron.says("Ana", text)
    assert words(out, "Ana").startswith("STOP") and "Call them" in words(out, "Dana")
    heron.later(3)
    heron.says("Ana", "rinsed the bleach off B")
    heron.later(3)
    assert "brightener on" in words(heron.says("Ana", text), "Ana")


NONE_PUT_ON = ["B looks bleached nice", "note: the client used bleach", "bought 1 gal bleach", "no bleach on B",
    "never put bleach on B", "started oxygen bleach on A"]  # fmt: skip


@pytest.mark.parametrize("text", NONE_PUT_ON)
def test_the_word_alone_is_no_alarm(heron: Crew, text: str) -> None:
    heron.says("Ana", "brightener on B")
    assert not any(x["loud"] and "chlorine" in x["text"] for x in heron.says("Ana", text))


def test_bleach_that_is_to_go_on_is_refused(heron: Crew) -> None:
    heron.says("Ana", "brightener on B")
    assert words(heron.says("Ana", "can i put bleach on B"), "Ana").startswith("NO.")

STRANGE = ["started bleach on B", "started vinegar on B", "started mystery juice on B", "started zorking B",
    "started prewash on B", "empece vinagre en la B", "put vinegar on B", "vinegar on B", "vinegar going on B",
    "B covered with vinegar"]  # fmt: skip


@pytest.mark.parametrize("text", STRANGE)
def test_another_chemical_is_not_written_down_as_stripper(heron: Crew, text: str) -> None:
    heron.says("Ana", text)
    kinds = [r["data"].get("product") or r["data"]["step"] for r in heron.standing() if r["kind"] in ("start", "finish")]
    assert not {"stripper", "strip"} & set(kinds)


def test_a_product_that_is_not_in_the_book_is_named_in_the_question(heron: Crew) -> None:
    (out,) = (x for x in heron.says("Ana", "started mystery juice on B") if x["to"] == "Ana")
    assert out["text"].startswith("mystery juice is not in the book") and "stripper" in out["buttons"]
