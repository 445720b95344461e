"""Bad designs whose harm is in their text: those of a line or two, and those grown by a rule.

A case is a name, the slug of a fault that it must give, the file and the line where that stands (a
line of None: anywhere in the file), and the files of the design. None of them names a file that is
out of the ordinary; those stand in attacks_files.py.
"""

import functools

COMMON = b"setout: 1\nname: an attack\n"


class Case:
    """One bad design. `files` gives its files when they are wanted: some are large. `slug` is one slug,
    or several of which one will do, or None for any."""

    # How many times as long as others it may take, in how much memory, and whether it is a fault of no file.
    slow = 1
    memory = 200 << 20
    nowhere = False

    def __init__(self, name, slug, files, file="params/t.yaml", line=None, words=("check",)):
        self.name = name
        self.slug = slug
        self.file = file
        self.line = line
        self.words = words
        self._files = files

    def files(self):
        return self._files() if callable(self._files) else self._files

    def write(self, folder):
        for path, content in self.files().items():
            full = folder / path
            full.parent.mkdir(parents=True, exist_ok=True)
            full.write_bytes(content.encode() if isinstance(content, str) else content)


def table(text, common=COMMON):
    return {"params/design.yaml": common, "params/t.yaml": text}


# --- a line or two, each a thing that some reader of YAML or of formulas does silently

# The formula of a dimension `a` that stands in line 2.
FORMULAS = {
    "bad-formula": [
        "1 mm; 2 mm", "a = 2", "$(touch pwned)", "1 +", "(1 mm", "1 mm)", "()",
        "1 mm 2 mm", "1,5 mm", "..", ".", "1 // 2", "1 /* */ 2",
        "1 <> 2", "1 => 2", "1 && ", "~1", "1 << 3", "1 >> 3", "a[0]", "a{0}", "x -> y", "\\",
        "1 < 2 < 3", "1 == 1 == 1", "−1 mm", "1 × 2", "١ mm", "１ mm", "1\u00a0mm", "1\u200bmm",
        "1\u202e mm", "\u202e1 mm", "1 mm\u2028", "п", "аrm", "e\u0301", "𝟏 mm", "½ mm", "2² mm", "🦡",
        "1/2 mm", "1..2 mm", "1.2.3 mm", ".5 mm", "5. mm",
        "1_000 mm", "min()", "1 mm^99", "1 mm^-99", "1 mm^0",
        "1 mm^99999999999999999999", "1 ℓy", "math::exp(1)",
    ],
    "too-large": [
        "9" * 400 + " mm", "1e400 mm", "1 mm^-12 * 1e400 / 0", "9e99999999999999999999 mm", "1" + "0" * 4000 + " mm",
        "-" * 70 + "1 mm", "'" + "!" * 70 + "true'", "(" * 70 + "1" + ")" * 70, "abs(" * 70 + "1" + ")" * 70,
        "2" + "^2" * 70, "1 mm" + " + 1 mm" * 700, "2^" + "(" * 65 + "1" + ")" * 65,
        "if(true, " * 70 + "1" + ", 1)" * 70, "x" * 5000,
    ],
    "domain": [
        "1/0", "0/0", "1 mm / 0", "0^-1", "0^(-1)", "sqrt(-1)", "sqrt(0 mm^2 - 1 mm^2)", "ln(0)", "ln(-1)",
        "log10(0)", "acos(2)", "asin(-2)", "10^400", "(1e300)^2", "1e300 * 1e300", "exp(1000)",
        "tan(90 deg)", "(-8)^(1/3)", "(-1)^0.5", "1e-300 / 1e300 / 0", "round(1 mm, 0 mm)", "four_bar_output(1 mm, 1 mm, 1 mm, 100 mm, 0 deg, \"open\")",
        "slider_crank(10 mm, 1 mm, 0 mm, 90 deg, \"open\")", "1e308 * 10", "-1e308 * 10", "exp(exp(exp(9)))",
        "clearance_hole(\"M999\")", "it_grade(\"IT99\", 5 mm)", "limit_upper(\"H7\", -1 mm)",
        "limit_upper(\"H7\", 1e300 mm)", "atan2(0, 0)", "2^2000",
    ],
    "unit-mismatch": [
        "1 mm + 1 deg", "1 mm + 1", "sin(1 mm)", "1 mm < 1", "if(1, 2, 3)", "if(true, 1 mm, 1)",
        "2^(1 mm)", "(1 mm)^(1 mm)", "'!1'", "1 && 2", "-true", "1 + true", "1 + \"M4\"", "25 °C + 25 °C",
        "2 * 25 °C", "exp(1 mm)", "min(1 mm, 1 deg)", "hypot(1 mm, 1 g)", "1 rad + 1", "(\"a\" < \"b\")",
        "abs(\"x\")",
    ],
    "unknown-unit": [
        "1 parsec", "1 mm/a", "1 MM", "1 Mm2x", "0x10 mm", "0b1 mm", "1e mm", "1e+ mm", "1 mmm",
    ],
    "unknown-name": [
        "b", "a.b.c.d.e", "1 m-m", "'M4'", "b.c", "t.b", "nan", "inf", "infinity", "NaN", "__proto__", "constructor", "M4", "true_",
        "design.secret", "design.path", "env.HOME", "self", "PATH", "e", "i", "a_" * 20,
    ],
    "unknown-function": [
        "system(\"touch pwned\")", "exec(1)", "eval(\"1\")", "open(\"/etc/passwd\")", "import(\"x\")",
        "read(\"/etc/passwd\")", "env(\"HOME\")", "now()", "random()", "rand(1)", "include(\"x\")", "pow(2, 3)",
        "a(1)", "SIN(1 deg)",
    ],
    "cycle": ["a", "a + 0 mm", "if(true, 1 mm, a)", "0 * a", "t.a"],
    "bad-value": ["", "~", "null", "010", "1e3", "1:30", "2026-01-01", "no", "yes", "on", "1e309", ".inf", "-.inf",
                  ".nan", "1_000", "[1, 2]", "{}", "[]", "{ b: 1 }"],
    "yaml": ["!!python/object/apply:os.system [touch]", "!x 1 mm", "&a 1 mm", "*a", "@a", "`a`", "%a",
             "[1, 2", "{ b: 1", "\"1 mm", "'1 mm", "\"\\q\"", "|2x", "? b", "- b", "1: 2: 3", "\"\\x00\"", "1 #2",
             "!<tag:yaml.org,2002:binary> aaaa", "&a [*a]",
             "`touch pwned`", "!", "&&", "!" * 70 + "true", "\"M4\" + 1"],
}


