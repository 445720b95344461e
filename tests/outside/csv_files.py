"""Exported CSV, read back by Python's `csv` module.

Sources: RFC 4180; csv-spectrum 2.0.0 (npm, BSD-2-Clause) for cells that CSV readers have stumbled
over. Its case `location_coordinates` is left out: it is not UTF-8.

(A script named `csv.py` would stand in the way of the module that it tests.)
"""

import csv
import io
import json
import pathlib
import re
import shutil

from support import ROOT, Broken, main, quoted, shown_values, write_design

HEADER = ["name", "kind", "value", "unit", "min", "max", "tolerance", "note"]
NOT_UTF8 = "location_coordinates"
TABLES = "dimensions:\n"

# What a spreadsheet program takes for a formula, and texts that look guarded already.
HOSTILE = ["=1+1", "+1", "-1", "@sum(a)", "'=1+1", "''-2", "'plain", "\t=1", "a=1", "=", "-",
           '=HYPERLINK("http://example.org","x")', "-5 mm, loose", "\r=2"]


def unguarded(cell):
    """The cell without the apostrophe that keeps spreadsheet programs from computing it."""
    return cell[1:] if re.match(r"'+[-=+@\t\r]", cell) else cell


def export(checks, folder):
    """The CSV that the design in `folder` exports, as Python reads it: records by name."""
    done = checks.setout(folder, "export", "--to", "csv", "--file", "out.csv")
    if done.returncode != 0:
        raise Broken(f"setout export: status {done.returncode}\n{done.stdout}{done.stderr}")
    return read(checks, (folder / "out.csv").read_bytes())


def read(checks, data):
    text = data.decode("utf-8")
    checks.that(not text.startswith("\ufeff"), "no byte-order mark")
    records = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    checks.equal(records[0], HEADER, "the first record")
    checks.that(all(len(record) == len(HEADER) for record in records), "records of one length")
    checks.that(text.endswith("\r\n"), "the last line is ended")
    outside = re.sub(r'"(?:[^"]|"")*"', "", text)
    checks.equal(outside.count("\r\n"), len(records), "every record ends in CR LF")
    checks.that("\n" not in outside.replace("\r\n", ""), "no bare line end outside quotes")
    checks.equal(records[1][0], "fingerprint", "the second record")
    found = {record[0]: dict(zip(HEADER, record)) for record in records[2:]}
    checks.equal(len(found), len(records) - 2, "every name once")
    return found


def number(cell):
    return float(cell) if cell else None


def same(cell, value):
    """Whether a cell holds a value of `show`."""
    if isinstance(value, bool):
        return cell == str(value).lower()
    if isinstance(value, str):
        return unguarded(cell) == value
    return value is not None and float(cell) == value


def sample(checks):
    folder = checks.folder("sample")
    for part in ("params", "examples"):
        shutil.copytree(ROOT / part, folder / part)
    shown = checks.json(folder, "show")
    records = export(checks, folder)
    wanted = shown_values(shown)
    checks.equal(sorted(records), sorted(wanted), "every dimension and cell, and nothing else")
    for name, (value, unit) in wanted.items():
        record = records.get(name)
        if record is None:
            continue
        good = same(record["value"], value) and unguarded(record["unit"]) == (unit or "")
        checks.that(good, f"the value of {name}", f"{record}\n    {value!r} {unit}")
    for dimension in shown["dimensions"]:
        record = records.get(dimension["name"])
        if record is None:
            continue
        checks.equal(record["kind"], dimension["kind"], f"the kind of {dimension['name']}")
        ends = [number(record["min"]), number(record["max"])]
        checks.equal(ends, [dimension.get("min"), dimension.get("max")],
                     f"the limits of {dimension['name']}")
        for key in ("tolerance", "note"):
            checks.equal(unguarded(record[key]), dimension.get(key) or "",
                         f"the {key} of {dimension['name']}")
    checks.say(f"the sample: {len(records)} dimensions and cells")


def texts(checks, name, cells):
    """Each text in a dimension of its own, exported and read back."""
    for text in (text for text in cells if "\r" in text):
        # Invisible characters but tab and line end are no part of a design's texts.
        folder = write_design(checks.folder(f"{name}{cells.index(text)}"),
                              {"t": f"{TABLES}  d: {{ text: {quoted(text)} }}\n"})
        faults = checks.json(folder, "show", status=(2,))["faults"]
        checks.equal([fault["fault"] for fault in faults], ["yaml"], f"{name}: {text!r} is refused")
    cells = [text for text in cells if "\r" not in text]
    lines = [f"  d{index}: {{ text: {quoted(text)} }}\n" for index, text in enumerate(cells)]
    folder = write_design(checks.folder(name), {"t": TABLES + "".join(lines)})
    records = export(checks, folder)
    checks.equal(len(records), len(cells), f"{name}: as many records as texts")
    for index, text in enumerate(cells):
        found = records.get(f"t.d{index}", {}).get("value", "")
        checks.equal(unguarded(found), text, f"{name}: {text!r}")
        begins = found.startswith(("=", "+", "-", "@", "\t", "\r"))
        checks.that(not begins, f"{name}: {text!r} is no formula to a spreadsheet program")


def hostile(checks):
    texts(checks, "hostile", HOSTILE)
    checks.say(f"{len(HOSTILE)} texts that spreadsheet programs might compute")


def spectrum(checks):
    package = pathlib.Path(checks.arguments.spectrum)
    cases = sorted((package / "json").glob("*.json"))
    if not cases:
        raise Broken(f"csv-spectrum is not in {package}; fetch it with `npm ci --prefix .tools/npm` "
                     "as tests/run does, or name its folder with --spectrum PATH")
    cases = [case for case in cases if case.stem != NOT_UTF8]
    total = 0
    for case in cases:
        rows = json.loads(case.read_text(encoding="utf-8"))
        rows = rows if isinstance(rows, list) else [rows]
        theirs = list(csv.reader(io.StringIO(
            (package / "csvs" / f"{case.stem}.csv").read_bytes().decode("utf-8"), newline="")))
        cells = [text for row in rows for pair in row.items() for text in pair]
        # A text must say something; the package's empty cells have no dimension to stand in.
        cells = list(dict.fromkeys(text for text in cells if text))
        in_csv = {text for row in theirs for text in row}
        checks.that(set(cells) <= in_csv, f"{case.stem}: the package's two forms agree")
        texts(checks, case.stem, cells)
        total += len(cells)
    checks.that(len(cases) >= 11, "csv-spectrum has its cases", str(len(cases)))
    checks.say(f"csv-spectrum: {len(cases)} cases, {total} different cells")


if __name__ == "__main__":
    place = ROOT / ".tools/npm/node_modules/csv-spectrum"
    main("csv_files", [sample, hostile, spectrum],
         [(["--spectrum"], {"default": str(place), "help": "the folder of csv-spectrum"})])
