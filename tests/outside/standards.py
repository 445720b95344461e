"""The tables of hardware and fits, against tables that are not ours.

Sources:
- pressfit 0.1.0 (PyPI, MIT): ISO 286, standard tolerances and deviations of shafts
- rf-tolerance (a public repository; numbers only, in standards_iso286.csv): IT1 to IT18, and the
  deviations of a and r, which pressfit has not
- bd-warehouse 0.4.0 (PyPI, Apache-2.0): holes, tap drills, heads, washers, shoulder screws
- cq-queryabolt 0.1.2 (PyPI, MIT): plain socket heads, countersunk heads
- the formulas of ISO 68-1, ISO 965-1 and of ISO 286-1 for holes, reckoned here

Where one of these differs from us, the row stands in docs/standards.md with the reason, and is read
from there: a difference that is not listed fails, and so does a listed one that is not met. Not
checked, since no other table was found: inserts, trade sizes of shoulder screws, and the values that
a table's head says are from memory.
"""

import csv
import io
import json
import math
import os
import pathlib
import re
import subprocess
import zipfile

import pressfit
from pressfit.tables import it_value, shaft_deviation

from support import ROOT, Broken, main

BD, QB, PF = "bd-warehouse 0.4.0", "cq-queryabolt 0.1.2", "pressfit 0.1.0"
ENDS = [3, 6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120]
# Tables whose cells are given too, beside what the functions give of them.
CELLS = {"clearance", "threads", "thread_limits", "tap_drills", "socket_heads", "button_heads",
         "countersunk_heads", "washers", "shoulders", "inserts"}
LISTED = "## Where other tables differ"


def number(text):
    return float(text) if re.fullmatch(r"-?[\d.]+(e-?\d+)?", text) else text


class Tables:
    """Our values by call, and what is known to differ."""

    def __init__(self, checks):
        done = subprocess.run(
            ["cargo", "run", "--quiet", "--locked", "-p", "setout-standards", "--example", "values"],
            cwd=ROOT, env=os.environ, capture_output=True, text=True, timeout=600)
        if done.returncode:
            raise Broken(done.stderr)
        rows = csv.DictReader(io.StringIO(done.stdout))
        self.values = {(r["function"], r["first"], r["second"]): number(r["value"]) for r in rows}
        self.checks, self.listed, self.met, self.unseen = checks, listed(), set(), set(self.values)

    def same(self, source, call, theirs):
        """Compares a value with another's; or with what is listed, if it is known to differ."""
        ours = self.values.get(call)
        self.unseen.discard(call)
        what = f"{' '.join(part for part in call if part)} in {source}"
        if (call, source) in self.listed:
            self.met.add((call, source))
            return self.checks.equal((ours, theirs), self.listed[call, source], what)
        return self.checks.equal(ours, theirs, what)

    def of(self, function):
        return {call: value for call, value in self.values.items() if call[0] == function}


def listed():
    """The rows under the heading: call, sizes, our values, theirs, source."""
    text = (ROOT / "docs" / "standards.md").read_text(encoding="utf-8")
    part = text[text.index(LISTED) + len(LISTED):].split("\n## ")[0]
    known = {}
    for line in part.splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if not line.startswith("| `"):
            continue
        call, sizes, ours, theirs, source, why = cells
        function, *second = call.strip("`").split()
        columns = [cell.split(", ") for cell in (sizes, ours, theirs)]
        for size, here, there in zip(*columns, strict=True):
            key = (function, size, second[0] if second else "")
            known[key, source] = (float(here), float(there))
        if not why:
            raise Broken(f"no reason is given for {call}")
    return known


def wheel(checks, name):
    place = pathlib.Path(checks.arguments.wheels)
    found = sorted(place.glob(f"{name}-*.whl"))
    if not found:
        raise Broken(f"{name} is not in {place}; tests/run puts it there")
    return zipfile.ZipFile(found[0])


