"""Published stack-ups, in the figures of their sources.

All inputs are from memory; what follows from them was computed again with public packages.
"""

import itertools
import math

from scipy import stats
from stacking_designs import ERRORS, Part, alone, design, near, relative, stacked

SAMPLES = 1_000_000
ROOT = math.sqrt(3)


def sum_of_uniforms(halves, power):
    """The distribution of a sum of numbers that lie evenly within ± these: a function; with a power
    of one less its density."""
    scale = math.factorial(power) * math.prod(2 * half for half in halves)
    signs = list(itertools.product([1, -1], repeat=len(halves)))

    def at(x):
        places = ((math.prod(sign), x + sum(map(math.prod, zip(sign, halves)))) for sign in signs)
        return sum(sign * max(place, 0) ** power for sign, place in places) / scale

    return at


# JCGM 101:2008 (GUM Supplement 1), 9.2.2, 9.2.3 and 9.2.4: a sum of four quantities. Half the
# shortest interval of 95 % is published as 3.92, 3.88 and 17.0.
SUMS = [
    ("9.2.2", "normal", [3.0] * 4, 2.0, 3.9199279690801085),
    ("9.2.3", "uniform", [ROOT] * 4, 2.0, 3.87940674134783),
    ("9.2.4", "uniform", [ROOT] * 3 + [10 * ROOT], math.sqrt(103), 17.015814100020947),
]


def sums_of_four(checks):
    for place, spread, halves, u, half_width in SUMS:
        what = f"JCGM 101, {place}"
        parts = [Part(f"x{index}", 0.0, "mm", -half, half, spread)
                 for index, half in enumerate(halves)]
        folder = design(checks, parts, "  y: x0 + x1 + x2 + x3\n")
        found = stacked(checks, folder, "t.y", "--coverage", "95%")
        if spread == "normal":
            share, density = stats.norm(0, u).cdf, stats.norm(0, u).pdf
        else:
            share, density = sum_of_uniforms(halves, 4), sum_of_uniforms(halves, 3)
        near(checks, share(-half_width), 0.025, 1e-11, f"{what}: the exact half width")
        simulated, rss = found["simulated"], found["rss"]
        checks.equal(simulated["samples"], SAMPLES, f"{what}: samples")
        error = math.sqrt(0.025 * 0.975 / SAMPLES) / density(-half_width)
        near(checks, -simulated["low"], half_width, ERRORS * error, f"{what}: simulated low")
        near(checks, simulated["high"], half_width, ERRORS * error, f"{what}: simulated high")
        near(checks, simulated["mean"], 0, ERRORS * u / math.sqrt(SAMPLES), f"{what}: mean")
        relative(checks, simulated["deviation"], u, ERRORS / math.sqrt(2 * SAMPLES),
                 f"{what}: deviation")
        relative(checks, rss["deviation"], u, 1e-12, f"{what}: u")
        relative(checks, rss["high"], 1.959963984540054 * u, 1e-12, f"{what}: root sum square")
        relative(checks, found["worst"]["high"], sum(halves), 1e-12, f"{what}: worst case")


# JCGM 100:2008 (GUM), H.1, in nanometres and kelvins: value, standard uncertainty, spread, and what
# table H.1 has as its component, to more digits. The cyclic difference of temperature, `cycle`, is
# 0.5 K / √2 there and has the arcsine's spread, which we have not. With the same deviation in
# another spread nothing here differs: it comes into the model by products with independent errors
# alone, whose deviations hang on those of the factors and not on their spreads.
GAUGE = {
    "ls": (50_000_623.0, 25.0, "normal", 25.0),
    "d": (215.0, 5.8, "normal", 5.8),
    "d1": (0.0, 3.9, "normal", 3.9),
    "d2": (0.0, 6.7, "normal", 6.7),
    "alpha": (11.5e-6, 2e-6 / ROOT, "uniform", 0.0),
    "mean_temperature": (-0.1, 0.2, "normal", 0.0),
    "cycle": (0.0, 0.5 / math.sqrt(2), "uniform", 0.0),
    "dalpha": (0.0, 1e-6 / ROOT, "uniform", 2.887),
    "dtheta": (0.0, 0.05 / ROOT, "uniform", 16.599),
}


