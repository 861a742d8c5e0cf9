"""Finds sections: letters, letter and digit, named parts of a deck, lists, ranges and "everything"."""

from __future__ import annotations

from bot.understand.marks import Mark, Token, overlaps, word_at
from bot.understand.section_lists import hyphened, joined, row_of_letters, undenied
from bot.understand.section_parts import led, named, other_thing
from bot.understand.section_words import (
    BOTH,
    ENDINGS,
    JOIN,
    LOOSE_WHOLE,
    LOWER,
    NAMES_ONE,
    NEVER,
    NOT_A_NOUN,
    NOUNS,
    PHRASES,
    PLACES,
    SECTION,
    SELDOM,
    SIDE,
    THROUGH,
    WHOLE,
)  # fmt: skip
from bot.understand.spoken_letters import STATED, after_section, spoken


def find(tokens: list[Token], taken: list[bool], known: tuple[str, ...] = ()) -> list[Mark]:
    """Marks of kind `sec`, each a list of names; lists and ranges are one mark."""
    singles = _singles(tokens, taken, known)
    marks = joined(tokens, undenied(tokens, singles))
    for mark in marks:
        if mark.end + 1 < len(tokens) and tokens[mark.end].word == ":" and tokens[mark.end + 1].kind == "num":
            tokens[mark.end].word = "~"  # "A: 12x14" is one breath
        taken[mark.start : mark.end] = [True] * (mark.end - mark.start)
    return marks


def _singles(tokens: list[Token], taken: list[bool], known: tuple[str, ...]) -> list[Mark]:
    out: list[Mark] = []
    at = 0
    shouting = sum(t.raw.isupper() for t in tokens) > len(tokens) * 0.7 and len(tokens) > 3
    while at < len(tokens):
        found = None if taken[at] else _one(tokens, at, known, shouting, out)
        if found and not overlaps(taken, found.start, found.end):
            out.append(found)
            at = found.end
        else:
            at += 1
    return out


def _one(
    tokens: list[Token], at: int, known: tuple[str, ...], shouting: bool, before: list[Mark]
) -> Mark | None:
    """The section that begins at this token, or None."""
    token, word = tokens[at], tokens[at].word
    whole = _known(tokens, at, known) or (None if _thoroughly(tokens, at, before) else _everything(tokens, at, before))
    if whole:
        return whole
    if token.raw == "b4" and _before_figure(tokens, at, before):
        return None  # "rinsed b4 10"
    if token.raw == "b4" and word_at(tokens, at + 1).isalpha() and word_at(tokens, at + 1) not in STATED and not word_at(
            tokens, at + 1).endswith(ENDINGS):
        return None  # "rinsed C b4 lunch"
    if token.kind == "place":
        told = token.raw[0].isupper() or before or led(tokens, at)
        return Mark("sec", [token.word], at, at + 1) if told else None
    if word in SECTION:
        return after_section(tokens, at)
    if token.kind != "word":
        return None
    if word in NOUNS or word in SIDE:
        return None if other_thing(tokens, at) else named(tokens, at)
    if len(word) == 1 and (row := row_of_letters(tokens, at)):
        return row
    if len(word) == 1 and _letter(tokens, at, shouting, before):
        digit = hyphened(tokens, at + 1)
        return Mark("sec", [word.upper() + digit], at, at + 1 + 2 * len(digit))
    return spoken(tokens, at, before)


def _known(tokens: list[Token], at: int, known: tuple[str, ...]) -> Mark | None:
    """A section that the job names itself."""
    for name in known:
        parts = name.lower().split()
        if len(name) > 2 and [t.word for t in tokens[at : at + len(parts)]] == parts:
            return Mark("sec", [name], at, at + len(parts))
    return None


def _before_figure(tokens: list[Token], at: int, before: list[Mark]) -> bool:
    """Whether a clock ends the statement behind "b4", and what was done stands before it."""
    figure = at + 1 < len(tokens) and tokens[at + 1].kind in ("num", "clock")
    ends = at + 2 >= len(tokens) or tokens[at + 2].kind == "sign"
    done = word_at(tokens, at - 1).endswith(("ed", "ing")) or (bool(before) and before[-1].end == at)
    return figure and ends and done


CREWS = {"team", "crew", "cuadrilla", "equipo", "mr", "mrs", "ms"}
OF_IT = ("all", "of", "it")


