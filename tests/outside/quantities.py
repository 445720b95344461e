"""Ten thousand random formulas with quantities, evaluated by the command and by pint.

Source: pint 0.24.4 (PyPI, BSD-3-Clause), which brings its own units, its own algebra of kinds and
its own conversions. Nothing of them is written down here: only the names under which pint knows our
units (NAMES in units.py). The functions of plain numbers are Python's `math`.

Formulas are grown as trees. Each node is made twice at once: as Setout's text, and as a quantity of
pint by pint's own operators. The kind of a tree is pint's dimensionality of it.

Angles. In pint a radian is 1, here an angle is a kind of its own. So pint reads its own table of units
with one line altered, `radian = [angle]` for `radian = []`, and then tells angles from numbers as we
do; degrees, turns, minutes of arc and rpm follow from the radian by pint's table. `sin` takes the
magnitude in radians of what pint has converted to radians, which it refuses for anything but an angle;
`asin` gives radians; `arc_length(r, a)` is r times the magnitude of a in radians.

How near. Each tree carries by how much its rounding errors can have grown, to first order: 1 for a
literal, the sum for a product, the condition number for a difference or a function. Both sides round,
convert and add in their own order, so they may differ by NEAR times that. A tree in which errors grow
more than MOST times, or whose comparison, rounding or `min` is nearly even, is thrown away.

For every ten of these comes one that is wrong in kind: pint must refuse it (DimensionalityError, and
OffsetUnitCalculusError for a thermometer's reading that is scaled or added), and the command must
refuse it with exactly one `unit-mismatch` at its line.
"""

import math
import pathlib
import re
import shutil

import pint

from expressions import (AND, ATOM, COMPARE, MINUS, OR, POWER_OF, PRODUCT, SUM, Unsteady, number)
from support import Broken, main, quoted, shown_values, write_design
from units import NAMES, rows

FORMULAS = 10_000
WRONG = 1000
A_TABLE = 1000
NEAR = 1e-15
MOST = 1e5
REFUSED = (pint.DimensionalityError, pint.OffsetUnitCalculusError)
# Compounds that the trade writes, beside the symbols of units.csv.
COMPOUNDS = """
mm^2 cm^2 m^2 in^2 mm^3 cm^3 in^3 mm^4 mm/s m/s m/min km/h in/s mm/s^2 m/s^2 deg/s rad/s rev/min deg/s^2
N·m N*mm kgf·cm ozf·in lbf·in N/mm kgf/mm N·m/deg N·m/rad N*mm/deg mm/deg mm/rev g/cm^3 kg/m^3 g/m
Ω·mm^2/m mΩ/m W/K mm/K µm/m/K V/deg A/N Wh/kg W/cm^2 g·mm^2
""".split()


def angles_apart(checks):
    """pint with its own units, in which the radian is no longer 1."""
    source = pathlib.Path(pint.__file__).parent
    folder = checks.place / "pint"
    folder.mkdir(exist_ok=True)
    shutil.copy(source / "constants_en.txt", folder)
    text = (source / "default_en.txt").read_text(encoding="utf-8")
    if text.count("\nradian = []") != 1:
        raise Broken("pint defines its radian otherwise")
    altered = folder / "default_en.txt"
    altered.write_text(text.replace("\nradian = []", "\nradian = [angle]"), encoding="utf-8")
    return pint.UnitRegistry(str(altered))


class Units:
    """Our spellings of units with pint's unit, by pint's kind."""

    def __init__(self, registry):
        self.registry = registry
        self.names = {row["symbol"]: NAMES.get(row["name"], row["name"]) for row in rows()}
        self.known, self.by_kind = {}, {}
        for symbol in [*self.names, *COMPOUNDS, ""]:
            kind = self.unit(symbol).dimensionality
            self.by_kind.setdefault(kind, []).append(symbol)
        self.kinds = list(self.by_kind)
        self.number = self.unit("").dimensionality
        self.angle = self.unit("deg").dimensionality
        self.length = self.unit("mm").dimensionality
        self.temperature = self.unit("K").dimensionality

    def unit(self, symbol):
        """A unit as we write it, made by pint from its parts."""
        if symbol not in self.known:
            unit = self.registry.Unit("")
            parts = re.findall(r"([*·/]?)([^*·/^]+)(?:\^(-?\d+))?", symbol)
            for sign, name, power in parts:
                part = self.registry.Unit(self.names[name]) ** int(power or 1)
                unit = unit / part if sign == "/" else unit * part
            self.known[symbol] = unit
        return self.known[symbol]


