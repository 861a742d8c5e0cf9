"""Finds sections: letters, letter and digit, named parts of a deck, lists, ranges and "everything"."""

from __future__ import annotations

from bot.understand.marks import Mark, Token, overlaps
from bot.understand.quantities import is_unit
from bot.understand.section_lists import hyphened, joined, row_of_letters, undenied
from bot.understand.section_parts import led, named
from bot.understand.section_words import (
    AFTER_LA,
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
    SPOKEN,
    THROUGH,
    WHOLE,
)  # fmt: skip


def find(tokens: list[Token], taken: list[bool], known: tuple[str, ...] = ()) -> list[Mark]:
    """Marks of kind `sec`, each a list of names; lists and ranges are one mark."""
    singles = _singles(tokens, taken, known)
    marks = joined(tokens, undenied(tokens, singles))
    for mark in marks:
        if mark.end + 1 < len(tokens) and tokens[mark.end].word == ":" and tokens[mark.end + 1].kind == "num":
            tokens[mark.end].word = "~"  # "A: 12x14" is one breath
        taken[mark.start : mark.end] = [True] * (mark.end - mark.start)
    return marks


def _word(tokens: list[Token], at: int) -> str:
    return tokens[at].word if 0 <= at < len(tokens) else ""


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
    whole = _known(tokens, at, known) or (None if _thoroughly(tokens, at, before) else _everything(tokens, at))
    if whole:
        return whole
    if token.kind == "place":
        told = token.raw[0].isupper() or before or led(tokens, at)
        return Mark("sec", [token.word], at, at + 1) if told else None
    if word in SECTION:
        return _after_section(tokens, at)
    if token.kind != "word":
        return None
    if word in NOUNS or word in SIDE:
        return named(tokens, at)
    if len(word) == 1 and (row := row_of_letters(tokens, at)):
        return row
    if len(word) == 1 and _letter(tokens, at, shouting, before):
        digit = hyphened(tokens, at + 1)
        return Mark("sec", [word.upper() + digit], at, at + 1 + 2 * len(digit))
    return _spoken(tokens, at, before)


def _spoken(tokens: list[Token], at: int, before: list[Mark]) -> Mark | None:
    """A letter spoken in a list ("a and bee"), with its digit ("be dos") or behind "la"."""
    word = tokens[at].word
    beside = bool(before) and before[-1].end == at and len(before[-1].value[0]) == 1  # "A bee and sea"
    if word in HEARD and before and (beside or (before[-1].end == at - 1 and tokens[at - 1].word in JOIN | THROUGH)):
        return Mark("sec", [SPOKEN[word]], at, at + 1)
    if word in CLEAR and _object(tokens, at):
        return Mark("sec", [SPOKEN[word]], at, at + 1)
    if word in LETTER_NAMES and _spanish_digit(tokens, at + 1):
        return Mark("sec", [SPOKEN[word] + _spoken_digit(tokens, at + 1)], at, at + 2)
    if word in AFTER_LA and at and tokens[at - 1].word in ("la", "y"):
        return _spoken_after_la(tokens, at)
    return None


def _known(tokens: list[Token], at: int, known: tuple[str, ...]) -> Mark | None:
    """A section that the job names itself."""
    for name in known:
        parts = name.lower().split()
        if len(name) > 2 and [t.word for t in tokens[at : at + len(parts)]] == parts:
            return Mark("sec", [name], at, at + len(parts))
    return None


def _everything(tokens: list[Token], at: int) -> Mark | None:
    """ "everything", "all of it", "both"."""
    word = tokens[at].word
    for phrase in PHRASES:
        if word == phrase[0] and tuple(t.word for t in tokens[at : at + len(phrase)]) == phrase:
            return Mark("sec", ["*"], at, at + len(phrase))
    if word in BOTH and not _heads_list(tokens, at):
        return Mark("sec", ["+"], at, at + 1)
    ahead = tokens[at + 1] if at + 1 < len(tokens) else None
    if word in ("las", "los") and ahead is not None and ahead.spoken and ahead.value in (2, 3, 4):
        return Mark("sec", ["+"], at, at + 2)
    loose = word in LOOSE_WHOLE and (not _whole(tokens, at) or _word(tokens, at + 1) in NOUNS)
    return Mark("sec", ["*"], at, at + 1) if word in WHOLE and not loose else None


def _thoroughly(tokens: list[Token], at: int, before: list[Mark]) -> bool:
    """ "el rail quedo todo cubierto": how well, of the section just named."""
    near = bool(before) and at - before[-1].end < 4 and all(t.kind == "word" for t in tokens[before[-1].end : at])
    between = {t.word for t in tokens[before[-1].end : at]} if near else set()
    if near and _word(tokens, at) == "todo" and between & LET_GO:
        return True  # "la pergola solto todo": all of hers
    return near and tokens[at].word in LOOSE_WHOLE and _word(tokens, at + 1).endswith(("ado", "ido", "erto", "jado"))


