"""Steps by message: what starts and stops a clock, what is asked, what is never created."""

from __future__ import annotations

import pytest

from tests.conftest import Crew, reply


def at(text: str) -> str:
    return f"2026-06-10T{text}:00-04:00"


def test_a_start_gives_its_clocks(heron: Crew) -> None:
    heron.says("Dana", "set stripper dwell 10 to 20 min")
    heron.says("Dana", "set stripper mist every 6 min")
    heron.says("Dana", "we spread 120 ft2 in 8 min")
    heron.at("09:50")
    said = reply(heron.says("Ana", "started section B"))
    # by hand: t0 9:50, t1 9:58 (120 ft2 at 15 ft2/min), least 10, most 20
    figures = said["figures"]
    assert figures["rinse_from"] == at("10:08") and figures["rinse_by"] == at("10:10")
    assert figures["check_at"] == at("10:00") and figures["mist_every"] == {"value": 6.0, "unit": "min"}


def test_covered_replaces_the_estimate(heron: Crew) -> None:
    heron.at("09:50")
    heron.says("Ana", "started B")
    heron.at("10:01")
    said = reply(heron.presses("Ana", "Covered"))
    assert said["figures"]["rinse_from"] == at("10:11")  # 10:01 and the 10 min of common practice


def test_backdated_words_replan(heron: Crew) -> None:
    heron.at("10:00")
    said = reply(heron.says("Ana", "started B at 9:40"))
    assert said["figures"]["check_at"] == at("09:50")
    assert heron.standing()[-1]["local"].startswith("2026-06-10T09:40")


def test_an_unknown_section_is_asked_about_and_never_created(heron: Crew) -> None:
    asked = reply(heron.says("Ana", "started section Q"))
    assert {"A", "B"} <= set(asked["buttons"])
    assert not [r for r in heron.timeline() if r["kind"] == "start"]
    reply(heron.presses("Ana", "B"))
    assert [r["sections"] for r in heron.standing() if r["kind"] == "start"] == [["B"]]


def test_a_time_in_the_future_is_asked_about(heron: Crew) -> None:
    heron.says("Ana", "started B at 4pm")
    assert not [r for r in heron.standing() if r["kind"] == "start"]


def test_the_day_before_the_job_is_asked_about(heron: Crew) -> None:
    asked = reply(heron.says("Ana", "started B yesterday at 4pm"))
    assert not [r for r in heron.standing() if r["kind"] == "start"] and asked["buttons"]


def test_a_finish_without_a_start_is_recorded_and_the_start_asked_for(heron: Crew) -> None:
    said = reply(heron.says("Ana", "B covered"))
    assert [r["kind"] for r in heron.standing()][-1] == "finish"
    assert "When did the stripper go on B" in said["text"]
    heron.says("Ana", "started B at 8:52")
    starts = [r for r in heron.standing() if r["kind"] == "start"]
    assert len(starts) == 1 and starts[0]["local"].startswith("2026-06-10T08:52")


def test_done_alone_is_asked_by_what_it_can_be(heron: Crew) -> None:
    heron.says("Ana", "started B")
    asked = reply(heron.says("Ana", "B done"))
    assert any("covered" in b for b in asked["buttons"]) and any("rinsed" in b for b in asked["buttons"])


