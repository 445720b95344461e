"""Imports against OpenSCAD: files of variables in the styles that people write are imported and
exported again, and OpenSCAD itself compares every variable of the first file with that of the second.

Every file says which of its lines must be left out; no other line may be, and each is named with a
reason. The files were written for this test.
"""

import csv
import shutil
import subprocess

from support import ROOT, Broken, main, told, write_design

REACHED = "all assertions hold"
TABLE = "again"

# Name of the file, its bytes, the lines that must be left out, what to put behind the file so that
# OpenSCAD reads it.
FILES = []


def file(name, text, left_out=(), behind="", encoding="utf-8"):
    FILES.append((name, text.encode(encoding), sorted(left_out), behind))


file("plain", """\
// Owl, face plate
width = 84;        // over all
height = 96.5;
wall = 2.4;
inner = width - 2*wall;
half_height=height/2;
rim = wall*1.5 + 0.2;
""")

file("sections", """\
/* [Head] */
// Width of the head in mm
head_width = 70; // [50:0.5:90]
// Roundness
head_round = 12.5; // [0:25]
/* [Jaw] */
jaw_open_angle = 24; // [0:30]
jaw_style = "wide"; // [wide, narrow, round]
with_teeth = true;
n_teeth = 14; // [4:2:20]
tooth_pitch = head_width * 0.8 / n_teeth;
/* [Hidden] */
$fn = 96;
eps = 0.01;
""", [13])

file("ternaries", """\
size = 3;
servo = "micro";
body = servo == "micro" ? 22.8 : servo == "standard" ? 40.5 : 55;
tall = size > 2 ? body*1.2 : body;
ear = max(6, body/4, min(tall, 9));
thick = (size >= 3 && body < 30) || false ? 2 : 3;
thin = !(size == 3) ? 1.2 : 0.8;
flag = size != 3;
""")

file("angles", """\
tilt = 17.5;
reach = 48;
gaze_angle = 35;
roll = 12; // degrees either way
drop = reach * sin(tilt);
ahead = reach * cos(tilt);
lean = atan2(drop, ahead) + gaze_angle;
slope = tan(gaze_angle);
back = asin(drop / reach);
sides = 8;
corner = 360 / sides;
across = 2 * reach * sin(corner / 2);
quarter = sin(90) + cos(180);
rest = 10 / tan(roll);
""")

file("powers", """\
a = 3; b = 4; c = 12;                 // three on a line
diagonal = sqrt(pow(a, 2) + b^2);
space = norm([a, b, c]);
area = a*b;
volume = a * b * c;
ring = PI * pow(a / 2, 2);
neg = -a^2;
tower = 2^3^2;
inverse = 1/c;
layers = ceil(c / 0.2);
steps = floor(c/5) + round(2.5);
near = round(diagonal * 1.3);
mixed = area + a;
""", [13])

file("vectors", """\
eye = [31, 12.5, -4];
screw = [3, 8];
stations = [0, 12, 25, 41];
eye_gap = 2 * eye[0] - 18;
eye_up = eye.y + 1;
last = stations[3];
grid = [[0, 0], [10, 0], [10, 12]];
ramp = [for (i = [0:4]) i * 2];
span = [0:2:10];
nothing = [];
shifted = eye + [1, 1, 1];
from_grid = grid[0] + 1;
count_of = len(stations);
""", [7, 8, 9, 10, 11, 12, 13])

file("shapes", """\
include <missing_hardware.scad>
use <missing/gears.scad>
plate = 4;
module brow(width = 30, lift = 2) {
  inner = width - 2;
  difference() { cube([width, plate, lift]); translate([1, 1, 0]) cube([inner, 1, 9]); }
}
function twice(x) = 2 * x;
two = twice(plate);
bolt = hardware_m3 + 0.2;
after = bolt + 1;
boss = plate * 2;
if (plate > 3) { echo("thick"); } else { echo("thin"); }
brow(width = boss);
translate([0, 0, plate]) brow();
echo(str("plate ", plate));
label = str("v", plate);
rest = let (q = plate) q * 2;
odd = 7 % 4;
gone = undef;
""", [1, 2, 4, 8, 9, 10, 11, 13, 14, 15, 16, 17, 18, 19, 20])

file("twice", """\
wall = 2;
depth = wall * 10;
wall = 3; // printed again, thicker
late = early + 1;
early = 5;
lip = 4;
lip = depth / 2;
lip2 = early - 1;
loop = loop + 1;
""", [1, 4, 6, 9])

