"""An invented season: crews that work with known parameters and honest noise, as facts and as the messages they text.

Nothing here is shared with what learns. The crew's true figures are set in `Truth`; each job draws its own
from them (log-normal), each step draws again, clocks are told to the minute, batches are mixed in half
gallons and what is left in the bucket is told to the quarter, and now and then somebody forgets to say that
a section is covered or that they have left. Wood dries by M(t) = Me + (M0 - Me) exp(-t / tau), read each morning.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

ZONE = ZoneInfo("America/New_York")
DANA, ANA, LUIS = 1, 2, 3
NAMES = {DANA: "Dana", ANA: "Ana", LUIS: "Luis"}
DECKS = ("Heron Point", "Trial Row", "Alder Court", "Mill Lane", "Quarry Road", "Fern Hollow", "Sandbar Way", "Kite Hill",
         "Juniper Bend", "Otter Creek", "Wren Close", "Harbor Steps", "Maple End", "Tern Walk", "Cedar Cut")  # fmt: skip
FINISHES = ("solid stain", "semi-transparent stain", "clear sealer")
OUNCES = {"stripper": 6.0, "brightener": 4.0}


@dataclass(frozen=True)
class Truth:
    """What the crew really does: ft2 a mixed gallon, ft2 a minute, minutes after the last edge, days of drying."""

    coverage: float = 118.0
    brightener_coverage: float = 165.0
    pace: float = 18.0
    rinse_pace: float = 11.0
    wait: float = 13.0
    tau_days: float = 1.6
    second_pass: float = 0.25
    between_jobs: float = 0.10
    between_steps: float = 0.12
    forgets: float = 0.08

    @property
    def drying_days(self) -> float:
        """Days from 30 % to 15 % towards 11 %: tau ln((30 - 11) / (15 - 11))."""
        return self.tau_days * math.log((30 - 11) / (15 - 11))


@dataclass(frozen=True)
class Said:
    """One thing told: when, by whom, in which words, and the fact that it is."""

    at: datetime
    who: int
    text: str
    kind: str
    data: dict[str, Any]
    sections: tuple[str, ...] = ()
    shop: bool = False


@dataclass
class Deck:
    """One job as it went: what was told, and what the crew's own figures were that day."""

    name: str
    said: list[Said] = field(default_factory=list)
    now: datetime = datetime(2026, 5, 1, tzinfo=UTC)

    def tell(
        self, who: int, text: str, kind: str, data: dict[str, Any], *sections: str, shop: bool = False
    ) -> None:
        self.said.append(Said(self.now, who, text, kind, data, sections, shop))

    def wait(self, minutes: float) -> None:
        """Time passes in whole minutes, as a crew tells it."""
        self.now += timedelta(minutes=max(1, round(minutes)))

    def facts(self, job: int) -> list[dict[str, Any]]:
        """The job's rows as the fold takes them."""
        return [{"id": i, "kind": s.kind, "at": s.at.astimezone(UTC), "told": s.at.astimezone(UTC), "person": s.who,
                 "sections": s.sections, "data": s.data, "inbox": i, "job": job}
                for i, s in enumerate(self.said) if not s.shop]  # fmt: skip

    def day(self) -> str:
        """The same as a written day for a rehearsal."""
        lines = [
            f"{s.at.astimezone(ZONE):%Y-%m-%d %H:%M} {NAMES[s.who]}: {s.text}" for s in self.said if s.text
        ]
        return "\n".join(
            [
                "zone America/New_York",
                "person Dana owner en",
                "person Ana crew en",
                "person Luis crew en",
                *lines,
            ]
        )