def bd_rows(checks, name):
    """A table of bd-warehouse by size (`M3-0.5` is M3 with its coarse pitch), cells as numbers."""
    text = wheel(checks, "bd_warehouse").read(f"bd_warehouse/data/{name}.csv").decode("utf-8")
    rows = csv.DictReader(io.StringIO(text))
    return {row["Size"]: {key.strip(): number(cell) for key, cell in row.items()} for row in rows}


def by_thread(tables, rows):
    """Each thread of ours with its row, found by the thread, or by thread and pitch."""
    for (_, thread, _), pitch in tables.of("thread_pitch").items():
        row = rows.get(f"{thread}-{pitch:g}") or rows.get(thread)
        if row:
            yield thread, row


def threads(tables):
    for (_, thread, _), d in tables.of("thread_major").items():
        p = tables.values["thread_pitch", thread, ""]
        tables.same("its name", ("thread_major", thread, ""), float(thread[1:]))
        h = math.sqrt(3) / 2 * p
        rounded = {"pitch_diameter": d - 0.75 * h, "minor": d - 1.25 * h}
        for name, value in rounded.items():
            tables.same("ISO 68-1", (f"thread_{name}", thread, ""), round(value, 3))
    taps = bd_rows(tables.checks, "tap_hole_sizes")
    for (_, thread, _), pitch in tables.of("thread_pitch").items():
        tables.checks.that(f"{thread}-{pitch:g}" in taps, f"{thread} is tapped with {pitch} in {BD}")
    # Screws are named there by their coarse pitch alone. M3.5 is not among them.
    sizes = list(bd_rows(tables.checks, "socket_head_cap_parameters"))
    for size in [*sizes, "M3.5-0.6"]:
        thread, _, pitch = size.partition("-")
        if ("thread_pitch", thread, "") in tables.values:
            source = "ISO 261, from memory" if thread == "M3.5" else BD
            tables.same(source, ("thread_pitch", thread, ""), float(pitch))


def thread_limits(tables):
    """ISO 965-1's formulas, in µm; the standard rounds to preferred numbers."""
    limits = tables.of("thread_limits")
    for thread in dict.fromkeys(call[1] for call in limits):
        d = tables.values["thread_major", thread, ""]
        p = tables.values["thread_pitch", thread, ""]
        mean = math.sqrt({d < 2.8: 1.4 * 2.8, 2.8 <= d < 5.6: 2.8 * 5.6, d >= 5.6: 5.6 * 11.2}[True])
        td2 = 90 * p ** 0.4 * mean ** 0.1
        td1 = 433 * p - 190 * p ** 1.22 if p < 1 else 230 * p ** 0.7
        wanted = {"bolt_major": 180 * p ** (2 / 3) - 3.15 / math.sqrt(p), "bolt_pitch": td2,
                  "nut_minor": td1, "nut_pitch": 1.32 * td2}
        value = lambda name: limits["thread_limits", thread, name]
        for name, tolerance in wanted.items():
            found = 1000 * (value(f"{name}_max") - value(f"{name}_min"))
            tables.checks.that(abs(found / tolerance - 1) < 0.05, f"{thread} {name}: ISO 965-1",
                               f"{found} µm; the formula gives {tolerance}")
        es = 15 + 11 * p
        for name, basic in {"bolt_major": d, "bolt_pitch": d - 0.649519 * p}.items():
            found = 1000 * (basic - value(f"{name}_max"))
            tables.checks.that(abs(found - es) < 1, f"{thread} {name}_max: g by ISO 965-1", f"{found}")
        for name in ("minor", "pitch"):
            basic = tables.values["thread_minor" if name == "minor" else "thread_pitch_diameter", thread, ""]
            tables.checks.equal(value(f"nut_{name}_min"), basic, f"{thread} nut_{name}_min: H")


def holes(tables):
    names = {"fine": "Close", "medium": "Normal", "coarse": "Loose"}
    for thread, row in by_thread(tables, bd_rows(tables.checks, "clearance_hole_sizes")):
        for ours, theirs in names.items():
            tables.same(BD, ("clearance_hole", thread, ours), row[theirs])
            tables.same(BD, ("clearance", thread, ours), row[theirs])
    for thread, row in by_thread(tables, bd_rows(tables.checks, "tap_hole_sizes")):
        tables.same(BD, ("tap_drill", thread, ""), row["Soft"])


