"""`setout merge` as git's merge driver, and by hand, in repositories that the `git` command made.

Sources: git itself, run without anybody's settings. What a merge must come to follows from the
texts: an edit of one side alone is there, and where git's own merge of lines is clean and both sides
changed other dimensions, the values are the same. The contract of a merge driver (status 0 clean, 1
to 128 in conflict, above 128 stopped; nothing is run where one side alone changed) is git's
documentation of attributes, `gitattributes(5)`.
"""

import os
import re
import shutil
import signal
import subprocess
import time

from git import DESIGN, JAW, TONGUE, Repository, hermetic
from support import main, told

MARKS = re.compile(r"^(<{7}|\|{7}|={7}|>{7})", re.M)


def with_setout(checks, repository, name="bin"):
    """A folder for the PATH that has the command under test, and git's settings made by it."""
    folder = checks.place / name
    if not folder.exists():
        folder.mkdir()
        (folder / "setout").symlink_to(checks.setout_path)
    checks.environment["PATH"] = f"{folder}{os.pathsep}{checks.environment['PATH']}"
    done = checks.setout(repository.folder, "merge", "--install")
    checks.equal(done.returncode, 0, "the driver is installed: " + told(done))
    repository.git("add", "--all")
    repository.git("commit", "--quiet", "--message", "attributes")


def made(checks, name):
    repository = Repository.new(checks, name)
    repository.git("checkout", "--quiet", "-b", "main")
    repository.write(design=DESIGN, jaw=JAW, tongue=TONGUE)
    repository.commit("the jaw")
    return repository


def sides(repository, ours, theirs):
    """Edits of the jaw on two branches; main is checked out."""
    repository.git("checkout", "--quiet", "-b", "side")
    repository.edit("jaw", *theirs)
    repository.commit("theirs")
    repository.git("checkout", "--quiet", "main")
    repository.edit("jaw", *ours)
    repository.commit("ours")


def text(repository, table="jaw"):
    return (repository.folder / "params" / f"{table}.yaml").read_text(encoding="utf-8")


OURS = [("value: 62 mm", "value: 63 mm"), ("lid: 12 mm", "lid: 13 mm")]
THEIRS = [("min: 55 mm", "min: 56 mm"), ("  half: inner / 2\n", "  half: inner / 2\n  rim: 1 mm\n")]
BOTH = OURS + THEIRS


def wanted(pairs):
    jaw = JAW
    for old, new in pairs:
        jaw = jaw.replace(old, new)
    return jaw


def by_every_command(checks):
    """merge, rebase, cherry-pick and stash pop all run the driver."""
    def start(name):
        repository = made(checks, name)
        with_setout(checks, repository)
        return repository

    repository = start("merge")
    sides(repository, OURS, THEIRS)
    repository.git("merge", "--quiet", "side")
    checks.equal(text(repository), wanted(BOTH), "git merge")
    checks.equal(repository.git("status", "--short"), "", "git merge: nothing is left over")

    repository = start("rebase")
    sides(repository, OURS, THEIRS)
    repository.git("rebase", "--quiet", "side")
    checks.equal(text(repository), wanted(BOTH), "git rebase")

    repository = start("cherry-pick")
    sides(repository, OURS, THEIRS)
    repository.git("cherry-pick", "side")
    checks.equal(text(repository), wanted(BOTH), "git cherry-pick")

    repository = start("stash")
    repository.edit("jaw", *THEIRS)
    repository.git("stash", "--quiet")
    repository.edit("jaw", *OURS)
    repository.commit("ours")
    repository.git("stash", "pop", "--quiet")
    checks.equal(text(repository), wanted(BOTH), "git stash pop")

    # Lines alone cannot do this, or the driver proves nothing.
    plain = made(checks, "plain")
    sides(plain, OURS, THEIRS)
    done = checks.run("git", "merge", "side", cwd=plain.folder)
    checks.that(done.returncode != 0, "git's own merge of these sides has a conflict", told(done))


