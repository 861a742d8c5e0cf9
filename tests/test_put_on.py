"""A product that was put on, went on or is on begins its clock; who put it on is a question."""

from __future__ import annotations

from typing import Any

import pytest
from conftest import Crew

STARTED = [
    ("put brightener on B", "brighten", "B", "09:00"),
    ("Ana put brightener on B", "brighten", "B", "09:00"),
    ("brightener went on B at 8:35", "brighten", "B", "08:35"),
    ("brightener is on B since 8:40", "brighten", "B", "08:40"),
    ("B has brightener on it since 8:40", "brighten", "B", "08:40"),
    ("applied brightener to B", "brighten", "B", "09:00"),
    ("stripper is on A", "strip", "A", "09:00"),
    ("stripper's on A since 8:50", "strip", "A", "08:50"),
    ("rolled stripper on A", "strip", "A", "09:00"),
    ("put stripper on A at 8:55", "strip", "A", "08:55"),
    ("abrillantador puesto en la B", "brighten", "B", "09:00"),
    ("abrillantador puesto en la B desde las 8:46", "brighten", "B", "08:46"),
    ("le pusimos abrillantador a la B", "brighten", "B", "09:00"),
    ("la B tiene abrillantador desde las 8:40", "brighten", "B", "08:40"),
    ("ya le puse decapante a la A", "strip", "A", "09:00"),
]
NOTHING = [
    "who put brightener on B", "who put the stripper on A", "quien le puso brightener a la B", "quien puso decapante en la A",
    "did Ana put brightener on B", "should we put brightener on B", "dont put brightener on B", "havent put brightener on B",
    "going to put brightener on B", "put brightener on the list", "is stripper on A", "put brightener on B when its rinsed",
    "stripper is on the truck", "what time did the stripper go on A", "when did brightener go on B",
]  # fmt: skip


def _wet(crew: Crew) -> list[tuple[str, Any, str, str]]:
    rows = [r for r in crew.standing() if r["kind"] in ("start", "finish")]
    return [(r["kind"], r["data"]["step"], ",".join(r["sections"]), r["local"][11:16]) for r in rows]


@pytest.mark.parametrize(("text", "step", "section", "at"), STARTED)
def test_put_on_starts_the_clock_without_a_question(heron: Crew, text: str, step: str, section: str, at: str) -> None:
    out = heron.says("Ana", text)
    assert [(k, s, n) for k, s, n, _ in _wet(heron)] == [("start", step, section)]
    hour, minute = divmod(int(at[:2]) * 60 + int(at[3:]), 60)
    assert f" on, {hour}:{minute:02}, pass 1." in out[0]["text"], out[0]["text"]
    assert "When did" not in out[0]["text"]


@pytest.mark.parametrize("text", NOTHING)
def test_questions_plans_and_other_things_put_nothing_on(heron: Crew, text: str) -> None:
    heron.says("Ana", text)
    assert _wet(heron) == []


@pytest.mark.parametrize(
    "text",
    ["stripper went on A at 8:45 covered at 8:53", "started A at 8:45 covered at 8:53", "stripper on A at 8:45 covered 8:53",
     "le pusimos decapante a la A a las 8:45, cubierta a las 8:53", "empezamos la A a las 8:45 cubierta a las 8:53"],
)  # fmt: skip
def test_two_clocks_are_a_beginning_and_an_end(heron: Crew, text: str) -> None:
    heron.says("Ana", text)
    assert [(k, s, n) for k, s, n, _ in _wet(heron)] == [("start", "strip", "A"), ("finish", "strip", "A")]
    first, last = (r["local"] for r in heron.standing() if r["kind"] in ("start", "finish"))
    assert (first[14:16], last[14:16]) == ("45", "53")


def test_two_clocks_of_brightener_and_its_rinse(heron: Crew) -> None:
    heron.says("Ana", "put brightener on B at 8:40, rinsed at 8:52")
    assert [(k, s) for k, s, _, _ in _wet(heron)] == [("start", "brighten"), ("finish", "rinse")]


def test_over_a_coat_that_is_open_it_is_the_last_edge_or_asked(heron: Crew) -> None:
    heron.says("Ana", "started brightener on B")
    heron.later(4)
    heron.says("Luis", "abrillantador puesto en la B")
    assert [k for k, *_ in _wet(heron)] == ["start", "finish"]
    heron.says("Ana", "started A")
    out = heron.says("Ana", "put stripper on A")
    assert out[0]["buttons"][0] == "A: stripper covered" and len(_wet(heron)) == 3
