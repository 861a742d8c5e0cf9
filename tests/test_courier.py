"""The outbox goes out in order, at the platform's pace, alarms first; on a clock that only the test moves.

Pace: core.telegram.org/bots/faq, "My bot is hitting limits": one message a second in a chat, 20 a
minute in a group, about 30 a second in all. Retry-after: Bot API documentation, ResponseParameters.
"""

from __future__ import annotations

import asyncio
import itertools
from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.courier import AT_ONCE, Courier, Pace
from bot.wire import Delivery, Outgoing
from tests.botapi.fakes import MORNING, FakeOutbox
from tests.botapi.running import until


class Stepped:
    """A clock that moves when the test says so."""

    def __init__(self) -> None:
        self.seconds = 0.0

    def now(self) -> datetime:
        return MORNING + timedelta(seconds=self.seconds)

    async def sleep(self, seconds: float) -> None:
        raise AssertionError("the courier waits on the steady clock")


class Sends:
    """Notes what is sent and when; answers as told."""

    def __init__(self, clock: Stepped) -> None:
        self.clock = clock
        self.log: list[tuple[float, str, str]] = []
        self.answers: list[Delivery | Exception] = []
        self.gate: asyncio.Event | None = None

    async def send(self, outgoing: Outgoing) -> Delivery:
        self.log.append((self.clock.seconds, outgoing.chat, outgoing.text))
        if self.gate:
            await self.gate.wait()
        answer = self.answers.pop(0) if self.answers else Delivery("sent", message="1")
        if isinstance(answer, Exception):
            raise answer
        return answer

    @property
    def texts(self) -> list[str]:
        return [text for _, _, text in self.log]


class World:
    """Courier, outbox and clock."""

    def __init__(self, pace: Pace | None = None, weigh: Callable[[Outgoing], int] = lambda o: 1) -> None:
        self.clock, self.outbox = Stepped(), FakeOutbox()
        self.sends = Sends(self.clock)
        self.courier = Courier(
            self.sends,
            self.outbox,
            self.clock,
            pace=pace,
            steady=lambda: self.clock.seconds,
            weigh=weigh,
            jitter=lambda: 1.0,
        )

    async def run(self, seconds: float, step: float = 0.25) -> None:
        """Lets so much time pass."""
        end = self.clock.seconds + seconds
        while self.clock.seconds <= end:
            for _ in range(4):
                self.courier.step()
                for _ in range(4):
                    await asyncio.sleep(0)
            self.clock.seconds += step


async def test_one_a_second_in_a_chat_and_in_order() -> None:
    world = World()
    for n in range(5):
        world.outbox.put("1", f"n{n}")
    await world.run(6)
    assert world.sends.texts == [f"n{n}" for n in range(5)]
    times = [at for at, _, _ in world.sends.log]
    assert times[0] == 0.0 and all(b - a >= 1.0 for a, b in itertools.pairwise(times))


async def test_twenty_a_minute_in_a_group() -> None:
    world = World()
    for n in range(45):
        world.outbox.put("-5", f"n{n}")
    await world.run(130, step=1.0)
    times = [at for at, _, _ in world.sends.log]
    assert len(times) == 45
    assert max(sum(1 for t in times if a <= t < a + 60) for a in times) == 20


async def test_thirty_a_second_in_all() -> None:
    world = World()
    for n in range(100):
        world.outbox.put(str(n), "hello")
    await world.run(6, step=0.05)
    times = [at for at, _, _ in world.sends.log]
    assert len(times) == 100
    assert max(sum(1 for t in times if a <= t < a + 0.999) for a in times) <= 30


@settings(max_examples=50, deadline=None)
@given(st.lists(st.tuples(st.floats(0, 3), st.sampled_from(["1", "-1"])), max_size=60))
def test_the_pace_never_lets_more_through(steps: list[tuple[float, str]]) -> None:
    pace, at = Pace(), 0.0
    sent: dict[str, list[float]] = {"1": [], "-1": []}
    for gap, chat in steps:
        at += gap
        if pace.wait(chat, at) <= 0:
            pace.sent(chat, at)
            sent[chat].append(at)
    for times in sent.values():
        assert all(b - a >= 1 - 1e-9 for a, b in itertools.pairwise(times))
    assert all(sum(1 for t in sent["-1"] if a <= t < a + 60 - 1e-9) <= 20 for a in sent["-1"])


async def test_a_cut_message_counts_by_its_parts() -> None:
    world = World(weigh=lambda outgoing: 3 if outgoing.text == "long" else 1)
    world.outbox.put("1", "long")
    world.outbox.put("1", "next")
    await world.run(5)
    assert world.sends.log[1][0] >= 3.0


async def test_an_alarm_goes_first_and_waits_for_no_pace() -> None:
    world = World()
    for n in range(3):
        world.outbox.put("1", f"n{n}")
    await world.run(0)
    world.outbox.put("1", "flush with water", urgent=2, loud=True)
    await world.run(0)
    assert world.sends.texts == ["n0", "flush with water"] and world.sends.log[1][0] < 1.0


async def test_a_flood_to_one_delays_nobody_else() -> None:
    world = World()
    for n in range(1000):
        world.outbox.put("1", f"n{n}")
    world.outbox.put("2", "rinse now", urgent=1)
    await world.run(0)
    assert "rinse now" in world.sends.texts


