"""The job record: parsed, and every number in it traced to a row of the timeline."""

from __future__ import annotations

import hashlib
import json
import re
from datetime import datetime
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from jobfacts import ZONE, Facts, heron_point

from bot import record, seal
from bot.amounts import Reader
from bot.job import Job
from bot.outcome import Line
from bot.speech import Phrases, Speech

SPEECH = Speech(Phrases(Path(__file__).parent.parent / "handlers"))
PNG = b"\x89PNG\r\n\x1a\n" + b"0" * 64


class Page(HTMLParser):
    """Tables by section, all text, and the tags and attributes that were used."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tables: dict[str, list[list[str]]] = {}
        self.text: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self._at, self._skip = "", False
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self._skip = tag == "style"
        if tag == "section":
            self._at = str(dict(attrs)["id"])
            self.tables[self._at] = []
        if tag == "tr":
            self.tables[self._at].append([])
        if tag in ("td", "th"):
            self.tables[self._at][-1].append("")
        if tag == "br" and self._at:
            self.tables[self._at][-1][-1] += " "

    def handle_endtag(self, tag: str) -> None:
        self._skip = False
        if tag == "section":
            self._at = ""

    def handle_data(self, data: str) -> None:
        if self._skip:
            return
        self.text.append(data)
        if self._at and self.tables[self._at] and self.tables[self._at][-1]:
            self.tables[self._at][-1][-1] += data.replace("\u00a0", " ")

    def rows(self, name: str) -> list[dict[str, str]]:
        head, *rest = self.tables[name]
        return [dict(zip(head, row, strict=True)) for row in rest]


def made(facts: Facts, language: str = "en", picture: bytes | None = PNG) -> str:
    reader = Reader(language, "us", datetime(2000, 1, 1, tzinfo=ZONE))

    def speak(told: Line) -> str:
        return SPEECH.line(told, reader)

    rows = sorted(facts.rows, key=lambda r: (r["at"], r["id"]))
    job = Job(id=1).after(facts.standing())
    return record.page(record.Record(job, rows, facts.kept(), ZONE, speak, lambda name: picture))


def with_photo() -> Facts:
    facts = heron_point()
    facts.add("14:50", "photo", "B", files=["a1b2.png"], text="foam <b>after</b> rinse")
    return facts


def numbers_of(facts: Facts) -> set[str]:
    """Every number that a row holds: ids, moments in local time, values, and digits inside words."""
    found: set[str] = set()
    for row in facts.rows:
        local = row["at"].astimezone(ZONE)
        found |= {str(row["id"]), f"{local:%Y-%m-%d}", f"{local:%H:%M}", f"{local:%-H:%M}"}
        if row["undone"] is not None:
            found.add(str(row["undone"]))
        for text in re.findall(r"-?\d+(?:\.\d+)?", json.dumps({k: v for k, v in row["data"].items() if k != "due"})):
            found |= {text, f"{float(text):g}"}
        found |= set(re.findall(r"\d+", row["words"]))
    return found


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_number_comes_from_a_row(language):
    facts = heron_point()
    page = Page(made(facts, language))
    text = " ".join(page.text).replace("\u00a0", " ")
    digest = re.search(r"[0-9a-f]{64}", text)
    assert digest
    text = text.replace(digest[0], "").replace("SHA-256", "")
    told = set(re.findall(r"\d[\d.:-]*\d|\d", text))
    # the count of the rows; the passes of the rail, which its two starts number
    unknown = told - numbers_of(facts) - {str(len(facts.rows)), "1", "2"}
    assert len(told) > 60 and not unknown


def test_the_number_check_can_fail():
    facts = heron_point()
    assert "193" not in numbers_of(facts) and "192" in numbers_of(facts) and "09:51" not in numbers_of(facts)


def test_times_by_section_and_pass():
    rows = Page(made(heron_point())).rows("passes")
    assert len(rows) == 9
    first = next(r for r in rows if r["Section"] == "A" and r["Product"] == "stripper")
    assert first == {
        "Section": "A", "Product": "stripper", "Pass": "1", "Day": "2026-06-10 EDT", "Started": "09:50", "Covered": "10:02",
        "Misted": "10:04 water", "Checked": "10:10 lets go", "Rinse begun": "10:12", "Rinsed": "10:19", "By": "Ana",
    }  # fmt: skip
    stairs = next(r for r in rows if r["Section"] == "stairs" and r["Product"] == "stripper")
    assert (stairs["Rinse begun"], stairs["Rinsed"]) == ("", "11:24"), "only the end of that rinse was told"
    second = next(r for r in rows if r["Section"] == "rail" and r["Pass"] == "2")
    assert (second["Started"], second["Covered"], second["Rinsed"]) == ("12:01", "12:05", "12:29")


def test_site_areas_batches_patches_readings_weather():
    page = Page(made(heron_point()))
    assert [(r["Section"], r["Area"]) for r in page.rows("areas")] == [
        ("A", "192 ft2"), ("B", "120 ft2"), ("stairs", "61 ft2"), ("rail", "83 ft2")]  # fmt: skip
    site = {r["Fact"]: r["As told"] for r in page.rows("site")}
    assert site == {"year built": "1991", "treated wood": "no", "wood": "cedar"}
    (batch,) = page.rows("batches")
    assert batch["Volume"] == "4 gal" and batch["Strength"] == "4 oz / 1 gal" and batch["Taken off the shelf"] == "16 oz"
    assert batch["When"] == "2026-06-10 08:31 EDT" and batch["By"] == "Ana"
    (patch,) = page.rows("patches")
    assert (patch["Minutes"], patch["Result"], patch["Section"]) == ("9", "lets go", "A")
    (reading,) = page.rows("readings")
    assert (reading["What"], reading["Value"]) == ("pH", "7.5")
    assert [r["Boards"] for r in page.rows("weather")] == ["78 F", ""]


def test_cautions_incidents_and_who():
    page = Page(made(heron_point()))
    assert [r["Entry"] for r in page.rows("cautions")] == ["warned", "INCIDENT"]
    assert "burn on Luis' hand" in page.rows("cautions")[1]["What"]
    assert [(r["Who"], r["Told"]) for r in page.rows("people")] == [("Ana", "on site"), ("Ana", "gone")]


def test_what_was_taken_back_shows_as_such_and_counts_nowhere():
    page = Page(made(heron_point()))
    (gone,) = [r for r in page.rows("timeline") if r["State"]]
    assert gone["State"] == "taken back by entry 90"
    assert "99" not in json.dumps(page.rows("readings"))


def test_a_reminder_in_time_is_left_out_and_a_late_one_is_not():
    facts = heron_point()
    facts.add("10:00", "rang", "A", person=None, reminder="check", due="2026-06-10T10:00:00-04:00", keys=["check:A"])
    shown = [r["What"] for r in Page(made(facts)).rows("timeline") if r["What"].startswith("rang")]
    assert len(shown) == 1 and "late" in shown[0] and "B" in shown[0]


def test_everything_is_escaped():
    text = made(with_photo())
    assert "<script" not in text and "<b>" not in text
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in text
    assert "foam <b>after</b> rinse" in " ".join(Page(text).text)


def test_it_stands_alone():
    """No address, script, frame or style from elsewhere; the photo is inside."""
    page = Page(made(with_photo()))
    assert not {tag for tag, _ in page.tags} & {"script", "link", "iframe", "object", "form"}
    sources = [attrs["src"] for tag, attrs in page.tags if "src" in attrs]
    assert len(sources) == 1 and str(sources[0]).startswith("data:image/png;base64,")
    assert not re.search(r"https?://", made(with_photo()))


@pytest.mark.parametrize("body", [None, b"<svg onload=alert(1)>", PNG + b"0" * record.PICTURE_MOST])
def test_what_is_no_picture_is_named_and_not_shown(body):
    text = made(with_photo(), picture=body)
    assert "<img" not in text and "Photo kept apart: a1b2.png" in text


def test_winter_and_summer_time_stand_by_name():
    facts = heron_point()
    facts.add("9:00", "note", text="back for the oil", day="2026-11-20")
    assert "2026-11-20 09:00 EST" in [r["When"] for r in Page(made(facts)).rows("notes")]


# ---- the sum over the entries


def kept(facts: Facts) -> list[dict[str, Any]]:
    return facts.kept()


def test_the_sum_is_plain_sha256_of_json_lines():
    """Worked out here anew, from the words of `fingerprint`."""
    facts = heron_point()
    lines = b""
    names = ("id", "job", "at", "told", "zone", "person", "kind", "sections", "data", "words", "undone")
    for row in facts.kept():
        told = {k: row[k] for k in names}
        lines += json.dumps(told, sort_keys=True, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"
    assert seal.fingerprint(facts.kept()) == hashlib.sha256(lines).hexdigest()
    assert f'<code id="sha256">{seal.fingerprint(facts.kept(), len(facts.rows))}</code>' in made(facts)


@pytest.mark.parametrize(("column", "value"), [
    ("at", "2026-06-10T13:00:00+00:00"), ("data", "{}"), ("sections", '["Z"]'), ("person", 9), ("kind", "note"),
    ("words", "x"), ("told", "2026-06-10T13:00:00+00:00"), ("undone", 3),
])  # fmt: skip
def test_any_change_of_an_entry_shows(column, value):
    rows = kept(heron_point())
    before = seal.fingerprint(rows, len(rows))
    rows[5] = {**rows[5], column: value}
    assert seal.fingerprint(rows, len(rows)) != before


def test_an_entry_taken_away_shows_and_later_ones_do_not_disturb():
    facts = heron_point()
    newest = len(facts.rows)
    before = seal.fingerprint(facts.kept(), newest)
    assert seal.fingerprint(facts.kept()[1:], newest) != before
    facts.add("16:00", "note", text="later")
    facts.add("16:05", "undo", message=3)
    facts.rows[4]["undone"] = newest + 2  # what a later entry takes back was not taken back then
    assert seal.fingerprint(facts.kept(), newest) == before
    assert seal.fingerprint(facts.kept()) != before
