"""One hostile design, and every answer of every command about it: nothing but text comes out.

The design says something hostile wherever a design, its repository or its files can say anything: names,
notes, reasons, texts, units, paths, authors, subjects, branches. Read by Python's csv, json and
ElementTree, by junitparser, fastjsonschema and markdown-it through `reviewing`, by OpenSCAD, and where
a format is C by gcc. A terminal is what is written to: no control character and nothing that turns the
direction of writing reaches it. Which commands and formats there are, the command itself is asked.
"""

import csv
import io
import json
import pathlib
import re
import xml.etree.ElementTree as ElementTree
import zipfile

import fastjsonschema
import yaml

import reviewing
from support import Broken, main, quoted, told, write_design

# Each would do something somewhere, were it obeyed. None holds what a table may not: control characters.
HOSTILE = [
    "%0A::error::owned", "=cmd|' /C touch pwned'!A0", "@SUM(1+1)*cmd|' /C calc'!A0", "+1+cmd|' /C calc'!A0", "-2+3+cmd|' /C calc'!A0",
    "$(touch pwned)", "`touch pwned`", "; touch pwned #", "| touch pwned", "*/ owned = 1; /*", "\"; owned = 1; //",
    "\\\" ; owned = 1; //", "// owned", "include <owned.scad>", "?>", "<script>alert(1)</script>",
    "<!-- x --><img src=x onerror=alert(1)>", "]]><owned/>", "&owned;", "<!ENTITY x SYSTEM 'file:///etc/passwd'>",
    "::error file=x::owned", "::set-output name=owned::1", "##[error]owned", "::stop-commands::owned",
    "| a | b |", "![x](https://evil.example/x.png)", "[x](javascript:alert(1))", "@everyone #1",
    "https://evil.example", "\u202egnp.exe", "\u2066owned\u2069", "\u200bowned", "\ufeffowned", "\u2028owned = 1;",
    "{{ owned }}", "${{ github.token }}", "%s%n%x", "\\x1b[31m", "\\n#define OWNED 1", "??/",
    "#define OWNED 1", "!!python/object/apply:os.system ['touch pwned']", "*owned", "&owned", "key: value", "- owned",
    "\u0651\u064d" * 20, "👩\u200d🔧", "a" * 3000,
]
# What a commit may say besides; a design may not.
RAW = ["\x1b]0;owned\x07", "\x1b[2J\x1b[1;31m", "\x9b31m", "\x08\x08", "\r::error::owned", "\x85owned"]

UNSEEN = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufffe\uffff]")
ORDER = re.compile(r"(^|\s)::[a-z-]+( [^:]*)?::|##\[", re.I | re.M)


def hostile(index):
    return HOSTILE[index % len(HOSTILE)]


def design(checks):
    """A repository of two revisions, with a hostile text in each place that takes one."""
    folder = checks.folder("hostile")
    git(checks, folder, 0, "init", "--quiet", "--initial-branch=a;touch${IFS}pwned")
    write(folder, "1 mm")
    commit(checks, folder, 0)
    for n, raw in enumerate(RAW + HOSTILE[:20], 1):
        write(folder, f"{n % 3 + 2} mm")
        commit(checks, folder, n, raw)
    git(checks, folder, 0, "branch", "$(touch-pwned)")
    write(folder, "2.5 mm")
    return folder


def write(folder, value):
    dimensions, checks_, parts = "", "", ""
    for n, text in enumerate(HOSTILE):
        dimensions += f"  d{n}: {{ value: a + {n} mm, max: 900 mm, tolerance: ±0.1 mm, note: {quoted(text)} }}\n"
        dimensions += f"  t{n}: {{ text: {quoted(text)}, one_of: [{quoted(text)}, x] }}\n"
        checks_ += f"  c{n}: {{ require: d{n} > 40 mm, why: {quoted(text)} }}\n"
        parts += f"  p{n}: {{ made: printed, material: {quoted(text)}, uses: [d{n}], note: {quoted(text)} }}\n"
    rows = "".join(f"      r{n}: [{n} mm, {quoted(text)}]\n" for n, text in enumerate(HOSTILE))
    table = (f"about: {quoted(' '.join(HOSTILE))}\ndimensions:\n  a: {value}\n"
             f"  turn: {{ value: 0 deg, travel: [0 deg, 9 deg] }}\n{dimensions}"
             f"schedules:\n  s:\n    about: {quoted(HOSTILE[5])}\n    columns: {{ c: mm, t: text }}\n    rows:\n{rows}"
             f"checks:\n{checks_}parts:\n{parts}")
    more = ("processes: { printed: { tolerance: ±0.2 mm } }\nexports:\n"
            "  - { format: csv, file: \"../out/$(touch pwned);'.csv\" }\n"
            "  - { format: openscad, file: ../out/x.scad }\n")
    write_design(folder, {"t": table}, name=quoted(" ".join(HOSTILE[:30])), more=more)


