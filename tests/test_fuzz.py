"""Whatever is typed: no crash, no quantity that was not said, and the queue goes on. Updates as raw JSON:
test_telegram_fuzz.py."""

from __future__ import annotations

import re
import tempfile
import unicodedata
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot import app
from bot.transports import rehearsal
from bot.understand import lexicon
from bot.understand.reading import understand
from bot.wire import KINDS
from tests.conftest import Crew

NOW = datetime(2026, 6, 10, 10, 0, tzinfo=ZoneInfo("America/New_York"))
WORDS = lexicon.load(app.FOLDER)

# Words of the trade without a number among them, in both languages, with slips, signs and rubbish between.
TRADE = """
    mix brightener stripper gel oil started rinsed covered misted section B C stairs rail wet dry moisture ph wind sun
    bucket gal oz lb min minutes ft started strpper brightner mezcla abrillantador decapante empece enjuagada seccion
    escaleras baranda humedad not if when undo no si yes hold resume rain hot F C , . ? ! : ; / - % ' " ( ) # x by at
    🧴 é ñ ...
"""
PLAIN = (*TRADE.split(), "\u200b", "\u202e", "\x00", "\n")
NUMBERED = (
    *PLAIN,
    "4",
    "1/2",
    "2.5",
    "78",
    "45%",
    "9:50",
    "12x16",
    "a",
    "half",
    "two",
    "dos",
    "medio",
    "-3",
    "0",
    "٣",
    "½",
)
plain = st.lists(st.sampled_from(PLAIN), max_size=14).map(" ".join)
numbered = st.lists(st.sampled_from(NUMBERED), max_size=14).map(" ".join)


def figures(found: Any) -> Iterator[float]:
    """Every number that an act carries."""
    if isinstance(found, dict):
        for value in found.values():
            yield from figures(value)
    elif isinstance(found, list | tuple):
        for value in found:
            yield from figures(value)
    elif isinstance(found, int | float) and not isinstance(found, bool):
        yield float(found)


@settings(max_examples=150)
@given(plain)
def test_no_number_is_heard_where_none_was_said(text: str) -> None:
    reading = understand(text, WORDS, NOW)
    heard = [
        n
        for act in (*reading.acts, *reading.ask)
        for n in figures({k: v for k, v in act.to_json().items() if k != "at"})
    ]
    assert heard == [], (text, reading)


@settings(max_examples=150)
@given(numbered)
def test_every_digit_heard_was_typed(text: str) -> None:
    """A figure may be put together (12x16, 1/2, a pair of words), but its digits come from the text."""
    reading = understand(text, WORDS, NOW)
    if any(unicodedata.numeric(c, -1) >= 0 and not c.isascii() for c in text) or re.search(
        r"half|two|dos|medio|/|\ba\b", text
    ):
        return
    typed = {float(n) for n in re.findall(r"\d+(?:\.\d+)?(?:e\d+)?", text)} | {0.0}
    for act in (*reading.acts, *reading.ask):
        for n in figures({k: v for k, v in act.to_json().items() if k not in ("at", "sections")}):
            assert abs(n) in typed, (text, act)


@settings(max_examples=150)
@given(st.text(max_size=300) | st.text(st.sampled_from("0123456789 .,:/x-%½BCFf'\""), max_size=80))
def test_any_text_at_all_is_read(text: str) -> None:
    understand(text, WORDS, NOW)


@pytest.mark.parametrize(
    "text", ["B " * 5000, "1/" * 3000, "started " * 2000, "(" * 9000, "9:5" * 3000, "ñ" * 9000, "A-" * 3000]
)
def test_a_very_long_message_is_read(text: str) -> None:
    understand(text, WORDS, NOW)


LINES = st.sampled_from(
    (
        "zone America/New_York", "zone Nowhere", "date 2026-06-10", "date 2026-13-40", "person Ana crew en", "person",
        "restart", "07:02 Ana: started B", "25:99 Ana: x", "07:02 Ana> Covered", "until 12:00", "until", "# a comment",
        "07:02 : x", "07:02 Ana~ y", "person Ana crew xx metric", "\ufeffdate 2026-06-10",
    )
)  # fmt: skip


@given(st.lists(LINES | st.text(max_size=40), max_size=12).map("\n".join))
def test_a_written_day_is_read_or_its_line_is_named(text: str) -> None:
    with suppress(rehearsal.BadDay):
        rehearsal.read(text)


@pytest.fixture(scope="module")
def front() -> Iterator[Crew]:
    """One shop for all examples: what an earlier message left behind is part of the trial."""
    with tempfile.TemporaryDirectory() as folder:
        made = Crew(Path(folder))
        for text in ("new job Heron Point", "A 12x16 ft", "B 10x12 ft"):
            made.says("Dana", text)
        yield made
        made.store.close()


ODD = (
    st.none()
    | st.booleans()
    | st.integers()
    | st.text(max_size=20)
    | st.lists(st.text(max_size=5), max_size=3)
)
DATA = st.dictionaries(
    st.sampled_from(
        ["latitude", "longitude", "status", "left", "joined", "chat", "file", "files", "added", "privacy"]
    ),
    ODD,
)


@settings(max_examples=80)
@given(
    st.sampled_from((*KINDS, "unknown")), numbered | st.text(max_size=60),
    st.sampled_from(["Dana", "Ana", "Luis", "Stranger", ""]), st.booleans(), DATA, st.sampled_from(["", "1.0", "zz", "2.9"]),
)  # fmt: skip
def test_no_update_stops_the_queue(
    front: Crew, kind: str, text: str, who: str, private: bool, data: dict[str, Any], press: str
) -> None:
    """Odd of every kind, from everybody: each ends handled, and the next message is answered as ever."""
    odd = replace(front.played._incoming(kind, who, text), private=private, data=data, press=press)
    front.played.desk.receive(odd)
    front.played.desk.work()
    front.played.desk.ring()
    assert not front.store.rows("select 1 from inbox where state = 'new'")
    list(front.played._deliver())
    hurt = front.says("Luis", "me arden los ojos")
    assert any("15 minutos" in x["text"] for x in hurt if x["to"] == "Luis"), hurt
