"""Finds when something was done; the only file that may import dateparser.

Our own patterns take the spans and normalise them; dateparser reads calendar dates only ("june 8",
"8 de junio"), on a naive local base. A time of something done is never in the future.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta

from bot.understand import clockwords, daytimes
from bot.understand.clockwords import CAME, LAS, MEASURED, VAGUE
from bot.understand.marks import Mark, Token, overlaps, word_at
from bot.understand.moments import Moment

LEAD = {"at", "@", "since", "around", "round", "about", "aprox", "tipo", "desde", "like", "como", "til", "till", "until",
    "approx", "circa"}
FIRM = {"at", "@", "since", "desde", "tipo"}
BEFORE_LAS = {"a", "desde", "como", "tipo", "de", "eran", "eso", "casi", "sobre"}
WEEKDAYS = {
    "monday": 0, "tuesday": 1, "wednesday": 2, "thursday": 3, "friday": 4, "saturday": 5, "sunday": 6, "lunes": 0,
    "martes": 1, "miercoles": 2, "jueves": 3, "viernes": 4, "sabado": 5, "domingo": 6, "mon": 0, "tues": 1, "tue": 1,
    "weds": 2, "thurs": 3, "thur": 3, "fri": 4,
}  # fmt: skip
DAYS = {"today": 0, "hoy": 0, "yesterday": -1, "ayer": -1, "tomorrow": 1, "manana": 1, "anteayer": -2, "antier": -2,
    "tmrw": 1,
        "tomorrows": 1, "yesterdays": -1, "todays": 0, "tmr": 1, "2moro": 1, "yday": -1}  # fmt: skip
MONTHS = {
    "january", "february", "march", "april", "june", "july", "august", "september", "october", "november", "december",
    "enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto", "septiembre", "octubre", "noviembre",
        "diciembre",
}  # fmt: skip


def find(tokens: list[Token], taken: list[bool], marks: list[Mark], today: date) -> list[Mark]:
    """Marks of kind `time` (value a Moment) and `day` (a Moment with no hour)."""
    lengths = {m.start: m for m in marks if m.kind == "dur"}
    found: list[Mark] = []
    at = 0
    while at < len(tokens):
        mark = _ago(tokens, at, lengths, taken) or (None if taken[at] else _clock(tokens, at) or _past(tokens, at,
            found) or _day(tokens, at, today))
        counted = mark is not None and any(mark.start <= n < mark.end for n in lengths)  # "ten minutes past seven"
        if mark is not None and (mark.value.ago is not None or counted or not overlaps(taken, mark.start, mark.end)):
            found.append(mark)
            taken[mark.start : mark.end] = [True] * (mark.end - mark.start)
            at = mark.end
        else:
            at += 1
    marks[:] = [m for m in marks if not any(f.start <= m.start < f.end for f in found)]
    return _with_days(found)


def _past(tokens: list[Token], at: int, found: list[Mark]) -> Mark | None:
    """ "C at quarter past nine and D at twenty past": the minutes alone are of the hour told before."""
    before = next((m.value for m in reversed(found) if m.kind == "time" and m.value.hour is not None), None)
    minutes = clockwords.past(tokens, at + 1) if before is not None and word_at(tokens, at) in LEAD else None
    if before is None or minutes is None:
        return None
    hour = before.hour if minutes[0] >= (before.minute or 0) else (before.hour % 12) + 1
    return Mark("time", replace(before, hour=hour, minute=minutes[0]), at, minutes[1])


def _minutes(tokens: list[Token], at: int, lengths: dict[int, Mark], taken: list[bool]) -> tuple[float, int] | None:
    if at in lengths:
        value, unit = lengths[at].value
        return value * {"s": 1 / 60, "min": 1, "h": 60}[unit], lengths[at].end
    if at < len(tokens) and tokens[at].kind == "num" and not taken[at]:
        value = tokens[at].value or 0
        return (value, at + 1) if value < 180 and word_at(tokens, at + 1) not in daytimes.UNCLOCKED else None
    return None


def _ago(tokens: list[Token], at: int, lengths: dict[int, Mark], taken: list[bool]) -> Mark | None:
    """ "about 10 min ago", "15 ago", "hace como 10 minutos", "10 min atras"."""
    word = tokens[at].word
    if word == "hace" or (word == "ase" and at + 1 in lengths):
        behind = at + 1
        while word_at(tokens, behind) in ("como", "unos", "ya", "apenas", "casi", "un", "unas", "mas", "o", "menos", "like",
                "about", "cosa", "de", "tipo"):
            behind += 1
        told = _minutes(tokens, behind, lengths, taken)
        if told and behind not in lengths and told[0] > 59:
            return None  # "hace 85": warm, not long ago
        return Mark("time", Moment(ago=told[0]), at, told[1]) if told else None
    start = at
    if word in ("about", "like", "maybe", "bout", "abt", "around", "approx", "roughly"):
        at += 1
    told = _minutes(tokens, at, lengths, taken)
    if told is None:
        return None
    behind = told[1] + (1 if word_at(tokens, told[1]) in ("or", "so") and word_at(tokens, told[1] + 1) == "so" else 0)
    behind += 1 if behind > told[1] else 0
    after = word_at(tokens, behind)
    since = after == "since" and at in lengths and (behind + 1 == len(tokens) or tokens[behind + 1].kind == "sign")
    if after in ("ago", "atras") or (after == "back" and at in lengths) or since:
        return Mark("time", Moment(ago=told[0]), start, behind + 1)
    return None


def _clock(tokens: list[Token], at: int) -> Mark | None:
    """A clock time that begins here, its leading words and its am or pm included."""
    start, firm, led = at, False, False
    if word_at(tokens, at) in ("faltando", "faltaban", "faltan", "faltaba"):
        led, at = True, at + 1
    if (word_at(tokens, at), word_at(tokens, at + 1)) == ("as", "of"):
        firm, led, at = True, True, at + 2
    while word_at(tokens, at) in LEAD and at < start + 3:
        firm, led, at = firm or word_at(tokens, at) in FIRM, True, at + 1
    if word_at(tokens, at) in BEFORE_LAS and word_at(tokens, at + 1) in LAS:
        at += 1
    if word_at(tokens, at) in LAS and start and word_at(tokens, start - 1) in ("en", "para", "con", "entre", "y", "in"):
        return None  # "en las dos": both of them
    if _all_of_them(tokens, at, start):
        return None
    if word_at(tokens, at) in LAS and (at == start or word_at(tokens, at - 1) in BEFORE_LAS | LEAD):
        firm, led, at = True, True, at + 1
    words = clockwords.told(tokens, at, led)
    if words:
        return _with_half(tokens, start, *words)
    if at >= len(tokens) or clockwords.past(tokens, at):
        return None  # "at ten past": of which hour is not told
    read = _digits(tokens, at, firm, led, start)
    return _with_half(tokens, start, *read) if read else None


def _all_of_them(tokens: list[Token], at: int, start: int) -> bool:
    """ "enjuagando las dos", "cuanto pa las tres": of the sections, where nothing tells that it is a clock."""
    hour = tokens[at + 1] if at + 1 < len(tokens) else None
    if at > start or word_at(tokens, at) != "las" or hour is None or not hour.spoken or hour.value not in (2, 3, 4):
        return False
    behind = word_at(tokens, at + 2)
    return behind not in ("y", "menos", "en", "de", "con", "am", "pm", "pasadas") and not (
        at and word_at(tokens, at - 1) in (*BEFORE_LAS, *LEAD, "son", "ya", "sonaron", "dieron", "faltan"))


def _digits(tokens: list[Token], at: int, firm: bool, led: bool, start: int) -> tuple[int, int, int] | None:
    """(hour, minute, index behind) of "9:50", "935", "9 30", "9.5" (nine and a half) or "diez menos cuarto"."""
    token, after = tokens[at], word_at(tokens, at + 1)
    if token.kind == "clock":
        hour, minute = (int(part) for part in token.word.split(":"))
        return (hour, minute, at + 1) if hour < 24 and minute < 60 else None
    if token.kind != "num" or token.value is None or "point" in token.raw or "punto" in token.raw:
        return None  # "at five point five": a reading
    whole, ampm = int(token.value), daytimes.half(tokens, at + 1)[0]
    if (firm or ampm) and (dotted := clockwords.dotted(token)):
        return *dotted, at + 1
    if token.raw.isdigit() and len(token.raw) in (3, 4):
        return _run_together(tokens, at, led, bool(ampm), start)
    if _span(tokens, at):
        return None
    if not 1 <= whole <= 12 or after in ("%", "x", "by", "'", '"', "/", "gal"):
        return None
    ish = after == "ish" or (after == "-" and word_at(tokens, at + 2) == "ish")
    if after == "-" and not ish:
        return None
    loose = ish or after in ("oclock", "o'clock") or (led and _loose(tokens, at))
    if not (firm or ampm or loose or clockwords.hourly(tokens, at)):
        return None
    minutes = tokens[at + 1] if at + 1 < len(tokens) else None
    paired = token.spoken and minutes is not None and minutes.spoken and minutes.value in range(10, 60)  # "nine forty"
    if firm and not (ampm or paired) and any(word_at(tokens, n) in MEASURED for n in range(max(0, start - 4), start)):
        return None
    return _minutes_behind(tokens, at, whole, token.value - whole)


def _span(tokens: list[Token], at: int) -> bool:
    """ "at five to fifteen minutes": a span of minutes, no clock."""
    far = tokens[at + 2] if at + 2 < len(tokens) else None
    return word_at(tokens, at + 1) in ("to", "a", "-", "or", "o") and far is not None and far.kind == "num" and word_at(
        tokens, at + 3) in ("min", "mins", "minutes", "minutos", "minute")


def _loose(tokens: list[Token], at: int) -> bool:
    """ "around 9": a time only where a time word follows or the message ends."""
    return word_at(tokens, at + 1) in ("this", "today", "yesterday", "ish") and tokens[at].raw.isdigit()


def _run_together(tokens: list[Token], at: int, led: bool, ampm: bool, start: int) -> tuple[int, int, int] | None:
    """ "935" and "1015" where they stand like a time."""
    raw, after = tokens[at].raw, tokens[at + 1] if at + 1 < len(tokens) else None
    hour, minute = int(raw[:-2]), int(raw[-2:])
    behind = after.word if after is not None else ""
    at_it = start < at and word_at(tokens, at - 1) in ("at", "@", "las")
    late = len(raw) == 4 and 12 < hour < 24 and (at_it or behind in ("yesterday", "ayer") or behind in WEEKDAYS)
    nought = len(raw) == 4 and raw[0] == "0"  # "rinsed 0915": nothing else is written so
    dated = any(word_at(tokens, n) in DAYS or word_at(tokens, n) in WEEKDAYS for n in range(max(0, at - 3), at))
    if not (1 <= hour <= 12 or late or (dated and len(raw) == 4 and hour < 24)) or minute > 59 or (
            not led and not dated and hour < 5):
        return None
    warm = not led or int(raw) < 213  # "w water at 940": no water is so hot
    if not nought and warm and any(word_at(tokens, n) in MEASURED for n in range(max(0, start - 3), start)):
        return None
    lone = after is None or after.kind == "sign" or after.word in ("and", "y", "today", "this", "hose", "for",
        "with", "btw", "n")
    last = tokens[start - 1] if start else None
    stands = last is not None and last.kind in ("word", "place") and last.word not in ("for", "paid", "por", "built",
        "cost", "of")
    lone = lone or late or nought
    stands = stands or (last is None and (nought or (len(raw) == 4 and behind in (":", "-", ","))))  # "0730: air 63"
    return (hour, minute, at + 1) if led or ampm or (lone and stands) else None


def _minutes_behind(tokens: list[Token], at: int, hour: int, part: float) -> tuple[int, int, int]:
    """The minutes told behind an hour: "9 30", "nueve y treinta y cinco", "diez menos cuarto", "nine oh five"."""
    minute, end = round(part * 60), at + 1
    if part:
        return hour, minute, end
    link = word_at(tokens, end)
    ahead = tokens[end + 1] if end + 1 < len(tokens) else None
    told = ahead.value if ahead is not None and ahead.kind == "num" else None
    amount = 15 if ahead is not None and ahead.word == "cuarto" else told
    if link == "menos" and amount is not None and 0 < amount < 60:
        return hour - 1 or 12, 60 - int(amount), end + 2
    link = "oh" if link == "o" and tokens[at].spoken and amount is not None and amount < 10 else link
    if link in ("y", "con", "oh") and amount is not None and amount == int(amount) and 0 < amount < 60 and ((ahead
        and ahead.spoken) or link != "y" or word_at(tokens, at - 1) in (*LAS, *CAME)):
        return hour, int(amount), end + 2
    token = tokens[end] if end < len(tokens) else None
    both = token is not None and token.spoken and tokens[at].spoken
    if token is not None and token.kind == "num" and token.value in range(10, 60) and (both or _two_figures(tokens, at)):
        return hour, int(token.value or 0), end + 1
    closed = end + 1 >= len(tokens) or tokens[end + 1].kind == "sign"
    if token is not None and both and closed and token.value in range(5, 10):
        return hour, int(token.value or 0), end + 1  # "covered B at ten five"
    if link == "-" and word_at(tokens, end + 1) == "ish":
        return hour, minute, end + 2
    if link in ("oclock", "en", "ish"):
        end += 2 if link == "en" and word_at(tokens, end + 1) == "punto" else 0 if link == "en" else 1
    return hour, minute, end


def _two_figures(tokens: list[Token], at: int) -> bool:
    """ "at 9 40" at the end of a statement."""
    last, minutes = word_at(tokens, at - 1), tokens[at + 1]
    ends = at + 2 == len(tokens) or tokens[at + 2].kind == "sign" or word_at(tokens, at + 2) in ("am", "pm", "and", "y")
    return last in ("at", "@", "las") and len(minutes.raw) == 2 and ends and minutes.start == tokens[at].end + 1


def _with_half(tokens: list[Token], start: int, hour: int, minute: int, end: int) -> Mark:
    half, end = daytimes.half(tokens, end)
    if word_at(tokens, end) == "y" and word_at(tokens, end + 1) in VAGUE:
        end += 2
    if word_at(tokens, end) in ("ish", "oclock"):
        end += 1
    return Mark("time", Moment(hour=hour, minute=minute, half=half), start, end)


def _day(tokens: list[Token], at: int, today: date) -> Mark | None:
    word, after = tokens[at].word, word_at(tokens, at + 1)
    if (word, after) == ("pasado", "manana"):
        return Mark("day", Moment(day=2), at, at + 2)
    if [word, after, word_at(tokens, at + 2)] == ["day", "after", "tomorrow"]:
        return Mark("day", Moment(day=2), at, at + 3)
    if told := daytimes.ago(tokens, at):
        return Mark("day", told[0], at, told[1])
    if word in ("this", "esta", "last", "anoche", "la") or (word == "in" and after == "the"):
        return _part_of_day(tokens, at)
    if word == "manana" and at and word_at(tokens, at - 1) in ("la", "esta", "por", "buena"):
        return None
    if word in DAYS:
        half, end = daytimes.behind_day(tokens, at + 1)
        return Mark("day", Moment(day=DAYS[word], half=half), at, end)
    if word in WEEKDAYS:
        ahead = (WEEKDAYS[word] - today.weekday()) % 7
        half, end = daytimes.behind_day(tokens, at + 1)
        return Mark("day", Moment(day=ahead or 7, on=today + timedelta(days=ahead or 7), half=half), at, end)
    return _calendar(tokens, at, today)


def _part_of_day(tokens: list[Token], at: int) -> Mark | None:
    pair = (word_at(tokens, at), word_at(tokens, at + 1))
    if pair in daytimes.PART_OF_DAY:
        day, half = daytimes.PART_OF_DAY[pair]
        return Mark("day", Moment(day=day, half=half), at, at + 2)
    return Mark("day", Moment(day=-1, half="pm"), at, at + 1) if pair[0] == "anoche" else None


ORDINAL = ("st", "nd", "rd", "th")  # "June 1st", "15th June"


def _calendar(tokens: list[Token], at: int, today: date) -> Mark | None:
    """ "june 8", "8 de junio": read by dateparser, imported only here and only when such a span is met."""
    word = tokens[at].word
    if numbered := daytimes.numbered(tokens, at, today) or daytimes.written_out(tokens, at):
        return numbered
    spoken = daytimes.spoken(tokens, at + 1)
    if word in MONTHS and spoken:
        span, end = f"{word} {spoken[0]}", spoken[1]
    elif word in MONTHS and at + 1 < len(tokens) and tokens[at + 1].kind == "num":
        span, end = f"{word} {tokens[at + 1].raw}", at + 2
        end += word_at(tokens, end) in ORDINAL
    elif tokens[at].kind == "num" and tokens[at].raw.isdigit() and len(tokens[at].raw) < 3:
        end = at + 1
        while word_at(tokens, end) in ("de", "of", *ORDINAL):
            end += 1
        if word_at(tokens, end) not in MONTHS:
            return None
        span, end = f"{tokens[at].raw} {word_at(tokens, end)}", end + 1
    else:
        return None
    import dateparser

    base = datetime.combine(today, time(12))
    habits = {"RELATIVE_BASE": base, "PREFER_DATES_FROM": "current_period"}
    read = dateparser.parse(span, languages=["en", "es"], settings=habits)
    return Mark("day", Moment(on=read.date()), at, end) if read else None


def _with_days(found: list[Mark]) -> list[Mark]:
    """A clock and a day in the same message belong together where they stand near."""
    out: list[Mark] = []
    for mark in found:
        last = out[-1] if out else None
        if last is not None and {last.kind, mark.kind} == {"time", "day"}:
            clock, day = (last, mark) if last.kind == "time" else (mark, last)
            near = mark.start - last.end <= (1 if last.kind == "time" else 12)
            if clock.value.ago is None and clock.value.day is None and clock.value.on is None and near:
                joined = replace(clock.value, day=day.value.day, on=day.value.on, half=clock.value.half or day.value.half)
                if last.kind == "time":
                    out[-1] = Mark("time", joined, last.start, last.end)
                else:
                    out[-1] = Mark("date", day.value, last.start, last.end)
                    out.append(Mark("time", joined, mark.start, mark.end))
                continue
        out.append(_same_day(out, mark))
    return out


def _same_day(before: list[Mark], mark: Mark) -> Mark:
    """ "rinsed B at 4:40 yesterday and then we left at 5": the five of no morning is of the day before too."""
    told = next((m.value for m in reversed(before) if m.kind == "time" and (m.value.day or 0) < 0), None)
    moment = mark.value
    bare = mark.kind == "time" and moment.day is None and moment.on is None and moment.ago is None
    evening = told is not None and told.half == moment.half == "pm"  # "last night: D 6:05 pm, E 6:40 pm"
    if told is None or not bare or not (evening or (moment.half is None and (moment.hour or 12) <= 6)):
        return mark
    return replace(mark, value=replace(moment, day=told.day, half=told.half or "pm"))


