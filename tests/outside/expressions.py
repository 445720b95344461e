"""A thousand random formulas with units, evaluated by the command and by Python's floats.

Source: Python's arithmetic and its `math` module; the SI Brochure (9th edition) and NIST SP 811
for the factors in UNITS, which is this test's own table.

Formulas are grown as trees, each with its kind of quantity, and written down twice: as Setout has
them, with units and as few parentheses as precedence allows, and as a computation in base units.
Where a small error in an operand would become a large one (the difference of nearly equal numbers,
a step, a comparison that is nearly even) the tree is thrown away.
"""

import math

from support import Broken, main, quoted, shown_values, write_design

FORMULAS = 1000
TOLERANCE = 1e-9

# A kind is a tuple of exponents: length, angle, mass, time, current, temperature.
NUMBER = (0, 0, 0, 0, 0, 0)
LENGTH = (1, 0, 0, 0, 0, 0)
ANGLE = (0, 1, 0, 0, 0, 0)
AREA = (2, 0, 0, 0, 0, 0)
VOLUME = (3, 0, 0, 0, 0, 0)
MASS = (0, 0, 1, 0, 0, 0)
TIME = (0, 0, 0, 1, 0, 0)
SPEED = (1, 0, 0, -1, 0, 0)
TURNING = (0, 1, 0, -1, 0, 0)
FORCE = (1, 0, 1, -2, 0, 0)
TORQUE = (2, 0, 1, -2, 0, 0)
PRESSURE = (-1, 0, 1, -2, 0, 0)
POWER = (2, 0, 1, -3, 0, 0)
CURRENT = (0, 0, 0, 0, 1, 0)
VOLTAGE = (2, 0, 1, -3, -1, 0)
RESISTANCE = (2, 0, 1, -3, -2, 0)
CHARGE = (0, 0, 0, 1, 1, 0)

# Factors to millimetre, degree, gram, second, ampere.
GRAVITY = 9.80665
POUND = 453.59237
UNITS = {
    NUMBER: {"": 1.0, "%": 0.01},
    LENGTH: {"mm": 1.0, "cm": 10.0, "m": 1e3, "in": 25.4, "thou": 0.0254, "µm": 1e-3, "ft": 304.8},
    ANGLE: {"deg": 1.0, "rad": 180 / math.pi, "rev": 360.0, "arcmin": 1 / 60},
    AREA: {"mm^2": 1.0, "cm^2": 100.0, "in^2": 25.4**2},
    VOLUME: {"mm^3": 1.0, "cm^3": 1e3, "mL": 1e3},
    MASS: {"g": 1.0, "kg": 1e3, "mg": 1e-3, "lb": POUND, "oz": POUND / 16},
    TIME: {"s": 1.0, "ms": 1e-3, "min": 60.0, "h": 3600.0},
    SPEED: {"mm/s": 1.0, "m/s": 1e3, "m/min": 1e3 / 60},
    TURNING: {"deg/s": 1.0, "rpm": 6.0, "rad/s": 180 / math.pi},
    FORCE: {"N": 1e6, "mN": 1e3, "kgf": GRAVITY * 1e6, "lbf": POUND * GRAVITY * 1e3},
    TORQUE: {"N·m": 1e9, "N*mm": 1e6, "kgf·cm": GRAVITY * 1e7,
             "ozf·in": POUND / 16 * GRAVITY * 1e3 * 25.4},
    PRESSURE: {"Pa": 1.0, "MPa": 1e6, "bar": 1e5, "psi": POUND * GRAVITY * 1e3 / 25.4**2},
    POWER: {"W": 1e9, "mW": 1e6},
    CURRENT: {"A": 1.0, "mA": 1e-3},
    VOLTAGE: {"V": 1e9, "mV": 1e6},
    RESISTANCE: {"Ω": 1e9, "kΩ": 1e12, "mΩ": 1e6},
    CHARGE: {"mAh": 3.6, "Ah": 3600.0, "C": 1.0},
}
KINDS = list(UNITS)

# How tightly an operator binds; a literal or a call never needs parentheses.
OR, AND, COMPARE, SUM, PRODUCT, MINUS, POWER_OF, ATOM = range(8)


class Unsteady(Exception):
    """The value hangs on the last digits, or there is none."""


