"""What a stranger's design can do to the machine that checks it: nothing but be told where it is wrong.

Hundreds of bad designs, each through `setout check` as a process of its own: small texts, texts grown by
a rule, files that are none, names that other systems take for something else, and every design in
crates/setout-design/tests/bad. Each must end by itself with a status that is not 0, with a fault of its
sort that has a place, and in so much memory. The peer for time is a good design of 20,000 dimensions,
checked in the same run. What programs are started, and what is read and written, is asked of strace.
"""

import json
import os
import pathlib
import re
import resource
import shutil
import subprocess
import tempfile
import threading
import time

import attacks_files
import attacks_texts
from support import ROOT, Broken, main, write_design

MEBI = 1 << 20
# No bad design may take so many times as long as the good one.
TIMES = 20
# So long one may take before it is killed, in seconds, so that these tests end.
LONG = 120
# A limit of the kernel's in place of a machine that runs full; threads reserve more than they use.
ADDRESSES = 3 << 30


class Done:
    """What came of a command: its status, what it wrote, the memory it took and how long it took."""

    def __init__(self, checks, folder, *words, environment=None, stdin=subprocess.DEVNULL):
        with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
            start = time.monotonic()
            child = subprocess.Popen(
                [checks.setout_path, "-C", folder, *words], cwd=checks.place, stdin=stdin, stdout=out,
                stderr=err, env=environment or checks.environment, preexec_fn=bounded,
            )
            killer = threading.Timer(LONG, child.kill)
            killer.start()
            _, status, usage = os.wait4(child.pid, 0)
            killer.cancel()
            child.returncode = os.waitstatus_to_exitcode(status)
            self.time = time.monotonic() - start
            self.status = child.returncode
            self.memory = usage.ru_maxrss * 1024
            out.seek(0)
            err.seek(0)
            self.out, self.err = out.read(), err.read().decode("utf-8", "replace")

    def faults(self):
        try:
            return json.loads(self.out).get("faults", [])
        except ValueError as error:
            raise Broken(f"status {self.status}, no JSON: {error}\n{self.err[:1000]}") from None


def bounded():
    resource.setrlimit(resource.RLIMIT_AS, (ADDRESSES, ADDRESSES))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


class Tally:
    """The worst that was seen. A case may be known to be slow, with its own factor."""

    def __init__(self):
        self.number = 0
        self.slowest = (0, "")
        self.largest = (0, "")

    def see(self, name, done, slow):
        self.number += 1
        self.slowest = max(self.slowest, (done.time / slow, name))
        self.largest = max(self.largest, (done.memory, name))


def one(checks, case, tally):
    """Checks one bad design, in a folder that is gone afterwards."""
    holder = pathlib.Path(tempfile.mkdtemp(dir=checks.place))
    folder = holder / "design"
    folder.mkdir()
    case.write(folder)
    before = listing(folder)
    done = Done(checks, folder, *case.words, "--format", "json")
    tally.see(case.name, done, case.slow)
    faults = done.faults()
    hits = [fault for fault in faults if case.slug is None or fault["fault"] in case.slug.split()
            and case.file in (None, fault.get("file")) and case.line in (None, fault.get("line"))]
    told = [(fault["fault"], fault.get("file"), fault.get("line"), fault["message"][:80]) for fault in faults[:3]]
    checks.that(hits, f"{case.name}: a fault at its place", f"wanted {case.slug} {case.file}:{case.line}\n    found  {told}")
    checks.that(done.status == 2, f"{case.name}: the status", f"{done.status}\n{done.err[:1000]}")
    placed = all(in_place(fault) for fault in faults) or case.nowhere
    checks.that(placed, f"{case.name}: every fault has a place", told)
    checks.that(done.memory < case.memory, f"{case.name}: memory", f"{done.memory // MEBI} MiB")
    checks.that("panicked" not in done.err, f"{case.name}: no panic", done.err[:1000])
    checks.that(attacks_files.SECRET not in done.out.decode(), f"{case.name}: nothing of what lies outside is told", told)
    checks.equal(listing(folder), before, f"{case.name}: nothing is written")
    shutil.rmtree(holder)