def conflicts(checks):
    repository = made(checks, "conflict")
    with_setout(checks, repository)
    sides(repository, [("value: 62 mm", "value: 63 mm"), ("min: 55 mm", "min: 54 mm")],
          [("value: 62 mm", "value: 64 mm"), ("max: 70 mm", "max: 71 mm")])
    done = checks.run("git", "merge", "side", cwd=repository.folder)
    checks.equal(done.returncode, 1, "git merge says that there is a conflict")
    merged = text(repository)
    for part in ("<<<<<<< HEAD", "value: 63 mm", "value: 64 mm", "min: 54 mm", "max: 71 mm",
                 ">>>>>>> side", "||||||| "):
        checks.that(part in merged, f"conflict: {part} is in the table", merged)
    checks.that("width.value changed on both sides" in done.stderr, "it is named", told(done))
    checks.equal(repository.git("diff", "--name-only", "--diff-filter=U"), "params/jaw.yaml",
                 "git has the table as not merged")
    checks.equal(checks.setout(repository.folder, "check").returncode, 2,
                 "the design with marks is not evaluated")
    # A person settles it.
    settled = re.sub(r"<{7} HEAD\n(.*?)\|{7}.*?>{7} side\n", r"\1", merged, flags=re.S)
    (repository.folder / "params/jaw.yaml").write_text(settled, encoding="utf-8")
    checks.equal(checks.setout(repository.folder, "check").returncode, 0, "settled: it is a design")


def odd_labels(checks):
    repository = made(checks, "labels")
    with_setout(checks, repository)
    name = "it's-a-\"side\"$(x)"
    sides(repository, [("value: 62 mm", "value: 63 mm")], [("value: 62 mm", "value: 64 mm")])
    repository.git("branch", "--move", "side", name)
    done = checks.run("git", "merge", name, cwd=repository.folder)
    checks.equal(done.returncode, 1, "a branch with quotes: a conflict")
    checks.that(f">>>>>>> {name}" in text(repository), "its name stands behind the mark",
                text(repository))


def without_setout(checks):
    """A clone that has the settings and not the program: never ours without marks."""
    repository = made(checks, "missing")
    path = checks.environment["PATH"]
    with_setout(checks, repository)
    sides(repository, [("value: 62 mm", "value: 63 mm")], [("value: 62 mm", "value: 64 mm")])
    broken = checks.folder("broken")
    for what, program in (("missing", None), ("one that knows no merge", "exit 2"),
                          ("one that is killed", "kill -9 $$")):
        checks.environment["PATH"] = path
        if program:
            script = broken / "setout"
            script.write_text(f"#!/bin/sh\n{program}\n")
            script.chmod(0o755)
            checks.environment["PATH"] = f"{broken}{os.pathsep}{path}"
        checks.that(program or not shutil.which("setout", path=path), "there is no setout")
        done = checks.run("git", "merge", "side", cwd=repository.folder)
        checks.equal(done.returncode, 1, f"{what}: git says that there is a conflict")
        checks.equal(len(MARKS.findall(text(repository))), 4, f"{what}: the lines have marks")
        checks.that("setout did not merge" in done.stderr, f"{what}: it is said", told(done))
        answer = checks.run(checks.setout_path, "merge", "--verify", cwd=repository.folder)
        shown = checks.run("git", "diff", "HEAD~1", "HEAD", cwd=repository.folder)
        checks.that("value: 63 mm" in shown.stdout, f"{what}: git diff shows the table", told(shown))
        if not program:
            checks.equal(answer.returncode, 1, f"{what}: --verify says so")
            checks.that("no folder of the PATH has it" in answer.stdout, "--verify says why",
                        told(answer))
        repository.git("merge", "--abort")
    checks.environment["PATH"] = path


def views(checks):
    repository = made(checks, "views")
    with_setout(checks, repository)
    repository.edit("jaw", ("    value: 62 mm\n", "    value: '62 mm'   # the same\n"))
    repository.commit("layout")
    checks.equal(checks.run("git", "diff", "HEAD~1", "--", "params", cwd=repository.folder)
                 .stdout.count("\n+"), 0, "git diff shows no change of layout")
    repository.edit("jaw", ("min: 55 mm", "min: 56 mm"))
    shown = checks.run("git", "diff", cwd=repository.folder).stdout
    checks.that("\n-width.min: 55 mm\n+width.min: 56 mm\n" in shown, "git diff shows the limit", shown)
    repository.commit("limits")
    shown = checks.run("git", "log", "-p", "-1", cwd=repository.folder).stdout
    checks.that("\n+width.min: 56 mm\n" in shown, "git log -p shows the limit", shown)
    (repository.folder / "params/jaw.yaml").write_text("dimensions: [\n", encoding="utf-8")
    shown = checks.run("git", "diff", cwd=repository.folder)
    checks.that(shown.returncode == 0 and "\n+dimensions: [\n" in shown.stdout,
                "what is no table is shown as it is", told(shown))


