"""What `setout diff` says of one history, however git stores it, and what never runs.

Source: git itself. A history that is stored by SHA-256, with its references in tables, partly,
shallow, in further work trees, packed, by another user or by another folder's objects must give the
answers that it gives in an ordinary repository. The git library reads only some of these; the rest is
read through the installed git. Where neither can, there is one refusal with its mend.
"""

import json
import os
import re
import stat

from git import DESIGN, JAW, TONGUE, WIDTH, Repository, hermetic, said, widened
from support import Broken, main, told

SHA256 = ("--object-format=sha256",)
REFTABLE = ("--ref-format=reftable",)
# The first is the ordinary one, and gives the answers that all others must give.
STORAGES = {
    "ordinary": (),
    "SHA-256": SHA256,
    "reftable": REFTABLE,
    "SHA-256 and reftable": (*SHA256, *REFTABLE),
}

# Between revisions, and with the files as they stand. A further work tree, a clone and a submodule
# are detached, so nothing here depends on the name of what is checked out.
REVISIONS = (["HEAD~1..HEAD"], ["v1..HEAD"], ["v1", "HEAD"], ["HEAD~1...side"], ["side...HEAD"],
             ["HEAD^2..HEAD"], ["v0..v1"], ["v1^{commit}..HEAD~1"], [":/wider..HEAD"])
WORKING = ([], ["HEAD"], ["v1"], ["side"])
# What cannot be answered; the words are the same everywhere.
REFUSED = (["nowhere"], ["HEAD~99"], ["v11"], ["HEAD:params"], ["HEAD^{tree}"], ["HEAD..a..b"],
           ["v1...lonely"], ["empty..HEAD"], ["0" * 12])


# What the ordinary repository answers, worked out once for a place.
WANTED = {}


def history(repository):
    """Everything that a history can have.

        v0 ── v1 ── wider ───── merge    main
                └── thinner ──┘          side
        lonely                           lonely: no common ancestor
        empty                            empty: no design
    """
    write, git, commit = repository.write, repository.git, repository.commit
    git("checkout", "--quiet", "-b", "main")
    # The design lay elsewhere once.
    write(design=DESIGN, jaw=JAW, tongue=TONGUE)
    repository.git("mv", "-k", "params", "tables")
    (repository.folder / "params").rename(repository.folder / "tables")
    commit("in another folder")
    git("tag", "v0")
    git("mv", "tables", "params")
    # A part's file behind a link, and a name that is not of ASCII.
    (repository.folder / "cad").mkdir()
    (repository.folder / "cad/schädel.scad").write_text("echo(jaw_width);\n", encoding="utf-8")
    (repository.folder / "cad/linked.scad").symlink_to("schädel.scad")
    repository.edit("jaw", ("    uses: [width]\n", "    uses: [width]\n    cad: ../cad/linked.scad\n"))
    commit("the jaw")
    git("tag", "--annotate", "--message", "the first", "v1")
    git("checkout", "--quiet", "-b", "side")
    repository.edit("jaw", ("wall: 2.4 mm", "wall: 2 mm"))
    commit("thinner")
    git("checkout", "--quiet", "main")
    repository.edit("jaw", ("value: 62 mm", "value: 64 mm"))
    commit("wider")
    git("merge", "--quiet", "--no-ff", "--message", "both", "side")
    for name in ("lonely", "empty"):
        git("checkout", "--quiet", "--orphan", name)
        git("rm", "--quiet", "-rf", ".")
        if name == "lonely":
            write(design=DESIGN, jaw=JAW, tongue=TONGUE)
        (repository.folder / "README").write_text("a head\n", encoding="utf-8")
        commit(name)
    git("checkout", "--quiet", "main")


def made(checks, name, options=()):
    repository = Repository(checks, checks.folder(name))
    repository.git("init", "--quiet", *options)
    history(repository)
    return repository


