"""The loopback server as a fixture; a call that the Bot API does not allow fails the test that made it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.botapi.people import Person
from tests.botapi.server import BotApi
from tests.botapi.shop import Shop


@pytest.fixture
def api() -> Iterator[BotApi]:
    """A fresh server; at the end every call must have been a valid one."""
    server = BotApi()
    yield server
    server.close()
    assert server.faults == []


@pytest.fixture
def ana(api: BotApi) -> Person:
    """One of the crew, invented."""
    return Person(api, 1, "Ana")


@pytest.fixture
def luis(api: BotApi) -> Person:
    """Another, who speaks Spanish."""
    return Person(api, 2, "Luis", "es")


@pytest.fixture
def dana(api: BotApi) -> Person:
    """The owner."""
    return Person(api, 3, "Dana")


@pytest.fixture
def shop(api: BotApi, tmp_path: Path) -> Shop:
    """A shop on the loopback server: the real desk and database."""
    return Shop(api, tmp_path)