def git(checks, folder, author, *words):
    name = (RAW + HOSTILE)[author].replace("<", "").replace(">", "").replace("\n", " ")
    return reviewing.git(checks, folder, "-c", f"user.name=A {name}", *words)


def commit(checks, folder, author, message="begin"):
    git(checks, folder, author, "add", "--all")
    git(checks, folder, author, "-c", "core.commentChar=;", "commit", "--quiet", "--allow-empty", "--cleanup=verbatim",
        "-m", message)


def calls():
    """Words by command; every command of the program is among them, as `every_command` looks."""
    return {
        "check": [(), ("--all",), ("--independent",), ("--at", "rest")],
        "sweep": [("t.c1",), ("t.d1", "--worst")],
        "stack": [("t.c1",), ("t.d1",)],
        "headroom": [(), ("t.a",), ("--for", "t.c1")],
        "show": [(), ("t.d1",), ("t.t1",), ("t.s",), ("t.p1",), ("t",)],
        "trace": [("t.d1",), ("t.a", "--reverse"), ("t.t3",)],
        "impact": [("t.a=9mm",), ("t.a",), ("t.t1=x",)],
        "set": [("t.a", "2.75 mm"), ("t.d3", "--note", HOSTILE[8])],
        "rename": [("t.d2", "dd2"), ("t.dd2", "d2")],
        "diff": [(), ("HEAD~1", "HEAD"), ("HEAD~5",), ("$(touch-pwned)",)],
        "history": [("t.d1",), ("t.c1",), ("t.t1",)],
        "since": [("t.c1",), ("t.d1",)],
        "merge": [("--preview", "$(touch-pwned)"), ("--verify",)],
        "export": [("--verify",), (), ("--force",)],
        "import": [("owned.scad",), ("owned.csv",)],
        "schema": [(), ("design",)],
        "release": [("--although-failing",)],
        "new": [("elsewhere",)],
    }


def commands(checks):
    """Each command that there is, with the formats that it takes."""
    listed = checks.run(checks.setout_path, "--help").stdout
    section = listed.split("Commands:\n")[1].split("\n\n")[0]
    return re.findall(r"^  ([a-z]+) ", section, re.M)


FORMS = ["text", "json", "markdown", "sarif", "annotations", "junit"]


def every_answer(checks):
    folder = design(checks)
    (folder / "owned.scad").write_text("".join(
        f"x{n} = {n}; // {text}\n" for n, text in enumerate(HOSTILE) if "\u2028" not in text), encoding="utf-8")
    with open(folder / "owned.csv", "w", encoding="utf-8", newline="") as file:
        rows = [["name", "value", "unit", "note"], *([f"n{n}", str(n), "mm", text] for n, text in enumerate(HOSTILE))]
        csv.writer(file).writerows(rows)
    known = calls()
    checks.equal(sorted(known), sorted(commands(checks)), "every command is called")
    counted = dict.fromkeys(FORMS, 0)
    for command, all_words in known.items():
        for words in all_words:
            for form in FORMS:
                for more in ([], ["--color", "always"]) if form == "text" else ([],):
                    done = checks.setout(folder, command, *words, *more, "--format", form)
                    what = f"{command} {' '.join(words)[:40]} as {form}"
                    if form not in ("text", "json") and done.returncode == 2 and "bad-call" in done.stderr:
                        continue  # this command has no such answer
                    if "unexpected argument" in done.stderr or done.returncode not in (0, 1, 2):
                        raise Broken(f"{what}\n{told(done)}")
                    counted[form] += 1
                    judge(checks, form, done, what, coloured=bool(more), command=command)
    checks.that(min(counted.values()) >= 2, "every format was seen", counted)
    checks.say(f"answers by format: {counted}")
    pwned = [path for path in [*folder.rglob("*"), *checks.place.glob("*")] if path.name == "pwned"]
    checks.equal(pwned, [], "nothing was run")


