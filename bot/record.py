"""The job record: one self-contained HTML page in which nothing stands that is not in the timeline.

Quantities are shown as they were told, times in the shop's zone with its name. The SHA-256 over the entries
is printed, so that a later change shows; `fingerprint` says what exactly it is taken over.
"""

from __future__ import annotations

import base64
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from html import escape
from typing import Any
from zoneinfo import ZoneInfo

from bot import windows
from bot.job import Job
from bot.outcome import Line, line
from bot.parts import RINSES, Pass, Section
from bot.recordstyle import STYLE
from bot.seal import fingerprint
from bot.shop import Shop
from bot.trade.units import quantity

Row = Mapping[str, Any]
Speak = Callable[[Line], str]
PICTURES = {b"\xff\xd8\xff": "image/jpeg", b"\x89PNG": "image/png", b"RIFF": "image/webp"}
PICTURE_MOST = 4_000_000  # bytes of one picture inside the page; a larger one is named and stays in its file
QUIET = ("used", "joined")
SITE = ("year_built", "deck_built", "treated", "species", "finish", "place", "latitude", "longitude",
        "lead_checked", "lead_found", "facing", "wall_height", "wall_distance", "client", "patch_temp")  # fmt: skip


@dataclass(frozen=True)
class Record:
    """What the page is made of: a job, all its rows (those taken back too), its zone, and the reader's words.

    `rows` have their values read (moments, sections, data, who), `kept` are the same rows as the file holds them.
    """

    job: Job
    rows: Sequence[Row]
    kept: Sequence[Row]
    zone: ZoneInfo
    speak: Speak
    picture: Callable[[str], bytes | None]
    shop: Shop | None = None
    client: bool = False  # for the client: no money, no pings, no chatter

    def say(self, key: str, **values: Any) -> str:
        """A phrase in the reader's language, safe to stand in the page."""
        return escape(self.speak(line(f"record_{key}", **values)))

    def word(self, value: Any) -> str:
        """A word that both languages know, else as it stands; safe to stand in the page."""
        return escape(self.speak(line("record_word", value=str(value)))) if value not in (None, "") else ""

    def at(self, moment: datetime | None) -> str:
        """Local time with its zone, on one line."""
        return "" if moment is None else f"{moment.astimezone(self.zone):%Y-%m-%d %H:%M %Z}".replace(" ", "\u00a0")

    def names(self, sections: Iterable[str]) -> str:
        """Sections in the reader's language."""
        return ", ".join(escape(self.speak(line("section_label", section=n))) for n in sections)

    def of(self, *kinds: str) -> list[Row]:
        """The rows of these kinds that stand."""
        return [r for r in self.rows if r["kind"] in kinds and r["undone"] is None]


def page(r: Record) -> str:
    """The whole page."""
    if r.client:
        told = [_head(r), _site(r), _areas(r), _batches(r), _patches(r), _passes(r), _readings(r), _weather(r), _photos(r)]
        return _whole(r, told)
    parts = [_head(r), _site(r), _areas(r), _batches(r), _patches(r), _passes(r), _readings(r), _weather(r), _cautions(r),
             _photos(r), _notes(r), _people(r), _timeline(r), _seal(r)]  # fmt: skip
    return _whole(r, parts)


def _whole(r: Record, parts: Sequence[str]) -> str:
    language = r.speak(line("record_language"))
    title = escape(f"{r.job.name}: {r.speak(line('record_title'))}")
    return (f'<!doctype html>\n<html lang="{language}"><head><meta charset="utf-8"><title>{title}</title>'
            f'<meta name="viewport" content="width=device-width, initial-scale=1"><style>{STYLE}</style></head><body>'
            f"<main>{''.join(parts)}</main></body></html>\n")  # fmt: skip