def answer(repository, words):
    """What a call answers, with the names of commits replaced by the place of each in history."""
    text = json.dumps(repository.diff(*words, status=(0, 2)))
    log = repository.git("log", "--all", "--topo-order", "--date-order", "--format=%H %s").splitlines()
    for line in log:
        commit, subject = line.split(" ", 1)
        text = re.sub(rf"\b{commit[:7]}[0-9a-f]*\b", f"<{subject}>", text)
    return json.loads(text)


def answers(repository, calls):
    return {" ".join(words): answer(repository, words) for words in calls}


def dirtied(repository):
    repository.edit("jaw", ("value: 64 mm", "value: 65 mm"))
    return repository


def agree(checks, repository, wanted, calls, what):
    for words, found in answers(repository, calls).items():
        checks.equal(found, wanted[words], f"{what}: diff {words}")


def without_git(checks):
    """A PATH on which no git is."""
    empty = checks.place / "no-git"
    empty.mkdir(exist_ok=True)
    return {"PATH": str(empty)}


def elsewhere(checks, repository, environment, *words):
    """A call in another environment: its status, what it answered, and what it said of errors."""
    kept = checks.environment
    checks.environment = kept | environment
    try:
        done = checks.setout(repository.folder, "diff", *words)
    finally:
        checks.environment = kept
    return done.returncode, done.stdout, " ".join(done.stderr.split())


def refused(checks, repository, environment, words, parts, what):
    status, answered, text = elsewhere(checks, repository, environment, *words)
    checks.equal((status, answered), (2, ""), f"{what}: it is refused")
    checks.equal(text.count("[io]"), 1, f"{what}: one sentence")
    for part in parts:
        checks.that(part in text, f"{what}: the refusal says '{part}'", text)


def wanted_answers(checks):
    """The answers of the ordinary repository, themselves held against what is known of it."""
    if checks.place in WANTED:
        return WANTED[checks.place]
    ordinary = made(checks, "wanted")
    said(checks, ordinary.diff("v1..HEAD~1"), WIDTH, widened(2), "the ordinary repository, wider")
    said(checks, ordinary.diff("HEAD~1...side"), [("jaw.wall", "value")], widened(0.8, ["jaw.wall"]),
         "the ordinary repository, from the fork on")
    said(checks, ordinary.diff("side..HEAD"), WIDTH,
         {name: (before + by, after + by, why) for (name, (before, after, why)), by
          in zip(widened(2).items(), (0.8, 0.4, 0.8), strict=True)},
         "the ordinary repository, side to main")
    refusals = answers(ordinary, REFUSED)
    checks.that(all(found.get("faults") for found in refusals.values()), "what is refused is")
    WANTED[checks.place] = answers(dirtied(ordinary), (*REVISIONS, *WORKING)) | refusals
    return WANTED[checks.place]


def storages(checks):
    wanted = wanted_answers(checks)
    for name, options in STORAGES.items():
        repository = dirtied(made(checks, f"stored-{name}", options))
        agree(checks, repository, wanted, (*REVISIONS, *WORKING, *REFUSED), name)
        if options:
            refused(checks, repository, without_git(checks), ["v1"],
                    ["which only git reads", "no git on the PATH", "install git"], f"{name}, no git")
        # As a server would pack it.
        repository.git("gc", "--quiet", "--prune=now")
        agree(checks, repository, wanted, (*REVISIONS, *WORKING, *REFUSED), f"{name}, packed")
        folder = repository.folder / "deeper/still"
        folder.mkdir(parents=True)
        below = checks.json(folder, "diff", "v1..HEAD~1")
        said(checks, below, WIDTH, widened(2), f"{name}, from a folder below")
    empty = Repository(checks, checks.folder("empty-sha256"))
    empty.git("init", "--quiet", *SHA256)
    empty.write(design=DESIGN, jaw=JAW, tongue=TONGUE)
    text = empty.refusal("SHA-256 without a revision")
    checks.that("no revision yet" in text, "it is said that there is none yet", text)
    empty.refusal("SHA-256 without a revision, of another branch", "side")


