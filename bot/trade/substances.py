"""What the trade's chemicals are: molar mass, crystal density, acid constants, kind of hazard.

Molar masses: IUPAC atomic weights (the tests recompute them with another library). Crystal
densities: CRC Handbook of Chemistry and Physics, those of citric acid, caustic and percarbonate
from memory. pKa: ThermoChimie v12a (NEA TDB review, Hummel et al. 2005) for oxalic and citric acid.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from bot.errors import Nonsense

WATER_DENSITY = 998.21  # g/L at 20 degC, CRC Handbook; a tap between 5 and 25 degC is within 0.3 %
WATER_MOLAR_MASS = 18.015


@dataclass(frozen=True)
class Substance:
    """One pure powder; `crystal` in g/mL, `waters` of crystallisation per molecule."""

    name: str
    kind: str
    molar_mass: float
    crystal: float
    waters: int = 0
    pkas: tuple[float, ...] = ()


KNOWN: Mapping[str, Substance] = {
    known.name: known
    for known in (
        # The powder sold for brightening is the dihydrate: 29 % of its mass is water.
        Substance("oxalic", "acid", 126.065, 1.653, 2, (1.40, 4.25)),
        Substance("oxalic anhydrous", "acid", 90.034, 1.90, 0, (1.40, 4.25)),
        Substance("citric", "acid", 192.124, 1.665, 0, (3.13, 4.78, 6.36)),
        Substance("citric monohydrate", "acid", 210.139, 1.542, 1, (3.13, 4.78, 6.36)),
        Substance("caustic", "caustic", 39.997, 2.13),
        Substance("percarbonate", "oxidiser", 314.02, 2.14),
    )
}
# What an act calls a product, where it stands for a pure powder.
PRODUCTS: Mapping[str, str] = {
    "brightener": "oxalic", "citric": "citric", "stripper": "caustic", "cleaner": "percarbonate",
}  # fmt: skip


def known(name: str) -> Substance:
    """The substance by its own name or the act's product name; Nonsense where there is none."""
    found = KNOWN.get(PRODUCTS.get(name, name))
    if found is None:
        raise Nonsense("substance_unknown", substance=name)
    return found


def acid(name: str) -> Substance:
    """As `known`, but only an acid whose constants are known."""
    found = known(name)
    if not found.pkas:
        raise Nonsense("not_an_acid", substance=name)
    return found
