"""A pattern that is compiled when it is first asked for: a bot started for one message pays for none that it needs not."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cached_property


class Late:
    """A regular expression, compiled late; the few methods that are wanted of it."""

    def __init__(self, text: str) -> None:
        self.text = text

    @cached_property
    def pattern(self) -> re.Pattern[str]:
        """The compiled pattern."""
        return re.compile(self.text)

    def search(self, text: str) -> re.Match[str] | None:
        """The first place where it fits."""
        return self.pattern.search(text)

    def match(self, text: str) -> re.Match[str] | None:
        """Where it fits the beginning."""
        return self.pattern.match(text)

    def fullmatch(self, text: str) -> re.Match[str] | None:
        """Where it fits all of a text."""
        return self.pattern.fullmatch(text)

    def finditer(self, text: str) -> Iterator[re.Match[str]]:
        """All places where it fits."""
        return self.pattern.finditer(text)

    def sub(self, instead: str | Callable[[re.Match[str]], str], text: str) -> str:
        """The text with something else in those places."""
        return self.pattern.sub(instead, text)
