"""Cries of a person in a hurry: no articles, no blanks, other letters, one word; and nothing that hangs."""

from __future__ import annotations

import time
from itertools import product

import pytest

from bot.understand.alarm import alarm
from bot.understand.cries import cleared, told

CHEMICALS = ("stripper", "acid", "brightener", "caustic", "gel", "bleach", "some acid", "the stripper")
WHOSE = ("", "my ", "his ", "luis ", "luis's ", "the ", "her left ")
BODY = {
    "eye": ("eye", "eyes"), "swallowed": ("mouth", "throat"), "breathing": ("lungs",),
    "skin": ("nose", "face", "hands", "arm", "leg", "foot", "skin", "neck", "lips", "hair", "fingers", "knee", "wrist"),
}  # fmt: skip
CUERPO = {
    "eye": ("ojo", "ojos"), "swallowed": ("boca", "garganta"), "breathing": ("pulmones",),
    "skin": ("nariz", "cara", "mano", "brazo", "pierna", "pie", "piel", "cuello", "espalda", "dedos", "cabeza"),
}  # fmt: skip
EN = [(c, p, w, b, k) for c, p, w in product(CHEMICALS, ("in", "on"), WHOSE) for k, parts in BODY.items() for b in parts]
QUIMICOS = ("decapante", "acido", "sosa", "cloro", "el acido", "quimico")
ES = [
    (c, "en", w, b, k)
    for c, w in product(QUIMICOS, ("", "la ", "el ", "mi ", "su ", "los "))
    for k, parts in CUERPO.items()
    for b in parts
]


def test_a_chemical_on_a_part_of_the_body_is_heard_however_it_is_said() -> None:
    """With or without my, his and the: the part tells the kind."""
    assert [t for c, p, w, b, k in EN + ES if alarm(t := f"{c} {p} {w}{b}") != k] == []


@pytest.mark.parametrize("text", ["face full of stripper", "mano llena de acido", "hand got acid on it", "arm full of gel"])
def test_the_part_may_come_first(text: str) -> None:
    assert alarm(text) == "skin"


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("e\u200bye burn\u200bing help", "eye"), ("my e\u00adye burns", "eye"), ("E\u2060YE BURNING", "eye"),
        ("ｅｙｅ ｂｕｒｎｉｎｇ", "eye"), ("𝐞𝐲𝐞 𝐛𝐮𝐫𝐧𝐢𝐧𝐠", "eye"), ("ⓔⓨⓔ ⓑⓤⓡⓝⓢ", "eye"), ("eye，burning", "eye"),
        ("Ｈｅ ｃａｎ’ｔ ｂｒｅａｔｈｅ", "breathing"), ("i can`t breathe", "breathing"), ("me cayo\u0301 en el ojo", "eye"),
        ("🆘", "other"), ("luis 🆘", "other"), ("eyeeee burning", "eye"), ("heelp my eye", "eye"),
    ],
)  # fmt: skip
def test_letters_of_another_shape_are_letters(text: str, kind: str) -> None:
    """What a phone puts between letters or in place of them."""
    assert alarm(text) == kind


@pytest.mark.parametrize(
    "text",
    [
        "oye mano se quemo luis con el acido", "oye mano no despierta", "i twisted my back on the back stairs",
        "so we were on the lower deck and then luis fell off ladder", "somebody hurt by the hand rail",
    ],
)  # fmt: skip
def test_what_is_taken_out_takes_nothing_with_it(text: str) -> None:
    """A friend, a back stair and another matter beside the cry."""
    assert alarm(text)


CALLS = ("{}", "hey {}", "oye jefe {}", "{} what do i do", "{} help", "{} que hago", "{}!!!", "{}... come quick")


@pytest.mark.parametrize("text", CALLS)
@pytest.mark.parametrize("cry", ["somebody hurt", "accident", "seizure", "fell off ladder", "nail in foot", "i cant see"])
def test_calls_before_and_behind_change_nothing(cry: str, text: str) -> None:
    assert alarm(text.format(cry))


@pytest.mark.parametrize(
    "text", ["misting the face boards", "several handrails", "the alarm", "enojo del cliente", "handsome deck", "en marzo"]
)
def test_ordinary_words_are_not_parted_or_mended_into_cries(text: str) -> None:
    """ "misting" is no "mi sting", "marzo" no "mareo"."""
    assert told(text)[0].replace("whatnot", "face boards") == cleared(text)
    assert alarm(text) is None


@pytest.mark.parametrize(
    "text",
    [
        "a" * 2000, "eye" * 666, "myeyein" * 285, "eye " * 500, "got my the a one hand of " * 80, "mano " * 400, "🆘" * 2000,
        "meardeelojo" * 180, "nail splash a hand " * 105, "on hand ? " * 200, "e" + "\u0301" * 2000, "and que cayo a " * 133,
        "ﷺ" * 2000,
    ],
)  # fmt: skip
def test_no_text_makes_it_hang(text: str) -> None:
    """2,000 letters of anything are read at once."""
    began = time.process_time()
    alarm(text)
    assert time.process_time() - began < 1
