"""What the owner gets by asking and by the clock: digest, morning plan, picture, record, client's notice, hours."""

from __future__ import annotations

import asyncio
import json
import stat
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from conftest import Crew
from jobfacts import ZONE, Facts, at, q

from bot import app, clocks
from bot.job import Job
from bot.making import Making, WithFiles, is_to_make
from bot.shop import Shop
from bot.wire import Delivery, Outgoing

SECOND = "2026-06-11"


def to(out: list[dict[str, Any]], who: str, kind: str = "ping", about: str = "") -> list[dict[str, Any]]:
    return [x for x in out if x["to"] == who and x["kind"] == kind and (not about or x["about"].get("daily") == about)]


def worked(crew: Crew) -> None:
    """One floor through the stripper, 10 to 18 min after a patch of 8."""
    for clock, text in (("9:05", "patch loose after 8 min"), ("9:30", "started B"), ("9:35", "B covered"),
                        ("9:47", "rinsing B"), ("9:52", "B rinsed")):  # fmt: skip
        crew.at(clock)
        crew.says("Ana", text)


# ---- the evening digest


def test_the_digest_comes_at_six_on_a_day_with_work(heron):
    worked(heron)
    (ping,) = to(heron.at("18:30"), "Dana", about="evening")
    assert ping["at"] == "2026-06-10T18:00:00-04:00"
    assert not ping["loud"]
    assert "B: stripper done." in ping["text"] and "To strip: A and stairs." in ping["text"]
    assert ping["files"] == [{"make": "picture", "job": 1, "day": "2026-06-10"}]


def test_no_digest_without_work_and_no_morning_plan_after_a_day_of_rest(heron):
    heron.at("18:30")
    assert to(heron.at("23:59", SECOND), "Dana", about="morning")
    assert not [x for x in heron.at("23:59", "2026-06-14") if x["about"].get("daily")]


def test_what_still_stands_wet_comes_first(heron):
    heron.at("17:50")
    heron.says("Ana", "started B")
    (ping,) = to(heron.at("18:00"), "Dana", about="evening")
    assert ping["text"].splitlines()[1].startswith("STILL WET: B")


def test_trouble_is_in_the_digest(heron):
    heron.at("10:00")
    heron.says("Ana", "started B")
    heron.at("10:40")
    heron.says("Ana", "B rinsed")
    heron.says("Ana", "eye burning")
    (ping,) = to(heron.at("18:00"), "Dana", about="evening")
    assert "B went over its time" in ping["text"] and "Incident at 10:40: eye" in ping["text"]


def test_a_restart_rings_it_once(heron):
    worked(heron)
    heron.restart()
    assert len(to(heron.at("18:10"), "Dana", about="evening")) == 1
    heron.restart()
    assert not to(heron.at("20:00"), "Dana", about="evening")


def test_what_fell_due_while_stopped_comes_at_once_and_only_once(heron):
    worked(heron)
    heron.store.close()
    heron.clock.move(at("19:10"))
    heron.played.desk = heron._open()
    heron.played.desk.ring()
    out = list(heron.played._deliver())
    assert len(to(out, "Dana", about="evening")) == 1
    assert not to(heron.at("22:00"), "Dana", about="evening")


def test_a_digest_of_long_ago_is_no_news(heron):
    worked(heron)
    heron.store.close()
    heron.clock.move(at("12:00", "2026-06-20"))
    heron.played.desk = heron._open()
    heron.played.desk.ring()
    assert not [x for x in heron.played._deliver() if x["about"].get("daily")]


def test_who_wants_trouble_only_gets_neither(heron):
    heron.says("Dana", "pings trouble")
    worked(heron)
    assert not [x for x in heron.at("7:00", SECOND) if x["about"].get("daily")]


def test_the_day_of_closing_has_its_digest_and_the_next_morning_no_plan(heron):
    worked(heron)
    heron.says("Dana", "close job Heron Point")
    out = heron.at("7:00", SECOND)
    (ping,) = to(out, "Dana", about="evening")
    assert "closed" in ping["text"]
    assert not to(out, "Dana", about="morning")


