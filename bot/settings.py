"""The settings, typed, in one place; a wrong one names itself, its fault and an example.

They come from the environment, prefix RINSEBELL_, and below it from a file of NAME=value lines that
RINSEBELL_FILE names. deploy/rinsebell.env explains each of them; a test holds that page to NAMES.
"""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import NoReturn
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo

from bot.errors import Misconfigured

PREFIX = "RINSEBELL_"
DEFAULT_ZONE = "America/New_York"
NO_PLACE = ("", "UTC", "UCT", "Zulu", "Universal", "GMT", "local")  # a server's clock, not a deck's
DEFAULT_DATA = Path(__file__).resolve().parent.parent / "data"

NAMES = (
    "TOKEN",
    "TOKEN_FILE",
    "API_URL",
    "DATA",
    "LANGUAGE",
    "ZONE",
    "UNITS",
    "SPEED",
    "WEBHOOK_URL",
    "WEBHOOK_PORT",
    "WEBHOOK_SECRET",
    "WEATHER_URL",
    "EMERGENCY",
)


@dataclass(frozen=True)
class Settings:
    """What the owner may set, with its defaults; `data` is a folder, `speed` 60 makes an hour a minute.

    The secrets stay out of its repr, so that no log can show them by accident.
    """

    data: Path
    token: str = field(default="", repr=False)
    api_url: str = "https://api.telegram.org"
    language: str = "en"
    zone: ZoneInfo = field(default_factory=lambda: ZoneInfo(DEFAULT_ZONE))
    units: str = "us"
    speed: float = 1.0
    webhook_url: str = ""
    webhook_port: int = 8443
    webhook_secret: str = field(default="", repr=False)
    weather_url: str = ""
    emergency: str = "911"


def read(environment: Mapping[str, str] = os.environ, default_data: Path | None = None) -> Settings:
    """The settings of an environment; what it leaves open, the file that RINSEBELL_FILE names may give."""
    given = {k.removeprefix(PREFIX): v.strip() for k, v in environment.items() if k.startswith(PREFIX)}
    given = _with_file({name: value for name, value in given.items() if value})
    return Settings(
        data=_folder("DATA", given.get("DATA", ""), default_data or DEFAULT_DATA),
        token=_token(given),
        api_url=_url("API_URL", given.get("API_URL", "https://api.telegram.org"), "http://127.0.0.1:8081"),
        language=_one_of("LANGUAGE", given.get("LANGUAGE", "en"), ("en", "es")),
        zone=zone(given.get("ZONE") or _machine_zone()),
        units=_one_of("UNITS", given.get("UNITS", "us"), ("us", "metric")),
        speed=_number("SPEED", given.get("SPEED", "1"), 0.01, 100_000, "60"),
        webhook_url=_url("WEBHOOK_URL", given.get("WEBHOOK_URL", ""), "https://bot.example.org/in"),
        webhook_port=_whole("WEBHOOK_PORT", given.get("WEBHOOK_PORT", "8443"), 1, 65_535, "8443"),
        webhook_secret=_secret(given.get("WEBHOOK_SECRET", "")),
        weather_url=_url("WEATHER_URL", given.get("WEATHER_URL", ""), "https://weather.example.org"),
        emergency=_phone("EMERGENCY", given.get("EMERGENCY", "911")),
    )


def zone(name: str) -> ZoneInfo:
    """The time zone of an IANA name."""
    try:
        return ZoneInfo(name)
    except (ValueError, OSError, KeyError) as exc:
        _wrong("ZONE", f"{name!r} is no time zone", DEFAULT_ZONE, exc)


def _wrong(name: str, fault: str, example: str, cause: BaseException | None = None) -> NoReturn:
    raise Misconfigured(PREFIX + name, fault=fault, example=example) from cause


def _machine_zone() -> str:
    """The machine's own zone where it names a place, else the east coast's; `check` tells which was taken."""
    import tzlocal  # slow to load, and needed only where no zone is set

    try:
        name = tzlocal.get_localzone_name() or ""
    except Exception:  # it raises several kinds on odd machines; a default serves all of them
        name = ""
    return DEFAULT_ZONE if name in NO_PLACE or name.startswith("Etc/") else name


