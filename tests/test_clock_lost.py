"""Wet wood keeps its clock, and no answer shows a clock that does not stand: each of these was lost once."""

from __future__ import annotations

from typing import Any

import pytest

from tests.conftest import Crew
from tests.test_attack import OPENED, button, in_group, raw, words


def wet_rings(crew: Crew) -> set[str]:
    """The sections for which a rinse reminder stands."""
    rows = crew.store.rows("select sections from reminders where kind = 'rinse'")
    return {r["sections"] for r in rows}


def shown_wet(out: list[dict[str, Any]], to: str = "Ana") -> bool:
    """Whether the answer says that there is a clock."""
    return any("rinse_by" in x["figures"] for x in out if x["to"] == to)


def asked_or_kept(crew: Crew, out: list[dict[str, Any]], to: str = "Ana") -> bool:
    """Either the clock that is shown rings, or the bot asked instead of showing one."""
    return '["B"]' in wet_rings(crew) or not shown_wet(out, to)


def rinsed(crew: Crew, minutes: float = 25, seconds: float = 5) -> None:
    crew.says("Ana", "started B")
    crew.later(minutes + seconds / 60)
    crew.says("Ana", "B rinsed")


# ---- the minute of a button or of a told time lies before the second of the rinse


def test_another_pass_begun_in_the_minute_of_the_rinse_keeps_its_clock(heron: Crew) -> None:
    """The button's moment is the whole minute 9:25:00, before the rinse of 9:25:05, which then ends the new pass."""
    rinsed(heron)
    heron.later(25 / 60)
    heron.says("Ana", "started B")
    out = heron.presses("Ana", "Another pass")
    assert shown_wet(out) and '["B"]' in wet_rings(heron)


def test_a_start_told_with_the_minute_of_the_rinse_keeps_its_clock(heron: Crew) -> None:
    rinsed(heron)
    heron.later(4)
    out = heron.says("Ana", "started brightener on B at 9:25")
    assert asked_or_kept(heron, out)


def test_a_start_told_before_the_last_rinse_is_asked_about(heron: Crew) -> None:
    """9:20 cannot be: B was rinsed at 9:25. The answer showed clocks, and nothing would ever ring."""
    rinsed(heron)
    heron.later(20)
    out = heron.says("Ana", "started brightener on B at 9:20")
    assert asked_or_kept(heron, out)


def test_a_start_moved_before_the_last_rinse_is_asked_about(heron: Crew) -> None:
    rinsed(heron)
    heron.later(20)
    heron.says("Ana", "brightener on B")
    out = heron.says("Ana", "no, at 9:20")
    assert asked_or_kept(heron, out)


def test_a_rinse_told_before_the_cover_does_not_say_that_nothing_is_left_on(heron: Crew) -> None:
    """The answer folds in the order told, the clocks in the order of the times: B still stands wet."""
    heron.at("09:50")
    heron.says("Ana", "B covered")
    heron.later(3)
    out = heron.says("Ana", "B rinsed at 9:30")
    assert '["B"]' not in wet_rings(heron) or "No product left" not in words(out, "Ana")


# ---- a job that is closed


def test_work_told_in_the_group_of_a_closed_job_rings_or_is_asked_about(heron: Crew) -> None:
    in_group(heron, "Dana", "", "member", data=OPENED)
    in_group(heron, "Dana", "close job")
    out = in_group(heron, "Ana", "started B")
    assert asked_or_kept(heron, out, "-7"), words(out, "-7")


def test_a_rinse_taken_back_after_the_close_leaves_no_silent_wet_wood(heron: Crew) -> None:
    """B is wet again in a closed job: it must ring, or be said."""
    rinsed(heron)
    heron.says("Dana", "close job")
    out = heron.says("Ana", "undo")
    assert '["B"]' in wet_rings(heron) or "wet" in words(out, "Ana").lower(), words(out, "Ana")


def test_a_rinse_edited_away_after_the_close_leaves_no_silent_wet_wood(heron: Crew) -> None:
    rinsed(heron)
    heron.says("Dana", "close job")
    out = heron.edits("Ana", "A rinsed")
    assert '["B"]' in wet_rings(heron) or "wet" in words(out, "Ana").lower(), words(out, "Ana")


# ---- "sure" of something else