def test_in_the_owners_language(heron):
    heron.says("Dana", "idioma es")
    worked(heron)
    (ping,) = to(heron.at("18:00"), "Dana", about="evening")
    assert "B: decapante, hecho." in ping["text"]


# ---- the morning plan, quiet hours, the owner's own hours


def test_the_morning_after_says_what_is_left(heron):
    worked(heron)
    (ping,) = to(heron.at("7:00", SECOND), "Dana", about="morning")
    assert ping["at"] == "2026-06-11T06:30:00-04:00"
    assert "To strip: A and stairs." in ping["text"] and "To brighten: B." in ping["text"]
    assert "brightener still to mix" in ping["text"]


def test_quiet_hours_hold_the_plan_until_they_end(heron):
    heron.says("Dana", "quiet 21 to 7")
    worked(heron)
    out = heron.at("6:59", SECOND)
    assert not to(out, "Dana", about="morning")
    assert [x["at"] for x in to(heron.at("7:01", SECOND), "Dana", about="morning")] == ["2026-06-11T07:00:00-04:00"]


def test_the_owner_sets_the_hours(heron):
    assert "7:30 pm" in heron.says("Dana", "digest at 7:30 pm")[0]["text"]
    heron.says("Dana", "morning plan at 5:45")
    worked(heron)
    out = heron.at("8:00", SECOND)
    assert [x["at"] for x in to(out, "Dana") if x["about"].get("daily")] == [
        "2026-06-10T19:30:00-04:00", "2026-06-11T05:45:00-04:00"]  # fmt: skip


def test_the_owner_turns_them_off_and_undo_turns_them_on(heron):
    heron.says("Dana", "no digest")
    heron.says("Dana", "morning plan off")
    heron.presses("Dana", "Undo")
    worked(heron)
    out = heron.at("8:00", SECOND)
    assert [x["about"]["daily"] for x in to(out, "Dana") if x["about"].get("daily")] == ["morning"]


def test_a_bare_digest_hour_is_the_evenings(heron):
    assert "7:00 pm" in heron.says("Dana", "digest at 7")[0]["text"]
    assert "6:00" in heron.says("Dana", "morning plan at 6")[0]["text"]


@pytest.mark.parametrize("text", ["digest", "digest at 7 pm", "record", "board", "no digest"])
def test_the_crew_is_told_that_it_is_the_owners(heron, text):
    assert [x["text"] for x in heron.says("Ana", text)] == ["Only the owner can do that."] or (
        "owner" in heron.says("Ana", text)[0]["text"].lower())  # fmt: skip


def due(facts: Facts, shop: Shop | None = None) -> list[tuple[str, str]]:
    found = clocks.due(Job(id=1).after(facts.standing()), shop or Shop(), ZONE)
    return [(r.kind, f"{r.due.astimezone(ZONE):%m-%d %H:%M}") for r in found if r.to == "owner"]


def test_due_times_are_local_over_a_change_of_the_clocks():
    """1 November 2026 is the day on which New York goes back to winter time."""
    facts = Facts()
    facts.add("7:03", "measure", "A", area=q(100, "ft2"), day="2026-10-31")
    assert due(facts) == [("evening", "10-31 18:00"), ("morning", "11-01 06:30")]


def test_work_after_the_digests_hour_alone_brings_none():
    facts = Facts()
    facts.add("19:00", "measure", "A", area=q(100, "ft2"))
    assert due(facts) == [("morning", "06-11 06:30")]
    facts.add("17:00", "note", text="x")
    assert due(facts)[0] == ("evening", "06-10 18:00")


def test_what_the_bot_writes_by_itself_is_no_work():
    facts = Facts()
    facts.add("9:00", "rang", person=None, reminder="reading", due=at("9:00").isoformat(), keys=["reading:x"])
    assert due(facts) == []


# ---- picture, record


