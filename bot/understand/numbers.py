"""Number words of both languages read into number tokens ("a hundred and eight", "seis y medio")."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from bot.understand.marks import Token

UNITS = {
    "zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
    "cero": 0, "uno": 1, "dos": 2, "tres": 3, "cuatro": 4, "cinco": 5, "seis": 6, "siete": 7, "ocho": 8, "nueve": 9,
}  # fmt: skip
TEENS = {
    "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16,
    "seventeen": 17, "eighteen": 18, "nineteen": 19, "diez": 10, "once": 11, "doce": 12, "trece": 13, "catorce": 14,
    "quince": 15, "dieciseis": 16, "diecisiete": 17, "dieciocho": 18, "diecinueve": 19, "veintiuno": 21,
    "veintiun": 21, "veintiuna": 21, "veintidos": 22, "veintitres": 23, "veinticuatro": 24, "veinticinco": 25,
    "veintiseis": 26, "veintisiete": 27, "veintiocho": 28, "veintinueve": 29, "dozen": 12, "docena": 12,
}  # fmt: skip
TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80,
    "ninety": 90, "veinte": 20, "treinta": 30, "cuarenta": 40, "cincuenta": 50, "sesenta": 60, "setenta": 70,
    "ochenta": 80, "noventa": 90,
}  # fmt: skip
HUNDREDS = {
    "hundred": 100, "cien": 100, "ciento": 100, "doscientos": 200, "doscientas": 200, "trescientos": 300,
    "trescientas": 300, "cuatrocientos": 400, "cuatrocientas": 400, "quinientos": 500, "quinientas": 500,
    "seiscientos": 600, "setecientos": 700, "ochocientos": 800, "novecientos": 900,
}  # fmt: skip
PARTS = {"half": 0.5, "medio": 0.5, "media": 0.5, "quarter": 0.25, "cuarto": 0.25}
SOUNDS_LIKE = {"to": 2, "too": 2, "for": 4, "fore": 4, "ate": 8, "won": 1, "tree": 3, "fife": 5}
SPANISH_NEAR = {"a", "las", "la", "y", "de", "son", "hace", "min", "minutos", "galones", "pies", "dio", "como", "por"}
WORDS = {**UNITS, **TEENS, **TENS, **HUNDREDS}
ONE = ("a", "an", "un", "una")
NOT_ONE_OF = ("second", "sec", "segundo", "m", "c", "f", "l", "g", "s", "h", "cuarto", "cuartos", "in", "deg")


def merge(tokens: list[Token], is_unit: Callable[[str], bool]) -> list[Token]:
    """The tokens with every number written in words as one number token."""
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        value, used = _number(tokens, at, is_unit)
        if not used:
            out.append(tokens[at])
            at += 1
            continue
        value, used = _behind(tokens, at, value, used, is_unit)
        span = tokens[at : at + used]
        spoken = span[0].kind == "word"
        raw = " ".join(t.raw for t in span)
        out.append(replace(span[0], raw=raw, word=raw, end=span[-1].end, kind="num", value=value, spoken=spoken))
        at += used
    return out


def _word(tokens: list[Token], at: int) -> str:
    return tokens[at].word if 0 <= at < len(tokens) and tokens[at].kind in ("word", "sign") else ""


def _number(tokens: list[Token], at: int, is_unit: Callable[[str], bool]) -> tuple[float, int]:
    """The number that begins here and how many tokens it takes; none is (0, 0)."""
    token, word, after = tokens[at], tokens[at].word, _word(tokens, at + 1)
    if token.kind == "num" and token.value is not None:
        return token.value, 1
    if token.kind != "word":
        return 0, 0
    if word in ONE and after == "hundred":
        value, used = _cardinal(tokens, at + 1)
        return value, used + 1
    if word in WORDS or word == "mil":
        return _from_words(tokens, at)
    if word in PARTS:
        return _part(tokens, at, is_unit)
    if word in ONE and is_unit(after) and after not in NOT_ONE_OF and not _per(tokens, at, is_unit):
        return 1, 1
    if word in SOUNDS_LIKE and _misheard(tokens, at, is_unit):
        return SOUNDS_LIKE[word], 1
    if word == "couple" or (word == "par" and after == "de"):
        return 2, 2 if after in ("of", "de") else 1
    return 0, 0


def _from_words(tokens: list[Token], at: int) -> tuple[float, int]:
    """A year or a number written in words; "once" and "por ciento" in their other sense are none."""
    word = tokens[at].word
    year, used = _year(tokens, at) if word in ("nineteen", "eighteen", "mil", "dos", "two") else (0, 0)
    if used:
        return year, used
    if (word == "ciento" and _word(tokens, at - 1) == "por") or (word == "once" and not _spanish(tokens, at)):
        return 0, 0
    return (0, 0) if word == "mil" else _cardinal(tokens, at)


def _per(tokens: list[Token], at: int, is_unit: Callable[[str], bool]) -> bool:
    """Whether "a" means per here ("eight miles an hour", "150 sq ft a gallon")."""
    last = _word(tokens, at - 1)
    return is_unit(last) or last in ("miles", "millas", "cuadrados", "mile", "km", "each", "por", "per")


def _spanish(tokens: list[Token], at: int) -> bool:
    """Whether "once" is eleven here, not the English word."""
    near = {_word(tokens, at - 1), _word(tokens, at + 1)}
    numbers = {w for w in near if w in WORDS and w not in ("ten",)}
    return bool(near & SPANISH_NEAR - {""} or numbers)


def _misheard(tokens: list[Token], at: int, is_unit: Callable[[str], bool]) -> bool:
    """ "for gallons", "to and a half": a dictated number before a unit or a half."""
    after, last = _word(tokens, at + 1), tokens[at - 1] if at else None
    if last is not None and last.kind == "num":
        return False
    if (_word(tokens, at + 1), _word(tokens, at + 2)) == ("and", "a"):
        return _word(tokens, at + 3) in PARTS
    return is_unit(after) and len(after) > 2 and after not in ("second", "foot", "mins", "min")


def _year(tokens: list[Token], at: int) -> tuple[float, int]:
    """ "nineteen eighty two", "mil novecientos setenta y cuatro"; no year is (0, 0)."""
    word, after = tokens[at].word, _word(tokens, at + 1)
    if word in ("nineteen", "eighteen") and after in TENS:
        low, used = _below_hundred(tokens, at + 1)
        return TEENS[word] * 100 + low, used + 1
    if (word == "mil" and after in HUNDREDS) or (word == "dos" and after == "mil"):
        start = at + 2 if word == "dos" else at + 1
        low, used = _cardinal(tokens, start) if _word(tokens, start) in WORDS else (0.0, 0)
        return (2000 if word == "dos" else 1000) + low, used + start - at
    if word == "two" and after == "thousand":
        skip = 1 if _word(tokens, at + 2) == "and" else 0
        low, used = _below_hundred(tokens, at + 2 + skip)
        return 2000 + low, 2 + (skip + used if used else 0)
    return 0, 0


def _cardinal(tokens: list[Token], at: int) -> tuple[float, int]:
    """ "a hundred and eight", "treinta y cinco", "twenty-one"; one number, never two."""
    value, used, word = 0.0, 0, tokens[at].word
    if word in HUNDREDS:
        value, used = HUNDREDS[word], 1
    elif word in UNITS and _word(tokens, at + 1) == "hundred":
        value, used = UNITS[word] * 100, 2
    if used:
        skip = 1 if _word(tokens, at + used) in ("and", "y") and _word(tokens, at + used + 1) in WORDS else 0
        low, more = _below_hundred(tokens, at + used + skip)
        return (value + low, used + skip + more) if more and low < 100 else (value, used)
    return _below_hundred(tokens, at)


def _below_hundred(tokens: list[Token], at: int) -> tuple[float, int]:
    word = _word(tokens, at)
    if word in UNITS or word in TEENS:
        return UNITS.get(word, TEENS.get(word, 0)), 1
    if word not in TENS:
        return 0, 0
    value = TENS[word]
    skip = 1 if _word(tokens, at + 1) in ("y", "-") else 0
    low = UNITS.get(_word(tokens, at + 1 + skip), 1 if skip and _word(tokens, at + 1 + skip) in ("un", "una") else 0)
    return (value + low, 2 + skip) if low else (value, 1)


def _part(tokens: list[Token], at: int, is_unit: Callable[[str], bool]) -> tuple[float, int]:
    """ "half a gallon", "medio galon", "a quarter of a cup": a part before a unit."""
    used = 1
    while _word(tokens, at + used) in ("of", "de", *ONE) and used < 3:
        used += 1
    if not is_unit(_word(tokens, at + used)) or _word(tokens, at + used) in ("c", "f"):
        return 0, 0
    return PARTS[tokens[at].word], used


def _behind(
    tokens: list[Token], at: int, value: float, used: int, is_unit: Callable[[str], bool]
) -> tuple[float, int]:
    """Adds what follows: "and a half", "y medio", "point five", "cuartos de galon"."""
    first, second, third = (_word(tokens, at + used + n) for n in range(3))
    ahead = tokens[at + used + 1] if at + used + 1 < len(tokens) else None
    if first in ("point", "punto", "coma") and ahead is not None:
        digit = ahead.value if ahead.kind == "num" else UNITS.get(ahead.word)
        if digit is not None and 0 <= digit < 10 and digit == int(digit):
            return value + digit / 10, used + 2
    if first == "and" and second in ("a", "1") and third in ("half", "quarter"):
        return value + PARTS[third], used + 3
    if first == "y" and second in ("medio", "media", "cuarto"):
        return value + PARTS[second], used + 2
    if first in ("quarters", "cuartos") and value < 4 and (second in ("of", "de") or is_unit(second)):
        return value / 4, used + 2 if second in ("of", "de") and _word(tokens, at + used + 2) not in ONE else used + 1
    if first == "and" and ahead is not None and ahead.kind == "num" and "/" in ahead.raw and value == int(value):
        return value + (ahead.value or 0), used + 2
    return value, used
