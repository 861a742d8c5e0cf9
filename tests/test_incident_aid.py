"""The line of first aid that fits what happened, in both languages, and never more than the label says."""

from __future__ import annotations

import pytest

from tests.conftest import Crew

# Power off before touching, shade and water, fresh air, a jet's wound to hospital: common first-aid teaching,
# from memory; 15 minutes of water: ANSI/ISEA Z358.1.
FITTING = [
    ("Ana", "got zapped by the cord", "POWER OFF FIRST"),
    ("Luis", "le dio toques el cable", "CORTA LA LUZ PRIMERO"),
    ("Ana", "heat stroke i think", "SHADE"),
    ("Luis", "le dio un golpe de calor", "SOMBRA"),
    ("Ana", "he passed out", "CALL 911"),
    ("Luis", "se desmayó", "LLAMA YA al 911"),
    ("Ana", "pressure washer cut me", "even if it looks small"),
    ("Luis", "la hidrolavadora me cortó la mano", "aunque se vea chico"),
    ("Ana", "the bucket is boiling", "never pour more in"),
    ("Luis", "está hirviendo la cubeta", "no eches nada más"),
    ("Ana", "it smells like chlorine", "nobody goes back"),
    ("Luis", "huele mucho a cloro, no aguanto la tos", "que nadie regrese"),
    ("Ana", "i swallowed some", "Do NOT make them vomit"),
    ("Luis", "me tragué un poco", "NO provoques el vómito"),
    ("Ana", "the dog licked the deck", "vet"),
    ("Luis", "el perro lamió la terraza", "veterinario"),
    ("Ana", "a kid walked on the deck", "CHILD OFF"),
    ("Luis", "un niño pisó la terraza", "NIÑO"),
    ("Ana", "runoff going into the pond", "STOP THE WATER"),
    ("Luis", "se está yendo al drenaje", "CORTA EL AGUA"),
    ("Ana", "stepped on a nail", "PRESS"),
    ("Luis", "estoy mareado", "PARA, siéntate"),
]


@pytest.mark.parametrize(("who", "text", "words"), FITTING)
def test_the_line_fits_what_happened(crew: Crew, who: str, text: str, words: str) -> None:
    """The first loud line to who wrote, and the owner is called."""
    out = crew.says(who, text)
    first = next(x for x in out if x["to"] == who and x["loud"])
    assert words in first["text"]
    assert [x for x in out if x["to"] == "Dana" and x["loud"] and x["kind"] == "ping"]


@pytest.mark.parametrize("text", ["he passed out", "got it in my mouth", "my skin feels slimy", "he fell", "throat burns"])
def test_it_gives_no_medical_advice_and_says_so(crew: Crew, text: str) -> None:
    """The label and a doctor come first."""
    first = next(x for x in crew.says("Ana", text) if x["to"] == "Ana" and x["loud"])
    assert "no medical advice" in first["text"] and "doctor" in first["text"]


def test_only_flushing_promises_to_ask_again(crew: Crew) -> None:
    """No promise of a timer that nobody set."""
    first = next(x for x in crew.says("Ana", "he passed out") if x["to"] == "Ana" and x["loud"])
    assert "15 min" not in first["text"]