def formulas():
    for slug, all_of in FORMULAS.items():
        for index, text in enumerate(all_of):
            yield Case(f"formula/{slug}/{index}", slug, table(f"dimensions:\n  a: {text}\n"), line=2)


# The keys of a table and what stands behind them: slug, line, text.
TABLES = [
    ("bad-value", 1, "just a text\n"),
    ("bad-value", 1, "- a list\n- of things\n"),
    ("bad-value", 1, "dimensions: 5\n"),
    ("bad-value", 1, "dimensions: [a, b]\n"),
    ("unknown-key", 1, "include: ../../etc/passwd\n"),
    ("unknown-key", 1, "exec: touch pwned\n"),
    ("unknown-key", 1, "__proto__: { a: 1 }\n"),
    ("unknown-key", 3, "dimensions:\n  a: 1 mm\nDimensions: {}\n"),
    ("unknown-key", 2, "dimensions:\n  a: { value: 1 mm, run: touch pwned }\n"),
    ("unknown-key", 2, "dimensions:\n  a: { value: 1 mm, tolerence: 1 mm }\n"),
    ("duplicate-name", 3, "dimensions:\n  a: 1 mm\n  a: 2 mm\n"),
    ("duplicate-name", 3, "dimensions:\n  a: 1 mm\n  \"a\": 2 mm\n"),
    ("duplicate-name", 3, "dimensions:\n  a: 1 mm\n  \"\\x61\": 2 mm\n"),
    ("duplicate-name", 3, "dimensions: { a: 1 mm }\nchecks:\n  a: { require: 1 mm > 0 mm, why: x }\n"),
    ("duplicate-name", 2, "dimensions: {}\ndimensions: {}\n"),
    ("duplicate-name", 2, "dimensions:\n  a: { value: 1 mm, value: 2 mm }\n"),
    ("yaml", 3, "dimensions:\n  a: &x 1 mm\n  b: *x\n"),
    ("yaml", 2, "dimensions:\n  <<: { a: 1 mm }\n"),
    ("yaml", 2, "dimensions:\n  a: !!str 1 mm\n"),
    ("yaml", 1, "%YAML 1.2\n---\ndimensions: {}\n"),
    ("yaml", 1, "%TAG ! tag:evil.example,2026:\n---\ndimensions: {}\n"),
    ("yaml", None, "dimensions: {}\n---\ndimensions: {}\n"),
    ("yaml", None, "dimensions: {}\n...\ndimensions: {}\n"),
    ("yaml", 2, "dimensions:\n\ta: 1 mm\n"),
    ("yaml", 2, "dimensions:\n  ? a\n  : 1 mm\n"),
    ("yaml", 2, "dimensions:\n  [a]: 1 mm\n"),
    ("yaml", 2, "dimensions:\n  { a: b }: 1 mm\n"),
    ("yaml", 1, "dimensions: { a: 1 mm\n"),
    ("yaml", 1, "dimensions: }\n"),
    ("yaml", 3, "dimensions:\n  a: 1 mm\n<<<<<<< ours\n  b: 1 mm\n=======\n  b: 2 mm\n>>>>>>> theirs\n"),
    ("yaml", 2, "dimensions:\n  a: 1 mm\x00\n"),
    ("yaml", 2, "dimensions:\n  a: 1 mm\x07\n"),
    ("yaml", 2, "dimensions:\n  a: \x1b[31m1 mm\n"),
    ("yaml", 2, "dimensions:\n  a: 1 mm \x7f\n"),
    ("bad-name", 2, "dimensions:\n  A: 1 mm\n"),
    ("bad-name", 2, "dimensions:\n  1a: 1 mm\n"),
    ("bad-name", 2, "dimensions:\n  a-b: 1 mm\n"),
    ("bad-name", 2, "dimensions:\n  ä: 1 mm\n"),
    ("bad-name", 2, "dimensions:\n  \"a b\": 1 mm\n"),
    ("yaml", 2, "dimensions:\n  '': 1 mm\n"),
    ("bad-name", 2, "dimensions:\n  \"a\\nb\": 1 mm\n"),
    ("bad-name", 2, "dimensions:\n  \"a;b\": 1 mm\n"),
    ("bad-name", 2, "dimensions:\n  \"a\u202eb\": 1 mm\n"),
    ("bad-name", 2, "dimensions:\n  true: 1 mm\n"),
    ("bad-name", 2, "dimensions:\n  pi: 1 mm\n"),
    ("bad-name", 2, f"dimensions:\n  {'a' * 65}: 1 mm\n"),
    ("yaml", 2, f"dimensions:\n  {'a' * 100_000}: 1 mm\n"),
    ("bad-name", 2, "dimensions:\n  а: 1 mm\n"),
    ("bad-name", 2, "dimensions:\n  ../../x: 1 mm\n"),
    ("bad-name", 2, "dimensions:\n  \"=cmd|' /C calc'!A0\": 1 mm\n"),
    ("bad-limits", 2, "dimensions:\n  a: { value: 1 mm, min: 3 mm, max: 2 mm }\n"),
    ("bad-limits", 2, "dimensions:\n  a: { value: 1 deg, travel: [5 deg, 0 deg] }\n"),
    ("unknown-name", 2, "dimensions:\n  a: { value: 1 mm, max: missing }\n"),
    ("unknown-name", 2, "dimensions:\n  a: { value: 1 mm, min: missing.too }\n"),
    ("unit-mismatch", 2, "dimensions:\n  a: { value: 1 mm, min: 1 deg }\n"),
    ("unit-mismatch", 2, "dimensions:\n  a: { value: 1 mm, unit: deg }\n"),
    ("unit-mismatch", 2, "dimensions:\n  a: { value: 1 mm, tolerance: ±1 deg }\n"),
    ("unknown-unit", 2, "dimensions:\n  a: { value: 1 mm, unit: ../mm }\n"),
    ("bad-value", 2, "dimensions:\n  a: { value: 1 mm, travel: 5 }\n"),
    ("bad-value", 2, "dimensions:\n  a: { value: 1 mm, text: M4 }\n"),
    ("bad-choice", 2, "dimensions:\n  a: { text: M5, one_of: [M3, M4] }\n"),
    ("unknown-name", 2, "dimensions:\n  a: { value: 1 mm, tolerance: nothing }\n"),
    ("domain", 2, "dimensions:\n  a: { value: 1 mm, max: 1 mm / 0 }\n"),
    ("domain", 3, "schedules:\n  s: { columns: { c: count },\n    rows: { r: [1.5] } }\n"),
    ("unit-mismatch", 3, "schedules:\n  s: { columns: { c: A },\n    rows: { r: [1 mm] } }\n"),
    ("bad-value", 3, "schedules:\n  s: { columns: { c: A },\n    rows: { r: [] } }\n"),
    ("bad-value", 3, "schedules:\n  s: { columns: { c: A },\n    rows: { r: [1 A, 2 A] } }\n"),
    ("duplicate-name", 3, "schedules:\n  s: { columns: { c: A },\n    rows: { r: [1 A], r: [2 A] } }\n"),
    ("duplicate-name", 2, "schedules:\n  s: { columns: { c: A, c: V }, rows: { r: [1 A, 1 V] } }\n"),
    ("unknown-unit", 2, "schedules:\n  s: { columns: { c: furlong }, rows: { r: [1] } }\n"),
    ("unit-mismatch", 2, "checks:\n  c: { require: 1 mm, why: x }\n"),
    ("bad-value", 2, "checks:\n  c: { why: x }\n"),
    ("unknown-name", 2, "checks:\n  c: { require: gone > 0 mm, why: x }\n"),
    ("cycle", None, "dimensions:\n  a: p.cost\nparts:\n  p: { made: bought, cost: a }\n"),
    ("cycle", None, "dimensions:\n  a: design.cost\nparts:\n  p: { made: bought, cost: a }\n"),
    ("unknown-name", 2, "parts:\n  p: { made: conjured }\n"),
    ("unknown-name", 2, "parts:\n  p: { made: bought, uses: [gone] }\n"),
    ("domain", 2, "parts:\n  p: { made: bought, quantity: -1 }\n"),
]