def end_gauge(checks):
    parts = []
    for name, (value, u, spread, _) in GAUGE.items():
        half = u * {"normal": 3.0, "uniform": ROOT}[spread]
        parts.append(Part(name, value, "", -half, half, spread))
    model = "ls + d + d1 + d2 - ls * (dalpha * (mean_temperature + cycle) + alpha * dtheta)"
    folder = design(checks, parts, f"  l: {model}\n")
    found = stacked(checks, folder, "t.l")
    near(checks, found["nominal"], 50_000_838.0, 1e-6, "GUM H.1: length")
    slopes = {own["name"]: own["slope"] for each in found["contributions"]
              for own in each["dimensions"]}
    for name, (_, u, _, component) in GAUGE.items():
        near(checks, abs(slopes[f"t.{name}"] * u), component, 6e-4, f"GUM H.1: component of {name}")
    near(checks, found["rss"]["deviation"], 31.66387911100863, 1e-3, "GUM H.1: u")
    near(checks, found["rss"]["deviation"], 32, 0.5, "GUM H.1: u as published")
    # With the products of errors: 34 nm in H.1.7, 33.87 with all digits kept. How u of the temperature
    # is rounded, 0.41 K or 0.406 K, makes a difference of 0.04.
    ls, u = GAUGE["ls"][0], {name: row[1] for name, row in GAUGE.items()}
    cold = math.hypot(u["mean_temperature"], u["cycle"])
    whole = math.hypot(31.66387911100863, ls * u["dalpha"] * cold, ls * u["alpha"] * u["dtheta"])
    near(checks, whole, 33.86745545238837, 0.1, "GUM H.1: second order")
    # The excess of the kurtosis is below 0, so the error is no more than a normal number's.
    relative(checks, found["simulated"]["deviation"], whole, ERRORS / math.sqrt(2 * SAMPLES),
             "GUM H.1: simulated u")
    checks.that(any("no straight line" in note for note in found["notes"]), "GUM H.1: note",
                str(found["notes"]))
    checks.say(f"GUM H.1: {found['rss']['deviation']:.4f} nm by derivatives, "
               f"{found['simulated']['deviation']:.3f} nm simulated, {whole:.3f} nm exactly")


# K. W. Chase, "Tolerance Allocation Methods for Designers" and "Basic Tools for Tolerance Analysis"
# (BYU): a shaft in its housing, in inches. Which way it counts, its size, its tolerance.
SHAFT = {"a": (-1, 0.0505, 0.0015), "b": (1, 8.0, 0.008), "c": (-1, 0.5093, 0.0025),
         "d": (1, 0.4, 0.002), "e": (-1, 7.711, 0.006), "f": (1, 0.4, 0.002),
         "g": (-1, 0.5093, 0.0025)}


def exact_limits(count, of, confidence):
    """Of Clopper and Pearson."""
    side = (1 - confidence) / 2
    low = stats.beta.ppf(side, count, of - count + 1) if count else 0.0
    high = stats.beta.isf(side, count + 1, of - count) if count < of else 1.0
    return low, high


