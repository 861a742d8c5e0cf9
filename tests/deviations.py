"""How far each computation is from its outside source: measured, never copied.

Every module `tests/deviations_<topic>.py` has `compared() -> list[Compared]`; the table in
tests/reference/README.md is this file's output, and test_reference.py fails when the two differ.
Write it anew with `python -m tests.deviations`.
"""

import csv
import importlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

REFERENCE = Path(__file__).parent / "reference"
README = REFERENCE / "README.md"
START, END = "<!-- measured: start -->", "<!-- measured: end -->"
HEAD = "| computation | outside source | points | largest deviation | allowed |\n|---|---|---|---|---|"


@dataclass(frozen=True)
class Compared:
    """One computation against one source: pairs of (ours, theirs); `relative` compares in percent."""

    computation: str
    source: str
    pairs: Sequence[tuple[float, float]]
    allowed: float
    unit: str = "%"
    relative: bool = True

    @property
    def largest(self) -> float:
        """The largest deviation, in `unit`."""
        if self.relative:
            return max(abs(ours / theirs - 1) * 100 for ours, theirs in self.pairs)
        return max(abs(ours - theirs) for ours, theirs in self.pairs)

    def row(self) -> str:
        """The line of the table."""
        largest = f"{self.largest:.2f} {self.unit}"
        allowed = f"{self.allowed:g} {self.unit}"
        return f"| {self.computation} | {self.source} | {len(self.pairs)} | {largest} | {allowed} |"


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a reference table."""
    with (REFERENCE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def everything() -> list[Compared]:
    """All comparisons of all topics, by module name."""
    names = sorted(path.stem for path in Path(__file__).parent.glob("deviations_*.py"))
    return [one for name in names for one in importlib.import_module(f"tests.{name}").compared()]


def table() -> str:
    """The measured table, as it stands in tests/reference/README.md."""
    return "\n".join([HEAD, *(one.row() for one in everything())])


def written() -> str:
    """The table as it now stands in the README."""
    return README.read_text(encoding="utf-8").split(START)[1].split(END)[0].strip()


if __name__ == "__main__":
    before, rest = README.read_text(encoding="utf-8").split(START)
    README.write_text(f"{before}{START}\n{table()}\n{END}{rest.split(END)[1]}", encoding="utf-8")
    print(table())
