"""The tightest intervals, from mpmath: every end is computed to 70 digits and rounded outwards.

An end that agrees with a float to 50 digits is taken to be it: so exact values stay exact.
"""

import math
import sys
from fractions import Fraction

from mpmath import mp, mpf

mp.dps = 70
MAX = sys.float_info.max


def exact(number):
    """A float, or a fraction of floats, as mpmath has it."""
    fraction = Fraction(number)
    return mpf(fraction.numerator) / fraction.denominator


def rounded(number):
    """The floats next to a number, below and above; both are it where it is one."""
    if number > MAX:
        return MAX, math.inf
    if number < -MAX:
        return -math.inf, -MAX
    near = float(number)
    if abs(mpf(near) - number) <= abs(number) * mpf("1e-50"):
        return near, near
    low = high = near
    # `near` may be rounded twice where floats get sparse.
    while mpf(low) > number:
        low = math.nextafter(low, -math.inf)
    while mpf(math.nextafter(low, math.inf)) <= number:
        low = math.nextafter(low, math.inf)
    while mpf(high) < number:
        high = math.nextafter(high, math.inf)
    while mpf(math.nextafter(high, -math.inf)) >= number:
        high = math.nextafter(high, -math.inf)
    return low, high


def outwards(low, high):
    """Ends which may be infinite, rounded away from each other."""
    down = low if mp.isinf(low) else rounded(low)[0]
    up = high if mp.isinf(high) else rounded(high)[1]
    return float(down), float(up)


def scaled(low, high, factor):
    """An interval by a positive number, rounded outwards."""
    return outwards(exact_end(low) * factor, exact_end(high) * factor)


def exact_end(end):
    return mpf(end) if math.isinf(end) else exact(end)


def sine(degrees):
    return mp.sinpi(exact(math.fmod(degrees, 360.0)) / 180)


def cosine(degrees):
    return mp.cospi(exact(math.fmod(degrees, 360.0)) / 180)


def tangent(degrees):
    return sine(degrees) / cosine(degrees)


def holds_turned(low, high, angle, period):
    """Whether this angle, whole periods apart, lies between."""
    first = math.ceil((Fraction(low) - angle) / period)
    return angle + period * first <= Fraction(high)


def wave(function, crest, low, high):
    if math.isinf(low) or math.isinf(high):
        return -1.0, 1.0
    found_low, found_high = outwards(*sorted([function(low), function(high)]))
    if holds_turned(low, high, crest, 360):
        found_high = 1.0
    if holds_turned(low, high, crest + 180, 360):
        found_low = -1.0
    return found_low, found_high


def tan_range(low, high):
    if low == high and math.fmod(low, 180.0) in (90.0, -90.0):
        return math.inf, -math.inf
    if math.isinf(low) or math.isinf(high) or holds_turned(low, high, 90, 180):
        return -math.inf, math.inf
    return outwards(tangent(low), tangent(high))


def in_degrees(radians):
    return radians * 180 / mp.pi


def rising(function):
    return lambda low, high: outwards(function(exact(low)), function(exact(high)))


def corners(function):
    """Of a function that rises or falls in both operands."""
    def ends(a_low, a_high, b_low, b_high):
        found = [function(exact(a), exact(b)) for a in (a_low, a_high) for b in (b_low, b_high)]
        return outwards(min(found), max(found))
    return ends


# By the names that IEEE 1788 gives: the ends of the operands to those of the tightest result. They
# lie where the function has a value; the angles are degrees.
RANGES = {
    "add": corners(lambda x, y: x + y),
    "sub": corners(lambda x, y: x - y),
    "mul": corners(lambda x, y: x * y),
    "div": corners(lambda x, y: x / y),
    "sqrt": rising(mp.sqrt),
    "cbrt": rising(lambda x: mp.sign(x) * mp.cbrt(abs(x))),
    "exp": rising(mp.exp),
    "ln": rising(mp.log),
    "log10": rising(lambda x: mp.log(x) / mp.log(10)),
    "sin": lambda low, high: wave(sine, 90, low, high),
    "cos": lambda low, high: wave(cosine, 0, low, high),
    "tan": tan_range,
    "asin": rising(lambda x: in_degrees(mp.asin(x))),
    "acos": lambda low, high: outwards(*(in_degrees(mp.acos(exact(x))) for x in (high, low))),
    "atan": rising(lambda x: in_degrees(mp.atan(x))),
    "atan2": corners(lambda y, x: in_degrees(mp.atan2(y, x))),
    "hypot": corners(mp.hypot),
    "pow": corners(mp.power),
}
