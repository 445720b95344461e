"""`setout history` and `setout since` against a plain replay of random histories.

Source: git itself, run without anybody's settings. Each random repository is replayed: every commit
is checked out and asked with `setout show` and `setout check`. At which commits a value, a
definition or a verdict differs from all its parents then follows by comparing; what is the same
dimension under another name is known from how the repository was made. Where a commit renames and
changes one at once, which nobody can tell from the files, `history` has to list the same or say
where it left off and under which names the rest may be, and there the rest has to be. Causes of consequences are
those that `setout diff` gives for the commit and its parent. `git bisect run` must end where
`setout since` does.
"""

import json
import subprocess

from git import hermetic
from support import Broken, main, told

DESIGN = "setout: 1\nname: a random face\n"
TABLES = ["jaw", "brow", "eye"]
WORDS = ["width", "depth", "reach", "offset", "pitch", "bore", "lift", "span"]


class Thing:
    """A dimension. Its formula holds other dimensions by their numbers."""

    def __init__(self, table, name, number, terms):
        self.table, self.name, self.number, self.terms = table, name, number, terms
        self.faulty = False

    def copy(self):
        other = Thing(self.table, self.name, self.number, list(self.terms))
        other.faulty = self.faulty
        return other

    def definition(self):
        return (self.number, tuple(self.terms), self.faulty)

    def full(self):
        return f"{self.table}.{self.name}"


class State:
    """All dimensions by number, a limit for one check, and what is wrong or only layout."""

    def __init__(self):
        self.things, self.limit, self.noise, self.broken = {}, 20, 0, False

    def copy(self):
        other = State()
        other.things = {uid: thing.copy() for uid, thing in self.things.items()}
        other.limit, other.noise, other.broken = self.limit, self.noise, self.broken
        return other

    def named(self, table, uid):
        thing = self.things[uid]
        return thing.name if thing.table == table else thing.full()

    def texts(self):
        texts = {"design": DESIGN}
        for table in TABLES:
            lines = [f"# layout {self.noise}", "dimensions:"]
            for uid, thing in sorted(self.things.items()):
                if thing.table != table:
                    continue
                formula = " + ".join([f"{thing.number} mm"] + [
                    f"{self.named(table, other)} * {factor}" for other, factor in thing.terms])
                if thing.faulty:
                    formula += " + nothing_of_that_name"
                lines.append(f"  {thing.name}: {formula}")
            if self.broken and table == "eye":
                lines.append("  torn: no_such_thing * 2")
            if len(lines) == 2:
                lines[1] = "about: nothing yet"
            if table == "jaw" and 0 in self.things:
                lines.append(f"checks:\n  room: {{ require: {self.named(table, 0)} >= {self.limit} mm, "
                             "why: it has to fit }")
            texts[table] = "\n".join(lines) + "\n"
        return texts

    def needs(self, uid):
        found, waiting = set(), [uid]
        while waiting:
            one = waiting.pop()
            if one not in found and one in self.things:
                found.add(one)
                waiting.extend(other for other, _ in self.things[one].terms)
        return found

    def is_faulty(self, uid):
        return any(self.things[other].faulty for other in self.needs(uid))