def in_place(fault):
    return fault["message"] and fault["help"] and fault.get("file") and fault.get("line", 0) >= 1


def listing(folder):
    return sorted((str(path.relative_to(folder)), path.lstat().st_size) for path in folder.rglob("*"))


def peer(checks):
    """How long a good design takes that is as large as the large ones among the bad."""
    rows = "".join(f"  a{n}: {n} mm\n" for n in range(20_000))
    folder = write_design(checks.folder("peer"), {"t": "dimensions:\n" + rows})
    best = min((Done(checks, folder, "check") for _ in range(3)), key=lambda done: done.time)
    if best.status != 0:
        raise Broken(f"the good design is not good: {best.err}")
    return best.time


def bad_designs(checks):
    texts, files = list(attacks_texts.cases()), list(attacks_files.cases())
    corpus = list(of_the_crates())
    time_of_peer = peer(checks)
    for what, cases, least in [("texts", texts, 380), ("files", files, 130), ("the crates' own", corpus, 500)]:
        tally = Tally()
        for case in cases:
            try:
                one(checks, case, tally)
            except Broken as error:
                checks.that(False, case.name, str(error))
        checks.that(tally.number >= least, f"{what}: {tally.number} are fewer than {least}")
        seconds, slowest = tally.slowest
        checks.that(seconds < TIMES * time_of_peer, f"{slowest} is too slow", f"{seconds:.2f} s")
        memory, largest = tally.largest
        checks.say(f"{tally.number} bad designs ({what}); slowest {slowest}: {seconds:.2f} s, "
                   f"{seconds / time_of_peer:.1f} times a good one; largest {largest}: {memory // MEBI} MiB")


# Some hold faults of many sorts; and what is a folder on disk is not there in memory.
OF_FOLDERS = {"several": None, "places": None, "not-found": "not-found unsafe-path"}


class OfTheCrates(attacks_texts.Case):
    def __init__(self, folder):
        slug = folder.parent.name
        super().__init__(f"bad/{slug}/{folder.name}", OF_FOLDERS.get(slug, slug), {}, None)
        self.folder = folder
        # Where there is no design at all, there is no file to name.
        self.nowhere = slug == "not-found" and folder.name.startswith("design_y")

    def write(self, folder):
        shutil.copytree(self.folder, folder, dirs_exist_ok=True, symlinks=True)
        (folder / "faults.txt").unlink()


def of_the_crates():
    for faults in sorted((ROOT / "crates/setout-design/tests/bad").glob("*/*/faults.txt")):
        if faults.read_text(encoding="utf-8").strip():
            yield OfTheCrates(faults.parent)


def read_as_they_are(checks):
    """What is odd and not bad: it is read, and what leads out of it is not."""
    for case in attacks_files.good():
        folder = checks.folder(case.name) / "design"
        folder.mkdir()
        case.write(folder)
        done = Done(checks, folder, "check", "--format", "json")
        checks.equal((done.status, done.faults()), (0, []), case.name)


# --- what is opened and started

CALLS = "execve,execveat,fork,vfork,openat,open,creat,unlink,unlinkat,rename,renameat,renameat2,symlink,"\
        "symlinkat,link,linkat,mkdir,mkdirat,chmod,fchmodat,connect,bind,socket,truncate"
# What a program reads of its system before and while it runs; two settings of memory among it, which the
# allocator asks for.
SYSTEM = ("/proc/sys/vm/overcommit_memory", "/sys/kernel/mm/transparent_hugepage/enabled",
          "/lib", "/usr/lib", "/etc/ld.so", "/proc/self/", "/sys/fs/cgroup", "/sys/devices/system/cpu", "/dev/null",
          "/dev/tty", "/dev/urandom", "/usr/share/locale", "/etc/gitconfig")


