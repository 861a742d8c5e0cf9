"""PHREEQC as the independent judge of pH: another program, another activity model."""

import functools
from pathlib import Path

import phreeqc

FORMULAS = {"oxalic": "H6OxO2", "citric": "H3Cit", "caustic": "NaOH"}  # H6OxO2 = H2Ox + 2 H2O
CITRATE = {"minteq.v4.dat": "H3Citrate"}  # another name in that database
MOLAR = {"oxalic": 126.0656, "citric": 192.1238, "caustic": 39.9971}  # g/mol, molmass
WATER = 0.99821  # kg per litre at 20 degC, CRC Handbook


@functools.cache
def _loaded(database: str) -> phreeqc.Phreeqc:
    program = phreeqc.Phreeqc()
    program.LoadDatabase(str(Path(phreeqc.__file__).parent / "databases" / database))
    return program


def ph(grams: dict[str, float], celsius: float = 25, database: str = "sit.dat") -> float:
    """pH of one kg of water with these grams of oxalic dihydrate, citric acid, caustic."""
    formulas = FORMULAS | {"citric": CITRATE.get(database, FORMULAS["citric"])}
    reacting = "".join(f" {formulas[name]} {mass / MOLAR[name]}\n" for name, mass in grams.items())
    program = _loaded(database)
    program.RunString(
        f"SOLUTION 1\n temp {celsius}\nREACTION 1\n{reacting} 1 moles\n"
        "SELECTED_OUTPUT\n -reset false\n -pH true\nEND"
    )
    return float(program.GetSelectedOutput()["pH"][-1])