def test_the_picture_is_asked_for_and_drawn_only_when_it_goes_out(heron, tmp_path):
    worked(heron)
    (out,) = heron.says("Ana", "picture")
    assert out["files"] == [{"make": "picture", "job": 1, "day": "2026-06-10"}]
    assert not (tmp_path / "files").exists()
    heron.says("Ana", "yesterday's picture")
    (none,) = heron.says("Ana", "drying chart")
    assert "No moisture readings" in none["text"] and "files" not in none


def message(crew: Crew, outgoing: int = -1) -> Outgoing:
    rows = crew.store.rows("select * from outbox where files like '%make%' order by id")
    return crew.store._outgoing(rows[outgoing])


def making(crew: Crew) -> Making:
    return app.making_for(crew.played.desk, crew.folder)


def test_the_picture_is_made_into_the_owners_folder_alone(heron):
    worked(heron)
    heron.says("Luis", "imagen del dia")
    made = making(heron).made(message(heron))
    (file,) = made.files
    path = Path(file["path"])
    assert path.parent == heron.folder / "files" and path.read_bytes().startswith(b"\x89PNG")
    assert stat.S_IMODE(path.stat().st_mode) == 0o600 and stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert file["name"] == "picture-2026-06-10-job-1.png"


def test_the_record_is_made_in_the_language_asked_for(heron):
    worked(heron)
    (out,) = heron.says("Dana", "report in spanish")
    assert out["files"] == [{"make": "record", "job": 1, "language": "es"}]
    page = Path(making(heron).made(message(heron)).files[0]["path"]).read_text()
    assert '<html lang="es">' in page and "Registro del trabajo" in page and "09:47" in page


def test_a_file_that_cannot_be_made_is_said_and_the_words_go_out(heron, monkeypatch):
    worked(heron)
    heron.says("Dana", "picture")
    monkeypatch.setattr("bot.charts.day", lambda *a: 1 / 0)
    made = making(heron).made(message(heron))
    assert made.files == () and "could not be made" in made.text and "Heron Point" in made.text


class Sent:
    """A transport that keeps what it was given."""

    def __init__(self) -> None:
        self.out: list[Outgoing] = []

    async def listen(self, intake: Any) -> None: ...

    async def send(self, outgoing: Outgoing) -> Delivery:
        self.out.append(outgoing)
        return Delivery("sent", message="1")

    def weigh(self, outgoing: Outgoing) -> int:
        return 1

    async def close(self) -> None: ...


def test_the_transport_gets_paths_never_wishes(heron):
    worked(heron)
    heron.says("Dana", "picture")
    sent = Sent()
    asyncio.run(WithFiles(sent, making(heron)).send(message(heron)))
    assert not is_to_make(sent.out[0]) and Path(sent.out[0].files[0]["path"]).exists()


def test_an_unknown_wish_still_lets_the_words_out(heron):
    sent = Sent()
    odd = Outgoing(1, "chat:Dana", "words", files=({"make": "sculpture", "job": 1},))
    asyncio.run(WithFiles(sent, making(heron)).send(odd))
    assert sent.out[0].text.startswith("words") and sent.out[0].files == ()


def test_report_on_the_command_line(heron, capsys, monkeypatch, tmp_path):
    worked(heron)
    monkeypatch.setenv("RINSEBELL_DATA", str(heron.folder))
    monkeypatch.setenv("RINSEBELL_ZONE", "America/New_York")
    assert app.report([]) == 0
    assert "<h1>Heron Point</h1>" in capsys.readouterr().out
    out = tmp_path / "record.html"
    assert app.report(["heron", "point", "--out", str(out)]) == 0
    assert "Times by section and pass" in out.read_text()
    with pytest.raises(app.Misconfigured, match="knows no job"):
        app.report(["Nowhere"])


# ---- the client's notice


def test_the_notice_before_anything_dries_promises_no_day(heron):
    (out,) = heron.says("Dana", "client notice")
    assert "until we tell you" in out["text"] and "2026" not in out["text"]
    assert "stairs and the doors" in out["text"] and "pets" in out["text"]


