"""Interval arithmetic against the test vectors of ITF1788, and against mpmath.

Sources:
- ITF1788, test vectors for IEEE 1788, as they come with the crate inari 2.0.0 (crates.io): those of
  libieeep1788 (Apache-2.0), of MPFI, FI_LIB and C-XSC (LGPL-2.1-or-later), and one file under the
  FSF's all-permissive licence. They are read where cargo keeps them; nothing of them is run.
- mpmath 1.4.1 (PyPI, BSD-3-Clause), to 70 digits

An enclosure must hold the tightest interval that the reference gives: one number that it misses is
a failure. It must not be much wider: `BOUNDS` says for each operation how many floats an end may
lie farther out. And it must claim of the function what the reference's decoration says, no more
and no less: that it is defined everywhere (`def`), that it is continuous (`dac`, and `com`; they
are one to us). But what has no end is known only partly to us, for a value that is too large is
none.

The vectors' angles are radians, and ours are degrees. An operand is turned into degrees outwards,
and a result back into radians, so it must hold the reference all the same. How wide sines, cosines
and tangents are is judged by mpmath, for the degrees that were handed over.

IEEE 1788's `pow` takes no base below 0. Ours has powers of those too, with whole exponents, so what
it gives must hold the reference, and how wide it is is judged for the rest of the base.
"""

import math
import os
from collections import Counter
from typing import NamedTuple

import intervals_exact as exact
from intervals_asking import Box, answers, box_of, number
from intervals_cases import FAR, Cases
from intervals_vectors import counted, folder, vectors
from intervals_widths import BOUNDS, Widths, misses, place
from mpmath import mp
from support import main

# What a vector's operation is in a formula: `x` and `y` are numbers, `a` is an angle.
FORMULAS = {
    "neg": "-x", "add": "x + y", "sub": "x - y", "mul": "x * y", "div": "x / y", "recip": "1 / x",
    "sqr": "x ^ 2", "sqrt": "sqrt(x)", "cbrt": "cbrt(x)", "powi": "x ^ y", "pow": "x ^ y",
    "exp": "exp(x)", "exp2": "2 ^ x", "exp10": "10 ^ x", "ln": "ln(x)", "log10": "log10(x)",
    "sin": "sin(a)", "cos": "cos(a)", "tan": "tan(a)", "asin": "asin(x)", "acos": "acos(x)",
    "atan": "atan(x)", "atan2": "atan2(x, y)", "hypot": "hypot(x, y)", "abs": "abs(x)",
    "sign": "sign(x)", "floor": "floor(x)", "ceil": "ceil(x)", "round": "round(x)",
    "min": "min(x, y)", "max": "max(x, y)",
}
# What it is among the methods of intervals.
METHODS = {
    "sqr": "square", "convex_hull": "hull", "intersection": "and", "mid": "middle", "wid": "width",
    "mag": "magnitude", "inf": "low", "sup": "high", "subset": "is_in", "contains": "contains",
    "is_empty": "is_empty", "is_singleton": "is_one", "is_common_interval": "is_bounded",
    "is_entire": "is_entire",
}
# What is true of all numbers of two intervals.
COMPARISONS = {"precedes": "x <= y", "strict_precedes": "x < y", "disjoint": "x != y"}
RADIANS_IN = {"sin", "cos", "tan"}
RADIANS_OUT = {"asin", "acos", "atan", "atan2"}
TO_DEGREES, TO_RADIANS = 180 / mp.pi, mp.pi / 180

# An approximate number in the middle, and not the one nearest to it.
APPROXIMATE = {"mid"}
# How many vectors there must be at the least, and how many random operands for each operation.
FEWEST, RANDOM = 5000, 4000


def read_vectors(checks):
    """All vectors that are there; each must be read."""
    place, found = folder(), []
    for name in sorted(os.listdir(place)):
        if name.endswith(".rs"):
            path = os.path.join(place, name)
            of_file = list(vectors(path))
            checks.equal(len(of_file), counted(path), f"all vectors of {name} are read")
            found += of_file
    return found


def in_degrees(box):
    if box.is_empty:
        return box
    return Box(*exact.scaled(box.low, box.high, TO_DEGREES), box.decoration)


def asked(vector):
    """The questions that a vector puts to us, each with what judges the answer."""
    operands = [each if isinstance(each, Box) else Box(each, each) for each in vector.operands]
    operation = vector.operation
    if operation in RADIANS_IN:
        operands = [in_degrees(each) for each in operands]
    if operation in METHODS:
        judge = judge_width if isinstance(vector.wanted, Box) else judge_number
        yield ":" + METHODS[operation], operands, judge
    if operation in COMPARISONS:
        yield COMPARISONS[operation], operands, judge_comparison
    if operation == "pow" and has_more_powers(*operands):
        base, exponent = operands
        yield FORMULAS["pow"], operands, judge_held
        rest = Box(max(base.low, 0.0), base.high)
        # 0 to the power 0 is a number of ours and none of theirs.
        if rest.high != 0 or not exponent.low <= 0 <= exponent.high:
            yield FORMULAS["pow"], [rest, exponent], judge_width
    elif operation in FORMULAS:
        yield FORMULAS[operation], operands, judge_all


