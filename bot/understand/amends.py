"""What looks like a correction and is none: "no C later", "no stairs today", "take that back to the shop"."""

from __future__ import annotations

from dataclasses import replace

from bot.understand.clauses import Clause, class_of
from bot.understand.marks import Mark, Token

AMENDS = {"amend_word", "amend_weak"}
VALUES = {"sec", "vol", "mass", "dur", "time", "len"}
DENIED = {"no", "not", "nope", "nah"}
OTHERWISE = {"later", "next", "is", "isnt", "are", "aint", "after", "got", "come", "comes", "goes", "today",
    "tomorrow", "va", "esta", "despues", "luego", "sigue", "buckets", "bucket", "here", "lunch", "break", "dinner",
    "lonche", "comida", "almuerzo", "paint", "pintura", "hoy", "viene", "tambien"}  # fmt: skip
RELATIVE = {"that", "which", "que", "who"}
OF_US = {"am", "im", "voy", "estoy", "vamos", "estamos", "andamos", "ando", "fluid"}
ARTICLES = {"la", "el", "las", "los", "the", "section", "seccion", "at", "a", "eran", "era", "it", "was"}
TAKES = {"quita", "quite", "quiten", "saca", "saque", "take", "remove"}
PLACED = {"on", "in", "for", "to", "of", "with", "actually", "really", "supposed", "be", "meant", "just", ",",
    "about", "like"}  # fmt: skip
IT = {"eso", "esto", "that", "it", "this", "esa", "ese"}
AWAY = {"to", "from", "de", "del", "off"}
RECORD = {"list", "log", "timeline", "record", "lista", "registro", "bitacora", "history", "historial", "mensaje",
    "message"}  # fmt: skip


def keep_true(tokens: list[Token], clause: Clause) -> None:
    """Takes out the words of correcting and undoing where nothing is put right, and of two values the one denied."""
    fixes = [m for m in clause.marks if not m.keys.isdisjoint(AMENDS)]
    if fixes and any(m.kind in VALUES and m.start >= fixes[0].end for m in clause.marks):
        _called_back(tokens, clause, fixes[0])
    undoes = [m for m in clause.marks if "undo_word" in m.keys or tokens[m.start].word in TAKES]
    if fixes and "amend_entry" not in clause.keys:
        values = [m for m in clause.marks if m.kind in VALUES or "product" in m.keys]
        if values and _denied_first(tokens, clause, fixes[0]):
            clause.seal()
        elif values and _says_else(tokens, clause, fixes, values):
            _strip(clause, fixes, ("amend",))
    if undoes and _carried_off(tokens, clause, undoes[-1]):
        _strip(clause, undoes, ("undo_word", "take_off"))


def _called_back(tokens: list[Token], clause: Clause, fix: Mark) -> None:
    """ "wait make that 6 gallons", "scratch that I meant G": what only calls back before what is put right."""
    lost = [m for m in clause.marks if not m.keys.isdisjoint(("wait", "undo_word")) and m.end <= fix.start
        and all(t.kind == "sign" or t.word in ("i", "no", "and") for t in tokens[m.end : fix.start])]  # fmt: skip
    if lost:
        weak = frozenset(("amend_weak",))
        clause.marks = [replace(m, keys=weak) if any(m is x for x in lost) else m for m in clause.marks]
        clause.seal()


def _strip(clause: Clause, marks: list[Mark], lost: tuple[str, ...]) -> None:
    """The clause without what these marks say of putting right."""
    clause.marks = [
        replace(m, keys=frozenset(k for k in m.keys if not k.startswith(lost))) if any(m is x for x in marks) else m
        for m in clause.marks
    ]
    clause.seal()


def _denied_first(tokens: list[Token], clause: Clause, fix: Mark) -> bool:
    """ "not 5 gal, 4": of two values behind a denial the second is right; takes the first out."""
    if fix.start != clause.start or tokens[fix.start].word not in ("no", "not") or tokens[fix.end].word == ",":
        return False
    figures = [m for m in clause.marks if m.kind in ("vol", "mass", "dur", "time", "num")]
    if len(figures) != 2 or figures[0].kind == "num" or any(m.kind == "sec" for m in clause.marks):
        return False
    first, second = figures
    parted = any(t.word == "," for t in tokens[first.end : second.start])
    if not parted or class_of(first) != class_of(second):
        return False
    right = replace(second, kind=first.kind, value=(second.value, first.value[1])) if second.kind == "num" else second
    clause.marks = [right if m is second else m for m in clause.marks if m is not first]
    return True


def _says_else(tokens: list[Token], clause: Clause, fixes: list[Mark], values: list[Mark]) -> bool:
    """Whether more is said of the value than that it is the right one, or the value is denied or wanting itself."""
    first, last = values[0], values[-1]
    behind = [t.word for t in tokens[first.end : clause.end]]
    ahead = {t.word for t in tokens[clause.start : first.start]}
    if not OTHERWISE.isdisjoint(behind) or not OF_US.isdisjoint(ahead):
        return True
    if last.end + 1 < clause.end and tokens[last.end].word in RELATIVE | ARTICLES and RELATIVE & set(behind):
        return True
    at = first.start - 1
    while at > clause.start and tokens[at].word in ARTICLES:
        at -= 1
    mended = any(t.word == "~" for t in tokens[first.end : clause.end])  # "not B i meant E"
    if at >= clause.start and tokens[at].word == "not" and len(values) == 1 and not mended:
        return True  # "no, not C": denied
    fix = fixes[0]
    if tokens[fix.start].word in IT and tokens[fix.end - 1].word == "was":
        between = {t.word for t in tokens[fix.end : first.start]}
        if not between <= ARTICLES | PLACED:
            return True  # "it was hot on B"
    word, after = tokens[fixes[0].start].word, tokens[fixes[0].end].word if fixes[0].end < len(tokens) else ""
    if fixes[0].start != clause.start or word not in DENIED or after == ",":
        return False
    if word == "no" and after in ("more", "mas"):
        return True
    straight = all(t.word in ARTICLES | {"not"} for t in tokens[fixes[0].end : first.start])
    if not straight or any(m.kind in VALUES and m.kind != "sec" for m in values):
        return straight and word == "no" and "more" in behind
    named = first.kind != "sec" or any(len(name) > 2 for name in first.value)
    return word == "no" and named and fixes[0].end == first.start  # "no stairs": there are none


def _carried_off(tokens: list[Token], clause: Clause, mark: Mark) -> bool:
    """ "take that back to the shop", "quita eso de ahi": a thing, no entry."""
    behind = [t.word for t in tokens[mark.end : clause.end]]
    behind = behind[1:] if behind[:1] and behind[0] in IT else behind
    return len(behind) > 1 and behind[0] in AWAY and RECORD.isdisjoint(behind)
