"""The two commands, the locks and the units, on copies with a stand-in for Python: nothing is installed."""

import ast
import re
import shutil
import subprocess
import sys
import tomllib
from configparser import ConfigParser
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
DEPLOY = ROOT / "deploy"

# Plays Python for the scripts: tells a version, makes a .venv, logs an install, shows how it was started.
STAND_IN = """#!/bin/sh
case "$*" in
"-c import sys"*) exec REAL -c "import sys; sys.version_info = VERSION; ${2#import sys; }" ;;
"-c import ensurepip"*) exit 0 ;;
"-m venv "*) mkdir -p "$3/bin" && cp "$0" "$3/bin/python" && echo venv >>"LOG" ;;
"-m pip --version") exit 0 ;;
"-m pip install"*) cat; echo install$PYTHONPATH >>"LOG"; sleep 0.05; exit "${PIP_EXIT:-0}" ;;
*) printf '%s|' "$PWD" "$PYTHONPATH" "$@"; cat ;;
esac
"""


class Copy:
    """A project's folder with the scripts alone, and stand-ins for every Python that they look for."""

    def __init__(self, folder: Path, version: str = "3.11") -> None:
        self.root, self.log, bin_ = folder / "a project", folder / "log", folder / "bin"
        shutil.copytree(DEPLOY, self.root / "deploy")
        bin_.mkdir()
        told = str(tuple(map(int, version.split("."))))
        script = (
            STAND_IN.replace("VERSION", told).replace("REAL", sys.executable).replace("LOG", str(self.log))
        )
        for name in ("python3", "python3.11", "python3.12", "python3.13", "python3.14"):
            (bin_ / name).write_text(script)
            (bin_ / name).chmod(0o755)
        self.elsewhere = folder / "elsewhere"
        self.elsewhere.mkdir()
        self.environment = {
            "PATH": f"{bin_}:/usr/local/bin:/usr/bin:/bin",
            "PYTHONPATH": "/of/another/project",
        }

    def start(self, *words: str, script: str = "run", **more: str) -> subprocess.Popen[str]:
        """The script, started from another folder."""
        return subprocess.Popen(
            [str(self.root / "deploy" / script), *words], cwd=self.elsewhere, env=self.environment | more,
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )  # fmt: skip

    def run(self, *words: str, piped: str = "", **more: str) -> tuple[int, str, str]:
        """Exit code, what it printed, and its complaints."""
        started = self.start(*words, **more)
        out, err = started.communicate(piped, timeout=60)
        return started.returncode, out, err

    def installs(self) -> list[str]:
        """What was made and installed so far."""
        return self.log.read_text().split() if self.log.exists() else []


@pytest.fixture
def copy(tmp_path):
    return Copy(tmp_path)


def words(out: str) -> list[str]:
    """The words that the bot itself was started with."""
    return out.split("|")[2:-1]


def test_run_installs_once_and_starts_where_the_caller_stands(copy):
    code, out, _ = copy.run("rehearse", "my day.txt")
    assert code == 0 and copy.installs() == ["venv", "install"]
    assert words(out) == ["-P", "-m", "bot", "rehearse", "my day.txt"]
    assert out.split("|")[:2] == [str(copy.elsewhere), str(copy.root)], (
        "the caller's folder, our own modules alone"
    )
    assert copy.run("talk")[2] == "" and copy.installs() == ["venv", "install"], (
        "the second start installs nothing"
    )


def test_words_piped_in_reach_the_bot_and_not_the_installer(copy):
    _, out, _ = copy.run(piped="new job Trial Row\n")
    assert copy.installs() == ["venv", "install"] and out.endswith("|new job Trial Row\n")


def test_a_link_to_the_script_works_as_well(copy):
    link = copy.elsewhere / "rinsebell"
    link.symlink_to(copy.root / "deploy" / "run")
    done = subprocess.run(
        [str(link), "check"], env=copy.environment, capture_output=True, text=True, check=True
    )
    assert words(done.stdout)[-1] == "check"


