"""What jobs teach: found again in an invented season of known truth, never offered from one job, taken only when told."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from functools import cache
from typing import Any

import pytest
from conftest import Crew, reply
from season import Season, Truth

from bot import comparing, costing, learning
from bot.job import Job
from bot.shop import Shop
from bot.transports.rehearsal import read

SEEDS = range(20)
AT = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)


@cache
def folded(seed: int, truth: Truth | None = None, count: int = 14) -> tuple[Job, ...]:
    """A season's jobs, folded from their facts."""
    return tuple(Job(id=i).after(deck.facts(i)) for i, deck in enumerate(Season(seed, truth).jobs(count), 1))


@cache
def taught_by(seed: int, truth: Truth | None = None) -> tuple[learning.Sample, ...]:
    """All that a season teaches."""
    return learning.of_jobs(folded(seed, truth))


def fact(kind: str, minutes: float, data: dict[str, Any], *sections: str, person: int = 2) -> dict[str, Any]:
    """One row of a job, so many minutes after noon UTC."""
    at = AT + timedelta(minutes=minutes)
    return {"kind": kind, "at": at, "told": at, "person": person, "sections": sections, "data": data}


def job(number: int, *rows: dict[str, Any]) -> Job:
    """A job opened at noon with these rows."""
    return Job(id=number).after([fact("job", 0, {"action": "open", "name": f"Job {number}"}), *rows])


def measured(name: str, area: float, surface: str = "floor") -> dict[str, Any]:
    return fact("measure", 1, {"area": {"value": area, "unit": "ft2"}, "surface": surface}, name)


def mixed(gallons: float, product: str = "stripper", at: float = 2, ounces: float = 24.0) -> dict[str, Any]:
    return fact("mixed", at, {"product": product, "volume": {"value": gallons, "unit": "gal"},
                              "taken": {"value": ounces, "unit": "oz"}})  # fmt: skip


def started(name: str, at: float, step: str = "strip", product: str = "stripper") -> dict[str, Any]:
    return fact("start", at, {"step": step, "product": product}, name)


def ended(name: str, at: float, step: str = "strip") -> dict[str, Any]:
    return fact("finish", at, {"step": step}, name)


CLOSE = fact("job", 600, {"action": "close"})


# ---- the season's truth is found within the spread that is stated


@pytest.mark.parametrize(
    ("figure", "product", "truth"),
    [
        ("coverage", "stripper", 118.0),
        ("coverage", "brightener", 165.0),
        ("pace", "", 18.0),
        ("rinse_pace", "", 11.0),
    ],
)
def test_the_range_stated_holds_the_truth(figure: str, product: str, truth: float) -> None:
    """Eight jobs' range misses a median 1 time in 128 (order statistics); whole minutes and quarters cost a little."""
    found = [learning.learned(taught_by(seed), figure, product) for seed in SEEDS]
    assert all(x is not None and len(x.jobs) == 8 for x in found)
    inside = sum(x.low <= truth <= x.high for x in found if x)
    assert inside >= len(SEEDS) - 2
    assert all(abs(x.median / truth - 1) < 0.15 for x in found if x)


@pytest.mark.parametrize("coverage", [80.0, 200.0])
def test_another_truth_gives_another_figure(coverage: float) -> None:
    found = [
        learning.learned(taught_by(seed, Truth(coverage=coverage)), "coverage", "stripper")
        for seed in range(4)
    ]
    assert sum(x is not None and x.low <= coverage <= x.high for x in found) >= 3


def test_drying_is_found_to_the_morning_after() -> None:
    """A deck read each morning is dry at some time since the reading before: the range is one day late at most."""
    truth = Truth()
    for seed in SEEDS:
        x = learning.learned(taught_by(seed), "drying")
        assert x is not None and x.low - 1 <= truth.drying_days <= x.high


def test_more_noise_states_a_wider_range() -> None:
    calm = learning.learned(taught_by(4, Truth(between_jobs=0.02)), "coverage", "stripper")
    wild = learning.learned(taught_by(4, Truth(between_jobs=0.30)), "coverage", "stripper")
    assert calm is not None and wild is not None
    assert math.log(wild.high / wild.low) > 3 * math.log(calm.high / calm.low)