def _with_file(given: dict[str, str]) -> dict[str, str]:
    file = given.pop("FILE", "")
    both = {**(_lines(file) if file else {}), **given}
    for name in both:
        if name not in NAMES:
            _wrong(name, f"is not a setting; known are {', '.join(NAMES)}", "none: leave it out")
    return both


def _lines(path: str) -> dict[str, str]:
    found = {}
    for number, row in enumerate(_text("FILE", path).splitlines(), start=1):
        row = row.strip()
        if not row or row.startswith("#"):
            continue
        name, mark, value = row.partition("=")
        if not mark:
            _wrong("FILE", f"line {number} of {path!r} is no NAME=value", "/etc/rinsebell.env")
        found[name.strip().removeprefix(PREFIX)] = value.strip().strip("\"'")
    return {name: value for name, value in found.items() if value}


def _text(name: str, path: str) -> str:
    try:
        return Path(path).expanduser().read_text(encoding="utf-8")
    except (OSError, ValueError) as exc:
        why = getattr(exc, "strerror", None) or "not text"
        _wrong(name, f"{path!r} cannot be read ({why})", "/etc/rinsebell.token", exc)


def _token(given: Mapping[str, str]) -> str:
    """The bot's token; a wrong one is told by its setting's name and never shown."""
    name = "TOKEN" if "TOKEN" in given else "TOKEN_FILE"
    value = given.get("TOKEN") or _text(name, given[name]).strip() if name in given else ""
    if name in given and not re.fullmatch(r"\d+:[A-Za-z0-9_-]+", value):
        example = "123456:ABC-DEF" if name == "TOKEN" else "/etc/rinsebell.token"
        _wrong(name, "holds no bot token (digits, a colon, letters)", example)
    return value


def _folder(name: str, path: str, default: Path) -> Path:
    folder = Path(path).expanduser() if path else default
    if folder.exists() and not folder.is_dir():
        _wrong(name, f"{str(folder)!r} is a file, not a folder", "/var/lib/rinsebell")
    return folder.absolute()


def _one_of(name: str, value: str, known: tuple[str, ...]) -> str:
    if value.lower() not in known:
        _wrong(name, f"{value!r} is not one of {', '.join(known)}", known[0])
    return value.lower()


def _number(name: str, value: str, least: float, most: float, example: str) -> float:
    try:
        number = float(value)
    except ValueError as exc:
        _wrong(name, f"{value!r} is not a number", example, exc)
    if not least <= number <= most:
        _wrong(name, f"{value!r} is outside {least:g} to {most:g}", example)
    return number


def _whole(name: str, value: str, least: int, most: int, example: str) -> int:
    number = _number(name, value, least, most, example)
    if not number.is_integer():
        _wrong(name, f"{value!r} is not a whole number", example)
    return int(number)


def _url(name: str, value: str, example: str) -> str:
    """The address without a slash at its end, so that paths can be hung below it."""
    if not value:
        return ""
    try:
        parts = urlsplit(value)
        port = parts.port or 80
    except ValueError:
        port = 0
    if not port or parts.scheme not in ("http", "https") or not parts.hostname or re.search(r"\s", value):
        _wrong(name, f"{value!r} is no http or https address", example)
    return value.rstrip("/")


def _secret(value: str) -> str:
    """The webhook's secret, in the letters that the platform can send back (Bot API, setWebhook)."""
    if value and not re.fullmatch(r"[A-Za-z0-9_-]{1,256}", value):
        _wrong("WEBHOOK_SECRET", "may hold 1 to 256 of A-Z a-z 0-9 _ - only", "a4T-9_kqW2")
    return value


def _phone(name: str, value: str) -> str:
    if not re.fullmatch(r"\+?\d[\d ]{1,18}\d", value):
        _wrong(name, f"{value!r} is no telephone number", "112")
    return value
