"""`python -m bot check`: what stands in the way of a working bot, each with what to do about it.

Pure over a Probe: the wiring looks at the machine and the platform, this file judges what was seen.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from bot.errors import Misconfigured, RinsebellError
from bot.redact import clean
from bot.settings import DEFAULT_ZONE, PREFIX, Settings

# Common practice, no source: a reminder half a minute off is late for a wet section.
SKEW_MOST = timedelta(seconds=30)
BACKUP_MOST = timedelta(hours=36)  # the timer makes one a day; half a day of grace
OLDEST = 2026  # a clock that shows an earlier year has never been set


@dataclass(frozen=True)
class Probe:
    """What the wiring can look at; a function may raise, and that is a finding too.

    me         the platform's word about the bot (getMe); Misconfigured where it refuses the token
    served_at  the platform's own time (the Date of its answer), None where it gives none
    integrity  what `PRAGMA integrity_check` says: "ok", or the faults
    steps      (migration steps in the database, steps this program knows)
    backup_at  when the newest backup was made, None where there is none
    modes      the permission bits of what must be private, None for a file that is not there yet
    writable   whether the data folder can be written
    """

    now: datetime
    me: Callable[[], Mapping[str, Any]]
    served_at: Callable[[], datetime | None]
    integrity: Callable[[], str]
    steps: Callable[[], tuple[int, int]]
    backup_at: Callable[[], datetime | None]
    writable: Callable[[], bool]
    modes: Mapping[Path, int | None] = field(default_factory=dict)
    machine_zone: str = ""


@dataclass(frozen=True)
class Finding:
    """One thing looked at: `ok` is None where none can tell; `what_to_do` is empty where all is well."""

    name: str
    ok: bool | None
    text: str
    what_to_do: str = ""

    def __str__(self) -> str:
        mark = {True: "ok", False: "WRONG", None: "?"}[self.ok]
        advice = f"\n        {self.what_to_do}" if self.what_to_do else ""
        return f"{mark:<6}  {self.name}: {self.text}{advice}"


def run(settings: Settings, probe: Probe) -> list[Finding]:
    """Every finding, in the order to put things right; what a probe raises is a finding too."""
    me = _ask_me(settings, probe)
    return [
        _token(settings, me),
        _network(settings, me),
        _guarded("clock", lambda: _clock(settings, probe, me)),
        _zone(settings, probe),
        _guarded("file rights", lambda: _rights(settings, probe)),
        _guarded("database", lambda: _database(probe)),
        _guarded("migrations", lambda: _migrations(probe)),
        _guarded("backup", lambda: _backup(probe)),
        _privacy(me),
    ]


Me = Mapping[str, Any] | Exception | None


def _ask_me(settings: Settings, probe: Probe) -> Me:
    """The platform's answer, or what it failed with, or None where there is no token to ask with."""
    if not settings.token:
        return None
    try:
        return probe.me()
    except Exception as error:  # whatever the network does, the other checks go on
        return error


def _guarded(name: str, look: Callable[[], Finding]) -> Finding:
    try:
        return look()
    except Exception as error:  # a check that cannot look says so and lets the next one look
        return Finding(name, False, f"cannot be looked at: {_words(error)}", "Mend what the error names.")


def _words(error: Exception) -> str:
    """What an error says, without the token that the words of a failed request may hold."""
    if isinstance(error, RinsebellError):
        return clean(str(error.values.get("fault") or error.values.get("why") or error.key))
    return clean(f"{type(error).__name__}: {error}" if str(error) else type(error).__name__)


def _token(settings: Settings, me: Me) -> Finding:
    if not settings.token:
        advice = f"For the platform: make a bot there and set {PREFIX}TOKEN_FILE. The terminal needs none."
        return Finding("token", None, "not set (terminal only)", advice)
    if isinstance(me, Misconfigured):
        advice = "Ask the platform's bot-making chat for the token again; a revoked one never comes back."
        return Finding("token", False, _words(me), advice)
    if isinstance(me, Exception):
        return Finding("token", None, "is set; the platform could not be asked about it")
    return Finding("token", True, f"taken, the bot is @{(me or {}).get('username', '?')}")


def _network(settings: Settings, me: Me) -> Finding:
    if me is None:
        return Finding("network", None, "not tried without a token")
    if isinstance(me, Exception) and not isinstance(me, Misconfigured):
        advice = f"Is the line up, and {PREFIX}API_URL right? Nothing said is lost: it comes again for a day."
        return Finding("network", False, f"{settings.api_url} does not answer ({_words(me)})", advice)
    return Finding("network", True, f"{settings.api_url} answers")


