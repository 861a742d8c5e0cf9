"""A batch told without its name after it was asked for: taken, and nothing else is taken for it."""

from __future__ import annotations

from typing import Any

import pytest

from tests.conftest import Crew, reply


def made(crew: Crew) -> list[dict[str, Any]]:
    return [r["data"] for r in crew.standing() if r["kind"] == "mixed"]


@pytest.mark.parametrize(
    ("text", "gallons"),
    [
        ("ya lo revolvi", 2.5), ("ya lo revolvimos", 2.5), ("mezclado", 2.5), ("ya esta mezclado", 2.5),
        ("ya esta echo el balde de 3.25", 3.25), ("ya esta listo el balde", 2.5), ("ya se mezclo", 2.5), ("ya lo bati", 2.5),
        ("mixed it", 2.5), ("its mixed", 2.5), ("bucket is made up", 2.5), ("mixed it, 4", 4),
    ],
)  # fmt: skip
def test_the_batch_asked_for_is_the_one_that_is_made(heron: Crew, text: str, gallons: float) -> None:
    heron.says("Luis", "haz 2.5 gal de stripper")
    heron.says("Luis", text)
    (one,) = made(heron)
    assert one["product"] == "stripper" and one["volume"] == {"value": gallons, "unit": "gal"}


@pytest.mark.parametrize(
    "text",
    [
        "todavia no lo mezclamos", "ya mero lo mezclo", "lo mezclamos al rato", "ya lo mezclaron?",
        "mixed feelings about this",
        "not mixed yet", "ya quedo", "mixing it later", "hay que mezclarlo", "no lo he revuelto", "quien lo mezclo",
    ],
)  # fmt: skip
def test_what_says_no_batch_makes_none(heron: Crew, text: str) -> None:
    heron.says("Luis", "haz 2.5 gal de stripper")
    heron.says("Luis", text)
    assert made(heron) == []


def test_where_none_was_asked_for_or_it_was_made_nothing_is_taken(heron: Crew) -> None:
    heron.says("Luis", "ya lo revolvi")
    heron.says("Luis", "haz 2.5 gal de stripper")
    heron.says("Ana", "mixed it")  # asked for by another, in another chat
    assert made(heron) == []
    heron.says("Luis", "ya lo revolvi")
    heron.says("Luis", "ya lo revolvi")
    assert len(made(heron)) == 1


def test_a_yes_without_its_comma_is_asked_about(heron: Crew) -> None:
    heron.says("Luis", "haz 2.5 gal de stripper")
    assert reply(heron.says("Luis", "si el stripper ya lo mezclamos, 2.5 galones"), "Luis")["buttons"]
    assert made(heron) == []


@pytest.mark.parametrize(
    ("text", "written"),
    [("ya lo hice", False), ("made it", False), ("prepared", False), ("its done", False), ("mixed it", True),
     ("ya lo mezcle", True), ("made the bucket", True)],
)  # fmt: skip
def test_after_a_bell_what_may_answer_it_is_asked(heron: Crew, text: str, written: bool) -> None:
    heron.says("Ana", "started A")
    heron.later(8)
    heron.says("Ana", "mix 4 gal brightener")
    assert any(m["kind"] == "reminder" for m in heron.later(5))
    heron.says("Ana", text)
    assert bool(made(heron)) is written
