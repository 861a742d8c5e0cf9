"""The answer to "tell me how it is": while an incident stands open, what is said of a person is not of the wood."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from bot.acts import Act
from bot.job import Job
from bot.ledger import Hand
from bot.lookup import asks
from bot.parts import RINSES
from bot.understand.aftermath import BODY, SEEN, Told, heard
from bot.understand.clash import clash
from bot.understand.hearing import ANYWHERE
from bot.understand.reading import Reading
from bot.understand.worse import worsened

if TYPE_CHECKING:
    from bot.desk import Desk

OPEN, FRESH = timedelta(hours=4), timedelta(minutes=45)
ON_WOOD = ("start", "finish", "rewet", "extend", "check", "patch")
VISITS = ("arrive", "leave")
ANSWER = 600  # letters: no longer message is an answer
SEVERAL = re.compile(r"\bthem\b|\bl[ao]s (?:ya )?(?:est\w+ )?(?:enju?ag|la[vb]|h?ech)", re.IGNORECASE)
YES = re.compile(
    r"(?:yes|yeah|yea|yep|yup|s[ií]|simon|aj[aá]|still|todav[ií]a)(?:\W+(?:still|todav[ií]a|jefe|boss|sir))?\W*",
    re.IGNORECASE,
)
UNNAMED = ("start", "finish", "rewet", "check", "extend")
HURT_KINDS = ("eye", "skin", "breathing", "swallowed", "slip", "other")
WASHED = ("eye", "skin", "swallowed", "plant", "damage", "other")  # of what "rinsed it" may be said
WHAT_NOW = re.compile(r"\bwhat (?:do|should|now)\b|\bqu[eé] (?:hago|hacemos)\b", re.IGNORECASE)


def after_hurt(desk: Desk, hand: Hand, reading: Reading, kind: str | None) -> Reading | None:
    """The reading where the message tells how somebody is after the incident that stands open; a cry never is, but one
    that tells of the same water."""
    job = _hurt(desk, hand, OPEN) if len(hand.text) <= ANSWER else None
    told = heard(hand.text, _names(desk), tuple(job.sections)) if job else None
    if job and not kind and YES.fullmatch(hand.text.strip()) and _just_rung(job, hand):
        return replace(reading, acts=(Act("aftermath", {"state": "flushing"}),), ask=())
    if job is None or told is None or (asks(hand.text) and not (told.state == "still" and WHAT_NOW.search(hand.text))):
        return None
    if any(a.sections and a.get("step") in RINSES for a in _told(reading)) and not BODY.search(hand.text.lower()):
        return None  # "luis rinsed bee": of the wood
    same_water = told.state == "flushing" and not told.rest and kind == job.incidents[-1].get("kind")
    if not same_water and (kind or any(a.name == "incident" for a in reading.acts)):
        return None
    of_body = told.sure and (told.state != "flushing" or bool(BODY.search(hand.text.lower())))
    if not of_body and not (_fits(job, hand, told) and (told.sure or not (told.rest or _more(job, reading)))):
        return None
    rest = desk.understood(hand, told.rest).acts if told.rest else ()
    beside = [a for a in rest if a.name not in ("aftermath", "incident") and (a.sections or a.name not in ON_WOOD)]
    beside += [a for a in reading.acts if a.name in VISITS and a not in beside]  # "my arm is fine, im heading home"
    placed = {name for a in beside for name in a.sections}
    lost = tuple(a for a in reading.acts if a.name in ON_WOOD and a.sections and not placed >= set(a.sections))
    return replace(reading, acts=(Act("aftermath", {"state": told.state}), *beside), ask=lost)


def hurt_more(desk: Desk, hand: Hand, reading: Reading) -> str | None:
    """The kind of the new incident where nothing but "me too" or "he is shaking" is told: first aid once more."""
    job = _hurt(desk, hand, FRESH) if len(hand.text) <= ANSWER else None
    last = job.incidents[-1].get("kind") if job else None
    told = _told(reading)
    if last not in HURT_KINDS or any(a.sections or a.name not in UNNAMED for a in told) or asks(hand.text):
        return None
    return str(last) if worsened(hand.text, _names(desk)) else None


def _told(reading: Reading) -> tuple[Act, ...]:
    """What is read, sure or to be asked."""
    return (*reading.acts, *reading.ask)


def _names(desk: Desk) -> tuple[str, ...]:
    """The crew's first names, in lower letters."""
    return tuple(p.name.split()[0].lower() for p in desk.people() if p.name.split())


