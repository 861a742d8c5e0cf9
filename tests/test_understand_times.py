"""Times as crews write them; expected moments worked out by hand for Wednesday 2026-06-10, 10:00."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.understand.lexicon import load
from bot.understand.reading import understand

LEXICON = load(Path(__file__).parents[1] / "handlers")
NOW = datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York"))


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("rinsed B 10 min ago", "2026-06-10T09:50"),
        ("rinsed B about 20 minutes ago", "2026-06-10T09:40"),
        ("rinsed B half an hour ago", "2026-06-10T09:30"),
        ("rinsed B an hour ago", "2026-06-10T09:00"),
        ("rinsed B at 9:40", "2026-06-10T09:40"),
        ("rinsed B 935", "2026-06-10T09:35"),
        ("rinsed B at quarter to ten", "2026-06-10T09:45"),
        ("rinsed B at half past nine", "2026-06-10T09:30"),
        ("rinsed B at half nine", "2026-06-10T09:30"),
        ("rinsed B at ten to ten", "2026-06-10T09:50"),
        ("rinsed B at nine thirty", "2026-06-10T09:30"),
        ("rinsed B at nine oh five", "2026-06-10T09:05"),
        ("rinsed B at 9am", "2026-06-10T09:00"),
        ("rinsed B yesterday 4pm", "2026-06-09T16:00"),
        ("rinsed B yesterday at 415", "2026-06-09T16:15"),
        ("rinsed B monday at 4:30", "2026-06-08T16:30"),
        ("rinsed B yesterday at noon", "2026-06-09T12:00"),
        ("rinsed B june 8 at 3pm", "2026-06-08T15:00"),
        ("enjuagamos la B hace 10 min", "2026-06-10T09:50"),
        ("enjuagamos la B hace media hora", "2026-06-10T09:30"),
        ("enjuagamos la B hace un cuarto de hora", "2026-06-10T09:45"),
        ("enjuagamos la B a las 9 y cuarto", "2026-06-10T09:15"),
        ("enjuagamos la B a las nueve y media", "2026-06-10T09:30"),
        ("enjuagamos la B a las diez menos cuarto", "2026-06-10T09:45"),
        ("enjuagamos la B a las diez menos diez", "2026-06-10T09:50"),
        ("enjuagamos la B a las nueve y treinta y cinco", "2026-06-10T09:35"),
        ("enjuagamos la B al cuarto para las diez", "2026-06-10T09:45"),
        ("ayer a las 4 enjuagamos la B", "2026-06-09T16:00"),
        ("ayer a las 5 de la tarde enjuagamos la B", "2026-06-09T17:00"),
        ("el lunes a las 4 enjuagamos la B", "2026-06-08T16:00"),
    ],
)
def test_a_told_time_is_the_moment_it_means(text: str, at: str) -> None:
    """Always in the past, to the minute."""
    (act,) = understand(text, LEXICON, NOW).acts
    assert (act.name, act.get("at"), act.sections) == ("finish", at, ("B",))


@pytest.mark.parametrize("text", ["moisture on B is 16", "moisture 15% on B", "B is 12x16 ft", "ph on B is 7"])
def test_a_number_is_not_taken_for_a_time(text: str) -> None:
    """A percentage, a size or a reading is no clock."""
    assert all("at" not in act.slots for act in understand(text, LEXICON, NOW).acts)


def test_a_day_alone_is_kept_as_a_day() -> None:
    """No time of the day is made up."""
    (act,) = understand("rinsed B yesterday", LEXICON, NOW).acts
    assert act.get("at") == "2026-06-09" and "at" in act.assumed


def test_a_time_still_to_come_is_asked_about() -> None:
    """Done cannot be later than now: the time is missing, not guessed."""
    (act,) = understand("rinsed B at 11:30", LEXICON, NOW).acts
    assert "at" not in act.slots and "at" in act.missing


@given(hour=st.integers(5, 9), minute=st.integers(0, 59))
def test_any_clock_of_the_morning_is_read_back(hour: int, minute: int) -> None:
    """What is written as a clock comes back as that clock."""
    (act,) = understand(f"rinsed B at {hour}:{minute:02d}", LEXICON, NOW).acts
    assert act.get("at") == f"2026-06-10T{hour:02d}:{minute:02d}"