class Maker:
    """Makes a random repository, commit by commit."""

    def __init__(self, checks, name, options=()):
        self.checks, self.random = checks, checks.random
        self.folder = checks.folder(name)
        self.git("init", "--quiet", "--initial-branch=main", *options)
        self.commits, self.states, self.parents, self.next = [], {}, {}, 0
        self.times = set()

    def git(self, *words, env=None, stdin=None):
        done = self.checks.run("git", *words, cwd=self.folder) if env is None and stdin is None \
            else run_with(self.checks, words, self.folder, env or {}, stdin)
        if done.returncode != 0:
            raise Broken(told(done))
        return done.stdout.strip()

    def time(self):
        while True:
            time = self.random.randrange(1_000_000_000, 1_700_000_000)
            if time not in self.times:
                self.times.add(time)
                return time

    def commit(self, state, parents, message):
        for old in (self.folder / "params").glob("*.yaml"):
            old.unlink()
        (self.folder / "params").mkdir(exist_ok=True)
        for table, text in state.texts().items():
            path = self.folder / "params" / f"{table}.yaml"
            path.write_text(text, encoding="utf-8")
        self.git("add", "--all")
        tree = self.git("write-tree")
        words = [word for parent in parents for word in ("-p", parent)]
        zone = self.random.choice(["+0000", "+0530", "-0930", "+1400"])
        stamp = f"@{self.time()} {zone}"
        env = {"GIT_AUTHOR_DATE": stamp, "GIT_COMMITTER_DATE": stamp}
        commit = self.git("commit-tree", tree, *words, "-m", message, env=env)
        self.commits.append(commit)
        self.states[commit], self.parents[commit] = state.copy(), list(parents)
        return commit

    def new_thing(self, state):
        uid, self.next = self.next, self.next + 1
        taken = {thing.full() for thing in state.things.values()}
        while True:
            table, name = self.random.choice(TABLES), f"{self.random.choice(WORDS)}_{uid}"
            if f"{table}.{name}" not in taken:
                break
        others = [other for other in state.things if other < uid]
        terms = [(other, self.random.choice([2, 3, 0.5]))
                 for other in self.random.sample(others, min(len(others), self.random.randrange(3)))]
        # No two have the same number, so that a rename has one candidate.
        state.things[uid] = Thing(table, name, 10 * uid + self.random.randrange(1, 10), terms)

    def change(self, state):
        """One random change, and what it is called."""
        uid = self.random.choice(sorted(state.things))
        thing = state.things[uid]
        what = self.random.choice(
            ["number", "number", "number", "term", "rename", "move", "add", "remove", "noise",
             "broken", "faulty", "limit", "both"])
        if what == "number":
            thing.number = 10 * uid + self.random.randrange(1, 10)
        elif what == "term" and thing.terms:
            index = self.random.randrange(len(thing.terms))
            thing.terms[index] = (thing.terms[index][0], self.random.choice([2, 3, 0.5, 4]))
        elif what == "rename":
            base = "_".join(thing.name.split("_")[:2])
            thing.name = f"{base}_{self.random.choice('abcdefgh')}"
        elif what == "move":
            thing.table = self.random.choice(TABLES)
        elif what == "both":
            thing.name = f"{'_'.join(thing.name.split('_')[:2])}_{self.random.choice('abcdefgh')}"
            thing.number = 10 * uid + self.random.randrange(1, 10)
        elif what == "add":
            self.new_thing(state)
        elif what == "remove" and uid != 0 and len(state.things) > 4:
            used = any(uid == other for one in state.things.values() for other, _ in one.terms)
            if not used:
                del state.things[uid]
        elif what == "noise":
            state.noise += 1
        elif what == "broken":
            state.broken = not state.broken
        elif what == "faulty":
            thing.faulty = not thing.faulty
        elif what == "limit":
            state.limit = self.random.choice([5, 20, 40, 80])
        return f"{what} {thing.full()}"

    def grow(self, length):
        state = State()
        for _ in range(6):
            self.new_thing(state)
        tips = [self.commit(state, [], "the first")]
        for _ in range(length):
            where = self.random.randrange(len(tips))
            kind = self.random.random()
            if kind < 0.15 and len(tips) < 4:
                tips.append(tips[where])
            elif kind < 0.35 and len(tips) > 1:
                other = self.random.randrange(len(tips))
                if tips[other] != tips[where]:
                    self.merge(tips, where, other)
            else:
                state = self.states[tips[where]].copy()
                message = self.change(state)
                # What is wrong is soon mended, else little would be left to compare.
                for thing in state.things.values():
                    if thing.faulty and self.random.random() < 0.5:
                        thing.faulty = False
                tips[where] = self.commit(state, [tips[where]], message)
        while len(tips) > 1:
            if tips[0] != tips[-1]:
                self.merge(tips, 0, len(tips) - 1)
            else:
                tips.pop()
        self.git("update-ref", "refs/heads/main", tips[0])
        self.git("reset", "--quiet", "--hard", tips[0])
        return tips[0]

    def merge(self, tips, one, other):
        """Takes each dimension from either side, and now and then makes it another one."""
        ours, theirs = self.states[tips[one]], self.states[tips[other]]
        state = ours.copy()
        for uid, thing in theirs.things.items():
            mine = state.things.get(uid)
            if mine is None or mine.definition() == thing.definition() and self.random.random() < 0.5:
                state.things[uid] = thing.copy()
            elif mine.full() != thing.full() and self.random.random() < 0.5:
                # The name of one side and the definition of the other.
                mine.table, mine.name = thing.table, thing.name
            elif self.random.random() < 0.5:
                state.things[uid] = thing.copy()
        for thing in state.things.values():
            thing.terms = [(uid, by) for uid, by in thing.terms if uid in state.things]
        if self.random.random() < 0.3:
            self.change(state)
        for thing in list(state.things.values()):
            twins = [x for x in state.things.values() if x.full() == thing.full()]
            if len(twins) > 1:
                tips.pop(other)
                return
        tips[one] = self.commit(state, [tips[one], tips[other]], "merge")
        tips.pop(other)


