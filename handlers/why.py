"""Why: the formula, the inputs and the source behind the last figures said in this chat, in one to three lines."""

from __future__ import annotations

from collections.abc import Callable

from bot import working
from bot.acts import Act
from bot.job import Job
from bot.outcome import Outcome, Turn, handles, line, say

MOST_LINES = 3


@handles("why", needs_job=False)
def why(act: Act, job: Job, turn: Turn) -> Outcome:
    """The working of the last figures, of the one named where one is."""
    asked = working.Asked(turn.last_figures or {}, job, turn)
    said = str(act.get("topic") or "").lower()
    named = (tell for of, words, tell in NAMED if of in asked.figures and any(w in said for w in words))
    plain = (tell for of, tell in PLAIN if of in asked.figures)
    tell = next(named, None) or next(plain, None)
    lines = [x for x in tell(asked) if x is not None][:MOST_LINES] if tell else []
    if lines:
        return Outcome(replies=(say(*lines),))
    return Outcome(replies=(say(line("why_nothing")),) if turn.private else ())


def _clock(a: working.Asked) -> working.Lines:
    """The mist and both ends of the rinse, a line each."""
    mist = working.mist(a)
    return [*mist[:1], *working.rinse(a)[:2]] if "rinse_by" in a.figures else mist


def _plan(a: working.Asked) -> working.Lines:
    """The largest section, a volume, and the latest start where one was told."""
    latest = working.latest(a) if "latest_start" in a.figures else []
    return [*working.largest(a), *working.volumes(a)[:1], *latest]


Tells = Callable[[working.Asked], working.Lines]
# A figure that was said, the words that ask for it, and what tells it: the first that fits.
NAMED: tuple[tuple[str, tuple[str, ...], Tells], ...] = (
    (
        "largest_section",
        ("section", "secci", "large", "big", "cut", "ft2", "pies2", "grande"),
        working.largest,
    ),
    (
        "latest_start",
        ("start", "latest", "sun", "dark", "early", "late", "empez", "sol", "oscur", "temprano", "tarde"),
        working.latest,
    ),
    ("stripper", ("gal", "stripper", "brightener", "decapante", "abrillantador", "much"), working.volumes),
    ("powder", ("ph", "hot", "warm", "heat", "calien", "acid", "ácid"), working.bucket),
    ("cost", ("cost", "price", "money", "cuesta", "precio", "caro"), working.price),
    ("mist_every", ("mist", "often", "wet", "roci", "seguido", "moj"), working.mist),
    ("rinse_by", ("rinse", "enjuag", "soon", "long", ":", "wait", "espera", "dwell"), working.rinse),
)
PLAIN: tuple[tuple[str, Tells], ...] = (
    ("largest_section", _plan),
    ("brightener", working.volumes),
    ("powder", working.batch),
    ("rinse_by", _clock),
    ("mist_every", working.mist),
    ("supply", working.supply),
    ("emc", working.dry),
    ("ready_at", working.dry),
    ("volume", working.finish),
    ("area", working.size),
    ("ph", working.acid),
)
