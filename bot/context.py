"""What a reading means where it is said: wood that dries, a dead pump, a second coat, a person or plants that were hit.

The words alone leave these open; the job at hand does not. Beside it, what is answered where nothing was heard.
"""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from bot.acts import Act
from bot.ledger import Hand
from bot.lookup import asks
from bot.outcome import OWNER, Button, Say, line, say
from bot.tended import or_the_person
from bot.understand.alarm import plain
from bot.understand.dryness import dried, drying_out
from bot.understand.reading import Reading
from bot.unnamed import of_the_plants, of_the_wood, or_elsewhere

if TYPE_CHECKING:
    from bot.desk import Desk

# Water to drink, or of a place that is not the deck's: what is said of it holds no work by itself.
ELSEWHERE = re.compile(
    r"\b(?:to drink|drinking|thirsty|tomar|beber|garrafon\w*|cooler|hielera|bottled?s?|botellas?|botellon|shower|ducha|"
    r"regadera|bano|toilet|kitchen|cocina|store|tienda|town|pueblo|colonia|neighbou?rs?|vecin\w+|"
    r"my (?:house|place|apartment|apt)|at home|mi (?:casa|apartamento)|coffee|cafe|(?:hot|cold) water|"
    r"agua (?:fria|caliente)|fridge|fountain|"
    r"jug|in (?:my|the) (?:truck|van)|for the dogs?|para el perro)\b"
)
BESIDE_DRYING = ("status", "conditions", "dry")  # what may be read of wood that dries


def talked_of(desk: Desk, hand: Hand, within: timedelta) -> tuple[str, ...]:
    """The sections that a message naming none speaks of: those that rang, unless who writes is at another wet one."""
    assert hand.incoming is not None
    rung = desk.post.about(hand, within)
    ring = desk.post.last_ring(hand, within)
    job = desk.shelf.job(hand.job) if hand.job and hand.job > 0 else None
    others = {s.name for s, _ in job.wet()} - set(rung) if job else set()
    if not rung or not ring or not others or hand.incoming.reply_to:
        return rung
    rows = desk.store.rows(
        "select kind, sections, told from entries where job = ? and person = ? and undone is null and kind in"
        " ('start', 'finish', 'rewet', 'extend', 'check') order by id desc limit 20",
        hand.job, hand.who.id,
    )  # fmt: skip
    said = [(r, set(json.loads(r["sections"] or "[]"))) for r in rows]
    started = set().union(*(names for r, names in said if r["kind"] == "start")) & (others | set(rung))
    moved_on = bool(said) and said[0][0]["told"] > ring["made"] and said[0][1] <= others
    return () if moved_on or (started and started <= others) else rung


def in_context(desk: Desk, hand: Hand, reading: Reading, named: tuple[str, ...]) -> Reading:
    """The reading in the job at hand; `named` are its sections that the words name. None of it is of a cry."""
    reading = without_water(desk, hand, of_the_wood(desk, hand, _dries(desk, hand, reading, named)))
    if named:
        return reading
    return of_the_plants(desk, hand, or_the_person(desk, hand, or_elsewhere(desk, hand, reading)))


def without_water(desk: Desk, hand: Hand, reading: Reading) -> Reading:
    """A dead pump may be talk and is asked about; over wet wood it waits for no answer. So with water that is back."""
    back = tuple(a for a in reading.ask if a.name == "resume" and a.get("cause") == "water")
    if back and len(reading.ask) == 1 and hand.job and desk.shelf.job(hand.job).held_for == "water":
        return replace(reading, acts=(*reading.acts, *back), ask=())
    ours = not ELSEWHERE.search(plain(hand.text))
    dead = tuple(a for a in reading.ask if a.name == "hold" and a.get("cause") == "water" and not a.get("at") and ours)
    job = desk.shelf.job(hand.job) if dead and hand.job else None
    return replace(reading, acts=(*reading.acts, *dead), ask=()) if job and job.wet() else reading


def _dries(desk: Desk, hand: Hand, reading: Reading, named: tuple[str, ...]) -> Reading:
    """Wet wood that dries is told to be misted, whatever else was read; wood that is rinsed may dry."""
    assert hand.incoming is not None
    idle = all(a.name in BESIDE_DRYING for a in reading.acts) and all(a.name != "rewet" for a in reading.ask)
    if not idle or not hand.job or hand.job < 0 or not drying_out(hand.text):
        return reading
    wet = [s.name for s, _ in desk.shelf.job(hand.job).wet()]
    meant = [n for n in wet if n in named] if named else wet
    if not meant or not (named or hand.about or hand.incoming.private):
        return reading
    others = tuple(a for a in reading.acts if a.name == "conditions")
    return replace(reading, acts=(*others, Act("status", {"sections": meant, "topic": "drying"})), ask=())


def dry_by_now(desk: Desk, hand: Hand, named: tuple[str, ...]) -> Act | None:
    """ "ya seco la A": of wood that ought to be wet it is a cry, of other wood it asks what comes next."""
    names = named if dried(hand.text) and not asks(hand.text) else ()
    if not names or not hand.job:
        return None
    standing = {s.name for s, _ in desk.shelf.job(hand.job).wet()}
    wet = [n for n in names if n in standing]
    if not wet and hand.incoming is not None and not hand.incoming.private:
        return None
    return Act("status", {"sections": wet, "topic": "drying"}) if wet else Act("dry", {"sections": list(names)})


def nothing_heard(desk: Desk, hand: Hand, named: tuple[str, ...]) -> Say:
    """That nothing was written down, with an example; where wood is wet, of the section that is due first."""
    if asks(hand.text):
        return say(line("chatter_owner" if hand.who.role == OWNER else "chatter_asked"))
    standing = desk.shelf.job(hand.job).wet() if hand.job and hand.job > 0 else ()
    wet = [s.name for s, _ in standing if not named or s.name in named]
    if not wet:
        return say(line("chatter"))
    first = next((name for name in wet if name in hand.about), wet[0])
    misted = Button("misted", Act("rewet", {"sections": [first]}))
    rinsing = Button("rinsing_label", Act("start", {"step": "rinse", "sections": [first]}))
    return say(line("chatter_wet", section=first), buttons=(misted, rinsing) if len(wet) == 1 else ())
