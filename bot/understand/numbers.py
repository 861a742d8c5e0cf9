"""Number words of both languages read into number tokens ("a hundred and eight", "seis y medio")."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from bot.understand.marks import Token, spelled_at
from bot.understand.number_parts import behind, decimals, part
from bot.understand.number_words import HUNDREDS, ONE, PARTS, SHARES, SOUNDS_LIKE, TEENS, TENS, UNITS, WORDS

KNOWN = {*WORDS, *PARTS, *SHARES}
SPANISH_NEAR = {"a", "las", "la", "y", "de", "son", "hace", "min", "minutos", "galones", "pies", "dio", "como", "por"}
NOT_ONE_OF = ("second", "sec", "segundo", "m", "c", "f", "l", "g", "s", "h", "cuarto", "cuartos", "in", "deg")
CLOCK_LA = ("a", "desde", "como", "hasta", "eran", "era", "tipo", "para", "pa", "sobre")


def merge(tokens: list[Token], is_unit: Callable[[str], bool]) -> list[Token]:
    """The tokens with every number written in words as one number token."""
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        value, used = _teen(tokens, at) or _number(tokens, at, is_unit)
        if not used:
            out.append(tokens[at])
            at += 1
            continue
        value, used = behind(tokens, at, value, used, is_unit)
        span = tokens[at : at + used]
        spoken = span[0].kind == "word"
        raw = " ".join(t.raw for t in span)
        out.append(replace(span[0], raw=raw, word=raw, end=span[-1].end, kind="num", value=value, spoken=spoken))
        at += used
    return out


def _teen(tokens: list[Token], at: int) -> tuple[float, int] | None:
    """ "fore teen foot", "six teen": a phone parts it."""
    low = UNITS.get(tokens[at].word) or SOUNDS_LIKE.get(tokens[at].word) or 0
    told = at + 1 < len(tokens) and tokens[at + 1].raw.lower() == "teen"
    return (10 + low, 2) if told and low > 3 else None


def _number(tokens: list[Token], at: int, is_unit: Callable[[str], bool]) -> tuple[float, int]:
    """The number that begins here and how many tokens it takes; none is (0, 0)."""
    token, word, after = tokens[at], tokens[at].word, spelled_at(tokens, at + 1)
    if token.kind == "num" and token.value is not None:
        return token.value, 1
    if token.kind != "word":
        return 0, 0
    if word in ONE and after == "hundred":
        value, used = _cardinal(tokens, at + 1)
        return value, used + 1
    if word == "point":
        return _pointed(tokens, at, is_unit)
    if word in WORDS or word == "mil":
        return _from_words(tokens, at, is_unit)
    if word in PARTS:
        return part(tokens, at, is_unit)
    if word in ONE and _one(tokens, at, is_unit):
        return 1, 1
    if word in SOUNDS_LIKE and _misheard(tokens, at, is_unit):
        return SOUNDS_LIKE[word], 1
    if word == "couple" or (word == "par" and after == "de"):
        return 2, 2 if after in ("of", "de") else 1
    return 0, 0


def _from_words(tokens: list[Token], at: int, is_unit: Callable[[str], bool]) -> tuple[float, int]:
    """A year or a number written in words; "once" and "por ciento" in their other sense are none."""
    word = tokens[at].word
    told = _dictated(tokens, at, is_unit)
    if told[1]:
        return told
    year, used = _year(tokens, at) if word in ("nineteen", "eighteen", "mil", "dos", "two") else (0, 0)
    if used:
        return year, used
    if (word == "ciento" and spelled_at(tokens, at - 1) == "por") or (word == "once" and not _spanish(tokens, at, is_unit)):
        return 0, 0
    return (0, 0) if word == "mil" else _cardinal(tokens, at)


LONG_COUNTED = ("degrees", "degree", "deg", "f", "seconds", "secs", "sec", "sqft", "square", "sq", "fahrenheit", "percent",
    "minutes", "%")
ENGLISH = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")

HOT = {"temp", "temps", "temperature", "boards", "board", "surface", "wood", "decking", "thermometer", "gun", "planks",
    "degrees", "heat"}


def _dictated(tokens: list[Token], at: int, is_unit: Callable[[str], bool]) -> tuple[float, int]:
    """ "one oh five seconds", "one twenty degrees", "one half gallon": told digit by digit before a unit."""
    word, after = tokens[at].word, spelled_at(tokens, at + 1)
    if word == "one" and after in PARTS:
        value, used = part(tokens, at + 1, is_unit)
        return (value, used + 1) if used else (0, 0)
    if word not in ENGLISH:
        return 0, 0
    third, behind_third = spelled_at(tokens, at + 2), spelled_at(tokens, at + 3)
    hot = word == "one" and _no_clock(tokens, at)
    if after in ("oh", "o", "zero") and third in ENGLISH and (hot or is_unit(behind_third)):
        return UNITS[word] * 100 + UNITS[third], 3
    low, used = _below_hundred(tokens, at + 1) if word in ("one", "two") else (0, 0)
    if low < 10 or not used or not (hot or spelled_at(tokens, at + 1 + used) in LONG_COUNTED):
        return 0, 0
    return UNITS[word] * 100 + low, 1 + used


def _no_clock(tokens: list[Token], at: int) -> bool:
    """Whether "one eighteen" is 118 here: a temperature word stands just before it."""
    near = [spelled_at(tokens, i) for i in range(max(0, at - 4), at)]
    return not HOT.isdisjoint(near)


def _pointed(tokens: list[Token], at: int, is_unit: Callable[[str], bool]) -> tuple[float, int]:
    """ "point seven five gallons": a decimal with no whole number, before a unit."""
    digits, used = decimals(tokens, at + 1, "point", is_unit)
    return (float(f"0.{digits}"), 1 + used) if digits and is_unit(spelled_at(tokens, at + 1 + used)) else (0, 0)


def _one(tokens: list[Token], at: int, is_unit: Callable[[str], bool]) -> bool:
    """Whether "a" or "una" counts here: before a unit ("a gallon"), or as an hour ("a la una")."""
    after = spelled_at(tokens, at + 1)
    if tokens[at].word == "una" and spelled_at(tokens, at - 1) == "la" and spelled_at(tokens, at - 2) in CLOCK_LA:
        return True
    return is_unit(after) and after not in NOT_ONE_OF and not _per(tokens, at, is_unit)


def _per(tokens: list[Token], at: int, is_unit: Callable[[str], bool]) -> bool:
    """Whether "a" means per here ("eight miles an hour", "150 sq ft a gallon")."""
    last = spelled_at(tokens, at - 1)
    if at and len(last) == 1 and tokens[at - 1].raw.isupper() and not (at > 1 and tokens[at - 2].kind == "num"):
        return False  # "stripping G an hour ago": a section, no grams
    if at and tokens[at - 1].kind == "num":
        return True
    return (is_unit(last) and last != "in") or last in ("miles", "millas", "cuadrados", "mile", "km", "each", "por", "per")


def _spanish(tokens: list[Token], at: int, is_unit: Callable[[str], bool]) -> bool:
    """Whether "once" is eleven here, not the English word."""
    if is_unit(spelled_at(tokens, at + 1)) and len(spelled_at(tokens, at + 1)) > 2:
        return True
    near = {spelled_at(tokens, at - 1), spelled_at(tokens, at + 1)}
    numbers = {w for w in near if w in WORDS and w not in ("ten",)}
    return bool(near & SPANISH_NEAR - {""} or numbers)


def _misheard(tokens: list[Token], at: int, is_unit: Callable[[str], bool]) -> bool:
    """ "for gallons", "to and a half": a dictated number before a unit or a half."""
    after, last = spelled_at(tokens, at + 1), tokens[at - 1] if at else None
    if last is not None and last.kind == "num":
        return False
    if (spelled_at(tokens, at + 1), spelled_at(tokens, at + 2)) == ("and", "a"):
        return spelled_at(tokens, at + 3) in PARTS
    return is_unit(after) and len(after) > 2 and after not in ("second", "foot", "mins", "min")


def _year(tokens: list[Token], at: int) -> tuple[float, int]:
    """ "nineteen eighty two", "mil novecientos setenta y cuatro"; no year is (0, 0)."""
    word, after = tokens[at].word, spelled_at(tokens, at + 1)
    if word in ("nineteen", "eighteen") and after in TENS:
        low, used = _below_hundred(tokens, at + 1)
        return TEENS[word] * 100 + low, used + 1
    if (word == "mil" and after in HUNDREDS) or (word == "dos" and after == "mil"):
        start = at + 2 if word == "dos" else at + 1
        low, used = _cardinal(tokens, start) if spelled_at(tokens, start) in WORDS else (0.0, 0)
        return (2000 if word == "dos" else 1000) + low, used + start - at
    if word == "two" and after == "thousand":
        skip = 1 if spelled_at(tokens, at + 2) == "and" else 0
        low, used = _below_hundred(tokens, at + 2 + skip)
        return 2000 + low, 2 + (skip + used if used else 0)
    return 0, 0


def _cardinal(tokens: list[Token], at: int) -> tuple[float, int]:
    """ "a hundred and eight", "treinta y cinco", "twenty-one"; one number, never two."""
    value, used, word = 0.0, 0, tokens[at].word
    if word in HUNDREDS:
        value, used = HUNDREDS[word], 1
        used += word == "cien" and spelled_at(tokens, at + 1) == "to" and spelled_at(tokens, at + 2) in TENS
    elif word in UNITS and spelled_at(tokens, at + 1) == "hundred":
        value, used = UNITS[word] * 100, 2
    if used:
        skip = 1 if spelled_at(tokens, at + used) in ("and", "y") and spelled_at(tokens, at + used + 1) in WORDS else 0
        low, more = _below_hundred(tokens, at + used + skip)
        low, more = (1, 1) if word in HUNDREDS and spelled_at(tokens, at + used) in ("un", "una") else (low, more)
        return (value + low, used + skip + more) if more and low < 100 else (value, used)
    return _below_hundred(tokens, at)


def _below_hundred(tokens: list[Token], at: int) -> tuple[float, int]:
    word = spelled_at(tokens, at)
    if word in UNITS or word in TEENS:
        return UNITS.get(word, TEENS.get(word, 0)), 1
    if word not in TENS:
        return 0, 0
    value = TENS[word]
    skip = 1 if spelled_at(tokens, at + 1) in ("y", "-") else 0
    word = spelled_at(tokens, at + 1 + skip)
    if spelled_at(tokens, at + 2 + skip) in SHARES and spelled_at(tokens, at + 3 + skip) not in ("", "de", "of", ",", "."):
        return value, 1  # "treinta y tres cuartos onzas": the three are quarters
    low = 1 if skip and word in ("un", "una") else UNITS.get(word, 0)
    if not low and not skip and word in SOUNDS_LIKE and spelled_at(tokens, at + 2) in LONG_COUNTED:
        low = SOUNDS_LIKE[word]  # "forty too seconds", "seventy for percent"
    return (value + low, 2 + skip) if low else (value, 1)
