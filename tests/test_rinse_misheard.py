"""Words with "B" and "rinsed" in them that do not say that B is rinsed: each once stopped a live clock."""

from __future__ import annotations

import pytest

from tests.conftest import Crew
from tests.test_attack import words

NOT_RINSED = [
    # not all of it
    "B 90% rinsed", "B rinsed 50%", "B rinsed all but the steps", "la B enjuagada a medias", "B un-rinsed",
    # a wish, an order, a doubt, a question
    "get B rinsed asap", "get B rinsed", "want B rinsed", "before B is rinsed", "think B rinsed", "B rinsed, or am i wrong",
    "ya enjuagaste la B",
    # something else was rinsed
    "rinsed the brush at B", "rinsed the plants by B", "rinsed B's plants", "B plants rinsed", "rinsed out sprayer B",
    "rinsed off my arm near B", "B rinsed wrong section",
    # begun and broken off
    "started rinsing B then water quit", "rinsing B but hose broke", "rinsing b... wait no i havent yet hose is kinked",
    # another section was rinsed, and B is what the next statement is about
    "rinsed A and B is covered", "rinsed A and B is still gummy", "rinsed A and B needs more time",
    "enjuagamos la A y la B sigue pegada",
    "slipped near the stairs, A is rinsed", "walked past B, A is rinsed",
    # under way
    "ya esta enjuagando la A, la B sigue",
    # no hand of the crew
    "rain rinsed B",
]  # fmt: skip


@pytest.mark.parametrize("text", NOT_RINSED, ids=range(len(NOT_RINSED)))
def test_the_clock_of_wet_wood_is_stopped_by_a_plain_word_only(heron: Crew, text: str) -> None:
    """Nothing rang any more for B, and "no product left on" was answered; asked about, or left as it is, is right."""
    heron.says("Ana", "started B")
    heron.later(20)
    out = heron.says("Ana", text)
    late = heron.store.rows("select 1 from reminders where kind = 'rinse late' and sections = '[\"B\"]'")
    assert late, words(out, "Ana")


MOVED = ["can B take 5 more", "get B misted", "want B misted", "B misted 50%"]


@pytest.mark.parametrize("text", MOVED)
def test_the_clock_of_wet_wood_is_moved_by_a_plain_word_only(heron: Crew, text: str) -> None:
    """A question gave five minutes more, a wish put the next mist off by an interval."""
    heron.says("Ana", "started B")
    heron.later(9)
    before = heron.store.rows("select key, due from reminders where sections = '[\"B\"]' order by key")
    out = heron.says("Ana", text)
    after = heron.store.rows("select key, due from reminders where sections = '[\"B\"]' order by key")
    assert after == before, words(out, "Ana")


A_ALONE = [
    "A rinsed, B in 10", "A rinsed B in 10", "A rinsed, now B", "A rinsed, then B", "A rinsed B still wet",
    "A rinsed, B to go",
    "A rinsed, doing B", "A rinsed, look at B", "A enjuagada, la B en 10", "A enjuagada, ahora la B", "rinsed A and B in 10",
    "rinsed A, B half", "rinsed A & part of B", "rinsed A up to B", "rinsed A near B",
]  # fmt: skip


@pytest.mark.parametrize("text", A_ALONE, ids=range(len(A_ALONE)))
def test_a_rinse_of_one_section_is_none_of_the_next(heron: Crew, text: str) -> None:
    """ "A rinsed, now B": "A and B rinsed. No product left on.", and nothing rang for B."""
    heron.says("Ana", "started A")
    heron.says("Ana", "started B")
    heron.later(20)
    out = heron.says("Ana", text)
    late = heron.store.rows("select 1 from reminders where kind = 'rinse late' and sections = '[\"B\"]'")
    assert late, words(out, "Ana")
