"""Keeps secrets out of every log record, warning and traceback, whichever library wrote it.

The HTTP library logs each URL, and the platform's URLs hold the bot's token; so do the words of
some of its errors. The records are cleaned where they are made, so no handler can see a token.
"""

from __future__ import annotations

import logging
import re
import sys
import threading
import traceback
from collections.abc import Callable
from types import TracebackType
from typing import Any

TOKEN = re.compile(r"\d+(?::|%3A)[A-Za-z0-9_-]{30,}", re.IGNORECASE)
HIDDEN = "<token>"
CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]")
QUIET = ("httpx", "httpcore", "hpack", "asyncio")

_secrets: set[str] = set()


def clean(text: str) -> str:
    """The text without tokens and known secrets, control characters shown as escapes (newlines stay)."""
    text = TOKEN.sub(HIDDEN, text)
    for secret in _secrets:
        text = text.replace(secret, "<secret>")
    return CONTROL.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


def one_line(text: str) -> str:
    """The same on one line, so that what people type cannot forge a log line of its own."""
    return clean(text).replace("\n", "\\n")


def install(*secrets: str) -> None:
    """Cleans every record from now on; further secrets (the webhook's) are hidden word for word."""
    _secrets.update(secret for secret in secrets if len(secret) >= 8)
    made = logging.getLogRecordFactory()
    if not getattr(made, "redacts", False):
        logging.setLogRecordFactory(_cleaning(made))
    for name in QUIET:
        logging.getLogger(name).setLevel(logging.WARNING)
    logging.captureWarnings(True)
    sys.excepthook = _uncaught
    threading.excepthook = lambda args: _uncaught(args.exc_type, args.exc_value, args.exc_traceback)


def _cleaning(made: Callable[..., logging.LogRecord]) -> Callable[..., logging.LogRecord]:
    def factory(*args: Any, **kwargs: Any) -> logging.LogRecord:
        return _cleaned(made(*args, **kwargs))

    factory.redacts = True  # type: ignore[attr-defined]
    return factory


def _cleaned(record: logging.LogRecord) -> logging.LogRecord:
    try:
        told = record.getMessage()
    except Exception:  # a log line with wrong arguments must neither raise nor leak them
        told = f"{record.msg} {record.args!r}"
    record.msg, record.args = one_line(told), ()
    if record.exc_info and record.exc_info[1] is not None:
        # formatters print exc_text where it is there; without exc_info nobody formats the raw one again
        record.exc_text = clean("".join(traceback.format_exception(record.exc_info[1])).rstrip())
        record.exc_info = None
    if record.stack_info:
        record.stack_info = clean(record.stack_info)
    return record


def _uncaught(kind: type[BaseException], error: BaseException | None, trace: TracebackType | None, /) -> None:
    sys.stderr.write(clean("".join(traceback.format_exception(kind, error, trace))))