class Season:
    """Seeded: the same seed gives the same season."""

    def __init__(self, seed: int, truth: Truth | None = None) -> None:
        self.dice, self.truth = random.Random(seed), truth or Truth()

    def jobs(self, count: int = 14) -> list[Deck]:
        """So many jobs, a week apart from 4 May 2026 on."""
        start = datetime(2026, 5, 4, 7, 0, tzinfo=ZONE)
        return [self.job(DECKS[i % len(DECKS)], start + timedelta(weeks=i)) for i in range(count)]

    def job(self, name: str, start: datetime) -> Deck:
        """One deck from its opening to its close."""
        deck, t = Deck(name, now=start + timedelta(minutes=self.dice.randrange(0, 30))), self.truth
        cover, bright = (
            self.around(t.coverage, t.between_jobs),
            self.around(t.brightener_coverage, t.between_jobs),
        )
        sections = self.survey(deck)
        deck.wait(20)
        for who in (ANA, LUIS):
            deck.tell(who, "on site", "arrive", {})
        passes = {name: 1 + (self.dice.random() < t.second_pass) for name in sections}
        left = self.mix(deck, "stripper", sum(sections[n] * passes[n] for n in sections) / cover)
        sour = self.mix(deck, "brightener", sum(sections.values()) / bright)
        for n, area in sections.items():
            for number in range(passes[n]):
                self.strip(deck, n, area, number)
        for n, area in sections.items():
            self.brighten(deck, n, area)
        for product, over in (("stripper", left), ("brightener", sour)):
            if over > 0:
                data = {"product": product, "volume": {"value": over, "unit": "gal"}}
                deck.wait(1)
                deck.tell(LUIS, f"{over:g} gal {product} left over", "leftover", data)
        deck.wait(25)
        for who in (ANA, LUIS):
            if self.dice.random() >= t.forgets:
                deck.tell(who, "heading home", "leave", {})
        self.dry(deck, sections)
        deck.wait(5)
        deck.tell(DANA, "close job", "job", {"action": "close"})
        return deck

    def around(self, middle: float, spread: float) -> float:
        """A draw whose median is `middle`."""
        return middle * math.exp(self.dice.gauss(0, spread))

    def survey(self, deck: Deck) -> dict[str, float]:
        """The job opened, its old finish told and its sections measured: {name: ft2}."""
        finish = self.dice.choice(FINISHES)
        deck.tell(DANA, f"new job {deck.name}", "job", {"action": "open", "name": deck.name})
        deck.wait(2)
        deck.tell(DANA, f"old finish is {finish}", "survey", {"finish": finish})
        found = {}
        for name in ("A", "B", "C", "D")[: self.dice.randrange(2, 5)]:
            length, width = self.dice.randrange(8, 15), self.dice.randrange(10, 17)
            deck.wait(1)
            deck.tell(DANA, f"section {name} floor {length}x{width} ft", "measure",
                      {"area": {"value": float(length * width), "unit": "ft2"}, "surface": "floor"}, name)  # fmt: skip
            found[name] = float(length * width)
        return found

    def mix(self, deck: Deck, product: str, gallons: float) -> float:
        """Enough for all of it, in half gallons, a bucket of at most 5 gal at a time; gives what will be left over."""
        left = math.ceil(gallons * 2 - 1e-9) / 2
        over = round((left - gallons) * 4) / 4
        while left > 0:
            volume = min(5.0, left)
            left -= volume
            deck.wait(4)
            grams = volume * OUNCES[product] * 28.349523125
            data = {
                "product": product,
                "volume": {"value": volume, "unit": "gal"},
                "taken": {"value": grams, "unit": "g"},
                "strength": {
                    "mass": {"value": OUNCES[product], "unit": "oz"},
                    "per": {"value": 1, "unit": "gal"},
                },
            }
            deck.tell(LUIS, f"mixed {volume:g} gal {product}", "mixed", data)
        return over

    def strip(self, deck: Deck, name: str, area: float, number: int) -> None:
        """One pass of stripper, from the first edge to the end of the rinse."""
        t = self.truth
        deck.wait(4)
        deck.tell(ANA, f"started stripper on {name}", "start", {"step": "strip", "product": "stripper"}, name)
        deck.wait(area / self.around(t.pace, t.between_steps))
        if self.dice.random() >= t.forgets:
            deck.tell(ANA, f"{name} covered with stripper", "finish", {"step": "strip"}, name)
        deck.wait(self.around(t.wait, t.between_steps))
        deck.tell(ANA, f"rinsing {name}", "start", {"step": "rinse"}, name)
        deck.wait(area / self.around(t.rinse_pace, t.between_steps))
        deck.tell(ANA, f"{name} rinsed", "finish", {"step": "rinse"}, name)

    def brighten(self, deck: Deck, name: str, area: float) -> None:
        """Brightener and its rinse, by the same hands."""
        t = self.truth
        deck.wait(2)
        deck.tell(
            LUIS,
            f"started brightener on {name}",
            "start",
            {"step": "brighten", "product": "brightener"},
            name,
        )
        deck.wait(area / self.around(t.pace, t.between_steps))
        deck.wait(6)
        deck.tell(LUIS, f"starting final rinse on {name}", "start", {"step": "final rinse"}, name)
        deck.wait(area / self.around(t.rinse_pace, t.between_steps))
        deck.tell(LUIS, f"final rinse done on {name}", "finish", {"step": "final rinse"}, name)

    def dry(self, deck: Deck, sections: dict[str, float]) -> None:
        """Readings each morning at nine until every section reads 15 or less."""
        rinsed, tau = deck.now, self.around(self.truth.tau_days, self.truth.between_jobs)
        wet = list(sections)
        for morning in self.mornings(deck.now):
            deck.now = morning
            days = (morning - rinsed) / timedelta(days=1)
            for name in list(wet):
                truth = 11 + 19 * math.exp(-days / tau)
                spots = [round(truth + self.dice.gauss(0, 0.4), 1) for _ in range(3)]
                deck.wait(1)
                deck.tell(
                    ANA,
                    f"{name} moisture {' '.join(f'{x:g}' for x in spots)}",
                    "moisture",
                    {"readings": spots},
                    name,
                )
                if max(spots) <= 15:
                    wet.remove(name)
            if not wet:
                return

    @staticmethod
    def mornings(since: datetime) -> Iterator[datetime]:
        """Nine o'clock of the next two weeks."""
        first = since.astimezone(ZONE).replace(hour=9, minute=0, second=0, microsecond=0)
        for day in range(1, 15):
            yield first + timedelta(days=day)