def heads(tables):
    sorts = {"socket": ("socket_head_cap", "iso4762", {"s": "key", "t": "key_depth_min"}),
             "button": ("button_head", "iso7380_1", {"t": "key_depth_min"}),
             "countersunk": ("countersunk_head", "iso10642", {"t": "key_depth_min"})}
    for head, (name, prefix, more) in sorts.items():
        for thread, row in by_thread(tables, bd_rows(tables.checks, f"{name}_parameters")):
            if ("head_diameter", thread, head) not in tables.values or row[f"{prefix}:dk"] == "":
                continue
            # Its socket heads are the knurled ones.
            sort = "knurled" if head == "socket" else head
            tables.same(BD, ("head_diameter", thread, sort), row[f"{prefix}:dk"])
            for height in {head, sort}:
                tables.same(BD, ("head_height", thread, height), row[f"{prefix}:k"])
            for theirs, ours in more.items():
                tables.same(BD, (f"{head}_heads", thread, ours), row[f"{prefix}:{theirs}"])
    bolts = json.loads(wheel(tables.checks, "cq_queryabolt").read("bolts.json"))
    for (table, thread, column), _ in tables.of("socket_heads").items():
        if column == "diameter_plain_max":
            head = bolts[thread]["socket_head"]
            tables.same(QB, (table, thread, column), float(head["head_diameter"]))
            tables.same(QB, ("head_diameter", thread, "socket"), float(head["head_diameter"]))
            tables.same(QB, ("head_height", thread, "socket"), float(head["head_length"]))
    for (table, thread, column), _ in tables.of("countersunk_heads").items():
        if column == "diameter_max":
            head = bolts[thread]["countersunk"]
            tables.same(QB, ("head_diameter", thread, "countersunk"), float(head["head_diameter"]))
            tables.same(QB, ("head_height", thread, "countersunk"), float(head["head_length"]))


def washers(tables):
    names = {"inner": "iso7089:d1", "outer": "iso7089:d2", "thickness": "iso7089:h"}
    for thread, row in by_thread(tables, bd_rows(tables.checks, "plain_washer_parameters")):
        if ("washer_outer", thread, "") not in tables.values:
            continue
        for ours, theirs in names.items():
            tables.same(BD, (f"washer_{ours}", thread, ""), row[theirs])
        # What it calls the thickness is the greatest one.
        tables.same(BD, ("washers", thread, "thickness_max"), row["iso7089:h"])


def shoulders(tables):
    rows = bd_rows(tables.checks, "shoulder_screw")
    rows = {f"{row['iso7379:ds']:g}": (size, row) for size, row in rows.items()}
    names = {"dk": "head_diameter", "k": "head_height", "b": "thread_length"}
    for size in ("6.5", "8", "10"):
        thread, row = rows[size]
        tables.same(BD, ("shoulder_thread", size, ""), thread.split("-")[0])
        for theirs, ours in names.items():
            tables.same(BD, (f"shoulder_{ours}", size, ""), row[f"iso7379:{theirs}"])
        tables.same(BD, ("shoulders", size, "thread_length"), row["iso7379:b"])
        tables.same(BD, ("shoulders", size, "key"), row["iso7379:s"])
    for call in tables.of("shoulder_diameter"):
        size = float(call[1])
        upper = shaft_deviation(size, "f", 9)
        tables.same(f"{PF}, f9", call, round(size + upper / 1000, 3))
        lower = upper - it_value(size, 9)
        tables.same(f"{PF}, f9", ("shoulders", call[1], "diameter_min"), round(size + lower / 1000, 3))


def inserts(tables):
    for (_, key, column), boss in tables.of("inserts").items():
        if column == "boss":
            outer = tables.values["inserts", key, "outer"]
            tables.checks.equal(boss, round(2 * outer, 3), f"the boss of {key} is twice its insert")


