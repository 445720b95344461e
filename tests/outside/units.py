#!/usr/bin/env python3
"""Every unit that we know against pint (PyPI, BSD-3-Clause), there and back.

One design has a dimension for each unit, 1 of it shown in the base units, and one for each the
other way. pint knows the same units under names of its own. Compound units are drawn from the
simple ones and compared as well.

Source of the factors themselves: the SI Brochure and NIST SP 811, App. B.8; see
crates/setout-quantity/data/units.csv.
"""

import csv

import pint

from support import ROOT, main

# Names of pint for those of our names that it does not read.
NAMES = {
    "thousandth of an inch": "thou",
    "degree of angle": "degree",
    "minute of angle": "arcminute",
    "second of angle": "arcsecond",
    "gram-force": "force_gram",
    "kilogram-force": "kilogram_force",
    "pound-force": "pound_force",
    "ounce-force": "ounce_force",
    "pound-force a square inch": "psi",
    "mechanical horsepower": "horsepower",
    "watt hour": "watt_hour",
    "milliwatt hour": "milliwatt_hour",
    "ampere hour": "ampere_hour",
    "milliampere hour": "milliampere_hour",
    "revolution a minute": "revolutions_per_minute",
    "tonne": "metric_ton",
    "per cent": "percent",
    "part per million": "ppm",
    "kilohm": "kiloohm",
    "megohm": "megaohm",
}
# Base units here, by kind, as we write them and as pint does.
BASE = {
    "length": ("mm", "millimeter"),
    "angle": ("deg", "degree"),
    "mass": ("g", "gram"),
    "time": ("s", "second"),
    "current": ("A", "ampere"),
    "temperature": ("K", "kelvin"),
}
NEAR = 1e-14


def rows():
    path = ROOT / "crates/setout-quantity/data/units.csv"
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return [row for row in csv.DictReader(lines) if not row["flag"]]


def base_of(kind):
    """The base unit of a kind, in our spelling and in pint's."""
    ours, theirs = [], []
    for part in kind.split():
        name, _, power = part.partition("^")
        symbol, word = BASE[name]
        power = int(power or 1)
        ours.append(symbol if power == 1 else f"{symbol}^{power}")
        theirs.append(f"{word}**{power}")
    return "·".join(ours), " * ".join(theirs)


def values(checks, name, formulas):
    """What the command makes of formulas, each shown in a unit."""
    folder = checks.folder(name)
    (folder / "design.yaml").write_text("setout: 1\n", encoding="utf-8")
    lines = [f"  u{index}: {{ value: '{formula}', unit: '{unit}' }}"
             for index, (formula, unit) in enumerate(formulas)]
    table = "dimensions:\n" + "\n".join(lines) + "\n"
    (folder / "u.yaml").write_text(table, encoding="utf-8")
    answer = checks.json(folder, "show")
    return [dimension["value"] for dimension in answer["dimensions"]]


def near(found, wanted):
    return abs(found - wanted) <= NEAR * abs(wanted)


def simple(checks):
    registry = pint.UnitRegistry()
    there, back, wanted = [], [], []
    for row in rows():
        theirs = NAMES.get(row["name"], row["name"])
        base, base_theirs = base_of(row["kind"])
        there.append((f"1 {row['symbol']}", base))
        back.append((f"1 {base}" if base else "1", row["symbol"]))
        one = registry.Quantity(1.0, theirs)
        wanted.append(one.to(base_theirs).magnitude if base_theirs else one.to("").magnitude)
    for row, found, factor in zip(rows(), values(checks, "there", there), wanted):
        checks.that(near(found, factor), f"1 {row['symbol']} in base units", f"{found} and {factor}")
    for row, found, factor in zip(rows(), values(checks, "back", back), wanted):
        checks.that(near(found, 1 / factor), f"base units in {row['symbol']}", f"{found} and {1 / factor}")
    checks.say(f"pint {pint.__version__}: {len(wanted)} units, both ways")


def compound(checks):
    registry = pint.UnitRegistry()
    simple_units = [row for row in rows() if row["kind"]]
    formulas, wanted = [], []
    while len(formulas) < 500:
        a, b = checks.random.sample(simple_units, 2)
        power = checks.random.choice([1, 2])
        sign = checks.random.choice(["*", "/"])
        tail = "" if power == 1 else f"^{power}"
        theirs = [NAMES.get(row["name"], row["name"]) for row in (a, b)]
        quantity = registry.Quantity(2.5, f"{theirs[0]} {sign} {theirs[1]}**{power}")
        (base_a, pint_a), (base_b, pint_b) = base_of(a["kind"]), base_of(b["kind"])
        target = f"({pint_a}) {sign} ({pint_b})**{power}"
        # Brackets have no place in our units: the value is divided by the base instead.
        over = f"(1 {base_a}) {sign} (1 {base_b})^{power}"
        formulas.append((f"2.5 {a['symbol']}{sign}{b['symbol']}{tail} / ({over})", ""))
        wanted.append(quantity.to(target).magnitude)
    for (formula, _), found, value in zip(formulas, values(checks, "compound", formulas), wanted):
        checks.that(near(found, value), formula, f"{found} and {value}")
    checks.say(f"seed {checks.arguments.seed}: {len(formulas)} compound units")


if __name__ == "__main__":
    main("units", [simple, compound])
