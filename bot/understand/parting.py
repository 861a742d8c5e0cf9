"""Parts a message into clauses, each with what was found in it."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, takewhile

from bot.understand.clauses import Clause, helps, is_predicate
from bot.understand.corrections import stated
from bot.understand.gluing import glued, lists
from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token
from bot.understand.shares import left_out

HARD = {".", "!", "?", ";", "\n", "…", "¡", "¿"}
SOFT = {",", "and", "y", "n", "&", "then", "but", "pero", "also", "tambien", "luego", "so", "e", "entonces", "-",
    "–", "—",
        "plus", "ademas", "asi", ":", "aparte", "(", ")", "btw", "while", "mientras", "/", "+"}  # fmt: skip
LISTED = ("num", "pct")


def part(tokens: list[Token], marks: list[Mark], lexicon: Lexicon) -> list[Clause]:
    """The clauses of a message in order."""
    marks = left_out(tokens, marks)
    inside = {i for m in marks for i in range(m.start, m.end)}
    numbers = {m.end: m for m in marks if m.kind in LISTED}
    begins = {m.start: m for m in marks if m.kind in LISTED}
    cutters = {m.start for m in marks if "cuts" in m.keys} | _lines(marks)
    notes = {m.start for m in marks if "note_word" in m.keys and m.end < len(tokens) and tokens[m.end].word == ":"}
    cutters |= notes
    clauses: list[Clause] = []
    start = sentence = 0
    joined = ""
    for i in [*range(len(tokens)), None]:
        word = tokens[i].word if i is not None else ""
        hard = word in HARD
        if i in cutters and i is not None and i > start:
            clauses.append(Clause(start, i, [m for m in marks if start <= m.start < i], sentence, joined))
            start, joined = i, "cut"
            continue
        if i in notes and i == start and clauses:
            joined = "cut"  # "5 lb of oxalic, and note: the lid is cracked"
        if i is not None and (i in inside or not (hard or word in SOFT)):
            continue
        if i in numbers and i is not None and i + 1 in begins and (not hard or word == ";"):
            continue  # a list of readings is one
        end = len(tokens) if i is None else i
        if end > start:
            clauses.append(Clause(start, end, [m for m in marks if start <= m.start < end], sentence, joined))
            joined = word
        elif hard or not joined:
            joined = word
        sentence += hard
        start = end + 1
    return _listed(_split(glued(clauses, tokens, lexicon), tokens), tokens)


def _listed(clauses: list[Clause], tokens: list[Token]) -> list[Clause]:
    """ "acabamos de tapar las ventanas y de mojar las matas": the second infinitive is done as well."""
    for last, clause in pairwise(clauses):
        if lists(last, clause, tokens):
            over = next(m for m in last.marks if "just_did" in m.keys)
            clause.marks.insert(0, replace(over, start=clause.start, end=clause.start))
    return clauses


def _lines(marks: list[Mark]) -> set[int]:
    """Where the lines of a log begin that has a clock in front of each: "9:00 start A 9:20 A covered"."""
    if not marks or marks[0].kind != "time" or marks[0].start:
        return set()
    return {m.start for m, after in pairwise(marks) if m.kind == "time" and m.start and after.kind != "time"}


def _split(clauses: list[Clause], tokens: list[Token]) -> list[Clause]:
    """Parts "B rinsed starting C": two statements, each with its own section, and no comma."""
    out: list[Clause] = []
    for clause in clauses:
        if pairs := _paired(clause):
            out += pairs
            continue
        rest = clause
        while (at := _seam(rest, tokens)) is not None:
            out.append(Clause(rest.start, at, [m for m in rest.marks if m.start < at], rest.sentence, rest.joined))
            rest = Clause(at, rest.end, [m for m in rest.marks if m.start >= at], rest.sentence, "~")
        out.append(rest)
    return out


def _paired(clause: Clause) -> list[Clause]:
    """ "covered A 9:00 B 9:10 C 9:20": each section has its own clock."""
    first = next((i for i, m in enumerate(clause.marks) if m.kind == "sec"), 0)
    heads, pairs = clause.marks[:first], clause.marks[first:]
    kinds = ["time" if "now" in m.keys else m.kind for m in pairs]
    if len(kinds) < 4 or kinds != ["sec", "time"] * (len(kinds) // 2) or not any(is_predicate(m) for m in heads):
        return []
    starts = [clause.start, *(m.start for m in pairs[2::2])]
    ends = [*starts[1:], clause.end]
    return [
        Clause(start, end, [*heads, *pairs[2 * i : 2 * i + 2]], clause.sentence, clause.joined)
        for i, (start, end) in enumerate(zip(starts, ends, strict=True))
    ]


def _object(mark: Mark) -> bool:
    """Whether a mark is what something is done to: a section, plants, windows."""
    return mark.kind == "sec" or not mark.keys.isdisjoint(("plants", "window"))


def _reads_off(marks: list[Mark]) -> bool:
    """Whether a reading is told here with its figure and its own section."""
    if marks[0].keys.isdisjoint(("ph", "moisture")):
        return False
    own = list(takewhile(lambda m: not is_predicate(m) or m.form not in ("did", "ing"), marks[1:]))
    return any(m.kind == "num" for m in own) and any(m.kind == "sec" for m in own)


IT = ("it", "them", "now", "ahora", "ahorita")


OVER = {"cover:did", "done:did", "step:did", "step:e"}


def _clocked(behind: list[Mark], verb: Mark) -> bool:
    """Whether the clock stands right behind a verb: "covered at 9:13", "enjuagada a las 9:20"."""
    return bool(behind) and behind[0].kind == "time" and behind[0].start - verb.end <= 3


def _seam(clause: Clause, tokens: list[Token]) -> int | None:
    """Where the second statement of a clause begins, if it holds two with a section each."""
    section = verb = clock = None
    marks = clause.marks
    for i, mark in enumerate(marks):
        firm = is_predicate(mark) and (mark.form in ("did", "ing", "e") or "result" in mark.keys)
        last = marks[i - 1] if i else None
        if firm and last is not None and "step" in mark.keys and mark.start - last.end <= 1 and helps(last):
            continue  # "ya esta enjuagada" is one statement
        if section is not None and verb is not None and (firm or mark.kind == "sec"):
            ahead = marks[i:]
            it = mark.form == "ing" and "step" in mark.keys and mark.end < clause.end and tokens[mark.end].word in IT
            if it and "result" in verb.keys:
                return mark.start  # "B is coming off rinsing it now"
            if any(_object(m) for m in ahead) and any(is_predicate(m) and (m.form in ("did", "ing", "e") or
                "result" in m.keys) for m in ahead):
                return mark.start
        ordered = "give:do" in mark.keys and any("product" in m.keys for m in marks[i:])
        if section is not None and verb is not None and ordered and any(m.kind == "vol" for m in marks[i:]):
            return mark.start  # "misted D give me 3 gal of stripper"
        if section is not None and verb is not None and mark.start > verb.end and stated(tokens, mark):
            return mark.start  # "rinsed B at 9:15 C is still wet"
        if section is not None and verb is not None and _reads_off(marks[i:]):
            return mark.start  # "final rinse done on C and the stairs the ph strip says about seven on both"
        if firm and clock is not None and not mark.keys.isdisjoint(OVER) and _clocked(marks[i + 1 :], mark):
            return mark.start  # "started A at 9:05 covered at 9:13"
        worked = verb is not None or any("product" in m.keys for m in marks[:i])
        clock = mark if mark.kind == "time" and worked else clock
        section = mark if _object(mark) else section
        verb = mark if firm and "have" not in mark.keys else verb  # "got B covered" is one statement
    return None
