"""Whatever a server sends in a batch: no update stops the others, and the offset never goes astray."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.settings import Settings
from bot.transports.telegram import TelegramTransport
from bot.transports.telegram_in import ALLOWED, Me
from tests.botapi.fakes import FakeDesk, RunningClock
from tests.botapi.server import TOKEN

GOOD = {
    "message_id": 7,
    "date": 1781099400,
    "chat": {"id": 1, "type": "private"},
    "from": {"id": 1, "is_bot": False, "first_name": "Ana"},
    "text": "started B",
}
anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=6),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from([*ALLOWED, *GOOD, "update_id", "id", "data", "photo"]), inner, max_size=4
        )
    ),
    max_leaves=10,
)


class Intake:
    """Keeps all."""

    def __init__(self) -> None:
        self.desk = FakeDesk()

    def keep(self, incoming: Any) -> bool:
        self.desk.receive(incoming)
        return True

    def spare(self, incoming: Any) -> None:
        raise AssertionError("nothing fails here")

    def knows(self, incoming: Any) -> bool:
        return False


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(batches=st.lists(st.lists(anything, max_size=4), max_size=8))
def test_any_batch(batches: list[list[Any]], tmp_path: Path) -> None:
    async def run() -> None:
        bot = TelegramTransport(
            Settings(data=tmp_path, token=TOKEN, api_url="http://127.0.0.1:9"), RunningClock()
        )
        bot.me = Me(99, "RinsebellTestBot")
        intake, offset = Intake(), 0
        for number, batch in enumerate(batches):
            before = len(intake.desk.texts)
            update = {"update_id": 10 + number, "message": {**GOOD, "date": number}}
            offset, kept = bot.take([*batch, update], offset, intake)
            assert kept and offset < 2**53 and offset > 10 + number
            assert "started B" in intake.desk.texts[before:]
        await bot.close()

    asyncio.run(run())