def run_with(checks, words, folder, env, stdin):
    return subprocess.run(["git", *map(str, words)], cwd=folder, env={**checks.environment, **env},
                          input=stdin, capture_output=True, text=True, timeout=300)


class Replay:
    """What each commit says when it is checked out."""

    def __init__(self, maker):
        self.maker, checks = maker, maker.checks
        self.shown, self.rooms = {}, {}
        head = maker.git("rev-parse", "HEAD")
        for commit in maker.commits:
            maker.git("checkout", "--quiet", "--force", "--detach", commit)
            answer = checks.json(maker.folder, "show", status=(0, 1, 2))
            self.shown[commit] = {one["name"]: one["value"] for one in answer["dimensions"]}
            answer = checks.json(maker.folder, "check", status=(0, 1, 2))
            self.rooms[commit] = {one["name"]: (one["verdict"], one["margin"])
                                  for one in answer["checks"]}.get("jaw.room")
        maker.git("checkout", "--quiet", "--force", "main")
        if maker.git("rev-parse", "HEAD") != head:
            raise Broken("the replay left the branch")

    def of(self, commit, uid):
        """What is known of a dimension at a commit; a text where it cannot be evaluated."""
        state = self.maker.states[commit]
        if uid not in state.things:
            return None
        if state.is_faulty(uid):
            return "faulty"
        thing = state.things[uid]
        return (thing.full(), self.shown[commit][thing.full()], thing.definition())

    def before(self, commit, known):
        """The nearest commits before one of which something is known."""
        found, seen, waiting = [], set(), list(self.maker.parents[commit])
        while waiting:
            one = waiting.pop()
            if one in seen:
                continue
            seen.add(one)
            if known(one) == "faulty":
                waiting.extend(self.maker.parents[one])
            else:
                found.append(one)
        return found

    def reachable(self):
        return self.maker.git("rev-list", "--date-order", "HEAD").split()


def same(one, other):
    if one is None or other is None:
        return one is other
    close = abs(one[1] - other[1]) <= 1e-12 * max(abs(one[1]), abs(other[1]))
    return one[0] == other[0] and close and one[2] == other[2]


def histories(checks, name, options, length):
    maker = Maker(checks, name, options)
    head = maker.grow(length)
    replay = Replay(maker)
    order = replay.reachable()
    for uid, thing in sorted(maker.states[head].things.items()):
        checks.compared += 1
        answer = checks.json(maker.folder, "history", thing.full())
        known = {commit: replay.of(commit, uid) for commit in order}
        wanted, ends = [], set()
        for commit in order:
            now = known[commit]
            if now == "faulty":
                continue
            parents = replay.before(commit, known.get)
            if not parents and maker.parents[commit]:
                ends.add(commit)
            elif not parents and now is not None:
                wanted.append(commit)
            elif parents and not any(same(now, known[parent]) for parent in parents):
                wanted.append(commit)
        found = [one["revision"] for one in answer["revisions"]]
        what = f"{name}: history of {thing.full()}"
        skipped = {one["revision"] for one in answer["skipped"]}
        checks.equal(skipped, {commit for commit in order if known[commit] == "faulty"} & skipped,
                     f"{what}: only what has faults is skipped")
        if answer["unfollowed"]:
            checks.untied += 1
            left_off(checks, maker, replay, order, uid, answer, wanted, what)
            continue
        if any(torn_at(maker, commit, uid) for commit in order):
            checks.tied += 1
        if not checks.equal(found, wanted, f"{what}: the revisions"):
            continue
        for one in answer["revisions"]:
            entry(checks, maker, replay, known, uid, one, what)
        checks.equal({one["revision"] for one in answer["ends"]}, ends, f"{what}: the ends")
    turns(checks, maker, replay, order, name)