@pytest.mark.parametrize(
    ("given", "verb"),
    [
        ({}, "talk"),
        ({"RINSEBELL_TOKEN": ""}, "talk"),
        ({"RINSEBELL_TOKEN": "1:A"}, "serve"),
        ({"RINSEBELL_TOKEN_FILE": "/etc/t"}, "serve"),
        ({"RINSEBELL_FILE": "set.env"}, "serve"),
        ({"RINSEBELL_FILE": "unset.env"}, "talk"),
        ({"RINSEBELL_FILE": "nowhere.env"}, "talk"),
    ],
)
def test_with_no_words_a_token_decides(copy, given, verb):
    (copy.elsewhere / "set.env").write_text("RINSEBELL_TOKEN_FILE=/etc/t\n")
    (copy.elsewhere / "unset.env").write_text("#RINSEBELL_TOKEN=1:A\nRINSEBELL_TOKEN=\nZONE=America/Denver\n")
    assert words(copy.run(**given)[1]) == ["-P", "-m", "bot", verb]


def test_a_changed_lock_is_installed_over_what_is_there(copy):
    copy.run("talk")
    with (copy.root / "deploy" / "requirements.txt").open("a") as lock:
        lock.write("# changed\n")
    copy.run("talk")
    assert copy.installs() == ["venv", "install", "install"]


def test_a_killed_install_is_begun_anew(copy):
    """A package half unpacked looks installed to pip, so nothing of it may be trusted."""
    copy.run("talk")
    (copy.root / ".venv" / "unfinished").touch()
    (copy.root / ".venv" / "half a package").touch()
    assert copy.run("talk")[0] == 0
    assert copy.installs() == ["venv", "install"] * 2
    assert not (copy.root / ".venv" / "half a package").exists()


def test_a_failed_upgrade_says_so_and_leaves_what_stood(copy):
    copy.run("talk")
    with (copy.root / "deploy" / "requirements.txt").open("a") as lock:
        lock.write("# changed\n")
    code, out, err = copy.run("talk", PIP_EXIT="1")
    assert (code, out) == (1, "") and "could not be installed" in err
    assert copy.run("talk")[0] == 0 and copy.installs().count("venv") == 1


def test_a_folder_that_was_moved_gets_an_environment_of_its_own(copy):
    copy.run("talk")
    copy.root = copy.root.rename(copy.root.with_name("moved"))
    assert copy.run("talk")[0] == 0 and copy.installs() == ["venv", "install"] * 2


@pytest.mark.skipif(not shutil.which("flock"), reason="two starts at once are kept apart by flock")
def test_of_two_first_starts_one_installs_and_both_run(copy):
    started = [copy.start("talk") for _ in range(3)]
    outs = [one.communicate(timeout=60)[0] for one in started]
    assert all(words(out)[-1] == "talk" for out in outs)
    assert copy.installs() == ["venv", "install"]


@pytest.mark.parametrize("script", ["run", "test"])
def test_an_old_python_is_told_in_one_line(tmp_path, script):
    copy = Copy(tmp_path, version="3.10")
    code, out, err = copy.run("talk", script=script)
    assert code == 1 and out == "" and err.count("\n") == 1
    assert "3.11" in err and "3.10" in err and copy.installs() == []


def names(lock: str) -> dict[str, str]:
    """The releases that a lock pins."""
    return dict(re.findall(r"^([a-z0-9.-]+)==(\S+) \\$", (DEPLOY / lock).read_text(), re.MULTILINE))


@pytest.mark.parametrize("lock", ["requirements.txt", "requirements-test.txt"])
def test_a_lock_pins_every_release_by_hash_and_names_no_place(lock):
    text = (DEPLOY / lock).read_text()
    pinned = re.split(r"^(?=[a-z0-9])", text, flags=re.MULTILINE)[1:]
    assert len(pinned) == len(names(lock)) > 20
    assert all("--hash=sha256:" in block for block in pinned)
    assert not re.search(r"://|^--|\s@\s|file:/|/(opt|tmp|root|home|work)\b", text, re.MULTILINE)


def asked_for() -> tuple[set[str], set[str]]:
    """The packages that the product asks for, and those that its tests ask for besides."""
    asked = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    lists = asked["dependencies"], asked["optional-dependencies"]["test"]
    plain, extra = ({re.split(r"[=<>\[ ]", n)[0].replace("_", "-") for n in names} for names in lists)
    return plain, extra


