"""Docs that cannot lie: the README's talk is rehearsed, its crew page understood, its settings and verbs are there."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bot.__main__ import USAGE
from bot.understand import lexicon
from bot.understand.alarm import alarm
from bot.understand.reading import understand
from tests.conftest import Crew, reply

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
LEXICON = lexicon.load(ROOT / "handlers")
NOW = datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York"))


def crew_pages() -> list[str]:
    rows = [r for r in README.splitlines() if r.startswith("| ") and "**" not in r]
    return [said for r in rows for said in re.findall(r"`([^`]+)`", r.split("|")[2])]


@pytest.mark.parametrize("text", crew_pages())
def test_what_the_crew_page_says_is_understood(text: str) -> None:
    reading = understand(text, LEXICON, NOW)
    assert reading.acts and not reading.ask, text


def hurt_words() -> list[str]:
    rows = [r for r in README.splitlines() if r.startswith("| **")]
    return [said for r in rows for said in re.findall(r"`([^`]+)`", r)]


@pytest.mark.parametrize("text", hurt_words())
def test_the_injury_words_of_the_crew_page(text: str) -> None:
    assert alarm(text)


def test_the_talk_at_the_top_is_real(crew: Crew) -> None:
    for text in ("new job Trial Row", "A 12x16 ft", "B 10x12 ft"):
        crew.says("Dana", text)
    crew.at("09:40")
    said = [reply(crew.says("Ana", "mix 4 gal brightener"))["text"]]
    crew.at("09:50")
    crew.says("Ana", "plants are soaked, plastic is up")
    said.append(reply(crew.says("Ana", "startd sec B"))["text"])
    for text in said:
        for row in text.splitlines()[:3]:
            assert row in README, row


def test_every_verb_is_told() -> None:
    for verb in ("serve", "talk", "rehearse", "understand", "invite", "report", "backup", "restore", "check"):
        assert verb in USAGE