class Origin:
    """A repository of one storage, and clones of it as they would be had from afar."""

    def __init__(self, checks, name, what="clones"):
        self.checks, self.name = checks, name
        self.repository = made(checks, f"origin-of-{what}-{name}", STORAGES[name])
        self.repository.git("config", "uploadpack.allowFilter", "true")
        self.url = f"file://{self.repository.folder}"
        # The format of references is the clone's own affair.
        self.formats = [word for word in STORAGES[name] if word.startswith("--ref-format")]
        self.place = checks.folder(f"{what}-{name}")

    def clone(self, kind, *words, url=None):
        clone = Repository(self.checks, self.place / kind)
        self.repository.git("clone", "--quiet", *self.formats, *words, url or self.url, clone.folder)
        if "--bare" not in words and "--depth=1" not in words:
            with_branches(clone)
        return clone


def with_branches(clone):
    for branch in ("side", "lonely", "empty"):
        clone.git("branch", "--quiet", branch, f"origin/{branch}")


def clones(checks):
    """Clones and further work trees of each storage."""
    wanted = wanted_answers(checks)
    for name in STORAGES:
        origin = Origin(checks, name)
        calls = (*REVISIONS, *WORKING, *REFUSED)
        agree(checks, origin.clone("bare.git", "--bare"), wanted, REVISIONS, f"{name}, bare")
        sharing = origin.clone("sharing", "--shared", url=origin.repository.folder)
        agree(checks, dirtied(sharing), wanted, calls, f"{name}, objects elsewhere")
        detached = origin.clone("detached")
        detached.git("checkout", "--quiet", "--detach")
        agree(checks, dirtied(detached), wanted, calls, f"{name}, detached")
        tree = Repository(checks, origin.place / "tree")
        detached.git("worktree", "add", "--quiet", "--detach", tree.folder, "main")
        agree(checks, dirtied(tree), wanted, calls, f"{name}, a further work tree")
        made_relative(tree, detached)
        agree(checks, tree, wanted, calls, f"{name}, a relative work tree")
        agree(checks, dirtied(submodule(origin)), wanted, calls, f"{name}, a submodule")
        partial(checks, origin, wanted)
        forbidden(checks, origin, wanted)
        shallow(checks, origin)


def made_relative(tree, owner):
    """The links between a repository and a further work tree, made relative to their places.

    Git does so itself from 2.48 on, and then marks the repository with an extension; that the
    library reads such a repository where the installed git is older is tried as well.
    """
    own = owner.folder / ".git/worktrees" / tree.folder.name
    (tree.folder / ".git").write_text(f"gitdir: {os.path.relpath(own, tree.folder)}\n")
    (own / "gitdir").write_text(f"{os.path.relpath(tree.folder / '.git', own)}\n")


def submodule(origin):
    whole = Repository(origin.checks, origin.place / "whole")
    whole.folder.mkdir()
    whole.git("init", "--quiet", *STORAGES[origin.name])
    whole.git("submodule", "--quiet", "add", origin.url, "head")
    inner = Repository(origin.checks, whole.folder / "head")
    with_branches(inner)
    return inner


def missing(repository):
    """How many objects a partial clone does not hold."""
    listed = repository.git("rev-list", "--objects", "--all", "--missing=print")
    return sum(line.startswith("?") for line in listed.splitlines())


def partial(checks, origin, wanted):
    """Git fetches what is left out."""
    for kind, words in {"without files": ["--filter=blob:none"], "without folders": ["--filter=tree:0"],
                        "bare": ["--filter=blob:none", "--bare"]}.items():
        what = f"{origin.name}, partial, {kind}"
        clone = origin.clone(f"partial {kind}", *words)
        before = missing(clone)
        checks.that(before > 0, f"{what}: something is missing")
        if kind == "bare":
            agree(checks, clone, wanted, REVISIONS, what)
        else:
            agree(checks, dirtied(clone), wanted, (*REVISIONS, *WORKING), what)
        checks.that(missing(clone) < before, f"{what}: git has fetched it")