def torn_at(maker, commit, uid):
    """Whether a commit renames and changes, or spoils, a dimension or something it needs at once."""
    now = maker.states[commit]
    for parent in maker.parents[commit]:
        was = maker.states[parent]
        for one in now.needs(uid) & was.things.keys():
            mine, other = now.things[one], was.things[one]
            spoilt = now.is_faulty(one) or was.is_faulty(one)
            if mine.full() != other.full() and (spoilt or mine.definition() != other.definition()):
                return True
    return False


def left_off(checks, maker, replay, order, uid, answer, wanted, what):
    """What is listed is so, what is said to be left off may be, and nothing else is missing."""
    def names_at(commit):
        state = maker.states[commit]
        torn = {"eye.torn"} if state.broken else set()
        return torn | {thing.full() for thing in state.things.values()}

    for one in answer["revisions"]:
        value = replay.shown[one["revision"]].get(one["name"])
        checks.equal(one["value"], value, f"{what}: the value at {one['revision'][:8]}")
    behind = set()
    for one in answer["unfollowed"]:
        commit = one["revision"]
        here, parents = names_at(commit), set()
        for parent in replay.before(commit, lambda at: replay.of(at, uid)):
            parents |= names_at(parent)
        begins = one["cause"] == "added"
        new, old = (here, parents) if begins else (parents, here)
        # What a merge has under another name it may have from another side.
        other = old - new if begins else old
        checks.that(one["name"] in new - old and one["maybe"] and set(one["maybe"]) <= other, f"{what}: what may be at {commit[:8]}",
                    json.dumps(one))
        # A name that begins hides what came before, one that ends what came after.
        words = [commit] if begins else ["--ancestry-path", f"{commit}..HEAD"]
        behind |= {commit, *maker.git("rev-list", *words).split()}
    found = {one["revision"] for one in answer["revisions"]}
    checks.equal(sorted(found - set(wanted) - behind), [], f"{what}: nothing else is listed")
    # Whoever follows what may be the same comes to all the rest.
    asked, waiting = {answer["name"]}, [answer]
    while waiting:
        for one in waiting.pop()["unfollowed"]:
            for other in set(one["maybe"]) - asked:
                asked.add(other)
                waiting.append(checks.json(maker.folder, "history", other))
                found |= {one["revision"] for one in waiting[-1]["revisions"]}
    checks.equal(sorted(set(wanted) - found), [], f"{what}: the rest is where it is said to be")


