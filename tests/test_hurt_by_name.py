"""Somebody of the crew is hurt, whatever the name; and after an injury a body's skin is no finish."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.understand.alarm import alarm
from tests.conftest import Crew, Person

CREW = ("Odalys", "José Peña", "Will", "Mark", "Luis")
# the name, and what befell: by the name alone, as its owner's, with and without the sign
BEFELL = [
    ("{} feels dizzy", "other"), ("{} is down", "other"), ("{} isn't moving", "other"), ("can you come, {} fell", "slip"),
    ("careful, {} just slipped on B", "slip"), ("{}'s hurt", "other"), ("{}'s bleeding", "other"),
    ("{}'s arm is burning", "skin"), ("stripper in {}'s eye", "eye"), ("{}’s left eye is red", "eye"),
    ("{} got stripper in the eye", "eye"), ("hold. {}'s eye", "eye"), ("no one hurt but {} burned her arm", "skin"),
]  # fmt: skip
IN_SPANISH = [("a {} le cayo en el ojo", "eye"), ("{} se pego", "slip"), ("{} no se levanta", "other"),
    ("cuidado se cayo {}", "slip"), ("nadie se lastimo menos {}", "other")]  # fmt: skip


@pytest.mark.parametrize("name", ["Odalys", "José", "Luis", "Will", "Mark"])
@pytest.mark.parametrize(("text", "kind"), [*BEFELL, *IN_SPANISH])
def test_whoever_it_is(name: str, text: str, kind: str) -> None:
    assert alarm(text.format(name), CREW) == kind


@pytest.mark.parametrize("text", ["odalys is down", "odalyss hurt", "ODALYS GOT HIT", "jose se pego", "peña is down"])
def test_a_name_in_any_letters(text: str) -> None:
    assert alarm(text, CREW) is not None


@pytest.mark.parametrize("text", ["pump is down", "pumps hurt", "deck got hit", "gel se pego", "tarp is down", "feet hurt"])
def test_a_thing_in_its_place_is_none(text: str) -> None:
    assert alarm(text, CREW) is None


@pytest.mark.parametrize(
    "text",
    ["will it burn the rail", "mark B as rinsed", "mark it down", "Will it be down at 3", "Odalys is down the street",
     "Odalys's truck is down", "odalyss down payment", "Odalys fell asleep", "Odalys burned the scrap", "no veo a Odalys",
     "Odalys got lunch", "Odalys is late", "Mark the wet boards"],
)  # fmt: skip
def test_a_name_alone_is_no_cry(text: str) -> None:
    """A name that is a word as well counts only with its capital, and not where an order or a question begins."""
    assert alarm(text, CREW) is None


@pytest.fixture
def yard(tmp_path: Path) -> Iterator[Crew]:
    """A crew with a name that no pattern knows."""
    people = (Person("Dana", "owner", "en", "us"), Person("Ana", "crew", "en", "us"), Person("Odalys", "crew", "en", "us"))
    crew = Crew(tmp_path, people)
    crew.says("Dana", "new job Heron Point")
    crew.says("Dana", "sections A, B, stairs")
    yield crew


@pytest.mark.parametrize("text", ["Odalys is down", "Odalys not waking up", "Odalys's eye"])
def test_the_live_bot_knows_who_the_crew_is(yard: Crew, text: str) -> None:
    out = yard.says("Ana", text)
    assert out[0]["to"] == "Ana" and out[0]["loud"] and out[0]["about"]["incident"]
    assert any(x["to"] == "Dana" and x["loud"] for x in out)
    assert [r for r in yard.standing() if r["kind"] == "incident"]


@pytest.mark.parametrize("text", ["call 911", "somebody call 911 luis fell"])
def test_the_number_to_call_is_no_clock(heron: Crew, text: str) -> None:
    heron.at("09:30")
    heron.says("Ana", text)
    (row,) = [r for r in heron.standing() if r["kind"] == "incident"]
    assert row["local"].endswith("09:30")


def test_a_clock_beside_the_number_counts(heron: Crew) -> None:
    heron.at("09:30")
    heron.says("Ana", "call 911 luis fell at 9:20")
    (row,) = [r for r in heron.standing() if r["kind"] == "incident"]
    assert row["local"].endswith("09:20")


OFF = ["his skin is coming off", "its coming off in sheets, his skin", "skin is bubbling", "the skin on his arm is loose",
    "se le despega la piel", "se le esta levantando la piel", "his fingers are peeling"]  # fmt: skip


@pytest.mark.parametrize("text", OFF)
def test_skin_that_comes_off_is_no_finish(heron: Crew, text: str) -> None:
    """It was written as "A: lets go", and the owner did not hear."""
    heron.says("Ana", "started A")
    heron.says("Ana", "luis got stripper on his arm")
    heron.later(2)
    out = heron.says("Ana", text)
    assert not [r for r in heron.standing() if r["kind"] == "check"]
    assert [r["data"]["kind"] for r in heron.standing() if r["kind"] == "incident"] == ["skin", "skin"]
    assert any(x["to"] == "Dana" and x["loud"] for x in out)


@pytest.mark.parametrize("text", ["finish is coming off", "its peeling in sheets", "se despega la capa"])
def test_a_finish_that_comes_off_is_no_skin(text: str) -> None:
    assert alarm(text) is None
