"""How much wider an enclosure is than the tightest one, and how much it may be."""

import math
import struct
from collections import Counter

# How many floats an end may lie outside of the tightest one. What is not listed is exact. Sums,
# products and quotients are rounded to the nearest and moved by a float at most; library functions
# are taken to be within 2 floats and are mostly within 1, angles within 3 and directions within 4.
BOUNDS = {
    "add": 1, "sub": 1, "mul": 1, "div": 1, "recip": 1, "sqr": 1, "sqrt": 1, "cbrt": 3, "powi": 3,
    "pow": 3, "exp": 3, "exp2": 3, "exp10": 3, "ln": 3, "log10": 3, "sin": 3, "cos": 3, "tan": 3,
    "asin": 5, "acos": 5, "atan": 5, "atan2": 7, "hypot": 3, "wid": 1,
}
# Half degrees are preferred to a float beside them: so far from it, in degrees.
NEAT = 1e-12


def place(number):
    """Which float it is, counted from 0."""
    whole = struct.unpack(">q", struct.pack(">d", number))[0]
    return whole if whole >= 0 else -(whole & (2**63 - 1))


def misses(found, wanted):
    if wanted.is_empty:
        return False
    return not (found.low <= wanted.low and wanted.high <= found.high)


def floats_wider(found, wanted):
    """How many floats the ends lie farther out than wanted, at most."""
    if found.is_empty or wanted.is_empty:
        return 0 if found.is_empty == wanted.is_empty else math.inf
    return max(place(wanted.low) - place(found.low), place(found.high) - place(wanted.high))


def is_neat(end, wanted):
    """Whether an end is a half degree, and no farther off than that excuses."""
    near = round(end * 2) / 2
    return abs(end - near) < NEAT / 10 and abs(end - wanted) < NEAT


class Widths:
    """How tight enclosures are, by operation."""

    def __init__(self):
        self.counts = {}

    def judge(self, checks, operation, found, wanted, told, may_be_neat=False):
        """Whether it holds what is wanted and is not too wide; counts both."""
        counts = self.counts.setdefault(operation, Counter())
        detail = f"found  {found}\n    wanted {wanted}"
        if not checks.that(not misses(found, wanted), f"misses a value: {told}", detail):
            counts["missed"] += 1
            return
        floats = floats_wider(found, wanted)
        name = ("equal" if floats == 0 else "by 1" if floats == 1 else
                "by 4" if floats <= 4 else "wider")
        counts[name] += 1
        counts["most"] = max(counts["most"], floats)
        is_good = floats <= BOUNDS.get(operation, 0)
        if not is_good and may_be_neat and operation in ("asin", "acos", "atan"):
            # Each end by itself, for one may be neat and the other not.
            ends = [(-found.low, -wanted.low), (found.high, wanted.high)]
            is_good = all(place(end) - place(at) <= BOUNDS[operation] or is_neat(end, at)
                          for end, at in ends)
        checks.that(is_good, f"too wide, by {floats} floats: {told}", detail)

    def say(self, checks, against):
        names = ["equal", "by 1", "by 4", "wider", "missed"]
        total = Counter()
        for operation, counts in self.counts.items():
            total.update({name: counts[name] for name in names})
            shown = ", ".join(f"{counts[name]} {name}" for name in names if counts[name])
            checks.say(f"{against}, {operation}: {shown}; at most {counts['most']} floats")
        shown = ", ".join(f"{total[name]} {name}" for name in names)
        checks.say(f"{against}, in all: {shown}")
