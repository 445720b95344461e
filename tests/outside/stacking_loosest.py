"""The loosest tolerances of random linear chains, by exact algebra, and with them in the table."""

import math
from fractions import Fraction

from stacking_designs import WIDTHS, Part, design, errors_of, near, plain, stacked

CHAINS, WRITTEN = 120, 40
# So closely the tool looks for the loosest at worst, as a part of it; and so far it looks.
CLOSE, FAR = 2e-3, 100
DEVIATIONS = 3.0
# What is shared has no loosest tolerance of its own.
NONE = {"times": None}


def exact(number):
    return Fraction(plain(number))


class Chain:
    """A sum of dimensions, each so many times, that must be no less than nothing."""

    def __init__(self, random):
        self.parts, self.counts = [], []
        shared = random.choice(list(WIDTHS))
        for index in range(random.randint(2, 8)):
            high = round(random.uniform(0.02, 0.3), 3)
            low = random.choice([-high, -round(high * random.random(), 3) + 0.0])
            part = Part(f"d{index}", round(random.uniform(5, 40), 2), "mm", low, high,
                        random.choice(list(WIDTHS)))
            if random.random() < 0.3:
                part = part._replace(shares="heat", spread=shared, opposite=random.random() < 0.5)
            self.parts.append(part)
            self.counts.append(random.choice([1, 1, 2, 3]) * random.choice([1, -1]))
        middles = [exact(part.value) + (exact(part.low) + exact(part.high)) / 2 for part in self.parts]
        middle = sum(count * at for count, at in zip(self.counts, middles))
        halves = {part.name: count * (exact(part.high) - exact(part.low)) / 2 * (-1 if part.opposite else 1)
                  for part, count in zip(self.parts, self.counts)}
        self.brings = {key: sum(halves[part.name] for part in own)
                       for key, own in errors_of(self.parts).items()}
        self.deviations = {key: float(self.brings[key]) / WIDTHS[own[0].spread]
                           for key, own in errors_of(self.parts).items()}
        whole = sum(map(abs, self.brings.values()))
        # Room for less than all of them, and for much more.
        self.room = round(float(whole) * random.choice([0.4, 0.9, 1.01, 1.3, 2, 4, 300]), 3)
        self.least = round(float(middle) - self.room, 3)
        self.room = middle - exact(self.least)

    def rule(self):
        chain = " ".join(f"{'-' if count < 0 else '+'} {abs(count)} * {part.name}"
                         for part, count in zip(self.parts, self.counts))
        return f"  fits: {{ require: '{chain} >= {plain(self.least)} mm' }}\n"

    def loosest_at_worst(self, key):
        """Times, or None where none helps."""
        left = self.room - sum(abs(own) for other, own in self.brings.items() if other != key)
        if left < 0:
            return None
        return left / abs(self.brings[key]) if self.brings[key] else math.inf

    def loosest_by_squares(self, key):
        others = sum(own**2 for other, own in self.deviations.items() if other != key)
        left = (float(self.room) / DEVIATIONS) ** 2 - others
        if self.room < 0 or left < 0:
            return None
        return math.sqrt(left) / abs(self.deviations[key]) if self.brings[key] else math.inf


def judge(checks, what, chain, key, loosest):
    wanted, found = chain.loosest_at_worst(key), loosest["worst"]
    # What is decided by the last digit may go either way.
    if wanted is None:
        checks.equal(found["up_to"], "never", f"loosest at worst of {what}")
    elif wanted >= FAR:
        checks.equal(found["up_to"], "any", f"loosest at worst of {what}")
    elif checks.equal(found["up_to"], "times", f"loosest at worst of {what}"):
        times, wanted = found["times"], float(wanted)
        checks.that(wanted - CLOSE * max(wanted, CLOSE) <= times <= wanted * (1 + 1e-9),
                    f"loosest at worst of {what}", f"{times} for {wanted}")
    wanted, found = chain.loosest_by_squares(key), loosest["rss"]
    if wanted is None or wanted > FAR:
        checks.equal(found["up_to"], "never" if wanted is None else "any",
                     f"loosest by squares of {what}")
    else:
        near(checks, found["times"], wanted, 1e-6 * wanted, f"loosest by squares of {what}")


def random_chains(checks):
    tally, written = {"times": 0, "any": 0, "never": 0}, 0
    for number in range(CHAINS):
        chain = Chain(checks.random)
        folder = design(checks, chain.parts, rules=chain.rule())
        found = stacked(checks, folder, "t.fits", "--samples", 1000)
        for own in found["contributions"]:
            what = f"{own['name']} in chain {number}"
            judge(checks, what, chain, own["name"], own["loosest"])
            tally[own["loosest"]["worst"]["up_to"]] += 1
        if written < WRITTEN:
            written += write_loosest(checks, chain, found)
    checks.say(f"{CHAINS} random chains, seed {checks.arguments.seed}; at worst {tally['times']} "
               f"tolerances have a loosest, {tally['any']} may be any, of {tally['never']} none helps; "
               f"{written} written into their table")


def write_loosest(checks, chain, found):
    """The loosest of one tolerance in place of what it is: the check holds, and with 1 % more it
    fails."""
    loosest = {own["name"]: own["loosest"]["worst"] for own in found["contributions"]}
    for index, part in enumerate(chain.parts):
        room = loosest.get(f"t.{part.name}", NONE)
        # Tolerances are written with nothing between them.
        if not room["times"] or not room["low"] <= 0 <= room["high"]:
            continue
        middle = (part.low + part.high) / 2
        for more, verdict in [(1.0, "holds"), (1.01, "fails")]:
            low, high = (middle + (end - middle) * more for end in (room["low"], room["high"]))
            if not low <= 0 <= high:
                return 0
            looser = chain.parts[:index] + [part._replace(low=low, high=high)] + chain.parts[index + 1:]
            folder = design(checks, looser, rules=chain.rule())
            answer = checks.json(folder, "check", status=(0, 1))
            checks.equal(answer["checks"][0]["worst"]["verdict"], verdict,
                         f"{part.name} at {more} of its loosest, in {folder.name}")
        return 1
    return 0
