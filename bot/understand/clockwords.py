"""Clock times told in words: "quarter to ten", "half past nine", "diez para las nueve", "noon"."""

from __future__ import annotations

from bot.understand.marks import Token, word_at

LAS = {"las", "la"}
MEASURED = {"ph", "moisture", "temp", "humidity", "wind", "meter", "read", "reads", "reading", "humedad", "medidor",
    "viento", "level", "boards", "board", "surface", "tabla", "tablas", "madera", "deck", "superficie", "wood",
        "water", "agua"}


def told(tokens: list[Token], at: int, led: bool) -> tuple[int, int, int] | None:
    """(hour, minute, index behind) of "quarter to ten", "half past nine", "diez para las nueve", "noon"."""
    word = word_at(tokens, at)
    if word in ("noon", "midday", "mediodia") or (word == "medio" and word_at(tokens, at + 1) == "dia"):
        return 12, 0, at + (2 if word == "medio" else 1)
    skip = 1 if word in ("a", "un") else 0
    word = word_at(tokens, at + skip)
    count = {"quarter": 15, "cuarto": 15, "half": 30}.get(word)
    token = tokens[at + skip] if at + skip < len(tokens) else None
    if count is None and token is not None and token.kind == "num" and token.value in range(1, 30):
        count = int(token.value or 0)
    if count is None or token is None:
        return None
    skip += word_at(tokens, at + skip + 1) in ("minutes", "min", "mins", "minutos")  # "ten minutes past seven"
    link, hour_at = word_at(tokens, at + skip + 1), at + skip + 2
    if word == "half" and link not in ("past", "after"):
        hour_at, link = at + skip + 1, "past"
    spanish = link in ("para", "pa", "p") and word_at(tokens, hour_at) in LAS
    if spanish:
        hour_at, link = hour_at + 1, "to"
    hour = _hour(tokens, hour_at)
    if hour is None or (token.kind == "num" and not (led or spanish or link in SURE or _spoken_to(tokens, at, link))):
        return None
    if link in ("past", "after"):
        return hour, count, hour_at + 1
    return (hour - 1 or 12, 60 - count, hour_at + 1) if link in ("to", "til", "till", "of", "before") else None


def past(tokens: list[Token], at: int) -> tuple[int, int] | None:
    """(minutes, index behind) of "twenty past" where no hour follows."""
    token = tokens[at] if at < len(tokens) else None
    told = token.value if token is not None and token.kind == "num" else 0
    count = {"quarter": 15, "half": 30}.get(word_at(tokens, at), told)
    if word_at(tokens, at + 1) not in ("past", "after") or _hour(tokens, at + 2) is not None or count not in range(1, 31):
        return None
    return int(count or 0), at + 2


SURE = ("past", "til", "till")


def _spoken_to(tokens: list[Token], at: int, link: str) -> bool:
    """ "ten to nine" said in words, counting down: no range, no reading."""
    count, hour = tokens[at], tokens[at + 2]
    told = any(word_at(tokens, n) in MEASURED for n in range(max(0, at - 4), at))
    return link == "to" and count.spoken and hour.spoken and count.value in (5, 10, 20, 25) and not told


def _hour(tokens: list[Token], at: int) -> int | None:
    token = tokens[at] if at < len(tokens) else None
    if token is None or token.kind != "num" or token.value not in range(1, 13):
        return None
    return int(token.value or 0)


def dotted(token: Token) -> tuple[int, int] | None:
    """The hour and minute of "7.40" and "7,40"; "9.5" is half past nine elsewhere."""
    hour, _, minute = token.raw.replace(",", ".").partition(".")
    fits = hour.isdigit() and minute.isdigit() and len(minute) == 2 and int(hour) < 24 and int(minute) < 60
    return (int(hour), int(minute)) if fits else None


VAGUE = ("pico", "algo", "cacho", "feria", "tantos")
SHOWN = {"dio", "dice", "marca", "marco", "salio", "da", "mide", "lei", "ph"}


CAME = ("llegue", "llegamos", "llego", "llegaron", "sali", "salimos", "salio", "salieron", "empece", "empezamos")


def _five(tokens: list[Token], at: int) -> bool:
    """Whether minutes stand here, as one tells them: a multiple of five under an hour."""
    return at < len(tokens) and tokens[at].kind == "num" and tokens[at].value in range(5, 60, 5)


def hourly(tokens: list[Token], at: int) -> bool:
    """ "9 y media", "diez menos cuarto", "9 y pico": an hour by what stands behind it, with no word before."""
    if any(word_at(tokens, n) in MEASURED | SHOWN for n in range(max(0, at - 4), at)):
        return False
    after, next_word = word_at(tokens, at + 1), word_at(tokens, at + 2)
    came = word_at(tokens, at - 1) in CAME and after == "y" and _five(tokens, at + 2)
    half = came or (tokens[at].raw.endswith(" y media") and tokens[at].value in [n + 0.5 for n in range(1, 13)])
    return half or (after, next_word) == ("menos", "cuarto") or (after == "y" and next_word in VAGUE)
