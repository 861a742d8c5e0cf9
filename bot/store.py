"""The one place that writes: rows in, rows out, and the only BEGIN. One SQLite file, owner-only rights."""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from sqlite_utils import Database

from bot import migrations
from bot.wire import Delivery, Incoming, Outgoing

Row = dict[str, Any]
BACKOFF = 2.0
BACKOFF_MOST = 300.0


def text(moment: datetime | None) -> str | None:
    """A moment as it is kept: UTC, ISO, sortable as text."""
    return None if moment is None else moment.astimezone(UTC).isoformat(timespec="milliseconds")


def moment(kept: str | None) -> datetime | None:
    """Reads back what `text` wrote."""
    return None if kept is None else datetime.fromisoformat(kept)


class Store:
    """The shop's file. All writing goes through `turn()`; reading is free."""

    def __init__(self, path: Path | str, now: datetime) -> None:
        """Opens (and makes, and migrates with a backup first) the file; private to its owner."""
        self.path = Path(path)
        fresh = str(path) == ":memory:" or not self.path.exists()
        if str(path) != ":memory:":
            self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            os.close(os.open(self.path, os.O_CREAT | os.O_RDWR, 0o600))
        connection = sqlite3.connect(str(path), isolation_level=None, timeout=5, check_same_thread=False)
        connection.row_factory = None
        self.db = Database(connection)
        self.db.execute("pragma journal_mode=wal")
        self.db.execute("pragma synchronous=full")
        if not fresh and migrations.version(self.db) < len(migrations.STEPS):
            self.backup(self.path.with_name(f"before-{len(migrations.STEPS)}-{now:%Y%m%d%H%M%S}.db"))
        migrations.run(self.db)
        self.db.execute("update outbox set state = 'new', why = 'unsure' where state = 'sending'")

    def close(self) -> None:
        """Leaves the file in one piece."""
        self.db.conn.close()

    @contextmanager
    def turn(self) -> Iterator[None]:
        """One transaction: all of it or none of it."""
        self.db.execute("begin immediate")
        try:
            yield
        except BaseException:
            self.db.conn.rollback()
            raise
        self.db.execute("commit")

    def rows(self, sql: str, *values: Any) -> list[Row]:
        """The rows of a query as dicts."""
        cursor = self.db.execute(sql, list(values))
        names = [c[0] for c in cursor.description]
        return [dict(zip(names, row, strict=True)) for row in cursor.fetchall()]

    def row(self, sql: str, *values: Any) -> Row | None:
        """The first row of a query, or None."""
        return next(iter(self.rows(sql, *values)), None)

    def add(self, table: str, row: Mapping[str, Any]) -> int:
        """Puts in one row; gives its id."""
        done = self.db.table(table).insert(dict(row))
        return int(done.last_rowid or 0)

    def change(self, table: str, key: Any, **values: Any) -> None:
        """Changes one row by its primary key."""
        self.db.table(table).update(key, values)

    # ---- inbox

    def receive(self, incoming: Incoming, now: datetime, urgent: bool = False) -> bool:
        """Commits one update; False where its key was seen before."""
        payload = {k: v for k, v in vars(incoming).items() if k not in ("sent_at",)}
        payload["sent_at"] = text(incoming.sent_at)
        with self.turn():
            done = self.db.execute(
                "insert or ignore into inbox(source, key, kind, chat, person, message, payload, received, urgent, state)"
                " values (?, ?, ?, ?, ?, ?, ?, ?, ?, 'new')",
                [
                    incoming.source,
                    incoming.key,
                    incoming.kind,
                    incoming.chat,
                    incoming.person,
                    incoming.message,
                    json.dumps(payload, ensure_ascii=False),
                    text(now),
                    int(urgent),
                ],
            )
        return done.rowcount > 0

    def next_in(self) -> Row | None:
        """The next update to handle: injuries first, then in order."""
        return self.row("select * from inbox where state = 'new' order by urgent desc, id limit 1")

    def incoming(self, row: Row) -> Incoming:
        """The update as it came."""
        kept = json.loads(row["payload"])
        sent_at = moment(kept.pop("sent_at"))
        assert sent_at is not None
        return Incoming(sent_at=sent_at, **kept)

    def handled(
        self, row: int, now: datetime, acts: Sequence[Any] = (), state: str = "done", fault: str = ""
    ) -> None:
        """Marks an update as done (or failed), with the acts that it was taken for."""
        self.change(
            "inbox",
            row,
            state=state,
            handled=text(now),
            acts=json.dumps(list(acts), ensure_ascii=False),
            fault=fault or None,
        )

    # ---- the timeline

    def append(self, row: Mapping[str, Any]) -> int:
        """One fact onto the timeline."""
        return self.add("entries", row)

    def facts(self, job: int | None, after: int = 0) -> list[Row]:
        """The facts of a job that stand, in order of what they tell; `job` None is the shop's own."""
        return self.rows(
            "select id, kind, at, told, person, sections, data, inbox from entries"
            " where job is ? and id > ? and undone is null order by at, id",
            job,
            after,
        )

    def undo(self, inbox: int, by: int) -> list[Row]:
        """Marks the facts of one message as undone by entry `by`; gives them."""
        rows = self.rows("select * from entries where inbox = ? and undone is null and id != ?", inbox, by)
        self.db.execute(
            "update entries set undone = ? where inbox = ? and undone is null and id != ?", [by, inbox, by]
        )
        return rows

    def spend_buttons(self, inbox: int) -> None:
        """The buttons under the answers to a message that was taken back are of no use any more."""
        self.db.execute(
            "update buttons set pressed = 'gone' where pressed is null"
            " and outbox in (select id from outbox where inbox = ?)",
            [inbox],
        )

    # ---- reminders

    def stand(self, job: int, wanted: Iterable[Any]) -> None:
        """Makes the reminders of a job those wanted."""
        new = {r.key: (text(r.due), r.kind, json.dumps(list(r.sections))) for r in wanted}
        old = {
            key: (due, kind, sections)
            for key, due, kind, sections in self.db.execute(
                "select key, due, kind, sections from reminders where job = ?", [job]
            ).fetchall()
        }
        for key in old.keys() - new.keys():
            self.db.execute("delete from reminders where job = ? and key = ?", [job, key])
        for key, kept in new.items():
            if old.get(key) != kept:
                self.db.execute(
                    "insert or replace into reminders(job, key, due, kind, sections) values (?, ?, ?, ?, ?)",
                    [job, key, *kept],
                )

    def jobs_due(self, now: datetime) -> list[int]:
        """The jobs of which a reminder has fallen due, the longest waiting first."""
        rows = self.db.execute(
            "select job, min(due) from reminders where due <= ? group by job order by 2", [text(now)]
        )
        return [int(job) for job, _ in rows.fetchall()]

    def next_due(self) -> datetime | None:
        """When the next reminder falls due."""
        return moment(self.db.execute("select min(due) from reminders").fetchone()[0])

    # ---- outbox

    def ready(self, now: datetime, limit: int = 50) -> list[Outgoing]:
        """What is to go out now: alarms first, then in order, one a chat."""
        rows = self.rows(
            "select * from outbox o where state in ('new', 'sending') order by urgent desc, id limit ?",
            limit * 20,
        )
        found: list[Outgoing] = []
        busy: set[str] = set()
        for row in rows:
            if row["chat"] in busy:
                continue
            busy.add(row["chat"])
            if row["state"] == "new" and (row["due"] is None or row["due"] <= text(now)):
                found.append(self._outgoing(row))
            if len(found) >= limit:
                break
        return found

    def _outgoing(self, row: Row) -> Outgoing:
        buttons = self.rows(
            "select id, label from buttons where outbox = ? and pressed is not 'gone' order by place",
            row["id"],
        )
        edits = self.row("select platform from outbox where id = ?", row["edits"]) if row["edits"] else None
        pairs = tuple((b["label"], b["id"]) for b in buttons)
        size = 3 if len(pairs) != 4 else 2
        return Outgoing(
            id=row["id"],
            chat=row["chat"],
            text=row["text"],
            loud=bool(row["loud"]),
            kind=row["kind"],
            buttons=tuple(pairs[i : i + size] for i in range(0, len(pairs), size)),
            reply_to=row["reply_to"] or "",
            edits=(edits or {}).get("platform") or "",
            pin=row["kind"] == "board",
            files=tuple(json.loads(row["files"] or "[]")),
            repeat=row["why"] == "unsure",
        )

    def sending(self, row: int) -> None:
        """Notes that a message is on its way, so that a kill now is seen as unsure."""
        self.db.execute("update outbox set state = 'sending', tries = tries + 1 where id = ?", [row])

    def delivered(self, row: int, delivery: Delivery, now: datetime) -> None:
        """Notes what became of a message; a retry waits, twice as long each time, at least as long as told."""
        if delivery.state == "retry":
            tries = self.db.execute("select tries from outbox where id = ?", [row]).fetchone()[0]
            wait = max(delivery.wait, min(BACKOFF ** min(tries, 9), BACKOFF_MOST) if not delivery.wait else 0)
            self.db.execute(
                "update outbox set state = 'new', due = ?, why = ? where id = ?",
                [text(now + timedelta(seconds=wait)), "unsure" if delivery.maybe else delivery.why, row],
            )
        elif delivery.state == "moved":
            with self.turn():
                old = self.db.execute("select chat from outbox where id = ?", [row]).fetchone()[0]
                self.move_chat(old, delivery.chat)
                self.db.execute("update outbox set state = 'new' where id = ?", [row])
        else:
            self.db.execute(
                "update outbox set state = ?, platform = ?, why = ? where id = ?",
                [delivery.state, delivery.message or None, delivery.why or None, row],
            )

    def move_chat(self, old: str, new: str) -> None:
        """A group that became a supergroup keeps its job, its buttons and what waits for it."""
        for table in ("outbox", "buttons", "inbox", "jobs"):
            self.db.execute(f"update {table} set chat = ? where chat = ?", [new, old])
        self.db.execute("update or replace chats set chat = ? where chat = ?", [new, old])

    # ---- small things kept

    def keep(self, key: str, value: Any) -> None:
        """Keeps one small value by name."""
        self.db.execute("insert or replace into kept(key, value) values (?, ?)", [key, json.dumps(value)])

    def kept(self, key: str, default: Any = None) -> Any:
        """The value kept by that name."""
        row = self.db.execute("select value from kept where key = ?", [key]).fetchone()
        return default if row is None else json.loads(row[0])

    def backup(self, target: Path) -> Path:
        """A copy made while running, by SQLite's own online backup, opened and checked before it counts."""
        target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        partial = target.with_suffix(".partial")
        os.close(os.open(partial, os.O_CREAT | os.O_RDWR | os.O_TRUNC, 0o600))
        copy = sqlite3.connect(str(partial))
        with copy:
            self.db.conn.backup(copy)
        sound = copy.execute("pragma integrity_check").fetchone()[0] == "ok"
        copy.close()
        if not sound:
            partial.unlink()
            raise sqlite3.DatabaseError("the copy is not sound")
        partial.replace(target)
        return target
