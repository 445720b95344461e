"""Formulas over dimensions that are made.

A tree is written down as Setout has it, and computed by whatever has the functions: numpy for many
samples at once, `uncertainties.umath` for derivatives. Lengths are millimetres and angles degrees.
One that comes near a corner, a pole or the end of a function's domain is not steady, and is thrown away.
"""

import math
from typing import Callable, NamedTuple

import numpy
from uncertainties import umath

RADIAN = math.pi / 180


class Unsteady(Exception):
    """A formula that comes near to where it has no value or no derivative."""


class Numpy:
    sqrt, hypot, atan2 = numpy.sqrt, numpy.hypot, numpy.arctan2
    sin, cos, tan, exp, ln = numpy.sin, numpy.cos, numpy.tan, numpy.exp, numpy.log

    @staticmethod
    def steady(number):
        """That a number has one sign, and keeps away from 0."""
        smallest, largest = sorted([abs(numpy.min(number)), abs(numpy.max(number))])
        if not 0.3 * largest < smallest or numpy.min(number) < 0 < numpy.max(number):
            raise Unsteady

    @staticmethod
    def above(number):
        Numpy.steady(number)
        if numpy.min(number) < 0:
            raise Unsteady

    @staticmethod
    def at_most(number, most):
        if not numpy.max(abs(number)) <= most:
            raise Unsteady


class Umath:
    sqrt, hypot, atan2 = umath.sqrt, umath.hypot, umath.atan2
    sin, cos, tan, exp, ln = umath.sin, umath.cos, umath.tan, umath.exp, umath.log

    @staticmethod
    def steady(*_):
        """A formula is handed over when it was found to be steady."""

    above = at_most = steady


class Tree(NamedTuple):
    text: str
    # What it comes to with values by name, and functions.
    at: Callable

    def __add__(self, other):
        return Tree(f"({self.text} + {other.text})", lambda of, by: self.at(of, by) + other.at(of, by))

    def __sub__(self, other):
        return Tree(f"({self.text} - {other.text})", lambda of, by: self.at(of, by) - other.at(of, by))

    def __mul__(self, other):
        return Tree(f"({self.text}) * ({other.text})",
                    lambda of, by: self.at(of, by) * other.at(of, by))

    def __truediv__(self, other):
        def at(of, by):
            below = other.at(of, by)
            by.steady(below)
            return self.at(of, by) / below

        return Tree(f"({self.text}) / ({other.text})", at)


def root(tree):
    def at(of, by):
        within = tree.at(of, by)
        by.above(within)
        return by.sqrt(within)

    return Tree(f"sqrt({tree.text})", at)


def hypot(a, b):
    def at(of, by):
        found = by.hypot(a.at(of, by), b.at(of, by))
        by.steady(found)
        return found

    return Tree(f"hypot({a.text}, {b.text})", at)


def direction(y, x):
    """Far from its cut, which is where x is below 0."""
    def at(of, by):
        beside = x.at(of, by)
        by.above(beside)
        return by.atan2(y.at(of, by), beside) / RADIAN

    return Tree(f"atan2({y.text}, {x.text})", at)


def sine(tree):
    return Tree(f"sin({tree.text})", lambda of, by: by.sin(tree.at(of, by) * RADIAN))


def cosine(tree):
    return Tree(f"cos({tree.text})", lambda of, by: by.cos(tree.at(of, by) * RADIAN))


def tangent(tree):
    def at(of, by):
        angle = tree.at(of, by) * RADIAN
        by.steady(by.cos(angle))
        return by.tan(angle)

    return Tree(f"tan({tree.text})", at)


def exponential(tree):
    def at(of, by):
        exponent = tree.at(of, by)
        # Beyond, a formula is its exponential and nothing else.
        by.at_most(exponent, 4)
        return by.exp(exponent)

    return Tree(f"exp({tree.text})", at)


def logarithm(tree):
    def at(of, by):
        within = tree.at(of, by)
        by.above(within)
        return by.ln(within)

    return Tree(f"ln({tree.text})", at)


def constant(text, number):
    return Tree(text, lambda _of, _by: number)