class Tree:
    """A formula: as text, how tightly its outermost operator binds, pint's quantity, how far rounding
    errors can have grown, its functions."""

    def __init__(self, text, binding, quantity, grown, used=()):
        self.text, self.binding, self.quantity, self.grown = text, binding, quantity, grown
        self.used = frozenset(used)
        if quantity is not None:
            self.value = quantity.to_base_units().magnitude
            if not 1e-25 < abs(self.value) < 1e25 or grown > MOST:
                raise Unsteady

    def within(self, binding):
        return self.text if self.binding >= binding else f"({self.text})"


def plain(quantity):
    """The magnitude of a plain number; pint refuses anything else."""
    return quantity.to("").magnitude


def radians(quantity):
    return quantity.to("radian").magnitude


def called(name, trees, quantity, grown):
    text = f"{name}({', '.join(tree.text for tree in trees)})"
    return Tree(text, ATOM, quantity, grown, {name}.union(*(tree.used for tree in trees)))


def apart(a, b):
    """Both are well apart, and pint takes them for one kind."""
    holds = a.quantity < b.quantity
    if abs(a.value - b.value) < 1e-8 * max(abs(a.value), abs(b.value)):
        raise Unsteady
    return holds


class Grower:
    def __init__(self, random, units):
        self.random, self.units = random, units
        self.named = {}
        self.make = units.registry.Quantity

    def kind(self):
        return self.random.choice(self.units.kinds)

    def other(self, kind):
        return self.random.choice([other for other in self.units.kinds if other != kind])

    def grow(self, kind, depth):
        """A tree of this kind, or Unsteady."""
        if depth <= 0:
            return self.leaf(kind)
        ways = [self.leaf, self.total, self.total, self.scaled, self.product, self.quotient, self.negated,
                self.fold, self.choice, self.rounded, self.absolute, self.clamped, self.hypotenuse,
                self.root, self.power]
        units = self.units
        if kind == units.number:
            ways += [self.of_angle, self.elementary, self.elementary, self.ratio]
        elif kind == units.angle:
            ways += [self.to_angle, self.direction]
        elif kind == units.length:
            ways += [self.arc]
        elif kind == units.temperature:
            ways += [self.readings]
        return self.random.choice(ways)(kind, depth - 1)

    def some(self, kind, depth, least=2, most=4):
        return [self.grow(kind, depth) for _ in range(self.random.randint(least, most))]

    def leaf(self, kind, _depth=0):
        if self.named.get(kind) and self.random.random() < 0.2:
            return self.random.choice(self.named[kind])
        return self.literal(kind)

    def literal(self, kind):
        symbol = self.random.choice(self.units.by_kind[kind])
        value = round(self.random.uniform(0.05, 90), self.random.randrange(4)) or 1.0
        spelt = f"{value:.3e}" if symbol and self.random.random() < 0.1 else f"{value:g}"
        quantity = self.make(float(spelt), self.units.unit(symbol))
        # A literal with a unit takes a power for the unit's own.
        return Tree(f"{spelt} {symbol}".strip(), PRODUCT if symbol else ATOM, quantity, 1)

    def total(self, kind, depth):
        a, b = self.grow(kind, depth), self.grow(kind, depth)
        return self.sum_of(a, b, self.random.choice("+-"))

    def sum_of(self, a, b, sign):
        quantity = a.quantity + b.quantity if sign == "+" else a.quantity - b.quantity
        text = f"{a.within(SUM)} {sign} {b.within(PRODUCT)}"
        return Tree(text, SUM, quantity, self.condition([a, b], quantity), a.used | b.used)

    @staticmethod
    def condition(trees, total):
        """How rounding errors grow in a sum."""
        size = abs(total.to_base_units().magnitude)
        if size == 0:
            raise Unsteady
        return 1 + sum(abs(tree.value) * tree.grown for tree in trees) / size

    def scaled(self, kind, depth):
        a, b = self.grow(self.units.number, depth), self.grow(kind, depth)
        return self.times(*self.random.sample([a, b], 2))

    def product(self, kind, depth):
        pairs = [(a, kind / a) for a in self.units.kinds if kind / a in self.units.by_kind]
        a, b = self.random.choice(pairs)
        return self.times(self.grow(a, depth), self.grow(b, depth))

    @staticmethod
    def times(a, b):
        # Between a number with its unit and a slash no reader should have to think.
        return Tree(f"{a.within(PRODUCT)} * {b.within(MINUS)}", PRODUCT, a.quantity * b.quantity,
                    a.grown + b.grown, a.used | b.used)

    @staticmethod
    def over(a, b):
        return Tree(f"{a.within(PRODUCT)} / {b.within(MINUS)}", PRODUCT, a.quantity / b.quantity,
                    a.grown + b.grown, a.used | b.used)

    def quotient(self, kind, depth):
        pairs = [(kind * b, b) for b in self.units.kinds if kind * b in self.units.by_kind]
        a, b = self.random.choice(pairs)
        return self.over(self.grow(a, depth), self.grow(b, depth))

    def ratio(self, _kind, depth):
        kind = self.kind()
        return self.over(self.grow(kind, depth), self.grow(kind, depth))

    def negated(self, kind, depth):
        a = self.grow(kind, depth)
        return Tree(f"-{a.within(POWER_OF)}", MINUS, -a.quantity, a.grown, a.used)

    def power(self, kind, depth):
        """A whole power, of whatever kind gives this one."""
        ways = [(base, exponent) for exponent in (2, 3, -1, -2) for base in self.units.kinds
                if base**exponent == kind]
        if not ways:
            raise Unsteady
        base, exponent = self.random.choice(ways)
        a = self.grow(base, depth)
        return Tree(f"{a.within(ATOM)}^{exponent}", POWER_OF, a.quantity**exponent,
                    abs(exponent) * a.grown + 1, a.used)

    def root(self, kind, depth):
        """The root of a product, or of one power; pint takes it as a power of 1/2 or 1/3."""
        name, exponent = self.random.choice([("sqrt", 2), ("cbrt", 3)])
        if kind**exponent in self.units.by_kind and self.random.random() < 0.7:
            a = self.grow(kind**exponent, depth)
        else:
            a = self.times(self.grow(kind, depth - 1), self.grow(kind, depth - 1))
            a = a if exponent == 2 else self.times(a, self.grow(kind, depth - 1))
        if a.value <= 0:
            raise Unsteady
        quantity = a.quantity.to_base_units() ** (1 / exponent)
        return called(name, [a], quantity, a.grown / exponent + 1)

    def fold(self, kind, depth):
        name = self.random.choice(["min", "max", "sum", "mean"])
        return self.folded(name, self.some(kind, depth))

    def folded(self, name, trees):
        if name in ("min", "max"):
            best = trees[0]
            for tree in trees[1:]:
                if apart(tree, best) == (name == "min"):
                    best = tree
            return called(name, trees, best.quantity, best.grown)
        total = trees[0].quantity
        for tree in trees[1:]:
            total = total + tree.quantity
        grown = self.condition(trees, total)
        return called(name, trees, total / len(trees) if name == "mean" else total, grown)

    def choice(self, kind, depth):
        (condition, holds), a, b = self.test(depth), self.grow(kind, depth), self.grow(kind, depth)
        return self.chosen(condition, holds, a, b)

    @staticmethod
    def chosen(condition, holds, a, b):
        # pint has no `if`: both must convert to one unit.
        b.quantity.to(a.quantity.units)
        taken = a if holds else b
        return Tree(f"if({condition.text}, {a.text}, {b.text})", ATOM, taken.quantity, taken.grown,
                    a.used | b.used | condition.used | {"if"})

    def test(self, depth):
        """A condition, and whether it holds."""
        if depth > 0 and self.random.random() < 0.4:
            (a, x), (b, y) = self.test(depth - 1), self.test(depth - 1)
            used = a.used | b.used
            way = self.random.randrange(3)
            if way == 0:
                return Tree(f"{a.within(AND)} && {b.within(COMPARE)}", AND, None, 0, used), x and y
            if way == 1:
                return Tree(f"{a.within(OR)} || {b.within(AND)}", OR, None, 0, used), x or y
            return Tree(f"!{a.within(ATOM)}", MINUS, None, 0, a.used), not x
        kind = self.kind()
        return self.compared(self.grow(kind, depth), self.grow(kind, depth))

    def compared(self, a, b):
        sign = self.random.choice(["<", "<=", ">", ">="])
        holds = apart(a, b) == (sign[0] == "<")
        return Tree(f"{a.within(SUM)} {sign} {b.within(SUM)}", COMPARE, None, 0, a.used | b.used), holds

    def rounded(self, kind, depth):
        a = self.grow(kind, depth)
        symbol = self.random.choice(self.units.by_kind[kind])
        unit = self.units.unit(symbol)
        size = abs(a.quantity.to(unit).magnitude) * self.random.uniform(0.01, 0.6)
        # A plain number is rounded to a step as well, so that both forms are one.
        return self.stepped(a, Tree(f"{number(float(f'{size:.2g}'))} {symbol}".rstrip(), ATOM,
                                    self.make(float(f"{size:.2g}"), unit), 1))

    def stepped(self, a, step):
        name = self.random.choice(["round", "floor", "ceil"])
        steps = plain(a.quantity / step.quantity)
        if abs(steps * 2 - round(steps * 2)) < 1e-5:
            raise Unsteady
        whole = {"round": round, "floor": math.floor, "ceil": math.ceil}[name](steps)
        return called(name, [a, step], whole * step.quantity, 2)

    def absolute(self, kind, depth):
        a = self.grow(kind, depth)
        return called("abs", [a], abs(a.quantity), a.grown)

    def clamped(self, kind, depth):
        a, low, high = (self.grow(kind, depth) for _ in range(3))
        low, high = sorted([low, high], key=lambda tree: tree.value)
        return self.between(a, low, high)

    @staticmethod
    def between(a, low, high):
        if not apart(low, high):
            raise Unsteady
        taken = low if apart(a, low) else a if apart(a, high) else high
        return called("clamp", [a, low, high], taken.quantity, taken.grown)

    def hypotenuse(self, kind, depth):
        return self.hypot(self.grow(kind, depth), self.grow(kind, depth))

    @staticmethod
    def hypot(a, b):
        quantity = (a.quantity.to_base_units() ** 2 + b.quantity.to_base_units() ** 2) ** 0.5
        return called("hypot", [a, b], quantity, max(a.grown, b.grown) + 2)

    def of_angle(self, _kind, depth):
        return self.wave(self.grow(self.units.angle, depth))

    def wave(self, a):
        name = self.random.choice(["sin", "cos", "tan"])
        x = radians(a.quantity)
        value = getattr(math, name)(x)
        if abs(x) > 200 or not 1e-3 < abs(value) < 1e3:
            raise Unsteady
        slope = {"sin": math.cos, "cos": math.sin, "tan": lambda x: 1 + math.tan(x) ** 2}[name](x)
        return called(name, [a], self.make(value, ""), 1 + abs(x * slope / value) * (a.grown + 1))

    def elementary(self, _kind, depth):
        return self.function(self.grow(self.units.number, depth))

    def function(self, a):
        name = self.random.choice(["exp", "ln", "log10", "sqrt", "cbrt", "sign"])
        x = plain(a.quantity)
        if name in ("ln", "log10", "sqrt") and x <= 0 or name == "exp" and abs(x) > 20:
            raise Unsteady
        if name in ("ln", "log10") and abs(x - 1) < 1e-3:
            raise Unsteady
        value, grown = {
            "exp": lambda: (math.exp(x), 1 + abs(x) * a.grown),
            "ln": lambda: (math.log(x), 1 + a.grown / abs(math.log(x))),
            "log10": lambda: (math.log10(x), 1 + a.grown / abs(math.log(x))),
            "sqrt": lambda: (math.sqrt(x), 1 + a.grown / 2),
            "cbrt": lambda: (math.copysign(abs(x) ** (1 / 3), x), 1 + a.grown / 3),
            "sign": lambda: (math.copysign(1.0, x), 1),
        }[name]()
        return called(name, [a], self.make(value, ""), grown)

    def to_angle(self, _kind, depth):
        return self.inverse(self.grow(self.units.number, depth))

    def inverse(self, a):
        name = self.random.choice(["asin", "acos", "atan"])
        x = plain(a.quantity)
        if name != "atan" and abs(x) > 0.99:
            raise Unsteady
        value = getattr(math, name)(x)
        slope = 1 / (1 + x * x) if name == "atan" else 1 / math.sqrt(1 - x * x)
        return called(name, [a], self.make(value, "radian"), 2 + abs(x * slope / value) * a.grown)

    def direction(self, _kind, depth):
        kind = self.kind()
        return self.towards(self.grow(kind, depth), self.grow(kind, depth))

    def towards(self, y, x):
        b, a = y.quantity.to_base_units(), x.quantity.to(y.quantity.units).to_base_units()
        # Near its cut the value jumps by a whole turn.
        if x.value < 0 and abs(y.value) < 1e-6 * abs(x.value):
            raise Unsteady
        value = math.atan2(b.magnitude, a.magnitude)
        ratio = y.value / x.value
        grown = abs(ratio / (1 + ratio * ratio) / value) * (x.grown + y.grown)
        return called("atan2", [y, x], self.make(value, "radian"), 2 + grown)

    def arc(self, _kind, depth):
        radius, angle = self.grow(self.units.length, depth), self.grow(self.units.angle, depth)
        return called("arc_length", [radius, angle], radius.quantity * radians(angle.quantity),
                      radius.grown + angle.grown + 1)

    def readings(self, _kind, _depth):
        """What lies between two readings of a thermometer, down to a tenth."""
        high, low = (round(self.random.uniform(-40, 200), 1) for _ in range(2))
        if abs(high - low) < 1:
            raise Unsteady
        unit = self.random.choice(["°C", "degC"])
        quantity = self.make(high, "degC") - self.make(low, "degC")
        # Either side may or may not go through kelvin.
        return Tree(f"({high:g} {unit} - ({low:g} {unit}))", ATOM, quantity, 1 + 600 / abs(high - low))


