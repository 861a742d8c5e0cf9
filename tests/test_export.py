"""The exported timeline: everything in it, undone rows marked, nothing that a spreadsheet would run."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest
from conftest import Crew, reply
from hypothesis import given
from hypothesis import strategies as st

from bot import app, export
from bot.wire import Outgoing


def exported(crew: Crew, form: str, job: int | None = None) -> list[dict[str, Any]]:
    body = export.body(crew.store.rows(export.QUERY, job, job), form)
    if form == "json":
        return list(json.loads(body))
    return list(csv.DictReader(io.StringIO(body.decode("utf-8-sig"), newline="")))


@pytest.mark.parametrize(
    ("cell", "safe"),
    [
        ("=1+1", "'=1+1"),
        ("+1", "'+1"),
        ("-1", "'-1"),
        ("@sum(a1)", "'@sum(a1)"),
        (" =1+1", "' =1+1"),  # leading blanks are trimmed by some
        ("\t=1", "'\t=1"),
        ("\r=1", "'\r=1"),
        ("＝1", "'＝1"),
        ("A rinsed", "A rinsed"),
        ("4 - 5 oz", "4 - 5 oz"),
        ("", ""),
        (-4.5, -4.5),  # a number is no formula
        (None, None),
    ],
)
def test_formulas_are_text(cell: object, safe: object) -> None:
    """The characters are those of OWASP's "CSV Injection" page (from memory), with their full-width forms."""
    assert export.harmless(cell) == safe


@given(st.text())
def test_no_cell_of_any_words_begins_a_formula(words: str) -> None:
    kept = dict.fromkeys(export.COLUMNS, "x") | {
        "sections": '["A"]',
        "data": "{}",
        "undone_by": None,
        "words": words,
    }
    got = list(csv.reader(io.StringIO(export.as_csv([export.row(kept)]), newline="")))[1]
    cell = got[export.COLUMNS.index("words")]
    assert not cell.lstrip().startswith(("=", "+", "-", "@"))
    assert cell in (words, f"'{words}")  # nothing but the apostrophe is changed


@pytest.fixture
def told(heron: Crew) -> Crew:
    heron.says("Luis", 'nota: =HYPERLINK("x") señal, "comillas"\ny otra línea')
    heron.says("Ana", "started stripper on A")
    heron.presses("Ana", "Undo")
    heron.says("Dana", "new job Trial Row")
    return heron


def test_both_forms_hold_every_entry_undone_ones_marked(told: Crew) -> None:
    rows = told.store.rows("select id, undone, words from entries order by at, id")
    for form in ("csv", "json"):
        out = exported(told, form)
        assert [int(r["id"]) for r in out] == [r["id"] for r in rows]
        assert [r["state"] for r in out] == ["undone" if r["undone"] else "" for r in rows]
    assert [r["words"] for r in exported(told, "json")] == [r["words"] for r in rows]


def test_words_come_through_whole(told: Crew) -> None:
    note = next(r for r in exported(told, "csv") if r["kind"] == "note")
    assert "señal" in note["words"] and '"comillas"' in note["words"] and "línea" in note["words"]
    text = next(json.loads(r["data"])["text"] for r in exported(told, "csv") if r["kind"] == "note")
    assert text.startswith("=HYPERLINK")  # inside its JSON, where no spreadsheet runs it


def test_one_job_alone(told: Crew) -> None:
    assert {r["job"] for r in exported(told, "json", 1)} == {"Heron Point"}
    assert {r["job"] for r in exported(told, "json")} == {"Heron Point", "Trial Row"}


def test_local_time_with_its_zone_and_what_it_says(told: Crew) -> None:
    start = next(r for r in exported(told, "json", 1) if r["kind"] == "start")
    assert start["local"] == "2026-06-10T09:00:00-04:00" and start["zone"] == "America/New_York"
    assert start["said"] == "09:00 Ana: stripper going on A (undone)"


@pytest.mark.parametrize(
    ("text", "file"),
    [
        ("export", {"make": "csv", "job": 2}),
        ("export Heron Point", {"make": "csv", "job": 1}),
        ("export json", {"make": "json", "job": 2}),
        ("exporta todo en json", {"make": "json", "job": None}),
    ],
)
def test_by_chat_a_file_is_asked_for(told: Crew, text: str, file: dict[str, Any]) -> None:
    told.says("Dana", text)
    row = told.store.row("select files from outbox where files != '[]' order by id desc limit 1")
    assert row is not None and json.loads(row["files"]) == [file]


def test_the_file_is_made_and_named(told: Crew) -> None:
    """As the courier does it: the spec of the message becomes a file on the disk, readable by the owner alone."""
    told.says("Dana", "export Heron Point")
    out = told.store.row(
        "select id, chat, text, files from outbox where files != '[]' order by id desc limit 1"
    )
    assert out is not None
    making = app.making_for(told.played.desk, told.folder)
    made = making.made(Outgoing(out["id"], out["chat"], out["text"], files=tuple(json.loads(out["files"]))))
    path = Path(made.files[0]["path"])
    assert made.files[0]["name"] == "timeline-job-1.csv" and path.stat().st_mode & 0o077 == 0
    assert path.read_bytes() == export.body(told.store.rows(export.QUERY, 1, 1), "csv")


def test_only_the_owner_exports(told: Crew) -> None:
    assert "Only the owner" in reply(told.says("Ana", "export"))["text"]
