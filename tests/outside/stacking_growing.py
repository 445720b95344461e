"""Random formulas over random dimensions."""

from stacking_designs import FACTORS, Part
from stacking_trees import (Tree, constant, cosine, direction, exponential, hypot, logarithm, root, sine,
                            tangent)

UNITS = {"length": ["mm", "mm", "mm", "cm", "in"], "angle": ["deg", "deg", "rad"], "number": [""]}
KINDS = ["length", "length", "length", "angle", "number"]
# From how much to how much, in millimetres and degrees.
SIZES = {"length": (8, 80), "angle": (8, 55), "number": (0.5, 3)}


class Grower:
    def __init__(self, random, parts):
        self.random, self.parts, self.used = random, parts, {}

    def leaf(self, kind):
        own = [part for part in self.parts if part.unit in UNITS[kind]]
        if not own or self.random.random() < 0.1:
            return self.constant(kind)
        if kind == "length" and self.random.random() < 0.1:
            return self.bowed(self.random.choice(own))
        new = [part for part in own if part.name not in self.used]
        part = self.random.choice(new if new and self.random.random() < 0.8 else own)
        self.used[part.name] = part
        return Tree(part.name, lambda of, _by: of[part.name])

    def bowed(self, part):
        """What is least within a tolerance, and not at its end."""
        self.used[part.name] = part
        own = Tree(part.name, lambda of, _by: of[part.name])
        at = round(part.within(self.random.uniform(-0.8, 0.8)), 4)
        off = own - constant(f"{at} mm", at)
        return off * off / constant("0.5 mm", 0.5)

    def constant(self, kind):
        number = round(self.random.uniform(1, 40), 1)
        unit = {"length": " mm", "angle": " deg", "number": ""}[kind]
        return constant(f"{number}{unit}", number)

    def grow(self, kind, depth):
        if depth == 0:
            return self.leaf(kind)
        ways = {
            "length": [self.sum, self.sum, self.times, self.over, self.root, self.hypot],
            "angle": [self.sum, self.times, self.direction, self.direction],
            "number": [self.sum, self.times, self.ratio, self.wave, self.wave, self.logarithm,
                       self.exponential, self.root_of_number],
        }[kind]
        return self.random.choice(ways)(kind, depth - 1)

    def sum(self, kind, depth):
        a, b = self.grow(kind, depth), self.grow(kind, depth)
        return a + b if self.random.random() < 0.5 else a - b

    def times(self, kind, depth):
        pair = [self.grow(kind, depth), self.grow("number", depth)]
        self.random.shuffle(pair)
        return pair[0] * pair[1]

    def over(self, kind, depth):
        return self.grow(kind, depth) / self.grow("number", depth)

    def ratio(self, _kind, depth):
        kind = self.random.choice(["length", "length", "angle", "number"])
        return self.grow(kind, depth) / self.grow(kind, depth)

    def root(self, _kind, depth):
        return root(self.grow("length", depth) * self.grow("length", depth))

    def root_of_number(self, _kind, depth):
        return root(self.grow("number", depth))

    def hypot(self, _kind, depth):
        return hypot(self.grow("length", depth), self.grow("length", depth))

    def direction(self, _kind, depth):
        return direction(self.grow("length", depth), self.grow("length", depth))

    def wave(self, _kind, depth):
        return self.random.choice([sine, cosine, tangent])(self.grow("angle", depth))

    def exponential(self, _kind, depth):
        return exponential(self.grow("number", depth))

    def logarithm(self, _kind, depth):
        return logarithm(self.grow("number", depth))


def random_parts(random, count, kinds=KINDS):
    """Dimensions of any sort; some share an error, some were measured."""
    parts, spreads = [], {}
    for index in range(count):
        kind = random.choice(kinds) if index else kinds[0]
        unit = random.choice(UNITS[kind])
        size = random.uniform(*SIZES[kind]) / FACTORS[unit]
        value, way = round(size, 3), size * 10 ** random.uniform(-3, -1.4)
        high = round(way, 5)
        low = -high if random.random() < 0.6 else -round(way * random.uniform(0, 1), 5)
        part = Part(f"d{index}", value, unit, low, high)
        if random.random() < 0.15:
            measured = (round(random.uniform(low, high) / 2, 6), round(way / random.uniform(2, 5), 6))
            parts.append(part._replace(measured=measured))
            continue
        spread = random.choice(["normal", "uniform", "triangular"])
        if random.random() < 0.35:
            shares = random.choice(["heat", "shrinkage"])
            spread = spreads.setdefault(shares, spread)
            part = part._replace(shares=shares, opposite=random.random() < 0.4)
        parts.append(part._replace(spread=spread))
    return parts


def random_tree(random):
    """A formula, its kind, and the parts that it names."""
    while True:
        grower = Grower(random, random_parts(random, random.randint(3, 8)))
        kind = random.choice(KINDS)
        tree = grower.grow(kind, random.randint(2, 3))
        if len(grower.used) >= 3:
            return tree, kind, list(grower.used.values())


def linear_tree(random):
    """A chain in which every dimension stands once, its parts, and how many times each counts."""
    parts = random_parts(random, random.randint(3, 8), ["length"])
    tree, counts = constant("3.5 mm", 3.5), []
    for part in parts:
        factor = round(random.uniform(0.2, 3), 2)
        leaf = Tree(part.name, lambda of, _by, name=part.name: of[name])
        way = random.randrange(4)
        if way == 0:
            leaf, factor = leaf / constant(str(factor), factor), 1 / factor
        elif way == 1:
            leaf = constant(str(factor), factor) * leaf
        else:
            factor = 1.0
        is_less = random.random() < 0.4
        tree = tree - leaf if is_less else tree + leaf
        counts.append(-factor if is_less else factor)
    return tree, parts, counts
