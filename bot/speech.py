"""Lines and figures into the reader's words: language, units, rounding to what a hand can measure."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

from pint import Quantity

from bot.amounts import (
    Reader,
    agreed,
    amount,
    day,
    length,
    listed,
    moment,
    number,
    section,
)
from bot.errors import RinsebellError
from bot.outcome import Button, Line, Say

SPACES = re.compile(r" {2,}")
FIELD = re.compile(r"\{(\w+)(?::([\w ]+))?\}")
AGREED = re.compile(r"<(\w+):(\w*)(?:\|(\w*))?>")  # enjuagad<sections:a>, <sections:está|están>
LONGEST = 4000


class Phrases:
    """The replies of every family: key -> language -> template."""

    def __init__(self, folder: Path) -> None:
        """Reads handlers/*.say.toml; a key said twice or in one language only is refused."""
        self.said: dict[str, dict[str, str]] = {}
        for file in sorted(folder.glob("*.say.toml")):
            for key, by in tomllib.loads(file.read_text(encoding="utf-8")).items():
                if key in self.said or set(by) != {"en", "es"}:
                    raise ValueError(f"{file.name}: {key} is said twice, or lacks a language")
                self.said[key] = by

    def words(self, key: str, language: str) -> str:
        """The template of a key."""
        return self.said[key][language if language in ("en", "es") else "en"]


@dataclass(frozen=True)
class Spoken:
    """A message as it goes out: its text and its buttons' labels."""

    text: str
    labels: tuple[str, ...]


class Speech:
    """Turns what handlers return into what a reader reads."""

    def __init__(self, phrases: Phrases) -> None:
        self.phrases = phrases

    def say(self, said: Say, reader: Reader) -> Spoken:
        """A whole message."""
        text = "\n".join(filter(None, (self.line(x, reader).strip() for x in said.lines)))
        return Spoken(text[:LONGEST], tuple(self.label(b, reader) for b in said.buttons))

    def label(self, button: Button, reader: Reader) -> str:
        """A button's words; where no section is told, none is named."""
        return self.line(Line(button.key, button.values), reader).removeprefix(":").strip()

    def error(self, error: RinsebellError, reader: Reader) -> str:
        """The line for something refused or out of range; a key without words falls back to a plain one."""
        key = error.key if error.key in self.phrases.said else "not_possible"
        return self.line(Line(key, error.values), reader)

    def line(self, one: Line, reader: Reader) -> str:
        """One line, its fields filled."""
        template = self.phrases.words(one.key, reader.language)

        def fill(match: re.Match[str]) -> str:
            return self.show(one.values.get(match[1]), reader, match[2] or "")

        def agree(match: re.Match[str]) -> str:
            value = one.values.get(match[1]) or ()
            names = (value,) if isinstance(value, str) else value
            return agreed(map(str, names), match[2], match[3], reader)

        return SPACES.sub(" ", FIELD.sub(fill, AGREED.sub(agree, template)))

    def show(self, value: Any, reader: Reader, form: str = "") -> str:
        """One value in the reader's words."""
        match value:
            case None:
                return ""
            case Line():
                return self.line(value, reader)
            case bool():
                return self.phrases.words("yes" if value else "no", reader.language)
            case datetime():
                return moment(value, reader, form)
            case date():
                return day(value, reader)
            case timedelta():
                return length(value.total_seconds() / 60, reader)
            case Quantity():
                return amount(value, reader, form)
            case tuple() | list():
                parts = [self.show(x, reader, form) for x in value]
                return listed(parts, reader, {"comma": ", ", "sentences": " "}.get(form, ""))
            case float() | int():
                return (
                    f"{value:.2f}"
                    if form == "money"
                    else number(value, reader, {"whole": 0, "one": 1}.get(form, 2))
                )
        return section(str(value), reader) if form == "section" else self._word(str(value), reader)

    def _word(self, value: str, reader: Reader) -> str:
        """A word that both languages know: a product, a step, a result, or a key of its own; else as it stands."""
        for key in (value, f"word_{value}".replace(" ", "_")):
            if key in self.phrases.said and (key != value or "_" in value):
                return self.phrases.words(key, reader.language)
        return value