def test_the_notice_in_the_clients_language_reads_spanish_and_its_buttons_english(heron):
    (out,) = heron.says("Dana", "client notice in spanish")
    assert "no pise A, B y escaleras" in out["text"] and "Please" not in out["text"]
    assert out["buttons"] == ["Undo"]


def test_wet_wood_is_said_first(heron):
    heron.says("Ana", "started B")
    (out,) = heron.says("Dana", "client notice")
    assert out["text"].splitlines()[1].startswith("B: wet with a cleaning product")


def brightened(crew: Crew) -> None:
    for name in ("A", "B", "stairs"):
        for text in (f"started {name}", f"{name} rinsed", f"brightener on {name}", f"{name} final rinse done"):
            crew.says("Ana", text)
            crew.later(1 if "start" not in text else 12)


def test_the_days_are_those_of_the_forecast(heron):
    """Two to three good drying days after the last rinse, common practice: 12 and 13 June from the 10th."""
    brightened(heron)
    (out,) = heron.says("Dana", "client notice")
    assert "between Fri 6/12 and Sat 6/13" in out["text"] and "until we tell you" in out["text"]
    entry = [r for r in heron.timeline() if r["kind"] == "client"][-1]
    assert entry["data"] == {"language": "en", "not_before": "2026-06-12", "expected": "2026-06-13"}


def test_the_last_section_decides(heron):
    brightened(heron)
    heron.at("8:00", "2026-06-11")
    heron.says("Ana", "stripper on B")
    heron.later(12)
    heron.says("Ana", "B rinsed")
    (out,) = heron.says("Dana", "client notice")
    assert "6/12" not in out["text"] and "once the wood is drying" in out["text"]


def test_a_rehearsal_shows_the_wish_and_draws_only_when_asked(tmp_path, capsys):
    day = tmp_path / "day.txt"
    day.write_text("zone America/New_York\ndate 2026-06-10\nperson Dana owner en\n09:00 Dana: new job Trial Row\n"
                   "09:01 Dana: A 10x12 ft\n09:02 Dana: picture\n"
                   "09:02 Dana: boards 78 F humidity 55\n09:03 Dana: picture\n")  # fmt: skip
    assert app.rehearse([str(day), "--json"]) == 0
    rows = [json.loads(x) for x in capsys.readouterr().out.splitlines()]
    assert "nothing to draw" in next(r["text"] for r in rows if "draw" in r.get("text", ""))
    assert [r["files"] for r in rows if r.get("files")] == [[{"make": "picture", "job": 1, "day": "2026-06-10"}]]
    assert not any(r.get("kind") == "board" for r in rows)
    assert app.rehearse([str(day), "--json", "--draw", "--data", str(tmp_path / "data")]) == 0
    rows = [json.loads(x) for x in capsys.readouterr().out.splitlines()]
    (file,) = next(r["files"] for r in rows if r.get("files"))
    assert Path(file["path"]).is_file()


def test_jobs_active_moments_are_a_quarter_of_an_hour_apart():
    facts = Facts()
    for minute in range(60):
        facts.add(f"9:{minute:02d}", "note", text="x")
    assert [m.astimezone(ZONE) for m in Job(id=1).after(facts.standing()).active] == [
        datetime(2026, 6, 10, 9, m, tzinfo=ZONE) for m in (0, 15, 30, 45)]  # fmt: skip


def test_the_cautions_said_with_a_batch_are_in_the_record(heron):
    heron.says("Ana", "mix 4 gal brightener")
    heron.says("Dana", "record")
    page = Path(making(heron).made(message(heron)).files[0]["path"]).read_text()
    assert "cautions with the batch" in page and "loves" in page  # gloves, in whatever words the mix says it


def test_a_practice_has_no_board(heron):
    before = {b["job"] for b in heron.store.rows("select job from outbox where kind = 'board'")}
    heron.played.desk.boards.refresh([-7], heron.clock.now())
    assert {b["job"] for b in heron.store.rows("select job from outbox where kind = 'board'")} == before == {1}
