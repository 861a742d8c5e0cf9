"""A job's group may have the client in it: it hears of its own job alone, and is the owner's to give to another."""

from __future__ import annotations

import pytest

from tests.conftest import Crew
from tests.test_attack import OPENED, button, in_group, second_job, words


@pytest.fixture
def grouped(heron: Crew) -> Crew:
    """Heron Point has a group; another job is open beside it, with a gate code and a wet section."""
    in_group(heron, "Dana", "", "member", data=OPENED)
    second_job(heron, "B 10x10 ft", "note: gate code 4711", "here", "started B")
    return heron


@pytest.mark.parametrize(
    "asked",
    ["timeline Trial Row", "what did Dana do at Trial Row", "status Trial Row", "whats wet", "is Dana on site?"],
)
@pytest.mark.parametrize("who", ["Ana", "Dana"])
def test_it_reads_nothing_of_another_job(grouped: Crew, asked: str, who: str) -> None:
    heard = words(in_group(grouped, who, asked), "-7")
    assert heard and "4711" not in heard and "Trial Row" not in heard


def test_in_private_the_same_is_answered(grouped: Crew) -> None:
    assert "4711" in words(grouped.says("Ana", "timeline Trial Row"), "Ana")


@pytest.mark.parametrize("text", ["switch to Trial Row", "new job Third Row"])
def test_it_is_given_to_another_job_by_the_owner_alone(grouped: Crew, text: str) -> None:
    """A job whose group it is rings there, and no longer to each who works there."""
    assert "owner" in words(in_group(grouped, "Ana", text), "-7")
    assert grouped.store.row("select job from chats where chat = '-7'") == {"job": 1}
    assert len(grouped.store.rows("select 1 from jobs")) == 2
    in_group(grouped, "Dana", text)
    assert grouped.store.row("select job from chats where chat = '-7'") != {"job": 1}


def test_an_old_button_does_not_move_it_either(grouped: Crew) -> None:
    """A question of which job, asked while it had none and answered by somebody of the crew once it has one."""
    with grouped.store.turn():
        grouped.store.db.execute("update chats set job = null")
        grouped.store.db.execute("update people set job = null")
    in_group(grouped, "Ana", "C 10x10 ft")
    with grouped.store.turn():
        grouped.store.db.execute("update chats set job = 1")
    in_group(grouped, "Ana", "", "press", press=button(grouped, "Trial Row", "-7"))
    assert grouped.store.row("select job from chats where chat = '-7'") == {"job": 1}
