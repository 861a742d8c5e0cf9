"""A message that only asks writes nothing down and is never met with "did you mean this": it is answered."""

from __future__ import annotations

import pytest
from conftest import Crew, reply

ASKED = (
    "who put brightener on bee", "who did the oil on A", "who rinsed the stairs", "quien enjuago las escaleras",
    "kien enjuago la B", "quién le puso abrillantador a la B", "how we doing", "what is there left to do", "did i do ok lol",
    "whats our hours so far", "did we lose anything", "what's the time for brightener", "a q hora se enjuago la B",
    "q hora empezo la A", "when did we start A", "when was B rinsed", "what time was B misted", "which one did we rinse",
    "how are we looking on materials have we got enough for the whole thing", "why did we rinse B again",
    "who is putting brightener on B", "has B been covered", "did luis mist A", "a que hora podemos enjuagar la B",
    "how did B come out", "cual ya enjuagamos", "cuanto me falta pa enjuagar la B", "how come A is covered already",
    "who left the stripper on A so long", "is B rinsed", "quien puso decapante en la B",
)  # fmt: skip


@pytest.mark.parametrize("text", ASKED)
def test_a_question_writes_nothing_and_is_answered(heron: Crew, text: str) -> None:
    heron.says("Ana", "started stripper on A")
    before = heron.standing()
    for who in ("Ana", "Dana"):
        said = reply(heron.says(who, text), who)
        assert heron.standing() == before
        assert "Did you mean" not in said["text"] and "Which one" not in said["text"]
        assert not [b for b in said["buttons"] if ":" in b]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("who put stripper on A", "Ana: A: stripper on"),
        ("who put brightener on A", "nothing about that is recorded"),
        ("who did the oil on A", "nothing about that is recorded"),
        ("when did we start A", "9:00 Ana: A: stripper on"),
        ("q hora empezo la A", "9:00 Ana: A: stripper on"),
        ("what time was A misted", "9:05 Ana: A: misted"),
        ("a que hora se rocio la A", "9:05 Ana: A: misted"),
    ],
)
def test_who_and_when_are_answered_from_the_record(heron: Crew, text: str, says: str) -> None:
    heron.says("Ana", "started stripper on A")
    heron.later(5)
    heron.says("Ana", "misted A")
    assert says in reply(heron.says("Ana", text))["text"]


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("how about that, rinsed A", ["finish"]),
        ("que sean 5 galones", []),
        ("ya enjuagamos la A, cuanto falta", ["finish"]),
        ("misted A, what's next", ["rewet"]),
        ("what the hell stripper in my eye", ["incident"]),
        ("who is bleeding, luis fell off the ladder", ["incident"]),
    ],
)
def test_what_is_told_beside_words_that_ask_is_heard(heron: Crew, text: str, kinds: list[str]) -> None:
    heron.says("Ana", "started stripper on A")
    before = len(heron.standing())
    heron.later(12)
    heron.says("Ana", text)
    assert [r["kind"] for r in heron.standing()[before:] if r["kind"] != "warned"] == kinds