async def test_retry_after_is_obeyed_and_order_kept() -> None:
    world = World()
    for n in range(3):
        world.outbox.put("1", f"n{n}")
    world.sends.answers = [Delivery("retry", wait=7.0)]
    await world.run(12)
    assert world.sends.texts == ["n0", "n0", "n1", "n2"]
    assert world.sends.log[1][0] >= 7.0


async def test_retry_after_holds_an_alarm_too() -> None:
    """The platform refuses it anyhow, and a call during the wait may lengthen it."""
    world = World()
    world.outbox.put("1", "n0")
    world.sends.answers = [Delivery("retry", wait=3.0)]
    await world.run(0)
    world.outbox.put("1", "flush", urgent=2)
    await world.run(5)
    assert world.sends.log[1][2] == "flush" and world.sends.log[1][0] >= 3.0


async def test_errors_back_off_longer_each_time() -> None:
    world = World()
    world.outbox.put("1", "n0")
    world.sends.answers = [Delivery("retry", maybe=True)] * 5
    await world.run(60)
    times = [at for at, _, _ in world.sends.log]
    gaps = [b - a for a, b in itertools.pairwise(times)]
    assert len(times) == 6 and gaps == sorted(gaps) and gaps[-1] >= 15
    assert world.outbox.rows[1].deliveries[0].maybe and world.outbox.undelivered() == []


async def test_an_alarm_is_tried_again_soon() -> None:
    world = World()
    world.outbox.put("1", "flush", urgent=2)
    world.sends.answers = [Delivery("retry")] * 6
    await world.run(30)
    times = [at for at, _, _ in world.sends.log]
    assert len(times) == 7 and max(b - a for a, b in itertools.pairwise(times)) <= 5.5


def test_jitter_by_default() -> None:
    world = World()
    courier = Courier(world.sends, world.outbox, world.clock, steady=lambda: 0.0)
    waits = {courier.judged(Outgoing(n, "1", "x"), Delivery("retry")).wait for n in range(20)}
    assert len(waits) > 1 and all(0.5 <= wait <= 1.0 for wait in waits)


@pytest.mark.parametrize("state", ["never", "blocked"])
async def test_what_cannot_be_delivered_holds_up_nothing(state: str) -> None:
    world = World()
    world.outbox.put("1", "n0")
    world.outbox.put("1", "n1")
    world.sends.answers = [Delivery(state, why="gone")]
    await world.run(2)
    assert world.sends.texts == ["n0", "n1"] and world.outbox.rows[1].state == state


async def test_a_moved_group_gets_it_at_its_new_id() -> None:
    world = World()
    world.outbox.put("-5", "rinse now")
    world.sends.answers = [Delivery("moved", chat="-1005")]
    await world.run(2)
    assert [chat for _, chat, _ in world.sends.log] == ["-5", "-1005"]


async def test_two_chats_that_name_each_other_are_not_asked_without_end() -> None:
    world = World()
    world.outbox.put("-5", "rinse now", urgent=2)
    world.sends.answers = [Delivery("moved", chat=chat) for chat in ("-6", "-5") * 50]
    await world.run(10)
    assert len(world.sends.log) <= 11


async def test_a_transport_that_raises_is_a_retry() -> None:
    world = World()
    world.outbox.put("1", "n0")
    world.sends.answers = [RuntimeError("a fault of ours")]
    await world.run(4)
    assert world.sends.texts == ["n0", "n0"] and world.outbox.rows[1].deliveries[0].maybe


async def test_never_two_at_once_in_a_chat_nor_too_many_in_all() -> None:
    world = World()
    world.sends.gate = asyncio.Event()
    for n in range(40):
        world.outbox.put(str(n % 20), f"n{n}")
    world.outbox.put("99", "flush", urgent=2)
    await world.run(3)
    chats = [chat for _, chat, _ in world.sends.log]
    assert len(chats) == len(set(chats)) <= AT_ONCE + 1 and "99" in chats
    world.sends.gate.set()
    await world.run(20)
    assert world.outbox.undelivered() == []


async def test_an_alarm_does_not_wait_for_a_slow_send_in_its_chat() -> None:
    world = World()
    world.sends.gate = asyncio.Event()
    world.outbox.put("1", "n0")
    await world.run(0)
    world.outbox.put("1", "flush", urgent=2)
    await world.run(0)
    assert world.sends.texts == ["n0", "flush"]
    world.sends.gate.set()
    await world.run(1)
    assert world.outbox.undelivered() == []


async def test_a_failing_store_is_waited_out() -> None:
    world = World()
    world.outbox.broken = OSError("disk full")
    world.outbox.put("1", "n0")
    task = asyncio.create_task(world.courier.run())
    await asyncio.sleep(0.01)
    world.outbox.broken = None
    world.courier.bell.set()
    await until(lambda: world.sends.texts == ["n0"])
    task.cancel()
    with pytest.raises(asyncio.CancelledError):
        await task


async def test_what_is_on_its_way_at_the_stop_stays_unsure() -> None:
    world = World()
    world.sends.gate = asyncio.Event()
    world.outbox.put("1", "n0")
    world.courier.step()
    await asyncio.sleep(0)
    finishing = asyncio.create_task(world.courier.finish())
    await finishing
    assert world.outbox.rows[1].state == "sending" and world.outbox.undelivered() == ["n0"]
