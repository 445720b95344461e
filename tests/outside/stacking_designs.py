"""Designs of toleranced dimensions, as tables and as numbers, and what `setout stack` says of them."""

import itertools
import math
from typing import NamedTuple

from support import Broken, told, write_design

# In millimetres, degrees and plain numbers.
FACTORS = {"mm": 1.0, "cm": 10.0, "in": 25.4, "deg": 1.0, "rad": 180 / math.pi, "": 1.0}

# By how many standard deviations half a tolerance is meant to be wide.
WIDTHS = {"normal": 3.0, "uniform": math.sqrt(3), "triangular": math.sqrt(6)}

# Every design has a folder of its own.
NUMBERS = itertools.count(1)

# Beyond so many standard errors nothing is put down to chance: once in 500 million comparisons.
ERRORS = 6.0


class Part(NamedTuple):
    """A dimension that is made. Its numbers are in its unit."""

    name: str
    value: float
    unit: str
    low: float
    high: float
    spread: str = "normal"
    # The error that it has in common with others, and whether it is small where they are large.
    shares: str = ""
    opposite: bool = False
    # Mean error and standard deviation of its process.
    measured: tuple = ()

    @property
    def factor(self):
        return FACTORS[self.unit]

    @property
    def key(self):
        return self.shares or f"t.{self.name}"

    @property
    def middle(self):
        """The middle of its tolerance."""
        return self.value + (self.low + self.high) / 2

    @property
    def half(self):
        """Half its tolerance, with the sign that a shared error has for it."""
        half = (self.high - self.low) / 2
        return -half if self.opposite else half

    @property
    def mean(self):
        return self.value + self.measured[0] if self.measured else self.middle

    @property
    def deviation(self):
        return self.measured[1] if self.measured else self.half / WIDTHS[self.spread]

    def at(self, standard):
        """Made by a number of its spread: of deviation 1 if it is normal, within ±1 if not."""
        if self.spread == "normal":
            return (self.mean + self.deviation * standard) * self.factor
        return (self.middle + self.half * standard) * self.factor

    def within(self, place):
        """Made at a place in its tolerance, from -1 to 1."""
        return (self.middle + self.half * place) * self.factor

    def tolerance(self):
        if -self.low == self.high:
            return f"±{plain(self.high)} {self.unit}".strip()
        return f"{signed(self.high, '+')} {signed(self.low, '-')} {self.unit}".strip()

    def row(self):
        keys = [f"value: {plain(self.value)} {self.unit}".strip()]
        if self.measured:
            keys.append(f"tolerance: of_{self.name}")
        else:
            keys += [f"tolerance: {self.tolerance()}", f"spread: {self.spread}"]
        if self.shares:
            keys.append(f"shares: {'-' if self.opposite else ''}{self.shares}")
        return f"  {self.name}: {{ {', '.join(keys)} }}\n"

    def process(self):
        mean, deviation = (f"{plain(number)} {self.unit}".strip() for number in self.measured)
        return (f"  of_{self.name}: {{ tolerance: {self.tolerance()}, mean: {mean}, "
                f"deviation: {deviation} }}\n")


def errors_of(parts):
    """The parts by the error that they have, under the name that it is shown by: that of the
    dimension, and that of an error that several of them share."""
    by_key = {}
    for part in parts:
        by_key.setdefault(part.key, []).append(part)
    return {key if len(own) > 1 else f"t.{own[0].name}": own for key, own in by_key.items()}


def plain(number):
    """All digits, and no exponent."""
    text = f"{number:.20f}" if "e" in repr(number) else repr(number)
    return text.rstrip("0").rstrip(".") if "." in text else text


def signed(number, zero):
    """With its sign; `zero` is that of nothing."""
    return f"{zero}0" if number == 0 else ("+" if number > 0 else "") + plain(number)


def design(checks, parts, results="", rules=""):
    """Writes parts, rows of results and checks as the table `t`."""
    table = "dimensions:\n" + "".join(part.row() for part in parts) + results
    processes = "".join(part.process() for part in parts if part.measured)
    more = f"processes:\n{processes}" if processes else ""
    rules = f"checks:\n{rules}" if rules else ""
    return write_design(checks.folder(f"design{next(NUMBERS)}"), {"t": table + rules}, more=more)


def stacked(checks, folder, name, *words):
    return checks.json(folder, "stack", name, *words)


def alone(checks, text, name, *words):
    """The stack-up in a design of one table, given as its text."""
    folder = write_design(checks.folder(f"design{next(NUMBERS)}"), {"t": text})
    return stacked(checks, folder, name, *words)


def printed(checks, folder, *words, by=()):
    """The very bytes that a stack-up is printed as."""
    done = checks.run(*by, checks.setout_path, "-C", folder, "stack", *words, "--format", "json")
    if done.returncode:
        raise Broken(told(done))
    return done.stdout


def near(checks, found, wanted, room, what):
    detail = f"found  {found!r}\n    wanted {wanted!r} within {room:.3g}"
    return checks.that(found is not None and abs(found - wanted) <= room, what, detail)


def relative(checks, found, wanted, part, what):
    return near(checks, found, wanted, abs(wanted) * part, what)