file("names", """\
headWidth = 61;
JawDrop = headWidth / 4;
HTTPPort = 8;
_hidden = 3;
__deep_ = _hidden * 2;
2wide = 5;
Wall = 2;
wall = 1.5;
wall_2 = Wall + wall;
pi = 3;
X = 4;
longNameOfAVariableThatGoesOnAndOnUntilItIsLongerThanAnyNameMayEverBeHere = 7;
total = headWidth + JawDrop + _hidden + 2wide + Wall + wall + pi + X;
""")

file("crlf", """\
// Lower lip\r\n\
lip_w = 44.5; // mm, seen from the front\r\n\
/* a block\r\n   of two lines */\r\n\
lip_h = lip_w\r\n\
   * 0.25   // a quarter\r\n\
   - 1;\r\n\
lip_t = 1e0 + .5 + 2.; lip_u = lip_t /* between */ * 2;\r\n\
""")

file("latin", """\
// Maße der Schnauze
laenge = 52; // Länge über alles
neigung = 11; // 11° nach unten
name = "Dachs Größe 2";
fall = laenge * sin(neigung);
""", encoding="latin-1")

file("no_end", "\ufeffa = 5;\nb = a * 2", behind=";")

file("units", """\
stall = 2.5;        // A
supply = 6;         // V, from the pack
torque = 1.8;       // N·m
weight = 41;        // grams
bore = 0.125;       // in
pull = 9;           // kg.cm at 6 V
turn = 90;          // deg
gear_ratio = 3.5;
infill = 0.2;       // fraction of the volume
servos = 7;         // count
amps = stall * servos;
hot = stall / 0;
load = stall + wall_of;
""", [4, 5, 6, 12, 13])

file("broken_looks", """\
a = 1;b=2;;c = a+b ; // three
d = (a
  + b)
  * [c][0];
e = "semi; colon // no comment" ;
f = a > 0 ? b
  : c;
g = -(-a);
h = +b - -c;
i = a - (b - c) - (a / (b / c));
j = 2 * -a;
k = (a + b) * (c - a) / 2;
""", [2])


def openscad(checks, folder, lines):
    driver = folder / "driver.scad"
    driver.write_text("\n".join(lines) + f'\necho("{REACHED}");\n', encoding="utf-8")
    out = folder / "driver.echo"
    out.unlink(missing_ok=True)
    try:
        done = checks.run("openscad", "-o", out, driver, cwd=folder)
    except FileNotFoundError:
        raise Broken("there is no `openscad`; install it, for example with "
                     "`apt-get install openscad`") from None
    echoed = out.read_text(encoding="utf-8", errors="replace") if out.is_file() else ""
    return REACHED in echoed, done.stderr


def assertion(before, after):
    return (f"assert(is_num({before}) ? abs({before} - {after}) <= 1e-12 * max(abs({before}), 0.001) "
            f": {before} == {after} && {before} != undef);")


def imported(checks, name, data, more=""):
    folder = write_design(checks.folder(name), {}, more=more)
    (folder / f"{name}.scad").write_bytes(data)
    answer = checks.json(folder, "import", f"{name}.scad", "--table", TABLE)
    for words in (("check",), ("export", "--to", "openscad", "--file", "after.scad")):
        done = checks.setout(folder, *words)
        # A limit or a check may fail; nothing may be a fault.
        if not checks.that(done.returncode in (0, 1), f"{name}: {words[0]}", told(done)):
            raise Broken(f"{name} did not come so far")
    return folder, answer


def compare(checks, folder, name, data, answer, behind=""):
    """Every name that was taken has the same value in OpenSCAD before and after."""
    # OpenSCAD itself reads UTF-8 and no byte-order mark.
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    (folder / "before.scad").write_bytes((text + behind).encode())
    before = {new["to"]: new["from"] for new in answer["renamed"]}
    lines = [assertion(before.get(taken, taken), f"{TABLE}_{taken}") for taken in answer["names"]]
    # The import comes first, lest it is taken for what the file itself says.
    head = ["include <after.scad>", "include <before.scad>"]
    together, said = openscad(checks, folder, head + lines)
    if together:
        checks.passed += len(lines)
    else:
        for line in lines:
            good, said = openscad(checks, folder, [*head, line])
            checks.that(good, f"{name}: {line}", said)
        checks.that(False, f"{name}: all at once", said)
    first = answer["names"][0]
    noticed, _ = openscad(checks, folder, [*head, f"{TABLE}_{first} = -77.125;", lines[0]])
    checks.that(not noticed, f"{name}: a value that differs is noticed")
    return len(lines)


