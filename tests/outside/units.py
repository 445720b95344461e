#!/usr/bin/env python3
"""Every unit that we know against pint (PyPI, BSD-3-Clause) and GNU units (GPL-3.0), there and back.

One design has a dimension for each unit, 1 of it shown in the base units, and one for each the
other way. pint and GNU units know the same units under names of their own; GNU units is asked for
every spelling that we read. Compound units are drawn from the simple ones and compared as well.

Source of the factors themselves: the SI Brochure and NIST SP 811, App. B.8; see
crates/setout-quantity/data/units.csv. The rows of SP 811 that a factor rests on are written down
once more here, in NIST, and compared.
"""

import csv
import re
from decimal import Decimal

import pint

from support import ROOT, Broken, main, told

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
# Names of GNU units for those of our symbols that mean something else there, or nothing: `rad` is
# 0.01 gray there, `h` Planck's constant, `count` a measure of yarn, and `degC` a difference.
GNU_NAMES = {
    "rad": "radian",
    "mrad": "milliradian",
    "h": "hour",
    "gf": "gram force",
    "ozf": "ounce force",
    "count": "1",
}
# What GNU units has no unit for, with the reason. Nothing so far.
GNU_LACKS = {}
# Base units here, by kind, as we write them, as pint does and as GNU units does.
BASE = {
    "length": ("mm", "millimeter", "mm"),
    "angle": ("deg", "degree", "degree"),
    "mass": ("g", "gram", "g"),
    "time": ("s", "second", "s"),
    "current": ("A", "ampere", "A"),
    "temperature": ("K", "kelvin", "K"),
}
NEAR = 1e-14
# NIST SP 811 (2008 edition), App. B.8: 1 of this is so many of that, with the digits that stand
# there; the exact ones stand there in bold. Written down from memory.
EXACT, SEVEN_DIGITS = True, False
NIST = [
    ("in", "2.54e-2", "m", EXACT), ("ft", "3.048e-1", "m", EXACT), ("thou", "2.54e-5", "m", EXACT),
    ("deg", "1.745329e-2", "rad", SEVEN_DIGITS), ("arcmin", "2.908882e-4", "rad", SEVEN_DIGITS),
    ("arcsec", "4.848137e-6", "rad", SEVEN_DIGITS), ("rev", "6.283185", "rad", SEVEN_DIGITS),
    ("rpm", "1.047198e-1", "rad/s", SEVEN_DIGITS), ("t", "1e3", "kg", EXACT),
    ("lb", "4.535924e-1", "kg", SEVEN_DIGITS), ("oz", "2.834952e-2", "kg", SEVEN_DIGITS),
    ("min", "60", "s", EXACT), ("h", "3.6e3", "s", EXACT), ("kgf", "9.80665", "N", EXACT),
    ("lbf", "4.448222", "N", SEVEN_DIGITS), ("ozf", "2.780139e-1", "N", SEVEN_DIGITS),
    ("bar", "1e5", "Pa", EXACT), ("mbar", "1e2", "Pa", EXACT),
    ("psi", "6.894757e3", "Pa", SEVEN_DIGITS), ("Wh", "3.6e3", "J", EXACT),
    ("hp", "7.456999e2", "W", SEVEN_DIGITS), ("Ah", "3.6e3", "C", EXACT), ("L", "1e-3", "m^3", EXACT),
]


def rows(*flags):
    """Our units; those with a flag (readings, whole numbers) only where it is asked for."""
    path = ROOT / "crates/setout-quantity/data/units.csv"
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return [row for row in csv.DictReader(lines) if row["flag"] in ("", *flags)]


def base_of(kind):
    """The base unit of a kind, in our spelling, in pint's and in that of GNU units."""
    ours, theirs, gnu = [], [], []
    for part in kind.split():
        name, _, power = part.partition("^")
        symbol, word, short = BASE[name]
        power = int(power or 1)
        ours.append(symbol if power == 1 else f"{symbol}^{power}")
        theirs.append(f"{word}**{power}")
        gnu.append(f"{short}^{power}")
    return "·".join(ours), " * ".join(theirs), "*".join(gnu) or "1"


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
        base, base_theirs, _ = base_of(row["kind"])
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
        (base_a, pint_a, _), (base_b, pint_b, _) = base_of(a["kind"]), base_of(b["kind"])
        target = f"({pint_a}) {sign} ({pint_b})**{power}"
        # Brackets have no place in our units: the value is divided by the base instead.
        over = f"(1 {base_a}) {sign} (1 {base_b})^{power}"
        formulas.append((f"2.5 {a['symbol']}{sign}{b['symbol']}{tail} / ({over})", ""))
        wanted.append(quantity.to(target).magnitude)
    for (formula, _), found, value in zip(formulas, values(checks, "compound", formulas), wanted):
        checks.that(near(found, value), formula, f"{found} and {value}")
    checks.say(f"seed {checks.arguments.seed}: {len(formulas)} compound units")


