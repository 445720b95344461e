"""The odds that some pose fails, where they are known, and by trying poses on a grid."""

import math
from typing import NamedTuple

import numpy
from scipy import stats
from stacking_designs import ERRORS, WIDTHS, Part, design, near, stacked
from stacking_published import exact_limits
from stacking_repeat import STANDARD

SAMPLES = 10_000
MECHANISMS, FEW, MANY, GRID = 20, 1000, 5000, 41
SURE = 1 - 1e-6


def judge_odds(checks, what, over, true):
    low, _ = exact_limits(over["odds"]["count"], SAMPLES, SURE)
    _, high = exact_limits(over["odds"]["count"] + over["undecided"], SAMPLES, SURE)
    checks.that(low <= true <= high, what, f"{true} for {over['odds']}, {over['undecided']} undecided")
    checks.that(over["undecided"] <= SAMPLES // 1000, f"undecided, {what}", str(over["undecided"]))
    checks.equal(over["odds"]["of"], SAMPLES, f"samples, {what}")


def known_odds(checks):
    """A crank that reaches farthest upright, or at an end of its travel before that."""
    spreads = {"normal": stats.norm(scale=1 / 3), "uniform": stats.uniform(-1, 2),
               "triangular": stats.triang(0.5, -1, 2)}
    for spread, standard in spreads.items():
        for ends, most in [((-30, 120), 1.0), ((-40, 50), math.sin(math.radians(50)))]:
            for share in [0.002, 0.03, 0.4, 0.9]:
                place = standard.isf(share)
                wall = round(8.0 + place * 1.5 + 12 * most, 9)
                part = Part("p", 8.0, "mm", -1.5, 1.5, spread)
                axis = f"  a: {{ value: 0 deg, travel: [{ends[0]} deg, {ends[1]} deg] }}\n"
                rule = f"  fits: {{ require: {wall} mm - (p + 12 mm * sin(a)) >= 0 mm }}\n"
                folder = design(checks, [part], axis, rule)
                found = stacked(checks, folder, "t.fits", "--over-travel", "--samples", SAMPLES)
                true = standard.sf((wall - 12 * most - 8.0) / 1.5)
                what = f"{spread}, {ends}, odds {share}"
                judge_odds(checks, what, found["over_travel"], true)
                if found["over_travel"]["in_pose"]:
                    [stands] = found["over_travel"]["pose"]
                    checks.that(ends[0] <= stands["value"] <= ends[1], f"pose, {what}", str(stands))
                # At rest the crank lies flat.
                checks.equal(found["simulated"]["outside"]["count"], 0, f"at rest, {what}")


def two_normal(checks):
    """Both the crank and its place are off: at the top their errors add up."""
    for deviations in [0.5, 1.5, 2.5]:
        parts = [Part("p", 8.0, "mm", -1.5, 1.5), Part("q", 12.0, "mm", -2.0, 2.0)]
        wall = round(20 + deviations * math.hypot(0.5, 2 / 3), 6)
        axis = "  a: { value: 30 deg, travel: [20 deg, 160 deg] }\n"
        rule = f"  fits: {{ require: p + q * sin(a) <= {wall} mm }}\n"
        found = stacked(checks, design(checks, parts, axis, rule), "t.fits", "--over-travel",
                        "--samples", SAMPLES)
        true = stats.norm.sf((wall - 20) / math.hypot(0.5, 2 / 3))
        judge_odds(checks, f"two errors, {deviations}", found["over_travel"], true)


class Mechanism(NamedTuple):
    """Two axes and three dimensions: it fails where `p·sin(a) + q·cos(b) + r·sin(a + b)` is more
    than there is room for."""

    parts: list
    travels: list
    rests: list

    def least(self, made):
        """The least room on the grid of poses that each of many has, without the room itself; and
        how much less there can be between the poses of the grid.

        In the pose with the least room no axis that could go on has a slope. So the next pose of
        the grid, by no more than half a step on each axis, differs from it by second derivatives.
        """
        p, q, r = made
        a, b = (numpy.radians(numpy.linspace(*travel, GRID)) for travel in self.travels)
        most = numpy.full(len(p), -numpy.inf)
        for at in a:
            reach = (p[:, None] * math.sin(at) + q[:, None] * numpy.cos(b)
                     + r[:, None] * numpy.sin(at + b))
            most = numpy.maximum(most, reach.max(axis=1))
        da, db = (math.radians(high - low) / (GRID - 1) / 2 for low, high in self.travels)
        return -most, (p + r) * da**2 / 2 + (q + r) * db**2 / 2 + r * da * db


def random_mechanism(random):
    parts = []
    for name in "pqr":
        way = round(random.uniform(0.1, 1.2), 2)
        low = random.choice([-way, -round(way / 3, 3)])
        spread = random.choice(list(WIDTHS))
        parts.append(Part(name, round(random.uniform(8, 30), 1), "mm", low, way, spread))
    lows = [random.randint(-80, 20) for _ in range(2)]
    travels = [(low, low + random.randint(30, 100)) for low in lows]
    return Mechanism(parts, travels, [random.randint(*travel) for travel in travels])


def two_axes(checks):
    draw = numpy.random.default_rng(checks.arguments.seed)
    between = 0
    for number in range(MECHANISMS):
        one = random_mechanism(checks.random)
        seed = checks.random.randrange(2**63)
        apart = [part.at(standards(draw, part.spread)) for part in one.parts]
        rooms, _ = one.least(apart)
        share = 10 ** checks.random.uniform(-2, -0.2)
        room = round(-float(numpy.quantile(rooms, share)), 6)
        axes = "".join(f"  {name}: {{ value: {rest} deg, travel: [{low} deg, {high} deg] }}\n"
                       for name, rest, (low, high) in zip("ab", one.rests, one.travels))
        rule = f"  fits: {{ require: '{room} mm - (p * sin(a) + q * cos(b) + r * sin(a + b)) >= 0 mm' }}\n"
        folder = design(checks, one.parts, axes, rule)
        found = stacked(checks, folder, "t.fits", "--over-travel", "--samples", FEW, "--seed", seed)
        over, what = found["over_travel"], f"two axes, number {number}"
        count, undecided = over["odds"]["count"], over["undecided"]
        # The very samples, on the grid: what fails there fails, and what has room enough there holds.
        same = [part.at(numpy.array([STANDARD[part.spread](seed, part.key, sample)
                                     for sample in range(FEW)])) for part in one.parts]
        least, less = one.least(same)
        surely, perhaps = int(numpy.sum(room + least < 0)), int(numpy.sum(room + least - less < 0))
        between += perhaps - surely
        checks.that(surely <= count + undecided and count <= perhaps, f"the same samples, {what}",
                    f"{count} and {undecided} undecided, on the grid {surely} to {perhaps}")
        # Others by numpy, on the same grid.
        odds = numpy.mean(room + rooms < 0)
        error = ERRORS * math.sqrt(odds * (1 - odds) * (1 / FEW + 1 / MANY))
        near(checks, count / FEW, odds, error + (perhaps - surely) / FEW + undecided / FEW,
             f"other samples, {what}")
    checks.say(f"{MECHANISMS} random mechanisms of two axes, seed {checks.arguments.seed}: of "
               f"{MECHANISMS * FEW} samples the grid leaves {between} open")


def standards(draw, spread):
    return {"normal": lambda: draw.standard_normal(MANY),
            "uniform": lambda: draw.uniform(-1, 1, MANY),
            "triangular": lambda: draw.triangular(-1, 0, 1, MANY)}[spread]()
