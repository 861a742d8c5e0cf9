"""Examples worked by hand or published, by topic: the case's name leads to what our code says."""

import math
from collections.abc import Callable

from bot.trade import acidity, area, cost, dilution, heat, mixing, solubility, water
from bot.trade.units import Q, quantity
from tests.deviations import Compared, rows

FOUR = Q(4, "ounce/gallon")
BOX = cost.Pack(Q(10, "pound"), 30)


def ft(value: float) -> Q:
    """Feet."""
    return Q(value, "foot")


def inch(value: float) -> Q:
    """Inches."""
    return Q(value, "inch")


def _above(ounces: float) -> float:
    found = solubility.dissolves("oxalic", Q(ounces, "ounce/gallon"), Q(20, "degC")).above
    return math.nan if found is None else float(found.to("degC").magnitude)


def _film() -> Q:
    return acidity.caustic_left(Q(100, "ft2"), 2.0)


MIXING: dict[str, Callable[[], float]] = {
    "4 oz/gal in grams per litre": lambda: mixing.batch(Q(4, "gal"), FOUR).grams_per_litre,
    "4 gal at 4 oz/gal": lambda: mixing.batch(Q(4, "gal"), FOUR).powder.to("ounce").magnitude,
    "4 gal at 4 oz/gal in grams": lambda: mixing.batch(Q(4, "gal"), FOUR).powder.to("gram").magnitude,
    "percent by weight of 4 oz/gal": lambda: mixing.batch(Q(4, "gal"), FOUR).percent_by_weight,
    "molarity of 4 oz/gal oxalic": lambda: mixing.batch(Q(1, "gal"), FOUR, "oxalic").molarity or 0,
    "own volume of 1 lb oxalic": lambda: (
        mixing.batch(Q(4, "gal"), FOUR, "oxalic").own_volume.to("mL").magnitude
    ),
    "300 ft2 at 100 ft2/gal, 2 passes, 10 % over": lambda: (
        mixing.volume_for(Q(300, "ft2"), Q(100, "ft2/gal"), 2).to("gal").magnitude
    ),
    "2.5 gal at 1:4, concentrate": lambda: (
        dilution.parts(Q(2.5, "gal"), 1, 4).concentrate.to("gal").magnitude
    ),
    "2.5 gal at 1:4, water": lambda: dilution.parts(Q(2.5, "gal"), 1, 4).water.to("gal").magnitude,
    "10 % caustic in grams per litre": lambda: dilution.grams_per_litre("caustic", 10),
    "1 gal over 100 ft2": lambda: (Q(1, "gal") / Q(100, "ft2")).to("millimeter").magnitude,
    "12 oz/gal dissolves above, degC": lambda: _above(12),
    "1 lb/gal dissolves above, degC": lambda: _above(16),
    "2 lb/gal dissolves above, degC": lambda: _above(32),
    "rise of 1 lb caustic in 5 gal, K": lambda: heat.rise(Q(1, "lb"), Q(5, "gal")).magnitude,
    "end of 40 g caustic in 1 kg at 15 degC": lambda: (
        heat.judge(Q(40, "gram"), Q(1 / 0.99821, "liter"), Q(15, "degC")).final.to("degC").magnitude
    ),
    "caustic in 0.05 mm of 2 % on 100 ft2": lambda: _film().to("gram").magnitude,
    "oxalic for that caustic": lambda: acidity.acid_for(_film(), "oxalic").magnitude,
    "oxalic per g caustic": lambda: acidity.acid_for(Q(1, "gram"), "brightener").magnitude,
    "oxalic anhydrous per g caustic": lambda: acidity.acid_for(Q(1, "gram"), "oxalic anhydrous").magnitude,
    "citric per g caustic": lambda: acidity.acid_for(Q(1, "gram"), "citric").magnitude,
    "citric monohydrate per g caustic": lambda: (
        acidity.acid_for(Q(1, "gram"), "citric monohydrate").magnitude
    ),
}


def _feet(taken: area.TakeOff) -> float:
    return float(taken.area.to("ft2").magnitude)


def _member_rail() -> float:
    return float(
        (area.member(area.TWO_BY_TWO, inch(36), 13) + area.member(area.TWO_BY_FOUR, ft(6), 2)).magnitude
    )


def _treads_and_risers() -> float:
    parts = dict(area.stairs(4, inch(36)).parts)
    return float((parts["treads"] + parts["risers"]).to("ft2").magnitude)


