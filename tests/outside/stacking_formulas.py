"""Stack-ups of random formulas, against `uncertainties` and simulations by numpy."""

import itertools
import math

import numpy
from scipy import stats
from stacking_designs import ERRORS, FACTORS, Part, design, errors_of, near, plain, stacked
from stacking_growing import UNITS, linear_tree, random_tree
from stacking_published import exact_limits
from stacking_trees import Numpy, Umath, Unsteady
from support import quoted
from uncertainties import ufloat

FORMULAS, LINEAR = 180, 60
SAMPLES, POINTS, MOST_PARTS = 200_000, 20_000, 8
# Derivatives and what is made of them agree to this part of the sum of all contributions.
EXACT = 1e-9
# What an end may be off by rounding, as a part of it.
DUST = 1e-12
# A count is put down to chance unless its odds are below this.
UNLIKELY = 1e-9
# So many samples on either side of a limit, and the tool takes Wilson's score; its ends differ from
# the exact ones by less than one sample.
MANY, CLOSE = 500, 1.0
# Otherwise they agree to this part.
BETA = 1e-9


class Standards:
    """Standard numbers of every spread, drawn once for all formulas."""

    def __init__(self, seed):
        draw = numpy.random.default_rng(seed)
        shape = (MOST_PARTS, SAMPLES)
        self.of = {"normal": draw.standard_normal(shape), "uniform": draw.uniform(-1, 1, shape),
                   "triangular": draw.triangular(-1, 0, 1, shape)}
        self.places = draw.uniform(-1, 1, (MOST_PARTS, POINTS))

    def values(self, parts):
        keys = list(dict.fromkeys(part.key for part in parts))
        return {part.name: part.at(self.of[part.spread][keys.index(part.key)]) for part in parts}

    def within(self, parts):
        """Points anywhere in the tolerances, and all corners."""
        keys = list(dict.fromkeys(part.key for part in parts))
        corners = numpy.array(list(itertools.product([-1.0, 1.0], repeat=len(keys)))).T
        places = numpy.concatenate([self.places[: len(keys)], corners], axis=1)
        return {part.name: part.within(places[keys.index(part.key)]) for part in parts}


class Formula:
    """A formula that is steady, and everything that the others say of it."""

    def __init__(self, random, standards, is_linear):
        self.counts = None
        if is_linear:
            self.tree, self.parts, self.counts = linear_tree(random)
            self.kind = "length"
        else:
            self.tree, self.kind, self.parts = random_tree(random)
        self.unit = random.choice(UNITS[self.kind])
        self.factor = FACTORS[self.unit]
        with numpy.errstate(all="ignore"):
            self.samples = self.of(standards.values(self.parts))
            self.points = self.of(standards.within(self.parts))
        spread = self.samples.std() if numpy.ndim(self.samples) else 0.0
        if not 0 < spread < 1e6 or spread < 1e-6 * abs(self.samples).max():
            raise Unsteady
        self.coverage = random.choice([0.5, 0.9, 0.95, 0.9973])
        self.seed = random.randrange(2**63)
        self.limits = {}
        if random.random() < 0.6:
            ends = random.choice([["min"], ["max"], ["min", "max"]])
            for end in ends:
                share = 10 ** random.uniform(-5, -0.3)
                limit = numpy.quantile(self.samples, share if end == "min" else 1 - share)
                self.limits[end] = float(f"{limit:.9g}")

    def of(self, values):
        return self.tree.at(values, Numpy) / self.factor

    def results(self):
        ends = [f"{end}: {plain(limit)} {self.unit}".strip() for end, limit in self.limits.items()]
        unit = [f"unit: {self.unit}"] if self.unit else []
        return f"  y: {{ {', '.join([f'value: {quoted(self.tree.text)}', *unit, *ends])} }}\n"


def linearised(formula):
    """What `uncertainties` says: the mean, the deviation, what each error brings to it (with its
    sign), and the slopes. In the units of the formula and of its parts."""
    all_errors = errors_of(formula.parts)
    errors = {name: ufloat(0, 1) for name in all_errors}
    values = {part.name: (part.mean + part.deviation * errors[name]) * part.factor
              for name, own in all_errors.items() for part in own}
    found = formula.tree.at(values, Umath) / formula.factor
    brings = {name: found.derivatives.get(error, 0.0) for name, error in errors.items()}
    apart = {part.name: ufloat(part.mean, 1) for part in formula.parts}
    values = {part.name: apart[part.name] * part.factor for part in formula.parts}
    alone = formula.tree.at(values, Umath) / formula.factor
    slopes = {f"t.{name}": alone.derivatives.get(own, 0.0) for name, own in apart.items()}
    return found.nominal_value, found.std_dev, brings, slopes


