"""The two messages that a transport knows: what came in and what is to go out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

KINDS = ("text", "edit", "press", "reaction", "photo", "location", "voice", "member", "migrate", "blocked")


@dataclass(frozen=True)
class Incoming:
    """One update. `key` is unique by the platform's ids; the rest is text of the platform, unjudged.

    source   "telegram", "talk" or "rehearsal"
    chat     the chat's id as text; `private` tells whether it is one person's
    person   the sender's id as text, `name` as the platform gives it, `language` its two-letter hint
    message  the id of the message (of the edited, pressed or reacted-to one), `reply_to` likewise
    press    the short row id behind a button
    data     what else the kind needs: file ids, latitude and longitude, new chat id, reaction, start payload

    No transport makes a "refused": it is the outbox's own word of a ring that its chat would not take.
    """

    source: str
    key: str
    kind: str
    chat: str
    person: str
    sent_at: datetime
    name: str = ""
    language: str = ""
    private: bool = True
    text: str = ""
    message: str = ""
    reply_to: str = ""
    press: str = ""
    data: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Outgoing:
    """One outbox row to deliver. `buttons` are rows of (label, press id).

    `edits` is the platform's id of a message to change in place instead of sending; `pin` pins it.
    `files` are paths with captions; `repeat` is true when an earlier try may have been delivered.
    `urgent` is 2 for first aid, which waits for no pace of ours, 1 for a reminder.
    """

    id: int
    chat: str
    text: str
    buttons: tuple[tuple[tuple[str, str], ...], ...] = ()
    loud: bool = False
    kind: str = "reply"
    reply_to: str = ""
    edits: str = ""
    pin: bool = False
    files: tuple[Mapping[str, Any], ...] = ()
    repeat: bool = False
    urgent: int = 0


@dataclass(frozen=True)
class Delivery:
    """What became of an Outgoing: the platform's id, or why not and whether to try again.

    state  "sent", "retry" (after `wait` seconds, `maybe` true where it may have arrived), "never",
           "blocked" (the person stopped the bot) or "moved" (`chat` is the group's new id)
    """

    state: str
    message: str = ""
    wait: float = 0.0
    maybe: bool = False
    chat: str = ""
    why: str = ""
