"""Exported variables and the sample's models, in OpenSCAD.

Source: the program itself (OpenSCAD 2021.01 as Debian has it, or later). It ends with 0 on a failed
assertion when echoing, so only an echo behind all assertions counts as success. It prints six
digits, so values are compared inside it: a Python `repr` reads back as the same double. Texts are
spelt as lists of code points, so that nothing here shares the escapes that are being tested.

A model is closed when every edge of its triangles is used once in each direction (STL, as OpenSCAD
writes it); its extents are those that examples/badger/README.md states, to the six digits of STL.
"""

import concurrent.futures
import fractions
import re
import shutil
import struct

from support import ROOT, Broken, main, quoted, shown_values, told, write_design

REACHED = "all assertions hold"
MODELS = "examples/badger"

# Exact factors to mm and deg, this test's own. Degrees to a radian are rounded, like everything
# that goes through pi.
TO_BASE = {"mm": 1, "cm": 10, "m": 1000, "µm": "1/1000", "in": "25.4", "thou": "0.0254",
           "deg": 1, "rev": 360, "arcmin": "1/60"}


def run_openscad(checks, out, source, *words):
    try:
        return checks.run("openscad", "--hardwarnings", "-o", out, *words, source,
                          cwd=source.parent, timeout=600)
    except FileNotFoundError:
        raise Broken("there is no `openscad`; install it, for example with "
                     "`apt-get install openscad`") from None


def spelt(value):
    """A value as an OpenSCAD expression."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f"chr([{', '.join(str(ord(c)) for c in value)}])" if value else '""'
    if isinstance(value, list):
        return f"[{', '.join(map(spelt, value))}]"
    return f"({value!r})"


def in_base(value, unit):
    """A value as it is exported: lengths in mm, angles in deg, all else as it stands.

    Also whether that is exact: in mm and deg it must be, and a conversion may round once here and
    once there.
    """
    if unit in ("mm", "deg") or unit not in TO_BASE or not isinstance(value, float):
        return value, True
    return float(fractions.Fraction(value) * fractions.Fraction(TO_BASE[unit])), False


def assertions(values):
    """The lines that compare values by OpenSCAD name; each is a list of (value, is exact)."""
    lines = []
    for name, (value, exact) in values.items():
        if exact:
            lines.append(f"assert({name} == {spelt(value)});")
        else:
            lines.append(f"assert(abs({name} - {spelt(value)}) <= {abs(value) * 2**-52!r});")
    return lines


def expected(shown):
    """Every variable that the export must hold: name in OpenSCAD, value, whether exact."""
    values = {}
    for name, (value, unit) in shown_values(shown).items():
        values[name.replace(".", "_")] = in_base(value, unit)
    for schedule in shown["schedules"]:
        for index, column in enumerate(schedule["columns"]):
            cells = [in_base(row["cells"][index], column["unit"]) for row in schedule["rows"]]
            name = f"{schedule['name']}.{column['name']}".replace(".", "_")
            if all(exact for _, exact in cells):
                values[name] = ([cell for cell, _ in cells], True)
                continue
            values[f"len({name})"] = (float(len(cells)), True)
            values |= {f"{name}[{place}]": cell for place, cell in enumerate(cells)}
    return values


def holds(checks, folder, dimensions, lines):
    """Whether OpenSCAD reaches the echo behind these assertions, and what it said."""
    driver = folder / "driver.scad"
    include = f"include <{dimensions}>\n"
    driver.write_text(include + "\n".join(lines) + f'\necho("{REACHED}");\n', encoding="utf-8")
    out = folder / "driver.echo"
    out.unlink(missing_ok=True)
    done = run_openscad(checks, out, driver)
    echoed = out.read_text(encoding="utf-8") if out.is_file() else ""
    return REACHED in echoed, done.stderr


def compare(checks, folder, dimensions, what):
    """Compares an export with what `show` says, variable by variable."""
    values = expected(checks.json(folder, "show"))
    text = (folder / dimensions).read_text(encoding="utf-8")
    assigned = re.findall(r"^([A-Za-z_0-9]+) = ", text, re.MULTILINE)
    names = {re.sub(r"^len\((.*)\)$|\[\d+\]$", r"\1", name) for name in values}
    checks.equal(sorted(assigned), sorted(names), f"{what}: every variable, once, and no other")
    lines = assertions(values)
    together, said = holds(checks, folder, folder / dimensions, lines)
    if together:
        checks.passed += len(lines)
    else:
        alone = [holds(checks, folder, folder / dimensions, [line]) for line in lines]
        for line, (good, said) in zip(lines, alone):
            checks.that(good, f"{what}: {line}", said)
        checks.that(False, f"{what}: all at once", said)
    # The assertions would notice: the least change of one number is found.
    wrong = next(name for name, (value, exact) in values.items()
                 if exact and isinstance(value, float) and value)
    value = struct.unpack("<d", struct.pack("<q", struct.unpack("<q", struct.pack(
        "<d", values[wrong][0]))[0] ^ 1))[0]
    noticed, _ = holds(checks, folder, folder / dimensions, assertions({wrong: (value, True)}))
    checks.that(not noticed, f"{what}: a last digit that differs is noticed")
    return len(lines)


def exported(checks, folder, *words):
    done = checks.setout(folder, "export", *words)
    if done.returncode != 0:
        raise Broken(told(done))


def sample_copy(checks, name):
    folder = checks.folder(name)
    for part in ("params", "examples"):
        shutil.copytree(ROOT / part, folder / part)
    return folder


def sample(checks):
    folder = sample_copy(checks, "sample")
    exported(checks, folder)
    count = compare(checks, folder, f"{MODELS}/dimensions.scad", "the sample")
    checks.say(f"the sample: {count} variables")


def extremes(checks):
    """Numbers at the ends of what a double holds, awkward texts, and lists of both."""
    random = checks.random
    numbers = [1.7976931348623157e308, 2.2250738585072014e-308, 5e-324, 0.1, 1 / 3, 1e21, 1e22,
               123456789.12345679, 9007199254740993.0, 4.35, 2 / 3 * 1e-5, 1e-7, 0.0]
    while len(numbers) < 120:
        number = struct.unpack("<d", random.randbytes(8))[0]
        if number == number and abs(number) != float("inf"):
            numbers.append(number)
    texts = ['M4 "long"', "a\\b\\", "\\", '"', "5 µm", "鼻 und Mäuler", "👩\u200d🔧", "line\nline",
             "tab\tbed", "*/ x = 1; /*", "//", "<img>", "\\u0041", "'", "=1+1", "a" * 300,
             "\u00e9 e\u0301", "\U0001F9A1"]
    marks = '"\\\n\t/*;,=-\'<ux0é鼻😀 '
    texts += ["x" + "".join(random.choices(marks, k=12)) + "x" for _ in range(60)]
    lines = ["dimensions:\n"]
    for index, number in enumerate(numbers):
        unit = random.choice(["mm", "deg", "g", "A"])
        written = f"{number!r} {unit}"
        lines.append(f"  n{index}: {written}\n")
    lines += [f"  s{index}: {{ text: {quoted(text)} }}\n" for index, text in enumerate(texts)]
    lines += ["  yes_or_no: 1 mm < 2 mm\n", "  in_inches: { value: 2.5 in, unit: in }\n",
              "  in_metres: 0.3 m\n", "  a_turn: { value: 0.25 rev, unit: rev }\n"]
    lines += ["schedules:\n  screw:\n    columns: { size: text, reach: mm, turn: deg, pull: A }\n",
              "    rows:\n"]
    for index, text in enumerate(texts):
        cells = [repr(random.choice(numbers)) for _ in range(3)]
        lines.append(f"      r{index}: [{quoted(text)}, {cells[0]} mm, {cells[1]} deg, {cells[2]} A]\n")
    folder = write_design(checks.folder("extremes"), {"t": "".join(lines)})
    exported(checks, folder, "--to", "openscad", "--file", "out.scad")
    count = compare(checks, folder, "out.scad", "extremes")
    checks.say(f"seed {checks.arguments.seed}: {len(numbers)} numbers, {len(texts)} texts, "
               f"{count} variables")


def triangles(text):
    corners = [tuple(line.split()[1:4]) for line in text.splitlines()
               if line.strip().startswith("vertex")]
    return [tuple(corners[at:at + 3]) for at in range(0, len(corners), 3)]


def open_edges(faces):
    """How many edges are not used once in each direction."""
    used = {}
    for face in faces:
        # Corners that are one point in six digits make a triangle without a surface.
        if len(set(face)) < 3:
            continue
        for edge in zip(face, face[1:] + face[:1]):
            used[edge] = used.get(edge, 0) + 1
    return sum(count != 1 or used.get(edge[::-1]) != 1 for edge, count in used.items())


def volume(faces):
    total = 0.0
    for (ax, ay, az), (bx, by, bz), (cx, cy, cz) in faces:
        total += ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
    return total / 6


def stated_extents():
    """The table `| model | x | y | z |` of the models' README: names of dimensions, or `-`."""
    text = (ROOT / MODELS / "README.md").read_text(encoding="utf-8")
    rows = {}
    for line in text.splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
        if len(cells) == 4 and cells[0].strip("`").endswith(".scad"):
            rows[cells[0].strip("`")] = [cell.strip("`") for cell in cells[1:]]
    return rows


