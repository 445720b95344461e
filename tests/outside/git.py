"""What `setout diff` says about revisions that the `git` command made.

Source: git itself, run without anybody's settings. What must be told as an edit, and what as a
consequence and of which edit, follows from the design below, small enough to be worked out by hand.
"""

import json
import re

from support import Broken, main, told

DESIGN = "setout: 1\nname: a jaw\ncurrency: GBP\n"

JAW = """\
about: the jaw
dimensions:
  width:
    value: 62 mm
    min: 55 mm
    max: 70 mm
    tolerance: ±0.2 mm
    note: as the drawing has it
  wall: 2.4 mm
  inner: width - 2 * wall        # what is left for the tongue
  half: inner / 2
  lid: 12 mm
checks:
  room: { require: inner >= 56 mm, why: the tongue has to go in }
parts:
  shell:
    made: bought
    cost: 2 GBP * (width / 62 mm)
    uses: [width]
"""

TONGUE = """\
dimensions:
  width: jaw.inner - 3 mm
  length: 50 mm
  tip: length / 4
"""

# What came of it, in millimetres.
BEFORE = {"jaw.inner": 57.2, "jaw.half": 28.6, "tongue.width": 54.2}

# Words by which a refusal could be taken for an answer.
NOTHING = re.compile(r"no (changes?|differences?)|nothing (has )?chang|identical|the same", re.I)


class Repository:
    def __init__(self, checks, folder):
        self.checks, self.folder = checks, folder

    @classmethod
    def new(cls, checks, name):
        repository = cls(checks, checks.folder(name))
        repository.git("init", "--quiet")
        return repository

    def git(self, *words):
        done = self.checks.run("git", *words, cwd=self.folder)
        if done.returncode != 0:
            raise Broken(told(done))
        return done.stdout.strip()

    def write(self, **tables):
        for table, text in tables.items():
            path = self.folder / "params" / f"{table}.yaml"
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8", newline="")

    def edit(self, table, *pairs):
        path = self.folder / "params" / f"{table}.yaml"
        text = path.read_text(encoding="utf-8")
        for old, new in pairs:
            if text.count(old) != 1:
                raise Broken(f"{table}: {old!r} stands there {text.count(old)} times")
            text = text.replace(old, new)
        path.write_text(text, encoding="utf-8", newline="")

    def commit(self, message):
        self.git("add", "--all")
        self.git("commit", "--quiet", "--message", message)
        return self.git("rev-parse", "HEAD")

    def diff(self, *words, status=(0,)):
        return self.checks.json(self.folder, "diff", *words, status=status)

    def refusal(self, what, *words):
        """A `diff` that cannot be answered: status 2, a fault with a help, and nothing else."""
        checks = self.checks
        answer = self.diff(*words, status=(2,))
        faults = answer.get("faults", [])
        good = bool(faults) and all(fault["message"] and fault["help"] for fault in faults)
        checks.that(good, f"{what}: a fault with its mend", json.dumps(answer))
        checks.that("edits" not in answer, f"{what}: no list of edits", json.dumps(answer)[:500])
        done = checks.setout(self.folder, "diff", *words)
        checks.equal((done.returncode, done.stdout), (2, ""), f"{what}: nothing but a refusal")
        checks.that(done.stderr and not NOTHING.search(done.stderr),
                    f"{what}: the refusal does not sound like an answer", done.stderr)
        return " ".join(fault["message"] + " " + fault["help"] for fault in faults)


def started(checks, name):
    """A repository with one revision of the design."""
    repository = Repository.new(checks, name)
    repository.write(design=DESIGN, jaw=JAW, tongue=TONGUE)
    repository.commit("the jaw")
    return repository


def edits_of(answer):
    return sorted((edit["name"], edit["what"]) for edit in answer["edits"])


def consequences_of(answer):
    return {entry["name"]: (entry["before"], entry["after"], entry["because"])
            for entry in answer["consequences"]}