def _clock(settings: Settings, probe: Probe, me: Me) -> Finding:
    """Every rinse time hangs on this clock."""
    advice = "Set the machine's clock by network time, such as `timedatectl set-ntp true`."
    if probe.now.year < OLDEST:
        return Finding("clock", False, f"shows {probe.now:%Y-%m-%d}: it was never set", advice)
    if settings.token and settings.speed != 1:
        text = f"runs {settings.speed:g} times as fast as the day: for practice alone"
        return Finding("clock", False, text, f"Take {PREFIX}SPEED out before anything is wet.")
    served = None if me is None or isinstance(me, Exception) else probe.served_at()
    if served is None:
        return Finding("clock", None, f"shows {_shown(probe.now, settings)}; nothing to compare it with")
    skew = probe.now - served
    if abs(skew) > SKEW_MOST:
        way = "ahead of" if skew > timedelta(0) else "behind"
        return Finding("clock", False, f"is {_span(abs(skew))} {way} the platform's", advice)
    return Finding("clock", True, f"agrees with the platform's, {_shown(probe.now, settings)}")


def _shown(moment: datetime, settings: Settings) -> str:
    return f"{moment.astimezone(settings.zone):%Y-%m-%d %H:%M}"


def _span(length: timedelta) -> str:
    minutes = length.total_seconds() / 60
    for unit, size in (("days", 1440), ("hours", 60), ("minutes", 1)):
        if minutes >= 2 * size:
            return f"{minutes / size:.0f} {unit}"
    return f"{length.total_seconds():.0f} seconds"


def _zone(settings: Settings, probe: Probe) -> Finding:
    """Another zone than the machine's may be meant: a rented server rarely stands where the deck is."""
    key, machine = settings.zone.key, probe.machine_zone
    if machine in ("", key):
        return Finding("zone", True, key)
    if key == DEFAULT_ZONE:
        advice = f"If the decks are elsewhere, set {PREFIX}ZONE."
        return Finding("zone", None, f"{key}, while the machine is on {machine}", advice)
    return Finding("zone", True, f"{key}, as set; the machine is on {machine}")


def _rights(settings: Settings, probe: Probe) -> Finding:
    if not probe.writable():
        advice = f"Give the folder to the account that runs Rinsebell, or set {PREFIX}DATA."
        return Finding("file rights", False, f"{settings.data} cannot be written", advice)
    loose = [path for path, mode in probe.modes.items() if mode is not None and mode & 0o077]
    if loose:
        named = " ".join(str(path) for path in loose)
        return Finding("file rights", False, f"others on this machine may open {named}", f"chmod go= {named}")
    return Finding("file rights", True, f"{settings.data} is private and can be written")


def _database(probe: Probe) -> Finding:
    said = probe.integrity().strip()
    if said != "ok":
        first = said.splitlines()[0] if said else "no answer"
        advice = "Stop the bot, keep the file, and `restore` the newest backup. Then look at the disk."
        return Finding("database", False, f"is damaged: {first}", advice)
    return Finding("database", True, "is whole")


def _migrations(probe: Probe) -> Finding:
    there, known = probe.steps()
    if there > known:
        text = f"the database is at step {there}, this program knows {known}: it was used by a newer one"
        return Finding(
            "migrations", False, text, "Start the newer Rinsebell again, or `restore` an older backup."
        )
    if there < known:
        text = f"step {there} of {known}"
        return Finding("migrations", None, text, "Nothing to do: the next start backs up and does the rest.")
    return Finding("migrations", True, f"all {known} done")


def _backup(probe: Probe) -> Finding:
    made = probe.backup_at()
    advice = "Run `backup` now, and let rinsebell-backup.timer make one a day."
    if made is None:
        return Finding("backup", False, "there is none yet", advice)
    age = probe.now - made
    if age > BACKUP_MOST:
        return Finding("backup", False, f"the newest is {_span(age)} old", advice)
    if age < -SKEW_MOST:
        return Finding(
            "backup", False, "the newest is dated in the future", "See to the clock, then run `backup`."
        )
    return Finding("backup", True, f"the newest is {_span(max(age, timedelta(0)))} old")


def _privacy(me: Me) -> Finding:
    """With privacy mode on, the platform hides a group's plain words from the bot (Bot API, User)."""
    if me is None or isinstance(me, Exception):
        return Finding("privacy mode", None, "the platform could not be asked")
    if me.get("can_read_all_group_messages"):
        return Finding("privacy mode", True, "off: the bot hears a group's plain words")
    advice = (
        "For groups: /setprivacy, Disable, in the platform's bot-making chat, then put the bot into the "
        "group again; or make it an administrator there. Private chats need nothing."
    )
    return Finding(
        "privacy mode", None, "on: in a group the bot hears only commands and replies to it", advice
    )
