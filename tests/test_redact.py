"""No token in any log record, by any logger, in words, arguments, tracebacks or stacks; no forged lines."""

from __future__ import annotations

import io
import logging
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from bot import redact
from tests.botapi.running import transport
from tests.botapi.server import TOKEN, BotApi

pytest_plugins = ["tests.botapi.fixtures"]


@pytest.fixture
def written() -> Iterator[io.StringIO]:
    """What a plain handler at the root writes, everything let through."""
    factory, level = logging.getLogRecordFactory(), logging.root.level
    out = io.StringIO()
    handler = logging.StreamHandler(out)
    handler.setFormatter(logging.Formatter("%(name)s %(message)s"))
    logging.root.addHandler(handler)
    logging.root.setLevel(logging.DEBUG)
    redact.install("a-secret-of-the-webhook")
    yield out
    logging.root.removeHandler(handler)
    logging.root.setLevel(level)
    logging.setLogRecordFactory(factory)


def test_words_and_arguments(written: io.StringIO) -> None:
    logging.getLogger("any").warning("url %s", f"https://host/bot{TOKEN}/getMe")
    logging.getLogger("any").warning(f"file/bot{TOKEN.replace(':', '%3A')}/photos/1")
    logging.getLogger("any").warning("header a-secret-of-the-webhook")
    told = written.getvalue()
    assert "BOweik6ad9r" not in told and "a-secret-of" not in told
    assert "url https://host/bot<token>/getMe" in told


def test_traceback_and_cause(written: io.StringIO) -> None:
    try:
        try:
            raise httpx.ConnectError(f"no route to /bot{TOKEN}/sendMessage")
        except httpx.ConnectError as error:
            raise RuntimeError(f"wrapped {TOKEN}") from error
    except RuntimeError:
        logging.getLogger("any").exception("failed")
    told = written.getvalue()
    assert "Traceback" in told and "no route to /bot<token>/sendMessage" in told
    assert TOKEN not in told


def test_stack_and_wrong_arguments(written: io.StringIO) -> None:
    logging.getLogger("any").warning("%d of %s", "no number", TOKEN)
    logging.getLogger("any").warning("here", stack_info=True)
    assert TOKEN not in written.getvalue() and "here" in written.getvalue()


def test_what_people_type_cannot_forge_a_line(written: io.StringIO) -> None:
    logging.getLogger("any").warning("said %s", "hi\n2026-06-10 root CRITICAL all is lost\x1b[2J\u202e")
    assert len(written.getvalue().splitlines()) == 1
    assert "\x1b" not in written.getvalue() and "\u202e" not in written.getvalue()


async def test_the_real_libraries_at_debug(written: io.StringIO, api: BotApi, tmp_path: Path) -> None:
    """httpx logs each URL at INFO, and the platform library its calls at DEBUG."""
    bot = transport(api, tmp_path)
    await bot.start()
    logging.getLogger("httpx").setLevel(logging.DEBUG)  # as an owner who looks for a fault would
    logging.getLogger("httpcore").setLevel(logging.DEBUG)
    api.fail("sendMessage", "401", "cut before")
    from bot.wire import Outgoing

    for number in (1, 2):
        await bot.send(Outgoing(number, "1", "hello"))
    logging.getLogger("any").warning("%r", bot.bot)
    await bot.close()
    told = written.getvalue()
    assert "/bot<token>/sendMessage" in told, "the libraries did log, so the check means something"
    assert TOKEN not in told and "BOweik6ad9r" not in told


def test_quiet_by_default(written: io.StringIO) -> None:
    assert logging.getLogger("httpx").getEffectiveLevel() == logging.WARNING
    assert logging.getLogger("httpcore").getEffectiveLevel() == logging.WARNING


def test_uncaught(capsys: pytest.CaptureFixture[str], written: io.StringIO) -> None:
    import sys

    error = RuntimeError(f"token {TOKEN}")
    sys.excepthook(RuntimeError, error, None)
    told = capsys.readouterr().err
    assert "<token>" in told and TOKEN not in told