def _table(r: Record, name: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A headed table; nothing at all where no row tells of it. Cells are safe HTML already; empty columns go."""
    told = [list(row) for row in rows]
    if not told:
        return ""
    keep = [i for i in range(len(heads)) if any(row[i] for row in told)]
    head = "".join(f"<th>{r.say(heads[i])}</th>" for i in keep)
    body = "".join("<tr>" + "".join(f"<td>{row[i]}</td>" for i in keep) + "</tr>" for row in told)
    return (f'<section id="{name}"><h2>{r.say(name)}</h2><div class="wide"><table><thead><tr>{head}</tr></thead>'
            f"<tbody>{body}</tbody></table></div></section>")  # fmt: skip


def _quantity(value: Any) -> str:
    """A quantity as it was told."""
    if isinstance(value, Mapping) and "value" in value:
        return escape(f"{float(value['value']):.6g} {value.get('unit', '')}".strip())
    return "" if value is None else escape(f"{value:.6g}" if isinstance(value, int | float) else str(value))


def _rounded(value: Any) -> str:
    """A quantity that was worked out: no finer than it is known ("18 oz", "53 ft2")."""
    if not isinstance(value, Mapping) or "value" not in value:
        return _quantity(value)
    told = float(value["value"])
    return escape(f"{round(told) if abs(told) >= 10 else round(told, 1):g} {value.get('unit', '')}".strip())


def _strength(r: Record, told: Any) -> str:
    if not isinstance(told, Mapping):
        return ""
    ratio = f"{_quantity(told['mass'])} / {_quantity(told['per'])}" if "mass" in told and "per" in told else ""
    return ", ".join(x for x in (r.word(told.get("word")), ratio) if x)


def _who(row: Row) -> str:
    return escape(row.get("who") or "")


def _head(r: Record) -> str:
    span = r.say("span", first=r.at(r.job.opened), last=r.at(r.job.closed)) if r.job.closed else r.say(
        "span_open", first=r.at(r.job.opened))  # fmt: skip
    return (f'<header><p class="kind">{r.say("title")}</p><h1>{escape(r.job.name)}</h1>'
            f"<p>{span}<br>{r.say('zone', zone=r.zone.key)}</p></header>")  # fmt: skip


def _site(r: Record) -> str:
    def shown(key: str, value: Any) -> str:
        return r.say("yes" if value else "no") if isinstance(value, bool) else _quantity(value)

    told = [(k, row) for row in r.of("survey") for k in SITE if row["data"].get(k) is not None]
    return _table(r, "site", ("fact", "told_as", "when", "by"), (
        [r.say(f"site_{k}"), shown(k, row["data"][k]), r.at(row["at"]), _who(row)] for k, row in told))  # fmt: skip


def _areas(r: Record) -> str:
    return _table(r, "areas", ("section", "surface", "area", "adds", "when", "by"), (
        [r.names(row["sections"]), r.word(row["data"].get("surface")), _rounded(row["data"].get("area")),
         r.say("yes") if row["data"].get("adds") else "", r.at(row["at"]), _who(row)]
        for row in r.of("measure")))  # fmt: skip


def _batches(r: Record) -> str:
    return _table(r, "batches", ("when", "product", "volume", "strength", "powder", "water_temp", "by"), (
        [r.at(row["at"]), r.word(row["data"].get("product")), _quantity(row["data"].get("volume")),
         _strength(r, row["data"].get("strength")), _rounded(row["data"].get("taken")),
         _quantity(row["data"].get("water_temp")), _who(row)] for row in r.of("mixed")))  # fmt: skip


def _patches(r: Record) -> str:
    return _table(r, "patches", ("when", "section", "product", "strength", "minutes", "result", "by"), (
        [r.at(row["at"]), r.names(row["sections"]), r.word(row["data"].get("product")),
         _strength(r, row["data"].get("strength")), _quantity(row["data"].get("minutes")),
         r.word(row["data"].get("result")), _who(row)] for row in r.of("patch") if row["data"].get("result")))  # fmt: skip


def _passes(r: Record) -> str:
    """Times by section and pass, on their day; what nobody told stays empty."""
    rows = []
    for s in r.job.sections.values():
        for p in s.passes:
            day = _day(r, p.started or p.covered)
            marks = "<br>".join(f"{_on(r, day, at)} {r.word(what)}" for at, what in p.rewets)
            looks = "<br>".join(f"{_on(r, day, at)} {r.word(what)}" for at, what in p.checks)
            hands = [x.get("who") or "" for x in (*_begun_rows(r, s.name, p), *_rinse_rows(r, s.name, p))]
            who = escape(", ".join(dict.fromkeys(filter(None, hands))))
            begun, covered, rinsing, rinsed = (_on(r, day, at) for at in (p.started, p.covered, p.rinsing, p.rinsed))
            if p.rinsing == p.rinsed:
                rinsing = ""  # only its end was told
            rows.append([r.names([s.name]), r.word(p.product), str(p.number), day, begun, covered, marks, looks,
                         rinsing, rinsed, _stood(r, s, p), who])  # fmt: skip
        if "coat" in s.done or "coat" in s.begun:
            day = _day(r, s.begun.get("coat") or s.done.get("coat"))
            ends = (_on(r, day, s.begun.get("coat")), _on(r, day, s.done.get("coat")))
            by = [x.get("who") or "" for x in r.of("start", "finish")
                  if x["data"].get("step") == "coat" and s.name in r.job.named(x["sections"])]  # fmt: skip
            rows.append([r.names([s.name]), r.word("coat"), "", day, *ends, "", "", "", "", "",
                         escape(", ".join(dict.fromkeys(filter(None, by))))])  # fmt: skip
    return _table(r, "passes", ("section", "product", "pass", "day", "started", "covered", "misted", "checked", "rinsing",
                                "rinsed", "limit", "by"), rows)  # fmt: skip


def _begun_rows(r: Record, name: str, one: Pass) -> list[Row]:
    """The rows by which that pass was begun, or was covered where its beginning is not told."""
    begun = one.started or one.covered
    return [x for x in r.of("start", "finish") if x["data"].get("step") == one.step and x["at"] == begun
            and name in r.job.named(x["sections"])]  # fmt: skip


def _rinse_rows(r: Record, name: str, one: Pass) -> list[Row]:
    """The rows by which that pass was rinsed: whoever rinsed is named beside who put it on."""
    times = {at for at in (one.rinsing, one.rinsed) if at is not None}
    return [x for x in r.of("start", "finish") if x["data"].get("step") in RINSES and x["at"] in times
            and name in r.job.named(x["sections"])]  # fmt: skip


def _stood(r: Record, section: Section, one: Pass) -> str:
    """The dwell window of a pass, and by how many minutes it was overdone."""
    w = windows.window(r.job, r.shop, section, one) if r.shop is not None else None
    end = one.rinsing or one.rinsed
    if w is None or one.started is None:
        return ""
    span = f"{w.least:.0f}-{w.most:.0f} min"
    over = ((end - one.started).total_seconds() / 60 - w.most - one.extended) if end else 0.0
    return f"{span}<br><b>{r.say('over', minutes=round(over))}</b>" if round(over) > 0 else span


def _day(r: Record, moment: datetime | None) -> str:
    """The local day with its zone."""
    return "" if moment is None else f"{moment.astimezone(r.zone):%Y-%m-%d\u00a0%Z}"


def _on(r: Record, day: str, moment: datetime | None) -> str:
    """The clock alone on that day, else the whole local time."""
    if moment is None:
        return ""
    return f"{moment.astimezone(r.zone):%H:%M}" if _day(r, moment) == day else r.at(moment)


def _readings(r: Record) -> str:
    def value(row: Row) -> str:
        data = row["data"]
        if row["kind"] == "moisture":
            return ", ".join(f"{x:g} %" for x in data.get("readings", ()))
        return _quantity(data.get("rate")) if row["kind"] == "flow" else _quantity(data.get("value"))

    return _table(r, "readings", ("when", "section", "what", "value", "by"), (
        [r.at(row["at"]), r.names(row["sections"]), r.say(f"kind_{row['kind']}"), value(row), _who(row)]
        for row in r.of("moisture", "ph", "flow")))  # fmt: skip


def _weather(r: Record) -> str:
    def flag(row: Row, name: str) -> str:
        told = row["data"].get(name)
        return "" if told is None else r.say("yes" if told else "no")

    return _table(r, "weather", ("when", "air", "surface_temp", "humidity", "wind", "sun", "rain", "by"), (
        [r.at(row["at"]), *(_quantity(row["data"].get(k)) for k in ("air_temp", "surface_temp")),
         f"{row['data']['humidity']:g} %" if row["data"].get("humidity") is not None else "",
         _quantity(row["data"].get("wind")), flag(row, "sun"), flag(row, "rain"), _who(row)]
        for row in r.of("conditions")))  # fmt: skip


def _cautions(r: Record) -> str:
    """What was warned of, refused, and what went wrong."""
    def what(row: Row) -> str:
        data = row["data"]
        if row["kind"] == "incident":
            return ": ".join(x for x in (r.word(data.get("kind")), escape(str(data.get("text") or ""))) if x)
        if row["kind"] == "mix":
            return " ".join(r.word(f"caution_{k}") for k in data["cautions"])
        keys = data.get("keys") or [data.get("reason", "")]
        return ", ".join(r.word(f"record_caution_{k}") if k in SAID else r.word(str(k).replace("_", " ")) for k in keys)

    return _table(r, "cautions", ("when", "section", "kind", "what", "by"), (
        [r.at(row["at"]), r.names(row["sections"]), r.say(f"kind_{row['kind']}"), what(row), _who(row)]
        for row in r.of("warned", "refused", "incident", "mix")
        if row["kind"] != "mix" or row["data"].get("cautions")))  # fmt: skip


SAID = ("preparation", "site")


def _photos(r: Record) -> str:
    found = []
    for row in r.of("photo"):
        caption = " ".join(filter(None, (r.at(row["at"]), r.names(row["sections"]), escape(row["data"].get("text") or ""),
                                         _who(row))))  # fmt: skip
        for name in row["data"].get("files") or ():
            found.append(f"<figure>{_inline(r, str(name))}<figcaption>{caption}</figcaption></figure>")
    if not found:
        return ""
    return f'<section id="photos"><h2>{r.say("photos")}</h2><div class="photos">{"".join(found)}</div></section>'


def _inline(r: Record, name: str) -> str:
    """The picture itself, from its own bytes; what is no picture, or too large, is named."""
    body = r.picture(name)
    kind = next((mime for start, mime in PICTURES.items() if body and body.startswith(start)), None)
    if body is None or kind is None or len(body) > PICTURE_MOST:
        return f"<p>{r.say('photo_apart', name=name)}</p>"
    return f'<img alt="" src="data:{kind};base64,{base64.b64encode(body).decode()}">'


def _notes(r: Record) -> str:
    return _table(r, "notes", ("when", "section", "what", "by"), (
        [r.at(row["at"]), r.names(row["sections"]), escape(str(row["data"].get("text") or row["data"].get("reason") or "")),
         _who(row)] for row in r.of("note", "hold")))  # fmt: skip


def _people(r: Record) -> str:
    return _table(r, "people", ("who", "came_or_left", "when"), (
        [_who(row), r.say(f"kind_{row['kind']}"), r.at(row["at"])] for row in r.of("arrive", "leave")))  # fmt: skip


def _timeline(r: Record) -> str:
    """Every entry as it was said, with those that were taken back."""
    def said(row: Row) -> str:
        words = escape(row["words"] or "")
        shown = f"<s>{words or r.word(row['kind'])}</s>" if row["undone"] is not None else words
        return f'<div class="said">{shown}</div>' if shown else ""

    return _table(r, "timeline", ("number", "when", "by", "what", "said", "state"), (
        [str(row["id"]), r.at(row["at"]), _who(row), _entry(r, row), said(row),
         r.say("undone", by=str(row["undone"])) if row["undone"] is not None else ""]
        for row in r.rows if row["kind"] not in QUIET and not _routine(row)))  # fmt: skip


def _routine(row: Row) -> bool:
    """A reminder that rang in time is no news; one that came late is."""
    return bool(row["kind"] == "rang" and row["data"].get("reminder") != "rinse late")


def _entry(r: Record, row: Row) -> str:
    """An entry as the timeline in the chat says it."""
    data, kind = row["data"], row["kind"]
    key = f"do_{kind}_{data.get('step')}".replace(" ", "_") if kind in ("start", "finish") else f"do_{kind}"
    plain = {k: v for k, v in data.items() if not isinstance(v, Mapping)}
    volume = quantity(data["volume"]) if isinstance(data.get("volume"), Mapping) else None
    try:
        return escape(r.speak(Line(key, {**plain, "sections": row["sections"], "volume_text": volume})))
    except KeyError:  # an entry of a kind that has no words of its own
        return escape(f"{kind} {', '.join(row['sections'])}".strip())


def _seal(r: Record) -> str:
    newest = max((row["id"] for row in r.kept), default=0)
    told = r.say("seal", count=str(len(r.kept)), newest=str(newest))
    code = f'<code id="sha256">{fingerprint(r.kept, newest)}</code>'
    return f"<footer><p>{told}</p><p>{code}</p><p>{r.say('seal_how')}</p></footer>"
