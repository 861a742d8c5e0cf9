"""The service manager hears that the bot is ready and lives, in the words of sd_notify(3)."""

import asyncio
import socket

import pytest

from bot import liveness


def test_a_listening_manager_hears_that_the_bot_lives(tmp_path):
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as manager:
        manager.bind(str(tmp_path / "notify"))
        assert liveness.tell(liveness.READY, {"NOTIFY_SOCKET": str(tmp_path / "notify")})
        assert manager.recv(64) == b"READY=1"


async def test_the_bot_says_that_it_is_ready_and_goes_on_saying_that_it_lives(tmp_path):
    given = {"NOTIFY_SOCKET": str(tmp_path / "notify"), "WATCHDOG_USEC": "2000"}
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as manager:
        manager.bind(given["NOTIFY_SOCKET"])
        task = asyncio.create_task(liveness.beat(given))
        heard = [(await asyncio.to_thread(manager.recv, 64)).decode() for _ in range(3)]
        task.cancel()
    assert heard == ["READY=1", "WATCHDOG=1", "WATCHDOG=1"]


async def test_unasked_the_bot_says_it_once():
    await asyncio.wait_for(liveness.beat({}), 5)


def test_a_deaf_manager_stops_no_bot(tmp_path):
    assert not liveness.tell(liveness.ALIVE, {})
    assert not liveness.tell(liveness.ALIVE, {"NOTIFY_SOCKET": str(tmp_path / "gone")})


@pytest.mark.parametrize(
    ("given", "seconds"),
    [
        ({"WATCHDOG_USEC": "90000000"}, 45.0),
        ({}, None),
        ({"WATCHDOG_USEC": "x"}, None),
        ({"WATCHDOG_USEC": "0"}, None),
        ({"WATCHDOG_USEC": "90000000", "WATCHDOG_PID": "1"}, None),
    ],
)
def test_signs_of_life_come_twice_as_often_as_asked(given, seconds):
    """Half the time allowed, as sd_watchdog_enabled(3) recommends."""
    assert liveness.every(given) == seconds