def test_close_anyway_is_of_the_wood_that_was_named(heron: Crew) -> None:
    """It was asked about B; minutes later A stands wet, B does not, and the button closes the job over A."""
    heron.says("Ana", "started B")
    heron.later(15)
    heron.says("Ana", "close job")
    heron.later(5)
    heron.says("Ana", "B rinsed")
    heron.says("Ana", "started A")
    heron.later(1)
    heron.presses("Ana", "Close anyway")
    assert '["A"]' in wet_rings(heron)


def test_take_it_out_is_of_the_section_as_it_was_asked_about(heron: Crew) -> None:
    """B was dry when it was asked about; brightener stands on it when the button is pressed."""
    rinsed(heron)
    heron.says("Dana", "remove section B")
    heron.later(2)
    heron.says("Ana", "brightener on B")
    heron.presses("Dana", "Take it out")
    assert '["B"]' in wet_rings(heron)


def test_taking_out_a_wet_section_says_that_it_is_wet(heron: Crew) -> None:
    heron.says("Ana", "started B")
    out = heron.says("Dana", "remove section B")
    assert "wet" in words(out, "Dana").lower(), words(out, "Dana")


# ---- acid onto caustic, told at its end


@pytest.mark.parametrize("text", ["brightened B", "B neutralized", "B covered with brightener", "finished brightener on B"])
def test_acid_told_at_its_end_onto_standing_caustic_is_asked_about(heron: Crew, text: str) -> None:
    """ "started brightener on B" is asked about; told as covered, the stripper's clock just went."""
    heron.says("Ana", "started B")
    heron.later(8)
    out = heron.says("Ana", text)
    kept = heron.store.rows("select 1 from reminders where key like 'rinse:B:strip:%'")
    said = words(out, "Ana").lower()
    assert kept or ("stripper" in said and "rinse" in said), said


# ---- put right into a question


@pytest.mark.parametrize("how", ["amend", "edit"])
def test_a_start_put_right_to_an_unknown_section_keeps_a_clock_till_it_is_known(heron: Crew, how: str) -> None:
    """ "no, D" where no D is: the product is on the wood somewhere, and until the question is answered nothing rings."""
    heron.says("Ana", "started B")
    heron.says("Ana", "no, D") if how == "amend" else heron.edits("Ana", "started D")
    assert heron.store.rows("select 1 from reminders where kind = 'rinse'")