def test_finishes_are_told_apart() -> None:
    samples = taught_by(2)
    jobs = {f: {s.job for s in samples if s.finish == f} for f in {s.finish for s in samples}}
    assert len(jobs) == 3
    for finish, numbers in jobs.items():
        x = learning.learned(samples, "coverage", "stripper", finish=finish)
        assert (x is None) == (len(numbers) < 2)
        assert x is None or set(x.jobs) <= numbers


# ---- by hand


def test_coverage_is_area_over_gallons_mixed() -> None:
    """192 + 108 ft2 out of 3 gal: 100 ft2 a gallon (worked by hand)."""
    one = job(
        1,
        measured("A", 192),
        measured("B", 108),
        mixed(2),
        mixed(1, at=3),
        started("A", 10),
        started("B", 30),
        CLOSE,
    )
    assert [s.value for s in learning.samples(one) if s.figure == "coverage"] == [100.0]


def test_what_is_left_over_was_not_put_on() -> None:
    left = fact("leftover", 90, {"product": "stripper", "volume": {"value": 2, "unit": "qt"}})
    one = job(1, measured("A", 150), mixed(2), started("A", 10), left, CLOSE)
    assert [s.value for s in learning.samples(one) if s.figure == "coverage"] == [100.0]


def test_a_second_pass_counts_the_area_again_by_its_share() -> None:
    again = fact("start", 60, {"step": "strip", "product": "stripper", "share": 0.5}, "A")
    one = job(1, measured("A", 200), mixed(3), started("A", 10), ended("A", 40, "rinse"), again, CLOSE)
    assert [s.value for s in learning.samples(one) if s.figure == "coverage"] == [100.0]
    assert [s.value for s in learning.samples(one) if s.figure == "passes"] == [2.0]


def test_half_a_job_teaches_no_coverage_but_its_pace() -> None:
    one = job(1, measured("A", 150), mixed(2), started("A", 10), ended("A", 20))
    assert {s.figure: s.value for s in learning.samples(one)} == {"pace": 15.0}


@pytest.mark.parametrize(
    "rows",
    [
        (mixed(2), started("A", 10), CLOSE),  # nobody measured A
        (measured("A", 150), started("A", 10), CLOSE),  # nobody told a batch
        (
            measured("A", 150),
            measured("B", 0.1),
            mixed(200),
            started("A", 10),
            CLOSE,
        ),  # 0.75 ft2 a gallon: a slip
    ],
)
def test_what_rests_on_a_gap_or_a_slip_is_not_learned(rows: tuple[dict[str, Any], ...]) -> None:
    assert not [s for s in learning.samples(job(1, *rows)) if s.figure == "coverage"]


def test_an_edge_that_nobody_told_gives_no_pace() -> None:
    one = job(1, measured("A", 150), started("A", 10), ended("A", 40, "rinse"))
    assert {s.figure for s in learning.samples(one)} == {"dwell"}


def test_dwell_runs_to_the_start_of_the_rinse() -> None:
    one = job(1, measured("A", 150), started("A", 10), started("A", 32, "rinse", ""), ended("A", 45, "rinse"))
    assert [s.value for s in learning.samples(one) if s.figure == "dwell"] == [22.0]


def test_an_open_stay_leaves_the_hours_unlearned() -> None:
    whole = (fact("arrive", 0, {}), fact("leave", 480, {}))
    rows = (measured("A", 400), started("A", 10), CLOSE)
    told = [s.value for s in learning.samples(job(1, *rows, *whole)) if s.figure == "hours"]
    assert told == [2.0]  # 8 h on 400 ft2
    forgot = learning.samples(job(1, *rows, *whole, fact("arrive", 1, {}, person=3)))
    assert not [s for s in forgot if s.figure == "hours"]


@pytest.mark.parametrize(("count", "offered"), [(0, False), (1, False), (2, True), (4, True)])
def test_never_from_one_job_alone(count: int, offered: bool) -> None:
    jobs = [job(i, measured("A", 150 + i), mixed(2), started("A", 10), CLOSE) for i in range(1, count + 1)]
    x = learning.learned(learning.of_jobs(jobs), "coverage", "stripper")
    assert (x is not None) == offered
    assert x is None or x.few == (count < 4)


