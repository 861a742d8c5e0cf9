"""What the poll loop stands on: updates as raw JSON, and waits that grow."""

from __future__ import annotations

import asyncio
import json
import random
from collections.abc import Sequence
from contextlib import suppress
from functools import cache
from typing import Any

import httpx
from telegram.request import HTTPXRequest


@cache
def trust() -> dict[str, Any]:
    """The certificates to trust, read once for both connections: each reading costs a tenth of a second."""
    return {"verify": httpx.create_ssl_context()}


class Unparsed(HTTPXRequest):
    """Keeps the updates of a poll as raw JSON, so that the library never has to understand them."""

    raw: Sequence[Any] = ()

    async def do_request(self, *args: Any, **kwargs: Any) -> tuple[int, bytes]:
        """The answer without its updates, which are then in `raw`."""
        self.raw = ()
        code, payload = await super().do_request(*args, **kwargs)
        if code == 200:
            with suppress(ValueError):
                found = json.loads(payload)
                if isinstance(found, dict) and isinstance(found.get("result"), list):
                    self.raw = found["result"]
                    return code, b'{"ok": true, "result": []}'
        return code, payload


class Pause:
    """A growing wait between tries, with jitter so that many bots do not knock together; seconds."""

    def __init__(self, most: float, first: float = 0.5) -> None:
        self._first, self._next, self._most = first, first, most

    async def wait(self) -> None:
        """Waits, and longer the next time."""
        await asyncio.sleep(self._next * random.uniform(0.5, 1.0))
        self._next = min(self._next * 2, self._most)

    def over(self) -> None:
        """It went well: the next wait is short again."""
        self._next = self._first