def near(found, wanted):
    """Whether consequences are those; numbers may differ in the last digits."""
    return found.keys() == wanted.keys() and all(
        abs(found[name][0] - wanted[name][0]) < 1e-9
        and abs(found[name][1] - wanted[name][1]) < 1e-9
        and sorted(found[name][2]) == sorted(wanted[name][2])
        for name in wanted
    )


def widened(by, because=("jaw.width",)):
    """The consequences of an inside that has grown by so much."""
    share = {"jaw.inner": 1, "jaw.half": 0.5, "tongue.width": 1}
    return {name: (BEFORE[name], BEFORE[name] + by * share[name], list(because)) for name in BEFORE}


def said(checks, answer, edits, consequences, what):
    checks.equal(edits_of(answer), sorted(edits), f"{what}: the edits")
    found = consequences_of(answer)
    checks.that(near(found, consequences), f"{what}: the consequences",
                f"found  {found}\n    wanted {consequences}")


WIDTH = [("jaw.width", "value")]


def revisions(checks):
    repository = started(checks, "revisions")
    repository.edit("jaw", ("value: 62 mm", "value: 64 mm"))
    repository.commit("wider")
    repository.git("tag", "wide")
    for words in (["HEAD~1..HEAD"], ["HEAD~1", "HEAD"], ["HEAD~1.."], ["HEAD~1"], ["HEAD~1..wide"],
                  ["HEAD^..HEAD"], ["HEAD~1...HEAD"]):
        answer = repository.diff(*words)
        said(checks, answer, WIDTH, widened(2), f"diff {' '.join(words)}")
    [edit] = answer["edits"]
    checks.equal((edit["before"], edit["after"]), ("62 mm", "64 mm"), "the edit as it was typed")
    room = {check["name"]: check for check in answer["checks"]}["jaw.room"]
    checks.that(room["before"]["verdict"] == room["after"]["verdict"] == "holds", "the check holds")
    checks.that(abs(room["after"]["margin"] - 3.2) < 1e-9, "its margin has grown", str(room))
    parts = {part["name"]: part for part in answer["parts"]}
    checks.equal(parts.get("jaw.shell", {}).get("because"), ["jaw.width"], "the part, and why")
    back = repository.diff("HEAD..HEAD~1")
    mirrored = {name: (after, before, why) for name, (before, after, why) in widened(2).items()}
    said(checks, back, WIDTH, mirrored, "diff the other way round")
    for words in ([], ["HEAD..HEAD"], ["wide"]):
        answer = repository.diff(*words)
        said(checks, answer, [], {}, f"diff {' '.join(words)}, where nothing has changed")
    (repository.folder / "deeper").mkdir()
    answer = checks.json(repository.folder / "deeper", "diff", "HEAD~1")
    said(checks, answer, WIDTH, widened(2), "diff from a folder below")


def every_sort_of_edit(checks):
    repository = started(checks, "edits")
    repository.edit("jaw", ("max: 70 mm", "max: 72 mm"), ("±0.2 mm", "±0.1 mm"),
                    ("as the drawing has it", "as the new drawing has it"),
                    ("  lid: 12 mm\n", "  flap: 7 mm\n"), ("wall: 2.4 mm", "wall: 2 mm"))
    repository.edit("tongue", ("tip: length / 4", "tip: length / 5"), ("length: 50 mm", "length: 55 mm"))
    answer = repository.diff()
    wanted = [("jaw.width", "limits"), ("jaw.width", "tolerance"), ("jaw.width", "note"),
              ("jaw.lid", "removed"), ("jaw.flap", "added"), ("jaw.wall", "value"),
              ("tongue.tip", "value"), ("tongue.length", "value")]
    said(checks, answer, wanted, widened(0.8, ["jaw.wall"]), "edits of every sort")
    repository.commit("all of it")
    said(checks, repository.diff("HEAD~1..HEAD"), wanted, widened(0.8, ["jaw.wall"]),
         "the same between revisions")


def two_edits(checks):
    """Each consequence names the edits without which it would not have come about."""
    repository = started(checks, "two")
    repository.edit("jaw", ("value: 62 mm", "value: 64 mm"), ("wall: 2.4 mm", "wall: 2 mm"))
    said(checks, repository.diff(), [*WIDTH, ("jaw.wall", "value")],
         widened(2.8, ["jaw.wall", "jaw.width"]), "two edits")


