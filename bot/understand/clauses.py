"""Parts a message into clauses, each with what was found in it and its mood."""

from __future__ import annotations

from dataclasses import dataclass, field

from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token

HARD = {".", "!", "?", ";", "\n", "…", "¡", "¿"}
SOFT = {",", "and", "y", "n", "&", "then", "but", "pero", "also", "tambien", "luego", "so", "e", "entonces", "-", "–", "—",
        "plus", "ademas", "asi", ":", "aparte", "(", ")", "btw", "while", "mientras", "/", "+"}  # fmt: skip
VALUES = {"temp", "pct", "speed", "dim", "rate", "cover", "area"}
CORRECTIONS = (
    "no wait", "no sorry", "sorry no", "wait no", "i mean", "i meant", "no perdon", "perdon", "digo", "no digo", "mejor dicho",
    "quise decir", "scratch that", "make that", "correction", "actually", "oops", "wait", "sorry", "no", "nah", "or rather", "er no",
    "make it", "mas bien", "me equivoque", "no no", "quiero decir", "i meant to say", "uh no", "nope", "rather", "oh wait", "perdon no",
)  # fmt: skip
FIXES = tuple(sorted((tuple(c.split()) for c in CORRECTIONS), key=len, reverse=True))
WEAK = {("no",), ("wait",), ("sorry",), ("actually",), ("nah",), ("rather",), ("nope",), ("make", "it")}
SHARED = {"at", "told"}


@dataclass
class Clause:
    """One clause: its tokens, marks, the keys of its marks, its moods and how it is joined to the one before."""

    start: int
    end: int
    marks: list[Mark]
    sentence: int = 0
    joined: str = ""
    moods: set[str] = field(default_factory=set)
    keys: set[str] = field(default_factory=set)
    used: set[int] = field(default_factory=set)

    def seal(self) -> None:
        """Gathers the keys that rules look for."""
        self.keys = {key for mark in self.marks for key in mark.keys}
        self.keys |= {f"@{mark.kind}" for mark in self.marks}


def corrected(tokens: list[Token], marks: list[Mark]) -> list[Mark]:
    """Drops what the crew took back: of "3 no 4 gal" the 3, of "B no sorry C" the B."""
    out = list(marks)
    for at in range(1, len(tokens)):
        words = next((f for f in FIXES if tuple(t.word for t in tokens[at : at + len(f)]) == f), None)
        if words is None:
            continue
        end = at + len(words)
        while end < len(tokens) and tokens[end].word in (",", "-", "its", "it", "is", "was", "es", "la", "era", "en", "the", "on", "that", "to", "."):
            end += 1
        after = next((m for m in out if m.start == end), None)
        before = _taken_back(out, after, at, words in WEAK) if after else None
        if before is not None and after is not None:
            out.remove(before)
            out = [m for m in out if not (at <= m.start < end and m is not after)]
            for token in tokens[at:end]:
                token.kind, token.word = ("sign", "~")
    return out


def _class(mark: Mark) -> str:
    if mark.kind in ("num", "vol", "mass", "dur", "len"):
        return "amount"
    if mark.kind == "word":
        return "step" if "step" in mark.attrs else next((k for k in ("product", "strength", "result") if k in mark.attrs), mark.value)
    return mark.kind


def _taken_back(marks: list[Mark], after: Mark, at: int, weak: bool) -> Mark | None:
    """The mark before a correction that the one behind it puts right; a weak word must stand right between."""
    earlier = [m for m in marks if m.end <= at and _class(m) == _class(after)]
    if not earlier:
        return None
    gap = at - earlier[-1].end
    return earlier[-1] if gap <= (1 if weak else 4) else None


def part(tokens: list[Token], marks: list[Mark]) -> list[Clause]:
    """The clauses of a message in order."""
    inside = {i for m in marks for i in range(m.start, m.end)}
    cuts: list[tuple[int, str, int]] = []  # index, how joined, sentence
    sentence = 0
    for i, token in enumerate(tokens):
        if i in inside:
            continue
        if token.word in HARD and not (token.word == "." and token.glued and i + 1 < len(tokens) and tokens[i + 1].glued):
            sentence += 1
            cuts.append((i, token.word, sentence))
        elif token.word in SOFT:
            cuts.append((i, token.word, sentence))
    clauses: list[Clause] = []
    start, joined, number = 0, "", 0
    for i, how, following in [*cuts, (len(tokens), "", sentence)]:
        if i > start:
            clauses.append(Clause(start, i, [m for m in marks if start <= m.start < i], number, joined))
            joined = how
        elif how in HARD or not joined:
            joined = how
        start, number = i + 1, following
    return _split(_glued([c for c in clauses if c.end > c.start]))


