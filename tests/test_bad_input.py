"""Bad input: one clear line in the reader's language, nothing recorded is lost or doubled."""

from __future__ import annotations

import pytest

from tests.conftest import Crew

ODD = [
    "😬😬😬",
    "x" * 5000,
    "started " * 700,
    "?",
    "...",
    "\u202e\u0000 started B",
    "mix gal brightener",
    "mix -3 gal brightener",
]


@pytest.mark.parametrize("text", ODD, ids=range(len(ODD)))
def test_one_line_and_nothing_false(crew: Crew, text: str) -> None:
    out = crew.says("Luis", text)
    mine = [x for x in out if x["to"] == "Luis"]
    assert len(mine) == 1 and "rompió" not in mine[0]["text"]
    assert not [r for r in crew.standing() if r["kind"] in ("mixed", "start", "finish")]


def test_a_handler_that_breaks_keeps_the_message_and_the_queue(heron: Crew) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("on purpose")

    heron.played.desk.handlers["status"] = broken  # type: ignore[assignment]
    out = heron.says("Ana", "status")
    assert any("kept as a note" in x["text"] for x in out if x["to"] == "Ana")
    assert any(x["to"] == "Dana" and x["kind"] == "ping" for x in out)
    assert [r for r in heron.standing() if r["kind"] == "note" and r["data"]["text"] == "status"]
    assert heron.says("Ana", "started B")[0]["figures"]["rinse_by"]


@pytest.mark.parametrize(
    "text", ["B 0x12 ft", "B 10000x1200 ft", "A moisture 400", "B pH 19", "humidity 140", "A moisture 0"]
)
def test_what_cannot_be_is_asked_again(heron: Crew, text: str) -> None:
    before = len(heron.standing())
    out = heron.says("Ana", text)
    assert len(heron.standing()) == before and len([x for x in out if x["to"] == "Ana"]) == 1
