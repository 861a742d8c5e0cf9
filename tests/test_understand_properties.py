"""What holds for any value and any text: values come back, nothing raises, no number out of thin air."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime
from fractions import Fraction
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.understand import numbers
from bot.understand.alarm import alarm
from bot.understand.lexicon import load
from bot.understand.reading import understand

LEXICON = load(Path(__file__).parents[1] / "handlers")
NOW = datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York"))
NAMES = ("A", "B", "C", "D", "E", "F", "B2", "C3", "stairs", "rail", "skirt", "lower deck", "front rail")
UNITS = {"gal": "gal", "gallons": "gal", "qt": "qt", "buckets": "bucket", "liters": "L", "galones": "gal",
         "cubetas": "bucket"}  # fmt: skip
WORDS = sorted(
    {
        word
        for first, phrases in LEXICON.phrases.items()
        for phrase in phrases
        for word in phrase.words
        if word.isalpha() and word not in numbers.WORDS and word not in numbers.PARTS
    }
    - set(numbers.ONE) - set(numbers.SOUNDS_LIKE) - {"couple", "par", "quarters", "cuartos", "noon", "half", "third", "mil"}
)  # fmt: skip
NUMERIC = {"volume", "mass", "readings", "value", "minutes", "seconds", "cost", "count", "length", "width", "height", "area",
           "air_temp", "surface_temp", "humidity", "wind", "rate", "coverage", "dwell", "target", "mist_every"}  # fmt: skip


@given(count=st.integers(1, 60), unit=st.sampled_from(sorted(UNITS)))
def test_any_volume_is_read_back(count: int, unit: str) -> None:
    """A whole number of any unit."""
    (act,) = understand(f"mix {count} {unit} brightener", LEXICON, NOW).acts
    assert act.get("volume") == {"value": count, "unit": UNITS[unit]}


@given(whole=st.integers(0, 9), part=st.sampled_from(["1/2", "1/4", "3/4", "1/3"]), joint=st.sampled_from([" ", "-"]))
def test_any_fraction_is_read_back(whole: int, part: str, joint: str) -> None:
    """ "2 1/2", "2-1/2", "1/2"."""
    text = f"{whole}{joint}{part}" if whole else part
    (act,) = understand(f"mix {text} gal brightener", LEXICON, NOW).acts
    assert act.get("volume")["value"] == pytest.approx(whole + float(Fraction(part)), abs=0.001)


@given(
    names=st.lists(st.sampled_from(NAMES), min_size=1, max_size=5, unique=True),
    last=st.sampled_from([" and ", " y ", " & ", ", "]),
)
def test_any_list_of_sections_is_read_back(names: list[str], last: str) -> None:
    """In the order written, each once."""
    told = ", ".join(names[:-1]) + last + names[-1] if len(names) > 1 else names[0]
    (act,) = understand(f"misted {told}", LEXICON, NOW).acts
    assert list(act.sections) == names


@given(st.text(max_size=300))
def test_no_text_raises(text: str) -> None:
    """Any string gives a reading and an alarm or none."""
    understand(text, LEXICON, NOW)
    alarm(text)


@given(st.lists(st.sampled_from(WORDS), max_size=14).map(" ".join))
def test_words_without_numbers_give_no_quantity(text: str) -> None:
    """No quantity that the text does not carry, whatever the words."""
    reading = understand(text, LEXICON, NOW)
    assert not [slot for act in reading.acts + reading.ask for slot in act.slots if slot in NUMERIC]


@given(st.lists(st.one_of(st.sampled_from(WORDS), st.integers(1, 300).map(str)), max_size=12))
def test_every_quantity_stands_in_the_text(words: list[str]) -> None:
    """Each number of an act is a number of the text (minutes told as seconds or hours aside)."""
    text = " ".join(words)
    told = {float(n) for n in re.findall(r"\d+", text)} | {0.25, 0.33, 0.5, 1.0}
    scaled = {n * f for n in told for f in (1, 60, 1 / 60, 3600, 1 / 100)} | {a + b / 12 for a in told for b in told}
    scaled |= {a + b for a in told for b in (0.25, 0.5)} | {a * b for a in told for b in told} | {1900 + a for a in told}
    for act in understand(text, LEXICON, NOW).acts:
        for slot in NUMERIC & act.slots.keys():
            assert all(any(abs(v - s) < 0.01 for s in scaled) for v in _values(act.slots[slot])), (text, act)


def _values(value: Any) -> Iterator[float]:
    if isinstance(value, dict):
        for inner in value.values():
            yield from _values(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _values(inner)
    elif isinstance(value, (int, float)):
        yield float(value)