def has_more_powers(base, exponent):
    return not base.is_empty and (base.low < 0 or (base.low == 0 and exponent.low <= 0))


def why_not(vector):
    """Why a vector cannot be compared, if it cannot."""
    operation = vector.operation
    if not any(operation in ours for ours in (FORMULAS, METHODS, COMPARISONS)):
        return f"no operation of ours: {operation}"
    if vector.lacks:
        return vector.lacks
    empty = [isinstance(each, Box) and each.is_empty for each in vector.operands]
    if operation in ("mid", "wid", "mag", "inf", "sup") and empty[0]:
        return "a number of the empty interval"
    if operation in COMPARISONS and any(empty):
        return "a comparison with the empty interval"
    return None


def judge_number(checks, row, words):
    wanted = row.wanted
    if isinstance(wanted, bool):
        checks.equal(words, [str(wanted).lower()], row.told)
        return
    found = number(words[0])
    detail = f"found  {found}\n    wanted {wanted}"
    if row.operation in APPROXIMATE:
        near = abs(place(found) - place(wanted)) <= 1
        checks.that(near and row.of[0].low <= found <= row.of[0].high, row.told, detail)
    else:
        floats = place(found) - place(wanted)
        checks.that(0 <= floats <= BOUNDS.get(row.operation, 0), row.told, detail)


def judge_comparison(checks, row, words):
    checks.equal(box_of(words)[:2] == (1.0, 1.0), row.wanted, row.told)


def judge_held(checks, row, words):
    found = box_of(words)
    checks.that(not misses(found, row.wanted), f"misses a value: {row.told}", f"found  {found}")


def judge_all(checks, row, words):
    if row.wanted.decoration is not None:
        judge_claims(checks, row, box_of(words))
    judge_width(checks, row, words)


def judge_claims(checks, row, found):
    if not found.is_empty and (math.isinf(found.low) or math.isinf(found.high)):
        row.tally["without an end, known partly"] += 1
        checks.equal(found.decoration, 0, f"claims of {row.told}")
    else:
        row.tally["claims as decorated"] += 1
        checks.equal(found.decoration, row.wanted.decoration, f"claims of {row.told}")


def judge_width(checks, row, words):
    found, wanted = box_of(words), row.wanted
    if row.operation in RADIANS_OUT and not found.is_empty:
        found = Box(*exact.scaled(found.low, found.high, TO_RADIANS))
    if row.operation in RADIANS_IN and not wanted.is_empty:
        judge_held(checks, row, words)
        ends = row.of[0][:2]
        # Beyond, no quarter of a turn is told from another.
        if any(math.isfinite(end) and abs(end) > FAR for end in ends):
            row.tally["angles of more than 1e12 degrees, whose width is not judged"] += 1
            return
        wanted = Box(*exact.RANGES[row.operation](*ends))
    row.widths.judge(checks, row.operation, found, wanted, row.told)


class Row(NamedTuple):
    """A question of a vector, on the way to its judge."""

    operation: str
    of: list
    wanted: object
    told: str
    widths: Widths
    tally: Counter


def test_vectors(checks):
    found, tally, skipped, widths = read_vectors(checks), Counter(), Counter(), Widths()
    questions, rows = [], []
    for vector in found:
        reason = why_not(vector)
        if reason:
            skipped[reason] += 1
            continue
        for what, operands, judge in asked(vector):
            told = f"{vector.where}: {vector.text}"
            row = Row(vector.operation, operands, vector.wanted, told, widths, tally)
            questions.append((what, operands))
            rows.append((judge, row))
    for (judge, row), words in zip(rows, answers(questions)):
        judge(checks, row, words)
    compared = len(found) - skipped.total()
    checks.that(compared >= FEWEST, f"only {compared} vectors were compared")
    checks.say(f"{compared} of {len(found)} vectors compared, by {len(rows)} questions")
    widths.say(checks, "ITF1788")
    for what, count in tally.most_common():
        checks.say(f"{what}: {count}")
    for reason, count in sorted(skipped.items()):
        checks.say(f"not applicable, {reason}: {count}")


def random_operands(checks):
    cases, widths = Cases(checks.random), Widths()
    rows = [(operation, cases.of(operation)) for operation in exact.RANGES for _ in range(RANDOM)]
    replies = answers([(FORMULAS[operation], operands) for operation, operands in rows])
    for (operation, operands), words in zip(rows, replies):
        ends = [end for box in operands for end in box[:2]]
        wanted, told = Box(*exact.RANGES[operation](*ends)), f"{operation} {ends}"
        widths.judge(checks, operation, box_of(words), wanted, told, may_be_neat=True)
    checks.say(f"{len(rows)} random operations, seed {checks.arguments.seed}")
    widths.say(checks, "mpmath")


if __name__ == "__main__":
    main("intervals", [test_vectors, random_operands])
