"""The language somebody is answered and reminded in: the one they clearly write, unless they chose one."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conftest import Crew, reply


@pytest.fixture
def newcomers(tmp_path: Path) -> Iterator[Crew]:
    """Heron Point, where nobody has said yet which language they want: Ana's phone is English, Luis's Spanish."""
    made = Crew(tmp_path, settled=False)
    for text in ("new job Heron Point", "A 12x16 ft", "B 10x12 ft"):
        made.says("Dana", text)
    yield made
    made.store.close()


@pytest.mark.parametrize(
    ("who", "text", "language"),
    [
        ("Ana", "empecé la B", "es"), ("Ana", "ya rociamos la baranda", "es"),
        ("Ana", "ayuda", "es"), ("Ana", "A cubierta", "es"), ("Ana", "rocie las escaleras", "es"),
        ("Ana", "q hago si se seca el stripper", "es"), ("Ana", "cuanto brightener pa la B", "es"),
        ("Ana", "started B", "en"), ("Ana", "no worries jefe", "en"), ("Ana", "B is listo with the final rinse", "en"),
        ("Luis", "we are starting the stripper on B", "en"), ("Luis", "how do I mist", "en"),
        ("Luis", "started B", "es"), ("Luis", "mix 4 gal brightener", "es"), ("Luis", "B rinsed", "es"),
        ("Luis", "borra el last entry, my bad", "es"), ("Luis", "ok", "es"),
    ],
)  # fmt: skip
def test_the_first_clear_message_sets_the_language(newcomers: Crew, who: str, text: str, language: str) -> None:
    newcomers.says(who, text)
    told = newcomers.store.row("select language from people where name = ?", who)
    assert told is not None and told["language"] == language
    assert reply(newcomers.says(who, "help"), who)["text"].startswith("Escribe") == (language == "es")


def test_what_rings_speaks_the_language_last_written(newcomers: Crew) -> None:
    assert reply(newcomers.says("Ana", "empecé decapante en la B"))["text"].startswith("B: decapante puesto")
    assert any("rocía" in x["text"].lower() for x in newcomers.later(25) if x["to"] == "Ana")
    assert "mist" in reply(newcomers.says("Ana", "I misted the whole of B and it is loose"))["text"].lower()
    assert any("rinse" in x["text"].lower() for x in newcomers.later(40) if x["to"] == "Ana")


def test_once_clear_a_lone_word_of_the_other_language_changes_nothing(newcomers: Crew) -> None:
    newcomers.says("Ana", "we are here and starting the day")
    assert reply(newcomers.says("Ana", "gracias"))["text"] == reply(newcomers.says("Ana", "hmm"))["text"]


def test_who_chose_a_language_keeps_it(newcomers: Crew) -> None:
    newcomers.says("Luis", "language en")
    assert "stripper on" in reply(newcomers.says("Luis", "ya empecé con la B"), "Luis")["text"]
    newcomers.says("Luis", "idioma español")
    assert "decapante puesto" in reply(newcomers.says("Luis", "we are starting the stripper on A"), "Luis")["text"]


def test_first_aid_is_in_the_words_of_the_cry_whatever_was_chosen(newcomers: Crew) -> None:
    newcomers.says("Ana", "language en")
    out = newcomers.says("Ana", "me entró decapante en el ojo")
    assert any("agua" in x["text"] for x in out if x["to"] == "Ana")
