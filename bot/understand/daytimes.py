"""Parts of the day and days told in words: am and pm, "de la tarde", "day before yesterday", "hace dos dias"."""

from __future__ import annotations

import re
from datetime import date

from bot.understand.marks import Mark, Token, word_at
from bot.understand.moments import Moment

HALVES = {
    "manana": "am", "madrugada": "am", "morning": "am", "tarde": "pm", "noche": "pm", "afternoon": "pm", "evening": "pm",
    "night": "pm",
}  # fmt: skip
LEADS = (("de", "la"), ("en", "la"), ("por", "la"), ("a", "la"), ("in", "the"), ("in",), ("this",), ("esta",), ("at",))
BEFORE_YESTERDAY = (("the", "day", "before", "yesterday"), ("day", "before", "yesterday"), ("antes", "de", "ayer"),
    ("ante", "ayer"), ("antes", "d", "ayer"))  # fmt: skip
SPANS = {"day": 1, "days": 1, "dia": 1, "dias": 1, "week": 7, "weeks": 7, "semana": 7, "semanas": 7}
UNCLOCKED = {*SPANS, "month", "months", "mes", "meses", "year", "years", "ano", "anos"}  # spans that are no minutes
PART_OF_DAY = {
    ("this", "morning"): (0, "am"), ("esta", "manana"): (0, "am"), ("this", "afternoon"): (0, "pm"),
    ("esta", "tarde"): (0, "pm"), ("last", "night"): (-1, "pm"), ("this", "evening"): (0, "pm"),
    ("esta", "noche"): (0, "pm"), ("last", "evening"): (-1, "pm"),
}  # fmt: skip


def half(tokens: list[Token], at: int) -> tuple[str | None, int]:
    """am or pm told here, behind a time, and the index behind it."""
    words = [word_at(tokens, at + n) for n in range(4)]
    if words[0] in ("am", "pm"):
        return words[0], at + 1
    if words[0] in ("a", "p") and words[1] == "." and words[2] == "m":
        return words[0] + "m", at + (4 if words[3] == "." else 3)
    if words[0] in ("a", "p") and words[1] == "m":  # "four fifty p m"
        return words[0] + "m", at + 2
    for lead in LEADS:
        if tuple(words[: len(lead)]) == lead and (told := HALVES.get(words[len(lead)])):
            return told, at + len(lead) + 1
    return None, at


def behind_day(tokens: list[Token], at: int) -> tuple[str | None, int]:
    """The part of a day told behind the day ("yesterday morning", "ayer en la tarde"), and the index behind it."""
    if word_at(tokens, at) in HALVES:
        return HALVES[word_at(tokens, at)], at + 1
    return half(tokens, at)


def ago(tokens: list[Token], at: int) -> tuple[Moment, int] | None:
    """A day told by its distance: "2 days ago", "hace dos dias", "antes de ayer"; with the index behind it."""
    for words in BEFORE_YESTERDAY:
        if word_at(tokens, at) == words[0] and tuple(word_at(tokens, at + n) for n in range(len(words))) == words:
            return Moment(day=-2), at + len(words)
    if tokens[at].kind != "num" and word_at(tokens, at) not in ("hace", "a", "un", "una", "one"):
        return None
    start = at + 1 if word_at(tokens, at) == "hace" else at
    while start > at and word_at(tokens, start) in ("como", "unos", "unas", "ya", "mas", "o", "menos"):
        start += 1
    token = tokens[start] if start < len(tokens) else None
    days = SPANS.get(word_at(tokens, start + 1))
    if token is None or days is None:
        return None
    count = token.value if token.kind == "num" else 1 if token.word in ("a", "un", "una", "one") else None
    told = start > at or word_at(tokens, start + 2) in ("ago", "back", "atras")
    if not told or count is None or count != int(count) or count * days > 60:
        return None
    return Moment(day=-int(count) * days), start + (2 if start > at else 3)


ORDINALS = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth",
    "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth", "nineteenth",
)  # fmt: skip
SPOKEN = {word: n for n, word in enumerate(ORDINALS, 1)} | {"twentieth": 20, "thirtieth": 30, "primero": 1}
DATED = {"on", "of", "for", "from", "picture", "chart", "log", "timeline", "el", "del", "imagen", "bitacora"}


def spoken(tokens: list[Token], at: int) -> tuple[int, int] | None:
    """(day of the month, index behind) of "fifth" and "twenty first"."""
    tens = {"twenty": 20, "thirty": 30}.get(word_at(tokens, at), 0)
    day = tens + SPOKEN.get(word_at(tokens, at + (tens > 0)), 0)
    return (day, at + 1 + (tens > 0)) if day > tens else None


def written_out(tokens: list[Token], at: int) -> Mark | None:
    """ "2026-06-04"."""
    parts = [t.raw for t in tokens[at : at + 5]]
    if len(parts) < 5 or len(parts[0]) != 4 or parts[1] + parts[3] != "--" or not all(p.isdigit() for p in parts[::2]):
        return None
    return _dated(*(int(part) for part in parts[::2]), at=at, end=at + 5)


def numbered(tokens: list[Token], at: int, today: date) -> Mark | None:
    """ "on 6/8": month and day, as we write them; the day first only where no month can stand there."""
    read = re.fullmatch(r"(\d{1,2})/(\d{1,2})", tokens[at].raw)
    if read is None or word_at(tokens, at - 1) not in DATED or at == 0 or word_at(tokens, at + 1) in ("of", "de", "del"):
        return None
    month, day = int(read[1]), int(read[2])
    if month > 12:
        month, day = day, month
    return _dated(today.year, month, day, at=at, end=at + 1)


def _dated(year: int, month: int, day: int, *, at: int, end: int) -> Mark | None:
    try:
        return Mark("day", Moment(on=date(year, month, day)), at, end)
    except ValueError:
        return None
