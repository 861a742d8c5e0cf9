"""How a turn goes about what it asks: by an index, and with one look at the names of all jobs."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

from hypothesis import given
from hypothesis import strategies as st

from bot.lookup import any_named, names
from tests.conftest import Crew

GROWS = {"entries", "inbox", "outbox", "buttons", "reminders"}  # without end; jobs and people are few
OPEN = {"outbox_open", "inbox_new"}  # indexes of what waits, and of nothing else
DAY = ("started B", "B covered", "misted B", "check B partly", "mix 4 gal brightener", "ph 6.5 on B", "undo", "status",
       "timeline", "note: the gate code is on the fence", "78 F, 45 % humidity", "B rinsed", "what's next", "dry?",
       "how much did it cost", "stock")  # fmt: skip


def walked(crew: Crew, said: list[str]) -> Iterator[tuple[str, str]]:
    """(table, statement) of every statement that goes along a whole growing table."""
    crew.store.db.conn.set_trace_callback(None)
    for sql in dict.fromkeys(said):
        if not re.match(r"\s*(select|update|delete|with)", sql, re.IGNORECASE):
            continue
        names = {alias: table for table, alias in re.findall(r"\b(?:from|join) (\w+) (\w)\b", sql)}
        for *_, step in crew.store.db.conn.execute(f"explain query plan {sql}"):
            found = re.match(r"SCAN (\w+)(?: USING (?:COVERING )?INDEX (\w+))?", step)
            table = found and names.get(found[1], found[1])
            if found and table in GROWS and found[2] not in OPEN:
                yield str(table), sql


def test_no_statement_of_a_turn_walks_a_growing_table(heron: Crew) -> None:
    said: list[str] = []
    heron.store.db.conn.set_trace_callback(said.append)
    desk, out = heron.played.desk, heron.store
    for text in DAY:
        for who in ("Ana", "Dana"):
            incoming = heron.played._incoming("text", who, text)
            desk.receive(incoming)
            desk.work()
        out.ready(heron.clock.now())
    heron.clock.move(heron.clock.now().replace(hour=23))
    desk.ring()
    desk.next_due()
    out.recover()
    assert len(said) > 500
    assert list(walked(heron, said)) == []


def test_a_message_asks_no_more_in_a_large_shop_than_in_a_small_one(heron: Crew) -> None:
    def asked(text: str) -> int:
        said: list[str] = []
        heron.store.db.conn.set_trace_callback(said.append)
        heron.played.desk.receive(heron.played._incoming("text", "Dana", text))
        heron.played.desk.work(1)
        heron.store.db.conn.set_trace_callback(None)
        return len(said)

    heron.says("Dana", "started A")
    few = asked("misted A")
    for number in range(40):
        heron.says("Dana", f"new job Deck {number}")
    heron.says("Dana", "switch to Heron Point")
    assert asked("misted A") == few


WORDS = st.text(alphabet="aáBñ1_ -.\n", max_size=12)


@given(st.lists(WORDS, max_size=4), WORDS)
def test_one_look_finds_a_name_where_a_look_at_each_would(known: list[str], text: str) -> None:
    assert any_named(json.dumps(known), text) == any(names(name, text) for name in known)
