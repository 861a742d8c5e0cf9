"""A share told of the whole: a denial within the words of a look, something left out, a piece of a section."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

from bot.understand.clauses import Clause
from bot.understand.marks import Mark, Token

DENIALS = {
    "not",
    "no",
    "isnt",
    "arent",
    "wasnt",
    "werent",
    "aint",
    "nothing",
    "none",
    "nada",
    "wont",
    "nowt",
    "nuttin",
    "ni",
}
OTHERS = {"rest", "others", "other", "some", "otras", "otros", "otra", "resto", "demas", "ones"}
HELD_WORDS = DENIALS | OTHERS | {"all", "fully", "the", "is", "of", "it", "everywhere", "half", "lo", "la", "el", "las",
    "los", "todo", "toda", "todos", "todas", "del", "todavia", "but", "pero", "completely", "quite", "that", "thing", "a",
    "one", "bit", "entirely", "totally", "parejo", "everything"}  # fmt: skip
ARTICLES = {"the", "our", "la", "el", "las", "los", "my", "de", "del"}
WHOLE = {"all", "both", "every", "everything", "whole", "entire", "everythings", "todo", "toda", "todos", "todas", "ambas",
    "ambos", "entero", "entera", "completo", "completa"}  # fmt: skip
LEAVING_OUT = (("but",), ("bar",), ("save",), ("leaving",), ("outside", "of"), ("short", "of"), ("w", "/", "o"), ("without",),
    ("pero",), ("quitando",), ("fuera", "de"), ("sin",), ("just", "not"), ("only", "not"))  # fmt: skip
LEFT = {"left", "remaining", "remains", "missing", "go", "do", "falta", "faltan", "queda", "quedan", "pendiente",
    "pendientes", "next", "waiting", "sigue"}  # fmt: skip
SENTENCE = {".", "!", "?", ";", "\n", "…"}


def worked(mark: Mark) -> bool:
    """Whether a mark tells of a step, of covering or of misting, and not of how the finish lets go."""
    return "result" not in mark.keys and (
        "step" in mark.attrs or not mark.keys.isdisjoint(("cover:did", "mist:did"))
    )


def _plain_denial(tokens: list[Token], mark: Mark) -> bool:
    """Whether the words of a look say of no letting go: "not all", "the rest isnt", "nada"."""
    words = {t.word for t in tokens[mark.start : mark.end]}
    return "result" in mark.keys and bool(words & DENIALS) and words <= HELD_WORDS


def _denial(mark: Mark) -> Mark:
    return replace(
        mark, value="no", form="word", keys=frozenset(("no", "mood", "mood=not")), attrs={"mood": "not"}
    )


def denied(tokens: list[Token], clause: Clause) -> None:
    """ "not all of B is covered", "las otras no estan enjuagadas": no look at the finish, a step that is denied."""
    steps = [m for m in clause.marks if worked(m)]
    for mark in clause.marks:
        behind = next((m for m in steps if m.start >= mark.end), None)
        if behind is None or not _plain_denial(tokens, mark):
            continue
        between = [t.word for t in tokens[mark.end : behind.start]]
        if "," in between or any(
            "result" in m.keys for m in clause.marks if mark.end <= m.start < behind.start
        ):
            continue
        clause.marks = [_denial(m) if m is mark else m for m in clause.marks]
        clause.seal()
        clause.moods.add("not")
        return


def denied_behind(tokens: list[Token], clauses: list[Clause]) -> None:
    """ "rinsed B but not all", "la B enjuagada, no toda": what was told before is not so of all of it."""
    for at, clause in enumerate(clauses):
        last = clause.marks[-1] if clause.marks else None
        if last is None or not _plain_denial(tokens, last) or not _ends(tokens, clause, last):
            continue
        if OTHERS & {t.word for t in tokens[last.start : last.end]}:
            continue  # "A rinsed, the rest isnt": A is
        told = clause if any(worked(m) for m in clause.marks) else clauses[at - 1] if at else clause
        if any(worked(m) for m in told.marks) and all(
            "result" not in m.keys for m in told.marks if m is not last
        ):
            clause.marks = clause.marks[:-1]
            clause.seal()
            told.moods.add("maybe")


def _ends(tokens: list[Token], clause: Clause, mark: Mark) -> bool:
    return all(t.word in ("of", "it", "them", "yet", "todavia", "aun") for t in tokens[mark.end : clause.end])


def left_out(tokens: list[Token], marks: list[Mark]) -> list[Mark]:
    """Marks what leaves a section out of a whole told before it: "all rinsed but B", "todo enjuagado pero la B no"."""
    places = {m.start: m for m in marks if m.kind == "sec"}
    for at in range(1, len(tokens)):
        size = next((len(w) for w in LEAVING_OUT if tuple(t.word for t in tokens[at : at + len(w)]) == w), 0)
        if not size or not _whole_before(tokens, at, places.values()):
            continue
        start = at + size
        while start < len(tokens) and tokens[start].word in ARTICLES and start not in places:
            start += 1
        end = places[start].end if start in places else start + 1
        one = start < len(tokens) and (start in places or tokens[start].word in ("one", "una", "uno"))
        if one and _stops(tokens, end, marks):
            kept = [m for m in marks if m.end <= at or m.start >= at + size]
            out = Mark("word", "except", at, at + size, "word", frozenset(("except", "except:word")))
            return sorted([*kept, out], key=lambda m: m.start)
    return marks


def _stops(tokens: list[Token], at: int, marks: list[Mark]) -> bool:
    """Whether nothing is told of what is left out, or only that it is not."""
    if at >= len(tokens) or tokens[at].kind == "sign" or tokens[at].word in ("no", "not"):
        return True
    return any(m.start == at and worked(m) for m in marks)  # "whole deck but B rinsed"


def _whole_before(tokens: list[Token], at: int, places: Iterable[Mark]) -> bool:
    """Whether the sentence speaks of all there is before a place in it, and of no section by its name."""
    start = max((i + 1 for i in range(at) if tokens[i].word in SENTENCE), default=0)
    named = any(start <= m.start < at and not {"*", "+"} & set(m.value) for m in places)
    whole = not WHOLE.isdisjoint(t.word for t in tokens[start:at]) or any(
        start <= m.start < at for m in places
    )
    return whole and not named


def whole_left(tokens: list[Token], clauses: list[Clause]) -> None:
    """ "everything rinsed, B isnt", "all rinsed just B to go": a whole of which a section is still to do is not done."""
    places = [m for c in clauses for m in c.marks if m.kind == "sec"]
    for clause in clauses:
        verb = next((m for m in clause.marks if worked(m)), None)
        if verb is None or not _whole_before(tokens, _object_end(verb, places), places):
            continue
        later = [c for c in clauses if c.start >= clause.start and c.sentence <= clause.sentence + 1]
        for other in later:
            behind = any(m.kind == "sec" and m.start >= verb.end and m.value != ["*"] for m in other.marks)
            if behind and _still_to_do(tokens, other, max(other.start, verb.end)):
                clause.moods.add("maybe")


def _object_end(verb: Mark, places: list[Mark]) -> int:
    """Behind a verb, and behind the "everything" that it is said of."""
    return next((m.end for m in places if m.start == verb.end and m.value == ["*"]), verb.end)


def _still_to_do(tokens: list[Token], clause: Clause, start: int) -> bool:
    words = {t.word for t in tokens[start : clause.end]}
    looks = any("result" in m.keys or "incident" in m.keys for m in clause.marks)
    return not looks and (bool(words & LEFT) or ("not" in clause.moods and "problem" not in words))


PIECES = {"board", "boards", "plank", "planks", "tread", "treads", "corner", "corners", "edge", "edges", "side", "top",
    "bottom", "spot", "spots", "patch", "patches", "piece", "pieces", "bit", "bits", "strip", "row", "rows", "end", "stretch",
    "chunk", "portion", "part", "parts", "middle", "front", "back", "ft", "feet", "foot", "yards", "meters", "metres",
    "swath", "tabla", "tablas", "tablon", "tablones", "esquina", "esquinas", "orilla", "orillas", "lado", "pedazo", "pedazos",
    "pedacito", "cacho", "cachito", "trozo", "trocito", "franja", "punta", "tira", "parte", "partes", "rincon", "fila",
    "hilera", "metros", "metro", "pies", "escalon", "escalones", "peldano", "peldanos", "mancha", "canto"}  # fmt: skip
ALL_OF_THEM = {"every", "all", "each", "both", "last", "rest", "remaining", "toda", "todas", "todo", "todos", "cada", "ambos",
    "ambas", "ultima", "ultimas", "ultimo", "ultimos", "to", "hasta", "and", "y", "with", "con", "including", "from", "plus",
    "other", "otra", "otro", "these", "by", "up", "a", "por", "per"}  # fmt: skip
DETERMINED = {"the", "a", "an", "one", "two", "few", "couple", "some", "first", "left", "right", "far", "near", "just",
    "only", "un", "una", "la", "el", "las", "los", "unas", "unos", "solo", "nomas", "primera", "primer", "most", "inside",
    "outside", "front", "back", "north", "south", "east", "west", "top", "bottom", "other", "little", "small", "half",
    "izquierdo", "derecho", "tres", "dos", "three", "four", "test", "of"}  # fmt: skip
OF = {"of", "on", "at", "in", "de", "del", "en"}
SIDED = {"izquierdo", "derecho", "izquierda", "derecha", "norte", "sur", "trasera", "delantera"}
SIDES = {"side", "lado", "end", "edge", "edges", "corner", "half", "left", "right", "izquierda", "derecha"}


def in_piece(tokens: list[Token], clause: Clause, done: list[Mark]) -> bool:
    """ "rinsed two boards on B", "B left side covered", "la B enjuagada de un lado", "2 of 3": not the whole section."""
    if not clause.keys.isdisjoint(("@area", "@dim", "@cover")):
        return False  # "cubrimos 180 pies cuadrados": how fast, or how large
    done = [m for m in done if m.attrs.get("step") not in ("protect", "prewet")]
    if not done:
        return False  # "taped plastic on the back side"
    places = [m for m in clause.marks if m.kind == "sec"]
    inside = {i for m in places for i in range(m.start, m.end)} | {
        i for m in done for i in range(m.start, m.end)
    }
    if any(_so_many_of(tokens, i, clause.end) for i in range(clause.start, clause.end - 2)):
        return True
    return any(_piece(tokens, clause, i, places, done) for i in range(clause.start, clause.end)
        if i not in inside and tokens[i].word in PIECES | {"left", "right"})  # fmt: skip


def _so_many_of(tokens: list[Token], at: int, end: int) -> bool:
    """ "one of them", "2 of 3", "una de las dos"; "all 3 of them" and "3 of 3" are the whole."""
    first = tokens[at]
    if not (
        first.kind == "num" or first.word in ("one", "una", "uno", "some", "few", "couple", "dos")
    ) or tokens[at + 1].word not in ("of", "de", "out"):
        return False
    behind = at + 2 + (tokens[at + 1].word == "out" and tokens[at + 2].word == "of")
    if behind >= end or (at and tokens[at - 1].word in ALL_OF_THEM - {"a"}):
        return False
    after = tokens[behind]
    if after.kind == "num":
        return after.value != first.value
    return after.word in (
        "them",
        "em",
        "the",
        "those",
        "these",
        "las",
        "los",
        "ellas",
        "ellos",
        "our",
        "my",
    ) and (after.word not in ("the", "las", "los") or first.word != "some")


def _piece(tokens: list[Token], clause: Clause, at: int, places: list[Mark], done: list[Mark]) -> bool:
    """Whether a word for a piece is what the step was done to."""
    start = at
    while start > clause.start and (tokens[start - 1].word in DETERMINED or tokens[start - 1].kind == "num"):
        start -= 1
    lead = {t.word for t in tokens[start:at]}
    before = tokens[start - 1].word if start > clause.start else ""
    if before in ALL_OF_THEM or lead & (ALL_OF_THEM - {"a", "other"}) or tokens[at].word in ("left", "right"):
        return tokens[at].word in ("left", "right") and _on_a_side(tokens, clause, at)
    counted = bool(lead - {"the", "la", "el", "las", "los", "of"}) or tokens[at].word not in (
        "boards",
        "board",
        "planks",
        "tablas",
        "treads",
        "escalones",
        "feet",
        "ft",
    )
    own = _of_section(tokens, at, places)
    held = any(start - m.end in (0, 1) for m in done) and not any(
        m.start < start for m in places if m.start > done[0].start
    )
    sided = (
        any(m.end == start for m in places)
        and any(m.start - at <= 3 for m in done if m.start > at)
        and bool(lead)
    )
    ahead = own and (start == clause.start or before in OF | {"just", "only", "got", "solo", "nomas"} or held)
    return counted and (
        ahead or held or sided or (before in OF and tokens[at].word in SIDES and at + 1 == clause.end)
    )


def _of_section(tokens: list[Token], at: int, places: list[Mark]) -> bool:
    """ "the corner of B", "el lado izquierdo de la B"."""
    starts = {m.start for m in places}
    behind = at + 1 + (at + 1 < len(tokens) and tokens[at + 1].word in SIDED)
    if behind >= len(tokens) or tokens[behind].word not in OF:
        return False
    return behind + 1 in starts or (behind + 2 in starts and tokens[behind + 1].word in ARTICLES)


def _on_a_side(tokens: list[Token], clause: Clause, at: int) -> bool:
    """ "B rinsed on the left"."""
    words = [t.word for t in tokens[max(clause.start, at - 2) : at]]
    return at + 1 == clause.end and words in (["on", "the"], ["to", "the"])


MORE_OR_LESS = {"kinda", "sorta", "practically", "virtually", "near", "bout", "about", "barely", "part", "thirds", "third",
    "quarters", "quarter", "tercios", "cuartos", "practicamente", "masomenos", "basically", "much",
    "un", "fourths"}  # fmt: skip


def roughly(tokens: list[Token], done: list[Mark]) -> bool:
    """ "B kinda rinsed", "la B practicamente enjuagada", "B un rinsed": not, or not quite."""
    pairs = {(a.word, b.word) for a, b in pairwise(tokens)}
    told = any(m.start and tokens[m.start - 1].word in MORE_OR_LESS for m in done)
    return told or not pairs.isdisjoint((("mas", "menos"), ("more", "less")))
