"""Which language somebody clearly writes, told by the words that only one of the two has."""

from __future__ import annotations

import re

from bot.understand.crewnames import COMMON
from bot.understand.lexicon import Lexicon
from bot.understand.tidy import cut

# Spanish crews borrow commands and words of the trade ("started B at 9:10"); a sentence has little words.
ENGLISH = re.compile(r"\b(the|my|his|her|we|is|are|it|i|im|got|she|they|and|to|do|you)\b", re.IGNORECASE)
SPANISH = frozenset(("la", "las", "los", "el", "del", "en", "de", "que", "se", "le", "una"))  # even where borrowed
ENOUGH = 2


def tongue(text: str, lexicon: Lexicon, first: bool = False) -> str:
    """ "en" or "es" where the words are clear, else nothing; where nothing was clear before, `first` asks for less."""
    words = {t.word for t in cut(text) if t.kind == "word" and len(t.word) > 1 and t.word != "si"}
    spanish, english = len(words & (lexicon.spanish | SPANISH)), len((words & lexicon.english) - SPANISH)
    short = first and words.isdisjoint(COMMON) and spanish > 0 and not english and len(words) <= ENOUGH
    if short or (spanish >= ENOUGH and spanish > 2 * english):
        return "es"
    return "en" if english >= ENOUGH and not spanish and ENGLISH.search(text) else ""
