"""Spanish as thumbs and ears write it: read the same as it is spelled in books, and never as something else."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bot.understand import lexicon
from bot.understand.alarm import alarm
from bot.understand.reading import understand

LEXICON = lexicon.load(Path(__file__).parents[1] / "handlers")
NOW = datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York"))


def read(text: str) -> tuple[object, object]:
    got = understand(text, LEXICON, NOW)
    return [a.to_json() for a in got.acts], [a.to_json() for a in got.ask]


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("ya labamos la A", "ya lavamos la A"), ("ya se labo la A", "ya se lavo la A"),
        ("hechamos decapante en la A", "echamos decapante en la A"), ("henpezamos la B", "empezamos la B"),
        ("la B empeso a las 8:10", "la B empezo a las 8:10"), ("la A enjuagá", "la A enjuagada"),
        ("B cubielta", "B cubierta"), ("baranda enjuagao", "baranda enjuagado"), ("lo tablone a 95", "los tablones a 95"),
        ("aser 3 gal de abrillantador", "hacer 3 gal de abrillantador"),
        ("ya tamo en la obra", "ya estamos en la obra"),
        ("ase calor, 95", "hace calor, 95"), ("kien enjuago la B", "quien enjuago la B"),
        ("a k hora empezo la B", "a que hora empezo la B"), ("k falta por hacer", "que falta por hacer"),
        ("a k hora enjuagamos la C", "a que hora enjuagamos la C"), ("hay k enjuagar la B", "hay que enjuagar la B"),
        ("ya esta echo el balde de 3 gal de stripper", "ya esta hecho el balde de 3 gal de stripper"),
    ],
)  # fmt: skip
def test_a_slip_is_read_as_what_it_sounds_like(typed: str, meant: str) -> None:
    assert read(typed) == read(meant)


@pytest.mark.parametrize(
    ("text", "section"), [("empezamos la k", "K"), ("la k enjuagada", "K"), ("rociamos la j y la k", "K")]
)
def test_a_section_k_stays_a_section(text: str, section: str) -> None:
    acts, _ = read(text)
    assert isinstance(acts, list) and section in acts[0]["sections"]


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("me kayo en los ojoz", "eye"), ("me alde el ojo", "eye"), ("me alden los ojos", "eye"), ("me alde la mano", "skin"),
        ("bomitando esta luis", "other"), ("esta zangrando", "other"), ("me kemo la mano el stripper", "skin"),
        ("se resvalo luis", "slip"), ("me pikan los ojos", "eye"),
    ],
)  # fmt: skip
def test_an_injury_is_heard_through_the_slips_of_the_ear(text: str, kind: str) -> None:
    assert alarm(text) == kind
