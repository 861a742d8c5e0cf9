"""A piece of a section, or nearly all of it, is not the section: "two boards on B", "B left side", "2 of 3"."""

from __future__ import annotations

from itertools import pairwise

from bot.understand.clauses import Clause
from bot.understand.marks import Mark, Token
from bot.understand.shares import ARTICLES

PIECES = {"board", "boards", "plank", "planks", "tread", "treads", "corner", "corners", "edge", "edges", "side", "top",
    "bottom", "spot", "spots", "patch", "patches", "piece", "pieces", "bit", "bits", "strip", "row", "rows", "end",
    "stretch", "chunk", "portion", "part", "parts", "middle", "front", "back", "ft", "feet", "foot", "yards", "meters",
    "metres", "swath", "tabla", "tablas", "tablon", "tablones", "esquina", "esquinas", "orilla", "orillas", "lado",
    "pedazo", "pedazos", "pedacito", "cacho", "cachito", "trozo", "trocito", "franja", "punta", "tira", "parte", "partes",
    "rincon", "fila", "hilera", "metros", "metro", "pies", "escalon", "escalones", "peldano", "peldanos", "mancha",
    "canto"}  # fmt: skip
SO_MUCH = {"little", "any", "much", "some", "third", "quarter", "most", "majority", "few", "tercio", "cuarto", "poco",
    "poquito"}  # fmt: skip
ALL_OF_THEM = {"every", "all", "each", "both", "last", "rest", "remaining", "toda", "todas", "todo", "todos", "cada",
    "ambos", "ambas", "ultima", "ultimas", "ultimo", "ultimos", "to", "hasta", "and", "y", "with", "con", "including",
    "from", "plus", "other", "otra", "otro", "these", "by", "up", "a", "por", "per"}  # fmt: skip
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
    if not places and _some_section(tokens, clause):
        return True
    if any(_so_many_of(tokens, i, clause.end) for i in range(clause.start, clause.end - 2)):
        return True
    return any(_piece(tokens, clause, i, places, done) for i in range(clause.start, clause.end)
        if i not in inside and tokens[i].word in PIECES | SO_MUCH | {"left", "right"})  # fmt: skip


ONE_OF = {"that", "this", "last", "other", "the", "first", "next", "esa", "esta", "otra", "ultima", "each", "every", "all",
    "both", "todas", "las", "la", "our", "these", "those"}  # fmt: skip
SOME = {"half", "most", "some", "few", "several", "algunas", "varias", "mitad"}


def _some_section(tokens: list[Token], clause: Clause) -> bool:
    """ "rinsed one", "two sections rinsed", "most are rinsed": which of them is not told."""
    if tokens[clause.start].word in SOME:
        return True
    for at in range(clause.start, clause.end):
        before = tokens[at - 1].word if at > clause.start else ""
        after = tokens[at + 1].word if at + 1 < clause.end else ""
        counted = tokens[at].kind == "num" or tokens[at].word in ("one", "una", "uno", "couple")
        if counted and before not in ONE_OF and (after in ("section", "sections", "seccion", "secciones")
            or (tokens[at].word == "one" and after in ("", "is", "got", "rinsed", "covered", "misted"))):
            return True
    return False


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
    if tokens[at].word in SO_MUCH:
        return _of_section(tokens, at, places)
    across = [t.word for t in tokens[at + 1 : at + 3]]
    if len(across) == 2 and across[0] in ("to", "a", "and", "y") and across[1] in PIECES:
        return False  # "de punta a punta", "bottom to top"
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


MORE_OR_LESS = {"kinda", "sorta", "practically", "virtually", "near", "bout", "about", "barely", "part", "thirds",
    "third", "quarters", "quarter", "tercios", "cuartos", "practicamente", "masomenos", "basically", "much", "un",
    "fourths"}  # fmt: skip


def roughly(tokens: list[Token], done: list[Mark]) -> bool:
    """ "B kinda rinsed", "la B practicamente enjuagada", "B un rinsed": not, or not quite."""
    end = [t.word for t in tokens[done[-1].end :]][-2:]
    if end[-1:] in (["kinda"], ["sorta"]) or end in (["kind", "of"], ["sort", "of"]):
        return True  # "B rinsed, sorta"
    told = any(m.start and tokens[m.start - 1].word in MORE_OR_LESS for m in done)
    return told or any(a.word in ("mas", "more") and b.word in ("menos", "less") for a, b in pairwise(tokens))
