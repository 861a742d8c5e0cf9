"""The only reader of the clock. Everything else is handed the moment."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta


class WallClock:
    """The machine's time; `speed` times as fast from the start on, for practice."""

    def __init__(self, speed: float = 1.0) -> None:
        self.speed = speed
        self._began = datetime.now(UTC)

    def now(self) -> datetime:
        """The moment, in UTC."""
        real = datetime.now(UTC)
        return real if self.speed == 1 else self._began + (real - self._began) * self.speed

    async def sleep(self, seconds: float) -> None:
        """Waits so many seconds of this clock."""
        import asyncio  # only who waits pays for it: `understand` does not

        await asyncio.sleep(seconds / self.speed)


class SetClock:
    """A clock that stands until it is moved: rehearsals run on it."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def now(self) -> datetime:
        """The moment it was set to."""
        return self.at

    def move(self, to: datetime) -> None:
        """Moves it on; never back."""
        self.at = max(self.at, to)

    async def sleep(self, seconds: float) -> None:
        """Moves it on by itself."""
        self.at += timedelta(seconds=seconds)