def test_a_stale_press_in_the_same_hour_does_not_close_over_anothers_wet_wood(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.says("Dana", "close job")
    heron.says("Ana", "B rinsed")
    heron.says("Luis", "empece la A")
    raw(heron, "Dana", "press", press=button(heron, "Close anyway", "chat:Dana"))
    assert '["A"]' in wet_rings(heron)


# ---- what is asked, and what comes of the answer

TOLD = {  # what was said before, with minutes between; what is said; the answer's words; whether B's rinse still rings
    "late start": (("started B", 25, "B rinsed", 20), "brightener on B at 9:20", "was rinsed at 9:25, after 9:20", False),
    "late cover": (("started B", 25, "B rinsed", 20), "B covered with brightener at 9:20", "was rinsed at 9:25", False),
    "rinse before the cover": (("started B", 8, "B covered"), "B rinsed at 9:05", "was covered at 9:08", True),
    "rinsing before the start": ((9, "started B"), "rinsing B at 9:05", "was started at 9:09", True),
    "cover of what stands": (("started brightener on B", 3), "B covered", "brightener on, 9:00", True),
    "start of a rinsed pass": ((60, "B rinsed"), "started B at 9:30", "stripper on 9:30, rinsed 10:00. No clock", False),
    "time put right": (("started B", 25, "B rinsed", 20, "brightener on B"), "no, at 9:20",
                       "this stands: B: brightener on", True),
    "correction": (("started B", 25, "B rinsed", 20, "brightener on B", 3), "brightening B began at 9:20 not 9:45",
                   "Nothing changed: with that time B would be wet", True),
}  # fmt: skip


@pytest.mark.parametrize(("before", "text", "answer", "rings"), TOLD.values(), ids=TOLD)
def test_a_time_that_cannot_be_is_asked_about_in_one_line(
    heron: Crew, before: tuple[str | float, ...], text: str, answer: str, rings: bool
) -> None:
    for one in before:
        heron.says("Ana", one) if isinstance(one, str) else heron.later(one)
    out = heron.says("Ana", text)
    assert answer in words(out, "Ana"), words(out, "Ana")
    assert ('["B"]' in wet_rings(heron)) == rings and (rings or not shown_wet(out))


def test_wood_covered_after_its_rinse_began_has_its_clock_again(heron: Crew) -> None:
    heron.at("09:50")
    heron.says("Ana", "rinsing B at 9:12")
    heron.says("Ana", "B covered at 9:43")
    heron.says("Ana", "started B at 9:02")
    assert '["B"]' in {r["sections"] for r in heron.store.rows("select sections from reminders where kind = 'rinse late'")}


def test_the_time_asked_for_is_the_answer(heron: Crew) -> None:
    rinsed(heron)
    heron.later(20)
    heron.says("Ana", "brightener on B at 9:20")
    assert "9:40" in words(heron.says("Ana", "at 9:40"), "Ana") and '["B"]' in wet_rings(heron)


@pytest.mark.parametrize("private", [True, False])
def test_a_closed_job_is_opened_again_by_the_button_that_says_so(heron: Crew, private: bool) -> None:
    if not private:
        in_group(heron, "Dana", "", "member", data=OPENED)
    in_group(heron, "Dana", "close job") if not private else heron.says("Dana", "close job")
    asked = heron.says("Ana", "started B") if private else in_group(heron, "Ana", "started B")
    chat, to = ("chat:Ana", "Ana") if private else ("-7", "-7")
    assert "Heron Point is closed" in words(asked, to) and "reopen job" in words(asked, to)
    heron.later(3)
    out = raw(heron, "Ana", "press", press=button(heron, "Reopen Heron Point", chat), chat=chat, private=private)
    assert "9:00" in words(out, to) and '["B"]' in wet_rings(heron)


def test_a_closed_job_is_opened_again_by_a_word(heron: Crew) -> None:
    heron.says("Dana", "close job")
    assert "already" not in words(heron.says("Luis", "reabre el trabajo"), "Luis")
    heron.says("Ana", "started B")
    assert '["B"]' in wet_rings(heron)


def test_a_closed_job_stays_closed_when_a_rinse_of_it_is_put_right(heron: Crew) -> None:
    rinsed(heron)
    heron.says("Dana", "close job")
    assert "9:20" in words(heron.says("Ana", "no, at 9:20"), "Ana")
    assert heron.store.row("select 1 from jobs where closed is not null")


def test_a_job_that_wet_wood_opened_again_is_told_of(heron: Crew) -> None:
    rinsed(heron)
    heron.says("Dana", "close job")
    out = heron.says("Ana", "undo")
    assert all("open again" in words(out, to) and "Still wet: B" in words(out, to) for to in ("Ana", "Dana"))


def test_a_job_closed_over_wet_wood_says_which_to_the_owner_too(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.says("Ana", "close job")
    out = heron.presses("Ana", "Close anyway")
    assert all("Wet when closed: B" in words(out, to) for to in ("Ana", "Dana")) and not wet_rings(heron)
    assert "is closed" in words(heron.says("Ana", "B rinsed"), "Ana")


@pytest.mark.parametrize("how", ["amend", "edit", "typed"])
def test_what_was_put_right_to_an_unknown_section_moves_with_the_answer(heron: Crew, how: str) -> None:
    heron.says("Ana", "started B")
    heron.later(4)
    out = heron.edits("Ana", "started D") if how == "edit" else heron.says("Ana", "no, D")
    assert "this stands: B: stripper on, 9:00" in words(out, "Ana")
    out = heron.says("Ana", "A") if how == "typed" else heron.presses("Ana", "A")
    assert wet_rings(heron) == {'["A"]'} and "A: stripper on, 9:00" in words(out, "Ana")


def test_of_several_things_put_right_none_is_lost_while_one_is_asked_about(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.later(20)
    heron.says("Ana", "B rinsed, started A")
    heron.edits("Ana", "B rinsed, started D")
    assert wet_rings(heron) == {'["A"]'}
    heron.presses("Ana", "stairs")
    assert wet_rings(heron) == {'["stairs"]'}


def test_what_is_refused_takes_nothing_back(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.says("Dana", "house built 1950")
    heron.edits("Ana", "started A")
    assert wet_rings(heron) == {'["B"]'}