def _everything(tokens: list[Token], at: int, before: list[Mark]) -> Mark | None:
    """ "everything", "all of it", "both"."""
    word = tokens[at].word
    for phrase in PHRASES:
        if word == phrase[0] and tuple(t.word for t in tokens[at : at + len(phrase)]) == phrase:
            of_it = phrase == OF_IT and bool(before)  # "rinsed A. all of it came off": of A
            return Mark("sec", ["+" if of_it else "*"], at, at + len(phrase))
    if word in ("pair", "two") and word_at(tokens, at + 1) == "of" and word_at(tokens, at + 2) in ("them", "em", "those"):
        return Mark("sec", ["+"], at, at + 3)
    if word in BOTH and not _heads_list(tokens, at):
        return Mark("sec", ["+"], at, at + 1)
    ahead = tokens[at + 1] if at + 1 < len(tokens) else None
    if word in ("las", "los") and ahead is not None and ahead.spoken and ahead.value in (2, 3, 4):
        return Mark("sec", ["+"], at, at + 2)
    loose = word in LOOSE_WHOLE and (not _whole(tokens, at) or word_at(tokens, at + 1) in NOUNS)
    return Mark("sec", ["*"], at, at + 1) if word in WHOLE and not loose else None


def _thoroughly(tokens: list[Token], at: int, before: list[Mark]) -> bool:
    """ "el rail quedo todo cubierto": how well, of the section just named."""
    near = bool(before) and at - before[-1].end < 4 and all(t.kind == "word" for t in tokens[before[-1].end : at])
    between = {t.word for t in tokens[before[-1].end : at]} if near else set()
    if near and word_at(tokens, at) == "todo" and between & LET_GO:
        return True  # "la pergola solto todo": all of hers
    return near and tokens[at].word in LOOSE_WHOLE and word_at(tokens, at + 1).endswith(("ado", "ido", "erto", "jado"))


LET_GO = {"solto", "suelta", "soltaba", "soltando", "salio", "sale", "saliendo", "levanto", "pelo", "despego", "cayo"}


def _whole(tokens: list[Token], at: int) -> bool:
    """ "todo" stands for the whole job only where a verb's object or subject can stand."""
    after = word_at(tokens, at + 1)
    return after in ("", ".", "!", "?", ",", "ya", "esta", "quedo", "listo", "enjuagado", "de", "d", "otra", "con",
        "y", "cubierto", "mojado", "lo", "hace", "a", "rociado", "en")


def _heads_list(tokens: list[Token], at: int) -> bool:
    """ "both A and B": the list follows."""
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    return after is not None and (after.kind == "place" or after.raw in "ABCDEFGHJK" or after.word in ("of", "the",
        "section", "sections", "coats", "las", "la"))


def _letter(tokens: list[Token], at: int, shouting: bool, before: list[Mark]) -> bool:
    """Whether a single letter is a section here, not an article, a slang word or a unit."""
    token, word = tokens[at], tokens[at].word
    upper = token.raw.isupper() and not shouting
    if word_at(tokens, at - 1) in CREWS:
        return False  # "team B rinsed A"
    last, after = word_at(tokens, at - 1) if at else "", word_at(tokens, at + 1)
    named = word == "o" and last == "la" and upper and at > 1  # "la N y la O"
    if (word.upper() in NEVER and not named) or not word.isascii() or not word.isalpha():
        return False
    if (word == "p" and after == "h") or (word == "h" and last == "p"):
        return False  # "P H seven"
    if token.glued and at and tokens[at - 1].kind in ("num", "word"):
        return upper and tokens[at - 1].kind == "word"
    if word == "x" and (not upper or (at and tokens[at - 1].kind == "num") or not (at == 0 or led(tokens, at) or
        before or not last.isalnum() or last[-1:] in "sedo")):
        return False
    linked = bool(before) and before[-1].end == at - 1 and (last in JOIN or last in THROUGH)
    joined = linked or (upper and bool(before) and before[-1].end == at)
    if word.upper() in SELDOM and not _seldom(tokens, at, upper, joined, last):
        return False
    if word == "a":
        return _letter_a(tokens, at, upper, joined, last, after)
    if upper or last in ("la", "seccion", "sec", "section"):
        return True
    return _lower_letter(tokens, at, joined, last)


def _lower_letter(tokens: list[Token], at: int, joined: bool, last: str) -> bool:
    """A small letter needs a place or a list around it."""
    word = tokens[at].word
    if word == "e":
        return joined or last in ("en", "on")
    if word in LOWER and last.startswith(WORKED) and _clock_behind(tokens, at + 1):
        return True
    if word not in LOWER or (word == "d" and last not in ("on", "in") and not joined and at):
        return False
    return joined or at == 0 or last in PLACES or last in (",", ".", ";", ":") or _ends(tokens, at)


def _clock_behind(tokens: list[Token], at: int) -> bool:
    """ "covered b at ten five", "started c 9:20": only a section stands between a verb of work and a clock."""
    at += word_at(tokens, at) in ("at", "around", "about", "a", "@")
    at += word_at(tokens, at) in ("las", "la")
    return at < len(tokens) and tokens[at].kind in ("num", "clock")


