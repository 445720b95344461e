"""That the same seed gives the same figures, and which: every sample made once more."""

import math
import shutil

import numpy
from sampling import normal, uniform
from stacking_designs import Part, design, near, plain, printed, stacked

PARTS = [Part("a", 30.0, "mm", -0.2, 0.2), Part("b", 12.0, "mm", -0.1, 0.3, "uniform"),
         Part("c", 20.0, "deg", -0.5, 0.5, "triangular"),
         Part("d", 9.0, "mm", -0.1, 0.1, shares="heat")]
RESULT = "  y: { value: a + b * sin(c) - d, max: 25.3 mm }\n"
MORE = [Part("another", 5.0, "mm", -0.1, 0.1), Part("aa", 5.0, "mm", -0.1, 0.1, shares="heat")]
SAMPLES = 1000


def same_bytes(checks):
    first = design(checks, PARTS, RESULT)
    # Before, between and behind the others, and in another's shared error.
    more = design(checks, [MORE[0], *PARTS[:2], MORE[1], *PARTS[2:]], RESULT + "  z: another + aa\n")
    words = ["t.y", "--samples", 300_000, "--seed", 7]
    once = printed(checks, first, *words)
    checks.equal(printed(checks, first, *words), once, "the same seed once more")
    checks.equal(printed(checks, more, *words), once, "the same seed, beside more dimensions")
    if shutil.which("taskset"):
        alone = printed(checks, first, *words, by=["taskset", "-c", "0"])
        checks.equal(alone, once, "the same seed on one processor")
    else:
        checks.say("there is no taskset here: one processor alone was not tried")
    wanted = stacked(checks, first, *words)
    other = stacked(checks, first, *words[:-1], 8)
    for name in ("mean", "deviation", "low", "high"):
        checks.that(wanted["simulated"][name] != other["simulated"][name], f"another seed: {name}")
    for name in ("worst", "rss"):
        checks.equal(wanted[name], other[name], f"another seed leaves {name}")


def triangular(share):
    """The number below which a triangular spread from -1 to 1 has this share."""
    return math.sqrt(2 * share) - 1 if share < 0.5 else 1 - math.sqrt(2 * (1 - share))


STANDARD = {"normal": normal, "uniform": lambda *of: 2 * uniform(*of) - 1,
            "triangular": lambda *of: triangular(uniform(*of))}


def made_once_more(checks):
    """By the generator of `sampling.py`. The ends are those of JCGM 101:2008, 7.7 (from memory): as
    many samples below as above."""
    parts = [*PARTS, Part("e", 5.0, "cm", -0.01, 0.03, shares="heat", opposite=True),
             Part("f", 5.0, "mm", -0.1, 0.1, measured=(0.02, 0.04))]
    folder = design(checks, parts, "  sum: d - e\n")
    for seed in [0, 1, 2**63 + 5]:
        drawn = {}
        for part in parts:
            draw = STANDARD[part.spread]
            standard = [draw(seed, part.key, sample) for sample in range(SAMPLES)]
            drawn[part.name] = part.at(numpy.array(standard)) / part.factor
        drawn["sum"] = drawn["d"] - drawn["e"] * 10
        for coverage in [0.9973, 0.95]:
            for name, values in drawn.items():
                found = stacked(checks, folder, f"t.{name}", "--samples", SAMPLES, "--seed", seed,
                                "--coverage", plain(coverage))["simulated"]
                within = round(coverage * SAMPLES)
                first, ordered = (SAMPLES - within) // 2, numpy.sort(values)
                wanted = {"mean": values.mean(), "deviation": values.std(ddof=1),
                          "low": ordered[max(first - 1, 0)], "high": ordered[first + within - 1]}
                for figure, number in wanted.items():
                    near(checks, found[figure], number, 1e-13 * abs(values).max(),
                         f"{figure} of {name}, seed {seed}, {coverage}")
