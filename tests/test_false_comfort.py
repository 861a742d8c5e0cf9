""" "Dry enough", "ready to coat" and "neutral" are said only where they are so."""

from __future__ import annotations

import pytest

from tests.conftest import Crew
from tests.test_attack import words

DONE = ("started B", "B rinsed", "brightener on B", "B rinsed")


def told(crew: Crew, *texts: str, apart: float = 20) -> None:
    for text in texts:
        crew.says("Ana", text)
        crew.later(apart)


# ---- the owner's "ready to coat"


def test_the_owner_hears_of_no_dry_wood_hours_after_the_rinse(heron: Crew) -> None:
    """The crew reads "a dry reading can't be trusted"; the owner read "dry enough now, ready to coat"."""
    told(heron, *DONE)
    out = heron.says("Ana", "B moisture 14")
    assert "trusted" in words(out, "Ana") and "ready to coat" not in words(out, "Dana")


@pytest.mark.parametrize("before", [(), ("B pH 11",)])
def test_the_owner_hears_of_nothing_ready_that_was_never_neutralised(heron: Crew, before: tuple[str, ...]) -> None:
    """The crew reads "Don't coat before"; the owner read "ready to coat"."""
    told(heron, "started B", "B rinsed", *before)
    heron.at("09:00", "2026-06-14")
    out = heron.says("Ana", "B moisture 12")
    assert "coat before" in words(out, "Ana") and "ready to coat" not in words(out, "Dana")


# ---- the coat itself


def test_coating_caustic_wood_is_warned_of(heron: Crew) -> None:
    """The last pH told is 11 and nothing was brightened: "B coating begun", and no word of it to anybody."""
    told(heron, "started B", "B rinsed", "B pH 11")
    heron.at("09:00", "2026-06-14")
    heron.says("Ana", "B moisture 12")
    out = heron.says("Ana", "started oil on B")
    assert any(x["loud"] for x in out if x["to"] == "Ana"), words(out, "Ana")


def test_coating_on_a_reading_of_hours_after_the_rinse_is_warned_of(heron: Crew) -> None:
    told(heron, *DONE)
    heron.says("Ana", "B moisture 14")
    out = heron.says("Ana", "started oil on B")
    assert "trusted" in words(out, "Ana") or any(x["loud"] for x in out if x["to"] == "Ana"), words(out, "Ana")


# ---- readings that say nothing of now


@pytest.mark.parametrize("asked", ["when can we coat B", "is B dry?"])
def test_a_reading_of_weeks_ago_is_told_with_its_day(heron: Crew, asked: str) -> None:
    """Five weeks later, whatever fell meanwhile untold: "dry enough now", and not a word of when it was read."""
    told(heron, *DONE)
    heron.at("09:00", "2026-06-14")
    heron.says("Ana", "B moisture 14")
    heron.at("09:00", "2026-07-20")
    out = words(heron.says("Ana", asked), "Ana")
    assert "dry enough now" not in out or "6/14" in out, out


def test_a_reading_that_no_wood_outdoors_has_is_asked_about(heron: Crew) -> None:
    """A pin meter reads from about 6 %, and no air of this climate dries wood below 4 % (Wood Handbook, table 4-2):
    "2" is a slip of "22" or "12"."""
    told(heron, *DONE)
    heron.at("09:00", "2026-06-14")
    out = heron.says("Ana", "B moisture 2")
    assert "dry enough" not in words(out, "Ana") and "ready to coat" not in words(out, "Dana")


# ---- neutral


def test_neutral_is_not_said_of_wood_on_which_stripper_stands(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.later(5)
    out = words(heron.says("Ana", "B pH 7"), "Ana")
    assert "Good" not in out, out


def test_neutral_of_before_another_pass_is_no_neutral(heron: Crew) -> None:
    """A was neutral, then stripped once more and only rinsed: the owner read "all sections read neutral"."""
    told(heron, "started A", "A rinsed", "brightener on A", "A rinsed", "A pH 7", "stairs pH 7", "started A", "A rinsed")
    out = heron.says("Ana", "B pH 7")
    assert "all sections read neutral" not in words(out, "Dana")


def test_all_neutral_is_not_said_while_wood_stands_wet(heron: Crew) -> None:
    told(heron, "A, B and stairs pH 7", "started A")
    out = heron.says("Ana", "B pH 7")
    assert "all sections read neutral" not in words(out, "Dana")


# ---- wood on which nothing may stand


@pytest.mark.parametrize(("site", "word"), [("treated wood, built 1990", "arsenic"), ("house built 1950", "lead")])
def test_wood_told_as_covered_is_refused_as_wood_begun_is(heron: Crew, site: str, word: str) -> None:
    """ "started B" is refused there; "B covered" got clocks and no word of the arsenic or the lead."""
    heron.says("Dana", site)
    assert word in words(heron.says("Ana", "started B"), "Ana")
    assert word in words(heron.says("Ana", "B covered"), "Ana")
