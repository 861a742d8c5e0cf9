"""The only wiring."""

from __future__ import annotations

import asyncio
import json
import logging
import signal
import sqlite3
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

import handlers
from bot import export as exporting
from bot import migrations, people, saving
from bot.amounts import Reader
from bot.clock import SetClock, WallClock
from bot.desk import Desk
from bot.errors import Misconfigured
from bot.ledger import House
from bot.lookup import folded
from bot.making import Making, WithFiles, write
from bot.menu import Menus
from bot.serving import alone
from bot.settings import Settings, read
from bot.speech import Phrases, Speech
from bot.store import Store
from bot.store import text as stored
from bot.understand import lexicon
from bot.weather import Forecasts, Watch

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "handlers"
NAME_AGAIN = 5.0  # seconds until the bot's name is kept after all, where the file could not be written


def database(settings: Settings) -> Path:
    """Where the shop's file lies."""
    return settings.data / "rinsebell.db"


def house(settings: Settings) -> House:
    """What the settings fix for the whole shop."""
    return House(settings.zone, settings.language, settings.units, settings.emergency)


@cache
def words() -> tuple[lexicon.Lexicon, Speech]:
    """The words in and out of the folder: read once a process, for nothing changes them."""
    return lexicon.load(FOLDER), Speech(Phrases(FOLDER))


def desk(store: Store, what: House, clock: WallClock | SetClock) -> Desk:
    """A desk with every command of the folder."""
    known, speech = words()
    return Desk(store, handlers.table(), known, speech, what, clock.now)


def making_for(at: Desk, data: Path) -> Making:
    """What makes the files of a desk's messages, in the data folder."""
    return Making(at.store, at.shelf, at.speech, at.house.zone, data / "files", at.now)


def _options(argv: list[str], *flags: str, takes: tuple[str, ...] = ()) -> tuple[list[str], dict[str, str]]:
    """The words and the options of a command line; an unknown option is Misconfigured."""
    words, found, rest = [], {}, list(argv)
    while rest:
        word = rest.pop(0)
        name, mark, value = word.partition("=")
        if name in takes:
            if not mark and not rest:
                raise Misconfigured(name, fault="needs a value", example=f"{name} VALUE")
            found[name] = value if mark else rest.pop(0)
        elif word in flags:
            found[word] = "yes"
        elif word.startswith("--"):
            raise Misconfigured(
                word, fault="is no option here", example=" ".join((*flags, *takes)) or "no options"
            )
        else:
            words.append(word)
    return words, found


def _shop(settings: Settings, clock: WallClock) -> Store:
    return Store(database(settings), clock.now())


def _shop_alone(settings: Settings, clock: WallClock) -> Store:
    """The shop's file for the one process that delivers: what was half sent goes out again."""
    store = _shop(settings, clock)
    store.recover()
    return store


def talk(argv: list[str]) -> int:
    """`talk`: a conversation in the terminal, on the same desk and an embedded database."""
    from bot.transports import console as terminal

    settings = read()
    _options(argv)
    clock = WallClock(settings.speed)
    with alone(settings.data):
        store = _shop_alone(settings, clock)
        front = terminal.Console(
            desk(store, house(settings), clock), clock, sys.stdout, settings.language, settings.units
        )
        front.make = making_for(front.desk, settings.data).made
        front.greet(str(settings.data))
        typed = sys.stdin.isatty() and sys.stdout.isatty()
        lines = terminal.typed(front, str(settings.data / "history")) if typed else terminal.piped(sys.stdin)
        try:
            asyncio.run(terminal.converse(front, lines))
        except KeyboardInterrupt:
            pass
        finally:
            store.close()
    return 0


def rehearse(argv: list[str]) -> int:
    """`rehearse DAY.txt`: plays a written day on a virtual clock; pictures are made with --draw only."""
    from bot.transports import rehearsal

    words, options = _options(argv, "--json", "--draw", takes=("--data",))
    if len(words) != 1:
        raise Misconfigured(
            "rehearse", fault="needs one written day", example="rehearse tests/days/heron_point.txt"
        )
    try:
        text = Path(words[0]).read_text(encoding="utf-8")
    except OSError as fault:
        raise Misconfigured(
            words[0], fault=f"cannot be read ({fault.strerror})", example="a text file"
        ) from fault
    day = rehearsal.read(text)
    clock = SetClock(day.start)
    with tempfile.TemporaryDirectory() as spare:
        folder = Path(options.get("--data", spare))
        what = House(day.zone)

        def opened() -> Desk:
            store = Store(folder / "rinsebell.db", clock.now())
            store.recover()
            return desk(store, what, clock)

        played = rehearsal.Rehearsal(day, opened, clock)
        if "--draw" in options:
            played.make = lambda out: making_for(played.desk, folder).made(out)
        for happened in played.play():
            print(
                json.dumps(happened, ensure_ascii=False, default=str)
                if "--json" in options
                else rehearsal.shown(happened)
            )
        played.desk.store.close()
    return 0


