"""`python -m bot understand`: shows what a message was taken to mean."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from bot.acts import Act
from bot.understand.lexicon import load
from bot.understand.reading import Reading, understand

HANDLERS = Path(__file__).parents[2] / "handlers"


def parser() -> argparse.ArgumentParser:
    """The arguments of the command."""
    made = argparse.ArgumentParser(prog="python -m bot understand", description="Shows what a message was taken to "
        "mean.")
    made.add_argument("message", nargs="*", help="a message; none reads one a line from the input")
    made.add_argument("--json", action="store_true", help="one JSON object a message")
    made.add_argument("--now", help="the local time it was sent, as 2026-06-10T10:00")
    made.add_argument("--zone", default="UTC", help="the time zone, as America/New_York")
    return made


def run(argv: Sequence[str], now: datetime) -> int:
    """Prints a reading for every message; `now` (aware) stands where --now is not given."""
    asked = parser().parse_args(argv)
    zone = ZoneInfo(asked.zone)
    at = datetime.fromisoformat(asked.now).replace(tzinfo=zone) if asked.now else now.astimezone(zone)
    lexicon = load(HANDLERS)
    messages = [" ".join(asked.message)] if asked.message else (line.rstrip("\n") for line in sys.stdin)
    for text in messages:
        reading = understand(text, lexicon, at)
        if asked.json:
            print(json.dumps(reading.to_json(text), ensure_ascii=False))
        else:
            print(readable(text, reading))
    return 0


def readable(text: str, reading: Reading) -> str:
    """A reading for a person: one line an act."""
    lines = [text]
    lines += [f"  {shown(act)}" for act in reading.acts]
    lines += [f"  ask: {shown(act)}" for act in reading.ask]
    return "\n".join(lines if not reading.chatter else [*lines, "  (chatter)"])


def shown(act: Act) -> str:
    """An act in one line: its name and slots, what was assumed, what is missing."""
    told = [f"{name} {_value(value)}" for name, value in act.slots.items()]
    notes = [f"({kind}: {', '.join(names)})" for kind, names in (("assumed", act.assumed), ("missing", act.missing))
        if names]
    return " ".join([f"{act.name}:", ", ".join(told) or "-", *notes])


def _value(value: Any) -> str:
    if isinstance(value, dict) and "value" in value:
        return f"{value['value']} {value['unit']}"
    return " ".join(map(str, value)) if isinstance(value, list) else str(value)