SCHEMA = None


def judge(checks, form, done, what, coloured, command):
    text = done.stdout
    if form == "text" or done.stderr:
        plain = done.stdout + done.stderr if form == "text" else done.stderr
        if coloured:
            plain = re.sub(r"\x1b\[[0-9;]*m", "", plain)
        # The texts of files are shown as they are: what is drawn around them is ours.
        found = UNSEEN.search(plain)
        checks.that(not found, f"{what}: nothing unseen", found and repr(plain[max(0, found.start() - 60):][:120]))
        order = ORDER.search(plain)
        checks.that(not order, f"{what}: no order to a runner", order and repr(plain[max(0, order.start() - 60):][:120]))
    if form in ("json", "sarif"):
        answer = json.loads(text)
        found = UNSEEN.search(text)
        checks.that(isinstance(answer, dict) and not found, f"{what}: one document, nothing unseen",
                    found and repr(text[max(0, found.start() - 60):][:120]))
    if form == "sarif":
        global SCHEMA
        SCHEMA = SCHEMA or fastjsonschema.compile(json.loads(reviewing.SCHEMA.read_text(encoding="utf-8")))
        SCHEMA(json.loads(text))
        checks.that(True, what)
    elif form == "junit":
        root = ElementTree.fromstring(text.encode())
        known = {"testsuites", "testsuite", "testcase", "failure", "error", "system-out"}
        checks.equal({element.tag for element in root.iter()} - known, set(), f"{what}: elements")
        checks.that("<!" not in text.replace("<![CDATA[", ""), f"{what}: declares nothing")
    elif form == "markdown":
        reviewing.judge_markdown(checks, text, what, {2, 3, 4, 5})
    elif form == "annotations":
        others = [line for line in text.splitlines() if not line.startswith("::")]
        counted = all(re.fullmatch(r"[A-Za-z0-9 ,;.:']*\.", line) for line in others)
        checks.that(counted and len(others) <= 2, f"{what}: one line an annotation, and a count", others[:3])
        for _, properties, message in reviewing.annotations_in(checks, text, what):
            checks.that(reviewing.quiet(message), f"{what}: quiet", repr(message))
            checks.that("\n::" not in message, f"{what}: what looks escaped is text", repr(message))


# --- files

def exported_files(checks):
    folder = checks.folder("exported")
    write(folder, "1 mm")
    done = checks.setout(folder, "export")
    checks.equal(done.returncode, 0, "the export")
    asked = checks.setout(folder, "export", "--stdout", "none")
    formats = re.search(r"the formats are (.*)", asked.stderr)[1].split(", ")
    checks.that(set(formats) >= {"csv", "openscad"}, "all formats", formats)
    for form in formats:
        text = checks.setout(folder, "export", "--stdout", form).stdout
        checks.that(text, f"an export as {form}")
        unseen = UNSEEN.search(text.replace("\r\n", "\n"))
        if form == "csv":
            in_a_spreadsheet(checks, text)
        else:
            checks.that(not unseen, f"{form}: nothing unseen", unseen and repr(text[max(0, unseen.start() - 60):][:120]))
        if form == "openscad":
            in_openscad(checks, folder)
        elif form in ("c", "header"):
            in_c(checks, folder, text)
    checks.say(f"exports as {', '.join(formats)}")


def in_a_spreadsheet(checks, text):
    """No cell that a spreadsheet computes, by the OWASP's list of first characters."""
    width = None
    for row in csv.reader(io.StringIO(text)):
        if row and row[0].startswith("#"):
            continue
        width = width or len(row)
        checks.equal(len(row), width, "as many cells in each row")
        for cell in row:
            computed = re.match(r"[=+\-@\t\r]", cell) and not re.fullmatch(r"[+-]?[\d.]+(e[+-]?\d+)?", cell)
            checks.that(not computed, "no cell is computed", repr(cell[:80]))