def entry(checks, maker, replay, known, uid, one, what):
    commit = one["revision"]
    what = f"{what}: {commit[:8]}"
    now = known[commit]
    checks.equal(one["date"], maker.git("log", "-1", "--format=%aI", commit).replace("Z", "+00:00"),
                 f"{what}: the date as git writes it")
    if now is None:
        checks.equal((one["value"], one["cause"]), (None, "removed"), f"{what}: it is gone")
        return
    checks.equal((one["name"], one["value"]), now[:2], f"{what}: name and value")
    parents = replay.before(commit, known.get)
    there = [known[parent] for parent in parents if known[parent] is not None]
    if not there:
        checks.equal(one["cause"], "added", f"{what}: it is new")
        return
    edited = [one for one in there if one[2] != now[2] or one[0] != now[0]]
    wanted = "edit" if len(edited) == len(there) else "consequence"
    over = known if one.get("across_skipped") else [commit]
    if one["cause"] == "edit" and any(torn_at(maker, at, uid) for at in over):
        # What it reads is another thing, as far as the files tell.
        wanted = "edit"
    checks.equal(one["cause"], wanted, f"{what}: the cause")
    checks.that(wanted == "edit" or one["because"], f"{what}: it has a reason", json.dumps(one))
    if wanted == "consequence" and parents == maker.parents[commit] and len(parents) == 1:
        answer = checks.json(maker.folder, "diff", parents[0], commit, status=(0, 1, 2))
        because = {one["name"]: one["because"] for one in answer["consequences"]}
        sides = [maker.states[side] for side in (commit, parents[0])]
        needed = {side.things[other].full() for side in sides for other in side.needs(uid)}
        # What can only be undone together with that is named by diff alone.
        because = [name for name in because.get(now[0], []) if name in needed | {"jaw.room"}]
        checks.equal(one["because"], because, f"{what}: the causes, as diff has them")


def turns(checks, maker, replay, order, name):
    """The verdicts of the check from commit to commit."""
    def room(commit):
        state = maker.states[commit]
        if state.is_faulty(0):
            return "faulty"
        return replay.rooms[commit][0] in ("holds", "tight")

    known = {commit: room(commit) for commit in order}
    wanted = []
    for commit in order:
        if known[commit] == "faulty":
            continue
        parents = replay.before(commit, known.get)
        if not parents and maker.parents[commit]:
            continue
        was = [known[parent] for parent in parents] or [None]
        if all(one != known[commit] for one in was) and (known[commit] is False or None not in was):
            wanted.append((commit, "healed" if known[commit] else "failed"))
    answer = checks.json(maker.folder, "since", "jaw.room")
    found = [(one["revision"], one["turn"]) for one in answer["turns"]]
    checks.equal(found, wanted, f"{name}: the turns of the check")
    for one in answer["turns"]:
        verdict, margin = replay.rooms[one["revision"]]
        checks.equal((one["after"]["verdict"], one["after"]["margin"]), (verdict, margin),
                     f"{name}: verdict and margin at {one['revision'][:8]}")
    if known[order[0]] is False and not answer["maybe_earlier"]:
        checks.that(answer["since"], f"{name}: a check that fails began to", json.dumps(answer))
        for one in answer["since"]:
            checks.that((one["revision"], "failed") in wanted, f"{name}: where it began is a turn")


def random_repositories(checks):
    checks.compared = checks.tied = checks.untied = 0
    for number in range(12):
        histories(checks, f"random-{number}", [], 30)
    checks.say(f"{checks.compared} histories were followed, {checks.tied} of them whole though "
               f"something was renamed and changed at once; {checks.untied} say where they left off")
    checks.that(min(checks.compared - checks.untied, checks.tied, checks.untied) >= 5,
                "enough of each", str((checks.compared, checks.tied, checks.untied)))


def sha256(checks):
    histories(checks, "sha256", ["--object-format=sha256"], 12)


def linear(checks, name, steps):
    """One line of work: each step is a value of the brow's width, or a text for the jaw."""
    maker = Maker(checks, name)
    made = []
    for step in steps:
        state = State()
        state.things[0] = Thing("jaw", "width", 5, [(1, 2)])
        state.things[1] = Thing("brow", "width", step if step is not None else 9, [])
        state.things[1].faulty = step is None
        made.append(maker.commit(state, made[-1:], f"step {len(made)}"))
    maker.git("update-ref", "refs/heads/main", made[-1])
    maker.git("reset", "--quiet", "--hard", made[-1])
    return maker, made