def nothing_is_started(checks):
    """A design cannot start a program, nor read or write beyond its root, in any command."""
    if shutil.which("strace") is None:
        raise Broken("strace is not there; tests/run puts it there")
    folder = checks.folder("watched")
    design = folder / "design"
    (design / "cad").mkdir(parents=True)
    exports = ("exports:\n  - { format: csv, file: ../cad/x.csv }\n  - { format: openscad, file: ../cad/x.scad }\n")
    table = ("dimensions:\n  a: { value: 1 mm, min: 0 mm, note: '$(touch pwned) `touch pwned` | touch pwned' }\n"
             "  turn: { value: 0 deg, travel: [0 deg, 9 deg] }\n"
             "  b: { value: 'a * 2 * cos(turn)', tolerance: ±0.1 mm }\n  c: { text: '; touch pwned' }\n"
             "checks:\n  fits: { require: b > a, why: '!touch pwned' }\n"
             "parts:\n  p: { made: bought, uses: [a], cad: ../cad/m.scad }\n")
    write_design(design, {"t": table}, more=exports)
    (design / "cad/m.scad").write_text("include </etc/passwd>\ninclude <../../outside.scad>\ncube(t_b);\n")
    (folder / "outside.scad").write_text("cube(t_a);\n")
    in_a_hostile_repository(checks, design)
    for words in [
        ("diff", "HEAD"), ("history", "t.a"), ("since", "t.fits"), ("impact", "t.b=9mm"),
        ("check", "--all"), ("check", "--independent"), ("show",), ("show", "t.a"), ("trace", "t.b"),
        ("impact", "t.a=2mm"), ("impact", "t.a"), ("sweep", "t.fits"), ("stack", "t.fits"), ("headroom", "t.a"),
        ("export",), ("export", "--verify"), ("export", "--stdout", "csv"), ("set", "t.a", "1.5 mm"),
        ("rename", "t.a", "aa"), ("schema",), ("check", "--format", "sarif"), ("check", "--format", "markdown"),
    ]:
        log = folder / "calls"
        done = checks.run("strace", "-f", "-qq", "-y", "-s", "4096", "-e", f"trace={CALLS}", "-o", log,
                          checks.setout_path, "-C", design, *words)
        what = " ".join(words)
        calls = log.read_text(encoding="utf-8", errors="replace").splitlines()
        if done.returncode not in (0, 1) or not any(str(design) in line or "schema" in what for line in calls):
            raise Broken(f"{what}: status {done.returncode}\n{done.stderr[:1000]}")
        started = [line for line in calls if re.search(r"\b(execve|execveat|fork|vfork)\(", line)]
        checks.equal(len(started), 1, f"{what} starts nothing but itself")
        checks.that(not [line for line in calls if re.search(r"\b(socket|connect|bind)\(", line)], f"{what}: no network")
        strays = [path for path in opened(calls) if not path.startswith(SYSTEM) and not within(path, design, folder)]
        checks.equal(strays, [], f"{what} reads and writes nothing outside")
    checks.that(not list(folder.rglob("*pwned*")) and not list(checks.place.glob("*pwned*")), "nothing was run")


def in_a_hostile_repository(checks, design):
    """Whatever git can be told to run, by the repository's configuration, attributes and hooks."""
    def git(*words):
        done = checks.run("git", "-C", design, "-c", "user.name=A", "-c", "user.email=a@example.com", *words)
        if done.returncode != 0:
            raise Broken(done.stderr)

    git("init", "--quiet")
    (design / ".gitattributes").write_text("* diff=owned filter=owned merge=owned text\n")
    git("add", ".")
    git("commit", "--quiet", "--message", "begin")
    own = f"touch {design.parent}/pwned"
    for key in ["core.fsmonitor", "core.pager", "core.editor", "core.sshCommand", "core.askPass", "diff.external",
                "diff.owned.command", "diff.owned.textconv", "filter.owned.clean", "filter.owned.smudge",
                "filter.owned.process", "merge.owned.driver", "credential.helper", "gpg.program", "alias.cat-file",
                "pager.diff", "interactive.diffFilter", "core.alternateRefsCommand", "uploadpack.packObjectsHook"]:
        git("config", key, own)
    for name in ("post-checkout", "post-index-change", "reference-transaction", "fsmonitor-watchman", "pre-auto-gc"):
        hook = design / ".git/hooks" / name
        hook.write_text(f"#!/bin/sh\n{own}\n")
        hook.chmod(0o755)