class Iso286:
    """ISO 286 out of pressfit, the numbers of rf-tolerance, and the standard's rules for holes."""

    def __init__(self):
        path = ROOT / "tests" / "outside" / "standards_iso286.csv"
        lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line[0] != "#"]
        self.rows = {row.pop("what"): row for row in csv.DictReader(lines)}

    def fixture(self, what, size):
        end = next(end for end in ENDS if size <= end)
        return float(self.rows[what][str(end)])

    def grade(self, grade, size):
        return self.fixture(f"IT{grade}", size)

    def shaft(self, letter, grade, size):
        """Upper and lower deviation, in µm."""
        it = self.grade(grade, size)
        if letter == "js":
            return it / 2, -it / 2
        below = letter[0] in "abcdefgh"
        if letter in ("a", "r"):
            deviation = self.fixture(letter, size)
        else:
            deviation = shaft_deviation(size, letter, grade)
        return (deviation, deviation - it) if below else (deviation + it, deviation)

    def hole(self, letter, grade, size):
        """A to H mirror the shaft. K, M, N to IT8 and P to IT7 mirror it too, and add what this grade
        has over the next finer one; not up to 3 mm."""
        it = self.grade(grade, size)
        if letter == "JS":
            return it / 2, -it / 2
        if letter[0] in "ABCDEFGH":
            lower = -self.shaft(letter.lower(), grade, size)[0]
            return lower + it, lower
        delta = it - self.grade(grade - 1, size) if size > 3 else 0
        upper = -shaft_deviation(size, letter.lower(), 6) + delta
        return upper, upper - it

    def limits(self, class_, size):
        letter, grade = re.fullmatch(r"([A-Za-z]+)(\d+)", class_).groups()
        side = self.hole if letter[0].isupper() else self.shaft
        return side(letter, int(grade), size)


def grades(tables):
    iso = Iso286()
    for call in tables.of("it_grade"):
        grade, size = int(call[1][2:]), float(call[2])
        tables.same("rf-tolerance", call, iso.grade(grade, size) / 1000)
        if 5 <= grade <= 11:
            tables.same(PF, call, it_value(size, grade) / 1000)


def limits(tables):
    iso = Iso286()
    classes = {call[1] for call in tables.of("limit_upper")}
    tables.checks.equal(len(classes), 47, "the classes")
    for class_ in sorted(classes):
        for call in [call for call in tables.of("limit_upper") if call[1] == class_]:
            upper, lower = iso.limits(class_, float(call[2]))
            tables.same("ISO 286", call, upper / 1000)
            tables.same("ISO 286", ("limit_lower", *call[1:]), lower / 1000)


def fits(tables):
    iso = Iso286()
    for call in tables.of("max_clearance"):
        hole, shaft = call[1].split("/")
        size = float(call[2])
        (hole_upper, hole_lower), (shaft_upper, shaft_lower) = (
            iso.limits(hole, size), iso.limits(shaft, size))
        other = ("min_clearance", *call[1:])
        tables.same("ISO 286", call, (hole_upper - shaft_lower) / 1000)
        tables.same("ISO 286", other, (hole_lower - shaft_upper) / 1000)
        try:
            least, most = pressfit.fit(call[1], size).clearance_um
        except (NotImplementedError, ValueError):
            continue
        tables.same(PF, call, most / 1000)
        tables.same(PF, other, least / 1000)


def standards(checks):
    tables = Tables(checks)
    for group in (threads, thread_limits, holes, heads, washers, shoulders, inserts, grades, limits,
                  fits):
        before = checks.passed + checks.failed
        group(tables)
        checks.say(f"{group.__name__}: {checks.passed + checks.failed - before} values compared")
    checks.equal(sorted(set(tables.listed) - tables.met), [], "every listed difference is met")
    unseen = {call for call in tables.unseen if call[0] not in CELLS}
    known = {call for call in unseen if call[0].startswith("insert_")
             or call[0].startswith("shoulder_") and call[1] in ("4", "5", "6")}
    checks.equal(sorted(unseen - known), [], "every value that is not practice alone was compared")


if __name__ == "__main__":
    main("standards", [standards],
         [(["--wheels"], {"default": str(ROOT / ".tools" / "wheels"),
                          "help": "the folder of the wheels that are read"})])