def invite(argv: list[str]) -> int:
    """`invite owner|crew`: a single-use code, printed once; only its hash is kept."""
    words, options = _options(argv, "--json")
    if words not in (["owner"], ["crew"]):
        raise Misconfigured("invite", fault="needs a role", example="invite crew")
    settings, clock = read(), WallClock()
    store = _shop(settings, clock)
    made = people.invite(store, words[0], clock.now())
    username = store.kept("username", "")
    store.close()
    expires = made["expires"].astimezone(settings.zone).isoformat(timespec="minutes")
    link = f"https://t.me/{username}?start={made['code']}" if username else ""
    if "--json" in options:
        print(json.dumps({"code": made["code"], "link": link, "expires": expires}))
    else:
        print(
            f"Send the bot:  /start {made['code']}\n{('or open  ' + link) if link else ''}\nWorks once, until {expires}."
        )
    return 0


def serve(argv: list[str]) -> int:
    """`serve`: the bot on Telegram, until SIGTERM; --last-good: read-only, from the last good backup."""
    _, options = _options(argv, "--last-good")
    settings = read()
    if not settings.token:
        raise Misconfigured(
            "RINSEBELL_TOKEN", fault="is not set", example="RINSEBELL_TOKEN_FILE=/etc/rinsebell/token"
        )
    logging.basicConfig(level=logging.INFO, format="%(levelname)s %(name)s %(message)s")
    clock = WallClock(settings.speed)
    with alone(settings.data):
        if "--last-good" in options:
            return _serve_last_good(settings, clock)
        store = _shop_alone(settings, clock)
        _leave_terminal(store, clock.now())
        _owner_code(store, clock.now())
        try:
            asyncio.run(_serve(settings, store, clock))
        finally:
            store.close()
    return 0


def _serve_last_good(settings: Settings, clock: WallClock) -> int:
    """Answers from a copy of the newest sound backup, which is thrown away after; the damaged file is not touched."""
    copy = saving.last_good(settings.data / "backups")
    if copy is None:
        raise Misconfigured(
            "--last-good", fault="finds no sound backup", example="a copy in the folder backups"
        )
    print(f"read-only, from {copy}: nothing that is told now is recorded", flush=True)
    with tempfile.TemporaryDirectory() as folder:
        saving.put_in(copy, Path(folder) / "rinsebell.db", clock.now())
        store = Store(Path(folder) / "rinsebell.db", clock.now())
        try:
            asyncio.run(_serve(settings, store, clock, read_only=True))
        finally:
            store.close()
    return 0


def _leave_terminal(store: Store, now: datetime) -> None:
    """Whoever only tried it in the terminal is off the line: no owner of the bot, and nobody to be rung."""
    with store.turn():
        for row in store.rows("select id from people where source = 'talk' and removed is null"):
            store.change("people", row["id"], removed=stored(now))


def _owner_code(store: Store, now: datetime) -> None:
    """The first start prints the code by which the owner claims the bot."""
    if store.row("select 1 from people where role = 'owner' and removed is null") is None:
        made = people.invite(store, "owner", now)
        print(f"No owner yet. Send the bot:  /start {made['code']}", flush=True)


async def _serve(settings: Settings, store: Store, clock: WallClock, read_only: bool = False) -> None:
    from bot import liveness, redact, serving
    from bot.transports.telegram import TelegramTransport

    redact.install(settings.token)
    stop = asyncio.Event()
    for number in (signal.SIGTERM, signal.SIGINT):
        asyncio.get_running_loop().add_signal_handler(number, stop.set)
    transport = TelegramTransport(settings, clock)
    tasks = [asyncio.create_task(liveness.beat()), asyncio.create_task(_named(transport, store))]
    try:
        at = desk(store, house(settings), clock)
        at.read_only = read_only
        if settings.weather_url:
            tasks.append(
                asyncio.create_task(Watch(Forecasts(settings.weather_url), at.ringing, at.now).run(clock))
            )
        await serving.serve(WithFiles(transport, making_for(at, settings.data)), at, store, clock, stop)
    finally:
        liveness.tell(liveness.STOPPING)
        for task in tasks:
            task.cancel()


async def _named(transport: Any, store: Store) -> None:
    """Keeps the bot's name once it is known (invitations are links from then on), and the menus from then on."""
    while not transport.me.username:
        await asyncio.sleep(0.2)
    print(f"Listening as @{transport.me.username}. Ctrl-C stops it.", flush=True)
    while True:
        try:
            with store.turn():
                store.keep("username", transport.me.username)
            break
        except sqlite3.Error as fault:  # another program has the file, or the disk is full
            logging.getLogger(__name__).warning("the bot's name cannot be kept yet: %s", fault)
            await asyncio.sleep(NAME_AGAIN)
    await Menus(store, Phrases(FOLDER), transport.menu).run()


