"""The database, step by numbered step; a step and the record of it commit together.

Times are UTC ISO text with offset; `local` columns in the views are the shop's own time.
"""

from __future__ import annotations

from collections.abc import Callable

from sqlite_utils import Database

from bot import views

Step = Callable[[Database], None]


def m001_tables(db: Database) -> None:
    """People, jobs, the inbox, the timeline, the outbox, its buttons, and the reminders that stand."""
    db.table("people").create(
        {
            "id": int,
            "name": str,
            "source": str,
            "external": str,
            "chat": str,
            "role": str,
            "language": str,
            "units": str,
            "pings": str,
            "quiet_from": int,
            "quiet_to": int,
            "job": int,
            "joined": str,
            "removed": str,
            "blocked": str,
        },
        pk="id",
        not_null={"name", "source", "external", "role"},
    )
    db.table("people").create_index(["source", "external"], unique=True)
    db.table("invites").create(
        {"hash": str, "role": str, "made": str, "expires": str, "used": str, "person": int}, pk="hash"
    )
    db.table("chats").create(
        {
            "chat": str,
            "source": str,
            "job": int,
            "language": str,
            "opened_by": int,
            "greeted": str,
            "state": str,
        },
        pk="chat",
    )
    db.table("jobs").create({"id": int, "name": str, "opened": str, "closed": str, "chat": str}, pk="id")
    db.table("inbox").create(
        {
            "id": int,
            "source": str,
            "key": str,
            "kind": str,
            "chat": str,
            "person": str,
            "message": str,
            "payload": str,
            "received": str,
            "urgent": int,
            "state": str,
            "handled": str,
            "acts": str,
            "fault": str,
        },
        pk="id",
        not_null={"source", "key", "kind", "state"},
    )
    db.table("inbox").create_index(["source", "key"], unique=True)
    db.table("inbox").create_index(["chat", "message"])
    db.execute("create index inbox_new on inbox(urgent desc, id) where state = 'new'")
    db.table("entries").create(
        {
            "id": int,
            "job": int,
            "at": str,
            "local": str,
            "told": str,
            "zone": str,
            "person": int,
            "inbox": int,
            "act": int,
            "kind": str,
            "sections": str,
            "data": str,
            "words": str,
            "undone": int,
        },
        pk="id",
        not_null={"at", "told", "kind"},
    )
    db.table("entries").create_index(["job", "id"])
    db.table("entries").create_index(["inbox"])
    db.table("outbox").create(
        {
            "id": int,
            "source": str,
            "chat": str,
            "person": int,
            "job": int,
            "inbox": int,
            "kind": str,
            "loud": int,
            "urgent": int,
            "text": str,
            "reply_to": str,
            "about": str,
            "figures": str,
            "question": str,
            "files": str,
            "made": str,
            "due": str,
            "state": str,
            "tries": int,
            "platform": str,
            "edits": int,
            "why": str,
        },
        pk="id",
        not_null={"chat", "text", "state"},
    )
    db.table("outbox").create_index(["chat", "platform"])
    db.table("outbox").create_index(["chat", "id"])
    db.execute("create index outbox_open on outbox(urgent desc, id) where state in ('new', 'sending')")
    db.table("buttons").create(
        {
            "id": str,
            "outbox": int,
            "chat": str,
            "place": int,
            "label": str,
            "act": str,
            "pressed": str,
            "person": int,
        },
        pk="id",
    )
    db.table("buttons").create_index(["outbox"])
    db.table("reminders").create(
        {"key": str, "job": int, "kind": str, "due": str, "sections": str}, pk=("job", "key")
    )
    db.table("reminders").create_index(["due"])
    db.table("kept").create({"key": str, "value": str}, pk="key")