def worktrees(checks):
    repository = made(checks, "trees")
    with_setout(checks, repository)
    sides(repository, OURS, THEIRS)
    other = repository.folder.parent / "linked"
    repository.git("worktree", "add", "--quiet", "--detach", str(other), "main")
    linked = Repository(checks, other)
    linked.git("merge", "--quiet", "side")
    checks.equal(text(linked), wanted(BOTH), "in a linked work tree")
    checks.equal(checks.setout(other, "merge", "--verify").returncode, 0, "--verify there")
    repository.git("clone", "--quiet", "--bare", ".", "../bare.git")
    refused = checks.setout(repository.folder.parent / "bare.git", "merge", "--install")
    checks.equal(refused.returncode, 2, "a bare repository is refused")
    checks.that(refused.stderr.strip(), "with a sentence", told(refused))


def criss_cross(checks):
    """Two merges that were settled in two ways, merged: the base has marks of its own."""
    repository = made(checks, "criss")
    with_setout(checks, repository)
    git = repository.git
    one, other = ("value: 62 mm", "value: 63 mm"), ("value: 62 mm", "value: 64 mm")
    for branch, pair in (("one", one), ("other", other)):
        git("checkout", "--quiet", "-b", branch, "main")
        repository.edit("jaw", pair)
        repository.commit(branch)
    tips = {branch: git("rev-parse", branch) for branch in ("one", "other")}
    for branch, tip in (("one", tips["other"]), ("other", tips["one"])):
        git("checkout", "--quiet", branch)
        checks.run("git", "merge", tip, cwd=repository.folder)
        git("checkout", "--ours", "--", "params")
        git("commit", "--quiet", "--all", "--message", f"{branch} stands")
    done = checks.run("git", "merge", "one", cwd=repository.folder)
    checks.equal(done.returncode, 1, "criss-cross: a conflict")
    merged = text(repository)
    checks.equal(len(MARKS.findall(re.sub(r"(?m)^([<|=>])\1{8,}.*$", "", merged))), 4,
                 "criss-cross: marks of the base have another length")
    said = checks.json(repository.folder, "check", status=(2,))["faults"]
    checks.equal([fault["line"] for fault in said if fault["fault"] == "yaml"],
                 [merged.split("<<<<<<<")[0].count("\n") + 1],
                 "criss-cross: check names the one conflict, and reads the rest")


def kinds_of_repositories(checks):
    """Submodules, SHA-256, folders with odd names, CRLF."""
    inner = made(checks, "inner")
    with_setout(checks, inner)
    sides(inner, OURS, THEIRS)
    outer = Repository.new(checks, "outer")
    outer.git("-c", "protocol.file.allow=always", "submodule", "--quiet", "add", str(inner.folder), "face")
    inner = Repository(checks, outer.folder / "face")
    checks.equal(checks.setout(inner.folder, "merge", "--verify").returncode, 1,
                 "a submodule is a clone, and knows of nothing")
    checks.equal(checks.setout(inner.folder, "merge", "--install").returncode, 0, "in a submodule")
    inner.git("merge", "--quiet", "origin/side")
    checks.equal(text(inner), wanted(BOTH), "a merge in a submodule")

    folder = checks.folder("sha256")
    checks.run("git", "init", "--quiet", "--object-format=sha256", "-b", "main", cwd=folder)
    repository = Repository(checks, folder)
    repository.write(design=DESIGN, jaw=JAW, tongue=TONGUE)
    repository.commit("the jaw")
    with_setout(checks, repository)
    sides(repository, OURS, THEIRS)
    before = checks.setout(folder, "merge", "--preview", "side")
    checks.equal(before.returncode, 0, "SHA-256: a look before: " + told(before))
    repository.git("merge", "--quiet", "side")
    checks.equal(text(repository), wanted(BOTH), "SHA-256")

    for name in ("my [old] face", "a*b", "ohr\u00f6 \"q\"", "it's $(x)"):
        repository = Repository.new(checks, f"odd {len(name)}")
        repository.git("checkout", "--quiet", "-b", "main")
        repository.write(design=DESIGN, jaw=JAW, tongue=TONGUE)
        (repository.folder / "params").rename(repository.folder / name)
        repository.commit("the jaw")
        done = checks.setout(repository.folder / name, "merge", "--install")
        checks.equal(done.returncode, 0, f"{name}: installed: " + told(done))
        repository.commit("attributes")
        place = repository.folder / name / "jaw.yaml"
        for branch, pairs in (("side", THEIRS), ("main", OURS)):
            repository.git("checkout", "--quiet", *(["-b"] if branch == "side" else []), branch)
            place.write_text(wanted(pairs), encoding="utf-8")
            repository.commit(branch)
        merged = checks.run("git", "merge", "side", cwd=repository.folder)
        checks.equal(place.read_text(encoding="utf-8"), wanted(BOTH), f"{name}: " + told(merged))

    repository = made(checks, "crlf")
    with_setout(checks, repository)
    place = repository.folder / "params/jaw.yaml"
    place.write_bytes(JAW.replace("\n", "\r\n").encode())
    repository.commit("line ends")
    for branch, pairs in (("side", THEIRS), ("main", OURS)):
        repository.git("checkout", "--quiet", *(["-b"] if branch == "side" else []), branch)
        place.write_bytes(wanted(pairs).replace("\n", "\r\n").encode())
        repository.commit(branch)
    repository.git("merge", "--quiet", "side")
    checks.equal(place.read_bytes(), wanted(BOTH).replace("\n", "\r\n").encode(), "CRLF is kept")


