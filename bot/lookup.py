"""Which job and which person a question means: by their names in its words, never by a guess."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping
from functools import lru_cache

from bot.acts import Act
from bot.job import Job
from bot.outcome import Person, Turn

WORD = re.compile(r"[^\W_]+")
ASKED = re.compile(
    r"\?\s*$|^\W*(?:did|was|were|is|are|has|have we|does|do (?:we|you|u|they)|how|what|whats|who|when|where|why|which|"
    r"qu[eé]|cu[aá]nt[oa]s?|c[oó]mo|qui[eé]n|cu[aá]ndo|d[oó]nde|cu[aá]l)\b",
    re.IGNORECASE,
)


@lru_cache(maxsize=4096)
def folded(text: str) -> str:
    """Lower case, no accents, blanks as one, padded: "Heron  Point?" is " heron point "."""
    parts = unicodedata.normalize("NFD", text.casefold())
    letters = "".join(c for c in parts if not unicodedata.combining(c))
    return " " + " ".join(WORD.findall(letters)) + " "


def names(name: str, words: str) -> bool:
    """Whether a job's name stands in these words."""
    known = folded(name)
    return bool(known.strip()) and known in folded(words)


def any_named(every: str, words: str) -> bool:
    """Whether the name of any job stands in these words; `every` is a JSON list of names."""
    said, known = folded(words), _by_first_word(every)
    return any(name in said for word in set(said.split()) for name in known.get(word, ()))


@lru_cache(maxsize=2)  # by the names themselves: another name, another list
def _by_first_word(every: str) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for name in map(folded, json.loads(every)):
        for first in name.split()[:1]:
            found[first] = (*found.get(first, ()), name)
    return found


def job_named(act: Act, turn: Turn) -> Job | None:
    """The job whose name stands in the words, the longest name first; the newest of two of one name."""
    said = f"{act.get('name') or ''} {act.get('text') or ''} {turn.text}"
    fitting = turn.past(named_in=said) if turn.past is not None else ()
    return max(fitting, key=lambda j: (len(j.name), j.id), default=None)


def person_named(act: Act, turn: Turn) -> Person | None:
    """The person whose name stands in the words (also "Ana's"); "I" and "me" are the speaker."""
    said = folded(f"{act.get('text') or ''} {turn.text}")
    return next((p for p in turn.people if folded(p.name) in said), None)


def asks(text: str) -> bool:
    """Whether a message is a question by its form: such a one opens no job."""
    return bool(ASKED.search(text.strip()))