def is_predicate(mark: Mark) -> bool:
    """Whether a mark can make a statement: a verb, a step, a result or another word that rules ask for."""
    return mark.kind == "word" and "predicate" in mark.keys


def _says(clause: Clause) -> bool:
    return any(is_predicate(m) for m in clause.marks) or any(m.kind in VALUES for m in clause.marks)


def _glued(clauses: list[Clause]) -> list[Clause]:
    """Puts a piece that says nothing by itself to the clause before it (or after, where it leads)."""
    out: list[Clause] = []
    for clause in clauses:
        last = out[-1] if out else None
        whole = last is not None and last.sentence == clause.sentence
        if last is not None and whole and (not _says(clause) or not _says(last)):
            out[-1] = Clause(last.start, clause.end, last.marks + clause.marks, clause.sentence, last.joined)
        else:
            out.append(clause)
    return out


def _split(clauses: list[Clause]) -> list[Clause]:
    """Parts "B rinsed starting C": two statements, each with its own section, and no comma."""
    out: list[Clause] = []
    for clause in clauses:
        rest = clause
        while (at := _seam(rest)) is not None:
            out.append(Clause(rest.start, at, [m for m in rest.marks if m.start < at], rest.sentence, rest.joined))
            rest = Clause(at, rest.end, [m for m in rest.marks if m.start >= at], rest.sentence, "~")
        out.append(rest)
    return out


def _seam(clause: Clause) -> int | None:
    """Where the second statement of a clause begins, if it holds two with a section each."""
    section = verb = None
    marks = clause.marks
    for i, mark in enumerate(marks):
        firm = is_predicate(mark) and mark.form in ("did", "ing", "e")
        if section is not None and verb is not None and (firm or mark.kind == "sec"):
            ahead = marks[i:]
            if any(m.kind == "sec" for m in ahead) and any(is_predicate(m) and m.form in ("did", "ing", "e") for m in ahead):
                return mark.start
        section = mark if mark.kind == "sec" else section
        verb = mark if firm else verb
    return None


def moods(tokens: list[Token], clauses: list[Clause], lexicon: Lexicon) -> None:
    """Sets each clause's moods: asked, not, if, will, said (hearsay); a leading "if" governs its sentence."""
    governed: set[int] = set()
    asking: set[int] = set()
    for clause in clauses:
        clause.seal()
        keys = clause.keys
        clause.moods |= {name for name in ("not", "if", "will", "said", "price", "maybe") if f"mood={name}" in keys}
        if "now" in keys and "if" not in clause.moods:
            clause.moods.discard("will")
        if _opens_question(tokens, clause, lexicon) or clause.sentence in asking:
            clause.moods.add("asked")
            asking.add(clause.sentence)
        if "if" in clause.moods and "asked" not in clause.moods:
            governed.add(clause.sentence)
        if clause.sentence in governed and "if" not in clause.moods:
            clause.moods.add("if")
    _question_marks(tokens, clauses, asking)


def _question_marks(tokens: list[Token], clauses: list[Clause], asking: set[int]) -> None:
    """ "?" asks its whole sentence, unless one clause of it opens the question itself."""
    for clause in clauses:
        closing = next((t.word for t in tokens[clause.end :] if t.kind == "sign"), "")
        last = next((c for c in reversed(clauses) if c.sentence == clause.sentence), clause)
        ends = tokens[last.end].word if last.end < len(tokens) else ""
        opened = any("asked" in c.moods for c in clauses if c.sentence == clause.sentence)
        if ends == "?" and not (opened and clause.sentence in asking) and closing:
            clause.moods.add("asked")
        if "asked" in clause.moods:
            clause.moods.discard("if")


def _opens_question(tokens: list[Token], clause: Clause, lexicon: Lexicon) -> bool:
    """Whether the clause begins like a question, polite requests aside."""
    for mark in clause.marks:
        if mark.kind == "word" and "mood=please" in mark.keys:
            continue
        if mark.kind == "word" and ("mood=asked" in mark.keys):
            lead = [t for t in tokens[clause.start : mark.start] if t.kind in ("word", "place")]
            return all(t.word in lexicon.fillers or t.word in ("pa", "a", "de", "so") for t in lead) or "anywhere" in mark.keys
    return False
