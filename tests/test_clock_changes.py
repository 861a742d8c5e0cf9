"""Clocks that change: summer time begins and ends in mid-dwell, the machine's clock jumps, the machine sleeps.

Dwell is counted in true minutes. When the clocks change in the United States: 15 U.S.C. 260a (second Sunday of March
and first Sunday of November, at 2 in the morning): 8 March and 1 November 2026.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot import app
from bot.transports import rehearsal
from tests.conftest import Crew

DAY = """zone America/New_York
date {day}
person Dana owner en
person Ana crew en
00:02 Dana: new job Heron Point
00:03 Dana: section A floor 10x10 ft
01:50 Ana: started section A
01:52 Ana: A covered
until 01:53
"""


class Front:
    """A written night, and then true minutes."""

    def __init__(self, folder: Path, day: str) -> None:
        from bot.ledger import House
        from bot.store import Store

        read = rehearsal.read(DAY.format(day=day))
        self.clock = app.SetClock(read.start)
        opened = lambda: app.desk(Store(folder / "r.db", self.clock.now()), House(read.zone), self.clock)  # noqa: E731
        self.played = rehearsal.Rehearsal(read, opened, self.clock)
        self.out = [x for x in self.played.play() if "to" in x and x["to"] == "Ana"]

    def later(self, minutes: int) -> list[dict]:
        return [
            x
            for x in self.played._run_to(self.clock.now().astimezone(UTC) + timedelta(minutes=minutes))
            if x["to"] == "Ana"
        ]


@pytest.mark.parametrize("day", ["2026-03-08", "2026-11-01", "2026-06-10"])
def test_dwell_is_true_minutes_whatever_the_clocks_do(tmp_path: Path, day: str) -> None:
    """Rinse between t1 + 10 and t0 + 30 minutes of true time (common practice, no source), as on any other day."""
    night = Front(tmp_path, day)
    began = datetime.fromisoformat(night.out[0]["at"]).astimezone(UTC)
    told = night.out[-1]["figures"]
    window = [(datetime.fromisoformat(told[k]).astimezone(UTC) - began) / timedelta(minutes=1)
              for k in ("rinse_from", "rinse_by")]  # fmt: skip
    plain = Front(tmp_path / "plain", "2026-06-10")
    start = datetime.fromisoformat(plain.out[0]["at"])
    wanted = [(datetime.fromisoformat(plain.out[-1]["figures"][k]) - start) / timedelta(minutes=1)
              for k in ("rinse_from", "rinse_by")]  # fmt: skip
    assert window == wanted and window[0] == 12  # covered at 2 minutes, ten more


@pytest.mark.parametrize("day", ["2026-03-08", "2026-11-01"])
def test_reminders_ring_at_their_true_minute_and_as_loud_as_ever(tmp_path: Path, day: str) -> None:
    rings = [
        (x["about"]["reminder"], _since(x), x["loud"], x["kind"]) for x in Front(tmp_path, day).later(40)
    ]
    plain = [
        (x["about"]["reminder"], _since(x), x["loud"], x["kind"])
        for x in Front(tmp_path / "p", "2026-06-10").later(40)
    ]
    assert rings == plain and {"check", "rinse open", "rinse"} <= {kind for kind, *_ in rings}


def _since(shown: dict) -> float:
    at = datetime.fromisoformat(shown["at"]).astimezone(UTC)
    first = {"2026-03-08": "06:50", "2026-11-01": "05:50", "2026-06-10": "05:50"}  # 1:50 in New York, in UTC
    day = at.date().isoformat()
    return (at - datetime.fromisoformat(f"{day}T{first[day]}+00:00")) / timedelta(minutes=1)


# ---- the machine sleeps, and its clock jumps


def test_asleep_for_an_hour_rings_at_once_marked_late_and_none_twice(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.clock.move(heron.clock.now() + timedelta(hours=1))  # nothing ran meanwhile
    heron.played.desk.ring()
    rung = [x for x in heron.played._deliver() if x["to"] == "Ana"]
    kinds = [x["about"]["reminder"] for x in rung]
    assert {"mist", "check", "rinse", "rinse late"} <= set(kinds) and all(x["kind"] == "late" for x in rung)
    assert all("LATE, was due" in x["text"] for x in rung)
    assert len(kinds) == len(set(kinds)), "several of one kind are one message"
    heron.played.desk.ring()
    assert not list(heron.played._deliver())


def test_a_clock_set_back_rings_nothing_twice_and_loses_nothing(heron: Crew) -> None:
    heron.says("Ana", "started B")
    first = [x["about"]["reminder"] for x in heron.later(11) if x["to"] == "Ana"]
    assert first == ["check"]
    heron.clock.at -= timedelta(minutes=30)  # corrected by the network's time
    assert [x for x in heron.later(30) if x["kind"] == "reminder"] == []
    rest = [x["about"]["reminder"] for x in heron.later(40) if x["to"] == "Ana"]
    assert "check" not in rest and {"mist", "rinse"} <= set(rest)


def test_a_clock_set_forward_and_back_again_leaves_the_window_as_it_was(heron: Crew) -> None:
    told = heron.says("Ana", "started B")[0]["figures"]["rinse_by"]
    heron.clock.at += timedelta(days=400)
    heron.clock.at -= timedelta(days=400)
    shown = heron.says("Ana", "B covered")
    assert next(x for x in shown if x["to"] == "Ana")["figures"]["rinse_by"] == told


def test_a_message_from_the_future_counts_as_of_now(heron: Crew) -> None:
    """A phone's or the platform's clock ahead of ours must not put a start after its own reminders."""
    from dataclasses import replace

    ahead = replace(
        heron.played._incoming("text", "Ana", "started B"), sent_at=heron.clock.now() + timedelta(hours=3)
    )
    heron.played.desk.receive(ahead)
    heron.played.desk.work()
    row = heron.store.row("select at, told from entries where kind = 'start'")
    assert row["at"] == row["told"]
