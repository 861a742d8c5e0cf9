"""Replies in Spanish agree with the sections that they name, and what was not heard names one that is wet."""

from __future__ import annotations

import pytest

from tests.conftest import Crew, reply


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("rocie la B", "B: rociada,"), ("rocie las escaleras", "escaleras: rociadas,"),
        ("rocie la A y la B", "A y B: rociadas,"),
        ("ya enjuague la B", "B: enjuagada,"), ("ya enjuague las escaleras", "escaleras: enjuagadas,"),
        ("vamos a comer", "En pausa,"),
    ],
)  # fmt: skip
def test_participles_agree(heron: Crew, text: str, told: str) -> None:
    for name in ("A", "B", "las escaleras"):
        heron.says("Luis", f"empece decapante en {name}")
    assert reply(heron.says("Luis", text), "Luis")["text"].startswith(told)


def test_verbs_and_masculines_agree(heron: Crew) -> None:
    heron.says("Dana", "skirt 20 ft x 2 ft")
    assert "no está mojado," in reply(heron.says("Luis", "rocie el faldon"), "Luis")["text"]
    assert "no están mojadas," in reply(heron.says("Luis", "rocie las escaleras"), "Luis")["text"]
    assert "¿A qué hora se puso decapante en A y B?" in reply(heron.says("Luis", "A y B cubiertas"), "Luis")["text"]


def test_what_was_not_heard_names_the_section_that_is_wet(heron: Crew) -> None:
    assert "empecé la B" in reply(heron.says("Luis", "jaja"), "Luis")["text"]
    heron.says("Luis", "empece las escaleras")
    out = reply(heron.says("Luis", "jaja"), "Luis")
    assert "como: escaleras rociadas." in out["text"] and len(out["buttons"]) == 2
    heron.says("Luis", "empece la B")
    assert reply(heron.says("Luis", "jaja"), "Luis")["buttons"] == []
