"""Readings of which the wet ones were dropped, and figures that the text does not hold."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from bot import app
from bot.understand import lexicon
from bot.understand.reading import understand
from tests.conftest import Crew
from tests.test_attack import words

NOW = datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York"))
WORDS = lexicon.load(app.FOLDER)


def slots(text: str) -> list[dict[str, Any]]:
    reading = understand(text, WORDS, NOW, known_sections=("A", "B", "stairs"))
    return [a.to_json() for a in (*reading.acts, *reading.ask)]


WETTEST = {  # the wettest of these is over 15 %: dry is never to be answered
    "A moisture max 22 min 12": 22, "A moisture 12 most, 22 worst": 22, "A moisture 12..22": 22,
    "A moisture 2O 12": 20, "A moisture 12 2Z": 22, "A moisture l8 12": 18, "A moisture 1 6 1 7": 17,
}  # fmt: skip


@pytest.mark.parametrize(("text", "wettest"), WETTEST.items(), ids=range(len(WETTEST)))
def test_the_wettest_reading_is_heard_or_asked_for(text: str, wettest: int) -> None:
    """ "max 22 min 12" gave [12]: "dry enough now", and the owner "ready to coat"."""
    heard = [s["readings"] for s in slots(text) if s.get("readings")]
    assert not heard or max(max(h) for h in heard) == wettest, heard


@pytest.mark.parametrize("text", ["B moisture OL 12", "B moisture off scale 12", "B moisture 12, one spot off the scale"])
def test_a_meter_at_its_end_is_no_dry_wood(heron: Crew, text: str) -> None:
    """ "OL" is what meters show of wood too wet to read."""
    for said in ("started B", "B rinsed", "brightener on B", "B rinsed"):
        heron.says("Ana", said)
        heron.later(20)
    heron.at("09:00", "2026-06-14")
    out = heron.says("Ana", text)
    assert "dry enough" not in words(out, "Ana") and "ready to coat" not in words(out, "Dana")


VOLUMES = {  # None: nothing, to be asked for
    "mix 1\u20442 gal brightener": 0.5, "mix 1 000 gal brightener": None, "mix 1/0 gal brightener": None,
    "mix 1/2/3 gal brightener": None, "mix 4\u200b5 gal brightener": 45, "mix 4..5 gal brightener": None,
}  # fmt: skip


@pytest.mark.parametrize(("text", "volume"), VOLUMES.items(), ids=range(len(VOLUMES)))
def test_a_volume_is_the_one_that_stands_there_or_asked_for(text: str, volume: float | None) -> None:
    """A phone's own fraction (U+2044) gave 2 gallons instead of half a gallon, 1/0 and "1 000" gave 0."""
    heard = {s["volume"]["value"] for s in slots(text) if s.get("volume")}
    assert heard <= ({volume} - {None}), heard


@pytest.mark.parametrize("text", ["B rinsed at 25:00", "B rinsed at 9:75", "started B at 9:5"])
def test_a_time_that_is_none_is_asked_about(text: str) -> None:
    """ "at 9:75" was dropped and the rinse written as of now; "at 9:5" became 9:00."""
    assert all("at" in s.get("missing", ()) for s in slots(text)), slots(text)
