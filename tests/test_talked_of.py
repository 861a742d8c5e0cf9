"""Which section is meant where none is named: the one that rang, unless who writes is at another wet one."""

from __future__ import annotations

import pytest
from conftest import Crew, reply

WORDS = ["rinsed", "misted", "5 more", "rinsing"]


def _moved(crew: Crew) -> list[str]:
    return [n for r in crew.standing() if r["kind"] in ("finish", "rewet", "extend") or r["data"].get("step") == "rinse"
            for n in r["sections"]]  # fmt: skip


@pytest.mark.parametrize("text", WORDS)
def test_what_somebody_says_who_works_elsewhere_is_not_of_the_section_that_rang(heron: Crew, text: str) -> None:
    heron.says("Ana", "started stripper on A")
    heron.later(5)
    heron.says("Luis", "started stripper on B")
    heron.later(6)  # the check of A rings
    heron.says("Luis", text)
    assert "A" not in _moved(heron)


@pytest.mark.parametrize("text", WORDS)
def test_whoever_went_on_to_another_section_is_asked_which(heron: Crew, text: str) -> None:
    heron.says("Ana", "started stripper on A")
    heron.later(10)
    heron.says("Ana", "A still stuck")
    heron.later(1)
    heron.says("Ana", "started stripper on B")
    asked = reply(heron.says("Ana", text))
    assert _moved(heron) == [] and "A" in asked["buttons"][0]


@pytest.mark.parametrize("text", WORDS)
def test_the_section_that_rang_is_meant_by_who_works_on_it(heron: Crew, text: str) -> None:
    heron.says("Ana", "started stripper on A")
    heron.later(2)
    heron.says("Luis", "started stripper on B")
    heron.later(8)
    heron.says("Ana", text)
    assert _moved(heron) == ["A"]


def test_one_hose_rinses_no_two_sections_at_once(heron: Crew) -> None:
    heron.says("Ana", "started stripper on A and B")
    heron.later(12)  # one bell about both
    heron.says("Ana", "rinsing")
    assert _moved(heron) == []


@pytest.mark.parametrize("text", ["both", "las dos", "ambas"])
def test_both_are_the_two_that_were_asked_about(heron: Crew, text: str) -> None:
    heron.says("Ana", "started stripper on A")
    heron.says("Ana", "started stripper on B")
    heron.says("Ana", "misted")
    heron.says("Ana", text)
    assert _moved(heron) == ["A", "B"]


@pytest.mark.parametrize(("text", "moved"), [
    ("rinsed them both", ["A", "B"]), ("rinsing both", ["A", "B"]), ("enjuague las dos", ["A", "B"]),
    ("rinsed both ends", []), ("misted both sides", []),
])  # fmt: skip
def test_both_of_two_are_no_both_ends_of_one(heron: Crew, text: str, moved: list[str]) -> None:
    heron.says("Ana", "started stripper on A")
    heron.says("Ana", "started stripper on B")
    heron.later(12)
    heron.says("Ana", text)
    assert _moved(heron) == moved
