"""Which job a message names: its name is read apart from the words, and a question of it is answered there."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from bot.acts import Act
from bot.ledger import Hand
from bot.lookup import any_named, asks, names
from bot.understand.reading import Reading

if TYPE_CHECKING:
    from bot.desk import Desk

QUESTIONS = frozenset({
    "ask", "status", "timeline", "plan", "dry", "cost", "hours", "picture", "record", "digest", "client", "compare",
    "export", "coat", "people",
})  # fmt: skip
# without a name these choose for themselves
OWN = frozenset({"cost", "hours", "export", "people", "status", "plan", "dry", "coat", "client"})
NAMERS = frozenset({"job", "rename"})
JOINED = r"(?:\b(?:at|on|for|of|in|about|to|en|de|del|para|sobre|por)\s+)?"
SPANISH = re.compile(
    r"[¿¡áéíóúñ]|\b(?:el|la|los|las|que|cuanto|como|en|de|del|para|se|por|gano|dinero|horas)\b", re.IGNORECASE
)


def without(text: str, name: str) -> tuple[str, ...]:
    """The message without a job's name, and with "the job" in its place."""
    words = r"\W+".join(re.escape(w) for w in re.findall(r"\w+", name))
    of = re.compile(rf"(?<!\w){JOINED}{words}(?:['’]s)?(?!\w)", re.IGNORECASE)
    bare = re.compile(rf"(?<!\w){words}(?:['’]s)?(?!\w)", re.IGNORECASE)
    job = "el trabajo" if SPANISH.search(bare.sub(" ", text)) else "the job"
    return " ".join(of.sub(" ", text).split()), bare.sub(job, text)


class Naming:
    """Reads a message beside the names of the shop's jobs."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.store = desk, desk.store

    def named(self, hand: Hand) -> tuple[int, str, bool] | None:
        """(number, name, whether it is open) of the job whose name stands in the words: the longest, the newest."""
        if not any_named(self.store.names(), hand.text):
            return None
        fitting = [job for job in self.store.jobs() if names(job[1], hand.text)]
        best = max(fitting, key=lambda job: (len(job[1]), job[2], job[0]), default=None)
        return None if best is None else (best[0], best[1], bool(best[2]))

    def read(self, hand: Hand) -> Reading:
        """What the message says: a name in it is no wood, no place and no surface."""
        reading = self.desk.understood(hand, hand.text)
        found = self.named(hand)
        if found is None or any(a.name in NAMERS for a in (*reading.acts, *reading.ask)):
            return reading
        if names(hand.text, found[1]):  # nothing but the name
            return replace(reading, acts=(Act("job", {"action": "switch", "name": found[1]}),), ask=())
        for cut in without(hand.text, found[1]):
            other = self.desk.understood(hand, cut)
            if not other.chatter and any(
                a.name not in ("arrive", "survey") or not asks(hand.text) for a in other.acts
            ):
                return other
        return replace(reading, acts=(), ask=()) if any(a.name == "survey" for a in reading.acts) else reading

    def job_of(self, hand: Hand, act: Act) -> int | None:
        """The job that a question is about where it is another than the one at hand; a closed one too."""
        if act.name not in QUESTIONS or (hand.job or 0) < 0:
            return None
        found = self.named(hand)
        if found is not None:
            return found[0]
        if (
            hand.job is not None
            or act.name in OWN
            or self.store.row("select 1 from jobs where closed is null")
        ):
            return None
        last = self.store.row("select id from jobs order by closed desc, id desc limit 1")
        return int(last["id"]) if last else None
