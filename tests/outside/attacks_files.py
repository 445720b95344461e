"""Bad designs whose harm is in their files: what a name in a folder or in a design stands for.

Each is a name, the slug of a fault that `check` must give, and what makes the design. A pipe that
nobody writes to, a device without end and a loop of links are among them: whoever opens them waits.
"""

import os
import socket

from attacks_texts import COMMON, Case

# No answer may hold this: it stands outside of the root.
SECRET = "a_secret_of_the_neighbour"

GOOD = "dimensions: { a: 1 mm }\n"


class OnDisk(Case):
    """A design that takes more than texts to make. `make` gets the folder that will hold it."""

    def __init__(self, name, slug, make, file="params/t.yaml", line=None, words=("check",)):
        super().__init__(name, slug, {}, file, line, words)
        self._make = make

    def write(self, folder):
        params = folder / "params"
        params.mkdir(parents=True)
        (params / "design.yaml").write_bytes(COMMON)
        (folder / "cad").mkdir()
        self._make(folder)


def secret(folder):
    """A file beside the root, which a design must not reach."""
    path = folder.parent / f"{folder.name}-secret.yaml"
    path.write_text(f"dimensions: {{ {SECRET}: 12345 mm }}\n")
    return path


def table_is(make):
    """The table t.yaml is what `make` puts there."""
    return lambda folder: make(folder, folder / "params" / "t.yaml")


def listen(path):
    with socket.socket(socket.AF_UNIX) as bound:
        here = os.getcwd()
        os.chdir(path.parent)  # such a path has at most 108 bytes
        try:
            bound.bind(path.name)
        finally:
            os.chdir(here)


TABLES = {
    "pipe": ("unsafe-path", lambda folder, path: os.mkfifo(path)),
    "socket": ("unsafe-path", lambda folder, path: listen(path)),
    "link-out": ("unsafe-path", lambda folder, path: path.symlink_to(secret(folder))),
    "link-out-from-here": ("unsafe-path", lambda folder, path: path.symlink_to(f"../../{secret(folder).name}")),
    "link-to-zero": ("unsafe-path", lambda folder, path: path.symlink_to("/dev/zero")),
    "link-to-random": ("unsafe-path", lambda folder, path: path.symlink_to("/dev/urandom")),
    "link-to-terminal": ("unsafe-path", lambda folder, path: path.symlink_to("/dev/tty")),
    "link-to-input": ("unsafe-path", lambda folder, path: path.symlink_to("/dev/stdin")),
    "link-to-own-memory": ("unsafe-path", lambda folder, path: path.symlink_to("/proc/self/mem")),
    "link-to-own-environment": ("unsafe-path", lambda folder, path: path.symlink_to("/proc/self/environ")),
    "link-to-passwords": ("unsafe-path", lambda folder, path: path.symlink_to("/etc/passwd")),
    "link-to-itself": ("unsafe-path", lambda folder, path: path.symlink_to("t.yaml")),
    "link-to-nothing": ("unsafe-path", lambda folder, path: path.symlink_to("nothing.yaml")),
    "link-inside": ("unsafe-path", lambda folder, path: path.symlink_to("design.yaml")),
    "link-to-folder": ("unsafe-path", lambda folder, path: path.symlink_to("../cad")),
    "link-to-pipe": ("unsafe-path", lambda folder, path: (os.mkfifo(folder / "cad/p"), path.symlink_to("../cad/p"))),
    "sparse": ("too-large", lambda folder, path: sparse(path, 1 << 40)),
    "just-too-large": ("too-large", lambda folder, path: sparse(path, (256 << 20) + 1)),
    "larger-than-a-design": ("too-large", lambda folder, path: sparse(path, (160 << 20) + 1)),
    "zeros": ("yaml", lambda folder, path: sparse(path, 1 << 20)),
}


def sparse(path, size):
    with open(path, "wb") as file:
        file.truncate(size)


def circle_of_links(folder, path):
    path.symlink_to("u.yaml")
    (path.parent / "u.yaml").symlink_to("t.yaml")


def long_links(folder, path):
    for n in range(100):
        (folder / "cad" / f"l{n}").symlink_to(f"l{n + 1}")
    (folder / "cad" / "l100").write_text(GOOD)
    path.symlink_to("../cad/l0")


