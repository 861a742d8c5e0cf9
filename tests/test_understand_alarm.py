"""Injury words in any spelling, and what only sounds like them."""

from __future__ import annotations

import pytest

from bot.understand.alarm import alarm


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("eye burning help", "eye"),
        ("hlep eye brning", "eye"),
        ("EYE!! stripper", "eye"),
        ("got brightener in my eyes", "eye"),
        ("me cayo en el ojo", "eye"),
        ("me calló stripper en el ojo", "eye"),
        ("le salpicó en los ojos ayuda", "eye"),
        ("me cayo stripper on the arm its burning que hago", "skin"),
        ("burned my hand with the caustic", "skin"),
        ("me quemé el brazo con la sosa", "skin"),
        ("gel dripped on my leg and it stings", "skin"),
        ("he cant breathe from the powder", "breathing"),
        ("no puede respirar", "breathing"),
        ("he swallowed some stripper", "swallowed"),
        ("se tragó el decapante", "swallowed"),
        ("luis fell off the ladder", "slip"),
        ("me resbale en las gradas", "slip"),
        ("call 911", "other"),
        ("se cortó la mano, está sangrando", "slip"),
    ],
)
def test_an_injury_rings(text: str, kind: str) -> None:
    """The kind decides the first line of the answer."""
    assert alarm(text) == kind


@pytest.mark.parametrize(
    "text",
    [
        "my eye doctor appointment is at 3",
        "keep an eye on D",
        "eye on D",
        "nobody got hurt dont worry just a loud bang",
        "nadie se lastimo",
        "hoy no se cayó nadie",
        "queda un tercio en la A",
        "ahora con el abrillantador en la B",
        "wear goggles so it doesnt splash in your eyes",
        "si te cae en el ojo te lavas",
        "me arde la boca con ese chile",
        "burned my tongue on the coffee",
        "the azaleas got burned",
        "se cayó el sistema",
        "B is burning daylight",
        "turning the corner on D",
        "",
    ],
)
def test_no_injury_is_no_alarm(text: str) -> None:
    """An appointment, a warning, a plant or a pun does not ring."""
    assert alarm(text) is None