class Wrong(Grower):
    """Formulas that pint refuses for their kind."""

    def broken(self, depth):
        """One, with the unit it is declared in: pint has refused it, or Unsteady."""
        ways = [self.mixed_sum, self.mixed_fold, self.mixed_test, self.mixed_branches, self.mixed_step,
                self.mixed_ends, self.mixed_legs, self.no_angle, self.no_number, self.no_ratio,
                self.exponent, self.reading]
        if self.random.random() < 0.15:
            return self.declared(depth)
        text, binding = self.refused(self.random.choice(ways), depth)
        for _ in range(self.random.randrange(4)):
            text, binding = self.wrapped(text, binding, depth)
        return text, ""

    def refused(self, way, depth):
        self.shown = None
        try:
            way(depth)
        except REFUSED:
            return self.shown
        raise Broken(f"pint takes {self.shown}, made by {way.__name__}")

    def expecting(self, text, binding):
        """What pint is about to refuse."""
        self.shown = text, binding

    def calling(self, name, trees):
        self.expecting(f"{name}({', '.join(tree.text for tree in trees)})", ATOM)

    def pair(self, depth):
        kind = self.kind()
        return self.random.sample([self.grow(kind, depth), self.grow(self.other(kind), depth)], 2)

    def mixed_sum(self, depth):
        a, b = self.pair(depth)
        sign = self.random.choice("+-")
        self.expecting(f"{a.within(SUM)} {sign} {b.within(PRODUCT)}", SUM)
        self.sum_of(a, b, sign)

    def mixed_fold(self, depth):
        name = self.random.choice(["min", "max", "sum", "mean"])
        trees = self.pair(depth)
        self.calling(name, trees)
        self.folded(name, trees)

    def mixed_test(self, depth):
        (a, b), c = self.pair(depth), self.grow(self.kind(), depth)
        self.expecting(f"if({a.within(SUM)} < {b.within(SUM)}, {c.text}, 2 * {c.within(MINUS)})", ATOM)
        self.compared(a, b)

    def mixed_branches(self, depth):
        (condition, holds), (a, b) = self.test(depth), self.pair(depth)
        self.expecting(f"if({condition.text}, {a.text}, {b.text})", ATOM)
        self.chosen(condition, holds, a, b)

    def mixed_step(self, depth):
        a, step = self.pair(depth)
        self.calling("round", [a, step])
        self.stepped(a, step)

    def mixed_ends(self, depth):
        a, b = self.pair(depth)
        self.calling("clamp", [a, b, b])
        apart(a, b)

    def mixed_legs(self, depth):
        a, b = self.pair(depth)
        name, function = self.random.choice([("hypot", self.hypot), ("atan2", self.towards)])
        self.calling(name, [a, b])
        function(a, b)

    def no_angle(self, depth):
        a = self.grow(self.other(self.units.angle), depth)
        self.calling(self.random.choice(["sin", "cos", "tan"]), [a])
        self.wave(a)

    def no_number(self, depth):
        a = self.grow(self.other(self.units.number), depth)
        self.calling(self.random.choice(["exp", "ln", "log10"]), [a])
        plain(a.quantity)

    def no_ratio(self, depth):
        a = self.grow(self.other(self.units.number), depth)
        self.calling(self.random.choice(["asin", "acos", "atan"]), [a])
        self.inverse(a)

    def exponent(self, depth):
        a, b = self.grow(self.units.number, depth), self.grow(self.other(self.units.number), depth)
        self.expecting(f"{a.within(ATOM)}^{b.within(ATOM)}", POWER_OF)
        a.quantity**b.quantity

    def reading(self, depth):
        """A reading of a thermometer that is scaled, or added to another."""
        high, low = (round(self.random.uniform(1, 90), 1) for _ in range(2))
        if self.random.random() < 0.5:
            self.expecting(f"{high:g} °C + {low:g} degC", SUM)
            self.make(high, "degC") + self.make(low, "degC")
        self.expecting(f"{high:g} °C * {low:g}", PRODUCT)
        self.make(high, "degC") * low

    def wrapped(self, text, binding, depth):
        """The same inside of more, which is fine."""
        a = self.grow(self.kind(), depth)
        way = self.random.randrange(4)
        inside = text if binding >= PRODUCT else f"({text})"
        if way == 0:
            return f"{inside} / {a.within(MINUS)}", PRODUCT
        if way == 1:
            return f"{a.within(PRODUCT)} * ({text})", PRODUCT
        if way == 2:
            return f"-({text})", MINUS
        return f"abs({text})", ATOM

    def declared(self, depth):
        """A good formula, to be shown in the unit of another kind."""
        kind = self.kind()
        a = self.grow(kind, depth)
        symbol = self.random.choice([unit for unit in self.units.by_kind[self.other(kind)] if unit])
        try:
            a.quantity.to(self.units.unit(symbol))
        except REFUSED:
            return a.text, symbol
        raise Broken(f"pint shows {a.text} in {symbol}")