LET_GO = {"solto", "suelta", "soltaba", "soltando", "salio", "sale", "saliendo", "levanto", "pelo", "despego", "cayo"}


def _whole(tokens: list[Token], at: int) -> bool:
    """ "todo" stands for the whole job only where a verb's object or subject can stand."""
    after = _word(tokens, at + 1)
    return after in ("", ".", "!", "?", ",", "ya", "esta", "quedo", "listo", "enjuagado", "de", "d", "otra", "con",
        "y", "cubierto", "mojado", "lo", "hace", "a", "rociado", "en")


def _heads_list(tokens: list[Token], at: int) -> bool:
    """ "both A and B": the list follows."""
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    return after is not None and (after.kind == "place" or after.raw in "ABCDEFGHJK" or after.word in ("of", "the",
        "section", "sections", "coats", "las", "la"))


def _spoken_digit(tokens: list[Token], at: int) -> str:
    """The digit spoken behind a spoken letter ("section bee two"), or nothing."""
    token = tokens[at] if at < len(tokens) else None
    if token is None or token.kind != "num" or not token.spoken or token.value not in range(1, 10):
        return ""
    after = _word(tokens, at + 1)
    part = after in ("and", "y") and _word(tokens, at + 2) in ("a", "half", "quarter", "medio", "media", "cuarto")
    return "" if part or is_unit(after) or after in ("by", "x", "por", "more", "mas", "point", "punto", "%") or (
        at + 1 < len(tokens) and tokens[at + 1].kind == "num") else str(int(token.value or 0))


STATED = {"is", "are", "was", "reads", "read", "reading", "looks", "came", "got", "still", "again", "now", "lets"}
HEARD = ("bee", "sea", "cee", "dee", "gee", "aitch", "jay", "kay", "tee", "vee", "zee", "ell", "em", "ess")  # in a list
CLEAR = ("sea", "bee", "cee", "dee", "aitch", "zee", "vee", "gee", "tee", "kay", "jay")  # names of letters, hardly words
VERB_BEFORE = {"give", "gave", "coat", "strip", "rinse", "check", "do", "did", "brighten", "hit", "mist", "cover",
    "measure", "ph", "moisture", "start", "finish", "on", "in", "for", "extend", "wet", "rewet"}


def _object(tokens: list[Token], at: int) -> bool:
    """ "rinsed bee", "moisture bee 14": a spoken letter where a section is dealt with, no insect and no exclamation."""
    last, after = _word(tokens, at - 1) if at else "", _word(tokens, at + 1)
    last = "" if not last.isalpha() or last in ("and", "but", "while", "so", "y", "pero") else last
    if after in ("sting", "stings", "stung", "hive", "nest", "line", "shirt", "shirts", "box", "ball"):
        return False
    if not last:
        return after in STATED or after.endswith(ENDINGS)
    return last in VERB_BEFORE or (last.endswith(("ed", "ing")) and last != "need")


LETTER_NAMES = ("be", "ce", "efe", "ge", "hache", "ache", "ene", "eme", "erre", "jota")


def _spanish_digit(tokens: list[Token], at: int) -> bool:
    """ "be dos": a letter and a digit spoken in Spanish need no article."""
    return bool(_spoken_digit(tokens, at)) and tokens[at].raw.lower() in ("uno", "dos", "tres", "cuatro", "cinco")


def _spoken_after_la(tokens: list[Token], at: int) -> Mark | None:
    """ "medi la ce": a letter spoken in Spanish, its article before it."""
    word, after = tokens[at].word, _word(tokens, at + 1)
    ends = after in ("", ".", ",") and _word(tokens, at - 2) in ("y", "ni", "o", "hasta", "a") and tokens[at - 1].word == "la"
    if word == "de" and not ends and (after not in ("y", ",") or tokens[at - 1].word != "la" or _word(tokens, at + 2)
        not in ("la", "el", "las", "los")):
        return None
    if (tokens[at - 1].word == "y" and word in ("be", "see", "sea")):
        return None
    if word in ("see", "sea", "be") and after and after.isalpha() and word != "be":
        return None
    if word == "doble":  # "la doble u"
        return Mark("sec", ["W"], at, at + 2) if after in ("u", "ve", "v") else None
    digit = _spoken_digit(tokens, at + 1)
    return Mark("sec", [SPOKEN[word] + digit], at, at + 1 + len(digit))


