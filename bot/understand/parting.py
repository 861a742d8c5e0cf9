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
    cutters |= _names_anew(tokens, marks)
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


def _names_anew(tokens: list[Token], marks: list[Mark]) -> set[int]:
    """Where a name with no sign before it begins its own statement: "rinsed B C still wet"."""
    return {
        two.start
        for one, two in pairwise(m for m in marks if "now" not in m.keys)
        if one.kind == two.kind == "sec" and ("anew" in two.attrs or _now_there(tokens, marks, one, two))
        and all(t.word in ("la", "las", "el", "the", *NOW) for t in tokens[one.end : two.start])
    }  # fmt: skip


NOW = ("now", "ahora", "ahorita")


def _now_there(tokens: list[Token], marks: list[Mark], one: Mark, two: Mark) -> bool:
    """ "rinsed A now B": what is done, then where they are now."""
    told = any(m.form == "did" and m.end <= one.start for m in marks)
    return told and any(t.word in NOW for t in tokens[one.end : two.start])


def _lines(marks: list[Mark]) -> set[int]:
    """Where the lines of a log begin that has a clock in front of each: "9:00 start A 9:20 A covered"."""
    if not marks or marks[0].kind != "time" or marks[0].start:
        return set()
    return {m.start for m, after in pairwise(marks) if m.kind == "time" and m.start and after.kind != "time"}


def _split(clauses: list[Clause], tokens: list[Token]) -> list[Clause]:
    """Parts "B rinsed starting C": two statements, each with its own section, and no comma."""
    out: list[Clause] = []
    for clause in clauses:
        if pairs := _paired(clause) or _zipped(clause):
            out += pairs
            continue
        rest = clause
        while (at := _seam(rest, tokens)) is not None:
            out.append(Clause(rest.start, at, [m for m in rest.marks if m.start < at], rest.sentence, rest.joined))
            rest = Clause(at, rest.end, [m for m in rest.marks if m.start >= at], rest.sentence, "~")
        out.append(rest)
    return out


def _paired(clause: Clause) -> list[Clause]:
    """ "covered A 9:00 B 9:10 C 9:20": each section has its own clock; what stands behind them is of the last."""
    first = next((i for i, m in enumerate(clause.marks) if m.kind == "sec"), 0)
    heads, pairs = clause.marks[:first], clause.marks[first:]
    kinds = ["time" if "now" in m.keys else m.kind for m in pairs]
    many = 0
    while kinds[2 * many : 2 * many + 2] == ["sec", "time"]:
        many += 1
    pairs, rest = pairs[: 2 * many], pairs[2 * many :]
    if not any(is_predicate(m) and m.form in TOLD for m in heads):
        heads, rest = ([*heads, *rest], []) if all(m.kind == "word" for m in rest) else (heads, rest)
    odd = rest and (rest[0].kind not in ("sec", "word") or any(is_predicate(m) for m in rest))
    if many < 2 or odd or not any(is_predicate(m) for m in heads):
        return []
    starts = [clause.start, *(m.start for m in pairs[2::2]), *(m.start for m in rest[:1] if m.kind == "sec")]
    ends = [*starts[1:], clause.end]
    own = [*(pairs[2 * i : 2 * i + 2] for i in range(many)), rest]
    tail = [] if len(starts) > many else rest
    shown = [[*heads, *marks, *(tail if i == many - 1 else [])] for i, marks in enumerate(own[:many])]
    shown += [rest] if len(starts) > many else []
    return [
        Clause(start, end, marks, clause.sentence, clause.joined)
        for start, end, marks in zip(starts, ends, shown, strict=True)
    ]


TOLD = ("did", "ing", "e", "o")


def _zipped(clause: Clause) -> list[Clause]:
    """ "rinsed B and C at 9:30 and 9:40": as many clocks as names, in their order."""
    places = [m for m in clause.marks if m.kind == "sec"]
    clocks = [m for m in clause.marks if m.kind == "time"]
    heads = [m for m in clause.marks if m.kind not in ("sec", "time")]
    if len(places) != 1 or len(clocks) < 2 or len(clocks) != len(places[0].value) or not any(is_predicate(m) for m in heads):
        return []
    if any(clocks[0].end <= m.start < clocks[-1].start for m in [*heads, *places]):
        return []
    return [
        Clause(clause.start, clause.end, sorted([*heads, replace(places[0], value=[name]), clock], key=lambda m: m.start),
            clause.sentence, clause.joined)
        for name, clock in zip(places[0].value, clocks, strict=True)
    ]  # fmt: skip


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


def _next_line(marks: list[Mark], at: int) -> bool:
    """Whether a section stands between two clocks: the second is its own."""
    return 0 < at < len(marks) - 1 and [m.kind for m in marks[at - 1 : at + 2]] == ["time", "sec", "time"]


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
        own = section is None and clause.joined == "~" and _next_line(marks, i)  # "..., rinsed 9:25 C on 9:30"
        if verb is not None and (own or (section is not None and mark.start > verb.end and stated(tokens, mark))):
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
