"""`check` tells an owner what is wrong and what to do, and goes on looking when one look fails."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bot.check import Finding, Probe, run
from bot.errors import DeliveryFailed, Misconfigured
from bot.settings import Settings

NOW = datetime(2026, 6, 10, 14, 0, tzinfo=UTC)
DATA = Path("/srv/rinsebell-data")
TOKEN = "123456:AAH-invented_for_this_test_only_xyz"
EASTERN, CENTRAL = ZoneInfo("America/New_York"), ZoneInfo("America/Chicago")

SETTINGS = Settings(data=DATA, token=TOKEN, zone=EASTERN)
WELL = Probe(
    now=NOW,
    me=lambda: {"id": 1, "username": "trial_row_bot", "can_read_all_group_messages": True},
    served_at=lambda: NOW + timedelta(seconds=2),
    integrity=lambda: "ok",
    steps=lambda: (3, 3),
    backup_at=lambda: NOW - timedelta(hours=9),
    writable=lambda: True,
    modes={DATA: 0o700, DATA / "shop.db": 0o600, DATA / "not there yet": None},
    machine_zone="America/New_York",
)


def found(name: str, settings: Settings = SETTINGS, **changed: object) -> Finding:
    """The finding of that name on a machine where all is well but what is changed."""
    return next(f for f in run(settings, replace(WELL, **changed)) if f.name == name)


def fails(error: Exception):
    """A look that raises."""

    def look() -> object:
        raise error

    return look


def test_a_well_kept_server_has_nothing_to_do():
    findings = run(SETTINGS, WELL)
    assert [f.name for f in findings] == [
        "token", "network", "clock", "zone", "file rights", "database", "migrations", "backup",
        "privacy mode",
    ]  # fmt: skip
    assert all(f.ok and not f.what_to_do for f in findings)


WRONG = [
    (
        "token",
        {"me": fails(Misconfigured("RINSEBELL_TOKEN", fault="is refused", example="1:A"))},
        "is refused",
    ),
    ("network", {"me": fails(DeliveryFailed("send.failed", why="timed out"))}, "timed out"),
    ("network", {"me": fails(OSError("no route"))}, "no route"),
    ("clock", {"now": NOW.replace(year=1970)}, "never set"),
    ("clock", {"served_at": lambda: NOW + timedelta(minutes=5)}, "5 minutes behind"),
    ("clock", {"served_at": lambda: NOW - timedelta(seconds=45)}, "45 seconds ahead"),
    ("clock", {"served_at": fails(ValueError("bad date"))}, "bad date"),
    ("file rights", {"writable": lambda: False}, "cannot be written"),
    ("file rights", {"modes": {DATA: 0o755}}, str(DATA)),
    ("file rights", {"modes": {DATA / "token": 0o640}}, str(DATA / "token")),
    ("database", {"integrity": lambda: "*** in database main ***\nPage 4: never used"}, "damaged"),
    ("database", {"integrity": lambda: ""}, "damaged"),
    ("database", {"integrity": fails(OSError("disk I/O error"))}, "disk I/O error"),
    ("migrations", {"steps": lambda: (4, 3)}, "newer"),
    ("backup", {"backup_at": lambda: None}, "none yet"),
    ("backup", {"backup_at": lambda: NOW - timedelta(days=9)}, "9 days old"),
    ("backup", {"backup_at": lambda: NOW + timedelta(days=1)}, "future"),
]


@pytest.mark.parametrize(("name", "changed", "words"), WRONG, ids=[f"{n}: {w}" for n, _, w in WRONG])
def test_what_is_wrong_is_said_with_what_to_do(name, changed, words):
    finding = found(name, **changed)
    assert finding.ok is False
    assert words in finding.text
    assert finding.what_to_do and finding.what_to_do in str(finding)


@pytest.mark.parametrize(("name", "changed"), [(n, c) for n, c, _ in WRONG])
def test_one_thing_wrong_hides_no_other(name, changed):
    """Nine findings whatever fails, and what does not hang on the failure is still judged."""
    findings = {f.name: f for f in run(SETTINGS, replace(WELL, **changed))}
    assert len(findings) == 9
    wrong = {n for n, f in findings.items() if f.ok is False}
    assert name in wrong
    assert wrong <= {name} | ({"backup"} if "now" in changed else set())


def test_without_a_token_the_terminal_still_works_and_the_rest_is_looked_at():
    bare = replace(SETTINGS, token="")
    findings = {
        f.name: f.ok for f in run(bare, replace(WELL, me=fails(AssertionError("asked without a token"))))
    }
    assert findings["token"] is None
    assert findings["network"] is findings["clock"] is findings["privacy mode"] is None
    assert findings["database"] and findings["backup"]


def test_a_practice_clock_is_no_clock_for_work():
    finding = found("clock", replace(SETTINGS, speed=60.0))
    assert finding.ok is False and "60 times" in finding.text and "SPEED" in finding.what_to_do


def test_a_zone_that_nobody_chose_is_shown_to_the_owner():
    taken = found("zone", machine_zone="Etc/UTC")
    assert taken.ok is None and "America/New_York" in taken.text and "RINSEBELL_ZONE" in taken.what_to_do
    assert found("zone", replace(SETTINGS, zone=CENTRAL), machine_zone="Etc/UTC").ok is True


def test_waiting_migrations_are_no_fault():
    assert found("migrations", steps=lambda: (2, 3)).ok is None


def test_privacy_mode_matters_in_groups_and_is_explained():
    finding = found("privacy mode", me=lambda: {"username": "trial_row_bot"})
    assert finding.ok is None and "/setprivacy" in finding.what_to_do


def test_times_are_shown_on_the_decks_clock():
    assert "2026-06-10 10:00" in found("clock").text, "14:00 UTC is 10:00 in New York in summer"


def test_no_finding_shows_the_token():
    """A failed request names its address, and the platform's addresses hold the token."""
    error = OSError(f"cannot reach https://127.0.0.1/bot{TOKEN}/getMe")
    assert all(TOKEN not in str(f) for f in run(SETTINGS, replace(WELL, me=fails(error))))