def _after_section(tokens: list[Token], at: int) -> Mark | None:
    """ "section bee", "sec B 2": whatever letter follows the word, however spelled."""
    word, token = _word(tokens, at + 1), tokens[at + 1] if at + 1 < len(tokens) else None
    if token is None:
        return None
    if token.kind == "place":
        return Mark("sec", [token.word], at, at + 2)
    if token.kind != "word":
        return None
    if named := _by_sound(tokens, at):
        return named
    many = tokens[at].word in ("sections", "secciones", "secs")
    if many and len(word) == 1 and (row := _spoken_row(tokens, at + 1) if word in SPOKEN else None):
        return row
    if len(word) == 1 and word.isalpha() and (word not in "oyxnuq" or token.raw.isupper()):
        loose = tokens[at].word in ("area", "part", "parte", "zona") and not token.raw.isupper()
        digit = _spoken_digit(tokens, at + 2)
        return None if loose else Mark("sec", [word.upper() + digit], at, at + 2 + len(digit))
    if word in SPOKEN and tokens[at].word not in ("area", "part", "parte"):
        digit = _spoken_digit(tokens, at + 2)
        if many and not digit and (row := _spoken_row(tokens, at + 1)):
            return row
        return Mark("sec", [SPOKEN[word] + digit], at, at + 2 + len(digit))
    return None


HOMOPHONES = {"en": "N", "in": "N", "oh": "O", "owe": "O", "eye": "I", "aye": "I", "are": "R", "you": "U", "why": "Y"}


def _by_sound(tokens: list[Token], at: int) -> Mark | None:
    """ "section double u", "sección sé", "section en is rinsed": as a phone writes the letter it heard."""
    word = _word(tokens, at + 1)
    if word == "double" and _word(tokens, at + 2) in ("u", "you"):
        return Mark("sec", ["W"], at, at + 3)
    if tokens[at + 1].raw.lower() == "sé":
        return Mark("sec", ["C"], at, at + 2)
    sounds = word in HOMOPHONES and _spoken_as_letter(tokens, at)
    return Mark("sec", [HOMOPHONES[word]], at, at + 2) if sounds else None


def _spoken_as_letter(tokens: list[Token], at: int) -> bool:
    """ "section en is rinsed", "give section eye ten more": a word that sounds like a letter, in a letter's place."""
    if tokens[at].word not in ("section", "sec"):
        return False
    after = _word(tokens, at + 2)
    sure = _word(tokens, at + 1) in ("oh", "owe", "eye", "aye")
    return after in STATED | {"has", "needs", "and", "", ".", ","} or (sure and after not in ("no", "my", "well", "man"))


def _spoken_row(tokens: list[Token], at: int) -> Mark | None:
    """ "sections ee eff and gee": letters spoken one after the other."""
    names, end = [SPOKEN[tokens[at].word]], at + 1
    while end < len(tokens):
        skip = 1 if _word(tokens, end) in (",", "and", "y", "n", "&") else 0
        word = _word(tokens, end + skip)
        if word not in SPOKEN or len(word) < 2 or SPOKEN[word] in names:
            break
        if word in LOOSE_LETTERS and not skip and not _row_goes_on(tokens, end):
            break
        names, end = [*names, SPOKEN[word]], end + skip + 1
    return Mark("sec", names, at - 1, end) if len(names) > 1 else None


def _row_goes_on(tokens: list[Token], at: int) -> bool:
    """ "las secciones a be y ce": behind the loose letter another is joined."""
    return _word(tokens, at + 1) in ("y", "and", ",") and _word(tokens, at + 2) in SPOKEN and len(_word(tokens, at + 2)) > 1


LOOSE_LETTERS = {"be", "de", "see", "hey", "ay", "te", "em", "ex", "ar", "pe", "sea", "je", "eh", "ese"}  # words too


def _letter(tokens: list[Token], at: int, shouting: bool, before: list[Mark]) -> bool:
    """Whether a single letter is a section here, not an article, a slang word or a unit."""
    token, word = tokens[at], tokens[at].word
    upper = token.raw.isupper() and not shouting
    last, after = _word(tokens, at - 1) if at else "", _word(tokens, at + 1)
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
    if word not in LOWER or (word == "d" and last not in ("on", "in") and not joined and at):
        return False
    return joined or at == 0 or last in PLACES or last in (",", ".", ";", ":") or _ends(tokens, at)


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
        return (end and after not in ("'",)) or after in NOT_A_NOUN or next_letter or after.endswith(ENDINGS)
    if last == "la":
        return end or after in NOT_A_NOUN or next_letter
    if last in ("on", "in", "for") and after in STATED:
        return True  # "ph on a is seven": no article stands before a verb
    if last in ("on", "in", "for") and after not in ("y",):
        return at == len(tokens) - 1 or tokens[at + 1].word in (",", ".", "and", "&", "n", "?", "!")
    return False