def m002_views(db: Database) -> None:
    """Views that read well in any SQLite tool."""
    db.create_view(
        "timeline",
        """
        select e.id, substr(e.local, 1, 16) as local, e.zone, j.name as job, p.name as who, e.kind,
               (select group_concat(value, ', ') from json_each(e.sections)) as sections, e.words, e.data,
               case when e.undone is null then '' else 'undone' end as state
        from entries e left join jobs j on j.id = e.job left join people p on p.id = e.person
        order by e.at, e.id""",
    )
    db.create_view(
        "dwell_by_section",
        """
        select s.job, j.name as job_name, x.value as section, s.local as started,
               (select min(r.local) from entries r, json_each(r.sections) y
                where r.job = s.job and y.value = x.value and r.undone is null and r.at >= s.at
                  and r.kind in ('start', 'finish') and json_extract(r.data, '$.step') in ('rinse', 'final rinse')
               ) as rinsed,
               json_extract(s.data, '$.product') as product
        from entries s, json_each(s.sections) x left join jobs j on j.id = s.job
        where s.kind = 'start' and s.undone is null and json_extract(s.data, '$.step') in ('strip', 'brighten')""",
    )
    db.create_view(
        "batches",
        """
        select e.local, j.name as job, p.name as who, json_extract(e.data, '$.product') as product,
               json_extract(e.data, '$.volume.value') as volume, json_extract(e.data, '$.volume.unit') as unit,
               json_extract(e.data, '$.taken.value') as taken, json_extract(e.data, '$.taken.unit') as taken_unit
        from entries e left join jobs j on j.id = e.job left join people p on p.id = e.person
        where e.kind = 'mixed' and e.undone is null order by e.at""",
    )
    db.create_view(
        "readings",
        """
        select e.local, j.name as job, x.value as section, e.kind,
               coalesce(json_extract(e.data, '$.readings'), json_extract(e.data, '$.value')) as reading
        from entries e, json_each(e.sections) x left join jobs j on j.id = e.job
        where e.kind in ('moisture', 'ph') and e.undone is null order by e.at""",
    )
    db.create_view(
        "costs",
        """
        select e.local, json_extract(e.data, '$.product') as product, json_extract(e.data, '$.cost') as cost,
               coalesce(json_extract(e.data, '$.mass.value'), json_extract(e.data, '$.volume.value')) as amount,
               coalesce(json_extract(e.data, '$.mass.unit'), json_extract(e.data, '$.volume.unit')) as unit
        from entries e where e.kind = 'restock' and e.undone is null
          and json_extract(e.data, '$.cost') is not null order by e.at""",
    )


def m003_indexes(db: Database) -> None:
    """So that nothing a turn asks for is searched row by row, however long the shop has been kept."""
    for sql in (
        "drop index outbox_open",
        "create index outbox_open on outbox(chat, urgent desc, id) where state in ('new', 'sending')",
        "create index outbox_rings on outbox(chat, id) where kind in ('reminder', 'late')",
        "create index outbox_inbox on outbox(inbox)",
        "create index entries_told on entries(job, at, id)",
        "create index entries_person on entries(person, id) where undone is null",
        "create index jobs_open on jobs(id) where closed is null",
        "create index people_chat on people(chat)",
    ):
        db.execute(sql)


def m004_reading_views(db: Database) -> None:
    """Views that read as sentences and add up: dwell in minutes, batches by number, what a job cost, hours."""
    for name, sql in views.VIEWS.items():
        db.execute(f"drop view if exists {name}")
        db.create_view(name, sql)


def m005_views_without_practice(db: Database) -> None:
    """What was only practised is marked in the timeline and stands in no sum."""
    m004_reading_views(db)


def m006_outbox_by_moment(db: Database) -> None:
    """So that a word after a long silence, or the first board of a job, looks through no whole outbox."""
    db.execute("drop index outbox_rings")
    db.execute("create index outbox_made on outbox(chat, made)")
    db.execute("create index outbox_boards on outbox(job, person, id) where kind = 'board'")


def m007_views_of_doers(db: Database) -> None:
    """Who did what another told of stands in the views in the place of who told it, hours included."""
    m004_reading_views(db)


STEPS: tuple[Step, ...] = (
    m001_tables, m002_views, m003_indexes, m004_reading_views, m005_views_without_practice, m006_outbox_by_moment,
    m007_views_of_doers,
)  # fmt: skip


def version(db: Database) -> int:
    """How many steps the file has taken."""
    return int(db.execute("pragma user_version").fetchone()[0])


def run(db: Database) -> None:
    """Takes the steps that the file lacks, each in one transaction with its number."""
    for number, step in enumerate(STEPS, 1):
        if number <= version(db):
            continue
        db.execute("begin immediate")
        try:
            if version(db) < number:  # another program may have taken it while this one waited
                step(db)
                db.execute(f"pragma user_version = {number}")
            db.conn.execute("commit")
        except BaseException:
            db.conn.rollback()
            raise
