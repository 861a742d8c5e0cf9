"""People: joining, preferences, who hears what, quiet hours."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from bot.outcome import Person, line, say
from bot.post import held, wants
from tests.conftest import Crew, reply

NIGHT = datetime(2026, 6, 10, 23, 30, tzinfo=ZoneInfo("America/New_York"))


def test_invite_link_lets_one_person_in_once(crew: Crew) -> None:
    text = "\n".join(x["text"] for x in crew.says("Dana", "invite crew"))
    code = text.split("/start ")[1].split()[0]
    welcomed = crew.says("Stranger", f"/start {code}")
    assert any(x["to"] == "Stranger" and "in, Stranger" in x["text"] for x in welcomed)
    assert reply(crew.says("Stranger", "mix 4 gal brightener"), "Stranger")["figures"]["powder"][
        "value"
    ] == pytest.approx(16)


def test_only_the_owner_invites(crew: Crew) -> None:
    out = crew.says("Ana", "invite crew")
    assert "/start" not in "".join(x["text"] for x in out)


def test_who_was_removed_is_a_stranger(crew: Crew) -> None:
    crew.says("Dana", "remove Luis")
    out = crew.says("Luis", "mix 4 gal brightener")
    assert all(not x["figures"] for x in out) and len(out) <= 1
    assert crew.says("Luis", "mix 4 gal brightener") == []


def test_each_reads_in_their_own_language(heron: Crew) -> None:
    heron.says("Luis", "empece la B")
    pings = [x["text"] for x in heron.at("09:20") if x["to"] == "Dana"]
    assert reply(heron.says("Dana", "status"), "Dana")["text"].startswith("Heron Point:")
    assert all("sin respuesta" not in t for t in pings)


def test_language_changes_for_the_asker_alone(crew: Crew) -> None:
    assert "Español" in reply(crew.says("Ana", "language es"))["text"]
    assert reply(crew.says("Ana", "mix 4 gal brightener"))["text"].startswith("1 lb (16 oz, 454 g) de polvo")
    assert reply(crew.says("Dana", "mix 4 gal brightener"), "Dana")["text"].startswith(
        "1 lb (16 oz, 454 g) brightener"
    )


@pytest.mark.parametrize(
    ("chosen", "heard"),
    [
        ("all", {"trouble", "milestones", "all"}),
        ("milestones", {"trouble", "milestones"}),
        ("trouble", {"trouble"}),
    ],
)
def test_pings_by_volume(chosen: str, heard: set[str]) -> None:
    person = Person(1, "Dana", "owner", pings=chosen)
    assert {level for level in ("trouble", "milestones", "all") if wants(person, level)} == heard


def test_quiet_hours_hold_all_but_incidents() -> None:
    dana = Person(1, "Dana", "owner", quiet=(21, 7))
    ping = say(line("ping_closed"), kind="ping")
    incident = say(line("ping_incident"), kind="ping", about={"incident": True})
    until = held(dana, ping, NIGHT)
    assert until is not None and until.isoformat() == "2026-06-11T07:00:00-04:00"
    assert held(dana, incident, NIGHT) is None
    assert held(dana, ping, NIGHT.replace(hour=12)) is None
    assert held(dana, say(line("ring_mist"), kind="reminder"), NIGHT) is None


def test_leaving_with_wet_wood_is_loud(heron: Crew) -> None:
    heron.says("Ana", "started B")
    out = heron.says("Ana", "heading home")
    assert reply(out)["loud"] and "B still stands wet" in reply(out)["text"]
    assert [x for x in out if x["to"] == "Dana" and x["kind"] == "ping"]