def shaft_in_housing(checks):
    parts = [Part(name, size, "in", -way, way) for name, (_, size, way) in SHAFT.items()]
    chain = " ".join(f"{'+' if sign > 0 else '-'} {name}" for name, (sign, *_) in SHAFT.items())
    limits = "unit: in, min: 0.005 in, max: 0.035 in"
    folder = design(checks, parts, f"  gap: {{ value: '{chain}', {limits} }}\n")
    found = stacked(checks, folder, "t.gap")
    worst, rss, drawn = found["worst"], found["rss"], found["simulated"]
    near(checks, found["nominal"], 0.0199, 1e-12, "the shaft's gap")
    near(checks, worst["low"], 0.0199 - 0.0245, 1e-12, "the shaft: worst case, low")
    near(checks, worst["high"], 0.0199 + 0.0245, 1e-12, "the shaft: worst case, high")
    near(checks, rss["high"] - rss["mean"], 0.0110792599, 1e-10, "the shaft: root sum square")
    near(checks, rss["outside_ppm"], 49.0, 0.5, "the shaft: rejected, as published")
    deviation = math.hypot(*[way for *_, way in SHAFT.values()]) / 3
    true = stats.norm.sf((0.035 - 0.0199) / deviation) + stats.norm.cdf((0.005 - 0.0199) / deviation)
    relative(checks, rss["outside_ppm"], true * 1e6, 1e-9, "the shaft: rejected")
    count = drawn["outside"]["count"]
    low, high = exact_limits(count, SAMPLES, 1 - 1e-6)
    checks.that(low < true < high, "the shaft: simulated", f"{count} of a million for {true * 1e6}")
    shares = {own["name"]: own["share"] for own in found["contributions"]}
    for name, (*_, way) in SHAFT.items():
        relative(checks, shares[f"t.{name}"], (way / 3 / deviation) ** 2, 1e-12,
                 f"the shaft: share of {name}")
    checks.say(f"the shaft: {count} of a million rejected, where {true * 1e6:.2f} are to be expected")


def ten_equal(checks):
    parts = [Part(f"b{index}", 5.0, "mm", -0.1, 0.1) for index in range(10)]
    folder = design(checks, parts, f"  all: {' + '.join(part.name for part in parts)}\n")
    found = stacked(checks, folder, "t.all", "--samples", 1000)
    near(checks, found["worst"]["high"] - 50, 1.0, 1e-12, "ten equal ones: worst case")
    near(checks, 50 - found["worst"]["low"], 1.0, 1e-12, "ten equal ones: worst case")
    near(checks, found["rss"]["high"] - 50, 0.316227766016838, 1e-12, "ten equal ones: squares")


# Tables of the normal distribution: beyond so many deviations on either side, in a million.
NORMAL_PPM = {3: 2699.796063, 4: 63.342484, 5: 0.573303144, 6: 0.0019731753}


def normal_odds(checks):
    for sigmas, ppm in NORMAL_PPM.items():
        text = (f"dimensions:\n  x: {{ value: 9 mm, tolerance: ±3 mm, min: {9 - sigmas} mm, "
                f"max: {9 + sigmas} mm }}\n")
        found = alone(checks, text, "t.x", "--samples", 1000)["rss"]["outside_ppm"]
        relative(checks, found, ppm, 1e-8, f"beyond {sigmas} sigma")
        relative(checks, found, 2e6 * stats.norm.sf(sigmas), 1e-9, f"beyond {sigmas} sigma, by scipy")


def capability(checks):
    """NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6: limits 8 and 20, mean 16, deviation 2."""
    part = Part("x", 14.0, "mm", -6.0, 6.0, measured=(2.0, 2.0))
    folder = design(checks, [part], "  same: { value: x, min: 8 mm, max: 20 mm }\n")
    found = stacked(checks, folder, "t.same")
    measured = found["contributions"][0]["dimensions"][0]["measured"]
    wanted = {"cp": 1.0, "cpl": 4 / 3, "cpu": 2 / 3, "cpk": 2 / 3, "k": 1 / 3}
    drawn = found["simulated"]["capability"]
    # 6 errors of a mean and of a deviation by a million samples: of what is measured, each less than 1 %.
    for name, figure in wanted.items():
        near(checks, measured["capability"][name], figure, 1e-12, f"handbook 6.1.6: {name}")
        near(checks, drawn[name], figure, 0.01 * figure, f"handbook 6.1.6: {name} of samples")
    beyond = 1e6 * (stats.norm.sf(2) + stats.norm.cdf(-4))
    relative(checks, measured["outside_ppm"], beyond, 1e-9, "handbook 6.1.6: beyond the tolerance")
    relative(checks, found["rss"]["outside_ppm"], beyond, 1e-9, "handbook 6.1.6: beyond the limits")


PUBLISHED = [sums_of_four, end_gauge, shaft_in_housing, ten_equal, normal_odds, capability]
