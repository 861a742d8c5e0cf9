"""Powder into water: how much of each, how strong, over which buckets, how much an area needs.

A ratio is mass of powder per volume of WATER, as crews say it ("4 oz a gallon"). Water is taken at
20 degC (998.21 g/L, CRC Handbook), which is within 0.3 % for any tap.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bot.errors import Nonsense
from bot.trade.substances import KNOWN, PRODUCTS, WATER_DENSITY
from bot.trade.units import Q, not_negative, positive

MOST_VOLUME = 10_000.0  # litres; more than a road tanker's worth is a slip of the thumb
MOST_RATIO = 1_000.0  # g/L, half powder by mass
MOST_AREA = 10_000.0  # m2
# A nominal pail holds about 5 % more than its name, which is where the powder's own volume
# goes: common practice, no source.
OVER_NOMINAL = 1.05
# Share of the label's coverage that a surface really gives: common practice, no source.
ROUGHNESS: Mapping[str, float] = {"smooth": 1.0, "weathered": 0.8, "rough": 0.65}


@dataclass(frozen=True)
class Batch:
    """One batch: `powder` into `water`; `own_volume` is the most that the powder adds to it."""

    powder: Q
    water: Q
    volume: Q
    ratio: Q
    percent_by_weight: float
    grams_per_litre: float
    molarity: float | None
    own_volume: Q | None
    substance: str | None


@dataclass(frozen=True)
class Fill:
    """What goes into one vessel, one time."""

    vessel: Q
    water: Q
    powder: Q


def batch(volume: Q, ratio: Q, substance: str | None = None) -> Batch:
    """The batch for `volume` of water at `ratio`; molarity (mol per litre of water) when known."""
    litres = positive(volume, "liter", "volume")
    strength = positive(ratio, "gram/liter", "ratio")
    if litres > MOST_VOLUME or strength > MOST_RATIO:
        raise Nonsense("batch_too_much", volume=volume, ratio=ratio)
    pure = KNOWN.get(PRODUCTS.get(substance, substance)) if substance else None
    grams = litres * strength
    return Batch(
        powder=Q(grams, "gram"),
        water=volume,
        volume=volume,
        ratio=ratio,
        percent_by_weight=100 * strength / (strength + WATER_DENSITY),
        grams_per_litre=strength,
        molarity=strength / pure.molar_mass if pure else None,
        own_volume=Q(grams / pure.crystal / 1000, "liter") if pure else None,
        substance=pure.name if pure else substance,
    )


def from_powder(powder: Q, ratio: Q, substance: str | None = None) -> Batch:
    """The batch that a given mass of powder makes at this ratio: the last of a bag, used up."""
    litres = positive(powder, "gram", "powder") / positive(ratio, "gram/liter", "ratio")
    return batch(Q(litres, "liter"), ratio, substance)


def scale(made: Batch, volume: Q) -> Batch:
    """The same mix for another volume."""
    return batch(volume, made.ratio, made.substance)


def split(made: Batch, vessels: Sequence[Q]) -> tuple[Fill, ...]:
    """The batch over these vessels, all at one strength, in as many rounds as it takes.

    Shares go by capacity, so each vessel has the same room left; no vessel is filled past its
    name but for the powder's own volume.
    """
    room = [positive(vessel, "liter", "vessel") for vessel in vessels]
    if not room:
        raise Nonsense("no_vessel")
    water = positive(made.water, "liter", "water")
    swelling = positive(made.own_volume, "liter", "own_volume") if made.own_volume is not None else 0.0
    # The hair of slack: three fifths of a 5 gal bucket and two fifths are one bucket, not two.
    rounds = max(_rounds(water, sum(room)), _rounds(water + swelling, sum(room) * OVER_NOMINAL))
    strength = positive(made.ratio, "gram/liter", "ratio")
    shares = [water * one / sum(room) / rounds for one in room]
    fills = [
        Fill(vessel, Q(share, "liter").to(made.water.units), Q(share * strength, "gram"))
        for vessel, share in zip(vessels, shares, strict=True)
    ]
    return tuple(fills * rounds)


def _rounds(volume: float, room: float) -> int:
    return max(1, math.ceil(volume / room - 1e-9))


def volume_for(
    area: Q, coverage: Q, passes: int = 1, overage: float = 0.10, roughness: str = "smooth"
) -> Q:
    """Gallons of mix for an area at the label's coverage; the overage keeps it from running out.

    300 ft2 at 100 ft2/gal in 2 passes with 10 % over is 6.6 gal.
    """
    square_metres = positive(area, "meter**2", "area")
    per_litre = positive(coverage, "meter**2/liter", "coverage")
    if square_metres > MOST_AREA or not 1 <= passes <= 10 or not 0 <= overage <= 1:
        raise Nonsense("area_job_impossible", area=area, passes=passes, overage=overage)
    if roughness not in ROUGHNESS:
        raise Nonsense("roughness_unknown", roughness=roughness)
    litres = square_metres / (per_litre * ROUGHNESS[roughness]) * passes * (1 + overage)
    return Q(litres, "liter").to("gallon")


def volume_for_sections(areas: Sequence[Q], coverage: Q, passes: int = 1, overage: float = 0.10) -> Q:
    """ONE batch for all sections, so that they match: two batches are never quite one colour."""
    total = sum(positive(area, "meter**2", "area") for area in areas)
    return volume_for(Q(total, "meter**2"), coverage, passes, overage)


@dataclass(frozen=True)
class Enough:
    """Whether what is mixed covers what is needed; `over` is less than nothing when short."""

    enough: bool
    needed: Q
    over: Q


def enough(mixed: Q, needed: Q) -> Enough:
    """Does the mixed volume cover the need? Counted short even by a drop: never runs out."""
    have = not_negative(mixed, "gallon", "mixed")
    want = not_negative(needed, "gallon", "needed")
    return Enough(have >= want * (1 - 1e-9), Q(want, "gallon"), Q(have - want, "gallon"))
