"""A short answer to a question: "5 gal", "the stairs", "brightener", "16 17" fill what an act still misses."""

from __future__ import annotations

import re
from datetime import datetime
from typing import Any

from bot.acts import Act
from bot.understand import weather
from bot.understand.clauses import Clause, is_predicate
from bot.understand.finding import marked
from bot.understand.frames import FILLERS
from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token
from bot.understand.slots import Scene, number

ASKS = re.compile(
    r"[¿\s]*(is|are|can|could|do|does|did|should|what|how|when|why|where|which|who|es|son|puedo|podemos|como|cómo"
    r"|cuando|cuándo|que|qué|por que|cual|cuál|donde|quien)\b",
    re.IGNORECASE,
)
FIGURES = ("num", "pct", "vol", "mass", "temp", "dim", "area", "ratio", "rate", "speed")
LONGEST = 80  # letters: a longer message is no short answer
WORDS = ("name", "text", "reason", "place")
BESIDE = {
    "the", "on", "of", "in", "at", "for", "and", "both", "all", "only", "just", "section", "sections", "whole", "it",
    "its", "is", "was", "that", "thats", "one", "ones", "i", "mean", "meant", "im", "think", "guess", "yes", "yep",
    "yeah", "si", "sure", "sorry", "please", "pls", "man", "boss", "done", "with", "each", "every", "everything", "la",
    "el", "las", "los", "lo", "en", "de", "del", "y", "e", "ambas", "ambos", "dos", "toda", "todas", "todo", "solo",
    "nomas", "seccion", "secciones", "es", "era", "fue", "son", "fueron", "porfa", "jefe", "digo", "creo", "que", "con",
    "lista", "listo", "ya",
}  # fmt: skip
LATER = {
    "no", "not", "nope", "nah", "isnt", "wasnt", "didnt", "havent", "hasnt", "arent", "never", "yet", "still", "next",
    "later", "soon", "tomorrow", "tonight", "when", "if", "until", "before", "todavia", "aun", "nunca", "luego",
    "despues", "mañana", "manana", "cuando", "falta", "sigue", "siguen", "hasta", "antes",
}  # fmt: skip
BARE = ("minutes", "value", "count", "seconds", "year_built")  # a number alone says these, never a quantity


def fill(
    act: Act,
    text: str,
    lexicon: Lexicon,
    now: datetime,
    *,
    metric: bool = False,
    products: tuple[str, ...] = (),
    known_sections: tuple[str, ...] = (),
    people: tuple[str, ...] = (),
) -> Act | None:
    """The act with its missing slots filled from a short answer, or None where the answer holds none of them."""
    said = text.strip()
    if not act.missing or not said or len(said) > LONGEST or ASKS.match(said) or said.endswith("?"):
        return None
    tokens, marks = marked(said, lexicon, now.date(), products, known_sections, people)
    if not tokens:
        return None
    clause = Clause(0, len(tokens), marks)
    clause.seal()
    if act.missing == ("sections",) and (any(m.kind in FIGURES for m in marks) or not _only_places(clause, tokens)):
        return None  # "22, 25 and 19 on A", "A not yet", "B is next" answer no "which section?"
    if "step" in act.missing and _denied_or_of_another(clause, tokens, lexicon):
        return None  # "not rinsed", "rinsed my hands" answer no "done with what?"
    named = {name for m in marks if m.kind == "sec" for name in m.value}
    if act.sections and "sections" not in act.missing and not named <= set(act.sections):
        return None  # "second coat on A" does not answer "B done with what?"
    if "sections" not in act.missing and named and _told_by_itself(clause):
        return None  # "C has brightener on it too, Ana did it at 12:33" does not answer "which product?"
    scene = Scene(said, tokens, now, metric)
    grouped = _grouped(act, clause, marks, scene, lexicon)
    found: dict[str, Any] = {}
    for need in act.missing:
        for slot in need.split("|"):
            value = grouped.get(slot, _value(slot, act, clause, marks, scene, lexicon))
            if value is not None:
                found[slot] = value
                break
    return act.having(**found) if found else None


def _words(clause: Clause, tokens: list[Token], kinds: tuple[str, ...]) -> set[str]:
    """The words that stand in no mark of these kinds and say something."""
    held = {i for m in clause.marks if m.kind in kinds for i in range(m.start, m.end)}
    said = {t.word for i, t in enumerate(tokens) if t.kind == "word" and i not in held}
    return said - BESIDE


def _only_places(clause: Clause, tokens: list[Token]) -> bool:
    """Whether a message names sections and says nothing else of them."""
    return not LATER & {t.word for t in tokens} and not _words(clause, tokens, ("sec", "time", "dur"))


def _denied_or_of_another(clause: Clause, tokens: list[Token], lexicon: Lexicon) -> bool:
    """Whether a step is named as not done, or with a thing that is no wood."""
    if LATER & {t.word for t in tokens}:
        return True
    kinds = tuple({m.kind for m in clause.marks})
    others = any(m.kind == "word" and {"tool_word", "mood=other"} & set(m.keys) for m in clause.marks)
    return others or bool(_words(clause, tokens, kinds) - lexicon.fillers)


def _told_by_itself(clause: Clause) -> bool:
    """Whether a message tells more than the answer: what was done, or when."""
    return any(m.kind == "time" or is_predicate(m) for m in clause.marks)


def _grouped(act: Act, clause: Clause, marks: list[Mark], scene: Scene, lexicon: Lexicon) -> dict[str, Any]:
    """Slots that are read together, such as the sides of a size."""
    spec = lexicon.specs.get(act.name)
    kinds = [k for k in (spec.slots.values() if spec else ()) if k in weather.GROUPS]
    return {
        name: value for kind in kinds for name, value in weather.GROUPS[kind](clause, marks, scene).items()
    }


def _value(slot: str, act: Act, clause: Clause, marks: list[Mark], scene: Scene, lexicon: Lexicon) -> Any:
    if slot in WORDS:
        return scene.text
    spec = lexicon.specs.get(act.name)
    kind = (spec.slots.get(slot) if spec else None) or slot
    filler = FILLERS.get(kind)
    value = filler(clause, marks, scene) if filler else None
    if value is None and slot in BARE:
        numbers = [m.value for m in marks if m.kind == "num"]
        value = number(numbers[0]) if len(numbers) == 1 else None
    return value