def test_the_locks_hold_what_the_project_asks_for_and_agree():
    product, test = names("requirements.txt"), names("requirements-test.txt")
    plain, extra = asked_for()
    assert plain <= product.keys(), "run ./deploy/lock"
    assert extra <= test.keys() and product.items() <= test.items(), "run ./deploy/lock"
    assert not extra & product.keys(), "a tool of the tests has no business on a server"


def imported(*folders: str) -> set[str]:
    """The installed packages that the modules of these folders import."""
    homes = packages_distributions()
    trees = [ast.parse(p.read_text()) for folder in folders for p in (ROOT / folder).rglob("*.py")]
    nodes = [node for tree in trees for node in ast.walk(tree)]
    whole = [name.name for node in nodes if isinstance(node, ast.Import) for name in node.names]
    parts = [node.module or "" for node in nodes if isinstance(node, ast.ImportFrom) and not node.level]
    found = {home for name in whole + parts for home in homes.get(name.split(".")[0], [])}
    return {re.sub(r"[_.]+", "-", name).lower() for name in found}


def test_what_is_imported_is_asked_for_and_not_met_by_chance():
    """Else a release of somebody else's that drops it would stop the bot."""
    assert imported("bot", "handlers") - asked_for()[0] == set()
    assert imported("tests") - asked_for()[0] - asked_for()[1] == set()


def unit(name: str) -> ConfigParser:
    """A unit's file; of a key given twice the last stands."""
    read = ConfigParser(strict=False, interpolation=None, delimiters=("=",))
    read.optionxform = str  # type: ignore[assignment, method-assign]
    read.read(DEPLOY / name)
    return read


@pytest.mark.parametrize(
    ("name", "verb"), [("rinsebell.service", "serve"), ("rinsebell-backup.service", "backup")]
)
def test_a_unit_runs_ours_without_root_and_writes_its_data_alone(name, verb):
    service = unit(name)["Service"]
    assert service["ExecStart"] == f"/opt/rinsebell/deploy/run {verb}"
    assert service["User"] == "rinsebell" and service["NoNewPrivileges"] == "yes"
    assert service["ProtectSystem"] == "strict" and "ReadWritePaths" not in service
    assert service["CapabilityBoundingSet"] == ""
    assert service["StateDirectoryMode"] == "0700" and service["UMask"] == "0077"


def test_the_service_comes_back_after_a_crash_but_not_on_a_wrong_setting():
    service = unit("rinsebell.service")
    assert service["Service"]["Restart"] == "always" and service["Unit"]["StartLimitIntervalSec"] == "0"
    assert service["Service"]["RestartPreventExitStatus"] == "2", "as bot/__main__.py ends on a wrong setting"
    assert unit("rinsebell-backup.timer")["Timer"]["Persistent"] == "true"


@pytest.mark.skipif(not shutil.which("systemd-analyze"), reason="systemd is not on this machine")
@pytest.mark.parametrize("name", ["rinsebell.service", "rinsebell-backup.service"])
def test_systemd_finds_little_exposed(name):
    done = subprocess.run(
        ["systemd-analyze", "security", "--offline=true", "--threshold=25", "--no-pager", str(DEPLOY / name)],
        capture_output=True, text=True, timeout=60,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout[-300:] + done.stderr


def test_the_container_is_not_root_and_keeps_its_data():
    steps = (DEPLOY / "Containerfile").read_text().splitlines()
    assert "USER 10001" in steps and "VOLUME /var/lib/rinsebell" in steps
    assert any("--require-hashes" in step for step in steps)


def test_a_unit_that_waits_for_a_word_gets_it():
    """Type=notify without READY is a bot that systemd stops after two minutes, again and again."""
    assert unit("rinsebell.service")["Service"]["Type"] == "notify"
    wiring = [ROOT / "bot" / name for name in ("app.py", "serving.py", "__main__.py")]
    assert any("liveness.beat(" in path.read_text() for path in wiring if path.exists())
