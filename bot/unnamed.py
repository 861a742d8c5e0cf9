"""What says nothing by itself, and something of the wood that is wet: "ya la moje", "almost loose", "5 mas nomas".

The message is read once more with the section in front that it can only be about: the one that has just rung, or the
only one wet. Short and in known words it is taken; else a button asks. Of several wet, each gets its button.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from bot.acts import EVERY, Act
from bot.ledger import Hand
from bot.lookup import asks
from bot.parts import RINSES
from bot.standing import as_pass
from bot.understand.alarm import PLANTS, plain
from bot.understand.hearing import ANYWHERE, idle
from bot.understand.reading import Reading
from bot.understand.strangers import strangers
from bot.understand.tidy import cut

if TYPE_CHECKING:
    from bot.desk import Desk

ANSWERS = ("finish", "rewet", "check", "extend")
SHORT, BUTTONS = 7, 3
TENDED_FOR = timedelta(hours=4)
GREEN = re.compile(rf"\b(?:{'|'.join(sorted(PLANTS))}|bush|rose|flower|leaf|leaves|beds?)\b")
WATERED = re.compile(
    r"\b(?:rins|hos(?:e|ing)|drench|soak|flood|flush|wash|water|douse|(?:en)?juag|moj|reg(?:ue|amos|ada|ando)|empap|agua|lav[aoe])"
)
FINE = re.compile(
    r"\b(?:(?:looks?|is|are|its|theyre|prob|probably|seems?|doing|still) (?:\w+ )?(?:ok|okay|fine|good|alive|green|alright)|"
    r"(?:se ven?|estan?|quedo|quedaron|siguen?) (?:\w+ )?(?:bien|verdes?|vivas?|sanas?))\b"
)


def of_the_wet(desk: Desk, hand: Hand) -> Reading | None:
    """What the words say of the section that they can only be about; None where they say nothing of it."""
    names = _meant(desk, hand)
    if not names or asks(hand.text):
        return None
    read = desk.understood(hand, f"{names[0]}, {hand.text}")
    if read.acts and not read.ask and all(_answers(a, names[0]) for a in read.acts) and len(names) == 1:
        sure = in_plain_words(desk, hand.text) and not idle(hand.text, desk.lexicon, hand.now.date())
        return read if sure and not _odd(desk, hand) else replace(read, acts=(), ask=read.acts)
    told = (*read.acts, *read.ask)
    if len(told) != 1 or not _answers(told[0], names[0]):
        return None
    return replace(read, acts=(), ask=tuple(told[0].having(sections=[name]) for name in names[:BUTTONS]))


def or_elsewhere(desk: Desk, hand: Hand, reading: Reading) -> Reading:
    """The reading, asked about where it names no section and some of its words are not of the wood: "chairs rinsed"."""
    wet = [s.name for s, _ in desk.shelf.job(hand.job).wet()] if hand.job else []
    meant = [n for n in wet if n in hand.about] or wet
    told = [a for a in reading.acts if not (a.name == "arrive" and reading.acts[0].name == "extend")]  # "10 more, im coming"
    if len(told) != 1 or reading.ask or not meant or not _of_any(told[0]) or not _odd(desk, hand):
        return reading
    beside = tuple(a for a in reading.acts if a is not told[0])
    return replace(reading, acts=beside, ask=tuple(told[0].having(sections=[n]) for n in meant[:BUTTONS]))


def _odd(desk: Desk, hand: Hand) -> list[str]:
    """The words that are of no work on the wood."""
    people = [p.name.split()[0].lower() for p in desk.people() if p.name]
    return strangers(hand.text, desk.lexicon, hand.now.date(), people)


def _of_any(act: Act) -> bool:
    """Whether it is work on a section that it does not name."""
    worked = act.name in ANSWERS or act.get("step") in RINSES
    open_only = set(act.missing) <= {"sections"}
    return worked and act.get("step") not in ANYWHERE and open_only and act.sections in ((), (EVERY,))


def nameless(read: Reading) -> bool:
    """Whether all that is read is one answer, to be asked about, that names no section."""
    return not read.acts and len(read.ask) == 1 and read.ask[0].name in ANSWERS and not read.ask[0].sections


def of_the_wood(desk: Desk, hand: Hand, reading: Reading) -> Reading:
    """A second coat, of stripper or of the finish: on wood under stripper, or only rinsed of it, it is one more pass."""
    steps = [a.get("step") for a in reading.ask if a.name in ("start", "finish")]
    if reading.acts or not hand.job or steps not in (["coat"], ["strip", "coat"]) or len(steps) < len(reading.ask):
        return reading
    told = as_pass(reading.ask[-1], desk.shelf.job(hand.job))
    return replace(reading, acts=(told,), ask=()) if told.get("step") == "strip" else reading


def of_the_plants(desk: Desk, hand: Hand, reading: Reading) -> Reading:
    """What is done for plants that product came on, and how they look, is told of that incident: no wetting before work."""
    job = desk.shelf.job(hand.job) if hand.job and hand.job > 0 else None
    last = job.incidents[-1] if job and job.incidents else None
    if last is None or last.get("kind") != "plant" or hand.now - last["told"] > TENDED_FOR or asks(hand.text):
        return reading
    told = plain(hand.text)
    green, wet, fine = (bool(words.search(told)) for words in (GREEN, WATERED, FINE))
    others = [a for a in (*reading.acts, *reading.ask) if a.sections or a.get("step") != "prewet"]
    if others or not ((green and (wet or fine)) or (wet and fine)):
        return reading
    return replace(reading, acts=(Act("aftermath", {"state": "told"}),), ask=())


def placed(desk: Desk, hand: Hand, told: Iterable[Act]) -> tuple[Act, ...]:
    """What is to be asked about, with the sections that it can only be about where it names none."""
    told = tuple(told)
    names = _meant(desk, hand)
    lone = len(told) == 1 and told[0].sections in ((), (EVERY,)) and told[0].name in ANSWERS
    if not (lone and names):
        return told
    return tuple(Act(told[0].name, {**told[0].slots, "sections": [name]}) for name in names[:BUTTONS])


def _meant(desk: Desk, hand: Hand) -> tuple[str, ...]:
    """The wet sections that have just rung here, else in a private chat all that are wet."""
    assert hand.incoming is not None
    wet = [s.name for s, _ in desk.shelf.job(hand.job).wet()] if hand.job else []
    rung = tuple(n for n in hand.about if n in wet)
    return rung or (tuple(wet) if hand.incoming.private else ())


def _answers(act: Act, name: str) -> bool:
    """Whether an act is an answer about this section: worked on, looked at, given time; or the rinse begun."""
    told = act.name in ANSWERS or (act.name == "start" and act.get("step") == "rinse")
    return told and act.sections == (name,)


def in_plain_words(desk: Desk, text: str) -> bool:
    """Whether it is short and every word of it is known."""
    words = [t.word for t in cut(text) if t.kind == "word"]
    return len(words) <= SHORT and all(word in desk.lexicon.speller.known for word in words)
