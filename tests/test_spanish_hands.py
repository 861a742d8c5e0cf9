"""Starts, mists and covers in a Spanish hand's own words, and what only sounds like them."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bot.understand import lexicon
from bot.understand.reading import understand

LEXICON = lexicon.load(Path(__file__).parents[1] / "handlers")
NOW = datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York"))


def read(text: str) -> str:
    """What is heard, and behind "?" what is asked: "rewet", "? rewet finish:rinse"."""
    got = understand(text, LEXICON, NOW)
    name = lambda a: f"{a.name}:{a.get('step') or a.get('result')}" if a.get("step") or a.get("result") else a.name  # noqa: E731
    return " ".join([*map(name, got.acts), *(["?"] if got.ask else []), *map(name, got.ask)])


@pytest.mark.parametrize(
    ("text", "heard"),
    [
        ("ahora si echamos stripper en la D hace 5 min", "? start:strip finish:strip"),
        ("ahora si empezamos la C", "start:strip"), ("ahora si estamos enjuagando la B", "start:rinse"),
        ("ahora si enjuagamos la B", "? start:rinse finish:rinse"), ("ahora si llueve paramos", ""),
        ("ahora si vamos a enjuagar la B", ""),
        ("si, ya enjuagamos la B", "finish:rinse"), ("ok si, ya enjuagamos la B", "finish:rinse"),
        ("si ya enjuagamos la B", "? finish:rinse"), ("si la B ya esta enjuagada", "? finish:rinse"),
        ("si ya enjuagaron la B empiecen la C", ""), ("si ya solto la B enjuaguen", ""), ("si enjuagamos la B se mancha", ""),
        ("a ver si ya enjuagaron la B", ""), ("avisame si ya enjuagamos la B", ""),
        ("le eche agua a la B pa q no se seque", "rewet"), ("le echamos agua a la baranda para que no se seque", "rewet"),
        ("le di una enjuagada a la B pa que no se seque", "? rewet finish:rinse"),
        ("rinsed B so it doesnt dry out", "? rewet finish:rinse"), ("hosed B so it doesnt dry out", "rewet"),
        ("echenle agua a la B pa que no se seque", ""), ("hay que echarle agua a la B para que no se seque", ""),
        ("no le eche agua a la B para que no se seque", ""),
        ("rocio la A", "? rewet"), ("al rato rocio la A", ""), ("enjuago la B", ""),
        ("ya le echo agua a las escaleras", "? rewet finish:rinse"), ("le echo agua a la B?", ""),
        ("ya termine de untar toda la A", "finish:strip"),
        ("ya termine de untar el abrillantador en la A", "finish:brighten"),
    ],
)  # fmt: skip
def test_a_hands_words_are_heard_or_asked_about(text: str, heard: str) -> None:
    assert read(text) == heard
