"""The day plan, judged edge by edge with the crew's true paces; orders are common practice, no source."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.errors import Nonsense
from bot.trade.dwell import Window
from bot.trade.parts import Crew, Section
from bot.trade.schedule import DayPlan, Step, day_plan
from bot.trade.units import Q
from tests.outdoors import feet2, minutes

NEW_YORK = ZoneInfo("America/New_York")
START = datetime(2026, 6, 10, 7, 30, tzinfo=NEW_YORK)
DARK = datetime(2026, 6, 10, 20, 20, tzinfo=NEW_YORK)
STRIPPER, ACID = (10.0, 20.0), (5.0, 15.0)
DECK = (("A", 240, "floor"), ("rail", 90, "rail"), ("stairs", 52, "stairs"), ("skirt", 30, "skirt"))
KINDS = ("floor", "rail", "stairs", "skirt", "wall", "posts", "lattice")


def plan(
    deck=DECK, spread: float = 15, rinse: float = 15, size: int = 1, window=STRIPPER, acid=ACID, **more
) -> DayPlan:
    told = [Section(name, feet2(area), kind) for name, area, kind in deck]
    crew = Crew(Q(spread, "foot**2/minute"), Q(rinse, "foot**2/minute"), size)
    held, sour = (Window(minutes(a), minutes(b)) for a, b in (window, acid))
    return day_plan(told, crew, held, sour, **{"start": START, "light_ends": DARK, **more})


def edges(on: Step, off: Step, spread: float, rinse: float) -> Iterator[float]:
    """Dwell in minutes of twenty edges from first to last, at the true pace, each step from its start."""
    area = on.area.magnitude
    for k in range(20):
        x = area * k / 19
        yield (off.start - on.start).total_seconds() / 60 + x / rinse - x / spread


def pairs(found: DayPlan, on: str, washes: str) -> Iterator[tuple[Step, Step]]:
    """Each application with the first rinse of the same wood after it."""
    for step in found.steps:
        if step.action == on:
            yield step, next(
                s for s in found.steps
                if s.part == step.part and s.washes == washes and s.go == step.go and s.start >= step.end
            )  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(5, 900), st.sampled_from(KINDS)), min_size=1, max_size=6),
    st.floats(5, 50),
    st.floats(5, 50),
    st.integers(1, 3),
    st.tuples(st.floats(3, 25), st.floats(4, 25)),
    st.tuples(st.floats(2, 8), st.floats(4, 20)),
)
def test_no_last_edge_early_and_no_first_edge_late(deck, spread, rinse, size, strip, acid) -> None:
    window, sour = (strip[0], sum(strip)), (acid[0], sum(acid))
    told = [(chr(65 + i), area, kind) for i, (area, kind) in enumerate(deck)]
    found = plan(told, spread, rinse, size, window, sour)
    for on, washes, held in (("strip", "stripper", window), ("brighten", "brightener", sour)):
        for start, end in pairs(found, on, washes):
            each = list(edges(start, end, spread, rinse))
            assert min(each) >= held[0] - 1e-6
            assert max(each) <= held[1] + 1e-6
    assert all(step.end <= DARK for step in found.steps)
    done = sum(step.area.magnitude for step in found.steps if step.action == "strip")
    left = sum(part.area.magnitude for part in found.not_today)
    assert done + left == pytest.approx(sum(area for area, _ in deck))
    bright = sum(step.area.magnitude for step in found.steps if step.action == "brighten")
    assert bright == pytest.approx(done)


@settings(max_examples=30, deadline=None)
@given(st.floats(8, 40), st.floats(8, 40), st.integers(1, 3))
def test_nobody_does_two_things_at_once(spread: float, rinse: float, size: int) -> None:
    found = plan(spread=spread, rinse=rinse, size=size)
    for step in found.steps:
        assert (step.end - step.start).total_seconds() / 60 >= step.area.magnitude / (
            rinse if step.washes else spread
        ) - 1e-6
        at_once = [s for s in found.steps if s.start <= step.start < s.end]
        assert len(at_once) <= min(size, 2)
        assert len([s for s in at_once if s.washes]) <= 1


def test_a_rinse_lies_in_the_clock_that_the_crew_is_told() -> None:
    for strip, rinse in pairs(plan(size=2), "strip", "stripper"):
        assert strip.rinse_from == strip.end + timedelta(minutes=10)
        assert strip.rinse_from <= rinse.start <= strip.rinse_by <= strip.start + timedelta(minutes=20)


def order(found: DayPlan, action: str) -> list[str]:
    return [step.section for step in found.steps if step.action == action]


@pytest.mark.parametrize("acid", [(5, 60), ACID], ids=["one round", "rounds"])
def test_orders(acid: tuple[float, float]) -> None:
    found = plan(acid=acid)
    stripped, bright, last = (order(found, action) for action in ("strip", "brighten", "final rinse"))
    assert stripped.index("rail") > max(i for i, name in enumerate(stripped) if name == "A")
    assert bright[0] == "skirt"
    assert bright[-1] == "rail"
    assert last[0] == "rail"
    assert last[-1] == "skirt"
    applied = [step for step in found.steps if step.action == "brighten"]
    closing = [step for step in found.steps if step.action == "final rinse"]
    assert max(s.end for s in applied) <= min(s.start for s in closing)


def test_a_large_section_is_cut_and_named() -> None:
    found = plan([("B", 400, "floor"), ("front rail", 200, "rail")])
    # (20 - 10) min at 15 ft2/min is 150 ft2: 400 needs three parts, 200 two.
    assert [part.name for part in found.parts] == ["B1", "B2", "B3", "front rail 1", "front rail 2"]
    assert found.cut == {"B": 3, "front rail": 2}
    assert found.part_limit.magnitude == pytest.approx(150)
    assert found.largest.magnitude == pytest.approx(300)


def test_a_part_never_takes_the_name_of_a_section() -> None:
    found = plan([("B", 200, "floor"), ("B1", 50, "floor")])
    assert [part.name for part in found.parts] == ["B part 1", "B part 2", "B1"]


def test_small_sections_stay_whole() -> None:
    assert set(plan([("A", 140, "floor"), ("C", 20, "stairs")]).cut.values()) == {1}


def test_brightening_takes_a_part_in_goes_where_the_acid_is_shorter() -> None:
    found = plan([("A", 300, "floor")], window=(10, 30), acid=(5, 15))
    assert found.cut == {"A": 1}
    assert [(s.part, s.go, s.goes) for s in found.steps if s.action == "brighten"] == [
        ("A", 1, 2), ("A", 2, 2),
    ]  # fmt: skip


def test_in_flight() -> None:
    assert plan([("A", 60, "floor")]).in_flight == 1
    assert plan(size=2).in_flight >= 2


def test_two_people_are_never_slower() -> None:
    assert plan(size=2).ends <= plan(size=1).ends


def test_what_does_not_fit_today() -> None:
    late = plan(start=DARK - timedelta(minutes=75))
    assert late.parts
    assert late.not_today
    assert late.ends <= DARK
    none = plan(start=DARK - timedelta(minutes=10))
    assert (none.steps, none.parts, none.latest, none.in_flight) == ((), (), None, 0)
    assert len(none.not_today) == 5


def test_latest_start_and_sun() -> None:
    sun = [(START + timedelta(hours=2), DARK)]
    found = plan(in_sun=sun, light_begins=START - timedelta(hours=3))
    took = found.ends - START
    assert found.latest is not None
    assert (found.latest.limit, found.latest.in_sun) == ("sun", False)
    assert abs(found.latest.at + took - sun[0][0]) < timedelta(seconds=1)
    assert [step.in_sun for step in found.steps] == [step.end > sun[0][0] for step in found.steps]
    open_ground = plan(in_sun=[(START, DARK)])
    assert open_ground.latest is not None
    assert open_ground.latest.in_sun


@pytest.mark.parametrize(
    "act",
    [
        lambda: plan([]),
        lambda: plan([("A", 10, "floor"), ("A", 20, "floor")]),
        lambda: plan([("A", 10, "roof")]),
        lambda: plan([("A", 0, "floor")]),
        lambda: plan([("A", -10, "floor")]),
        lambda: plan(spread=0),
        lambda: plan(rinse=-1),
        lambda: plan(size=0),
        lambda: plan(window=(10, 10)),
        lambda: plan(acid=(5, 5.5)),
    ],
)
def test_nonsense(act) -> None:
    with pytest.raises(Nonsense):
        act()


def test_what_is_stripped_already_is_brightened_with_the_rest() -> None:
    bare = [Section("C", feet2(60), "floor")]
    found = plan([("rail", 60, "rail")], stripped=bare)
    assert order(found, "strip") == ["rail"]
    assert order(found, "brighten") == ["C", "rail"]
    assert min(s.start for s in found.steps if s.action == "brighten") >= max(
        s.end for s in found.steps if s.washes == "stripper"
    )
    only = day_plan([], Crew(*(Q(15, "foot**2/minute"),) * 2), *windows(), START, DARK, stripped=bare)
    assert [s.action for s in only.steps] == ["brighten", "final rinse"]
    assert only.steps[0].start == START
    late = DARK - timedelta(minutes=5)
    dark = day_plan([], Crew(*(Q(15, "foot**2/minute"),) * 2), *windows(), late, DARK, stripped=bare)
    assert (dark.steps, [p.name for p in dark.not_today]) == ((), ["C"])


def windows() -> tuple[Window, Window]:
    strip, sour = (Window(minutes(a), minutes(b)) for a, b in (STRIPPER, ACID))
    return strip, sour