AREA: dict[str, Callable[[], float]] = {
    "floor 12 x 16 ft": lambda: _feet(area.floor(ft(12), ft(16))),
    "floor 12 x 16 ft in m2": lambda: area.floor(ft(12), ft(16)).area.to("m2").magnitude,
    "floor 14 x 20 ft": lambda: _feet(area.take_off("floor", length=ft(14), width=ft(20))),
    "floor 12 x 16 ft less 4 x 4 ft": lambda: _feet(area.floor(ft(12), ft(16), [(ft(4), ft(4))])),
    "floor 12 x 16 ft with edges": lambda: _feet(area.floor(ft(12), ft(16), edges=True)),
    "boards across 12 ft": lambda: area.boards(ft(12)),
    "balusters in 72 in": lambda: area.balusters(inch(72)).count,
    "balusters in 96 in": lambda: area.balusters(inch(96)).count,
    "balusters in 70.5 in": lambda: area.balusters(inch(70.5)).count,
    "balusters of 3/4 in in 60 in": lambda: area.balusters(inch(60), inch(0.75)).count,
    "gap in 72 in": lambda: area.balusters(inch(72)).gap.magnitude,
    "gap in 96 in": lambda: area.balusters(inch(96)).gap.magnitude,
    "one 2x2 baluster 36 in": lambda: area.member(area.TWO_BY_TWO, inch(36)).magnitude,
    "13 balusters and two 2x4 of 6 ft": _member_rail,
    "rail 6 ft clear, no posts, no cap": lambda: _feet(area.rail(ft(6), inch(36), cap=False, post_count=0)),
    "risers in 31 in": lambda: area.risers(inch(31)),
    "risers in 48 in": lambda: area.risers(inch(48)),
    "4 steps 36 in wide, treads and risers": _treads_and_risers,
    "skirt 20 x 2 ft both faces": lambda: _feet(area.skirt(ft(20), ft(2), faces=2)),
    "wall 10 x 8 ft less 3 x 7 ft": lambda: _feet(area.wall(ft(10), ft(8), [(ft(3), ft(7))])),
    "2 posts 4x4 36 in with tops": lambda: _feet(area.posts(2, inch(36))),
    "cap 2x6 of 6 ft": lambda: _feet(area.cap(ft(6))),
}


def gpm(value: float) -> Q:
    """Gallons a minute."""
    return Q(value, "gallon/minute")


def _gallons(q: Q) -> float:
    return float(q.to("gal").magnitude)


def _lasts(gallons: float, recovery: float, draw: float) -> float:
    found = water.lasts(gpm(draw), gpm(recovery), Q(gallons, "gal"))
    return math.nan if found is None else float(found.to("minute").magnitude)


def _casing(inches: float, feet: float) -> float:
    return _gallons(water.storage(inch(inches), ft(feet)))


WATER: dict[str, Callable[[], float]] = {
    "5 gal in 40 s": lambda: water.flow(Q(5, "gal"), Q(40, "second")).to("gpm").magnitude,
    "5 gal in 75 s": lambda: water.flow(Q(5, "gal"), Q(75, "second")).to("gpm").magnitude,
    "5 gal in 100 s": lambda: water.flow(Q(5, "gal"), Q(100, "second")).to("gpm").magnitude,
    "10 L in 30 s": lambda: water.flow(Q(10, "liter"), Q(30, "second")).to("gpm").magnitude,
    "casing 4 in, 10 ft": lambda: _casing(4, 10),
    "casing 6 in, 1 ft": lambda: _casing(6, 1),
    "casing 8 in, 1 ft": lambda: _casing(8, 1),
    "casing 6 in, 80 ft": lambda: _casing(6, 80),
    "well 117.5 gal, yield 2, draw 5": lambda: _lasts(117.5, 2, 5),
    "refill of 117.5 gal at 2": lambda: water.refill(Q(117.5, "gal"), gpm(2)).to("minute").magnitude,
    "well 32.6 gal, yield 0.5, draw 4": lambda: _lasts(32.6, 0.5, 4),
    "tank 100 gal, tap 3, draw 4": lambda: _lasts(100, 3, 4),
    "rinse water of 300 ft2": lambda: _gallons(water.rinse_water(Q(300, "ft2"))),
    "rinse minutes of 300 ft2 at 5": lambda: (
        water.rinse_minutes(Q(300, "ft2"), gpm(5)).to("minute").magnitude
    ),
}

COST: dict[str, Callable[[], float]] = {
    "10 lb at 4 oz/gal makes": lambda: _gallons(cost.makes(BOX.mass, FOUR)),
    "a mixed gallon, 30 for 10 lb": lambda: cost.per_mixed(BOX, FOUR),
    "a ft2 at 150 ft2/gal": lambda: cost.per_area(BOX, FOUR, Q(150, "ft2/gal")),
    "bags of 10 lb for 160 oz": lambda: cost.bags(Q(160, "ounce"), BOX.mass),
    "bags of 10 lb for 161 oz": lambda: cost.bags(Q(161, "ounce"), BOX.mass),
    "bags of 1 lb for 20 oz, 6 oz in stock": lambda: cost.bags(Q(20, "ounce"), Q(1, "lb"), Q(6, "ounce")),
}

TOPICS = {"mixing": MIXING, "area": AREA, "water": WATER, "cost": COST}


def _units() -> Compared:
    pairs = [
        (
            quantity({"value": float(row["value"]), "unit": row["unit"]}).to(row["in"]).magnitude,
            float(row["expected"]),
        )
        for row in rows("worked_units.csv")
    ]
    return Compared("unit sizes", "NIST SP 811, Handbook 44, 16 CFR 500.19", pairs, 0.001)


def compared() -> list[Compared]:
    """All worked examples by topic; each row's own tolerance is held in the topic's test file."""
    told = {
        "mixing": ("worked mixing examples", 4),
        "area": ("take-off examples, IRC counts", 0.1),
        "water": ("flow, well and rinse examples", 1),
        "cost": ("purchase and cost examples", 0.001),
    }
    out = [_units()]
    for topic, cases in TOPICS.items():
        pairs = [(float(cases[row["case"]]()), float(row["expected"])) for row in rows(f"worked_{topic}.csv")]
        name, allowed = told[topic]
        out.append(Compared(name, f"worked_{topic}.csv, source by row", pairs, allowed))
    return out
