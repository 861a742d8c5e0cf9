"""The product book: what ships, all of it common practice and none of it above a label.

Every figure here is common practice, no source, unless its line says otherwise; the owner replaces
it with `set`, and the label and the safety data sheet win over both.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from bot.errors import Nonsense
from bot.trade.units import Q, quantity


@dataclass(frozen=True)
class Product:
    """A product: its hazard `kind`, strengths in oz/gal by word, dwell in minutes, coverage in ft2/gal.

    `form` is "powder" (weighed into water) or "liquid" (used as it stands). `sane` bounds a ratio in
    oz/gal: outside it the crew is asked to confirm. `own` marks figures that the shop has set.
    """

    name: str
    kind: str
    form: str = "powder"
    strengths: Mapping[str, float] | None = None
    usual: str = "medium"
    sane: tuple[float, float] = (0.5, 32.0)
    least: float | None = None
    most: float | None = None
    mist_every: float | None = None
    mist_most: float = 20.0
    coverage: float = 150.0
    target: float | None = None
    treats: str = ""
    own: frozenset[str] = frozenset()

    def ratio(self, strength: Mapping[str, Any] | None = None) -> Q:
        """Mass of powder per volume of mix, oz/gal, for a strength as an act tells it (or the usual one)."""
        if strength and "mass" in strength:
            return Q(quantity(strength["mass"]) / quantity(strength["per"]))
        word = (strength or {}).get("word", self.usual)
        known = self.strengths or {}
        if word not in known:
            raise Nonsense("strength_unknown", product=self.name, strength=word)
        return Q(known[word], "ounce/gallon")


SHIPPED: Mapping[str, Product] = {
    p.name: p
    for p in (
        # 4 oz a gallon: trade magazine 1989 gives the same for redwood decks; 1 lb a gallon is the strongest published
        Product(
            "brightener",
            "acid",
            strengths={"light": 2.0, "medium": 4.0, "strong": 8.0},
            sane=(1.0, 16.0),
            least=5,
            most=15,
            mist_every=8,
            mist_most=10,
            coverage=150,
            treats="brighten",
        ),
        Product(
            "citric",
            "acid",
            strengths={"light": 3.0, "medium": 6.0, "strong": 8.0},
            sane=(1.0, 16.0),
            least=5,
            most=15,
            mist_every=8,
            mist_most=10,
            coverage=150,
            treats="brighten",
        ),
        Product(
            "stripper",
            "caustic",
            strengths={"light": 4.0, "medium": 6.0, "strong": 8.0},
            sane=(1.0, 16.0),
            least=10,
            most=30,
            mist_every=12,
            coverage=100,
            treats="strip",
        ),
        Product(
            "gel",
            "caustic",
            form="liquid",
            least=15,
            most=45,
            mist_every=20,
            mist_most=30,
            coverage=60,
            treats="strip",
        ),
        Product(
            "cleaner",
            "oxidiser",
            strengths={"light": 4.0, "medium": 6.0, "strong": 8.0},
            sane=(1.0, 16.0),
            least=10,
            most=20,
            mist_every=10,
            coverage=100,
            treats="strip",
        ),
        Product("oil", "finish", form="liquid", coverage=150, target=15.0, treats="coat"),
    )
}

STEP_PRODUCT = {"strip": "stripper", "brighten": "brightener", "coat": "oil"}
# ft2 a minute for one person, common practice: a modest 150 to 225 ft2 deck is spread or rinsed in 10 to 15
# minutes; brightener is sprayed on, faster than stripper is worked in.
PACES = {"strip": 15.0, "rinse": 15.0, "final rinse": 15.0, "brighten": 30.0}
OVERAGE = 0.10
RINSE_WATER = 0.5  # gal a square foot


def amended(product: Product, told: Mapping[str, Any]) -> Product:
    """The product with the shop's own figures from a `set` act's slots; the label still wins over both."""
    changes: dict[str, Any] = {}
    dwell = told.get("dwell") or {}
    changes.update({k: float(dwell[k]) for k in ("least", "most") if k in dwell})
    if "coverage" in told:
        value = told["coverage"]
        changes["coverage"] = float(
            quantity(value).to("foot**2/gallon").magnitude if isinstance(value, Mapping) else value
        )
    for name in ("mist_every", "target"):
        if name in told:
            changes[name] = float(told[name])
    strength = told.get("strength") or {}
    if "mass" in strength:
        ratio = (quantity(strength["mass"]) / quantity(strength["per"])).to("ounce/gallon").magnitude
        word = strength.get("word", product.usual)
        changes["strengths"] = {**(product.strengths or {}), word: float(ratio)}
        changes["form"] = "powder"
    elif "word" in strength:
        changes["usual"] = strength["word"]
    return replace(product, **changes, own=product.own | set(changes))
