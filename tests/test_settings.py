"""What an owner may set: each wrong value names itself, its fault and an example, and shows no secret."""

import itertools
from pathlib import Path

import pytest

from bot import settings
from bot.errors import Misconfigured
from bot.settings import NAMES, PREFIX, Settings, read

ROOT = Path(__file__).resolve().parent.parent
TOKEN = "123456:AAH-invented_for_this_test"


def given(**values: str) -> Settings:
    """The settings of an environment that holds these and nothing else."""
    return read({"RINSEBELL_ZONE": "America/New_York", **{PREFIX + k: v for k, v in values.items()}})


def test_nothing_set_is_a_working_practice_bot():
    plain = given()
    assert (plain.token, plain.speed, plain.units, plain.language, plain.emergency) == (
        "",
        1.0,
        "us",
        "en",
        "911",
    )
    assert plain.weather_url == "" and plain.webhook_url == "", "what speaks to the outside is off by default"
    assert plain.data == ROOT / "data", "the same data from whatever folder it is started"


def test_every_name_is_taken(tmp_path):
    file = tmp_path / "token"
    file.write_text(TOKEN + "\n")
    told = given(
        TOKEN_FILE=str(file), API_URL="http://127.0.0.1:8081/", DATA=str(tmp_path / "d"), LANGUAGE="ES",
        ZONE="America/Chicago", UNITS="metric", SPEED="60", WEBHOOK_URL="https://bot.example.org/in",
        WEBHOOK_PORT="8080", WEBHOOK_SECRET="s-1_A", WEATHER_URL="http://127.0.0.1:9", EMERGENCY="112",
    )  # fmt: skip
    assert told.token == TOKEN
    assert told.api_url == "http://127.0.0.1:8081", "paths are hung below it, so no slash is left"
    assert (told.language, told.zone.key, told.units, told.speed) == ("es", "America/Chicago", "metric", 60.0)
    assert (told.webhook_url, told.webhook_port, told.webhook_secret) == (
        "https://bot.example.org/in",
        8080,
        "s-1_A",
    )
    assert (told.weather_url, told.emergency, told.data) == ("http://127.0.0.1:9", "112", tmp_path / "d")


WRONG = [
    ("TOKEN", "hunter2", "no bot token"),
    ("TOKEN_FILE", "/nowhere/token", "cannot be read"),
    ("API_URL", "127.0.0.1:8081", "no http or https address"),
    ("API_URL", "http://", "no http or https address"),
    ("API_URL", "http://127.0.0.1:99999", "no http or https address"),
    ("DATA", __file__, "a file, not a folder"),
    ("LANGUAGE", "de", "not one of en, es"),
    ("ZONE", "Nowhere/Else", "no time zone"),
    ("ZONE", "../etc/passwd", "no time zone"),
    ("ZONE", "America", "no time zone"),
    ("UNITS", "imperial", "not one of us, metric"),
    ("SPEED", "fast", "not a number"),
    ("SPEED", "0", "outside 0.01 to 100000"),
    ("SPEED", "-1", "outside"),
    ("SPEED", "nan", "outside"),
    ("SPEED", "inf", "outside"),
    ("WEBHOOK_URL", "ftp://bot.example.org", "no http or https address"),
    ("WEBHOOK_PORT", "8443.5", "not a whole number"),
    ("WEBHOOK_PORT", "65536", "outside 1 to 65535"),
    ("WEBHOOK_SECRET", "has a space", "A-Z a-z 0-9 _ -"),
    ("WEATHER_URL", "weather", "no http or https address"),
    ("EMERGENCY", "call mum", "no telephone number"),
    ("TOCKEN", "1:a", "not a setting"),
    ("FILE", "/nowhere/file", "cannot be read"),
]


@pytest.mark.parametrize(("name", "value", "fault"), WRONG, ids=[f"{n}={v[:20]}" for n, v, _ in WRONG])
def test_a_wrong_value_names_itself_its_fault_and_an_example(name, value, fault):
    with pytest.raises(Misconfigured) as told:
        given(**{name: value})
    assert told.value.key == PREFIX + name
    assert fault in str(told.value.values["fault"])
    assert told.value.values["example"]


def test_every_setting_has_a_wrong_value_above():
    assert {name for name, _, _ in WRONG} >= set(NAMES)


@pytest.mark.parametrize(
    ("name", "value", "fault"), [w for w in WRONG if w[0] in NAMES and "TOKEN" not in w[0]]
)
def test_the_example_that_is_given_would_be_taken(name, value, fault):
    with pytest.raises(Misconfigured) as told:
        given(**{name: value})
    assert given(**{name: str(told.value.values["example"])})


def test_secrets_are_never_shown(tmp_path):
    """Neither in an error about them nor where the settings are printed."""
    (tmp_path / "token").write_text("hunter2secret")
    for wrong in ({"TOKEN": "hunter2secret"}, {"TOKEN_FILE": str(tmp_path / "token")}):
        with pytest.raises(Misconfigured) as told:
            given(**wrong)
        assert "hunter2secret" not in str(told.value)
    assert TOKEN not in repr(given(TOKEN=TOKEN)) and "s3cret" not in repr(given(WEBHOOK_SECRET="s3cret"))


def test_a_file_fills_what_the_environment_leaves_open(tmp_path):
    file = tmp_path / "env"
    file.write_text('# a comment\n\nRINSEBELL_ZONE="America/Denver"\nUNITS = metric\nRINSEBELL_SPEED=\n')
    told = read({"RINSEBELL_FILE": str(file), "RINSEBELL_UNITS": "us"})
    assert (told.zone.key, told.units, told.speed) == ("America/Denver", "us", 1.0)


def test_a_file_with_a_slip_says_the_line(tmp_path):
    file = tmp_path / "env"
    file.write_text("UNITS=us\nZONE America/Denver\n")
    with pytest.raises(Misconfigured, match="line 2"):
        read({"RINSEBELL_FILE": str(file)})


@pytest.mark.parametrize(("machine", "taken"), [
    ("America/Denver", "America/Denver"),
    ("UTC", "America/New_York"),
    ("Etc/UTC", "America/New_York"),
    (None, "America/New_York"),
])  # fmt: skip
def test_with_no_zone_set_the_machine_is_asked(monkeypatch, machine, taken):
    """A server that runs on UTC stands for no place where a deck is."""
    monkeypatch.setattr("tzlocal.get_localzone_name", lambda: machine)
    assert settings.read({}).zone.key == taken


def test_the_environment_file_explains_exactly_the_settings_there_are():
    page = (ROOT / "deploy" / "rinsebell.env").read_text(encoding="utf-8").splitlines()
    named = [row.lstrip("#").split("=")[0] for row in page if row.lstrip("#").startswith(PREFIX)]
    assert named == [PREFIX + name for name in NAMES]
    for above, row in itertools.pairwise(page):
        if row.lstrip("#").startswith(PREFIX):
            assert above.startswith("# "), f"{row} stands without a word of explanation"