def test_starting_a_wet_section_again_is_asked(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.later(5)
    reply(heron.says("Ana", "started B"))
    assert len([r for r in heron.standing() if r["kind"] == "start"]) == 1


def test_hold_pauses_no_chemistry(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.later(2)
    text = reply(heron.says("Ana", "stop everything, lightning"))["text"]
    assert "rinse by" in text and "don't pause" in text
    rang = heron.at("10:30")
    assert {x["about"]["reminder"] for x in rang if x["kind"] == "reminder"} >= {
        "mist",
        "check",
        "rinse",
        "rinse late",
    }


@pytest.mark.parametrize(
    ("text", "kind"), [("misted B", "rewet"), ("ya enjuague la B", "finish"), ("B rinsed", "finish")]
)
def test_words_in_either_language(heron: Crew, text: str, kind: str) -> None:
    heron.says("Ana", "started B")
    heron.later(3)
    heron.says("Ana", text)
    assert heron.standing()[-1]["kind"] == kind


def test_undo_leaves_both_on_the_timeline(heron: Crew) -> None:
    heron.says("Ana", "started B")
    said = reply(heron.presses("Ana", "Undo"))
    assert "Undone" in said["text"]
    kinds = [(r["kind"], r["state"]) for r in heron.timeline()]
    assert ("start", "undone") in kinds and ("undo", "") in kinds
    assert not [x for x in heron.at("11:00") if x["kind"] in ("reminder", "late", "ping")]


def test_an_edit_amends_as_of_its_own_moment(heron: Crew) -> None:
    heron.at("09:50")
    heron.says("Ana", "started A")
    heron.at("09:55")
    heron.edits("Ana", "started B")
    starts = [r for r in heron.standing() if r["kind"] == "start"]
    assert [(r["sections"], r["local"][11:16]) for r in starts] == [(["B"], "09:50")]


def test_no_c_amends_the_last_entry(heron: Crew) -> None:
    heron.says("Ana", "started A")
    heron.later(1)
    heron.says("Ana", "no, B")
    assert [r["sections"] for r in heron.standing() if r["kind"] == "start"] == [["B"]]


def test_more_minutes_never_pass_the_label(heron: Crew) -> None:
    heron.says("Dana", "set stripper dwell 10 to 20 min")
    heron.at("09:50")
    heron.says("Ana", "started stairs")
    said = reply(heron.says("Ana", "5 more min on stairs"))
    assert said["figures"]["rinse_by"] == at("10:10") and "label" in said["text"]


def test_all_with_several_wet_is_every_one_or_asked(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.says("Ana", "started stairs")
    heron.at("09:12")
    out = heron.says("Ana", "rinsing all of them")
    rinsing = [r["sections"] for r in heron.standing() if r["data"].get("step") == "rinse"]
    assert rinsing in ([], [["B", "stairs"]])  # never one of them alone
    if not rinsing:
        assert "B and stairs" in reply(out)["buttons"]


def test_what_is_clear_starts_and_only_the_rest_is_asked(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.at("09:15")
    heron.says("Ana", "B rinsed")
    heron.at("09:20")
    out = heron.says("Ana", "started A and B")
    assert [r["sections"] for r in heron.standing() if r["data"].get("step") == "strip"] == [["B"], ["A"]]
    assert any("Another pass" in x["buttons"] for x in out)


@pytest.mark.parametrize("words", [("A moisture 22 23 21", "oiled A"), ("started A", "coated A with oil")])
def test_coating_wet_wood_stops_the_crew_and_calls_the_owner(heron: Crew, words: tuple[str, str]) -> None:
    heron.says("Ana", words[0])
    heron.later(1)
    out = heron.says("Ana", words[1])
    assert any("STOP" in x["text"] and x["loud"] for x in out if x["to"] == "Ana")
    assert any(x["loud"] and x["kind"] == "ping" for x in out if x["to"] == "Dana")


def test_a_late_tap_on_which_job_moves_no_clock(heron: Crew) -> None:
    heron.says("Dana", "new job Fern Court")
    heron.says("Dana", "A 10x10 ft")
    heron.at("09:10")
    asked = reply(heron.says("Luis", "empece la A"), "Luis")
    assert set(asked["buttons"]) == {"Fern Court", "Heron Point"}
    heron.at("09:25")
    heron.presses("Luis", "Fern Court")
    start = next(r for r in heron.standing() if r["kind"] == "start")
    assert start["job"] == "Fern Court" and start["local"][11:16] == "09:10"


def test_the_job_is_the_one_named_or_the_only_one_with_that_section(heron: Crew) -> None:
    heron.says("Dana", "new job Fern Court")
    heron.says("Dana", "D 10x10 ft")
    said = reply(heron.says("Luis", "empece la D"), "Luis")
    assert said["text"].startswith("Fern Court:")
    heron.says("Ana", "mixed 2 gal brightener at Heron Point")
    jobs = {r["kind"]: r["job"] for r in heron.standing()}
    assert jobs["start"] == "Fern Court" and jobs["mixed"] == "Heron Point"


def test_work_told_before_the_section_was_measured_keeps_its_clock(crew: Crew) -> None:
    crew.says("Dana", "new job Trial Row")
    crew.says("Ana", "A 10x12 ft")
    crew.later(5)
    crew.says("Ana", "started A at 8:50")
    assert "WET" in reply(crew.says("Ana", "status"))["text"]
    assert [x for x in crew.at("09:30") if x["about"].get("reminder") == "rinse late"]


def test_a_person_rinsed_is_no_section_rinsed(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.later(3)
    heron.says("Ana", "stripper burned my hand help")
    heron.later(4)
    heron.says("Ana", "rinsed it for a good while, ok now")
    assert not [r for r in heron.standing() if r["kind"] == "finish"]
    assert [x for x in heron.at("09:40") if x["about"].get("reminder") == "rinse late"]


def test_no_caustic_onto_acid(heron: Crew) -> None:
    heron.says("Ana", "brightener on B now, started 8:59")
    heron.says("Ana", "started brightener on A")
    heron.later(2)
    out = heron.says("Ana", "started stripper on A")
    assert any("STOP" in x["text"] for x in out if x["to"] == "Ana")
    assert not [r for r in heron.standing() if r["data"].get("step") == "strip"]


def test_rinsing_is_asked_after(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.at("09:20")
    heron.says("Ana", "rinsing B")
    assert "rinsing since" in reply(heron.says("Ana", "status"))["text"]
    assert any("Still rinsing B" in x["text"] for x in heron.at("10:00"))


def test_the_only_stairs_are_known_by_what_they_are(crew: Crew) -> None:
    crew.says("Dana", "new job Trial Row")
    crew.says("Dana", "C stairs 6 steps 4 ft wide")
    crew.says("Ana", "started the stairs")
    assert [r["sections"] for r in crew.standing() if r["kind"] == "start"] == [["C"]]


def test_what_names_another_section_is_no_answer(heron: Crew) -> None:
    """ "B done with what?" is not answered by what is told of A."""
    heron.says("Ana", "started B")
    heron.later(20)
    heron.says("Ana", "B done")
    heron.says("Ana", "second coat on A")
    assert not [r for r in heron.standing() if r["kind"] in ("start", "finish") and r["data"].get("step") == "coat"]