def hand_written():
    for index, (slug, line, text) in enumerate(TABLES):
        yield Case(f"table/{slug}/{index}", slug, table(text), line=line)
    for index, (slug, line, text) in enumerate(COMMONS):
        files = {"params/design.yaml": text, "params/t.yaml": "dimensions: { a: 1 mm }\n"}
        yield Case(f"design.yaml/{slug}/{index}", slug, files, "params/design.yaml", line)


# What may stand wrong in design.yaml.
COMMONS = [
    ("bad-value", 1, ""),
    ("bad-value", 1, "\n\n"),
    ("bad-value", 1, "# nothing\n"),
    ("bad-value", 1, "setout: 2\nname: x\n"),
    ("bad-value", 1, "setout: 1e3\nname: x\n"),
    ("bad-value", 1, "setout: 99999999999999999999999\nname: x\n"),
    ("bad-value", 1, "setout: -1\nname: x\n"),
    ("bad-value", None, "name: x\n"),
    ("unknown-key", 3, "setout: 1\nname: x\nrun: touch pwned\n"),
    ("unknown-key", 3, "setout: 1\nname: x\nhooks: { post: touch pwned }\n"),
    ("unknown-key", 3, "setout: 1\nname: x\ninclude: [../other]\n"),
    ("bad-choice", 3, "setout: 1\nname: x\nexports: [{ format: shell, file: x.sh }]\n"),
    ("unsafe-path", 3, "setout: 1\nname: x\nexports: [{ format: csv, file: /etc/cron.d/x.csv }]\n"),
    ("unsafe-path", 3, "setout: 1\nname: x\nexports: [{ format: csv, file: ../../x.csv }]\n"),
    ("duplicate-name", 2, "setout: 1\nsetout: 1\nname: x\n"),
    ("yaml", 2, "setout: 1\nname: !x y\n"),
    ("bad-value", None, "setout: 1\nname: x\nrates: { EUR: 0 GBP }\ncurrency: GBP\n"),
]