def models(checks):
    folder = sample_copy(checks, "models")
    exported(checks, folder)
    shown = checks.json(folder, "show")
    values = shown_values(shown)
    cads = {part["cad"].rsplit("/", 1)[-1] for part in shown["parts"] if part.get("cad")}
    extents = stated_extents()
    checks.that(cads, "some part has a model")
    checks.equal(sorted(extents), sorted(cads), "the README lists the models that parts name")

    def render(model):
        out = folder / f"{model}.stl"
        return model, out, run_openscad(checks, out, folder / MODELS / model,
                                        "--export-format", "asciistl")

    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        rendered = list(pool.map(render, sorted(cads)))
    count = 0
    for model, out, done in rendered:
        lines = [line for line in done.stderr.splitlines() if "WARNING" in line or "ERROR" in line]
        made = done.returncode == 0 and out.is_file() and not lines
        if not checks.that(made, f"{model} renders without a warning", told(done)):
            continue
        faces = triangles(out.read_text(encoding="utf-8"))
        count += len(faces)
        left_open = open_edges(faces)
        checks.that(faces and left_open == 0, f"{model} is closed",
                    f"{left_open} of the edges of {len(faces)} triangles are not used once each way")
        checks.that(open_edges(faces[1:]) > 0, f"{model}: a triangle that is gone is noticed")
        faces = [tuple(tuple(map(float, corner)) for corner in face) for face in faces]
        checks.that(volume(faces) > 0, f"{model} has its outside outside")
        for axis, name in enumerate(extents.get(model, ())):
            if name == "-":
                continue
            wanted, unit = values.get(name, (None, None))
            at = [corner[axis] for face in faces for corner in face]
            found = max(at) - min(at)
            good = unit == "mm" and abs(found - wanted) <= 1e-4 * wanted
            checks.that(good, f"{model}: its extent along {'xyz'[axis]} is {name}",
                        f"found {found:.6g} mm, {name} is {wanted} {unit}")
    checks.say(f"{len(rendered)} models, {count} triangles")


if __name__ == "__main__":
    main("openscad", [sample, extremes, models])