def bisect(checks):
    """`git bisect run` ends where `setout since` does, and passes over what has faults."""
    for name, steps, bad in (
        ("bisect", [10, 11, 12, None, 9, 8, 8.5, 3, 4, None, 2], 7),
        ("bisect-early", [10, 3, 2, 3, None, 3], 1),
        ("bisect-late", [10, None, 11, 12, 9, 9, 8, 1], 7),
    ):
        maker, made = linear(checks, name, steps)
        answer = checks.json(maker.folder, "since", "jaw.room")
        checks.equal([one["revision"] for one in answer["since"]], [made[bad]], f"{name}: since")
        edits = [(one["name"], one["what"]) for one in answer["since"][0]["edits"]]
        checks.equal(edits, [("brow.width", "value")], f"{name}: the edit that did it")
        maker.git("bisect", "start", made[-1], made[0])
        done = checks.run("git", "bisect", "run", checks.setout_path, "since", "jaw.room", "--here",
                          cwd=maker.folder)
        checks.that(f"{made[bad]} is the first bad commit" in done.stdout,
                    f"{name}: git bisect comes to the same", told(done))
        maker.git("bisect", "reset")
        for commit, step in zip(made, steps):
            maker.git("checkout", "--quiet", "--force", commit)
            done = checks.setout(maker.folder, "since", "jaw.room", "--here")
            wanted = 125 if step is None else 0 if 5 + 2 * step >= 20 else 1
            checks.equal(done.returncode, wanted, f"{name}: the status at {commit[:8]}")
        maker.git("checkout", "--quiet", "main")


def shallow(checks):
    maker, made = linear(checks, "deep", [10, 11, 11, 3, 12])
    for depth, values in ((1, []), (2, [29]), (4, [29, 11]), (5, [29, 11, 27, 25])):
        clone = checks.place / f"depth-{depth}"
        maker.git("clone", "--quiet", f"--depth={depth}", f"file://{maker.folder}", clone)
        answer = checks.json(clone, "history", "jaw.width")
        found = [one["value"] for one in answer["revisions"]]
        checks.equal(found, values, f"depth {depth}: only what is known to have changed")
        cut = [(one["revision"], one["why"], one.get("fetch")) for one in answer["ends"]]
        wanted = [] if depth == 5 else [(made[5 - depth], "shallow", "git fetch --unshallow origin")]
        checks.equal(cut, wanted, f"depth {depth}: where it is cut, and what mends it")
        said = checks.setout(clone, "history", "jaw.width").stdout
        checks.equal("git fetch --unshallow origin" in " ".join(said.split()), depth < 5,
                     f"depth {depth}: it is said")
        since = checks.json(clone, "since", "jaw.room")
        turns = [one["turn"] for one in since["turns"]]
        checks.equal(turns, {1: [], 2: ["healed"]}.get(depth, ["healed", "failed"]),
                     f"depth {depth}: the turns that are known")


def odd_commits(checks):
    """Authors, dates and replacements that nobody should have."""
    maker, made = linear(checks, "odd", [10, 11])
    tree = maker.git("rev-parse", f"{made[0]}^{{tree}}")
    body = (f"tree {tree}\nparent {made[1]}\nauthor Mal\x1b[31m\x07ory <m@example.org> -86400 -0130\n"
            f"committer G <g@example.org> 12 +0000\n\n\x1b]0;title\x07narrow\ttabs\n")
    commit = maker.git("hash-object", "-t", "commit", "-w", "--literally", "--stdin", stdin=body)
    maker.git("update-ref", "refs/heads/main", commit)
    answer = checks.json(maker.folder, "history", "jaw.width")
    newest = answer["revisions"][0]
    checks.equal((newest["revision"], newest["date"], newest["value"]),
                 (commit, "1969-12-30T22:30:00-01:30", 25), "a date before 1970, an odd offset")
    checks.that(answer["replacements"] is False, "no replacements")
    for words in (["history", "jaw.width"], ["history", "jaw.width", "--plot"], ["since", "jaw.room"]):
        out = checks.setout(maker.folder, *words).stdout
        hidden = [char for char in out if ord(char) < 32 and char != "\n" or ord(char) == 127]
        checks.equal(hidden, [], f"{' '.join(words)}: no control characters")
        checks.that(max(map(len, out.splitlines())) <= 80, f"{' '.join(words)}: 80 columns", out)
    maker.git("replace", made[1], made[0])
    answer = checks.json(maker.folder, "history", "jaw.width")
    checks.equal(([one["value"] for one in answer["revisions"]], answer["replacements"]),
                 ([25, 27, 25], True), "replacements are not used, and that is said")


