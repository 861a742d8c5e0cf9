"""The pure half of sending: cutting text, keyboards, and what each error of the platform means."""

from __future__ import annotations

import os

import httpx
from telegram import InlineKeyboardButton, InlineKeyboardMarkup
from telegram.error import (
    BadRequest,
    ChatMigrated,
    Conflict,
    Forbidden,
    InvalidToken,
    NetworkError,
    RetryAfter,
    TelegramError,
    TimedOut,
)

from bot.redact import clean
from bot.wire import Delivery, Outgoing

# the library's own switch to the type of retry_after that it keeps; without it, a warning at each 429
os.environ.setdefault("PTB_TIMEDELTA", "1")

TEXT_MOST = 4096  # UTF-16 units; the platform counts characters after entities (Bot API, sendMessage)
CAPTION_MOST = 1024
DATA_MOST = 64  # bytes of callback_data (Bot API, InlineKeyboardButton)
TOKEN_WAIT = 60.0
NEVER_SENT = (httpx.ConnectError, httpx.ConnectTimeout, httpx.PoolTimeout)
NO_RIGHT = ("not enough rights", "no rights to send", "chat_write_forbidden", "need administrator rights")


def pieces(text: str, most: int = TEXT_MOST) -> list[str]:
    """The text in parts of at most `most` UTF-16 units, cut at a line, else a word, else a character."""
    parts = []
    while units(text) > most:
        head = _head(text, most)
        cut = max(head.rfind("\n"), 0) or max(head.rfind(" "), 0)
        cut = cut if cut > len(head) // 2 else len(head)
        parts.append(text[:cut].rstrip())
        text = text[cut:].lstrip("\n ")
    if text.strip():
        parts.append(text)
    return [part for part in parts if part.strip()]


def units(text: str) -> int:
    """The length as the platform counts it at worst: UTF-16 units, so that a rare character is two."""
    return len(text) + sum(ord(c) > 0xFFFF for c in text)


def _head(text: str, most: int) -> str:
    head = text[:most]
    while units(head) > most:
        head = head[: len(head) - max(1, (units(head) - most) // 2)]
    # a joiner or a combining mark must not be parted from what it belongs to
    while 1 < len(head) < len(text) and (head[-1] == "\u200d" or text[len(head)] in "\u200d\ufe0f"):
        head = head[:-1]
    return head


def keyboard(outgoing: Outgoing) -> InlineKeyboardMarkup | None:
    """The rows of buttons, None where there are none (which takes the buttons of an edited message off)."""
    rows = [
        [InlineKeyboardButton(label, callback_data=press) for label, press in row if label and fits(press)]
        for row in outgoing.buttons
    ]
    rows = [row for row in rows if row]
    return InlineKeyboardMarkup(rows) if rows else None


def fits(press: str) -> bool:
    """Whether a press id can be put behind a button: 1 to 64 bytes."""
    return 0 < len(press.encode()) <= DATA_MOST


def weight(outgoing: Outgoing) -> int:
    """How many messages of the platform this one becomes; pace is kept by it."""
    return max(1, len(pieces(outgoing.text))) + len(outgoing.files)


def failed(error: Exception) -> Delivery:
    """What an error says of the message: whether it may have arrived, and whether and when to try again."""
    why = clean(str(error) or type(error).__name__)[:200]
    if isinstance(error, RetryAfter):
        return Delivery("retry", wait=_seconds(error), why=why)
    if isinstance(error, ChatMigrated):
        return Delivery("moved", chat=str(error.new_chat_id), why=why)
    if isinstance(error, Forbidden):
        return Delivery("blocked", why=why)
    if isinstance(error, BadRequest):  # before NetworkError, whose subclass it is
        return _refused(why)
    if isinstance(error, InvalidToken):
        return Delivery("retry", wait=TOKEN_WAIT, why=why)
    if isinstance(error, Conflict):
        return Delivery("retry", why=why)
    if isinstance(error, TimedOut | NetworkError):
        return Delivery("retry", maybe=not isinstance(error.__cause__, NEVER_SENT), why=why)
    if isinstance(error, TelegramError):
        return Delivery("retry", maybe=True, why=why)
    return Delivery("never", why=why)


def _refused(why: str) -> Delivery:
    """A 400: the platform's words are capitalised by the library, so they are matched without case."""
    words = why.lower()
    if "message is not modified" in words:
        return Delivery("sent", why=why)
    if any(part in words for part in NO_RIGHT):
        return Delivery("blocked", why=why)
    return Delivery("never", why=why)


def _seconds(error: RetryAfter) -> float:
    # an owner's environment may set the switch the other way
    after = error.retry_after
    return float(after if isinstance(after, int) else after.total_seconds())
