"""The one place that writes: rows in, rows out, and the only BEGIN. One SQLite file, owner-only rights."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from pathlib import Path
from typing import Any

from sqlite_utils import Database

from bot import migrations, saving
from bot.errors import Misconfigured
from bot.wire import Delivery, Incoming, Outgoing

Row = dict[str, Any]
BACKOFF = 2.0
THREE_ABREAST = 16  # letters of a label of which three stand in a row on a phone and can be read
BACKOFF_MOST = 300.0
OPEN = "state in ('new', 'sending')"  # in these very words, or SQLite does not see that the index of the open ones serves
# The chats with anything undelivered, by steps along the index and not over all that waits.
OPEN_CHATS = """
    with recursive open(chat) as (
        select min(chat) from outbox where state in ('new', 'sending')
        union all
        select (select min(o.chat) from outbox o where o.state in ('new', 'sending') and o.chat > open.chat)
        from open where open.chat is not null)
    select chat from open where chat is not null"""
HEAD = """
    select * from outbox where chat = ? and state in ('new', 'sending') and {urgent}
      and (due is null or due <= ? or tries > 0) order by urgent desc, id limit 1"""
# An invitation's code is for its reader alone: neither the file nor a backup holds it once it went out.
UNSAY = """
    update outbox set text = '' where {which} = ? and state not in ('new', 'sending') and json_extract(about, '$.secret')"""
KEYS = {"chats": "chat", "invites": "hash", "kept": "key"}  # the primary keys that are not `id`


def text(moment: datetime | None) -> str | None:
    """A moment as it is kept: UTC, ISO, sortable as text."""
    return None if moment is None else moment.astimezone(UTC).isoformat(timespec="milliseconds")


def moment(kept: str | None) -> datetime | None:
    """Reads back what `text` wrote."""
    return None if kept is None else datetime.fromisoformat(kept)


@lru_cache(maxsize=1024)  # a turn has a hundred reminders of a few sections
def _listed(names: tuple[str, ...]) -> str:
    return json.dumps(list(names))


def _waits(row: Row, now: datetime) -> bool:
    """Whether a message's time is still to come; a try that would wait longer than any does was put down before the
    clock was set back."""
    far = row["tries"] and row["due"] and row["due"] > text(now + timedelta(seconds=BACKOFF_MOST))
    return row["due"] is not None and row["due"] > text(now) and not far


class Store:
    """The shop's file. All writing goes through `turn()`; reading is free."""

    def __init__(self, path: Path | str, now: datetime) -> None:
        """Opens (and makes, and migrates with a backup first) the file; private to its owner."""
        self.path = Path(path)
        fresh = str(path) == ":memory:" or not self.path.exists()
        if str(path) != ":memory:":
            self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            os.close(os.open(self.path, os.O_CREAT | os.O_RDWR, 0o600))
        self.db = Database(saving.connected(str(path)))
        known, taken = len(migrations.STEPS), migrations.version(self.db)
        if taken > known:
            raise Misconfigured("RINSEBELL_DATA", fault=f"holds step {taken}, this program knows {known}",
                                example="the newer program, or restore an older backup")  # fmt: skip
        if not fresh and taken < known:
            self.backup(self.path.with_name(f"before-{known}-{now:%Y%m%d%H%M%S}.db"))
        migrations.run(self.db)

    def close(self) -> None:
        """Leaves the file in one piece."""
        self.db.conn.close()

    def recover(self) -> None:
        """What an earlier run was sending may have arrived: it goes out again. For the one that delivers, alone."""
        self.db.execute(f"update outbox set state = 'new', why = 'unsure' where state = 'sending' and {OPEN}")

    @contextmanager
    def turn(self) -> Iterator[None]:
        """One transaction: all of it or none of it."""
        self.db.conn.execute("begin immediate")
        try:
            yield
            self.db.conn.execute("commit")
        except BaseException:
            self.db.conn.rollback()
            raise

    @contextmanager
    def part(self) -> Iterator[None]:
        """A part of a turn that can fail by itself."""
        self.db.conn.execute("savepoint part")
        try:
            yield
        except BaseException:
            if self.db.conn.in_transaction:
                self.db.conn.execute("rollback to part")
                self.db.conn.execute("release part")
            raise
        self.db.conn.execute("release part")

    def rows(self, sql: str, *values: Any) -> list[Row]:
        """The rows of a query as dicts."""
        cursor = self.db.conn.execute(sql, values)
        names = [c[0] for c in cursor.description]
        return [dict(zip(names, row, strict=True)) for row in cursor.fetchall()]

    def row(self, sql: str, *values: Any) -> Row | None:
        """The first row of a query, or None."""
        return next(iter(self.rows(sql, *values)), None)

    def add(self, table: str, row: Mapping[str, Any], otherwise: str = "") -> int:
        """Puts in one row; gives its id. `otherwise` is what to do about a twin: "or ignore" gives 0 then."""
        names, marks = ", ".join(row), ", ".join("?" * len(row))
        done = self.db.conn.execute(
            f"insert {otherwise} into {table}({names}) values ({marks})", [*row.values()]
        )
        return int(done.lastrowid or 0) if done.rowcount > 0 else 0

    def change(self, table: str, key: Any, **values: Any) -> None:
        """Changes one row by its primary key."""
        names = ", ".join(f"{name} = ?" for name in values)
        sql = f"update {table} set {names} where {KEYS.get(table, 'id')} = ?"
        self.db.conn.execute(sql, [*values.values(), key])

    # ---- inbox

    def receive(self, incoming: Incoming, now: datetime, urgent: bool = False) -> bool:
        """Commits one update; False where its key was seen before."""
        with self.turn():
            return self.post_in(incoming, now, urgent)

    def post_in(self, incoming: Incoming, now: datetime, urgent: bool = False) -> bool:
        """An update into the inbox, inside a turn; half a character (a lone surrogate) becomes "?"."""
        kept = {**asdict(incoming), "sent_at": text(incoming.sent_at)}
        payload = json.dumps(kept, ensure_ascii=False).encode("utf-8", "replace").decode()
        row = {
            "source": incoming.source, "key": incoming.key, "kind": incoming.kind, "chat": incoming.chat,
            "person": incoming.person, "message": incoming.message, "payload": payload, "received": text(now),
            "urgent": int(urgent), "state": "new",
        }  # fmt: skip
        return self.add("inbox", row, "or ignore") > 0

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
        kept = json.dumps(list(acts), ensure_ascii=False)
        self.change("inbox", row, state=state, handled=text(now), acts=kept, fault=fault or None)

    def unsay(self, row: int) -> None:
        """Keeps of an update that it came, and not its words: a stranger's, or a code's."""
        bare = "json_set(payload, '$.text', '', '$.name', '', '$.data', json('{}'))"
        self.db.execute(f"update inbox set payload = {bare} where id = ?", [row])

    # ---- the timeline

    def append(self, row: Mapping[str, Any]) -> int:
        """One fact onto the timeline."""
        return self.add("entries", row)

    def facts(self, job: int | None, after: int = 0, since: tuple[datetime, int] | None = None) -> list[Row]:
        """The facts of a job that stand, in order of what they tell; `job` None is the shop's own.

        Only those written after entry `after`, or only those that come later in the order than (at, id) `since`.
        """
        wanted, values = "id > ?", (after,)
        if since is not None:
            wanted, values = "(at, id) > (?, ?)", (text(since[0]), since[1])  # type: ignore[assignment]
        return self.rows(
            "select id, kind, at, told, person, sections, data, inbox from entries"
            f" where job is ? and {wanted} and undone is null order by at, id", job, *values,
        )  # fmt: skip

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

    # ---- jobs

    def jobs(self, open_only: bool = False) -> list[tuple[int, str, bool]]:
        """(number, name, whether open) of each job in the order they were opened."""
        where = "where closed is null " if open_only else ""
        return self.db.conn.execute(f"select id, name, closed is null from jobs {where}order by id").fetchall()

    def names(self) -> str:
        """The name of every job, as one JSON list: every message is held against it, and rows would cost more."""
        return str(self.db.conn.execute("select json_group_array(name) from jobs").fetchone()[0])

    # ---- reminders

    def stand(self, job: int, wanted: Iterable[Any]) -> None:
        """Makes the reminders of a job those wanted."""
        # a due time is kept in milliseconds: rounded up, so that what is kept is never before what is meant
        new = {r.key: (text(r.due + timedelta(microseconds=999)), r.kind, _listed(r.sections)) for r in wanted}
        found = self.db.conn.execute("select key, due, kind, sections from reminders where job = ?", [job])
        old = {key: (due, kind, sections) for key, due, kind, sections in found.fetchall()}
        gone = [(job, key) for key in old.keys() - new.keys()]
        fresh = [(job, key, *kept) for key, kept in new.items() if old.get(key) != kept]
        self.db.conn.executemany("delete from reminders where job = ? and key = ?", gone)
        self.db.conn.executemany(
            "insert or replace into reminders(job, key, due, kind, sections) values (?, ?, ?, ?, ?)", fresh
        )

    def jobs_due(self, now: datetime) -> list[int]:
        """The jobs of which a reminder has fallen due, the longest waiting first."""
        # "+job": else SQLite walks every reminder there is in the order of jobs, and not the few that are due
        rows = self.db.execute(
            "select job, min(due) from reminders where due <= ? group by +job order by 2", [text(now)]
        )
        return [int(job) for job, _ in rows.fetchall()]

    def take_due(self, job: int, now: datetime) -> list[Row]:
        """Takes the reminders of a job that are due off the table; gives them."""
        rows = self.rows("select * from reminders where job = ? and due <= ? order by due", job, text(now))
        self.db.conn.execute("delete from reminders where job = ? and due <= ?", [job, text(now)])
        return rows

    def next_due(self) -> datetime | None:
        """When the next reminder falls due."""
        return moment(self.db.execute("select min(due) from reminders").fetchone()[0])

    # ---- outbox

    def ready(self, now: datetime, limit: int = 50) -> list[Outgoing]:
        """What is to go out now: alarms first, then in order, one a chat (and beside it one alarm).

        What quiet hours hold back holds up nothing; what failed and waits for its next try keeps its place.
        """
        chats = self.db.conn.execute(OPEN_CHATS).fetchall()
        found: list[Row] = []
        for (chat,) in chats:
            for urgent in ("urgent >= 2", "urgent < 2"):
                row = self.row(HEAD.format(urgent=urgent), chat, text(now))
                if row and row["state"] == "new" and not _waits(row, now):
                    found.append(row)
        found.sort(key=lambda r: (-r["urgent"], r["id"]))
        return [self._outgoing(row) for row in found[:limit]]

    def _outgoing(self, row: Row) -> Outgoing:
        buttons = self.rows(
            "select id, label from buttons where outbox = ? and pressed is null order by place",
            row["edits"] or row["id"],
        )
        edits = self.row("select platform from outbox where id = ?", row["edits"]) if row["edits"] else None
        pairs = tuple((b["label"], b["id"]) for b in buttons)
        short = max((len(label) for label, _ in pairs), default=0) <= THREE_ABREAST
        size = 3 if short and len(pairs) != 4 else 2
        return Outgoing(
            id=row["id"], chat=row["chat"], text=row["text"], loud=bool(row["loud"]), kind=row["kind"],
            buttons=tuple(pairs[i : i + size] for i in range(0, len(pairs), size)),
            reply_to=row["reply_to"] or "", edits=(edits or {}).get("platform") or "",
            pin=row["kind"] == "board" and not row["edits"], files=tuple(json.loads(row["files"] or "[]")),
            repeat=row["why"] == "unsure", urgent=int(row["urgent"] or 0),
        )  # fmt: skip

    def sending(self, row: int) -> None:
        """Notes that a message is on its way, so that a kill now is seen as unsure."""
        self.db.execute("update outbox set state = 'sending', tries = tries + 1 where id = ?", [row])

    def delivered(self, row: int, delivery: Delivery, now: datetime) -> None:
        """Notes what became of a message; a retry waits, twice as long each time (a longer order of the platform's
        is kept by the courier, on a clock that nobody sets)."""
        kept = self.row("select * from outbox where id = ?", row)
        assert kept is not None
        if delivery.state == "retry":
            wait = delivery.wait or min(BACKOFF ** min(kept["tries"], 9), BACKOFF_MOST)
            due, why = text(now + timedelta(seconds=min(wait, BACKOFF_MOST))), "unsure" if delivery.maybe else delivery.why
            return self.change("outbox", row, state="new", due=due, why=why)
        with self.turn():
            if delivery.state == "moved":
                self.move_chat(kept["chat"], delivery.chat)
                return self.change("outbox", row, state="new")
            platform = delivery.message or kept["platform"]
            self.change("outbox", row, state=delivery.state, platform=platform, why=delivery.why or None)
            self.db.execute(UNSAY.format(which="id"), [row])
            if delivery.state in ("blocked", "never"):
                self._refused(kept, now)
            if delivery.state == "blocked":
                self._gone(kept, now)

    def _refused(self, kept: Row, now: datetime) -> None:
        """A ring that nobody gets to hear: the desk is told, and puts it to whoever is left."""
        who = self.row("select source, external, chat from people where removed is null and blocked is null"
                       " order by role = 'owner' desc, id limit 1")  # fmt: skip
        if who and kept["kind"] in ("reminder", "late"):
            told = Incoming(who["source"], f"refused:{kept['id']}", "refused", who["chat"] or "", who["external"],
                            now, data={"row": kept["id"]})  # fmt: skip
            self.post_in(told, now)

    def _gone(self, kept: Row, now: datetime) -> None:
        """Somebody stopped the bot, or a group put it out: the desk hears of it as if the platform had told."""
        self.drop(kept["chat"], now)
        who = self.row(
            "select source, external, blocked from people where chat = ? and removed is null", kept["chat"]
        )
        kind, data = "blocked", {"status": "kicked"}
        if who is None:
            who = self.row("select p.source, p.external, case c.state when 'open' then null else 1 end as blocked"
                           " from chats c join people p on p.id = c.opened_by where c.chat = ?", kept["chat"])  # fmt: skip
            kind, data = "member", {"left": True}  # type: ignore[dict-item]
        if who and not who["blocked"]:
            told = Incoming(who["source"], f"gone:{kept['id']}", kind, kept["chat"], who["external"], now,
                            private=kind == "blocked", data=data)  # fmt: skip
            self.post_in(told, now)

    def drop(self, chat: str, now: datetime) -> None:
        """What waits for a chat that is gone is not kept: by the time it came back it would be false."""
        for row in self.rows("select * from outbox where chat = ? and state in ('new', 'sending')", chat):
            self._refused(row, now)
        self.db.execute(
            "update outbox set state = 'dropped' where chat = ? and state in ('new', 'sending')", [chat]
        )
        self.db.execute(UNSAY.format(which="chat"), [chat])

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
        """A copy made while running, opened and checked before it counts."""
        return saving.backup(self.db.conn, target)
