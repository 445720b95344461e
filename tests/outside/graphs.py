"""Reach, order, values and causes in random designs, against networkx and a reckoning of our own.

Source: networkx (`descendants`, shortest paths); values and causes are reckoned here by
evaluating every design again for every question, which is slow and hard to get wrong.

Each design is a random acyclic graph of dimensions over a few tables. Sums have positive weights,
so that no change cancels another; a few dimensions take a maximum or a step, behind which a change
may end.
"""

import math

import networkx

from support import main, shown_values, write_design

DESIGNS = 200
REACHES = 40
# What differs by less than this is the same to Setout; what lies between is not judged.
SAME, DIFFERENT = 1e-12, 1e-9
LEFT_OUT = "…"


class Dimension:
    def __init__(self, name, way, parents, weights, extra):
        self.name, self.way, self.parents = name, way, parents
        self.weights, self.extra = weights, extra

    def formula(self, spelt):
        """The formula; `spelt` says how a name is written from here."""
        terms = [f"{spelt(name)} * {weight}" for name, weight in zip(self.parents, self.weights)]
        total = " + ".join(terms + [f"{self.extra} mm"])
        if self.way == "step":
            return f'"ceil({total}, 50 mm)"'
        if self.way == "most":
            return f'"max({", ".join(terms + [f"{self.extra} mm"])})"'
        return total

    def value(self, values):
        terms = [values[name] * weight for name, weight in zip(self.parents, self.weights)]
        if self.way == "most":
            return max(terms + [self.extra])
        total = 0.0
        for term in terms + [self.extra]:
            total += term
        return math.ceil(total / 50) * 50.0 if self.way == "step" else total


class Design:
    """Dimensions in an order in which each stands behind what it needs."""

    def __init__(self, random):
        self.tables = [f"t{index}" for index in range(random.randrange(1, 5))]
        count = random.randrange(2, 40)
        density = random.choice([0.03, 0.1, 0.3])
        names = [f"{random.choice(self.tables)}.d{index}" for index in range(count)]
        self.dimensions = []
        for index, name in enumerate(names):
            parents = [other for other in names[:index] if random.random() < density][:6]
            weights = [random.choice([0.25, 0.5, 0.75]) for _ in parents]
            way = random.choices(["sum", "most", "step"], [8, 1, 1])[0] if parents else "sum"
            extra = float(random.randrange(1, 200)) / 4
            self.dimensions.append(Dimension(name, way, parents, weights, extra))
        self.graph = networkx.DiGraph()
        self.graph.add_nodes_from(names)
        self.graph.add_edges_from((p, d.name) for d in self.dimensions for p in d.parents)

    def values(self, edits):
        values = {}
        for dimension in self.dimensions:
            edited = edits.get(dimension.name)
            values[dimension.name] = dimension.value(values) if edited is None else edited
        return values

    def write(self, folder, random):
        # The order in a file is of no account.
        shuffled = random.sample(self.dimensions, len(self.dimensions))
        tables = {}
        for table in self.tables:
            lines = []
            for dimension in shuffled:
                home, bare = dimension.name.split(".")
                if home == table:
                    def spelt(name):
                        return name.removeprefix(table + ".")
                    lines.append(f"  {bare}: {dimension.formula(spelt)}\n")
            tables[table] = "dimensions:\n" + "".join(lines) if lines else "about: empty\n"
        return write_design(folder, tables)


def differ(a, b):
    """True, False, or None where it is not judged."""
    apart = abs(a - b) / max(abs(a), abs(b), 1e-300)
    return True if apart > DIFFERENT else False if apart < SAME / 10 else None


def near(found, wanted):
    return found is not None and abs(found - wanted) <= 1e-12 * max(abs(found), abs(wanted))


def causes(design, edits, after, name):
    """The edits whose undoing alone changes the value after; with none, those that reach it."""
    alone = []
    for edited in edits:
        without = design.values({key: value for key, value in edits.items() if key != edited})
        apart = differ(without[name], after[name])
        if apart is None:
            return None
        if apart:
            alone.append(edited)
    if alone:
        return sorted(alone), False
    # An edit puts a plain value in a formula's place, and so ends what came that way.
    graph = design.graph.copy()
    graph.remove_edges_from([edge for edge in design.graph.edges if edge[1] in edits])
    reaching = [edited for edited in edits if name in networkx.descendants(graph, edited)]
    return sorted(reaching), True


