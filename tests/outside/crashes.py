"""Ends that nobody wished for: killed, no room left, nobody listening, two at once.

Each command that writes is killed at moments all over its run and, by strace, just before each step that
changes a file; it meets an error in each such step, runs out of room (a small tmpfs where we may mount one,
and a limit on the size of files), is pointed at a folder that is read-only, and runs against another. Then every file is as it was or as it should be, what is left says so in a clear sentence, and
the next run puts it right. Outputs that close or are full end quietly or with a sentence and a status.
"""

import os
import pathlib
import re
import resource
import shutil
import signal
import subprocess
import tempfile
import threading
import time

from support import Broken, main, told, write_design

TABLES = 12
ROUNDS = 8


def design(checks, name, git=False):
    """Many tables that all name the first, so that a rename writes all of them."""
    folder = checks.folder(name)
    rows = "".join(f"  d{n}: {n} mm\n" for n in range(40))
    tables = {f"t{n}": f"dimensions:\n  a: base.a + {n} mm  # of the first\n{rows}" for n in range(TABLES)}
    tables["base"] = f"dimensions:\n  a: 1 mm\n  b: 2 mm\n{rows}"
    write_design(folder, tables, more=(
        "exports:\n  - { format: csv, file: ../out/x.csv }\n  - { format: openscad, file: ../out/x.scad }\n"))
    done = checks.setout(folder, "export")
    if done.returncode:
        raise Broken(told(done))
    if git:
        identity = ("-c", "user.name=A", "-c", "user.email=a@example.com", "-c", "commit.gpgsign=false")
        for words in (("init", "--quiet"), ("add", "--all"), ("commit", "--quiet", "--message", "begin")):
            done = checks.run("git", "-C", folder, *identity, *words)
            if done.returncode:
                raise Broken(told(done))
    return folder


def state(folder):
    """All files but git's and what a killed writer leaves, which begins with a dot."""
    files = (path for path in folder.rglob("*") if path.is_file() and ".git" not in path.parts)
    return {str(path.relative_to(folder)): path.read_bytes() for path in files if not path.name.startswith(".setout-")}


def left_behind(folder):
    return [path.name for path in folder.rglob(".setout-*")]


# What writes, and whether several of the design's own files change along with it.
WRITERS = [
    ("set", ("set", "base.a", "3 mm"), False),
    ("set a note", ("set", "base.a", "--note", "as long as it gets"), False),
    ("rename", ("rename", "base.a", "aa"), True),
    ("rename a table", ("rename", "base", "ground"), True),
    ("move", ("rename", "base.b", "t1.b"), True),
    ("export", ("export",), False),
    ("release", ("release",), False),
    ("import", ("import", "old.scad", "--table", "old"), False),
]


def prepared(checks, name, what):
    folder = design(checks, name, git=what == "release")
    if what == "export":
        table = folder / "params/base.yaml"
        table.write_text(table.read_text().replace("a: 1 mm", "a: 7 mm"))
    if what == "import":
        (folder / "old.scad").write_text("".join(f"x{n} = {n}; // mm\n" for n in range(200)))
    return folder


def copied(folder):
    to = pathlib.Path(tempfile.mkdtemp(dir=folder.parent))
    shutil.copytree(folder, to, dirs_exist_ok=True, symlinks=True)
    return to


