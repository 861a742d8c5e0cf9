"""Words that are not of the wood: "chairs rinsed", "10 more minutes to get there", "client wants it rinsed".

Lists of all that a crew rinses, moves or waits for have no end; the words that tell of a section do. What is said of no
section, in other words than those, is of something else as likely as of the wood.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from bot.understand.finding import marked
from bot.understand.lexicon import Lexicon
from bot.understand.marks import Token
from bot.understand.otherthings import TOOLS

LITTLE_WORDS = "de of el la the ya lo it its los las se is le deck board boards real every no not todavia"
WOOD_KEYS = (
    "predicate now again whole_day done more min_word good_word got_word got_its finish_now old_finish finish_coat asked"
    " water alone step shared as_told how_about paid mood=please"
)
OTHER_KEYS = (
    "crew house window no_deck tool_word mood=other container arriving came came_went here_word off_word lunch idiom"
    " supply_word how_topic cuts amend_word hungry plants shield no_site flow_word"
)
# how it was done and how it looks, whatever mark the word bears elsewhere: "coming off in sheets", "rinsed, low pressure"
HOW_WORDS = (
    "boss jefe man bro sheets checked scraped raspe real twice hot residue scrubbed beautiful chula great new looks thick"
    " gruesa cool because shade frio hidro baja low pressure presion running clear edges stubborn esquinas muy pegada esta"
    " ready spot tantito"
)
LITTLE, OF_THE_WOOD, ELSEWHERE, HOW = (
    frozenset(words.split()) for words in (LITTLE_WORDS, WOOD_KEYS, OTHER_KEYS, HOW_WORDS)
)
LATER = frozenset(("tonight", "later", "supposed"))
WITH = frozenset(("with", "using", "con"))


def strangers(text: str, lexicon: Lexicon, today: date, people: Iterable[str] = ()) -> list[str]:
    """The words of a message that tell of no work on a section; `people` are the crew's names in lower letters."""
    tokens, marks = marked(text, lexicon, today)
    held = {at: mark for mark in marks for at in range(mark.start, mark.end)}
    little = lexicon.fillers | LITTLE | set(people)
    found = []
    for at, token in enumerate(tokens):
        mark = held.get(at)
        if token.kind != "word" or _means(tokens, at) or (mark is not None and mark.kind != "word"):
            continue
        known = token.word in little if mark is None else bool(mark.keys & OF_THE_WOOD) and not mark.keys & ELSEWHERE
        if token.word not in HOW and (not known or token.word in LATER or token.word in TOOLS):
            found.append(token.word)
    return found


def _means(tokens: list[Token], at: int) -> bool:
    """What the work is done with: "rinsing with the garden hose"."""
    return any(token.word in WITH for token in tokens[max(0, at - 3) : at])