def _seldom(tokens: list[Token], at: int, upper: bool, joined: bool, last: str) -> bool:
    """I, N and U are words too: sections only in a list, behind a word of place, or opening a statement."""
    if tokens[at].word == "i":
        return last in ("la", "seccion", "section", "sec", "de", "en")
    ahead = tokens[at + 1] if at + 1 < len(tokens) else None
    states = ahead is not None and (
        ahead.kind in ("sign", "num") or ahead.word.endswith(ENDINGS) or ahead.word in NOT_A_NOUN
    )
    done = len(last) > 3 and last.endswith(("ed", "ing", "amos", "ando"))  # "commencing N"
    return upper and (joined or done or last in NAMES_ONE or (not last.isalnum() and states))


def _ends(tokens: list[Token], at: int) -> bool:
    return at == len(tokens) - 1 or tokens[at + 1].kind == "sign" or tokens[at + 1].word in ("n", "and", "y", "now",
        "again")


WORKED = ("rins", "strip", "cover", "mist", "bright", "coat", "oil", "start", "finish", "wet", "rewet", "spray", "mask",
    "tap", "soak", "scrub", "wash", "clean", "neutral", "check", "measur", "test", "dri", "appli", "complet", "extend",
    "enjuag", "decap", "cubi", "mojad", "roci", "abrill", "aceit", "termin", "list", "acab", "empez", "lavad",
    "tapad", "neutral", "medid", "remoj", "pelad")  # fmt: skip
BEHIND_VERB = {"up", "out", "off", "over", "down", "good", "nice", "now", "again", "at", "and", "all", "pretty", "real",
    "well", "in", "with", "by", "too", "already", "on", "y", "ya", "con", "a", "bien", "todo", "toda", "otra", "hace",
    "completely", "clean", "for", "just", "but", "pero", "around", "since"}  # fmt: skip


def _article(tokens: list[Token], at: int) -> bool:
    """ "A potted fern", "A busted hose": a participle that is no work, and a noun behind it."""
    verb, behind = word_at(tokens, at + 1), tokens[at + 2] if at + 2 < len(tokens) else None
    if verb.startswith(WORKED) or behind is None or behind.kind != "word":
        return False
    return behind.word not in BEHIND_VERB


BEHIND_A = {"and", "n", "&", "like", "about", "around", "now", "again", "then", "but", "while", "already", "too", "first",
    "so"}  # fmt: skip
NO_NOUN = STATED | {"with", "needs", "has", "isnt", "wasnt", "wont", "for", "on", "off"}


def _letter_a(tokens: list[Token], at: int, upper: bool, joined: bool, last: str, after: str) -> bool:
    """ "A" is an article and a Spanish preposition too: it must look like a section."""
    end = at == len(tokens) - 1 or tokens[at + 1].kind in ("sign", "num", "place")
    next_letter = len(after) == 1 and after.isalpha() and tokens[at + 1].raw.isupper()
    counts = end and at + 1 < len(tokens) and tokens[at + 1].kind == "num" and not upper
    if joined and (upper or end) and not counts:  # ", a 175 sq ft": at
        return True
    if upper and at:
        return after not in ("la", "las", "lot", "few", "bit", "couple") or end
    if upper:
        closed = after == "final" and word_at(tokens, at + 3) in ("done", "finished", "complete", "completed")
        told = after.endswith(ENDINGS) and not _article(tokens, at)
        return closed or (end and after not in ("'",)) or after in NOT_A_NOUN or next_letter or told
    if last == "la":
        return end or after in NOT_A_NOUN or next_letter
    if after == "at" and (last.startswith(WORKED) or last == "on") and _clock_behind(tokens, at + 1):
        return True  # "started rinsing a at eleven"
    if after == "is" and tokens[at + 1].raw.lower() in ("s", "'s"):
        return True  # "a's all rinsed off"
    if after in BEHIND_A and last.startswith(WORKED) and last.endswith(("ed", "ing")):
        return True  # "luis rinsed a and i misted bee"
    figure = at + 2 < len(tokens) and (tokens[at + 2].kind == "num" or tokens[at + 2].word in ("is", "reads", "was"))
    typed = tokens[at + 1].raw.lower() == after if after else False
    if (after in NO_NOUN and typed) or (after in ("ph", "moisture") and figure) or (after == "all" and not at):
        return True  # "misted a with water", "a is still stuck": no article stands before these
    if last in ("on", "in", "for") and after not in ("y",):
        return at == len(tokens) - 1 or tokens[at + 1].word in (",", ".", "and", "&", "n", "?", "!")
    return False