# How the file of another name beside the tables is told.
NAMES = [
    ("CON.yaml", "bad-name"), ("con.yml", "bad-name"), ("T.yaml", "bad-name"), ("t.YAML", "bad-name"),
    ("t.yml", "bad-name"), ("a b.yaml", "bad-name"), ("-rf.yaml", "bad-name"), ("a;b.yaml", "bad-name"),
    ("$(touch pwned).yaml", "bad-name"), ("a\nb.yaml", "bad-name"), ("a\x1b[31m.yaml", "bad-name"),
    ("a\u202eb.yaml", "bad-name"), ("ä.yaml", "bad-name"), ("a\\b.yaml", "bad-name"), ("C:.yaml", "bad-name"),
    ("a" * 65 + ".yaml", "bad-name"), ("1.yaml", "bad-name"), ("true.yaml", "bad-name"),
    ("a..yaml", "bad-name"), ("a .yaml", "bad-name"), ("::error::x.yaml", "bad-name"),
]

# What a design may not name as a part's model, nor as an export.
PATHS = [
    "/etc/passwd", "../../outside.scad", "../../../../../../etc/passwd", "../cad/../../outside.scad", "..",
    "../cad/../../../x.scad", "//server/share/x.scad", "\\\\server\\share\\x.scad", "C:\\x.scad", "c:/x.scad",
    "../cad\\..\\..\\x.scad", "../.git/config", "../.GIT/config", "../.git./x.scad", "../.ssh/x.scad", ".x.scad",
    "../cad/./x.scad", "~/x.scad/..", "file:///etc/passwd", "http://evil.example/x.scad", "x.scad:stream",
    "x\u0000.scad", "x\n.scad", "../cad/ x.scad", "../cad/x.scad ", "..//x.scad", "",
]
# These name a file that some system takes for another, or a device; nothing is written there.
TARGETS = [
    "CON.csv", "../cad/nul.csv", "../cad/NUL.txt.csv", "../cad/aux/x.csv", "../cad/com1.csv",
    "../cad/LPT9.csv", "../cad./x.csv", "../cad /x.csv", "../cad/x.csv.", "../cad/x<y.csv", "../cad/x|y.csv",
    "../cad/x\u202ey.csv", "../cad/x", "../cad/x.sh", "../cad/x.csv.exe", "design.yaml", "t.yaml",
    "../cad/CONIN$.csv",
]


def named(text):
    """As it stands in double quotes."""
    escapes = {"\\": "\\\\", "\n": "\\n", "\0": "\\0"}
    return '"' + "".join(escapes.get(character, character) for character in text) + '"'


def with_model(path, more=lambda folder: None):
    def make(folder):
        secret(folder)
        text = f"dimensions: {{ a: 1 mm }}\nparts:\n  p: {{ made: bought, cad: {named(path)} }}\n"
        (folder / "params" / "t.yaml").write_text(text)
        more(folder)
    return make


def with_export(path, form="csv"):
    def make(folder):
        (folder / "params" / "t.yaml").write_text(GOOD)
        text = f"exports:\n  - {{ format: {form}, file: {named(path)} }}\n"
        (folder / "params" / "design.yaml").write_bytes(COMMON + text.encode())
    return make


def linked(target, name="x.scad"):
    return lambda folder: (folder / "cad" / name).symlink_to(target)


def includes_in_a_circle(folder):
    (folder / "cad/x.scad").write_text("include <y.scad>\nuse <gone/../x.scad>\ncube(t_a);\n")
    (folder / "cad/y.scad").write_text("include <x.scad>\ninclude </etc/passwd>\n")


def many_includes(folder):
    (folder / "cad/x.scad").write_text("".join(f"include <y{n}.scad>\n" for n in range(300)))
    for n in range(300):
        (folder / f"cad/y{n}.scad").write_text("cube(1);\n")


def many_meshes(folder):
    """A large file by many names: a link costs nothing, to read it does."""
    sparse(folder / "cad/mesh.stl", 40 << 20)
    parts = ""
    for n in range(30):
        (folder / f"cad/m{n}.stl").symlink_to("mesh.stl")
        parts += f"  p{n}: {{ made: bought, cad: ../cad/m{n}.stl }}\n"
    (folder / "params/t.yaml").write_text(f"dimensions: {{ a: 1 mm }}\nparts:\n{parts}")


