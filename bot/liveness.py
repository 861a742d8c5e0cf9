"""Tells the service manager that the bot is ready and alive, by systemd's datagrams (sd_notify)."""

from __future__ import annotations

import asyncio
import os
import socket
from collections.abc import Mapping

READY, ALIVE, STOPPING = "READY=1", "WATCHDOG=1", "STOPPING=1"


def tell(state: str, environment: Mapping[str, str] = os.environ) -> bool:
    """Sends a state where a manager listens; False where none does, or it is deaf. Never raises."""
    address = environment.get("NOTIFY_SOCKET", "")
    if not address.startswith(("/", "@")):
        return False
    try:
        with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as manager:
            manager.connect(address.replace("@", "\0", 1) if address[0] == "@" else address)
            manager.sendall(state.encode())
    except OSError:
        return False
    return True


def every(environment: Mapping[str, str] = os.environ) -> float | None:
    """Seconds between two signs of life: half of what the manager allows; None where it asks for none."""
    allowed = environment.get("WATCHDOG_USEC", "")
    mine = environment.get("WATCHDOG_PID", str(os.getpid())) == str(os.getpid())
    return int(allowed) / 2_000_000 if allowed.isdecimal() and int(allowed) and mine else None


async def beat(environment: Mapping[str, str] = os.environ) -> None:
    """Says READY, then that the loop lives, as often as asked: one that hangs is restarted.

    A task beside the others; READY comes before the network does, so a start without a line does not fail.
    """
    tell(READY, environment)
    pause = every(environment)
    while pause is not None:
        await asyncio.sleep(pause)
        tell(ALIVE, environment)
