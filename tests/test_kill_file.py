"""Killed (SIGKILL) at every step of what is done with the file as a file: a backup, a restore, a migration.

At no instant is there no sound database in its place, and nothing that was in it is gone.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from sqlite_utils import Database

from bot import migrations, saving
from bot.store import Store
from tests.test_kill import Killer, was_killed

NOW = datetime(2026, 6, 10, 13, 50, tzinfo=UTC)
STEPS = ((os, "open"), (os, "replace"), (os, "unlink"), (os, "fsync"), (shutil, "copyfile"))


@pytest.fixture(autouse=True)
def no_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """A killed process needs no disk that answers; only a machine that loses its power does."""
    connected = saving.connected

    def quick(path: str) -> Any:
        connection = connected(path)
        connection.execute("pragma synchronous=off")
        return connection

    monkeypatch.setattr(saving, "connected", quick)
    monkeypatch.setattr(os, "fsync", lambda handle: None)


def killed(work: Callable[[], Any], nth: int) -> bool:
    """Does the work in a process that ends itself before its nth step on the disk; False where it came to its end."""
    child = os.fork()
    if child == 0:
        killer = Killer(nth)
        try:
            for where, name in STEPS:
                setattr(where, name, stepped(getattr(where, name), killer))
            connected = saving.connected
            saving.connected = lambda path: traced(connected(path), killer)
            work()
            os._exit(0)
        finally:
            os._exit(9)
    return was_killed(child)


def stepped(real: Callable[..., Any], killer: Killer) -> Callable[..., Any]:
    def step(*args: Any, **named: Any) -> Any:
        killer.step()
        return real(*args, **named)

    return step


def traced(connection: Any, killer: Killer) -> Any:
    connection.set_trace_callback(killer.step)
    return connection


def texts(path: Path) -> list[str]:
    """The words in the outbox of a sound file."""
    assert saving.integrity(path) == "ok"
    with saving.looking(path) as db:
        return [row[0] for row in db.execute("select text from outbox order by id")]


def put(store: Store, text: str) -> None:
    store.db.execute("insert into outbox(chat, text, state) values ('1', ?, 'new')", [text])


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A shop's file with one message in it and a backup of before a second one."""
    path = tmp_path / "shop" / "rinsebell.db"
    store = Store(path, NOW)
    put(store, "old")
    store.backup(tmp_path / "shop" / "copy.db")
    put(store, "new")
    store.close()
    return path


def each_point(fresh: Path, work: Callable[[], Any], then: Callable[[], None], every: int = 1) -> int:
    """Kills at each step in turn (or every third), on a folder as it was at first; gives how many there were."""
    kept = shutil.copytree(fresh, fresh.with_name("kept"))
    nth = 1
    while True:
        shutil.rmtree(fresh)
        shutil.copytree(kept, fresh)
        if not killed(work, nth):
            return nth - 1
        then()
        nth += every


def test_a_restore(file: Path) -> None:
    copy = file.with_name("copy.db")

    def then() -> None:
        there = texts(file)
        asides = [p for p in file.parent.glob("before-restore-*.db") if saving.integrity(p) == "ok"]
        assert there == ["old", "new"] or (there == ["old"] and texts(asides[0]) == ["old", "new"])
        saving.put_in(copy, file, NOW)
        Store(file, NOW).close()
        assert texts(file) == ["old"]

    assert each_point(file.parent, lambda: saving.put_in(copy, file, NOW), then) > 10


def test_a_backup_over_the_one_of_this_morning(file: Path) -> None:
    copy = file.with_name("copy.db")

    def work() -> None:
        saving.backup(saving.connected(str(file)), copy)

    def then() -> None:
        assert texts(copy) in (["old"], ["old", "new"]) and texts(file) == ["old", "new"]
        work()
        assert texts(copy) == ["old", "new"]

    assert each_point(file.parent, work, then) > 5


def test_a_migration(tmp_path: Path) -> None:
    file = tmp_path / "shop" / "rinsebell.db"
    file.parent.mkdir()
    older = saving.connected(str(file))
    for number, step in enumerate(migrations.STEPS[:2], 1):
        step(Database(older))
        older.execute(f"pragma user_version = {number}")
    older.execute("insert into outbox(chat, text, state) values ('1', 'kept', 'new')")
    older.close()

    def then() -> None:
        Store(file, NOW).close()
        assert texts(file) == ["kept"]
        assert texts(next(file.parent.glob("before-*.db"))) == ["kept"]
        with saving.looking(file) as db:
            assert db.execute("pragma user_version").fetchone()[0] == len(migrations.STEPS)

    assert each_point(file.parent, lambda: Store(file, NOW).close(), then, every=3) > 20
