"""Mixing chemistry against its outside sources."""

import molmass

from bot.trade import acidity, dilution, heat, solubility
from bot.trade.substances import KNOWN
from bot.trade.units import Q
from tests import aqueous
from tests.deviations import Compared, rows

PURE = {
    "oxalic": "C2H2O4(H2O)2", "oxalic anhydrous": "C2H2O4", "citric": "C6H8O7", "caustic": "NaOH",
    "citric monohydrate": "C6H8O7(H2O)", "percarbonate": "(Na2CO3)2(H2O2)3",
}  # fmt: skip
Table = list[dict[str, str]]


def compared() -> list[Compared]:
    """All of this topic."""
    return [*_solubilities(), *_densities(), *_heats(), *_acid_ph(), *_caustic_ph(), *_neutral(), _masses()]


def ratio(grams_per_kg: float) -> Q:
    """Grams per kg of water as our functions take it: per litre at 20 degC."""
    return Q(grams_per_kg * aqueous.WATER, "gram/liter")


def _where(table: Table, word: str) -> Table:
    found = [row for row in table if word in row["source"]]
    assert found, word
    return found


def _anhydrous(acid: str, row: dict[str, str]) -> float:
    """g anhydrous per kg of water that our code holds dissolved at the row's temperature."""
    most = solubility.most_in(acid, Q(float(row["temp_C"]), "degC")).magnitude
    return most / aqueous.WATER


def _solubilities() -> list[Compared]:
    oxalic, citric = rows("oxalic_solubility.csv"), rows("citric_solubility.csv")
    out = []
    for word, told, allowed in (
        ("Apelblat", "Apelblat and Manzurola 1987 (carried: typing only)", 0.1),
        ("older handbook", "older handbook table, from memory", 7),
    ):
        pairs = [(_anhydrous("oxalic anhydrous", row), float(row["grams"])) for row in _where(oxalic, word)]
        out.append(Compared("solubility of oxalic acid", told, pairs, allowed))
    seller = _where(oxalic, "seller")[0]
    ours = float(solubility.most_in("oxalic", Q(float(seller["temp_C"]), "degC")).magnitude)
    out.append(
        Compared("solubility of the dihydrate", "data page, 1 g in 7 mL", [(ours, float(seller["grams"]))], 6)
    )
    for word, told, allowed in (
        ("repeated", "repeated table (carried: typing only)", 0.1), ("chemister", "chemister.ru", 10),
    ):  # fmt: skip
        pairs = [(_anhydrous("citric", row), float(row["grams"])) for row in _where(citric, word)]
        out.append(Compared("solubility of citric acid", told, pairs, allowed))
    return out


def _densities() -> list[Compared]:
    table = rows("naoh_density.csv")
    out = []
    for word, told, allowed in (
        ("CRC", "CRC Handbook (carried: typing only)", 0.01),
        ("Laliberte", "Laliberte-Cooper model", 0.7),
        ("advancedthermo", "densities by molality at 25 degC", 0.4),
    ):
        pairs = [
            (
                dilution.density("caustic", float(row["mass_percent"])).to("g/mL").magnitude,
                float(row["g_per_mL"]),
            )
            for row in _where(table, word)
        ]
        out.append(Compared("density of caustic", told, pairs, allowed))
    return out


def _heats() -> list[Compared]:
    def ours(row: dict[str, str]) -> float:
        litre = Q(1 / aqueous.WATER, "liter")
        return float(heat.rise(Q(float(row["g_per_kg_water"]), "gram"), litre).magnitude)

    table = rows("naoh_heat.csv")
    dilute = [row for row in table if float(row["g_per_kg_water"]) <= 100]
    source = "heat capacity of the solution (Laliberte)"
    return [
        Compared("heat rise to 100 g/kg", source, [(ours(row), float(row["rise_K"])) for row in dilute], 3),
        Compared("heat rise to 200 g/kg", source, [(ours(row), float(row["rise_K"])) for row in table], 8),
    ]


def _ours(name: str, row: dict[str, str]) -> float:
    return acidity.ph({name: ratio(float(row["g_per_kg_water"]))}, Q(float(row["temp_C"]), "degC"))


def _acid_ph() -> list[Compared]:
    table = rows("acid_ph.csv")
    live = [
        (acidity.ph({name: ratio(grams)}, Q(celsius, "degC")), aqueous.ph({name: grams}, celsius))
        for name in ("oxalic", "citric") for grams in (1, 7.5, 30, 60, 90) for celsius in (5, 25, 40)
    ]  # fmt: skip
    minteq = [
        (acidity.ph({"citric": ratio(grams)}), aqueous.ph({"citric": grams}, database="minteq.v4.dat"))
        for grams in (1, 10, 30, 60)
    ]
    stored = [(_ours(row["acid"], row), float(row["pH"])) for row in _where(table, "PHREEQC")]
    page = [(_ours(row["acid"], row), float(row["pH"])) for row in _where(table, "seller")]
    return [
        Compared("pH of acid mixes", "PHREEQC, sit, stored", stored, 0.05, "pH", False),
        Compared("pH of acid mixes", "PHREEQC, sit, run, 5 to 40 degC", live, 0.05, "pH", False),
        Compared("pH of citric mixes", "PHREEQC, minteq.v4, run", minteq, 0.05, "pH", False),
        Compared("pH of 0.1 mol/L oxalic", "data page, one decimal", page, 0.15, "pH", False),
    ]


def _caustic_ph() -> list[Compared]:
    table = rows("naoh_ph.csv")
    live = [
        (acidity.ph({"caustic": ratio(grams)}, Q(celsius, "degC")),
         aqueous.ph({"caustic": grams}, celsius, "pitzer.dat"))
        for grams in (0.4, 4, 20, 60, 100, 150) for celsius in (5, 10, 25, 40)
    ]  # fmt: skip
    return [
        Compared("pH of caustic mixes", "PHREEQC, pitzer and sit, stored",
                 [(_ours("caustic", row), float(row["pH"])) for row in table], 0.1, "pH", False),
        Compared("pH of caustic mixes", "PHREEQC, pitzer, run, to 150 g/kg", live, 0.25, "pH", False),
    ]  # fmt: skip


def _neutral() -> list[Compared]:
    """10 g of caustic per kg meeting 0.5 to 2 times the exact acid, but for the jump itself."""
    out = []
    for acid in ("oxalic", "citric"):
        exact = float(acidity.acid_for(Q(10, "gram"), acid).magnitude)
        doses = [exact * share for share in (0.5, 0.9, 0.99, 1.01, 1.05, 1.1, 1.5, 2.0)]
        pairs = [
            (acidity.ph({"caustic": ratio(10), acid: ratio(dose)}), aqueous.ph({"caustic": 10, acid: dose}))
            for dose in doses
        ]
        told = "PHREEQC, sit, run"
        out.append(Compared(f"pH of caustic met by {acid} acid", told, pairs, 0.3, "pH", False))
    return out


def _masses() -> Compared:
    pairs = [(KNOWN[name].molar_mass, molmass.Formula(formula).mass) for name, formula in PURE.items()]
    return Compared("molar masses", "molmass, run", pairs, 0.01)
