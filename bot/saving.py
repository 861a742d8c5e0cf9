"""The shop's file as a file: opened so that a commit lasts, copied while in use, and brought back.

What bringing a backup back would lose is said first; at no instant is there no file in its place.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from urllib.parse import quote

BUSY = 0.5  # seconds: longer would hold up everybody's first aid while another program has the file
# Full, locked, read-only, damaged or unreadable: the file's fault, not the message's. sqlite.org/rescode.html
TROUBLE = frozenset({5, 6, 7, 8, 10, 11, 13, 14, 26})
DAMAGED = frozenset({11, 26})


def connected(path: str) -> sqlite3.Connection:
    """A connection on which a commit is on the disk before it returns."""
    connection = sqlite3.connect(path, isolation_level=None, timeout=BUSY, check_same_thread=False)
    for pragma in ("journal_mode=wal", "synchronous=full", "temp_store=memory", "cache_size=-8000"):
        connection.execute(f"pragma {pragma}")
    return connection


def trouble(fault: BaseException) -> bool:
    """Whether the file failed, so that the same message may well succeed later."""
    return isinstance(fault, OSError) or _code(fault) in TROUBLE


def damaged(fault: BaseException) -> bool:
    """Whether the file is no longer what was written."""
    return _code(fault) in DAMAGED


def _code(fault: BaseException) -> int:
    return (getattr(fault, "sqlite_errorcode", None) or 0) & 0xFF


@contextmanager
def looking(path: Path, settled: bool = False) -> Iterator[sqlite3.Connection]:
    """Opens a file to read it alone; `settled` where nobody writes to it, as to a backup."""
    how = "immutable=1" if settled else "mode=ro"
    with closing(sqlite3.connect(f"file:{quote(str(path.absolute()))}?{how}", uri=True)) as db:
        yield db


def integrity(path: Path, settled: bool = False) -> str:
    """ "ok", or what is wrong with a database file; never raises for a damaged one."""
    try:
        with looking(path, settled) as db:
            return "; ".join(str(row[0]) for row in db.execute("pragma integrity_check(5)"))
    except sqlite3.Error as fault:
        return str(fault)


def backup(source: sqlite3.Connection, target: Path) -> Path:
    """A copy made while the bot runs, by SQLite's own online backup; opened and checked before it counts."""
    target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    partial = target.with_name(target.name + ".partial")
    try:
        _private(partial)
        with closing(sqlite3.connect(partial)) as copy:
            source.backup(copy)
            copy.execute("pragma journal_mode=delete")  # one file, whole, wherever it is carried
        if (said := integrity(partial, settled=True)) != "ok":
            raise sqlite3.DatabaseError(f"the copy is not sound: {said}")
        _settle(partial)
        partial.replace(target)
        _settle(target.parent)
    finally:
        partial.unlink(missing_ok=True)
    return target


def _private(path: Path) -> None:
    path.unlink(missing_ok=True)
    os.close(os.open(path, os.O_CREAT | os.O_RDWR | os.O_EXCL, 0o600))


def _settle(path: Path) -> None:
    """Onto the disk, a file or a folder's names."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def last_good(folder: Path) -> Path | None:
    """The newest backup that is whole."""
    found = sorted(folder.glob("*.db"), key=lambda p: p.stat().st_mtime, reverse=True)
    return next((p for p in found if integrity(p, settled=True) == "ok"), None)


@dataclass(frozen=True)
class Losses:
    """What is in the file in use and not in the backup."""

    entries: int
    messages: int
    newest: str
    sound: bool = True

    @property
    def empty(self) -> bool:
        """True where nothing would be lost."""
        return self.sound and self.entries <= 0 and self.messages <= 0

    def __str__(self) -> str:
        if not self.sound:
            return "the file in use is damaged: what it holds beyond the backup cannot be counted"
        if self.empty:
            return "nothing would be lost"
        newest = f", the newest of {self.newest}" if self.newest else ""
        return f"{self.entries} timeline entries and {self.messages} messages would be lost{newest}"


BEYOND = (
    "select count(*), coalesce(max(told), '') from entries e where not exists (select 1 from kept.entries k"
    " where k.id = e.id and k.told = e.told and k.kind = e.kind)",
    "select count(*) from inbox i where not exists (select 1 from kept.inbox k"
    " where k.source = i.source and k.key = i.key)",
)


def losses(now_in_use: Path, kept: Path, known: int) -> Losses:
    """What restoring this backup would lose; a backup that is not sound, or newer than step `known`, raises."""
    if (said := integrity(kept, settled=True)) != "ok":
        raise sqlite3.DatabaseError(f"{kept} is not a sound backup: {said}")
    with looking(kept, settled=True) as db:
        taken = int(db.execute("pragma user_version").fetchone()[0])
        tables = {row[0] for row in db.execute("select name from sqlite_master")}
    if not {"entries", "inbox", "outbox"} <= tables or taken > known:
        raise sqlite3.DatabaseError(f"{kept} is not a backup that this program can use")
    if not now_in_use.exists():
        return Losses(0, 0, "")
    if integrity(now_in_use) != "ok":
        return Losses(1, 1, "", sound=False)
    with looking(now_in_use) as db:
        db.execute("attach ? as kept", [f"file:{quote(str(kept.absolute()))}?immutable=1"])
        (entries, newest), (messages,) = (db.execute(sql).fetchone() for sql in BEYOND)
    return Losses(entries, messages, newest)


def put_in(kept: Path, target: Path, now: datetime) -> Path | None:
    """Puts a backup in the place of the file in use; gives where that one is kept, None if there was none.

    Codes that were open in the backup are void: one used since would open the door twice.
    """
    target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    fresh = target.with_name(target.name + ".restoring")
    _private(fresh)
    with looking(kept, settled=True) as source, closing(sqlite3.connect(fresh)) as copy:
        source.backup(copy)
        copy.execute("pragma journal_mode=delete")
        copy.execute("update invites set used = ? where used is null", [now.isoformat()])
        copy.commit()
    _settle(fresh)
    aside = _keep_aside(target, now) if target.exists() else None
    fresh.replace(target)
    _settle(target.parent)
    return aside


def _keep_aside(target: Path, now: datetime) -> Path:
    """A copy of the file in use with its journal, which then goes: it must not be played into another file."""
    aside = target.with_name(f"before-restore-{now:%Y%m%d%H%M%S}.db")
    with suppress(sqlite3.Error), closing(connected(str(target))) as db:
        db.execute("pragma wal_checkpoint(truncate)")
    for end in ("", "-wal"):
        part = target.with_name(target.name + end)
        if part.exists():
            copy = aside.with_name(aside.name + end)
            _private(copy)
            shutil.copyfile(part, copy)
            _settle(copy)
    for end in ("-wal", "-shm"):
        target.with_name(target.name + end).unlink(missing_ok=True)
    return aside
