"""Sections by spoken letters: "section bee", "la ce", "sections ee, eff and gee", "be dos", as a phone writes them."""

from __future__ import annotations

from bot.understand.marks import Mark, Token, word_at
from bot.understand.quantities import is_unit
from bot.understand.section_words import AFTER_LA, ENDINGS, JOIN, SPOKEN, THROUGH


def _bees(tokens: list[Token], at: int) -> Mark | None:
    """ "bees sliding off", "bees final rinse": B is, or B has."""
    word, after = word_at(tokens, at), word_at(tokens, at + 1)
    opens = at == 0 or tokens[at - 1].kind == "sign" or tokens[at - 1].word in ("and", "ok", "so")
    does = after.endswith(("ing", "ed")) or after in ("final", "rinse", "brightener", "stripper", "ready", "still", "all")
    return Mark("sec", [OWNERS[word]], at, at + 1) if opens and does and word in OWNERS else None


OWNERS = {"bees": "B", "seas": "C", "sees": "C", "dees": "D", "gees": "G"}  # "bee's", as a phone writes it


def spoken(tokens: list[Token], at: int, before: list[Mark]) -> Mark | None:
    """A letter spoken in a list ("a and bee"), with its digit ("be dos") or behind "la"."""
    word = tokens[at].word
    if bees := _bees(tokens, at):
        return bees
    beside = bool(before) and before[-1].end == at and len(before[-1].value[0]) == 1  # "A bee and sea"
    if word in HEARD and before and (beside or (before[-1].end == at - 1 and tokens[at - 1].word in JOIN | THROUGH)):
        digit = _spoken_digit(tokens, at + 1)
        return Mark("sec", [SPOKEN[word] + digit], at, at + 1 + len(digit))
    if word in CLEAR and (_object(tokens, at) or (before and _read_off(tokens, at))):
        return Mark("sec", [SPOKEN[word]], at, at + 1)
    if word in LETTER_NAMES and _spanish_digit(tokens, at + 1):
        return Mark("sec", [SPOKEN[word] + _spoken_digit(tokens, at + 1)], at, at + 2)
    if word in AFTER_LA and at and tokens[at - 1].word in ("la", "y"):
        return _spoken_after_la(tokens, at)
    return None


def _read_off(tokens: list[Token], at: int) -> bool:
    """ "moisture A fourteen thirteen comma bee twelve twelve": behind one section's figures the next, and its own."""
    figures = at + 1 < len(tokens) and tokens[at + 1].kind == "num" and tokens[at + 1].spoken
    return figures and word_at(tokens, at - 1) in (",", "and", "y", "then") and tokens[at - 2].kind == "num"


def _spoken_digit(tokens: list[Token], at: int) -> str:
    """The digit spoken behind a spoken letter ("section bee two"), or nothing."""
    token = tokens[at] if at < len(tokens) else None
    if token is None or token.kind != "num" or not token.spoken or token.value not in range(1, 10):
        return ""
    after = word_at(tokens, at + 1)
    figure = tokens[at + 1] if at + 1 < len(tokens) and tokens[at + 1].kind == "num" else None
    if figure is not None and figure.spoken and (token.value or 0) < 4 <= (figure.value or 0):
        return str(int(token.value or 0))  # "see two twelve more minutes", "la ce dos siete y medio": C2, and the figure
    part = after in ("and", "y") and word_at(tokens, at + 2) in ("a", "half", "quarter", "medio", "media", "cuarto")
    return "" if part or is_unit(after) or after in ("by", "x", "por", "more", "mas", "point", "punto", "%") or (
        at + 1 < len(tokens) and tokens[at + 1].kind == "num") else str(int(token.value or 0))


STATED = {"is", "are", "was", "reads", "read", "reading", "looks", "came", "got", "still", "again", "now", "lets"}
HEARD = ("bee", "sea", "cee", "dee", "gee", "aitch", "jay", "kay", "tee", "vee", "zee", "ell", "em", "ess")  # in a list
CLEAR = ("be", "see", "sea", "bee", "cee", "dee", "aitch", "zee", "vee", "gee", "tee", "kay",
    "jay")  # names of letters, hardly words; fmt: skip
VERB_BEFORE = {"give", "gave", "coat", "strip", "rinse", "check", "do", "did", "brighten", "hit", "mist", "cover",
    "measure", "ph", "moisture", "start", "finish", "on", "in", "for", "extend", "wet", "rewet"}


DOES = ("start", "rins", "mist", "cover", "stripp", "brighten", "coat", "check", "oil")


def _loose_object(last: str, after: str, at: int) -> bool:
    """ "be is covered", "starting be now": words of every sentence, letters only where nothing else can stand."""
    if at == 0 or not last.isalpha() or last in ("ok", "okay", "so"):
        return after in ("is", "was", "reads")
    does = last.startswith(DOES) and last.endswith(("ed", "ing"))
    return does and after in ("now", "", "with", "again", "and", ".", ",", "is")


