"""Injuries told in any words, by the table of injuries.toml: each rings with its kind, and nothing else rings."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from bot.understand.alarm import alarm

TABLE: dict[str, list[str]] = tomllib.loads(Path(__file__).with_name("injuries.toml").read_text(encoding="utf-8"))
HURT = [(kind, text) for kind, texts in TABLE.items() if kind != "none" for text in texts]


@pytest.mark.parametrize(("kind", "text"), HURT)
def test_an_injury_rings_with_its_kind(kind: str, text: str) -> None:
    """The kind decides which first aid is said; the kinds were judged by hand."""
    assert alarm(text) == kind


@pytest.mark.parametrize("text", TABLE["none"])
def test_a_day_of_work_does_not_ring(text: str) -> None:
    """Work, weather, jokes, warnings and what did not happen."""
    assert alarm(text) is None


@pytest.mark.parametrize("kind", ["eye", "skin", "breathing", "swallowed", "slip"])
def test_capitals_accents_and_signs_change_nothing(kind: str) -> None:
    """Shouting and phones that capitalise: the same injury."""
    for text in TABLE[kind]:
        assert alarm(text.upper() + " !!") == kind