def _more(job: Job, reading: Reading) -> list[Act]:
    """What the words say of the work; of plants just spoiled, "estan bien" is not that they were wetted beforehand."""
    spoiled = job.incidents[-1].get("kind") == "plant"
    return [a for a in (*reading.acts, *reading.ask) if not (spoiled and a.get("step") == "prewet")]


def aided(hand: Hand, reading: Reading) -> Reading:
    """Acid on caustic has first aid of its own."""
    told = (a.having(aid="clash") if a.get("kind") == "other" and a.name == "incident" else a for a in reading.acts)
    return replace(reading, acts=tuple(told)) if clash(hand.text) else reading


def or_the_person(desk: Desk, hand: Hand, reading: Reading) -> Reading:
    """ "rinsing it", "it's peeling", "10 more min", soon after somebody or a plant was hurt: what is asked, no clock is
    moved by it."""
    told = [*reading.acts, *reading.ask]
    if not told or any(a.name not in UNNAMED or a.get("step") in ANYWHERE for a in told):
        return reading
    rinses = all(a.get("step") in RINSES for a in told)
    if any(a.name == "start" for a in told) and not rinses:
        return reading
    wet = [s.name for s, _ in desk.shelf.job(hand.job).wet()] if hand.job else []
    if len(wet) == 1:
        told = [a.having(sections=wet) for a in told]
    hurt = _hurt(desk, hand, FRESH)
    if hurt is not None and any(i.get("kind") in WASHED and hand.now - i["told"] <= FRESH for i in hurt.incidents):
        if not rinses and told[0].name != "extend" and _rang_since(hurt):
            return reading  # what is said after "Check A." is of A
        state = "flushing" if rinses else "told"
        return replace(reading, acts=(), ask=(Act("aftermath", {"state": state, "text": hand.text}), *told[:2]))
    several = rinses and len(wet) == 1 and SEVERAL.search(hand.text)  # plants or windows: one section is no "them"
    return replace(reading, acts=(), ask=tuple(told)) if several else reading


def _rang_since(job: Job) -> bool:
    """Whether a bell about the wood rang after somebody was hurt."""
    rung = max((at for key, at in job.rang_at.items() if not key.startswith("incident:")), default=None)
    return rung is not None and rung > job.incidents[-1]["told"]


def _just_rung(job: Job, hand: Hand) -> bool:
    """Whether the bell that rang last is the one that asks how somebody is."""
    last = max(job.rang_at, key=lambda key: job.rang_at[key], default="")
    return last.startswith("incident:") and hand.now - job.rang_at[last] <= FRESH


def _hurt(desk: Desk, hand: Hand, within: timedelta) -> Job | None:
    """The job at hand where an incident was told within this time."""
    job = desk.shelf.job(hand.job) if hand.job and hand.job > 0 else None
    return job if job and job.incidents and hand.now - job.incidents[-1]["told"] <= within else None


def _fits(job: Job, hand: Hand, told: Told) -> bool:
    """Whether words that fit the wood as well are about the incident: it is new, and of a kind that they fit."""
    last = job.incidents[-1]
    if hand.now - last["told"] > FRESH or (told.state == "flushing" and last.get("kind") == "slip"):
        return False
    return last.get("kind") == "other" or not re.search(rf"\b(?:still|todav[ií]a|sigue|stopped)\b.*{SEEN}", hand.text.lower())