def forbidden(checks, origin, wanted):
    """It fetches only if it may, and says so if not."""
    clone, what = origin.clone("kept", "--filter=blob:none"), f"{origin.name}, partial"
    before = missing(clone)
    parts = ["this partial clone does not hold"]
    refused(checks, clone, {"GIT_NO_LAZY_FETCH": "1"}, ["v0..v1"],
            [*parts, "GIT_NO_LAZY_FETCH forbids", "unset"], f"{what}, forbidden to fetch")
    clone.git("config", "remote.origin.url", "file:///nowhere/at/all")
    refused(checks, clone, {}, ["v0..v1"], [*parts, "git could not fetch it", "git archive"],
            f"{what}, without its remote")
    clone.git("config", "remote.origin.url", origin.url)
    if not STORAGES[origin.name]:
        refused(checks, clone, without_git(checks), ["v0..v1"],
                [*parts, "no git on the PATH", "install git"], f"{what}, without git")
    checks.equal(missing(clone), before, f"{what}: nothing was fetched so far")
    agree(checks, clone, wanted, [["v0..v1"]], f"{what}, afterwards")


def shallow(checks, origin):
    clone, what = origin.clone("shallow", "--depth=1"), f"{origin.name}, shallow"
    said(checks, clone.diff(), [], {}, f"{what}: what it does hold")
    text = clone.refusal(f"{what}, too far back", "HEAD~2")
    fetch = re.search(r"git (fetch --deepen=2 origin)", text)
    if checks.that(fetch, f"{what}: the fetch that mends it is named", text):
        clone.git(*fetch.group(1).split())
        said(checks, clone.diff("HEAD~2..HEAD~1"), WIDTH, widened(2), f"{what}, after the fetch")
    cut = origin.clone("cut", "--depth=1")
    cut.git("fetch", "--quiet", "--depth=1", "origin", "+refs/heads/lonely:refs/heads/lonely")
    text = cut.refusal(f"{what}, without the ancestor", "HEAD...lonely")
    checks.that("common ancestor" in text and "--unshallow" in text,
                f"{what}: a cut is not taken for two histories", text)


def relative_extension(checks):
    """What a newer git marks, whether or not the installed one knows the mark."""
    wanted = wanted_answers(checks)
    owner = made(checks, "relative")
    tree = Repository(checks, checks.place / "relative-tree")
    owner.git("worktree", "add", "--quiet", "--detach", tree.folder, "main")
    dirtied(tree)
    answered = answers(tree, (*REVISIONS, *WORKING))
    made_relative(tree, owner)
    owner.git("config", "core.repositoryformatversion", "1")
    owner.git("config", "extensions.relativeWorktrees", "true")
    for words in (*REVISIONS, *WORKING):
        found = tree.diff(*words)
        left_out = {side: None for side in ("before", "after")}
        checks.equal(found | left_out, answered[" ".join(words)] | left_out,
                     f"relative work trees: diff {' '.join(words)}")
    checks.equal(answered, {words: wanted[words] for words in answered}, "as everywhere")


def lacking(checks):
    """Where neither can read: one sentence, and its mend."""
    for name, options in STORAGES.items():
        if not options:
            continue
        repository = made(checks, f"lacking-{name}", options)
        parts = [f"the repository {repository.folder}", "which only git reads", "install git 2.36"]
        refused(checks, repository, without_git(checks), ["v1"], [*parts, "no git on the PATH"],
                f"{name}, no git")
        old = program(checks.folder(f"old-{name}"), "git", "echo git version 2.20.1")
        refused(checks, repository, {"PATH": str(old)}, ["v1"], [*parts, "git 2.20.1 is too old"],
                f"{name}, an old git")
        repository.git("config", "core.repositoryformatversion", "1")
        repository.git("config", "extensions.novelty", "true")
        refused(checks, repository, {}, ["v1"],
                ["which only git reads", "git says: unknown repository extension found: novelty"],
                f"{name}, a git that does not know it either")
    ordinary = made(checks, "ordinary-without")
    kept, checks.environment = checks.environment, checks.environment | without_git(checks)
    found = ordinary.diff("v1..HEAD~1")
    checks.environment = kept
    said(checks, found, WIDTH, widened(2), "an ordinary repository takes no git")