def styles(checks):
    count = refused = 0
    for name, data, left_out, behind in FILES:
        folder, answer = imported(checks, name, data)
        found = sorted({out["line"] for out in answer["left_out"]})
        checks.equal(found, left_out, f"{name}: the lines that are left out")
        checks.that(all(out["why"] and out["text"] for out in answer["left_out"]),
                    f"{name}: each with its text and why")
        checks.equal(answer["taken"], len(answer["names"]), f"{name}: as many as were taken")
        count += compare(checks, folder, name, data, answer, behind)
        refused += len(answer["left_out"])
    checks.say(f"{len(FILES)} files, {count} variables the same, {refused} left out with a reason")


def own(checks):
    """Our own export of the sample: every value comes back with its unit, vectors aside."""
    data = (ROOT / "examples/badger/dimensions.scad").read_bytes()
    folder, answer = imported(checks, "own", data, "currency: GBP\n")
    lines = [line for line in data.decode().splitlines() if " = " in line and line[0] != "/"]
    vectors = [line for line in lines if " = [" in line]
    checks.equal(answer["taken"], len(lines) - len(vectors), "own: every value but the vectors")
    checks.equal(answer["assumed"], [], "own: nothing is assumed")
    count = compare(checks, folder, "own", data, answer)
    units = {line.split(" = ")[0]: line.split("; // ")[1].split(",")[0] for line in lines}
    words = {"number": "", "text": None, "boolean": None}
    for shown in checks.json(folder, "show")["dimensions"]:
        name = shown["name"].removeprefix(f"{TABLE}.")
        unit = words.get(units[name], units[name])
        if unit is not None:
            checks.equal(shown["unit"], unit, f"own: the unit of {name}")
    checks.say(f"our own export: {count} variables")


def own_csv(checks):
    """The sample's CSV comes back whole: names, values, units, limits, tolerances and notes."""
    folder = checks.folder("own_csv")
    (folder / "params").mkdir()
    shutil.copy(ROOT / "params/design.yaml", folder / "params")
    source = ROOT / "examples/badger/dimensions.csv"
    answer = checks.json(folder, "import", source, "--table", TABLE)
    checks.equal(answer["left_out"], [], "CSV: nothing is left out")
    done = checks.setout(folder, "export", "--to", "csv", "--file", "after.csv")
    if not checks.that(done.returncode == 0, "CSV: exported again", told(done)):
        return

    def rows(path):
        with open(path, newline="", encoding="utf-8") as opened:
            found = [row for row in csv.DictReader(opened) if row["name"] != "fingerprint"]
        return {row.pop("name"): row for row in found if row.pop("kind")}

    before, after = rows(source), rows(folder / "after.csv")
    for name, row in before.items():
        again = f"{TABLE}.{name.replace('.', '_', 1)}"
        if "." in again.removeprefix(f"{TABLE}."):
            # A cell has nothing but its value.
            row = {key: row[key] for key in ("value", "unit")}
        found = after.get(again, {})
        checks.equal({key: found.get(key) for key in row}, row, f"CSV: {name}")
    checks.equal(len(after), len(before), "CSV: as many as before")
    checks.say(f"our own CSV: {len(before)} records")


def rubbish(checks):
    """Whatever stands in a file, there is an answer."""
    random = checks.random
    pieces = ["a", "b1", "=", ";", "(", ")", "[", "]", "{", "}", "?", ":", "1", ".5", "1e9", '"', "\\",
              "//", "/*", "*/", "\n", " ", "module", "function", "include <x>", "$fn", "é", "\x00",
              "-", "!", "^", "%", ",", "true", "sin", "max", "PI", "// deg\n", "// [0:5]\n", "&&"]
    count = 60
    folder = write_design(checks.folder("rubbish"), {})
    for number in range(count):
        data = "".join(random.choices(pieces, k=120)).encode()
        if number % 3 == 0:
            data = random.randbytes(300)
        (folder / "r.scad").write_bytes(data)
        try:
            done = checks.setout(folder, "import", "r.scad", "--to-stdout")
        except subprocess.TimeoutExpired:
            checks.that(False, "rubbish ends in time", repr(data))
            continue
        checks.that(done.returncode in (0, 2) and "panicked" not in done.stderr,
                    "rubbish is answered", f"{data!r}\n{told(done)}")
    checks.say(f"seed {checks.arguments.seed}: {count} files of rubbish")


if __name__ == "__main__":
    main("importing", [styles, own, own_csv, rubbish])
