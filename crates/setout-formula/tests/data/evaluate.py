"""Evaluates formulas that were translated to Python: a line each, first the values of the names.

Prints a value a line, or `none` where Python has none. Angles are degrees, as in formulas.
"""

import builtins
import math
import sys


def sin(a):
    return math.sin(math.radians(a))


def cos(a):
    return math.cos(math.radians(a))


def tan(a):
    return math.tan(math.radians(a))


def asin(x):
    return math.degrees(math.asin(x))


def acos(x):
    return math.degrees(math.acos(x))


def atan(x):
    return math.degrees(math.atan(x))


def atan2(y, x):
    if y == 0 and x == 0:
        raise ValueError("no direction")
    return math.degrees(math.atan2(y, x))


def cbrt(x):
    if x == 0:
        return 0.0
    root = math.exp(math.log(abs(x)) / 3)
    root -= (root - abs(x) / (root * root)) / 3  # one step of Newton's, for the last digits
    return math.copysign(root, x)


def sign(x):
    return float((x > 0) - (x < 0))


def clamp(x, low, high):
    if low > high:
        raise ValueError("low above high")
    return builtins.min(builtins.max(x, low), high)


def sum(*cells):
    total = 0.0
    for cell in cells:
        total += cell
    return total


def mean(*cells):
    return sum(*cells) / len(cells)


def arc_length(radius, angle):
    return radius * math.radians(angle)


def stepped(whole):
    def apply(x, step=1.0):
        if step <= 0:
            raise ValueError("no step")
        return float(whole(x / step)) * step

    return apply


floor = stepped(math.floor)
ceil = stepped(math.ceil)
round = stepped(lambda x: math.copysign(math.floor(abs(x) + 0.5), x))


def value(line):
    names, _, formula = line.rstrip("\n").partition("\t")
    known = dict(globals())
    for name in names.split(" "):
        spelt, _, number = name.partition("=")
        known[spelt] = float(number)
    try:
        found = eval(formula, known)
    except (ArithmeticError, ValueError):
        return "none"
    except TypeError as error:
        # A negative number to a broken power is complex, which the math module does not take.
        if "complex" not in str(error):
            raise
        return "none"
    return "none" if isinstance(found, complex) else repr(float(found))


sys.stdout.write("".join(value(line) + "\n" for line in sys.stdin))
