"""What is said: every key that the code uses has words in both languages, and every field of one is in the other."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bot.amounts import Reader
from bot.outcome import line, say
from bot.speech import FIELD, Phrases, Speech
from bot.trade.units import Q

ROOT = Path(__file__).resolve().parent.parent
PHRASES = Phrases(ROOT / "handlers")
USED = re.compile(r"""(?<!def )(?:\bline|\bask|\bButton|\bLine)\(\s*\n?\s*"([a-z_0-9]+)\"""")
READERS = {
    lang: Reader(lang, "us", datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York")))
    for lang in ("en", "es")
}


def used() -> set[str]:
    files = [*ROOT.glob("handlers/*.py"), *ROOT.glob("bot/*.py")]
    return {key for f in files for key in USED.findall(f.read_text(encoding="utf-8"))}


def test_every_key_that_the_code_names_is_said() -> None:
    assert len(used()) > 150  # else the search above has gone blind
    assert used() - set(PHRASES.said) == set()


@pytest.mark.parametrize("key", sorted(PHRASES.said))
def test_both_languages_show_the_same_values(key: str) -> None:
    en, es = (sorted(set(FIELD.findall(PHRASES.said[key][lang]))) for lang in ("en", "es"))
    assert en == es


@pytest.mark.parametrize(
    ("value", "form", "en", "es"),
    [
        # by hand from exact units (NIST SP 811): 16 oz = 453.6 g; 4.25 gal; 38 C = 100.4 F
        (Q(16, "ounce"), "all", "1 lb (16 oz, 454 g)", "1 lb (16 oz, 454 g)"),
        (Q(24, "ounce"), "", "1 lb 8 oz", "1 lb 8 oz"),
        (Q(4.25, "gallon"), "", "4.25 gal", "4.25 gal"),
        (Q(0.125, "gallon"), "", "2 cups", "2 tazas"),
        (Q(38, "degC"), "", "100 F", "100 F"),
        (("A", "B", "stairs"), "section", "A, B and stairs", "A, B y escaleras"),
        (datetime(2026, 6, 10, 13, 5, tzinfo=ZoneInfo("America/New_York")), "", "1:05 pm", "13:05"),
        (
            datetime(2026, 6, 11, 9, 5, tzinfo=ZoneInfo("America/New_York")),
            "",
            "Thu 6/11 9:05",
            "jue 11/6 9:05",
        ),
        (80, "", "80", "80"),
    ],
)
def test_values_as_a_reader_sees_them(value: object, form: str, en: str, es: str) -> None:
    speech = Speech(PHRASES)
    assert [speech.show(value, READERS[lang], form) for lang in ("en", "es")] == [en, es]


def test_what_people_type_is_not_read_as_a_template() -> None:
    said = Speech(PHRASES).say(
        say(line("noted", text="{emergency} <b>&</b>", for_sections=None)), READERS["en"]
    )
    assert said.text == "Noted: {emergency} <b>&</b>"