def judge_linear(checks, what, formula, found):
    mean, deviation, brings, slopes = linearised(formula)
    rss, contributions = found["rss"], {own["name"]: own for own in found["contributions"]}
    room = EXACT * sum(map(abs, brings.values())) + 1e-13 * abs(mean)
    near(checks, rss["mean"], mean, room, f"mean by derivatives of {what}")
    near(checks, rss["deviation"], deviation, room, f"deviation by derivatives of {what}")
    # 99.73 % stands for three deviations.
    way = 3.0 if formula.coverage == 0.9973 else stats.norm.ppf((1 + formula.coverage) / 2)
    near(checks, rss["low"], mean - way * deviation, 4 * room, f"root sum square, low, of {what}")
    near(checks, rss["high"], mean + way * deviation, 4 * room, f"root sum square, high, of {what}")
    checks.equal(sorted(contributions), sorted(brings), f"what contributes to {what}")
    moves = {key: abs(sum(slopes[f"t.{part.name}"] * part.half for part in own))
             for key, own in errors_of(formula.parts).items()}
    for key, own in contributions.items():
        share = (brings[key] / deviation) ** 2
        near(checks, own["share"], share, 4 * EXACT, f"share of {key} in {what}")
        near(checks, own["moves"], moves[key], EXACT * sum(moves.values()), f"{key} moves {what}")
        near(checks, own["worst_share"], moves[key] / sum(moves.values()), 4 * EXACT,
             f"share of {key} in the worst case of {what}")
        halved = math.sqrt(max(deviation**2 - 0.75 * brings[key] ** 2, 0))
        near(checks, own["halved"]["rss"]["high"], mean + way * halved, 4 * room,
             f"{what} with {key} halved")
        for made in own["dimensions"]:
            [part] = [part for part in formula.parts if f"t.{part.name}" == made["name"]]
            near(checks, made["slope"], slopes[made["name"]], room / abs(part.deviation),
                 f"slope of {made['name']} in {what}")
            checks.equal((made["unit"], made["opposite"], made.get("shares") or ""),
                         (part.unit, part.opposite, part.shares), f"{made['name']} of {what}")
    if formula.limits:
        rooms = [(limit - mean) * (1 if end == "max" else -1) for end, limit in formula.limits.items()]
        ppm = 1e6 * sum(stats.norm.sf(room / deviation) for room in rooms)
        # The farther out, the more a last digit of the deviation weighs.
        near(checks, rss["outside_ppm"], min(ppm, 1e6), 1e-6 * ppm + 1e-9,
             f"odds of a normal number in place of {what}")


def judge_worst(checks, what, formula, found):
    """Gives how far it lies beyond all points, as a part of its width."""
    worst, points = found["worst"], formula.points
    if not checks.that(worst is not None, f"{what} has a worst case", str(found["notes"])):
        return 0.0
    dust = DUST * abs(points).max()
    width = worst["high"] - worst["low"]
    detail = f"{worst} for {points.min()} to {points.max()}"
    checks.that(worst["low"] <= points.min() + dust, f"worst case, low, of {what}", detail)
    checks.that(worst["high"] >= points.max() - dust, f"worst case, high, of {what}", detail)
    is_noted = any("lies beyond what was found" in note for note in found["notes"])
    for reached, end in zip(worst["reached"], [worst["low"], worst["high"]]):
        off = {own["name"]: own["value"] for own in reached["deviations"]}
        checks.equal(sorted(off), sorted(f"t.{part.name}" for part in formula.parts),
                     f"deviations of {what}")
        values = {part.name: (part.value + off[f"t.{part.name}"]) * part.factor
                  for part in formula.parts}
        for part in formula.parts:
            inside = part.low - DUST <= off[f"t.{part.name}"] <= part.high + DUST
            checks.that(inside, f"{part.name} stays in its tolerance, in {what}", str(off))
        near(checks, reached["value"], formula.of(values), 100 * dust, f"reached by {what}")
        near(checks, reached["value"], end, width if is_noted else 1.001e-3 * width,
             f"bound and reached of {what}")
    if formula.counts:
        judge_exact(checks, what, formula, worst)
    return max(points.min() - worst["low"], worst["high"] - points.max()) / width