def is_shortest(graph, sources, path, name):
    """Whether a path leads from one of the sources to a node along edges, and none is shorter.

    Of a long one only the start and the last steps are given, with the sign LEFT_OUT between.
    """
    if not path or path[0] not in sources or path[-1] != name:
        return False
    pairs = [pair for pair in zip(path, path[1:]) if LEFT_OUT not in pair]
    if not all(graph.has_edge(*pair) for pair in pairs):
        return False
    length = networkx.multi_source_dijkstra_path_length(graph, set(sources))[name] + 1
    return len(path) < length if LEFT_OUT in path else len(path) == length


def changes(checks, folder, design, edits):
    """One `impact` with values, against everything that can be reckoned about it."""
    before, after = design.values({}), design.values(edits)
    words = [f"{name}={value!r}mm" for name, value in edits.items()]
    impact = checks.json(folder, "impact", *words)
    changed = {entry["name"]: entry for entry in impact["changed"]}
    unchanged = impact["unchanged"]
    what = f"impact {' '.join(words)}"
    reach = set().union(*(networkx.descendants(design.graph, name) for name in edits)) - set(edits)
    checks.equal(sorted([*changed, *unchanged]), sorted(reach), f"{what}: what is reached")
    moved = design.graph.subgraph({*changed, *edits})
    for name in reach & changed.keys():
        entry = changed[name]
        checks.that(is_shortest(moved, list(edits), entry["path"], name),
                    f"{what}: the way to {name}", str(entry["path"]))
        checks.that(differ(before[name], after[name]) is not False, f"{what}: {name} has changed")
        sides = near(entry["before"], before[name]) and near(entry["after"], after[name])
        checks.that(sides and entry["unit"] == "mm", f"{what}: {name}", str(entry))
        wanted = causes(design, edits, after, name)
        if wanted is not None:
            found = sorted(entry["because"]), entry.get("any_of", False)
            checks.equal(found, wanted, f"{what}: why {name} has changed")
    for name in reach & set(unchanged):
        checks.that(differ(before[name], after[name]) is not True, f"{what}: {name} has not changed")
    place = {name: index for index, name in enumerate(changed)}
    ordered = all(place[a] < place[b] for a, b in design.graph.edges if a in place and b in place)
    checks.that(ordered, f"{what}: in order of dependency", str(list(changed)))
    return len(changed), len(unchanged)


def random_designs(checks):
    random = checks.random
    counts = [0, 0, 0, 0]
    for index in range(DESIGNS):
        design = Design(random)
        folder = design.write(checks.folder(f"design{index}"), random)
        found = shown_values(checks.json(folder, "show"))
        wanted = design.values({})
        good = found.keys() == wanted.keys() and all(
            near(found[name][0], value) and found[name][1] == "mm" for name, value in wanted.items()
        )
        checks.that(good, f"design {index}: the values", f"{found}\n    {wanted}")
        names = [dimension.name for dimension in design.dimensions]
        for edited in (1, 1, random.randrange(1, 4)):
            picked = random.sample(names, min(edited, len(names)))
            edits = {name: wanted[name] * random.choice([0.4, 1.5]) for name in picked}
            changed, unchanged = changes(checks, folder, design, edits)
            counts = [sum(pair) for pair in zip(counts, (0, 1, changed, unchanged))]
        counts[0] += len(names)
    checks.say(f"seed {checks.arguments.seed}: {DESIGNS} designs with {counts[0]} dimensions, "
               f"{counts[1]} changes, {counts[2]} dimensions changed, {counts[3]} reached and the same")


def reach_without_a_value(checks):
    """`impact NAME` shows what a change could reach, each with a shortest way to it."""
    random = checks.random
    count = 0
    for index in range(REACHES):
        design = Design(random)
        folder = design.write(checks.folder(f"reach{index}"), random)
        wanted = design.values({})
        name = random.choice(design.dimensions).name
        reached = {entry["name"]: entry for entry in checks.json(folder, "impact", name)["reached"]}
        what = f"impact {name}"
        checks.equal(sorted(reached), sorted(networkx.descendants(design.graph, name)), what)
        for other, entry in reached.items():
            checks.that(near(entry["value"], wanted[other]) and entry["unit"] == "mm",
                        f"{what}: the value of {other}", str(entry))
            checks.that(is_shortest(design.graph, [name], entry["path"], other),
                        f"{what}: the way to {other}", str(entry["path"]))
        count += len(reached)
    checks.say(f"{REACHES} designs: the reach of a dimension, {count} ways")


if __name__ == "__main__":
    main("graphs", [random_designs, reach_without_a_value])
