"""Where a list of sections ends and the next statement begins: "rinsed A and B is still gummy" rinses A alone."""

from __future__ import annotations

from bot.understand import clauses as parts
from bot.understand.marks import Mark, Token, word_at
from bot.understand.section_lists import parted
from bot.understand.section_words import SECTION

# What is said of one thing alone: behind a list that something was said of already it is of the last name only.
OF_ONE = {
    "is", "was", "isnt", "wasnt", "needs", "has", "hasnt", "reads", "looks", "feels", "wont", "sigue", "esta",
    "quedo", "necesita", "estaba", "lleva", "parece", "suelta", "solto", "sale", "salio", "afloja", "aflojo", "marca",
    "dio", "da", "lets", "comes", "came", "peels", "dwelling", "fizzing", "gummy", "sticky", "loose", "peeling",
    "left", "remaining", "remains", "waiting", "waits", "dried", "dry", "drying", "stays", "went", "got", "gets",
    "can", "could", "cooking", "soaking", "sitting", "bubbling", "still", "too", "tiene", "puede", "se", "ocupa",
    "va", "anda", "le", "la", "todavia", "next", "wet", "going", "ok", "fine", "untouched", "mojada", "despues", "aun",
    "queda", "falta", "reposando", "pendiente", "ta", "andan", "seguimos",
}  # fmt: skip
OF_MANY = {"are", "were", "arent", "werent", "read", "have", "look", "need", "siguen", "estan", "quedaron", "necesitan"}
WE = {"i", "we", "they", "he", "she", "yo", "ya", "nosotros"}  # "brightener on A, and B we started at 9"
TOLD = ("did", "ing", "e", "o")
# What may stand before a list that opens its statement.
OPENERS = SECTION | {
    "the", "la", "las", "el", "los", "ok", "okay", "so", "well", "now", "just", "ya", "also", "both", "all", "when",
    "till", "til", "until", "once", "if", "is", "are", "was", "were", "did", "has", "have", "does", "how", "long",
    "before", "after", "cuando", "hasta", "si", "como", "esta", "estan", "boss", "jefe", "hey", "yo", "yes", "yeah",
    "no", "nope", "finally", "hola", "bueno", "pues", "today", "hoy", "already", "then", "luego", "sir", "entonces",
    "oye", "either", "neither",
}  # fmt: skip
BREAKS = {"that", "que", "and", "y", "but", "pero", "while", "mientras", "because", "porque", "e", "n", "&"}
PAIRS = (("to", "go"), ("no", "se"), ("no", "quiere"), ("no", "sale"), ("no", "suelta"))
READ_OFF = {"at", "around", "about", "reading", "en", "como"}


def unlisted(marks: list[Mark], tokens: list[Token]) -> list[Mark]:
    """ "oil going on A, B read 13": the last of the list begins the next statement."""
    out: list[Mark] = []
    for i, mark in enumerate(marks):
        if mark.kind != "sec" or "cut" not in mark.attrs:
            out.append(mark)
            continue
        before, after = marks[:i], marks[i + 1] if i + 1 < len(marks) else None
        told = any(parts.is_predicate(m) and m.form in TOLD for m in before)
        if _begins_anew(mark, tokens, told) or _verb_behind(mark, after, before, tokens):
            out += parted(mark, first=word_at(tokens, mark.end) in OF_MANY)
        else:
            out.append(mark)
    return out


def _opens(tokens: list[Token], at: int) -> bool:
    """Whether nothing was said before the list in its statement."""
    for token in reversed(tokens[:at]):
        if token.kind == "sign" or token.word in BREAKS:
            return True
        if token.word not in OPENERS:
            return False
    return True


def _begins_anew(mark: Mark, tokens: list[Token], told: bool) -> bool:
    """ "rinsed A and B is covered", "the hose is on A and B is rinsed": of B alone."""
    at = mark.end + (word_at(tokens, mark.end) in ("ya", "todavia", "aun", "just", "still", "now", "ahora", "ahorita"))
    verb, after = word_at(tokens, at), tokens[at + 1] if at + 1 < len(tokens) else None
    if verb in WE and after is not None and after.word.endswith(("ed", "amos", "imos", "ing")):
        return True
    many = len(mark.value) > 2 or (len(mark.value[-1]) > 2 and mark.value[-1].endswith("s"))
    figure = after is not None and (after.kind == "num" or after.word in READ_OFF)
    if told:
        if "comma" in mark.attrs and verb == "" and word_at(tokens, at - 1) in ("now", "ahora", "ahorita") and at > mark.end:
            return True  # "rinsed A, B now"
        lasts = verb in OF_ONE and not (verb in ("too", "la", "le", "se") and (after is None or after.kind == "sign"))
        pair = (verb, after.word if after is not None else "")
        return lasts or pair in PAIRS or (verb in OF_MANY and many)
    return verb in OF_ONE and not figure and not _opens(tokens, mark.start)


def _verb_behind(mark: Mark, after: Mark | None, before: list[Mark], tokens: list[Token]) -> bool:
    """ "misted A and B rinsed", "stripper on A, B rinsed": each verb has the section beside it."""
    if word_at(tokens, mark.end) in (".", "!", "?", ";", "\n"):
        return False  # "rinsed A and B. rinsed C"
    if after is None or after.start - mark.end > 1 or not (parts.is_predicate(after) or "mood" in after.attrs):
        return False
    if "comma" in mark.attrs:
        said = any(parts.is_predicate(m) or m.kind in ("num", "pct") for m in before) or "linked" in mark.attrs
        behind = after.form in ("did", "e", "do", "word", "o", "ing")
        return behind and (said or (after.form in ("did", "ing") and not _opens(tokens, mark.start)))
    verbs = [m for m in before if parts.is_predicate(m) and m.form in ("did", "ing", "e")]
    own = after.form in ("did", "ing") and not after.keys.isdisjoint(parts.HAND_WORK)
    other = any(not m.keys.isdisjoint(parts.HAND_WORK | {"apply"}) for m in verbs)
    return own and (other or any("product" in m.keys for m in before)) and not _opens(tokens, mark.start)