class Tree:
    """A formula: as text, how tightly its outermost operator binds, its value, its functions."""

    def __init__(self, text, binding, value, used=()):
        if isinstance(value, float) and not 1e-30 < abs(value) < 1e30:
            raise Unsteady
        self.text, self.binding, self.value, self.used = text, binding, value, frozenset(used)

    def within(self, binding):
        return self.text if self.binding >= binding else f"({self.text})"


class Grower:
    def __init__(self, random):
        self.random = random
        self.named = {kind: [] for kind in KINDS}

    def grow(self, kind, depth):
        """A tree of this kind, or Unsteady."""
        if depth == 0:
            return self.leaf(kind)
        ways = [self.leaf, self.total, self.total, self.scaled, self.product, self.quotient,
                self.negated, self.fold, self.choice, self.rounded, self.absolute, self.clamped]
        ways += {
            NUMBER: [self.of_angle, self.elementary, self.power, self.ratio],
            ANGLE: [self.to_angle, self.direction],
            LENGTH: [self.root, self.arc, self.hypotenuse],
            AREA: [self.power],
            VOLUME: [self.power],
        }.get(kind, [])
        way = self.random.choice(ways)
        return way(kind, depth - 1)

    def leaf(self, kind, _depth=0):
        if self.named[kind] and self.random.random() < 0.3:
            name, value = self.random.choice(self.named[kind])
            return Tree(name, ATOM, value)
        unit, factor = self.random.choice(list(UNITS[kind].items()))
        number = round(self.random.uniform(0.05, 90), self.random.randrange(4))
        spelt = f"{number:.3e}" if unit and self.random.random() < 0.1 else f"{number:g}"
        text = f"{spelt} {unit}".strip() if unit else spelt
        # A literal with a unit takes a power for the unit's own.
        return Tree(text, ATOM if not unit else PRODUCT, float(spelt) * factor)

    def total(self, kind, depth):
        a, b = self.grow(kind, depth), self.grow(kind, depth)
        if self.random.random() < 0.5:
            return Tree(f"{a.within(SUM)} + {b.within(PRODUCT)}", SUM, steady(a, b, 1), a.used | b.used)
        return Tree(f"{a.within(SUM)} - {b.within(PRODUCT)}", SUM, steady(a, b, -1), a.used | b.used)

    def scaled(self, kind, depth):
        a, b = self.grow(NUMBER, depth), self.grow(kind, depth)
        return self.times(*((a, b) if self.random.random() < 0.5 else (b, a)))

    def product(self, kind, depth):
        pairs = [(a, minus(kind, a)) for a in KINDS if minus(kind, a) in UNITS]
        a, b = self.random.choice(pairs)
        return self.times(self.grow(a, depth), self.grow(b, depth))

    def times(self, a, b):
        # Between a number with its unit and a slash no reader should have to think.
        return Tree(f"{a.within(PRODUCT)} * {b.within(MINUS)}", PRODUCT, a.value * b.value,
                    a.used | b.used)

    def quotient(self, kind, depth):
        pairs = [(plus(kind, b), b) for b in KINDS if plus(kind, b) in UNITS]
        a, b = self.random.choice(pairs)
        a, b = self.grow(a, depth), self.grow(b, depth)
        return Tree(f"{a.within(PRODUCT)} / {b.within(MINUS)}", PRODUCT, a.value / b.value,
                    a.used | b.used)

    def ratio(self, _kind, depth):
        kind = self.random.choice(KINDS)
        a, b = self.grow(kind, depth), self.grow(kind, depth)
        return Tree(f"{a.within(PRODUCT)} / {b.within(MINUS)}", PRODUCT, a.value / b.value,
                    a.used | b.used)

    def negated(self, kind, depth):
        a = self.grow(kind, depth)
        return Tree(f"-{a.within(POWER_OF)}", MINUS, -a.value, a.used)

    def power(self, kind, depth):
        """A square, a cube, a power with a minus, and towers, which are read from the right."""
        if kind != NUMBER:
            exponent = kind[0]
            a = self.grow(LENGTH, depth)
            return Tree(f"{a.within(ATOM)}^{exponent}", POWER_OF, a.value**exponent, a.used)
        a = self.grow(NUMBER, depth)
        exponent, value = self.random.choice([("2", 2), ("3", 3), ("-1", -1), ("2^2", 4), ("-2", -2)])
        return Tree(f"{a.within(ATOM)}^{exponent}", POWER_OF, a.value**value, a.used)

    def fold(self, kind, depth):
        name = self.random.choice(["min", "max", "sum", "mean"])
        trees = [self.grow(kind, depth) for _ in range(self.random.randrange(2, 5))]
        values = [tree.value for tree in trees]
        if name in ("min", "max"):
            value = {"min": min, "max": max}[name](values)
        else:
            value = sum(values)
            if abs(value) < 1e-3 * max(map(abs, values)):
                raise Unsteady
            value = value / len(values) if name == "mean" else value
        return called(name, trees, value)

    def choice(self, kind, depth):
        condition, holds = self.condition(depth)
        a, b = self.grow(kind, depth), self.grow(kind, depth)
        used = a.used | b.used | condition.used | {"if"}
        return Tree(f"if({condition.text}, {a.text}, {b.text})", ATOM, (a if holds else b).value, used)

    def condition(self, depth):
        if depth > 0 and self.random.random() < 0.4:
            (a, x), (b, y) = self.condition(depth - 1), self.condition(depth - 1)
            used = a.used | b.used
            way = self.random.randrange(3)
            if way == 0:
                return Tree(f"{a.within(AND)} && {b.within(COMPARE)}", AND, None, used), x and y
            if way == 1:
                return Tree(f"{a.within(OR)} || {b.within(AND)}", OR, None, used), x or y
            return Tree(f"!{a.within(ATOM)}", MINUS, None, used), not x
        kind = self.random.choice(KINDS)
        a, b = self.grow(kind, depth), self.grow(kind, depth)
        if abs(a.value - b.value) < 1e-6 * max(abs(a.value), abs(b.value)):
            raise Unsteady
        sign = self.random.choice(["<", "<=", ">", ">="])
        holds = a.value < b.value if sign[0] == "<" else a.value > b.value
        return Tree(f"{a.within(SUM)} {sign} {b.within(SUM)}", COMPARE, None, a.used | b.used), holds

    def rounded(self, kind, depth):
        a = self.grow(kind, depth)
        unit, factor = self.random.choice(list(UNITS[kind].items()))
        step = abs(a.value) / factor * self.random.uniform(0.01, 0.6)
        step = float(f"{step:.2g}")
        name = self.random.choice(["round", "floor", "ceil"])
        steps = a.value / (step * factor)
        if min(abs(steps * 2 - round(steps * 2)), abs(steps)) < 1e-5:
            raise Unsteady
        whole = {"round": round, "floor": math.floor, "ceil": math.ceil}[name](steps)
        if whole == 0:
            raise Unsteady
        # A number without its unit needs a step all the same, so that both forms are one.
        text = f"{name}({a.text}, {number(step)} {unit}".rstrip() + ")"
        return Tree(text, ATOM, whole * (step * factor), a.used | {name})

    def absolute(self, kind, depth):
        a = self.grow(kind, depth)
        return called("abs", [a], abs(a.value))

    def clamped(self, kind, depth):
        a = self.grow(kind, depth)
        low, high = sorted([self.grow(kind, depth), self.grow(kind, depth)], key=lambda t: t.value)
        if low.value == high.value:
            raise Unsteady
        return called("clamp", [a, low, high], min(max(a.value, low.value), high.value))

    def of_angle(self, _kind, depth):
        a = self.grow(ANGLE, depth)
        name = self.random.choice(["sin", "cos", "tan"])
        value = getattr(math, name)(math.radians(a.value))
        if abs(a.value) > 1e4 or not 1e-3 < abs(value) < 1e3:
            raise Unsteady
        return called(name, [a], value)

    def elementary(self, _kind, depth):
        a = self.grow(NUMBER, depth)
        name = self.random.choice(["exp", "ln", "log10", "sqrt", "cbrt", "sign"])
        x = a.value
        if name in ("ln", "log10", "sqrt") and x <= 0 or name == "exp" and abs(x) > 20:
            raise Unsteady
        if name in ("ln", "log10") and abs(x - 1) < 1e-3:
            raise Unsteady
        value = {
            "exp": lambda: math.exp(x),
            "ln": lambda: math.log(x),
            "log10": lambda: math.log10(x),
            "sqrt": lambda: math.sqrt(x),
            "cbrt": lambda: math.copysign(abs(x) ** (1 / 3), x),
            "sign": lambda: math.copysign(1.0, x),
        }[name]()
        return called(name, [a], value)

    def to_angle(self, _kind, depth):
        a = self.grow(NUMBER, depth)
        name = self.random.choice(["asin", "acos", "atan"])
        if name != "atan" and abs(a.value) > 0.99:
            raise Unsteady
        return called(name, [a], math.degrees(getattr(math, name)(a.value)))

    def direction(self, _kind, depth):
        kind = self.random.choice(KINDS)
        y, x = self.grow(kind, depth), self.grow(kind, depth)
        # Near its cut the value jumps by a whole turn.
        if x.value < 0 and abs(y.value) < 1e-6 * abs(x.value):
            raise Unsteady
        return called("atan2", [y, x], math.degrees(math.atan2(y.value, x.value)))

    def root(self, _kind, depth):
        name, kind, exponent = self.random.choice([("sqrt", AREA, 1 / 2), ("cbrt", VOLUME, 1 / 3)])
        a = self.grow(kind, depth)
        if a.value <= 0:
            raise Unsteady
        return called(name, [a], a.value**exponent)

    def arc(self, _kind, depth):
        radius, angle = self.grow(LENGTH, depth), self.grow(ANGLE, depth)
        return called("arc_length", [radius, angle], radius.value * math.radians(angle.value))

    def hypotenuse(self, kind, depth):
        a, b = self.grow(kind, depth), self.grow(kind, depth)
        return called("hypot", [a, b], math.hypot(a.value, b.value))