def test_one_long_job_has_one_voice() -> None:
    """Ten sections at 5 ft2 a minute on one job, one at 15 on two others: the median job is 15."""
    many = [measured(f"A{i}", 50) for i in range(9)]
    many += [x for i in range(9) for x in (started(f"A{i}", 100 * i), ended(f"A{i}", 100 * i + 10))]
    quick = [job(n, measured("A", 150), started("A", 10), ended("A", 20)) for n in (2, 3)]
    x = learning.learned(learning.of_jobs([job(1, *many), *quick]), "pace")
    assert x is not None and (x.low, x.median, x.high) == (5.0, 15.0, 15.0)


@pytest.mark.parametrize(
    ("month", "latitude", "season"),
    [(1, 40, "winter"), (3, 40, "spring"), (6, 40, "summer"), (8, None, "summer"), (9, 40, "autumn"), (12, 40, "winter"),
     (1, -35, "summer"), (6, -35, "winter"), (10, -35, "spring")],
)  # fmt: skip
def test_seasons_by_hemisphere(month: int, latitude: float | None, season: str) -> None:
    """Meteorological seasons: three whole months each, from 1 March in the north (common practice)."""
    at = datetime(2026, month, 15, 12, tzinfo=UTC)
    rows = [
        {
            "kind": "job",
            "at": at,
            "told": at,
            "person": 1,
            "sections": (),
            "data": {"action": "open", "name": "X"},
        }
    ]
    if latitude is not None:
        rows.append({**rows[0], "kind": "survey", "data": {"latitude": latitude}})
    assert learning.season(Job(id=1).after(rows)) == season


# ---- plan against what was


def test_the_largest_differences_come_first_and_no_more_than_three() -> None:
    """Plan at 100 ft2 a gallon with a tenth over: 200 ft2 need 2.2 gal; 6 were mixed. Book pace 15, here 40."""
    rows = (measured("A", 200), mixed(6), started("A", 10), ended("A", 15), ended("A", 75, "rinse"), started("A", 90),
            ended("A", 100), ended("A", 110, "rinse"), CLOSE)  # fmt: skip
    found = comparing.differences(job(1, *rows), Shop())
    assert [d.figure for d in found] == ["dwell", "volume", "passes"] or len(found) == 3
    by = {d.figure: d for d in found}
    assert by["volume"].planned == pytest.approx(2.2) and by["volume"].actual == 6
    assert [d.size for d in found] == sorted((d.size for d in found), reverse=True)


def test_what_went_as_planned_is_no_news() -> None:
    rows = (measured("A", 200), mixed(2.2), started("A", 10), ended("A", 23), ended("A", 40, "rinse"), CLOSE)
    assert comparing.differences(job(1, *rows), Shop()) == ()


def test_the_plan_is_the_book_as_it_stood_that_day() -> None:
    later = {
        "kind": "set",
        "data": {"product": "stripper", "coverage": 50},
        "at": AT + timedelta(days=1),
        "undone": None,
    }
    before = {**later, "at": AT - timedelta(days=1), "data": {"product": "stripper", "coverage": 80}}
    undone = {**before, "data": {"product": "stripper", "coverage": 20}, "undone": 9}
    one = job(1, measured("A", 200), started("A", 10))
    assert comparing.book_then([before, undone, later], one).products["stripper"].coverage == 80


# ---- hours


@pytest.mark.parametrize(
    ("rows", "told", "unknown"),
    [
        ([("arrive", 0), ("leave", 90)], 90, 0),
        ([("arrive", 0), ("arrive", 30), ("leave", 90)], 90, 0),  # said twice: one stay
        ([("arrive", 0)], 0, 1),  # never left: not counted, said so
        ([("leave", 90)], 0, 1),  # never came
        ([("arrive", 0), ("leave", 60), ("arrive", 90), ("leave", 120)], 90, 0),  # lunch
        (
            [("arrive", 0), ("arrive", 24 * 60), ("leave", 24 * 60 + 30)],
            30,
            1,
        ),  # forgot to leave the day before
        ([("arrive", 0), ("leave", 20 * 60)], 0, 2),  # "left" the next day is no twenty hours of work
    ],
)
def test_hours_on_site(rows: list[tuple[str, float]], told: float, unknown: int) -> None:
    one = job(1, *(fact(kind, at, {}) for kind, at in rows))
    found = costing.hours(one.visits, AT + timedelta(days=9))
    assert (found.told, found.unknown) == (timedelta(minutes=told), unknown)


