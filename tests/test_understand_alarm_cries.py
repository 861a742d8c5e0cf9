"""Cries of a person in a hurry (no articles, no blanks, one word) that were answered "nothing written down"."""

from __future__ import annotations

import pytest

from bot.understand.alarm import alarm

UNHEARD = [
    # nobody breathes, somebody is hurt: the plainest words there are
    "luis no respira", "no respira", "somebody hurt", "luis hurt", "hurt bad", "injured", "herido", "lastimado",
    "need a doctor", "accident", "accidente", "hospital", "burned", "quemado", "cortada", "shocked", "seizure",
    "luis is on the ground", "luis is down", "i cant see", "cant see anything", "no puedo ver", "🆘",
    # a chemical and a part of the body, without "my" or "his"
    "acid on face", "stripper in the face", "acid in the mouth", "stripper on hand", "acid on arm", "stripper all over me",
    "got splashed bad", "bleach in the mouth", "decapante en cara", "acido en brazo",
    # falls without an article
    "fell off ladder", "fell off roof", "fell down stairs", "fell thru the deck", "tumbled off the ladder",
    "resbalo en la escalera", "caida de la escalera",
    # wounds in two words
    "nail in foot", "nail through foot", "cut finger", "hand cut bad", "corte en la mano", "se golpeo",
    # the blank left out, as wet gloves do ("missing spaces" are ordinary input: acts.md)
    "eyeburning", "eyeburning help", "acid in myeye", "acidin my eye", "my eyeburns", "meardeelojo", "me ardeel ojo",
    # what a phone puts between and in place of letters
    "e\u200bye burn\u200bing help", "ｅｙｅ ｂｕｒｎｉｎｇ", "𝐞𝐲𝐞 𝐛𝐮𝐫𝐧𝐢𝐧𝐠",
    # something burns
    "fire!!", "house on fire", "bleach fumes",
]  # fmt: skip


@pytest.mark.parametrize("text", UNHEARD, ids=range(len(UNHEARD)))
def test_a_cry_is_heard(text: str) -> None:
    assert alarm(text) is not None, text
