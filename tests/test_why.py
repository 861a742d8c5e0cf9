"""Why: the working of the last figures, in both languages; the numbers in it by hand or from an outside source."""

from __future__ import annotations

from typing import Any

import pytest

from tests import aqueous
from tests.conftest import Crew, reply


def said(crew: Crew, text: str, who: str = "Ana") -> dict[str, Any]:
    return reply(crew.says(who, text), who)


@pytest.mark.parametrize(
    ("asks", "why", "told"),
    [
        (
            "mix 4 gal brightener",
            "why?",
            ["4 oz/gal x 4 gal of water = 16 oz.", "common practice", "pH in the bucket about 1.1"],
        ),
        ("mix 4 gal brightener", "how come 16 oz?", ["4 oz/gal x 4 gal of water = 16 oz."]),
        # 6 oz/gal is 44.9 g/L: 1.12 mol a litre, 50 kJ into 0.998 kg: 11.9 K, 2 % on top (CRC heat of solution).
        ("mix 4 gal stripper", "why so hot", ["warms 22 F (12 C) at most", "44.5 kJ a mole", "CRC Handbook"]),
        ("A 12x16 ft", "why 192 ft2", ["12 ft x 16 ft = 192 ft2."]),
        (
            "stairs 4 steps 3 ft wide",
            "why",
            ["treads 10 ft2, risers 8 ft2", "every face that gets wet", "PS 20"],
        ),
        (
            "78 F, humidity 45, wind 6",
            "why?",
            ["film 0.41 mm", "50 % of it", "ACI 305R, good to 40 %", "boards 105 F (guessed)"],
        ),
        (
            "started A",
            "why",
            [
                "From 9:23: last edge 9:12 + 10 min (edge guessed at 15 ft2 a min).",
                "By 9:30: first edge 9:00 + 30 min.",
            ],
        ),
        (
            "hose fills 5 gal in 50 seconds",
            "how do you know",
            ["5 gal in 50 s = 6 gal/min.", "its plate wins", "0.5 gal a ft2"],
        ),
        ("plan", "why", ["= 15 ft2 a min x 30 min", "15 ft2 x (30 - 10)", "common practice"]),
        ("plan", "why so much stripper", ["/ 100 ft2/gal + 10 % =", "/ 150 ft2/gal + 10 % ="]),
        (
            "how much oil for A",
            "why?",
            ["192 ft2 / 150 ft2/gal + 10 % = 1.41 gal. Coverage: common practice."],
        ),
        ("A pH 9", "why", ["9 is 100 times more caustic than 7"]),
    ],
)
def test_the_working_in_one_to_three_lines(heron: Crew, asks: str, why: str, told: list[str]) -> None:
    heron.says("Ana", asks)
    text = said(heron, why)["text"]
    for words in told:
        assert words in text
    assert 1 <= len(text.splitlines()) <= 3


@pytest.mark.parametrize(
    ("asks", "why", "told"),
    [
        ("mezcla 4 gal de abrillantador", "por qué?", "4 oz/gal x 4 gal de agua = 16 oz."),
        ("plan", "por qué?", "práctica común"),
        ("78 F, humedad 45, viento 6", "y eso por qué", "con 40 % de error"),
        ("A pH 9", "por que", "9 es 100 veces más cáustico que 7"),
    ],
)
def test_in_spanish(heron: Crew, asks: str, why: str, told: str) -> None:
    heron.says("Luis", asks)
    assert told in said(heron, why, "Luis")["text"]


def test_the_source_is_the_label_once_it_was_told(heron: Crew) -> None:
    heron.says("Dana", "set brightener 5 oz per gal")
    heron.says("Ana", "mix 2 gal brightener")
    assert "Strength of brightener: your label." in said(heron, "why")["text"]
    heron.says("Ana", "mix 2 gal brightener at 6 oz per gal")
    assert "as you told it" in said(heron, "why")["text"]


def test_the_ph_said_is_that_of_another_program(heron: Crew) -> None:
    heron.says("Ana", "mix 4 gal stripper")
    words = said(heron, "how come 24 oz?")["text"]
    # 6 oz a gallon is 44.93 g/L; PHREEQC (pitzer database).
    outside = aqueous.ph({"caustic": 44.93}, 25)
    shown = float(words.split("pH about ")[1].split(";")[0])
    assert shown == pytest.approx(outside, abs=0.3)


def test_each_is_answered_for_their_own_last_figure(heron: Crew) -> None:
    heron.says("Luis", "mezcla 4 gal de abrillantador")
    heron.says("Ana", "mix 4 gal stripper")
    assert "abrillantador" in said(heron, "por qué?", "Luis")["text"]
    assert "stripper" in said(heron, "why?")["text"]


def test_dry(heron: Crew) -> None:
    heron.says("Ana", "70 F, humidity 65")
    heron.says("Ana", "final rinse done on A")
    heron.says("Ana", "when can we coat A")
    text = said(heron, "why?")["text"]
    assert "wood settles at 12 % (Wood Handbook table 4-2)" in text  # 12.0 there
    assert "Two to three good drying days: common practice" in text
    assert "Target 15 %: common practice." in text


def test_the_latest_start_and_the_cost(heron: Crew) -> None:
    heron.says("Dana", "location 41.24, -72.62")
    heron.says("Dana", "plan")
    assert (
        "of work. Sun by place and date (41.24, -72.62; Meeus)."
        in said(heron, "why so early", "Dana")["text"]
    )
    heron.says("Dana", "bought 10 lb brightener for 30")
    heron.says("Dana", "mix 4 gal brightener")
    # 30 for 10 lb: 3 for the pound that 4 gal take.
    assert "= 3.00." in said(heron, "why that price", "Dana")["text"]


@pytest.mark.parametrize("text", ["why?", "por qué?"])
def test_before_any_figure_it_says_how_to_ask(crew: Crew, text: str) -> None:
    who = "Ana" if text == "why?" else "Luis"
    crew.says("Dana", "new job Heron Point")
    assert "figure" in said(crew, text, who)["text"] or "cifra" in said(crew, text, who)["text"]


@pytest.mark.parametrize(
    "text",
    ["why did the deck break up with the fence? too many splinters", "why not", "why is the foam brown?"],
)
def test_what_asks_no_figure_gets_none(heron: Crew, text: str) -> None:
    heron.says("Ana", "mix 4 gal brightener")
    assert "16 oz" not in said(heron, text)["text"]