def in_openscad(checks, folder):
    """Only our variables, and no word of OpenSCAD's own that does anything."""
    text = (folder / "out/x.scad").read_text(encoding="utf-8")
    for line in text.splitlines():
        fine = line == "" or line.startswith("//") or re.fullmatch(
            r'[a-z_0-9]+ = (-?[\d.e+-]+|"(?:[^"\\]|\\.)*"|\[.*\]|true|false); // .*', line)
        checks.that(fine, "a comment or one assignment", repr(line[:200]))
    driver = folder / "driver.scad"
    driver.write_text('include <out/x.scad>\necho(owned=owned);\necho("reached", t_t0);\n', encoding="utf-8")
    done = checks.run("openscad", "-o", folder / "out.echo", driver)
    said = (folder / "out.echo").read_text(encoding="utf-8")
    checks.that("owned = undef" in said and "reached" in said, "OpenSCAD reads values and nothing else",
                said + done.stderr[:1500])
    checks.that("Can't open include" not in done.stderr, "and includes nothing", done.stderr[:1500])


def in_c(checks, folder, text):
    (folder / "x.h").write_text(text, encoding="utf-8")
    (folder / "x.c").write_text('#include "x.h"\n#ifdef OWNED\n#error owned\n#endif\nint owned;\nint main(void) { return 0; }\n')
    done = checks.run("gcc", "-std=c99", "-Wall", "-Werror", "-trigraphs", "-o", folder / "x", folder / "x.c")
    checks.equal(done.returncode, 0, "a C compiler reads values and nothing else: " + done.stderr[:500])


def bundles(checks):
    """A release of the hostile design: names without ways out, records that are data."""
    folder = checks.folder("released")
    git(checks, folder, 0, "init", "--quiet", "--initial-branch=main")
    write(folder, "1 mm")
    commit(checks, folder, 3)
    checks.equal(checks.setout(folder, "export").returncode, 0, "an export")
    commit(checks, folder, 3)
    done = checks.setout(folder, "release", "--although-failing", "--note", HOSTILE[14], "--note", HOSTILE[19])
    if not checks.equal(done.returncode, 0, "a release"):
        raise Broken(told(done))
    packed = [path for path in folder.rglob("*.zip")]
    checks.equal(len(packed), 1, "one bundle")
    with zipfile.ZipFile(packed[0]) as bundle:
        for info in bundle.infolist():
            parts = pathlib.PurePosixPath(info.filename).parts
            fine = not info.filename.startswith("/") and ".." not in parts and "\\" not in info.filename
            checks.that(fine and info.external_attr >> 16 & 0o170000 in (0, 0o100000), "a plain file inside", info)
            content = bundle.read(info)
            if info.filename.endswith((".yaml", ".yml")) and "params/" not in info.filename:
                yaml.safe_load(content)
            if info.filename.endswith(".csv"):
                in_a_spreadsheet(checks, content.decode())
            if info.filename.endswith(".txt"):
                found = UNSEEN.search(content.decode())
                checks.that(not found, f"{info.filename}: nothing unseen", found and repr(content.decode()[found.start() - 60:][:120]))


def faults_of_names(checks):
    """What is hostile in the names of files and of things is told, and not obeyed."""
    names = [text for text in HOSTILE + RAW if "/" not in text and "\0" not in text and len(text.encode()) < 200]
    folder = checks.folder("names")
    write_design(folder, {"t": "dimensions:\n" + "".join(
        f"  {quoted(text)}: {quoted(text)}\n" for text in HOSTILE if text != "a" * 3000)})
    for name in names:
        (folder / "params" / f"{name}.yaml").write_text("dimensions: { a: 1 mm }\n", encoding="utf-8")
    for form in FORMS:
        done = checks.setout(folder, "check", "--format", form)
        checks.equal(done.returncode, 2, f"hostile names as {form}")
        judge(checks, form, done, f"hostile names as {form}", False, "check")
    for words in [("show", name) for name in names] + [("set", name, name) for name in names] + [
            ("-C", name, "check") for name in names] + [("export", "--to", name, "--file", name) for name in names[:20]]:
        done = checks.run(checks.setout_path, *(("-C", folder) if words[0] != "-C" else ()), *words)
        checks.equal(done.returncode, 2, f"{words}")
        judge(checks, "text", done, f"typed: {words[0]} {words[1][:30]!r}", False, words[0])


if __name__ == "__main__":
    main("inert", [every_answer, exported_files, bundles, faults_of_names])