def backup(argv: list[str]) -> int:
    """`backup [FILE]`: a checked copy, made while the bot runs; by day in the data folder."""
    words, _ = _options(argv)
    settings, clock = read(), WallClock()
    name = f"rinsebell-{clock.now().astimezone(settings.zone):%Y-%m-%d}.db"
    target = Path(words[0]) if words else settings.data / "backups" / name
    if words and target.exists():
        raise Misconfigured(words[0], fault="is there already", example="a new file name")
    if not database(settings).exists():
        raise Misconfigured(
            "backup", fault=f"finds no database in {settings.data}", example="serve or talk first"
        )
    with closing(saving.connected(str(database(settings)))) as source:
        saving.backup(source, target)
    print(f"{target}  {target.stat().st_size} bytes, checked")
    return 0


def restore(argv: list[str]) -> int:
    """`restore FILE [--yes]`: says what would be lost; with --yes keeps the old file beside and puts the copy in."""
    words, options = _options(argv, "--yes")
    if len(words) != 1 or not Path(words[0]).is_file():
        fault = f"finds no file {words[0]}" if len(words) == 1 else "needs one backup file"
        raise Misconfigured("restore", fault=fault, example="restore data/backups/rinsebell-2026-06-10.db")
    settings, clock = read(), WallClock()
    with alone(settings.data):
        lost = saving.losses(database(settings), Path(words[0]), len(migrations.STEPS))
        print(lost)
        if lost.empty or "--yes" in options:
            aside = saving.put_in(Path(words[0]), database(settings), clock.now())
            print(f"restored; what was in use is kept as {aside}" if aside else "restored")
            return 0
        print("nothing was changed; with --yes it is restored, and the file in use is kept beside it")
        return 1


@contextmanager
def _kept(verb: str, settings: Settings, clock: WallClock) -> Iterator[Store]:
    """The shop's store while a verb reads it; Misconfigured where there is none yet."""
    if not database(settings).exists():
        raise Misconfigured(verb, fault=f"finds no database in {settings.data}", example="serve or talk first")
    store = _shop(settings, clock)
    try:
        yield store
    finally:
        store.close()


def report(argv: list[str]) -> int:
    """`report [JOB] [--out FILE]`: the record of a job (by name or number, else the newest) as a page of HTML."""
    words, options = _options(argv, takes=("--out",))
    settings, clock = read(), WallClock()
    with _kept("report", settings, clock) as store:
        number = _job_named(store, " ".join(words))
        maker = making_for(desk(store, house(settings), clock), settings.data)
        body = maker.record({"job": number}, Reader(settings.language, settings.units, clock.now()))() or b""
    if "--out" in options:
        print(write(Path(options["--out"]), body))
    else:
        sys.stdout.write(body.decode())
    return 0


def export(argv: list[str]) -> int:
    """`export [JOB] --csv|--json [--out FILE]`: the timeline of a job, of every job where none is named."""
    words, options = _options(argv, "--csv", "--json", takes=("--out",))
    out = Path(options["--out"]) if "--out" in options else None
    form = (
        "json" if "--json" in options or (out and out.suffix == ".json" and "--csv" not in options) else "csv"
    )
    settings, clock = read(), WallClock()
    with _kept("export", settings, clock) as store:
        number = _job_named(store, " ".join(words)) if words else None
        body = exporting.body(store.rows(exporting.QUERY, number, number), form)
    if out is not None:
        print(write(out, body))
    else:
        sys.stdout.buffer.write(body)
    return 0


def _job_named(store: Store, name: str) -> int:
    """The job of that name, part of a name or number, the newest of them; of all where none is named."""
    rows = store.rows("select id, name from jobs order by id desc")
    wanted = folded(name)
    whole = [r for r in rows if not name or folded(r["name"]) == wanted or str(r["id"]) == name]
    parts = [r for r in rows if name and wanted in folded(r["name"])]
    if found := whole[:1] or (parts if len({r["name"] for r in parts}) == 1 else [])[:1]:
        if not name or not whole:
            print(f"job: {found[0]['name']}", file=sys.stderr)
        return int(found[0]["id"])
    known = ", ".join(r["name"] for r in rows[:5]) or "none yet"
    raise Misconfigured(
        "report", fault=f"knows no job {name!r}; known: {known}", example='report "Heron Point"'
    )


def check(argv: list[str]) -> int:
    """`check`: what stands in the way of a working bot, and what to do."""
    from bot import probing

    _, options = _options(argv, "--json")
    settings = read()
    found = probing.look(settings, database(settings), WallClock().now())
    if "--json" in options:
        print(json.dumps([vars(f) for f in found], ensure_ascii=False))
    else:
        print("\n".join(map(str, found)))
    return 1 if any(f.ok is False for f in found) else 0