def steady(a, b, sign):
    value = a.value + sign * b.value
    if abs(value) < 1e-3 * max(abs(a.value), abs(b.value)):
        raise Unsteady
    return value


def called(name, trees, value):
    text = f"{name}({', '.join(tree.text for tree in trees)})"
    return Tree(text, ATOM, value, frozenset({name}).union(*(tree.used for tree in trees)))


def number(value):
    return f"{value:.12g}" if 1e-4 < value < 1e12 else f"{value:.6e}"


def plus(a, b):
    return tuple(x + y for x, y in zip(a, b, strict=True))


def minus(a, b):
    return tuple(x - y for x, y in zip(a, b, strict=True))


def thousand(checks):
    grower = Grower(checks.random)
    lines, wanted, used = [], {}, set()
    while len(wanted) < FORMULAS:
        kind = checks.random.choice(KINDS)
        try:
            tree = grower.grow(kind, checks.random.randrange(1, 6))
        except (Unsteady, OverflowError, ZeroDivisionError):
            continue
        if len(tree.text) > 1500:
            continue
        name = f"d{len(wanted)}"
        unit = checks.random.choice(list(UNITS[kind]))
        declared = f", unit: {quoted(unit)}" if unit else ""
        lines.append(f"  {name}: {{ value: {quoted(tree.text)}{declared} }}\n")
        wanted[f"t.{name}"] = (tree, kind, unit)
        used |= tree.used
        if abs(tree.value) < 1e12:
            grower.named[kind].append((name, tree.value))
    folder = write_design(checks.folder("formulas"), {"t": "dimensions:\n" + "".join(lines)})
    found = shown_values(checks.json(folder, "show"))
    if found.keys() != wanted.keys():
        raise Broken("not every formula has a value")
    worst = 0.0
    for name, (tree, kind, unit) in wanted.items():
        found_value, found_unit = found[name]
        what = f"{name}: {tree.text}"
        # A plain number may be shown in the unit that it was written in, as in 73.1 %.
        declared = unit.replace("*", "·")
        if not checks.that(found_unit == declared or not unit and found_unit in UNITS[kind], what,
                           f"shown in {found_unit!r}, declared in {declared!r}"):
            continue
        factor = UNITS[kind][unit if found_unit == declared else found_unit]
        error = abs(found_value * factor - tree.value) / abs(tree.value)
        worst = max(worst, error)
        checks.that(error <= TOLERANCE, what,
                    f"found {found_value!r} {found_unit}, Python has {tree.value / factor!r}")
    longest = max(len(tree.text) for tree, *_ in wanted.values())
    checks.say(f"seed {checks.arguments.seed}: {len(wanted)} formulas of {len(KINDS)} kinds with "
               f"{len(used)} functions, up to {longest} letters; furthest apart {worst:.1e}")


if __name__ == "__main__":
    main("expressions", [thousand])
