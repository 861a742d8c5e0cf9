"""What an owner really types, in both languages: answered from the timeline, or said to be unrecorded."""

from __future__ import annotations

import pytest
from conftest import Crew, reply


@pytest.fixture
def worked(heron: Crew) -> Crew:
    """Ana strips A for 20 minutes and B for 45; Luis mixes the second batch, strong."""
    heron.says("Ana", "on site")
    heron.says("Ana", "mixed 2 gal stripper")
    heron.later(5)
    heron.says("Luis", "mezclé 3 gal de decapante fuerte")
    for section, minutes in (("A", 20), ("B", 45)):
        heron.says("Ana", f"started stripper on {section}")
        heron.later(8)
        heron.says("Ana", f"{section} covered with stripper")
        heron.later(minutes - 8)
        heron.says("Ana", f"{section} rinsed")
    return heron


def answer(crew: Crew, text: str, who: str = "Dana") -> str:
    return str(reply(crew.says(who, text), who)["text"])


@pytest.mark.parametrize(
    ("question", "expected"),
    [
        ("was A overdone?", ("No. A pass 1", "20 min", "10 to 30 min")),
        ("was B overdone?", ("YES. B pass 1", "45 min", "15 min over")),
        ("¿se pasó la B?", ("YES. B pass 1",)),
        ("how long did B sit?", ("45 min",)),
        ("who mixed the second batch and how strong?", ("Batch 2: Luis", "3 gal of stripper, 8 oz/gal")),
        ("who mixed the first batch?", ("Batch 1: Ana", "6 oz/gal")),
        ("how strong was the last batch?", ("Batch 2: Luis", "8 oz/gal")),
        ("who mixed the third batch?", ("only 2 batches",)),
        ("how many batches did we mix?", ("Batch 1: Ana", "Batch 2: Luis")),
        ("who rinsed B?", ("Ana: B: rinsed",)),
        ("¿quién enjuagó la B?", ("Ana: B: rinsed",)),
        ("who did the rinse on B?", ("Ana: B: rinsed",)),
        ("how long was the stripper on B?", ("45 min",)),
        ("how many gallons of stripper did we mix?", ("stripper: 5 gal",)),
        ("what strength did we use?", ("6 oz/gal", "8 oz/gal")),
        ("when did Ana get here?", ("Ana: on site",)),
        ("a qué hora llegó Ana?", ("Ana: on site",)),
        ("what did Luis do today?", ("Luis: stripper 3 gal mixed",)),
        ("¿qué hizo Luis hoy?", ("Luis: stripper 3 gal mixed",)),
        ("is Ana still there?", ("Ana: on site",)),
        ("how long did it take Ana to do A?", ("20 min",)),
        ("what's my cost per square foot?", ("no price told: stripper",)),
        ("¿alcanza el decapante?", ("nobody has counted it",)),
        ("did it rain today?", ("nothing about that is recorded",)),
        ("what went wrong today?", ("B",)),
        ("what do we need to buy?", ("Nothing counted yet",)),
        ("do we have enough stripper?", ("nobody has counted it",)),
        ("what did Heron Point cost us?", ("no price told: stripper",)),
        ("cuánto nos costó Heron Point?", ("no price told: stripper",)),
        ("how does this job compare to plan?", ("against the plan", "stripper: 5 gal mixed")),
        ("what coverage are we really getting with stripper?", ("Nothing to offer yet",)),
        ("who misted A?", ("nothing about that is recorded",)),
        ("any incidents?", ("nothing about that is recorded",)),
        ("what was the weather today?", ("nothing about that is recorded",)),
        ("what was the pH on A?", ("nothing about that is recorded",)),
        ("how many hours did Ana do?", ("Ana: 1 h 10 min on site, still there",)),
        ("how many hours did Luis do?", ("Luis: no hours recorded",)),
        ("what did we use on Heron Point?", ("stripper: 5 gal",)),
        ("did we make money on Heron Point?", ("cannot say", "what you charged")),
        ("which reminders were missed?", ("B",)),
        ("when can I send the oiling crew?", ("Common practice",)),
    ],
)
def test_an_owner_asks(worked: Crew, question: str, expected: tuple[str, ...]) -> None:
    said = answer(worked, question)
    assert all(x in said for x in expected), said


def test_the_figures_of_a_stand_are_minutes(worked: Crew) -> None:
    figures = reply(worked.says("Dana", "was B overdone?"), "Dana")["figures"]
    assert [figures[k]["value"] for k in ("stood", "least", "most")] == [45, 10, 30]


def test_a_short_stand_is_no_overdone_one(heron: Crew) -> None:
    heron.says("Ana", "started stripper on A")
    heron.later(15)
    heron.says("Ana", "A covered with stripper")
    heron.later(4)
    heron.says("Ana", "A rinsed")
    assert answer(heron, "was A overdone?").startswith("No, short.")


def test_a_wet_section_past_its_time_is_answered_so(heron: Crew) -> None:
    heron.says("Ana", "started stripper on A")
    heron.later(20)
    assert "still wet" in answer(heron, "was A overdone?")
    heron.later(25)
    assert answer(heron, "was A overdone?").startswith("YES.")


def test_an_edge_nobody_told_is_not_guessed(heron: Crew) -> None:
    heron.says("Ana", "A covered with stripper")
    heron.later(12)
    heron.says("Ana", "A rinsed")
    assert "nobody said when the first edge" in answer(heron, "was A overdone?")


def test_what_was_told_of_the_weather_is_said_back(heron: Crew) -> None:
    heron.says("Ana", "78 degrees, humidity 45, wind 5 mph")
    said = answer(heron, "what was the weather today?")
    assert "air 78 F" in said and "humidity 45 %" in said and "wind 5 mph" in said


def test_another_day_is_another_answer(worked: Crew) -> None:
    worked.at("10:00", "2026-06-11")
    assert "nothing about that is recorded" in answer(worked, "who was on site today?")
    assert "Ana" in answer(worked, "who was on site yesterday?")


def test_the_crew_hears_only_its_own_hours(worked: Crew) -> None:
    said = answer(worked, "how many hours did Ana do?", "Luis")
    assert "Luis" in said and "Ana" not in said


def test_answers_come_in_the_askers_language(worked: Crew) -> None:
    worked.says("Dana", "language es")
    assert "Mezcla 2: Luis" in answer(worked, "¿quién mezcló la segunda mezcla?")
    assert answer(worked, "was B overdone?").startswith("SÍ.")


def test_no_job_no_answer(crew: Crew) -> None:
    for question in ("was B overdone?", "who rinsed B?", "what did we use?", "cost of job"):
        assert "No job is open" in answer(crew, question)


def test_a_closed_job_can_still_be_charged(heron: Crew) -> None:
    heron.says("Dana", "close the job")
    heron.says("Dana", "new job Trial Row")
    assert "Heron Point: 900.00" in answer(heron, "charged 900 for Heron Point")
    assert "charged 900.00" in answer(heron, "did we make money on Heron Point?")
    assert "charged" not in answer(heron, "did we make money on Trial Row?").split("Not recorded")[0]


@pytest.mark.parametrize(
    "chatter",
    ["the cost of living is wild", "long hours this week", "we charged 2 batteries", "he made money on that truck",
     "compare that to last year lol", "use your head", "who cares", "the drill charged at 5:30"],
)  # fmt: skip
def test_small_talk_is_no_question(heron: Crew, chatter: str) -> None:
    before = len(heron.standing())
    out = heron.says("Ana", chatter)
    assert len(heron.standing()) == before
    assert not [x for x in out if x.get("figures")]