# --- encodings

def encodings():
    text = "dimensions:\n  a: 1 mm\n"
    for name, content, line in [
        ("utf16-le", b"\xff\xfe" + text.encode("utf-16-le"), None),
        ("utf16-be", b"\xfe\xff" + text.encode("utf-16-be"), None),
        ("utf32", text.encode("utf-32"), None),
        ("utf16-without-a-mark", text.encode("utf-16-le"), None),
        ("latin-1", b"dimensions:\n  a: 1 \xb5m\n", 2),
        ("overlong-slash", b"about: \xc0\xaf\ndimensions: {}\n", 1),
        ("overlong-nul", b"about: x\xc0\x80\n", 1),
        ("surrogate", b"about: \xed\xa0\x80\n", 1),
        ("beyond-unicode", b"about: \xf4\x90\x80\x80\n", 1),
        ("cut-in-a-character", b"about: \xe2\x82", 1),
        ("only-continuations", b"\x80" * 1000, 1),
        ("all-bytes", bytes(range(256)), None),
        ("ff", b"\xff" * 100_000, 1),
        ("nul", b"\x00" * 100_000, None),
        ("elf", b"\x7fELF\x02\x01\x01" + bytes(100), None),
        ("zip", b"PK\x03\x04" + bytes(100), None),
        ("two-marks", "\ufeff\ufeffdimensions: {}\n".encode(), 1),
        ("mark-within", "dimensions:\n  \ufeffa: 1 mm\n".encode(), 2),
    ]:
        yield Case(f"encoding/{name}", "yaml", table(content), line=line)
        files = {"params/design.yaml": content, "params/t.yaml": text}
        if name not in ("two-marks", "mark-within"):
            yield Case(f"encoding/{name}/design.yaml", "yaml", files, "params/design.yaml", line)