# ---- through the whole bot


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Crew]:
    """The shop after a season of four small jobs, played by message: made once, each test leaves it as it found it."""
    made = Crew(tmp_path_factory.mktemp("season"))
    play(made, 4)
    yield made
    made.store.close()


def play(crew: Crew, count: int, seed: int = 3) -> None:
    for deck in Season(seed, Truth(forgets=0.0)).jobs(count):
        for one in read(deck.day()).happenings:
            assert one.at is not None
            moved = one.at + timedelta(days=60)  # the fixture's clock stands at 10 June
            list(crew.played._run_to(moved))
            crew.says(one.who, one.text)


def test_messages_fold_to_the_figures_of_the_facts(season: Crew) -> None:
    """The same season told in words teaches what its facts teach."""
    by_word = [season.played.desk.shelf.job(i) for i in (1, 2, 3, 4)]
    by_fact = list(folded(3, Truth(forgets=0.0), 4))

    def figures(jobs: list[Job]) -> list[tuple[int, str, str, float]]:
        return sorted((s.job, s.figure, s.product, round(s.value, 6)) for s in learning.of_jobs(jobs))

    assert figures(by_word) == figures(by_fact)


def test_offered_with_spread_and_count_and_taken_only_when_told(season: Crew) -> None:
    said = reply(season.says("Dana", "what have we learned about stripper coverage?"), "Dana")
    figures = said["figures"]
    assert figures["jobs"] == 4 and figures["coverage_low"] < figures["coverage"] < figures["coverage_high"]
    assert (
        f"last 4 jobs, {figures['coverage']:.0f} ft2 a gallon" in said["text"]
        and "book has 100" in said["text"]
    )
    assert season.played.desk.shelf.shop().products["stripper"].coverage == 100
    taken = reply(season.says("Dana", "use learned coverage for stripper"), "Dana")
    assert "from 4 jobs" in taken["text"]
    assert season.played.desk.shelf.shop().products["stripper"].coverage == pytest.approx(
        figures["coverage"], abs=0.1
    )
    season.presses("Dana", "Undo")
    assert season.played.desk.shelf.shop().products["stripper"].coverage == 100


def test_the_crew_takes_nothing_over(season: Crew) -> None:
    assert "Only the owner" in reply(season.says("Ana", "use learned coverage for stripper"))["text"]
    assert season.played.desk.shelf.shop().products["stripper"].coverage == 100


def test_a_new_job_opens_with_the_offer_in_spanish_too(season: Crew) -> None:
    season.says("Dana", "language es")
    said = reply(season.says("Dana", "nuevo trabajo Gull Yard"), "Dana")
    season.says("Dana", "language en")
    assert "tus últimos 4 trabajos" in said["text"] and any(b.startswith("Usarlo") for b in said["buttons"])


def test_one_job_offers_nothing(heron: Crew) -> None:
    crew = heron
    for text in ("mixed 2 gal stripper", "started stripper on A", "A rinsed"):
        crew.says("Ana", text)
        crew.later(10)
    crew.says("Dana", "close the job")
    assert "it takes 2" in reply(crew.says("Dana", "what have we learned about stripper?"), "Dana")["text"]
    said = reply(crew.says("Dana", "new job Gull Yard"), "Dana")
    assert "last" not in said["text"]
    assert "Nothing to offer" in reply(crew.says("Dana", "use learned coverage for stripper"), "Dana")["text"]


def test_at_its_close_the_owner_hears_plan_against_day(heron: Crew) -> None:
    for text in ("mixed 8 gal stripper", "started stripper on A", "A rinsed"):
        heron.says("Ana", text)
        heron.later(20)
    out = heron.says("Ana", "close the job")
    ping = next(x for x in out if x["to"] == "Dana")
    assert "8 gal mixed, 2.1 gal planned" in ping["text"]  # 192 ft2 / 100 x 1.1 = 2.11 gal, worked by hand