def program(folder, name, script):
    """A folder with a program of that name."""
    file = folder / name
    file.write_text(f"#!/bin/sh\n{script}\n", encoding="utf-8")
    file.chmod(file.stat().st_mode | stat.S_IXUSR | stat.S_IXGRP | stat.S_IXOTH)
    return folder


def owners(checks):
    """A repository of another user is read only if its reader has told git to trust it."""
    wanted = wanted_answers(checks)
    for name in ("ordinary", "SHA-256"):
        repository = dirtied(made(checks, f"owned-{name}", STORAGES[name]))
        given = str(repository.folder)
        give_away(checks, given)
        try:
            ours(checks, repository, wanted, given, name)
        finally:
            take_back(checks, given)


def ours(checks, repository, wanted, given, name):
    parts = ["belongs to another user", f"git config --global --add safe.directory {given}"]
    refused(checks, repository, {}, ["v1"], parts, f"{name}, of another user")
    refused(checks, repository, trusting("/somewhere/else"), ["v1"], parts,
            f"{name}, and another is trusted")
    kept = checks.environment
    for place in (given, "*"):
        checks.environment = kept | trusting(place)
        agree(checks, repository, wanted, (*REVISIONS, *WORKING), f"{name}, trusted by '{place}'")
    settings = checks.folder(f"settings-{name}") / "config"
    settings.write_text(f"[safe]\n\tdirectory = {given}\n", encoding="utf-8")
    checks.environment = kept | {"GIT_CONFIG_GLOBAL": str(settings)}
    agree(checks, repository, wanted, [["v1"]], f"{name}, trusted by a file")
    checks.environment = kept
    # The word of the repository itself counts for nothing.
    checks.run("git", "config", "--file", f"{given}/.git/config", "safe.directory", "*")
    refused(checks, repository, {}, ["v1"], parts, f"{name}, trusted by itself")
    refused(checks, repository, {"GIT_DIR": f"{given}/.git"}, ["v1"], parts,
            f"{name}, named by the environment")


def trusting(place):
    """A setting of the user's, by the environment, beside those of `hermetic`."""
    return {"GIT_CONFIG_COUNT": "5", "GIT_CONFIG_KEY_4": "safe.directory",
            "GIT_CONFIG_VALUE_4": place}


def give_away(checks, folder):
    privileged(checks, "chown", "-R", "65534:65534", folder)


def take_back(checks, folder):
    privileged(checks, "chown", "-R", f"{os.geteuid()}:{os.getegid()}", folder)


def privileged(checks, *words):
    as_root = [] if os.geteuid() == 0 else ["sudo", "-n"]
    done = checks.run(*as_root, *words)
    if done.returncode != 0:
        raise Broken(f"files are given away by root, or by a sudo without a password\n{told(done)}")


class Traps:
    """Programs that leave a mark when they run, wherever a configuration can name one."""

    def __init__(self, checks, name):
        # Most settings are words of a shell's.
        name = name.replace(" ", "-")
        self.mark = checks.place / f"sprung-{name}"
        self.folder = program(checks.folder(f"traps-{name}"), "trap", f"touch '{self.mark}'; exit 1")
        self.trap = str(self.folder / "trap")

    def settings(self):
        names = ("core.fsmonitor", "core.sshCommand", "core.gitProxy", "core.pager", "core.editor",
                 "core.askPass", "core.alternateRefsCommand", "pager.cat-file", "diff.external",
                 "diff.x.textconv", "diff.x.command", "filter.x.clean", "filter.x.smudge",
                 "filter.x.process", "gpg.program", "gc.recentObjectsHook", "credential.helper",
                 "uploadpack.packObjectsHook", "sequence.editor", "interactive.diffFilter")
        shell = ("alias.cat-file", "alias.rev-parse", "alias.config", "alias.diff")
        return [(name, self.trap) for name in names] + [(name, f"!{self.trap}") for name in shell]

    def set(self, repository, settings):
        for name, value in settings:
            repository.git("config", name, value)

    def everywhere(self, repository):
        """Half of them in the repository's configuration, half in a file that it includes."""
        settings = self.settings()
        self.set(repository, settings[::2])
        included = self.folder / "included"
        for name, value in settings[1::2]:
            repository.git("config", "--file", included, name, value)
        repository.git("config", "include.path", included)
        hooks = repository.folder / ".git/hooks"
        hooks.mkdir(exist_ok=True)
        for hook in ("reference-transaction", "post-checkout", "post-index-change", "fsmonitor-watchman"):
            program(hooks, hook, f"touch '{self.mark}'")
        attributes = repository.folder / ".git/info/attributes"
        attributes.write_text("* filter=x diff=x\n", encoding="utf-8")

    def sprung(self):
        there = self.mark.exists()
        self.mark.unlink(missing_ok=True)
        return there