def dimension(name, text, unit):
    declared = f", unit: {quoted(unit)}" if unit else ""
    return f"  {name}: {{ value: {quoted(text)}{declared} }}\n"


def right(checks):
    units = Units(angles_apart(checks))
    grower = Grower(checks.random, units)
    tables, wanted, used = {}, {}, set()
    while len(wanted) < FORMULAS:
        kind = grower.kind()
        try:
            tree = grower.grow(kind, checks.random.randrange(1, 5))
        except (Unsteady, OverflowError, ZeroDivisionError):
            continue
        if len(tree.text) > 1500:
            continue
        table, name = f"t{len(wanted) // A_TABLE}", f"d{len(wanted)}"
        unit = checks.random.choice(["", *units.by_kind[kind]])
        tables[table] = tables.get(table, "dimensions:\n") + dimension(name, tree.text, unit)
        wanted[f"{table}.{name}"] = (tree, unit)
        used |= tree.used
        if tree.grown < 100 and 1e-9 < abs(tree.value) < 1e9:
            grower.named.setdefault(kind, []).append(
                Tree(f"{table}.{name}", ATOM, tree.quantity, tree.grown))
    folder = write_design(checks.folder("right"), tables)
    shown = checks.json(folder, "show", status=(0, 2))
    for fault in shown.get("faults", ()):
        checks.that(False, "every formula has a value", fault)
    found = shown_values(shown)
    if found.keys() != wanted.keys() or any(value is None for value, _ in found.values()):
        raise Broken("not every formula has a value")
    worst = max(compared(checks, units, name, *wanted[name], *found[name]) for name in wanted)
    longest = max(len(tree.text) for tree, _ in wanted.values())
    checks.say(f"seed {checks.arguments.seed}: {len(wanted)} formulas of {len(units.kinds)} kinds in "
               f"{sum(map(len, units.by_kind.values()))} units, {len(used)} functions, up to {longest} "
               f"letters; furthest apart {worst:.2f} of what rounding allows")


