"""The reading views, read with plain sqlite3 as an owner would: sentences, minutes, oz a gallon, money, hours."""

from __future__ import annotations

import sqlite3
from datetime import datetime
from pathlib import Path

import pytest
from conftest import ZONE, Crew
from sqlite_utils import Database

from bot import migrations
from bot.store import Store

VIEWS = ("timeline", "dwell_by_section", "batches", "readings", "costs", "purchases", "hours")


def ask(crew: Crew, sql: str) -> list[tuple[object, ...]]:
    with sqlite3.connect(f"file:{crew.folder / 'rinsebell.db'}?mode=ro", uri=True) as db:
        return list(db.execute(sql))


@pytest.fixture
def worked(heron: Crew) -> Crew:
    """One morning: two batches, A stripped twice, readings, a stay; Luis's first word taken back."""
    heron.says("Dana", "bought 10 lb stripper for 60")
    heron.says("Ana", "on site")
    heron.says("Ana", "mixed 2 gal stripper")
    heron.says("Luis", "mezclé 3 gal de decapante fuerte")
    for minutes in (21, 15):
        heron.says("Ana", "started stripper on A")
        heron.later(minutes)
        heron.says("Ana", "rinsing A")
        heron.later(4)
        heron.says("Ana", "A rinsed")
        heron.later(5)
    heron.says("Ana", "A moisture 22 23.5 21")
    heron.says("Ana", "A pH 7.5")
    heron.says("Luis", "empecé decapante en B")
    heron.presses("Luis", "Deshacer")
    heron.says("Ana", "heading home")
    return heron


def test_the_timeline_reads_as_sentences(worked: Crew) -> None:
    said = [r[0] for r in ask(worked, "select said from timeline where kind not in ('rang', 'warned')")]
    for sentence in (
        "09:00 Dana: opened the job Heron Point",
        "09:00 Dana: A measured, 192 ft2",
        "09:00 Dana: bought 10 lb of stripper for 60",
        "09:00 Ana: on site",
        "09:00 Ana: mixed 2 gal of stripper, 6 oz to 1 gal",
        "09:00 Luis: 24 oz (680 g) of stripper off the shelf",
        "09:00 Ana: stripper going on A",
        "09:21 Ana: rinsing A",
        "09:25 Ana: A rinsed",
        "09:54 Ana: A moisture 22, 23.5, 21 %",
        "09:54 Ana: A pH 7.5",
        "09:54 Luis: stripper going on B (undone)",
        "09:54 Ana: gone",
    ):
        assert sentence in said, said


def test_every_row_says_something(worked: Crew) -> None:
    assert not ask(worked, "select * from timeline where said is null or trim(substr(said, 6)) in ('', ':')")


def test_dwell_in_minutes_pass_by_pass(worked: Crew) -> None:
    rows = ask(
        worked, "select section, pass, product, first_edge, rinse_begun, minutes from dwell_by_section"
    )
    assert rows == [
        ("A", 1, "stripper", "2026-06-10 09:00", "2026-06-10 09:21", 21),
        ("A", 2, "stripper", "2026-06-10 09:30", "2026-06-10 09:45", 15),
    ]


def test_batches_by_number_with_their_strength(worked: Crew) -> None:
    assert ask(worked, "select batch, who, volume, oz_per_gal from batches") == [
        (1, "Ana", "2 gal", 6.0), (2, "Luis", "3 gal", 8.0)]  # fmt: skip


def test_readings_with_mean_and_wettest(worked: Crew) -> None:
    assert ask(worked, "select what, readings, mean, wettest from readings") == [
        ("moisture %", "22, 23.5, 21", 22.2, 23.5), ("pH", "7.5", None, None)]  # fmt: skip


def test_costs_add_up_as_the_chat_says(worked: Crew) -> None:
    """12 and 24 oz of a 160 oz pack at 60: 4.50 and 9.00 (by hand)."""
    assert ask(worked, "select cost from costs") == [(4.5,), (9.0,)]
    assert ask(worked, "select job, sum(cost) from costs group by job") == [("Heron Point", 13.5)]
    assert ask(worked, "select what, amount, cost from purchases") == [("bought", "10 lb", 60)]


def test_hours_of_a_stay(worked: Crew) -> None:
    assert ask(worked, "select who, came, went, hours from hours") == [("Ana", "09:00", "09:54", 0.9)]


def test_hours_said_twice_are_one_stay_and_a_missing_end_stays_open(heron: Crew) -> None:
    heron.says("Ana", "on site")
    heron.later(10)
    heron.says("Ana", "on site")
    heron.says("Luis", "ya llegué")
    heron.later(50)
    heron.says("Ana", "heading home")
    assert ask(heron, "select who, hours from hours") == [("Ana", 1.0), ("Luis", None)]


@pytest.mark.parametrize("view", VIEWS)
def test_views_stand_on_an_empty_file(tmp_path: Path, view: str) -> None:
    Store(tmp_path / "rinsebell.db", datetime(2026, 6, 10, tzinfo=ZONE)).close()
    with sqlite3.connect(tmp_path / "rinsebell.db") as db:
        assert db.execute(f"select * from {view}").fetchall() == []


def test_an_older_file_gets_the_new_views(tmp_path: Path) -> None:
    """A file of the second step, with a row in it, is brought up to date and backed up first."""
    path = tmp_path / "rinsebell.db"
    old = Database(path)
    for step in migrations.STEPS[:2]:
        step(old)
    old.execute("pragma user_version = 2")
    old.table("entries").insert({"at": "2026-06-10T13:00:00.000+00:00", "local": "2026-06-10T09:00:00-04:00",
                                 "told": "2026-06-10T13:00:00.000+00:00", "kind": "finish", "sections": '["A"]',
                                 "data": '{"step": "rinse"}'})  # fmt: skip
    old.conn.close()
    Store(path, datetime(2026, 6, 10, tzinfo=ZONE)).close()
    with sqlite3.connect(path) as db:
        assert db.execute("select said from timeline").fetchall() == [("09:00 A rinsed",)]
    assert list(tmp_path.glob("before-*.db"))


def test_what_was_undone_shows_in_the_timeline_alone(heron: Crew) -> None:
    heron.says("Ana", "mixed 4 gal brightener")
    heron.presses("Ana", "Undo")
    assert ask(heron, "select * from batches") == ask(heron, "select * from costs") == []
    assert ask(heron, "select state from timeline where kind = 'mixed'") == [("undone",)]


@pytest.mark.parametrize(
    ("sql", "rows"),
    [
        (
            "select job, product, round(sum(cost), 2) as cost from costs group by job, product",
            [("Heron Point", "stripper", 13.5)],
        ),
        (
            "select job, section, pass, product, first_edge, minutes from dwell_by_section"
            " where minutes > 20 order by minutes desc",
            [("Heron Point", "A", 1, "stripper", "2026-06-10 09:00", 21)],
        ),
        (
            "select job, who, round(sum(hours), 1) as hours, sum(hours is null) as no_end from hours group by job, who",
            [("Heron Point", "Ana", 0.9, 0)],
        ),
    ],
)
def test_three_questions_of_an_owner(worked: Crew, sql: str, rows: list[tuple[object, ...]]) -> None:
    """The queries that the README gives: what a job cost, what stood too long, who worked how long."""
    assert ask(worked, sql) == rows