def replaced(name, make):
    def of(folder):
        (folder / "params" / name).unlink(missing_ok=True)
        make(folder, folder / "params" / name)
    return of


def many_exports(folder):
    (folder / "params" / "t.yaml").write_text(GOOD)
    lines = "".join(f"  - {{ format: csv, file: ../out/{n}.csv }}\n" for n in range(20_000))
    (folder / "params" / "design.yaml").write_bytes(COMMON + b"exports:\n" + lines.encode())


def large_exports(folder):
    """Every file says again what a long note says."""
    note = "x" * (3 << 20)
    (folder / "params" / "t.yaml").write_text(f"dimensions: {{ a: {{ value: 1 mm, note: {note} }} }}\n")
    lines = "".join(f"  - {{ format: csv, file: ../out/{n}.csv }}\n" for n in range(100))
    (folder / "params" / "design.yaml").write_bytes(COMMON + b"exports:\n" + lines.encode())


def cases():
    for name, (slug, make) in TABLES.items():
        yield OnDisk(f"disk/{name}", slug, table_is(make))
    yield OnDisk("disk/circle-of-links", "unsafe-path", table_is(circle_of_links))
    yield OnDisk("disk/links-on-links", "unsafe-path", table_is(long_links))
    for name in ("pipe", "link-out", "link-to-zero", "sparse", "zeros", "link-to-itself"):
        slug, make = TABLES[name]
        yield OnDisk(f"disk/design.yaml/{name}", slug, replaced("design.yaml", make), None)
    for name, slug in NAMES:
        def make(folder, name=name):
            (folder / "params" / name).write_text(GOOD)
        yield OnDisk(f"name/{name[:20]!r}", slug, make, None)
    for path in PATHS:
        yield OnDisk(f"cad/{path[:20]!r}", "unsafe-path", with_model(path), line=3)
        yield OnDisk(f"export/{path[:20]!r}", "unsafe-path", with_export(path), "params/design.yaml", 4)
    for path in TARGETS:
        yield OnDisk(f"target/{path[:20]!r}", "unsafe-path", with_export(path), "params/design.yaml", 4)
    for name, target in [("out", "../../outside"), ("passwords", "/etc/passwd"), ("zero", "/dev/zero"),
                         ("itself", "x.scad"), ("nothing", "gone"), ("memory", "/proc/self/mem")]:
        yield OnDisk(f"cad/link-to-{name}", "unsafe-path", with_model("../cad/x.scad", linked(target)), line=3)
    yield OnDisk("cad/folder-that-leads-out", "unsafe-path", with_model(
        "../cad/etc/passwd", lambda folder: (folder / "cad/etc").symlink_to("/etc")), line=3)
    yield OnDisk("cad/pipe", "unsafe-path", with_model(
        "../cad/x.scad", lambda folder: os.mkfifo(folder / "cad/x.scad")), line=3)
    yield OnDisk("cad/folder", "unsafe-path", with_model("../cad/x.scad", lambda folder: (folder / "cad/x.scad").mkdir()), line=3)
    yield OnDisk("cad/sparse", "too-large", with_model(
        "../cad/x.scad", lambda folder: sparse(folder / "cad/x.scad", 1 << 40)), line=3)
    yield OnDisk("cad/gone", "not-found", with_model("../cad/x.scad"), line=3)
    yield OnDisk("cad/many-includes", "too-large", with_model("../cad/x.scad", many_includes), line=3)
    yield OnDisk("cad/many-meshes", "too-large", many_meshes)
    yield OnDisk("export/many", "too-large", many_exports, "params/design.yaml", 104)
    yield OnDisk("export/large", "too-large", large_exports, "params/design.yaml", None, ("export",))
    yield OnDisk("export/shell", "bad-choice", with_export("../cad/x.sh", "shell"), "params/design.yaml", 4)


def good():
    """Designs that are out of the ordinary, and must be read without following what leads out."""
    yield OnDisk("cad/includes-in-a-circle", None, with_model("../cad/x.scad", includes_in_a_circle))
    yield OnDisk("disk/folder-in-place-of-a-table", None, table_is(lambda folder, path: path.mkdir()))
