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
        ("rinsed B 9 y pico no, 9:25", "2026-06-10T09:25"),
        ("rinsed B at 9.40", "2026-06-10T09:40"),
        ("rinsed B 9.15 am", "2026-06-10T09:15"),
        ("rinsed B at nine o five", "2026-06-10T09:05"),
        ("rinsed B at 9-ish", "2026-06-10T09:00"),
        ("rinsed B ten till nine", "2026-06-10T08:50"),
        ("rinsed B at 20 after 9", "2026-06-10T09:20"),
        ("rinsed B half eight", "2026-06-10T08:30"),
        ("rinsed B at 0935", "2026-06-10T09:35"),
        ("rinsed B a half hour back", "2026-06-10T09:30"),
        ("rinsed B an hour and a half ago", "2026-06-10T08:30"),
        ("rinsed B yesterday at 1340", "2026-06-09T13:40"),
        ("rinsed B yesterday 13:40", "2026-06-09T13:40"),
        ("rinsed B yesterday 415", "2026-06-09T16:15"),
        ("rinsed B yesterday evening at 7", "2026-06-09T19:00"),
        ("rinsed B yesterday morning at 7", "2026-06-09T07:00"),
        ("rinsed B last night at 8", "2026-06-09T20:00"),
        ("rinsed B day before yesterday at 4", "2026-06-08T16:00"),
        ("rinsed B at 9:30 no 9:40", "2026-06-10T09:40"),
        ("enjuagamos la B diez pa las nueve", "2026-06-10T08:50"),
        ("enjuagamos la B cuarto pa las diez", "2026-06-10T09:45"),
        ("enjuagamos la B faltando 10 para las 9", "2026-06-10T08:50"),
        ("enjuagamos la B desde las 8", "2026-06-10T08:00"),
        ("enjuagamos la B hace hora y media", "2026-06-10T08:30"),
        ("ayer al medio día enjuagamos la B", "2026-06-09T12:00"),
        ("ayer a la una y media enjuagamos la B", "2026-06-09T13:30"),
        ("anteayer a las 3 de la tarde enjuagamos la B", "2026-06-08T15:00"),
        ("antes de ayer a las 8 de la noche enjuagamos la B", "2026-06-08T20:00"),
        ("el viernes pasado a las 2 enjuagamos la B", "2026-06-05T14:00"),
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


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("rinsed B 2 days ago", "2026-06-08"),
        ("ya enjuagué la B hace dos días", "2026-06-08"),
        ("ya enjuagué la B hace una semana", "2026-06-03"),
        ("rinsed B last night", "2026-06-09"),
        ("ya enjuagué la B el lunes", "2026-06-08"),
        ("ya enjuagué la B anteayer", "2026-06-08"),
    ],
)
def test_days_are_no_minutes(text: str, day: str) -> None:
    """ "hace dos días" is the day, never two minutes ago."""
    (act,) = understand(text, LEXICON, NOW).acts
    assert act.get("at") == day


@pytest.mark.parametrize("text", ["ya enjuagué la B hace ratito", "rinsed B a few minutes ago", "rinsed B just now"])
def test_a_vague_while_ago_is_no_time(text: str) -> None:
    """Nothing is made of "a while"."""
    (act,) = understand(text, LEXICON, NOW).acts
    assert act.name == "finish" and "at" not in act.slots


def test_a_time_still_to_come_is_asked_about() -> None:
    """Done cannot be later than now: the time is missing, not guessed."""
    (act,) = understand("rinsed B at 11:30", LEXICON, NOW).acts
    assert "at" not in act.slots and "at" in act.missing


@given(hour=st.integers(5, 9), minute=st.integers(0, 59))
def test_any_clock_of_the_morning_is_read_back(hour: int, minute: int) -> None:
    """What is written as a clock comes back as that clock."""
    (act,) = understand(f"rinsed B at {hour}:{minute:02d}", LEXICON, NOW).acts
    assert act.get("at") == f"2026-06-10T{hour:02d}:{minute:02d}"


HOURS = ("cinco", "seis", "siete", "ocho", "nueve", "diez")
COUNTED = {5: ("five", "cinco"), 10: ("ten", "diez"), 20: ("twenty", "veinte"), 25: ("twenty five", "veinticinco")}


@given(hour=st.integers(6, 10), back=st.sampled_from(sorted(COUNTED)))
def test_any_countdown_is_read_back(hour: int, back: int) -> None:
    """ "twenty to nine", "veinte para las nueve", "a las nueve menos veinte": so many minutes before the hour."""
    at = f"2026-06-10T{hour - 1:02d}:{60 - back:02d}"
    english, spanish = COUNTED[back]
    for told in (f"at {english} to {hour}", f"{spanish} para las {HOURS[hour - 5]}", f"a las {hour} menos {spanish}"):
        (act,) = understand(f"rinsed B {told}", LEXICON, NOW).acts
        assert act.get("at") == at, told
