"""What may hurt people or ruin wood: cautions to say, and requests to refuse.

Hazard words follow the GHS statements of the pure substances and of mixes at pH 2 and below or 11.5
and above. Label and safety data sheet win over every line here; the sources stand at each refusal.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from bot.errors import Refused

# Kind of product by the act's name for it; the shop's own products come with their kind.
KINDS: Mapping[str, str] = {
    "brightener": "acid", "citric": "acid", "oxalic": "acid", "oxalic anhydrous": "acid",
    "acid": "acid", "stripper": "caustic", "gel": "caustic", "caustic": "caustic",
    "cleaner": "oxidiser", "percarbonate": "oxidiser", "oxidiser": "oxidiser",
    "bleach": "bleach", "hypochlorite": "bleach", "ammonia": "ammonia",
    "oil": "solvent", "solvent": "solvent", "finish": "solvent",
}  # fmt: skip
# In the order a crew should hear them.
CAUTIONS: Mapping[str, tuple[str, ...]] = {
    "caustic": (
        "goggles_face_shield_gloves", "burns_skin_and_eyes", "powder_into_cold_water", "no_aluminium",
        "never_with_acid", "flush_water_ready",
    ),
    "acid": (
        "goggles_gloves", "eye_damage", "no_dust", "water_first", "never_with_bleach", "never_with_caustic",
        "poison_if_swallowed",
    ),
    "oxidiser": ("goggles_gloves", "eye_damage", "never_closed_vessel", "never_with_acid", "keep_from_oil"),
    "bleach": ("goggles_gloves", "burns_skin_and_eyes", "never_with_acid", "never_with_ammonia"),
    "ammonia": ("goggles_gloves", "never_with_bleach"),
    "solvent": ("oily_rags_burn", "no_flame", "fresh_air"),
}  # fmt: skip
# Aluminium, zinc and tin give hydrogen with caustic; galvanised is zinc, a tinned pail tin.
CAUSTIC_EATS = frozenset({"aluminium", "aluminum", "zinc", "galvanised", "galvanized", "tin"})
HARSH_ON_CCA = frozenset({"caustic", "acid", "oxidiser", "bleach"})
STRIPS = frozenset({"patch", "strip", "sand", "scrape"})
CCA_ENDED = 2004  # residential use of CCA ended 31 December 2003: EPA voluntary cancellation
LEAD_ENDED = 1978  # federal ban on lead paint; renovation rule 40 CFR 745 subpart E


@dataclass(frozen=True)
class Request:
    """What is asked, as far as it is known; None stands for not told.

    `vessel` holds the products of one bucket, `onto_wood` those that meet the wood, `year_built`
    is the home's and `deck_built` the deck's, where it is known to be younger.
    """

    vessel: tuple[str, ...] = ()
    vessel_made_of: str | None = None
    water_onto_powder: bool = False
    onto_wood: tuple[str, ...] = ()
    step: str | None = None
    treated: bool | None = None
    year_built: int | None = None
    deck_built: int | None = None
    lead_checked: bool = False
    lead_found: bool = False


@dataclass(frozen=True)
class Allowed:
    """Nothing to refuse: the `cautions` to say, and the site questions still `ask`ed."""

    cautions: tuple[str, ...]
    ask: tuple[str, ...]


def kind(product: str) -> str | None:
    """The kind of hazard, or None for a product that is not known here."""
    return KINDS.get(product.lower())


def of(product: str) -> tuple[str, ...]:
    """Caution keys for a product or a kind, the most important first; none for an unknown one."""
    found = kind(product)
    return CAUTIONS[found] if found else ()


def check(request: Request) -> Allowed:
    """The cautions and open questions of a request; raises Refused with the reason's key."""
    _bucket(request)
    _old_treated_wood(request)
    _old_coating(request)
    said = tuple(dict.fromkeys(key for name in request.vessel + request.onto_wood for key in of(name)))
    return Allowed(said, _questions(request))


def _kinds(products: tuple[str, ...]) -> set[str]:
    return {found for product in products if (found := kind(product))}


def _bucket(request: Request) -> None:
    """One bucket: gases, boiling and hydrogen."""
    inside = _kinds(request.vessel)
    if {"acid", "bleach"} <= inside:
        raise Refused("acid_with_bleach")  # chlorine: goaskalice.columbia.edu among several
    if {"ammonia", "bleach"} <= inside:
        raise Refused("ammonia_with_bleach")  # chloramines: the same
    if {"acid", "caustic"} <= inside:
        raise Refused("caustic_with_acid")  # 55.8 kJ a mole: boils and spatters (from memory)
    if {"acid", "oxidiser"} <= inside:
        raise Refused("acid_with_oxidiser")  # gas in a closed sprayer (from memory)
    made_of = (request.vessel_made_of or "").lower()
    if "caustic" in inside and made_of in CAUSTIC_EATS:
        raise Refused("caustic_in_aluminium", vessel=made_of)  # hydrogen: liquisearch.com sodium hydroxide
    if "caustic" in inside and request.water_onto_powder:
        raise Refused("water_onto_caustic")  # spatter: ICSC 0360


def _old_treated_wood(request: Request) -> None:
    """CCA wood: acids take copper out (IRG/WP 99-50128), alkali and oxidisers make chromium(VI)
    (Environ. Sci. Technol. 42, 3739, 2008)."""
    built = request.deck_built if request.deck_built is not None else request.year_built
    if request.treated and built is not None and built < CCA_ENDED:
        harsh = sorted(_kinds(request.onto_wood) & HARSH_ON_CCA)
        if harsh:
            raise Refused("old_treated_wood", kind=harsh[0], built=built)


def _old_coating(request: Request) -> None:
    """No coating known to hold lead is disturbed here, nor one of a home from before 1978 until it is checked."""
    if request.step not in STRIPS:
        return
    if request.lead_found:
        raise Refused("lead_found")  # 40 CFR 745.85: certified firms, contained work
    if request.lead_checked:
        return
    if request.year_built is not None and request.year_built < LEAD_ENDED:
        raise Refused("lead_unchecked", built=request.year_built)


def _questions(request: Request) -> tuple[str, ...]:
    """What the site has not told and a refusal may hang on; nothing is assumed in its place."""
    harsh = bool(_kinds(request.onto_wood) & HARSH_ON_CCA)
    built = request.deck_built if request.deck_built is not None else request.year_built
    asks = (
        ("year_built", request.step in STRIPS and request.year_built is None and not request.lead_checked),
        ("treated", harsh and request.treated is None and (built is None or built < CCA_ENDED)),
        ("deck_built", harsh and bool(request.treated) and built is None),
    )
    return tuple(key for key, open_ in asks if open_)