# --- grown by a rule

def rows(number, line):
    return "".join(line.format(n=n, next=n + 1, last=n - 1) for n in range(number))


def grown():
    """Name, slug, line, the text of the table."""
    yield "brackets", "too-large", 1, lambda: "dimensions: " + "[" * 200_000
    yield "braces", "too-large", 1, lambda: "dimensions: " + "{" * 200_000
    yield "braces-with-keys", "too-large", 1, lambda: "dimensions: " + "{a: " * 100_000
    yield "closed-brackets", "too-large", 1, lambda: "about: " + "[" * 100_000 + "]" * 100_000 + "\n"
    yield "dashes", "too-large", 1, lambda: "- " * 200_000
    yield "question-marks", "yaml", 1, lambda: "? " * 100_000
    yield "colons", "yaml", 1, lambda: ": " * 100_000
    yield "steps", "too-large", 33, lambda: "".join(" " * n + "a:\n" for n in range(1_000))
    yield "commas", "yaml", 1, lambda: "dimensions: {" + "," * 500_000 + "}\n"
    yield "quotes", "yaml", 1, lambda: "dimensions: \"" + "\\q" * 200_000 + "\"\n"
    yield "anchors", "yaml", 2, lambda: "dimensions:\n" + rows(20_000, "  a{n}: &x{n} 1 mm\n")
    yield "aliases", "yaml", 2, lambda: "dimensions:\n" + rows(20_000, "  a{n}: *x\n")
    yield "merge-keys", "yaml", 2, lambda: "dimensions:\n" + rows(10_000, "  <<: *x{n}\n")
    yield "tags", "yaml", 2, lambda: "dimensions:\n" + rows(20_000, "  a{n}: !!x{n} 1 mm\n")
    yield "documents", "yaml", None, lambda: "--- {}\n" * 50_000
    yield "directives", "yaml", 1, lambda: "%YAML 1.2\n" * 50_000
    yield "tabs", "yaml", 2, lambda: "dimensions:\n" + "\ta: 1 mm\n" * 50_000
    yield "conflicts", "yaml", 1, lambda: "<<<<<<< a\n=======\n>>>>>>> b\n" * 10_000
    yield "open-conflicts", "yaml", 1, lambda: "<<<<<<< a\n" * 20_000
    yield "laughs", "yaml", 2, laughs
    yield "laughs-by-formulas", "domain", None, lambda: (
        "dimensions:\n  a0: 10\n" + rows(30, "  a{next}: a{n} * a{n} * a{n} * a{n}\n"))
    yield "same-key", "duplicate-name", 3, lambda: "dimensions:\n" + "  a: 1 mm\n" * 50_000
    yield "same-key-in-a-row", "duplicate-name", 1, lambda: (
        "dimensions: {" + "a: 1 mm, " * 50_000 + "}\n")
    yield "wrong-keys", "unknown-key", 1, lambda: rows(30_000, "k{n}: 1\n")
    yield "wrong-names", "bad-name", 2, lambda: "dimensions:\n" + rows(30_000, "  A{n}: 1 mm\n")
    yield "nothing-behind", "bad-value", 2, lambda: "dimensions:\n" + rows(30_000, "  a{n}:\n")
    yield "nothing-behind-in-a-row", "bad-value", 1, lambda: (
        "dimensions: {" + rows(30_000, "a{n}: , ") + "}\n")
    yield "unknown-names", "unknown-name", 2, lambda: "dimensions:\n" + rows(20_000, "  a{n}: b{n}\n")
    yield "near-names", "unknown-name", 20_002, lambda: (
        "dimensions:\n" + rows(20_000, "  aaaaaaaaaaaaaaaaaaaaaaaa{n}: 1 mm\n")
        + rows(2_000, "  b{n}: aaaaaaaaaaaaaaaaaaaaaaab{n}\n"))
    yield "divisions", "domain", 2, lambda: "dimensions:\n" + rows(20_000, "  a{n}: {n} / 0\n")
    yield "digits", "too-large", 2, lambda: f"dimensions:\n  a: {'9' * 10_000} mm\n"
    yield "many-digits", "too-large", 2, lambda: f"dimensions:\n  a: {'9' * 2_000_000} mm\n"
    yield "digits-in-all", "too-large", 2, lambda: "dimensions:\n" + rows(300, "  a{n}: " + "9" * 4000 + "\n")
    yield "minus-chain", "too-large", 2, lambda: f"dimensions:\n  a: {'-' * 100_000}1 mm\n"
    yield "minus-chains", "too-large", 2, lambda: "dimensions:\n" + rows(300, "  a{n}: " + "-" * 4000 + "1\n")
    yield "plus-chain", "too-large", 2, lambda: f"dimensions:\n  a: 1{' + 1' * 100_000}\n"
    yield "powers", "too-large", 2, lambda: f"dimensions:\n  a: 2{'^2' * 2_000}\n"
    yield "powers-of-kinds", "too-large", None, lambda: (
        "dimensions:\n  a0: 2 mm\n" + rows(40, "  a{next}: a{n} * a{n}\n"))
    yield "thirds-of-kinds", "too-large", None, lambda: (
        "dimensions:\n  a0: 2 mm\n" + rows(40, "  a{next}: a{n}^(1/7)\n"))
    yield "long-name", "yaml", 2, lambda: f"dimensions:\n  {'a' * 1_000_000}: 1 mm\n"
    yield "long-unknown-name", "too-large", 2, lambda: f"dimensions:\n  a: {'b' * 1_000_000}\n"
    yield "long-line", "yaml", 1, lambda: "about: " + "x: " * 300_000 + "\n"
    yield "lone-returns", "unknown-key", 1, lambda: "a: 1\r" * 20_000
    yield "combining", "yaml", 2, lambda: "dimensions:\n  a" + "\u0301" * 50_000 + ": 1 mm\n"
    yield "overrides", "yaml", 2, lambda: "dimensions:\n  a" + "\u202e" * 50_000 + ": 1 mm\n"
    yield "blanks", "bad-value", None, lambda: "dimensions:" + " " * 1_000_000 + "5\n"
    yield "line-ends", "bad-value", None, lambda: "\n" * 1_000_000 + "x\n"
    yield "comments", "bad-value", None, lambda: "# x\n" * 200_000 + "x\n"
    yield "block-scalar", "too-large", None, lambda: "dimensions:\n  a: |\n" + "    1 mm +\n" * 50_000
    yield "diamonds", "cycle", 2, diamonds
    yield "wide", "unknown-name", None, lambda: (
        "dimensions:\n" + rows(5_000, "  a{n}: 1 mm\n")
        + "  b: " + " + ".join(f"a{n}" for n in range(450)) + " + gone\n")
    yield "sums-of-sums", "too-large", None, sums_of_sums
    yield "wide-rows", "unit-mismatch", None, wide_rows
    yield "many-rows", "too-large", None, lambda: (
        "schedules:\n  s:\n    columns: { c: mm }\n    rows:\n" + rows(100_001, "      r{n}: [1 mm]\n"))
    yield "uneven-rows", "bad-value", 4, lambda: (
        "schedules:\n  s: { columns: { a: mm, b: mm }, rows: {\n\n" + rows(20_000, "    r{n}: [1 mm],\n") + "  } }\n")
    yield "columns", "bad-value", None, lambda: (
        "schedules:\n  s:\n    columns: {" + rows(20_000, "c{n}: mm, ") + "}\n    rows: { r: [1 mm] }\n")
    yield "one-of", "bad-choice", 2, lambda: (
        "dimensions:\n  a: { text: b, one_of: [" + rows(50_000, "a{n}, ") + "] }\n")
    yield "uses", "unknown-name", None, lambda: (
        "parts:\n  p: { made: bought, uses: [" + rows(20_000, "a{n}, ") + "] }\n")
    for length in (2, 3, 10, 100, 1_000, 20_000):
        yield f"circle-of-{length}", "cycle", 2, functools.partial(circle, length)
    yield "circles", "cycle", 2, lambda: (
        "dimensions:\n" + rows(10_000, "  a{n}: b{n}\n  b{n}: a{n}\n"))
    yield "all-to-all", "cycle", 2, lambda: (
        "dimensions:\n" + rows(150, "  a{n}: " + " + ".join(f"a{n}" for n in range(150)) + "\n"))
    yield "limits-of-each-other", "bad-limits", None, lambda: (
        "dimensions:\n" + rows(5_000, "  a{n}: {{ value: {n} mm, min: a{next}, max: a{n} - 1 mm }}\n")
        + "  a5000: 1 mm\n")