def gnu(checks, have, want):
    """So many of one are one of the other, by GNU units."""
    done = checks.run("units", "--terse", "--output-format", "%.17g", have, want)
    if done.returncode or not re.fullmatch(r"-?[\d.]+(e[-+]\d+)?", done.stdout.strip()):
        raise Broken(told(done))
    return float(done.stdout)


def gnu_name(symbol):
    return GNU_NAMES.get(symbol, symbol)


def gnu_simple(checks):
    """Every spelling of every unit, both ways."""
    known = [(symbol, row["kind"]) for row in rows("whole")
             for symbol in [row["symbol"], *row["aliases"].split()] if symbol not in GNU_LACKS]
    there, back = [], []
    for symbol, kind in known:
        base = base_of(kind)[0]
        there.append((f"1 {symbol}", base))
        back.append((f"1 {base}" if base else "1", symbol))
    for (symbol, kind), found in zip(known, values(checks, "gnu-there", there), strict=True):
        wanted = gnu(checks, gnu_name(symbol), base_of(kind)[2])
        checks.that(near(found, wanted), f"GNU units: 1 {symbol} in base units", f"{found} and {wanted}")
    for (symbol, kind), found in zip(known, values(checks, "gnu-back", back), strict=True):
        wanted = gnu(checks, base_of(kind)[2], gnu_name(symbol))
        checks.that(near(found, wanted), f"GNU units: base units in {symbol}", f"{found} and {wanted}")
    version = checks.run("units", "--version").stdout.splitlines()[0]
    checks.say(f"{version}: {len(known)} spellings, both ways; {len(GNU_LACKS)} that it lacks")


def gnu_readings(checks):
    """Temperatures as they are read from a thermometer: their differences, and what lies above one."""
    readings = [-40, -17.5, 0, 20, 37.25, 100, 1538]
    pairs = [(high, low) for high in readings for low in readings if high != low]
    formulas = [(f"{high} °C - ({low} °C)", "K") for high, low in pairs]
    formulas += [(f"{low} degC + {high} K", "degC") for high, low in pairs]
    wanted = [gnu(checks, f"tempC({high}) - tempC({low})", "K") for high, low in pairs]
    wanted += [gnu(checks, f"tempC({low}) + ({high}) K", "tempC") for high, low in pairs]
    for (formula, _), found, value in zip(formulas, values(checks, "readings", formulas), wanted,
                                          strict=True):
        # GNU units goes through kelvin, so the last digits of a small one are lost.
        checks.that(abs(found - value) < 1e-9, f"GNU units: {formula}", f"{found} and {value}")
    checks.say(f"{len(formulas)} differences and sums of °C")


def gnu_compound(checks):
    simple_units = [row for row in rows() if row["kind"] and row["symbol"] not in GNU_LACKS]
    formulas, wanted = [], []
    while len(formulas) < 200:
        a, b = checks.random.sample(simple_units, 2)
        power = checks.random.choice([1, 2])
        sign = checks.random.choice(["*", "/"])
        tail = "" if power == 1 else f"^{power}"
        (base_a, _, gnu_a), (base_b, _, gnu_b) = base_of(a["kind"]), base_of(b["kind"])
        over = f"(1 {base_a}) {sign} (1 {base_b})^{power}"
        formulas.append((f"2.5 {a['symbol']}{sign}{b['symbol']}{tail} / ({over})", ""))
        names = [gnu_name(row["symbol"]) for row in (a, b)]
        wanted.append(gnu(checks, f"2.5 ({names[0]}) {sign} ({names[1]})^{power}",
                          f"({gnu_a}) {sign} ({gnu_b})^{power}"))
    for (formula, _), found, value in zip(formulas, values(checks, "gnu-compound", formulas), wanted,
                                          strict=True):
        checks.that(near(found, value), f"GNU units: {formula}", f"{found} and {value}")
    checks.say(f"seed {checks.arguments.seed}: {len(formulas)} compound units against GNU units")


def published(checks):
    formulas = [(f"1 {unit}", target) for unit, _, target, _ in NIST]
    for (unit, digits, target, exact), found in zip(NIST, values(checks, "nist", formulas), strict=True):
        factor = float(digits)
        slack = NEAR * factor if exact else 0.5001 * 10.0 ** Decimal(digits).as_tuple().exponent
        checks.that(abs(found - factor) <= slack, f"NIST SP 811: 1 {unit}", f"{found} and {digits} {target}")
    checks.say(f"NIST SP 811, App. B.8: {len(NIST)} factors")


if __name__ == "__main__":
    main("units", [simple, compound, gnu_simple, gnu_readings, gnu_compound, published])