def compared(checks, units, name, tree, declared, value, unit):
    """Compares one value and its unit; gives how far apart, in what rounding allows."""
    what = f"{name}: {tree.text}"
    if declared and unit != declared.replace("*", "·"):
        checks.that(False, what, f"shown in {unit!r}, declared in {declared!r}")
        return 0
    try:
        wanted = tree.quantity.to(units.unit(unit)).magnitude
    except REFUSED as error:
        checks.that(False, what, f"shown in {unit!r}: {error}")
        return 0
    apart = abs(value - wanted) / abs(wanted) / (NEAR * (tree.grown + 1))
    checks.that(apart <= 1, what, f"found {value!r} {unit}, pint has {wanted!r}; {tree.grown:.1f}")
    return apart


def wrong(checks):
    units = Units(angles_apart(checks))
    grower = Wrong(checks.random, units)
    texts = []
    while len(texts) < WRONG:
        try:
            text, unit = grower.broken(checks.random.randrange(3))
        except (Unsteady, OverflowError, ZeroDivisionError):
            continue
        if len(text) < 1500:
            texts.append((text, unit))
    table = "dimensions:\n" + "".join(
        dimension(f"d{index}", text, unit) for index, (text, unit) in enumerate(texts))
    folder = write_design(checks.folder("wrong"), {"t": table})
    by_line = {}
    for fault in checks.json(folder, "check", status=(2,))["faults"]:
        by_line.setdefault(fault["line"], []).append(fault)
    for index, (text, unit) in enumerate(texts):
        faults = by_line.pop(index + 2, [])
        slugs = [fault["fault"] for fault in faults]
        checks.equal(slugs, ["unit-mismatch"], f"{text}, shown in {unit or 'its own unit'}")
    checks.equal(by_line, {}, "no other line has a fault")
    checks.say(f"seed {checks.arguments.seed}: {len(texts)} formulas that are wrong in kind, refused by both")


if __name__ == "__main__":
    main("quantities", [right, wrong])