def circle(length):
    lines = (f"  a{n}: a{(n + 1) % length} + 1 mm\n" for n in range(length))
    return "dimensions:\n" + "".join(lines)


def laughs():
    first = "dimensions:\n  a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n"
    return first + rows(12, "  a{next}: &a{next} [*a{n}, *a{n}, *a{n}, *a{n}, *a{n}, *a{n}, *a{n}, *a{n}]\n")


def diamonds():
    """2^200 paths from the circle on top to the bottom."""
    text = "dimensions:\n  a: b + l0\n  b: a\n"
    for n in range(200):
        text += f"  l{n}: m{n} + n{n}\n  m{n}: l{n + 1}\n  n{n}: l{n + 1}\n"
    return text + "  l200: 1 mm\n"


def sums_of_sums():
    """A formula that names a column in each of its terms, over many rows."""
    terms = " + ".join("sum(s.c * s.c * s.c)" for _ in range(150))
    return ("schedules:\n  s:\n    columns: { c: mm }\n    rows:\n" + rows(8_000, "      r{n}: [1 mm]\n")
            + f"dimensions:\n  a: {terms}\n")


def wide_rows():
    columns = ", ".join(f"c{n}: mm" for n in range(300))
    cells = ", ".join(["1 deg"] * 300)
    return f"schedules:\n  s:\n    columns: {{ {columns} }}\n    rows:\n" + rows(60, "      r{n}: [" + cells + "]\n")


def of_many_files():
    """Designs whose size is in their files."""
    yield Case("files/circle-over-tables", "cycle", lambda: {
        "params/design.yaml": COMMON,
        **{f"params/t{n}.yaml": f"dimensions: {{ a: t{(n + 1) % 300}.a }}\n" for n in range(300)},
    }, None)
    yield Case("files/met-in-export", "duplicate-name", lambda: {
        "params/design.yaml": COMMON,
        "params/a_b.yaml": "dimensions: { c: 1 mm }\n",
        "params/a.yaml": "dimensions: { b_c: 1 mm }\n",
    }, None)
    yield Case("files/tables", "too-large", lambda: {
        "params/design.yaml": COMMON,
        **{f"params/t{n}.yaml": "" for n in range(10_001)},
    }, None)
    yield Case("files/empty", "bad-value", {"params/design.yaml": b""}, "params/design.yaml", 1)


def cases():
    yield from formulas()
    yield from hand_written()
    yield from encodings()
    for name, slug, line, text in grown():
        yield Case(f"grown/{name}", slug, functools.partial(lambda text: table(text()), text), line=line)
    yield from of_many_files()