def layout(checks):
    """Order, comments, blank lines and line ends are nothing to a design."""
    repository = started(checks, "layout")
    repository.edit("jaw", ("        # what is left for the tongue", "   # inside"))
    repository.edit("tongue", ("  length: 50 mm\n", ""), ("dimensions:\n", "dimensions:\n  length: 50 mm\n\n"))
    repository.write(jaw=(repository.folder / "params/jaw.yaml").read_text().replace("\n", "\r\n"))
    checks.that(repository.git("status", "--porcelain") != "", "git sees a change")
    said(checks, repository.diff(), [], {}, "layout alone")


def renames(checks):
    repository = started(checks, "renames")
    repository.git("mv", "params/jaw.yaml", "params/mandible.yaml")
    repository.edit("tongue", ("jaw.inner", "mandible.inner"))
    said(checks, repository.diff(), [("mandible", "renamed")], {}, "a table with another name")
    repository.commit("another name")
    answer = repository.diff("HEAD~1..HEAD")
    said(checks, answer, [("mandible", "renamed")], {}, "the same between revisions")
    checks.equal([answer["edits"][0][side] for side in ("before", "after")], ["jaw", "mandible"],
                 "the names before and after")
    repository.edit("mandible", ("value: 62 mm", "value: 64 mm"))
    renamed = {name.replace("jaw.", "mandible."): (before, after, ["mandible.width"])
               for name, (before, after, _) in widened(2).items()}
    said(checks, repository.diff("HEAD~1"), [("mandible", "renamed"), ("mandible.width", "value")],
         renamed, "a table renamed in one step and edited in the next")
    repository.edit("mandible", ("value: 64 mm", "value: 62 mm"), ("  half: inner", "  half_inner: inner"))
    said(checks, repository.diff("HEAD"), [("mandible.half_inner", "renamed")], {},
         "a dimension with another name")


def working_tree(checks):
    """A dirty tree: staged, unstaged and new files are all part of the files as they stand."""
    repository = started(checks, "dirty")
    repository.edit("jaw", ("value: 62 mm", "value: 63 mm"))
    repository.git("add", "--all")
    said(checks, repository.diff(), WIDTH, widened(1), "staged")
    repository.edit("jaw", ("value: 63 mm", "value: 64 mm"))
    said(checks, repository.diff(), WIDTH, widened(2), "staged and edited again")
    said(checks, repository.diff("HEAD"), WIDTH, widened(2), "the same against HEAD")
    said(checks, repository.diff("HEAD..HEAD"), [], {}, "revisions do not see the tree")
    repository.write(eye="dimensions:\n  globe: 30 mm\n")
    answer = repository.diff()
    checks.that(("eye.globe", "added") in edits_of(answer), "a table that git does not know yet",
                str(edits_of(answer)))
    index = repository.folder / ".git/index"
    before = repository.git("status", "--porcelain"), index.read_bytes()
    repository.diff("HEAD")
    after = index.read_bytes()
    checks.equal((repository.git("status", "--porcelain"), after), before, "all is left as it was")


def detached(checks):
    repository = started(checks, "detached")
    branch = repository.git("symbolic-ref", "--short", "HEAD")
    repository.edit("jaw", ("value: 62 mm", "value: 64 mm"))
    repository.commit("wider")
    repository.git("checkout", "--quiet", "--detach", "HEAD~1")
    said(checks, repository.diff(), [], {}, "detached, and nothing has changed")
    said(checks, repository.diff(f"HEAD..{branch}"), WIDTH, widened(2), "detached, against a branch")
    repository.edit("jaw", ("value: 62 mm", "value: 60 mm"))
    said(checks, repository.diff(), WIDTH, widened(-2), "detached and dirty")
    # From the common ancestor on, only the branch's own work counts.
    repository.commit("narrower")
    said(checks, repository.diff(f"HEAD...{branch}"), WIDTH, widened(2), "from the fork on")