def hostile(checks):
    """Whatever a repository's configuration names, nothing of it runs."""
    for name in STORAGES:
        traps, repository = Traps(checks, name), made(checks, f"hostile-{name}", STORAGES[name])
        traps.everywhere(repository)
        for words in (*REVISIONS, *WORKING, *REFUSED):
            repository.diff(*words, status=(0, 2))
            checks.that(not traps.sprung(), f"{name}: diff {' '.join(words)} runs nothing")
        checks.run("git", "status", cwd=repository.folder)
        checks.that(traps.sprung(), f"{name}: the traps are sharp: git status springs one")
        path = f".:{repository.folder}:{repository.folder}/bin:{checks.environment['PATH']}"
        (repository.folder / "bin").mkdir()
        for folder in (repository.folder, repository.folder / "bin"):
            program(folder, "git", f"touch '{traps.mark}'")
        kept, checks.environment = checks.environment, checks.environment | {"PATH": path}
        for words in ([], ["v1"], ["v1..HEAD"], ["nowhere"]):
            checks.run(checks.setout_path, "diff", *words, cwd=repository.folder)
            checks.that(not traps.sprung(), f"{name}: no git of the repository's own runs")
        checks.run("git", "status", cwd=repository.folder)
        checks.that(traps.sprung(), f"{name}: that trap is sharp as well")
        checks.environment = kept


def hostile_fetches(checks):
    """The same where something has to be fetched: each way by itself, with git as the proof."""
    for name in ("ordinary", "SHA-256"):
        origin, traps = Origin(checks, name, "fetches"), Traps(checks, f"fetch-{name}")
        shell = f"{traps.trap};"
        # What runs, what is set for it, and what is said of it.
        ways = {
            "an uploader": ([("remote.origin.uploadpack", shell)], "sets remote.origin.uploadpack"),
            "a way to connect": ([("core.sshCommand", traps.trap), ("remote.origin.url", "ssh://[::1]:1/x")],
                                 "sets core.sshcommand"),
            "a proxy": ([("core.gitProxy", traps.trap), ("remote.origin.url", "git://[::1]:1/x")],
                        "sets core.gitproxy"),
            "a protocol": ([("protocol.ext.allow", "always"), ("remote.origin.url", f"ext::{traps.trap}")],
                           "transport 'ext' not allowed"),
            "another name for an address": (
                [("protocol.ext.allow", "always"), (f"url.ext::{traps.trap} .insteadOf", "file:")],
                "transport 'ext' not allowed"),
        }
        for way, (settings, part) in ways.items():
            what, clone = f"{name}, {way}", origin.clone(way, "--filter=blob:none")
            traps.set(clone, settings)
            refused(checks, clone, {}, ["v0..v1"], ["this partial clone does not hold", part], what)
            checks.that(not traps.sprung(), f"{what}: nothing has run")
            left_out = clone.git("rev-parse", "v0:tables/jaw.yaml")
            checks.run("git", "cat-file", "-p", left_out, cwd=clone.folder)
            checks.that(traps.sprung(), f"{what}: the trap is sharp: git springs it")
        clone = origin.clone("everything", "--filter=blob:none")
        traps.everywhere(clone)
        clone.diff("v0..v1", status=(2,))
        checks.that(not traps.sprung(), f"{name}, all at once: nothing has run")


if __name__ == "__main__":
    main("repositories", [hermetic, storages, clones, relative_extension, lacking, owners, hostile,
                          hostile_fetches])