def opened(calls):
    """The paths that were opened or changed, with success."""
    for line in calls:
        if " = -1 " in line or "execve(" in line:
            continue
        for path in re.findall(r'"((?:[^"\\]|\\.)*)"', line):
            folder = re.search(r"\((?:AT_FDCWD|\d+)<([^>]*)>", line)
            yield os.path.normpath(os.path.join(folder[1] if folder else "/", path))


def within(path, design, folder):
    """Inside of the design, or one of the folders above that are looked at for a repository."""
    real = str(design)
    return path == real or path.startswith(real + "/") or real.startswith(path.rstrip("/") + "/")


# --- where exports go

def exports_stay_inside(checks):
    """Links in the way of an export are not followed out, nor is a stranger's file replaced."""
    def design(name):
        folder = checks.folder(name) / "design"
        write_design(folder, {"t": "dimensions: { a: 1 mm }\n"},
                     more="exports:\n  - { format: csv, file: ../out/x.csv }\n")
        outside = folder.parent / "outside"
        outside.mkdir()
        return folder, outside

    def refused(folder, outside, what, slug, words=("export",)):
        before = listing(outside.parent)
        done = checks.setout(folder, *words, "--format", "json")
        slugs = {fault["fault"] for fault in json.loads(done.stdout)["faults"]}
        checks.equal((done.returncode, slugs), (2, {slug}), what)
        checks.equal(listing(outside.parent), before, f"{what}: nothing is written")

    folder, outside = design("parent-link")
    (folder / "out").symlink_to(outside)
    refused(folder, outside, "a folder that leads out", "unsafe-path")
    folder, outside = design("parent-link-above")
    (folder / "out").symlink_to("..")
    refused(folder, outside, "a folder that leads up", "unsafe-path")
    folder, outside = design("swapped")
    checks.equal(checks.setout(folder, "export").returncode, 0, "an export")
    shutil.move(folder / "out", outside / "kept")
    (folder / "out").symlink_to(outside / "kept")
    (folder / "params/t.yaml").write_text("dimensions: { a: 2 mm }\n")
    refused(folder, outside, "a folder exchanged for a link", "unsafe-path")
    refused(folder, outside, "a folder exchanged for a link, by force", "unsafe-path", ("export", "--force"))
    for name, make, slug in [
        ("link", lambda path, outside: path.symlink_to(outside / "x.csv"), "unsafe-path"),
        # What it leads to is read, and was not written by setout; with force the link itself is refused.
        ("link-inside", lambda path, outside: path.symlink_to("../params/t.yaml"), "io"),
        ("pipe", lambda path, outside: os.mkfifo(path), "unsafe-path"),
        ("folder", lambda path, outside: path.mkdir(), "unsafe-path"),
        ("device", lambda path, outside: path.symlink_to("/dev/null"), "unsafe-path"),
        ("notes", lambda path, outside: path.write_text("a,b\n1,2\n"), "io"),
        ("empty", lambda path, outside: path.write_text(""), "io"),
        ("nearly ours", lambda path, outside: path.write_text("# written by setout\na,b\n"), "io"),
    ]:
        folder, outside = design(f"target-{name}")
        (folder / "out").mkdir()
        make(folder / "out/x.csv", outside)
        refused(folder, outside, f"in place of the file: {name}", slug)
        if slug == "unsafe-path" or name == "link-inside":
            slug = "unsafe-path"
            refused(folder, outside, f"in place of the file, by force: {name}", slug, ("export", "--force"))
    folder, outside = design("typed")
    for path in ("../outside/y.csv", str(outside / "y.csv"), "params/t.yaml", ".git/y.csv", "out/../../outside/y.csv",
                 "/dev/null", "out/CON.csv", "params/design.yaml"):
        refused(folder, outside, f"typed: {path}", "unsafe-path", ("export", "--to", "csv", "--file", path))


if __name__ == "__main__":
    main("attacks", [bad_designs, read_as_they_are, nothing_is_started, exports_stay_inside])