def evil_merge(checks):
    """A merge that renames and changes at once what one side still calls by the old name."""
    maker, made = linear(checks, "evil", [10])
    narrow, wide = maker.states[made[0]].copy(), maker.states[made[0]].copy()
    narrow.things[1].number, wide.noise = 4, 1
    sides = [maker.commit(narrow, made, "narrow"), maker.commit(wide, made, "layout")]
    wide.things[1].name = "width_b"
    wide.things[0].number = 6
    merge = maker.commit(wide, sides, "an evil merge")
    maker.git("update-ref", "refs/heads/main", merge)
    maker.git("reset", "--quiet", "--hard", merge)
    answer = checks.json(maker.folder, "history", "brow.width_b")
    found = [(one["revision"], one["name"], one["value"], one["cause"]) for one in answer["revisions"]]
    checks.equal(found, [(merge, "brow.width_b", 10, "edit"), (sides[0], "brow.width", 4, "edit"),
                         (made[0], "brow.width", 10, "added")], "an evil merge: the renamed one")
    answer = checks.json(maker.folder, "history", "jaw.width")
    found = [(one["revision"], one["value"], one["cause"]) for one in answer["revisions"]]
    checks.equal(found, [(merge, 26, "edit"), (sides[0], 13, "consequence"), (made[0], 25, "added")],
                 "an evil merge: the one it edited")


def names(checks):
    maker, made = linear(checks, "names", [10, 11])
    gone = maker.states[made[-1]].copy()
    del gone.things[0]
    last = maker.commit(gone, [made[-1]], "no jaw")
    back = maker.commit(maker.states[made[0]], [last], "the jaw again")
    maker.git("update-ref", "refs/heads/main", back)
    maker.git("reset", "--quiet", "--hard", back)
    answer = checks.json(maker.folder, "history", "jaw.width")
    causes = [one["cause"] for one in answer["revisions"]]
    checks.equal(causes, ["added", "removed", "consequence", "added"], "removed, and added again")
    maker.git("checkout", "--quiet", "--detach", last)
    answer = checks.json(maker.folder, "history", "jaw.width")
    checks.equal([one["cause"] for one in answer["revisions"]], causes[1:], "a detached head")
    answer = checks.json(maker.folder, "history", "jaw.widht", status=(2,))
    checks.that("jaw.width" in answer["faults"][0]["help"], "a name that only was is offered",
                json.dumps(answer))
    answer = checks.json(maker.folder, "history", "brow.width", "--since", made[0])
    checks.equal([one["revision"] for one in answer["revisions"]], [made[1]], "--since")
    checks.equal([(one["revision"], one["why"]) for one in answer["ends"]], [(made[0], "since")],
                 "--since: where it begins")
    empty = checks.folder("empty")
    checks.run("git", "init", "--quiet", cwd=empty)
    (empty / "params").mkdir()
    (empty / "params" / "design.yaml").write_text(DESIGN, encoding="utf-8")
    for command in ("history", "since"):
        answer = checks.json(empty, command, "jaw.width", status=(2,))
        checks.that(answer["faults"][0]["message"], f"{command}: no revision yet", json.dumps(answer))


def folders(checks):
    """The design's folder is moved, and was not always there."""
    maker, made = linear(checks, "folders", [10, 11])
    maker.git("mv", "params", "face")
    maker.git("commit", "--quiet", "--message", "moved")
    (maker.folder / "face" / "brow.yaml").write_text("dimensions: { width: 12 mm }\n", encoding="utf-8")
    maker.git("commit", "--quiet", "--all", "--message", "wider")
    answer = checks.json(maker.folder / "face", "history", "jaw.width")
    found = [(one["value"], one["cause"]) for one in answer["revisions"]]
    checks.equal(found, [(29, "consequence"), (27, "consequence"), (25, "added")], "a folder that moved")


if __name__ == "__main__":
    main("history", [hermetic, random_repositories, sha256, bisect, shallow, odd_commits, evil_merge, names,
                     folders])
