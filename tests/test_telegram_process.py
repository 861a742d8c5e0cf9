"""`python -m bot serve` as a service manager runs it: claimed, answered, stopped by SIGTERM, started again."""

from __future__ import annotations

import os
import re
import signal
import stat
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.botapi.people import Person
from tests.botapi.server import TOKEN, BotApi
from tests.conftest import Crew

pytest_plugins = ["tests.botapi.fixtures"]
ROOT = Path(__file__).resolve().parent.parent


class Service:
    """The process, its environment and what it wrote."""

    def __init__(self, api: BotApi, data: Path) -> None:
        self.api, self.data, self.log = api, data, data.parent / "log"
        self.process: subprocess.Popen[bytes] | None = None

    def start(self, *words: str) -> None:
        """As the unit file does: settings in the environment, the token in a file."""
        secret = self.data.parent / "token"
        secret.write_text(TOKEN + "\n")
        kept = {name: value for name, value in os.environ.items() if not name.startswith("RINSEBELL_")}
        mine = {"TOKEN_FILE": str(secret), "API_URL": self.api.url, "DATA": str(self.data)}
        mine["ZONE"] = "America/New_York"
        with self.log.open("ab") as out:
            self.process = subprocess.Popen(
                [sys.executable, "-m", "bot", *(words or ("serve",))],
                cwd=ROOT,
                env={**kept, **{"RINSEBELL_" + name: value for name, value in mine.items()}},
                stdout=out,
                stderr=out,
            )

    def stop(self) -> tuple[int, float]:
        """SIGTERM; gives the exit code and the seconds it took."""
        assert self.process is not None
        began = time.monotonic()
        self.process.send_signal(signal.SIGTERM)
        return self.process.wait(10), time.monotonic() - began

    def written(self) -> str:
        """All that it wrote."""
        return self.log.read_text() if self.log.exists() else ""

    def code(self) -> str:
        """The owner's code that the first start prints."""
        found = self.api.until(lambda: re.search(r"/start (\S+)", self.written()), 20)
        return str(found[1])


@pytest.fixture
def service(api: BotApi, tmp_path: Path) -> Iterator[Service]:
    """A service that is not running yet."""
    made = Service(api, tmp_path / "data")
    yield made
    if made.process and made.process.poll() is None:
        made.process.kill()
        made.process.wait()


def test_from_the_first_start_to_the_second(service: Service, api: BotApi, dana: Person) -> None:
    service.start()
    dana.says("/start " + service.code())
    api.until(lambda: dana.texts(), 20)
    assert service.process is not None
    shown = Path(f"/proc/{service.process.pid}/cmdline")
    if shown.exists():
        assert TOKEN.encode() not in shown.read_bytes(), "not in the process list"
    dana.says("new job Heron Point")
    api.until(lambda: any("Heron Point" in text for text in dana.texts()), 20)
    code, seconds = service.stop()
    assert code == 0 and seconds < 2.0

    dana.says("section A floor 12x16 ft")  # while it is down
    service.start()
    api.until(lambda: any("192" in text for text in dana.texts()), 20)  # 12 x 16 ft
    assert service.stop()[0] == 0
    assert TOKEN.split(":")[1] not in service.written()
    for path in [service.data, *service.data.rglob("*")]:
        assert stat.S_IMODE(path.stat().st_mode) & 0o077 == 0, f"{path} is for its owner alone"


def test_a_second_one_on_the_same_data_is_refused(service: Service, api: BotApi) -> None:
    service.start()
    api.until(lambda: "getUpdates" in api.tried, 20)
    other = Service(api, service.data)
    other.start()
    assert other.process is not None and other.process.wait(20) == 2
    assert "RINSEBELL_DATA" in other.written() and "Traceback" not in other.written()


def test_a_wrong_token_is_one_clear_line(service: Service, api: BotApi) -> None:
    api.fail("getMe", *["401"] * 3)
    service.start()
    assert service.process is not None and service.process.wait(20) == 2
    told = service.written()
    assert "RINSEBELL_TOKEN" in told and TOKEN.split(":")[1] not in told and "Traceback" not in told


def test_on_the_last_good_backup_only_when_told_to(
    service: Service, api: BotApi, dana: Person, heron: Crew
) -> None:
    """Told to, it answers from the backup and records nothing; else it does not start: tests/test_faults.py."""
    with heron.store.turn():
        heron.store.db.execute("update people set source = 'telegram', external = ?, chat = ? where name = 'Dana'",
                               [str(dana.id), str(dana.id)])  # fmt: skip
        heron.store.db.execute("update outbox set state = 'sent'")
    service.data = heron.folder
    (heron.folder / "backups").mkdir(mode=0o700)
    heron.store.backup(heron.folder / "backups" / "day.db")
    heron.store.db.execute("pragma wal_checkpoint(truncate)")
    heron.store.close()
    with heron.store.path.open("r+b") as file:
        file.seek(4096)
        file.write(b"\xa5" * 4096 * 30)
    damaged = heron.store.path.read_bytes()

    service.start("serve", "--last-good")
    dana.says("started section B")
    api.until(lambda: any("NOT written down" in text for text in dana.texts()), 20)
    dana.says("status")
    api.until(lambda: any("Heron Point" in text for text in dana.texts()), 20)
    assert service.stop()[0] == 0 and "read-only" in service.written()
    assert heron.store.path.read_bytes() == damaged
    assert [p.name for p in (heron.folder / "backups").iterdir()] == ["day.db"]