def killed(checks):
    """SIGKILL at moments spread over the whole run, most of them over its end, where the writing is."""
    for what, words, several in WRITERS:
        origin = prepared(checks, f"killed-{what.replace(' ', '-')}", what)
        before = state(origin)
        whole = copied(origin)
        start = time.monotonic()
        done = checks.setout(whole, *words)
        took = time.monotonic() - start
        if done.returncode != 0:
            raise Broken(f"{what}: {told(done)}")
        after = state(whole)
        checks.that(after != before, f"{what} writes")
        seen = {"old": 0, "new": 0, "between": 0}
        for round_ in range(ROUNDS):
            folder = copied(origin)
            child = subprocess.Popen([checks.setout_path, "-C", folder, *words], env=checks.environment,
                                     stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
            time.sleep(took * (0.3 + 0.8 * checks.random.random()))
            child.kill()
            child.wait()
            now = state(folder)
            part = {path: content for path, content in now.items()
                    if content not in (before.get(path), after.get(path)) and not path.endswith(".zip")}
            checks.equal(list(part), [], f"{what}, round {round_}: each file is whole")
            seen["old" if now == before else "new" if now == after else "between"] += 1
            again(checks, folder, words, what, before, after, several)
            shutil.rmtree(folder)
        checks.say(f"{what}: killed {ROUNDS} times, {seen}")


def again(checks, folder, words, what, before, after, several):
    """What the next command finds is whole, or says what to do, and that does it."""
    now = state(folder)
    looked = checks.setout(folder, "check")
    if looked.returncode == 2:
        checks.that(several and "setout" in looked.stderr and "help:" in looked.stderr,
                    f"{what}: a half-done change says what finishes it", told(looked))
        finish(checks, folder, " ".join(looked.stderr.split("help: ")[-1].split()), what)
        checks.that(same(state(folder), after), f"{what}: and that finishes it", looked.stderr)
        checks.equal(left_behind(folder), [], f"{what}: with nothing left over")
        return
    if now == before:
        done = checks.setout(folder, *words)
        checks.equal(done.returncode, 0, f"{what}: it can be done again: {done.stderr[:300]}")
        if what != "release":
            checks.equal(state(folder) == after, True, f"{what}: and comes to the same")


def finish(checks, folder, help_, what):
    """Does what the help says: a row of moves, or those that stand in the note."""
    note = folder / "params/.setout-unfinished"
    if "finish it: " in help_:
        # Letters, digits, `.`, `_` and `-` are all that stands in it.
        line = help_.split("finish it: ")[1]
        safe = re.fullmatch(r"(mv|rm)( [a-z0-9._/-]+)+( && (mv|rm)( [a-z0-9._/-]+)+)*", line, re.I)
        if checks.that(safe, f"{what}: it says moves and nothing else", line):
            checks.equal(checks.run("sh", "-c", line, cwd=folder).returncode, 0, f"{what}: they can be done")
        return
    checks.equal(help_, "if no setout is at work, params/.setout-unfinished tells what to move where", what)
    moves = [line.split("\t") for line in note.read_text().splitlines() if not line.startswith("#")]
    for ready, name in moves:
        if (note.parent / ready).exists():
            (note.parent / ready).rename(note.parent / name)
    note.unlink()


# --- at each step

# The calls by which files change.
STEPS = "rename,renameat,renameat2,unlink,unlinkat,mkdir,mkdirat,link,linkat,chmod,fchmod,fsync,fdatasync"
# So many steps of one command are tried, the first and the last among them.
MOST_STEPS = 14


def traced(checks, folder, words, inject):
    log = folder.parent / f"{folder.name}.steps"
    done = checks.run("strace", "-f", "-qq", "-o", log, "-e", f"trace={STEPS}", "-e", "signal=none", *inject,
                      checks.setout_path, "-C", folder, *words)
    return done, [line for line in log.read_text(errors="replace").splitlines() if "(" in line and "resumed" not in line]


def at_each_step(checks):
    """Killed before a step, or told by the system that the step failed."""
    if shutil.which("strace") is None:
        raise Broken("strace is not there; tests/run puts it there")
    between = 0
    for what, words, several in WRITERS:
        origin = prepared(checks, f"step-{what.replace(' ', '-')}", what)
        before = state(origin)
        whole = copied(origin)
        done, steps = traced(checks, whole, words, ())
        if done.returncode != 0 or len(steps) < 3:
            raise Broken(f"{what}: {len(steps)} steps\n{told(done)}")
        after = state(whole)
        renames = [n for n, line in enumerate(steps, 1) if "rename" in line]
        chosen = {1, 2, len(steps), *renames[:4], *renames[-2:]}
        rest = sorted(set(range(1, len(steps) + 1)) - chosen)
        chosen |= set(checks.random.sample(rest, min(len(rest), max(0, MOST_STEPS - len(chosen)))))
        for step in sorted(chosen):
            folder = copied(origin)
            traced(checks, folder, words, nth(steps, step, "signal=KILL"))
            now = state(folder)
            part = [path for path, content in now.items()
                    if content not in (before.get(path), after.get(path)) and not path.endswith(".zip")]
            checks.equal(part, [], f"{what}, killed at step {step} of {len(steps)}: each file is whole")
            between += now not in (before, after)
            again(checks, folder, words, what, before, after, several)
            shutil.rmtree(folder)
            for error in ("ENOSPC", "EIO"):
                folder = copied(origin)
                done, _ = traced(checks, folder, words, nth(steps, step, f"error={error}"))
                at = f"{what}, {error} at step {step} of {len(steps)}"
                now = state(folder)
                if done.returncode == 0:
                    checks.that(same(now, after), f"{at}: done in spite of it")
                else:
                    checks.equal(done.returncode, 2, f"{at}: the status")
                    checks.that("setout: " in done.stderr and "panicked" not in done.stderr, f"{at}: a sentence", told(done))
                    checks.that(same(now, before), f"{at}: nothing is lost", told(done))
                shutil.rmtree(folder)
    checks.that(between, "some of them were between two files", between)
    checks.say(f"{between} times killed between two files of one change")


def nth(steps, step, what):
    """What is to happen at a step, as strace counts: each call for itself."""
    names = [re.match(r"(?:\d+ +)?(\w+)\(", line)[1] for line in steps[:step]]
    return "-e", f"inject={names[-1]}:{what}:when={names.count(names[-1])}"


def same(now, wanted):
    """A bundle bears the time at which it was made."""
    def but_bundles(files):
        return {path: content for path, content in files.items() if not path.startswith("releases/")}
    return but_bundles(now) == but_bundles(wanted)


# --- no room

def limited(limit):
    def apply():
        # A write beyond the limit fails; the signal that goes with it would end the program.
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
    return apply


def refused(checks, folder, words, what, preexec=None, before=None):
    """A sentence, status 2, and everything as it was."""
    before = before if before is not None else state(folder)
    done = subprocess.run([checks.setout_path, "-C", folder, *words], env=checks.environment, capture_output=True,
                          stdin=subprocess.DEVNULL, text=True, preexec_fn=preexec, timeout=120)
    checks.equal(done.returncode, 2, f"{what}: status")
    faults = [line for line in done.stderr.splitlines() if line.startswith("setout: ") or "[io]" in line]
    checks.that(faults and "panicked" not in done.stderr, f"{what}: a sentence", told(done))
    checks.that(state(folder) == before, f"{what}: nothing is lost")
    checks.equal(left_behind(folder), [], f"{what}: nothing is left behind")


def no_room(checks):
    for what, words, _ in WRITERS:
        origin = prepared(checks, f"room-{what.replace(' ', '-')}", what)
        for limit in (0, 100):
            folder = copied(origin)
            refused(checks, folder, words, f"{what}, files of {limit} bytes at most", limited(limit))
    small_disk(checks)


def small_disk(checks):
    """A file system of its own that is full, if we may mount one."""
    at = checks.folder("small")
    done = checks.run("mount", "-t", "tmpfs", "-o", "size=4m", "tmpfs", at)
    if done.returncode != 0:
        checks.say("no small disk: mounting takes more rights than there are; limits on files stand in")
        return
    try:
        for what, words, _ in WRITERS:
            origin = prepared(checks, f"disk-{what.replace(' ', '-')}", what)
            folder = at / "design"
            shutil.copytree(origin, folder, symlinks=True)
            with open(at / "ballast", "wb") as ballast:
                fill(ballast)
            refused(checks, folder, words, f"{what} on a full disk")
            (at / "ballast").unlink()
            done = checks.setout(folder, *words)
            checks.equal(done.returncode, 0, f"{what}: with room again: {done.stderr[:300]}")
            shutil.rmtree(folder)
    finally:
        checks.run("umount", at)


def fill(ballast):
    try:
        while True:
            ballast.write(bytes(512))
            ballast.flush()
    except OSError:
        try:
            ballast.close()
        except OSError:
            pass


def read_only(checks):
    """Folders that nobody may write to; who is root may, unless the file system itself is read-only."""
    for what, words, _ in WRITERS:
        folder = prepared(checks, f"read-only-{what.replace(' ', '-')}", what)
        if os.geteuid() == 0:
            if checks.run("mount", "--bind", folder, folder).returncode != 0:
                checks.say("no read-only folder: mounting takes more rights than there are")
                return
            try:
                checks.run("mount", "-o", "remount,ro,bind", folder)
                refused(checks, folder, words, f"{what} in a read-only folder")
            finally:
                checks.run("umount", folder)
        else:
            folders = [path for path in folder.rglob("*") if path.is_dir()] + [folder]
            for path in folders:
                path.chmod(0o555)
            refused(checks, folder, words, f"{what} in a read-only folder")
            for path in folders:
                path.chmod(0o755)


# --- at the same time

def two_at_once(checks):
    """Two edits of one file: each is made whole or refused; none is made by halves or lost in silence."""
    folder = design(checks, "two")
    table = folder / "params/base.yaml"
    lost = made = refusals = 0
    for round_ in range(30):
        words = [("set", "base.d1", f"{round_ + 100} mm"), ("set", "base.d2", f"{round_ + 200} mm")]
        both = [subprocess.Popen([checks.setout_path, "-C", folder, *own], env=checks.environment, text=True,
                                 stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
                for own in words]
        said = [child.communicate(timeout=60) for child in both]
        text = table.read_text()
        for own, child, (_, err) in zip(words, both, said, strict=True):
            name, value = own[1].split(".")[1], own[2]
            if child.returncode == 0:
                made += 1
                lost += f"  {name}: {value}\n" not in text
            else:
                refusals += 1
                checks.that("changed" in err and "help:" in err, "who comes second is told", err)
        done = checks.setout(folder, "check")
        checks.equal(done.returncode, 0, f"round {round_}: the table is whole")
    checks.equal(lost, 0, "no edit is lost")
    checks.say(f"two at once: {made} edits made, {refusals} refused, none lost")
    exports = [subprocess.Popen([checks.setout_path, "-C", folder, "export"], env=checks.environment,
                                stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
               for _ in range(6)]
    for child in exports:
        child.wait(timeout=60)
    checks.equal(checks.setout(folder, "export", "--force").returncode, 0, "exports at once, and one more")
    checks.equal(checks.setout(folder, "export", "--verify").returncode, 0, "leave whole files")


def changed_while_read(checks):
    """An editor that writes the table again and again, in place: what is read is a table or has a fault."""
    folder = design(checks, "changed")
    table = folder / "params/base.yaml"
    texts = [table.read_text(), table.read_text().replace("a: 1 mm", "a: 100 mm")]
    going = threading.Event()
    going.set()

    def edit():
        turn = 0
        while going.is_set():
            with open(table, "w", encoding="utf-8") as file:
                for piece in texts[turn % 2].splitlines(keepends=True):
                    file.write(piece)
                    file.flush()
            turn += 1
            time.sleep(0.002)

    editor = threading.Thread(target=edit)
    editor.start()
    try:
        for _ in range(40):
            done = checks.setout(folder, "check")
            checks.that(done.returncode in (0, 2) and "panicked" not in done.stderr, "read while it changes", told(done))
        for _ in range(20):
            done = checks.setout(folder, "set", "base.d3", "5 mm")
            checks.that(done.returncode in (0, 2) and "panicked" not in done.stderr, "set while it changes", told(done))
    finally:
        going.clear()
        editor.join()


# --- nobody listens

def outputs(checks):
    folder = design(checks, "outputs")
    table = folder / "params/bad.yaml"
    answers = [("show",), ("show", "--format", "json"), ("export", "--stdout", "csv"), ("check", "--all"),
               ("schema",), ("--help",), ("check", "--help"), ("--version",), ("impact", "base.a=9mm"),
               ("check", "--format", "sarif"), ("check", "--format", "markdown"), ("trace", "t1.a")]
    for words in answers:
        what = " ".join(words)
        child = subprocess.Popen([checks.setout_path, "-C", folder, *words], env=checks.environment,
                                 stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        child.stdout.read(1)
        child.stdout.close()
        err = child.stderr.read().decode()
        child.wait(timeout=60)
        checks.equal((child.returncode, err), (0, ""), f"{what} | head: quiet")
        for name, how, statuses in [("a full disk", ">/dev/full", (2,)), ("nothing open", ">&-", (0, 2)),
                                    ("no errors either", ">&- 2>&-", (0, 2)), ("no input", "<&-", (0,))]:
            done = subprocess.run(["sh", "-c", f'"$0" "$@" {how}', checks.setout_path, "-C", folder, *words],
                                  env=checks.environment, capture_output=True, text=True, timeout=60)
            checks.that(done.returncode in statuses, f"{what}, {name}: status", told(done))
            checks.that("panicked" not in done.stderr, f"{what}, {name}: no panic", told(done))
            if name == "a full disk":
                checks.that(done.stderr.startswith("setout: the results cannot be written: ")
                            and done.stderr.count("setout: ") == 1, f"{what}, {name}: one sentence", told(done))
    table.write_text("dimensions:\n" + "".join(f"  A{n}: 1 mm\n" for n in range(100)))
    for how in ("2>/dev/full", "2>&-", "2>&1 | head -c 1", ">/dev/full 2>/dev/full"):
        done = subprocess.run(["sh", "-c", f'"$0" "$@" {how}', checks.setout_path, "-C", folder, "check"],
                              env=checks.environment, capture_output=True, text=True, timeout=60)
        wanted = 0 if "head" in how else 2
        checks.equal(done.returncode, wanted, f"faults to nobody, {how}")
    table.unlink()
    # What was opened in place of a closed output must not be written into.
    for words in (("set", "base.a", "4 mm"), ("export",), ("rename", "base.b", "bb")):
        for how in (">&-", ">&- 2>&-", "<&- >&- 2>&-", ">/dev/full"):
            own = copied(folder)
            plain = copied(folder)
            checks.setout(plain, *words)
            subprocess.run(["sh", "-c", f'"$0" "$@" {how}', checks.setout_path, "-C", own, *words],
                           env=checks.environment, capture_output=True, timeout=60)
            checks.that(state(own) in (state(plain), state(folder)), f"{words[0]} {how}: files hold files")


if __name__ == "__main__":
    main("crashes", [killed, at_each_step, no_room, read_only, two_at_once, changed_while_read, outputs])