def empty(checks):
    repository = Repository.new(checks, "empty")
    repository.write(design=DESIGN, jaw=JAW, tongue=TONGUE)
    repository.refusal("a repository without a revision")
    outside = Repository(checks, checks.folder("without"))
    outside.write(design=DESIGN, jaw=JAW, tongue=TONGUE)
    outside.refusal("no repository at all")


def unknown(checks):
    repository = started(checks, "unknown")
    for spec in ("nowhere", "HEAD~7", "HEAD..nowhere", "HEAD~1", "a..b..c", "0" * 40):
        text = repository.refusal(f"diff {spec}", spec)
        checks.that(any(part in text for part in re.split(r"\.\.+", spec) if part),
                    f"diff {spec}: the refusal says what is not there", text)
    before = started(checks, "later")
    (before.folder / "README").write_text("a head\n")
    before.git("rm", "--quiet", "-r", "params")
    before.commit("nothing here")
    before.write(design=DESIGN, jaw=JAW, tongue=TONGUE)
    before.commit("back again")
    before.refusal("a revision without the design", "HEAD~1")


def shallow(checks):
    """A clone that is cut off: the refusal names the fetch that mends it, and the fetch does."""
    origin = started(checks, "origin")
    for width in (63, 64):
        origin.edit("jaw", (f"value: {width - 1} mm", f"value: {width} mm"))
        origin.commit(f"{width} mm")
    bare = checks.place / "bare.git"
    origin.git("clone", "--quiet", "--bare", origin.folder, bare)
    clone = Repository(checks, checks.place / "shallow")
    origin.git("clone", "--quiet", "--depth", "1", f"file://{bare}", clone.folder)
    text = clone.refusal("a clone of depth 1", "HEAD~2")
    fetch = re.search(r"git fetch(?: -{1,2}[a-z-]+(?:=\d+)?)+(?: [a-z]+)?", text)
    checks.that(fetch, "the refusal says which fetch mends it", text)
    said(checks, clone.diff(), [], {}, "what a shallow clone does have")
    if fetch:
        clone.git(*fetch.group().split()[1:])
        said(checks, clone.diff("HEAD~2"), WIDTH, widened(2), f"after `{fetch.group()}`")
    # The same clone without a work tree has no design to stand in.
    cut = Repository(checks, checks.place / "shallow.git")
    origin.git("clone", "--quiet", "--bare", "--depth", "1", f"file://{bare}", cut.folder)
    cut.refusal("a bare clone of depth 1", "HEAD~2")
    cut.refusal("a bare clone of depth 1, without a word")


def hermetic(checks):
    """Nobody's settings, names or times in what git does here."""
    checks.environment |= {
        "GIT_CONFIG_GLOBAL": "/dev/null",
        "GIT_CONFIG_NOSYSTEM": "1",
        "GIT_CONFIG_COUNT": "4",
        "GIT_CONFIG_KEY_0": "init.defaultBranch",
        "GIT_CONFIG_VALUE_0": "main",
        "GIT_CONFIG_KEY_1": "protocol.file.allow",
        "GIT_CONFIG_VALUE_1": "always",
        "GIT_CONFIG_KEY_2": "core.autocrlf",
        "GIT_CONFIG_VALUE_2": "false",
        "GIT_CONFIG_KEY_3": "advice.detachedHead",
        "GIT_CONFIG_VALUE_3": "false",
        "GIT_AUTHOR_NAME": "Ada",
        "GIT_AUTHOR_EMAIL": "ada@example.org",
        "GIT_AUTHOR_DATE": "1700000000 +0130",
        "GIT_COMMITTER_NAME": "Grace",
        "GIT_COMMITTER_EMAIL": "grace@example.org",
        "GIT_COMMITTER_DATE": "1700000100 +0000",
    }
    checks.say(checks.run("git", "--version").stdout.strip())


if __name__ == "__main__":
    main("git", [hermetic, revisions, every_sort_of_edit, two_edits, layout, renames, working_tree,
                 detached, empty, unknown, shallow])