def settings(checks):
    """What counts is what git is told by any of its configurations; others' lines stay."""
    repository = made(checks, "settings")
    attributes = repository.folder / ".gitattributes"
    attributes.write_bytes(b"# ours\r\n*.yaml merge=union\r\n*.stl binary")
    repository.git("config", "merge.other.driver", "true")
    with_setout(checks, repository)
    kept = attributes.read_bytes()
    checks.that(kept.startswith(b"# ours\r\n*.yaml merge=union\r\n*.stl binary\r\n"),
                "other lines stay", kept)
    checks.equal(repository.git("config", "merge.other.driver"), "true", "other settings stay")
    checks.setout(repository.folder, "merge", "--install")
    checks.equal(attributes.read_bytes(), kept, "--install again changes nothing")
    driver, view = (repository.git("config", key) for key in ("merge.setout.driver", "diff.setout.textconv"))
    for section in ("merge.setout", "diff.setout"):
        repository.git("config", "--remove-section", section)
    checks.equal(checks.setout(repository.folder, "merge", "--verify").returncode, 1, "taken away")
    # Never by --global: git would put a file in the place of the one that is named, /dev/null here.
    own = checks.place / "of-the-user"
    repository.git("config", "--file", str(own), "merge.setout.driver", driver)
    repository.git("config", "--file", str(own), "diff.setout.textconv", view)
    nothing = checks.environment["GIT_CONFIG_GLOBAL"]
    checks.environment["GIT_CONFIG_GLOBAL"] = str(own)
    done = checks.setout(repository.folder, "merge", "--verify")
    checks.environment["GIT_CONFIG_GLOBAL"] = nothing
    checks.equal(done.returncode, 0, "the user's own settings count: " + told(done))


def after_a_merge(checks):
    """Each side holds, both together do not: said before, and by the hook after."""
    repository = made(checks, "after")
    with_setout(checks, repository)
    sides(repository, [("value: 62 mm", "value: 61 mm")], [("wall: 2.4 mm", "wall: 2.9 mm")])
    before = checks.json(repository.folder, "merge", "--preview", "side", status=(1,))
    checks.equal([check["name"] for check in before["checks"]], ["jaw.room"], "--preview says it")
    hook = repository.folder / ".git/hooks/post-merge"
    hook.parent.mkdir(exist_ok=True)
    hook.write_text("#!/bin/sh\nexec setout check\n")
    hook.chmod(0o755)
    done = checks.run("git", "merge", "side", cwd=repository.folder)
    checks.that("fails    jaw.room" in done.stdout + done.stderr, "the hook says it", told(done))
    checks.equal(checks.setout(repository.folder, "check").returncode, 1, "and so does check")


def edited(checks, jaw):
    """One side: some dimensions of the jaw edited, and which."""
    lines = jaw.splitlines(keepends=True)
    entries = [at for at, line in enumerate(lines) if re.match(r"  d\d+: ", line)]
    which = checks.random.sample(entries, checks.random.randint(1, 3))
    names = set()
    for at in which:
        name = lines[at].split(":")[0].strip()
        names.add(name)
        lines[at] = f"  {name}: {checks.random.randint(100, 999)} mm\n"
    if checks.random.random() < 0.4:
        at = checks.random.choice(entries)
        name = f"n{checks.random.randint(0, 99999)}"
        lines.insert(at, f"  {name}: {checks.random.randint(1, 99)} mm\n")
        names.add(name)
    return "".join(lines), names


def values(checks, folder):
    return {each["name"]: each.get("value") for each in checks.json(folder, "show")["dimensions"]}