def judge_exact(checks, what, formula, worst):
    by_key = {}
    for part, count in zip(formula.parts, formula.counts):
        by_key.setdefault(part.key, []).append(count * part.half * part.factor)
    middle = 3.5 + sum(count * part.middle * part.factor
                       for part, count in zip(formula.parts, formula.counts))
    half = sum(abs(sum(own)) for own in by_key.values())
    for end, wanted in [("low", middle - half), ("high", middle + half)]:
        near(checks, worst[end] * formula.factor, wanted, DUST * (abs(middle) + half),
             f"exact worst case, {end}, of {what}")


def judge_simulated(checks, what, formula, found):
    drawn, samples = found["simulated"], formula.samples
    checks.equal((drawn["samples"], drawn["without"]), (SAMPLES, 0), f"samples of {what}")
    mean, deviation = samples.mean(), samples.std(ddof=1)
    squares = ((samples - mean) / deviation) ** 2
    fourth = numpy.mean(squares * squares)
    error = deviation * math.sqrt(2 / SAMPLES)
    near(checks, drawn["mean"], mean, ERRORS * error, f"simulated mean of {what}")
    near(checks, drawn["deviation"], deviation, ERRORS * error * math.sqrt(fourth - 1) / 2,
         f"simulated deviation of {what}")
    tail = (1 - formula.coverage) / 2
    room = ERRORS * math.sqrt(tail * (1 - tail) * 2 / SAMPLES)
    near(checks, numpy.mean(samples < drawn["low"]), tail, room, f"simulated low of {what}")
    near(checks, numpy.mean(samples > drawn["high"]), tail, room, f"simulated high of {what}")
    if not formula.limits:
        checks.equal(drawn["outside"], None, f"{what} has no limits")
        return
    low, high = formula.limits.get("min", -math.inf), formula.limits.get("max", math.inf)
    outside, ours = int(numpy.sum((samples < low) | (samples > high))), drawn["outside"]["count"]
    both = stats.hypergeom(2 * SAMPLES, outside + ours, SAMPLES)
    chance = min(both.cdf(ours), both.sf(ours - 1))
    checks.that(chance > UNLIKELY, f"samples of {what} outside", f"{ours}, numpy {outside}")
    judge_limits(checks, what, drawn["outside"])


def judge_limits(checks, what, odds):
    count, of = odds["count"], odds["of"]
    for end, wanted in zip(("low_ppm", "high_ppm"), exact_limits(count, of, odds["confidence"])):
        is_exact = count < MANY or of - count < MANY
        room = BETA * wanted if is_exact else CLOSE / of
        near(checks, odds[end] / 1e6, wanted, room, f"{end} of {count} in {of}, {what}")


def random_formulas(checks):
    standards = Standards(checks.arguments.seed)
    beyond, done, thrown = [], 0, 0
    while done < FORMULAS + LINEAR:
        try:
            formula = Formula(checks.random, standards, done >= FORMULAS)
        except Unsteady:
            thrown += 1
            continue
        done += 1
        folder = design(checks, formula.parts, formula.results())
        found = stacked(checks, folder, "t.y", "--samples", SAMPLES, "--seed", formula.seed,
                        "--coverage", formula.coverage)
        what = f"{formula.tree.text} in {folder.name}"
        if not checks.that(found["rss"] is not None, f"{what} has derivatives", str(found["notes"])):
            continue
        judge_linear(checks, what, formula, found)
        beyond.append(judge_worst(checks, what, formula, found))
        judge_simulated(checks, what, formula, found)
    within = sum(each > 1e-6 for each in beyond)
    checks.say(f"{done} random formulas, seed {checks.arguments.seed} ({thrown} came near a corner); "
               f"the worst case of {within} lies beyond all corners and {POINTS} points, at most by "
               f"{max(beyond):.1e} of its width")


def limits_of_odds(checks):
    """Of counts of every size: those of numbers that lie evenly, with limits."""
    counts = [0, 1, 2, 5, 20, 100, 450, 499, 500, 501, 700]
    for samples, counts in [(999, counts), (30_000, counts), (1_000_000, counts), (10_000_000, [0, 9])]:
        for count in counts:
            end = plain(1 - 2 * count / samples)
            folder = design(checks, [Part("x", 0.0, "mm", -1.0, 1.0, "uniform")],
                            f"  y: {{ value: x, max: {end} mm }}\n"
                            f"  z: {{ value: x, min: {end} mm }}\n")
            for name in ["t.y", "t.z"]:
                found = stacked(checks, folder, name, "--samples", samples, "--seed", count)
                judge_limits(checks, "an even number", found["simulated"]["outside"])