def _object(tokens: list[Token], at: int) -> bool:
    """ "rinsed bee", "moisture bee 14": a spoken letter where a section is dealt with, no insect and no exclamation."""
    last, after = word_at(tokens, at - 1) if at else "", word_at(tokens, at + 1)
    if tokens[at].word in ("be", "see"):
        return _loose_object(last, after, at)
    last = "" if not last.isalpha() or last in ("and", "but", "while", "so", "y", "pero") else last
    if after in ("sting", "stings", "stung", "hive", "nest", "line", "shirt", "shirts", "box", "ball"):
        return False
    if not last:
        return after in STATED or after in ("ph", "moisture") or after.endswith(ENDINGS)
    return last in VERB_BEFORE or (last.endswith(("ed", "ing")) and last != "need")


LETTER_NAMES = ("be", "ce", "efe", "ge", "hache", "ache", "ene", "eme", "erre", "jota")


def _spanish_digit(tokens: list[Token], at: int) -> bool:
    """ "be dos": a letter and a digit spoken in Spanish need no article."""
    return bool(_spoken_digit(tokens, at)) and tokens[at].raw.lower() in ("uno", "dos", "tres", "cuatro", "cinco")


def _spoken_after_la(tokens: list[Token], at: int) -> Mark | None:
    """ "medi la ce": a letter spoken in Spanish, its article before it."""
    word, after = tokens[at].word, word_at(tokens, at + 1)
    joined = word_at(tokens, at - 2) in ("y", "ni", "o", "hasta", "a") and tokens[at - 1].word == "la"
    ends = joined and after in ("", ".", ",")
    if word == "de" and not ends and (after not in ("y", ",") or tokens[at - 1].word != "la" or word_at(tokens, at + 2)
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


def after_section(tokens: list[Token], at: int) -> Mark | None:
    """ "section bee", "sec B 2": whatever letter follows the word, however spelled."""
    word, token = word_at(tokens, at + 1), tokens[at + 1] if at + 1 < len(tokens) else None
    if token is None:
        return None
    if token.kind == "place":
        return Mark("sec", [token.word], at, at + 2)
    if token.kind != "word":
        return None
    if word == "de" and word_at(tokens, at + 2) in ("la", "el", "las", "los"):
        return None  # "un tramo de la B"
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


HOMOPHONES = {"en": "N", "in": "N", "oh": "O", "owe": "O", "eye": "I", "are": "R", "you": "U", "why": "Y"}


def _by_sound(tokens: list[Token], at: int) -> Mark | None:
    """ "section double u", "sección sé", "section en is rinsed": as a phone writes the letter it heard."""
    word = word_at(tokens, at + 1)
    if word == "double" and word_at(tokens, at + 2) in ("u", "you"):
        return Mark("sec", ["W"], at, at + 3)
    if tokens[at + 1].raw.lower() == "sé":
        return Mark("sec", ["C"], at, at + 2)
    sounds = word in HOMOPHONES and _spoken_as_letter(tokens, at)
    return Mark("sec", [HOMOPHONES[word]], at, at + 2) if sounds else None


def _spoken_as_letter(tokens: list[Token], at: int) -> bool:
    """ "section en is rinsed", "give section eye ten more": a word that sounds like a letter, in a letter's place."""
    if tokens[at].word not in ("section", "sec"):
        return False
    after = word_at(tokens, at + 2)
    sure = word_at(tokens, at + 1) in ("oh", "owe", "eye")
    return after in STATED | {"has", "needs", "and", "", ".", ","} or (sure and after not in ("no", "my", "well", "man"))


def _spoken_row(tokens: list[Token], at: int) -> Mark | None:
    """ "sections ee eff and gee": letters spoken one after the other."""
    names, end = [SPOKEN[tokens[at].word]], at + 1
    while end < len(tokens):
        skip = 1 if word_at(tokens, end) in (",", "and", "y", "n", "&") else 0
        word = word_at(tokens, end + skip)
        if word not in SPOKEN or len(word) < 2 or SPOKEN[word] in names:
            break
        if word in LOOSE_LETTERS and not skip and not _row_goes_on(tokens, end):
            break
        names, end = [*names, SPOKEN[word]], end + skip + 1
    return Mark("sec", names, at - 1, end) if len(names) > 1 else None


def _row_goes_on(tokens: list[Token], at: int) -> bool:
    """ "las secciones a be y ce": behind the loose letter another is joined."""
    letter = word_at(tokens, at + 2)
    return word_at(tokens, at + 1) in ("y", "and", ",") and letter in SPOKEN and len(letter) > 1


LOOSE_LETTERS = {"be", "de", "see", "hey", "ay", "te", "em", "ex", "ar", "pe", "sea", "je", "eh", "ese"}  # words too
