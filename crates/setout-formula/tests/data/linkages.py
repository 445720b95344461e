"""Holds poses of four-bar linkages, a line each on standard input, to the loop equation.

a e^(i t2) + b e^(i t3) = d + c e^(i t4). A pose is solved again by Newton's method from the angles
given, has to stay where it is, and its coupler pin has to lie on the side that its circuit says.
One that is said not to close must have no solution: the pin and the pivot are too far apart, or
too near.
"""

import cmath
import math
import sys


def turn(degrees):
    return cmath.exp(1j * math.radians(degrees))


def solved(a, b, c, d, t2, t3, t4):
    """Newton's method on both parts of the loop equation."""
    t3, t4 = math.radians(t3), math.radians(t4)
    for _ in range(40):
        loop = a * turn(t2) + b * cmath.exp(1j * t3) - d - c * cmath.exp(1j * t4)
        by3, by4 = 1j * b * cmath.exp(1j * t3), -1j * c * cmath.exp(1j * t4)
        det = by3.real * by4.imag - by4.real * by3.imag
        if abs(det) < 1e-9:
            break
        t3 -= (loop.real * by4.imag - by4.real * loop.imag) / det
        t4 -= (by3.real * loop.imag - loop.real * by3.imag) / det
    return math.degrees(t3), math.degrees(t4), abs(loop)


def is_right(a, b, c, d, t2, circuit, t3, t4):
    s3, s4, left = solved(a, b, c, d, t2, t3, t4)
    pin, pivot = a * turn(t2), complex(d, 0)
    line, coupler = pivot - pin, b * turn(t3)
    across = line.real * coupler.imag - line.imag * coupler.real
    side = across >= -1e-6 if circuit == "open" else across <= 1e-6
    # Stretched out, both circuits meet and the angles hang on the last bits.
    loose = 1e-6 if abs(across) > 1e-3 * abs(line) else 1e-2
    return side and left < 1e-8 and abs(s3 - t3) < loose and abs(s4 - t4) < loose


def cannot_close(a, b, c, d, t2):
    span = abs(complex(d, 0) - a * turn(t2))
    return span > b + c or span < abs(b - c)


def main():
    closed = opened = wrong = 0
    for line in sys.stdin:
        words = line.split()
        a, b, c, d, t2 = map(float, words[:5])
        if words[6] == "open":
            opened += 1
            wrong += not cannot_close(a, b, c, d, t2)
        else:
            closed += 1
            wrong += not is_right(a, b, c, d, t2, words[5], float(words[6]), float(words[7]))
    print(f"{closed} closed, {opened} open, {wrong} wrong")


main()
