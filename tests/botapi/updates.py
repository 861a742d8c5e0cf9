"""The server's queue of updates, with the offset rules of the official one.

Sources: Bot API documentation (getUpdates), and the official server's source
(tdlib/telegram-bot-api `Client.cpp`: abort_long_poll, process_get_updates_query; tdlib/td
`TQueue.cpp`: an offset more than 10 beyond the tail counts as none).
"""

from __future__ import annotations

import threading
from typing import Any


class Conflict(Exception):
    """Another getUpdates began while this one waited."""


class Updates:
    """What waits to be fetched; an id is forgotten when a fetch comes with an offset above it."""

    def __init__(self, first: int = 1000) -> None:
        self.waiting: list[dict[str, Any]] = []
        self.allowed: list[str] | None = None
        self.next_id = first
        self._changed = threading.Condition()
        self._poll = 0
        self._closed = False

    def add(self, kind: str, body: dict[str, Any]) -> int:
        """Queues an update if its kind is allowed now (the filter works when an update is made)."""
        with self._changed:
            number, self.next_id = self.next_id, self.next_id + 1
            if self.allowed is None or kind in self.allowed:
                self.waiting.append({"update_id": number, kind: body})
                self._changed.notify_all()
            return number

    def raw(self, update: dict[str, Any]) -> None:
        """Queues anything at all, as it is: poison, strangers, doubles."""
        with self._changed:
            self.waiting.append(update)
            self.next_id = max(self.next_id, update.get("update_id", 0) + 1)
            self._changed.notify_all()

    def fetch(
        self, offset: int, limit: int, timeout: float, allowed: list[str] | None
    ) -> list[dict[str, Any]]:
        """Up to `limit` updates from `offset` on; waits for one at most `timeout` seconds."""
        with self._changed:
            self._poll += 1
            mine = self._poll
            self._changed.notify_all()
            if allowed is not None:
                self.allowed = allowed
            if offset > self.next_id + 10:
                offset = 0
            if offset < 0:
                offset = self.next_id + offset
            if offset > 0:
                self.waiting = [u for u in self.waiting if u.get("update_id", offset) >= offset]
            self._changed.wait_for(
                lambda: self.waiting or self._poll != mine or self._closed, min(timeout, 50)
            )
            if self._poll != mine:
                raise Conflict
            return self.waiting[: max(1, min(limit, 100))]

    def close(self) -> None:
        """Lets every waiting fetch go."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()
