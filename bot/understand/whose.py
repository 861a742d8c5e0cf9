""" "no that was Ana not me", "no fui yo, fue Luis": who did what was told last, put right by name."""

from __future__ import annotations

import re

from bot.acts import ME
from bot.understand.crewnames import COMMON, by_word
from bot.understand.tidy import plain

NAMES = r"(?P<names>(?:el |la )?[^\W\d_]+(?:(?:,? (?:and|y|e|&) |, )(?!no\b|not\b)(?:el |la )?[^\W\d_]+)*)"
LEAD = r"(?P<lead>(?:(?:no+|nope|nah|sorry|wait|oops|actually|perdon|perdón|correccion|corrección|oye|espera)[,.\s]+)*)"
NOT_ME = r"(?P<not>,? (?:and |y )?(?:not me|not i|no yo|yo no)\b)?"
OF_WORK = (
    r"(?: (?:who|that) (?:did|rinsed|misted|covered|mixed|started|sprayed|coated)"
    r"(?: (?:it|that|them|this|(?:section )?\w))?(?!\w)"
    r"|(?: el| la)? (?:que|quien) (?:(?:lo|la|las|los) \w+|(?:enjuag|roci|cubri|mezcl|empez|moj)\w+(?: la \w\b)?))?"
)
# what may follow without a comma; "it was Luis calling" is of something else
GOES_ON = re.compile(
    r"\s*(?:$|[,.;\n]|(?:not me|not i|no yo|yo no|sorry|perd[oó]n|at \d|a las? \d|and i\b|y yo\b))", re.IGNORECASE
)
FORMS = tuple(
    re.compile(rf"^\W*{LEAD}{form}{OF_WORK}{NOT_ME}(?P<rest>$|[\s,.;].*)", re.IGNORECASE | re.DOTALL)
    for form in (
        rf"(?P<denied>(?:that|it) (?:wasn'?t|was not) me,? )?(?:(?:that|it|this) was|(?P<now>thats|that's|it's)) {NAMES}",
        rf"(?P<denied>not me,? ){NAMES}(?: did(?: (?:it|that))?)?",
        rf"(?P<denied>){NAMES} did (?:it|that|that one)",
        rf"(?P<denied>(?:no fui yo|yo no fui|yo no),? )?(?:(?:ese|esa|eso|esto) )?(?:fue|fueron) {NAMES}",
        rf"(?P<denied>)(?:eso )?(?:lo|la|las|los) (?:hizo|hicieron) {NAMES}",
    )
)


def who_it_was(text: str, people: tuple[str, ...]) -> tuple[list[str], str] | None:
    """(the names to whom the last word is to be put down, what is said besides); None where that is not said."""
    known = by_word(people)
    for form in FORMS:
        found = form.match(text.strip()) if people and not text.rstrip().endswith("?") else None
        if found is None or not found["names"]:
            continue
        words = [w for w in re.split(r"\W+", plain(found["names"])) if w not in ("and", "y", "e", "el", "la", "")]
        if found.groupdict().get("now") and not found["not"] and not found["denied"]:
            continue  # "no thats Luis" points at somebody
        rest = found["rest"].strip(" ,.;\n")
        firm = bool(found["lead"] or found["not"] or found["denied"])
        if (rest and not firm) or not (found["not"] or GOES_ON.match(found["rest"])):
            continue
        if not all(w in known or w in COMMON or w in ("me", "yo") for w in words):
            continue
        return [ME if w in ("me", "yo") else known.get(w, w.capitalize()) for w in words], rest
    return None