def random_pairs(checks, count=200):
    """Where git's own merge is clean and the sides touched other dimensions, the values agree."""
    repository = made(checks, "pairs")
    with_setout(checks, repository)
    folder, clean, marked = repository.folder, 0, 0
    place = folder / "params/jaw.yaml"
    for turn in range(count):
        base = "dimensions:\n" + "".join(
            f"  d{at}: {checks.random.randint(1, 99)} mm\n" + ("" if at % 3 else "\n")
            for at in range(checks.random.randint(4, 14)))
        place.write_text(base, encoding="utf-8")
        (folder / "params/tongue.yaml").write_text("dimensions:\n  a: 1 mm\n", encoding="utf-8")
        repository.git("add", "--all")
        repository.git("commit", "--quiet", "--allow-empty", "--message", f"base {turn}")
        repository.git("checkout", "--quiet", "-B", "side")
        ours, by_ours = edited(checks, base)
        theirs, by_theirs = edited(checks, base)
        place.write_text(theirs, encoding="utf-8")
        repository.git("commit", "--quiet", "--all", "--allow-empty", "--message", "theirs")
        repository.git("checkout", "--quiet", "main")
        place.write_text(ours, encoding="utf-8")
        repository.git("commit", "--quiet", "--all", "--allow-empty", "--message", "ours")
        files = {}
        for name, content in (("base", base), ("ours", ours), ("theirs", theirs)):
            files[name] = checks.place / f"pair-{name}.yaml"
            files[name].write_text(content, encoding="utf-8")
        lines = checks.run("git", "merge-file", "-p", files["ours"], files["base"], files["theirs"])
        done = checks.run("git", "merge", "--quiet", "side", cwd=folder)
        is_apart = not by_ours & by_theirs
        checks.equal(done.returncode == 0, is_apart or ours == theirs or
                     same_values(by_ours & by_theirs, ours, theirs),
                     f"pair {turn}: clean where the sides touch other dimensions")
        if done.returncode:
            marked += 1
            checks.that(MARKS.search(text(repository)), f"pair {turn}: marks")
            repository.git("merge", "--abort")
            continue
        clean += 1
        found = values(checks, folder)
        if lines.returncode == 0 and is_apart:
            place.write_text(lines.stdout, encoding="utf-8")
            checks.equal(found, values(checks, folder), f"pair {turn}: the values of git's merge")
            repository.git("checkout", "--quiet", "--", ".")
    checks.say(f"{count} pairs: {clean} clean, {marked} in conflict")
    checks.that(clean > count / 4 and marked > count / 10, "both sorts were met")


def same_values(names, ours, theirs):
    lines = [{line.strip() for line in side.splitlines()} for side in (ours, theirs)]
    return all(
        {line for line in lines[0] if line.startswith(f"{name}:")}
        == {line for line in lines[1] if line.startswith(f"{name}:")}
        for name in names
    )


def killed(checks, turns=36):
    """Ended at any moment, the table is what it was or what it is to be."""
    folder = checks.folder("killed")
    base = "dimensions:\n" + "".join(f"  d{at}: {at} mm\n" for at in range(3000))
    ours, theirs = base.replace("d7: 7", "d7: 8"), base.replace("d2999: 2999", "d2999: 1")
    both = ours.replace("d2999: 2999", "d2999: 1")
    for name, content in (("base", base), ("theirs", theirs)):
        (folder / name).write_text(content, encoding="utf-8")
    words = [str(checks.setout_path), "merge", "--in-place", "base", "ours", "theirs"]
    (folder / "ours").write_text(ours, encoding="utf-8")
    start = time.monotonic()
    subprocess.run(words, cwd=folder, env=checks.environment, check=True, capture_output=True)
    whole = time.monotonic() - start
    states = {ours: 0, both: 0}
    for turn in range(turns):
        (folder / "ours").write_text(ours, encoding="utf-8")
        running = subprocess.Popen(words, cwd=folder, env=checks.environment,
                                   stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        # However busy the machine is, some are ended at once and some not at all.
        if turn % 6 != 5:
            time.sleep(0 if turn % 6 == 4 else checks.random.uniform(0, whole * 2))
            running.send_signal(signal.SIGKILL)
        running.wait()
        found = (folder / "ours").read_text(encoding="utf-8")
        if checks.that(found in states, "killed: the table is whole"):
            states[found] += 1
    checks.that(all(states.values()), "killed: both before and after the writing", states)
    checks.say(f"killed {turns} times: {states[ours]} before, {states[both]} after the writing")


def merging(checks):
    path = checks.environment["PATH"]
    for check in (by_every_command, conflicts, odd_labels, criss_cross, views, worktrees,
                  kinds_of_repositories, settings, after_a_merge, without_setout, random_pairs,
                  killed):
        checks.environment["PATH"] = path
        check(checks)


if __name__ == "__main__":
    main("merging", [hermetic, merging])
