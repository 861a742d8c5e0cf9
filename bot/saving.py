"""Bringing a backup back, and saying first what that would lose."""

from __future__ import annotations

import os
import sqlite3
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path


@dataclass(frozen=True)
class Losses:
    """What is in the file in use and not in the backup."""

    entries: int
    messages: int
    newest: str
    sound: bool

    @property
    def empty(self) -> bool:
        """True where nothing would be lost."""
        return self.entries <= 0 and self.messages <= 0

    def __str__(self) -> str:
        if not self.sound:
            return "the file in use is damaged: what it holds beyond the backup cannot be counted"
        if self.empty:
            return "nothing would be lost"
        return f"{self.entries} timeline entries and {self.messages} messages would be lost, the newest of {self.newest}"


def _count(path: Path) -> tuple[int, int, str] | None:
    try:
        with sqlite3.connect(f"file:{path}?mode=ro", uri=True) as db:
            if db.execute("pragma integrity_check").fetchone()[0] != "ok":
                return None
            entries, newest = db.execute("select count(*), coalesce(max(told), '') from entries").fetchone()
            (messages,) = db.execute("select count(*) from inbox").fetchone()
            return entries, messages, newest
    except sqlite3.Error:
        return None


def losses(now_in_use: Path, backup: Path) -> Losses:
    """What restoring this backup would lose; a backup that is not sound raises."""
    kept = _count(backup)
    if kept is None:
        raise sqlite3.DatabaseError(f"{backup} is not a sound backup")
    if not now_in_use.exists():
        return Losses(0, 0, "", True)
    there = _count(now_in_use)
    if there is None:
        return Losses(1, 1, "", False)
    return Losses(there[0] - kept[0], there[1] - kept[1], there[2], True)


def put_in(backup: Path, target: Path, now: datetime) -> None:
    """Puts the backup in the place of the file in use, which is kept beside it."""
    fresh = target.with_suffix(".restoring")
    os.close(os.open(fresh, os.O_CREAT | os.O_RDWR | os.O_TRUNC, 0o600))
    with sqlite3.connect(f"file:{backup}?mode=ro", uri=True) as source, sqlite3.connect(fresh) as copy:
        source.backup(copy)
    for suffix in ("", "-wal", "-shm"):
        old = target.with_name(target.name + suffix)
        if old.exists():
            old.replace(target.with_name(f"before-restore-{now:%Y%m%d%H%M%S}.db{suffix}"))
    fresh.replace(target)
