"""What goes on from the word before is asked about, for acid with no clock is the danger; other talk is not."""

from __future__ import annotations

import pytest

from tests.conftest import Crew


@pytest.mark.parametrize("text", ["and on B just now", "y en la B también"])
def test_and_on_b_is_offered_what_was_told_of_a(heron: Crew, text: str) -> None:
    heron.says("Ana", "brightener on A")
    out = [x for x in heron.says("Ana", text) if x["to"] == "Ana"]
    assert [b for x in out for b in x["buttons"]] == ["B: brightener on"], out
    heron.presses("Ana", "B: brightener on")
    told = [(r["kind"], r["sections"], r["data"].get("step")) for r in heron.standing() if r["kind"] == "start"]
    assert told == [("start", ["A"], "brighten"), ("start", ["B"], "brighten")]


@pytest.mark.parametrize("text", ["and on B just now", "y en la B también"])
def test_nothing_goes_on_from_what_is_long_past(heron: Crew, text: str) -> None:
    heron.says("Ana", "brightener on A")
    heron.later(40)
    assert "B: brightener on" not in [b for x in heron.says("Ana", text) for b in x["buttons"]]
    assert not [r for r in heron.standing() if r["kind"] == "start" and r["sections"] == ["B"]]


def test_it_goes_on_from_ones_own_word_only(heron: Crew) -> None:
    heron.says("Ana", "brightener on A")
    assert not [b for x in heron.says("Luis", "and on B just now") for b in x["buttons"]]
