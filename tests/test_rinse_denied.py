"""A rinse that was taken down by mistake and denied at once: its clock goes on, or it is asked about."""

from __future__ import annotations

import pytest

from tests.conftest import Crew
from tests.test_attack import words

DENIED = [
    "not B", "no not B", "no, not B", "B is still wet", "B is not rinsed", "B isnt rinsed", "no B isnt rinsed yet",
    "i didnt rinse B", "wrong, B still wet", "no la B no", "la B sigue mojada",
    "la B no esta enjuagada", "neither",
]  # fmt: skip


@pytest.mark.parametrize("text", DENIED, ids=range(len(DENIED)))
def test_a_rinse_denied_is_taken_back_or_asked_about(heron: Crew, text: str) -> None:
    """ "rinsed" was taken for B, whose bell rang last. "not B" -> "Taken back: B rinsed. Now: B rinsed"; "B is still
    wet" -> "Nothing written down", and nothing rang for B any more."""
    heron.says("Ana", "started A")
    heron.says("Ana", "started B")
    heron.later(20)
    heron.says("Ana", "rinsed")
    assert not heron.store.rows("select 1 from reminders where kind = 'rinse late' and sections = '[\"B\"]'")
    out = [x for x in heron.says("Ana", text) if x["to"] == "Ana"]
    stands = heron.store.rows("select 1 from reminders where kind = 'rinse late' and sections = '[\"B\"]'")
    asked = any(x["buttons"] and "B rinsed" not in x["text"] for x in out)
    assert stands or asked, words(out, "Ana")


@pytest.mark.parametrize("text", ["B isnt rinsed", "la B sigue mojada", "i didnt rinse B"])
def test_of_two_rinsed_at_once_the_other_one_stands(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A"), heron.says("Ana", "started B")
    heron.later(15)
    heron.says("Ana", "A and B rinsed")
    assert "B" in words(heron.says("Luis", text), "Luis")  # whoever sees it
    late = {r["sections"] for r in heron.store.rows("select sections from reminders where kind = 'rinse late'")}
    assert late == {'["B"]'}


def test_a_start_denied_is_asked_about_and_not_is_no_other_section(heron: Crew) -> None:
    """A clock is not stopped by a word alone; "not stairs" made the stairs rinsed."""
    heron.says("Ana", "started B")
    assert "Yes, take it back" in heron.says("Ana", "not B")[0]["buttons"]
    heron.says("Ana", "B rinsed")
    heron.says("Ana", "not the stairs")
    assert [r["sections"] for r in heron.standing() if r["kind"] in ("start", "finish")] == [["B"], ["B"]]


NO_DENIAL = ["is B still wet?", "B is still wet", "dont rinse B", "if B isnt rinsed call me", "A not rinsed yet"]


@pytest.mark.parametrize("text", NO_DENIAL)
def test_what_is_no_denial_takes_no_rinse_back(heron: Crew, text: str) -> None:
    """An hour on, "still wet" is said of water; a question, an order and another section deny nothing."""
    heron.says("Ana", "started B")
    heron.later(15)
    heron.says("Ana", "B rinsed")
    heron.later(50)
    heron.says("Ana", text)
    assert [r["sections"] for r in heron.standing() if r["kind"] == "finish"] == [["B"]]


@pytest.mark.parametrize(
    "text", ["A is still wet from the rinse", "A still wet from the hose", "la A sigue mojada por la lluvia"]
)
def test_wet_of_water_denies_no_rinse(heron: Crew, text: str) -> None:
    heron.says("Ana", "started A")
    heron.later(15)
    heron.says("Ana", "A rinsed")
    heron.says("Ana", text)
    assert [r["kind"] for r in heron.standing() if r["sections"] == ["A"]][-1] == "finish"
