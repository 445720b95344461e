"""What `check` and `diff` give to services, read by programs that are not ours.

SARIF: the JSON schema of version 2.1.0 (rtm.5) as the npm package @microsoft/jest-sarif carries it,
through fastjsonschema. JUnit XML: Python's ElementTree and junitparser. Markdown: markdown-it with
tables, struck-through text and the finding of addresses as GitHub's dialect has them; mentions and
references are looked for in what is left outside code, as hosts do. Annotations: read back by the
rules that GitHub documents for workflow commands. The recipe in examples/ci: its shell steps, run in
clones of a temporary repository, one of them shallow.
"""

import json
import pathlib
import re
import xml.etree.ElementTree as ElementTree

import fastjsonschema
import junitparser
from markdown_it import MarkdownIt

from support import ROOT, Broken, main, quoted, told, write_design

SCHEMA = ROOT / ".tools/npm/node_modules/@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json"
RECIPE = ROOT / "examples/ci/pull-request.yml"

# Each would do something somewhere, were it obeyed.
PIECES = [
    "|", "||", "`", "``", "```", "\\", "\\|", "<script>alert(1)</script>", "<img src=x onerror=y>",
    "<!-- ", "-->", "</details>", "&lt;", "&#64;team", "@team", "@some-org/team", "#12", "GH-7",
    "org/repo#3", "a@example.com", "https://evil.example/x", "http://a.b", "www.evil.example",
    "[link](https://evil.example)", "![](https://evil.example/p.png)", "[ref]: http://evil.example",
    "::error file=x,line=1::boo", "::stop-commands::t", "::set-output name=x::y", "##[error]boo",
    "\n::warning::x", "\r\n::add-mask::1", "\n\n# heading", "\n| a | b |", "\n- item", "\n```",
    "]]>", "<![CDATA[", "<?xml?>", "\x00", "\x07", "\x1b[31m", "\x85", "\u2028", "\u202e", "\ufeff",
    "\ufffe", "\uffff", "{0}", "{{x}}", "$x^2$", "$`y`$", "**bold**", "_it_", "~~gone~~", "~label",
    "!34", "%0A::error::z", "%25", "’", "±0.2", "鼻", "👩\u200d🔧", "\\u0041", "${{ github.token }}",
    "javascript:alert(1)", "mailto:x@example.com", "xmpp:x@example.com", "a", "of the jaw", " ",
]


def hostile(checks, most=6):
    return "".join(checks.random.choice(PIECES) + checks.random.choice(["", " "])
                   for _ in range(checks.random.randint(1, most)))


def accepted(text):
    """The text without what a table may not hold: control characters, written or escaped."""
    return re.sub("[\x00-\x09\x0b-\x1f\x7f-\x9f]", "", text)


def table(checks, whole=False):
    """A table with something of every verdict, and hostile texts wherever texts are taken; a whole
    one has no fault."""
    texts = [hostile(checks) for _ in range(6)]
    why = [quoted(accepted(text) if whole else text) for text in texts]
    return (
        f"about: {why[0]}\n"
        "dimensions:\n"
        f"  gap: {{ value: 0.4 mm, note: {why[1]} }}\n"
        "  arm: { value: 21.7 mm, min: 18 mm, max: 20 mm }\n"
        "  lone: 3 mm\n"
        "checks:\n"
        f"  room: {{ require: gap >= 0.5 mm, why: {why[2]} }}\n"
        f"  snug: {{ require: gap >= 0.3 mm, tight: 0.2 mm, why: {why[3]} }}\n"
        f"  good: {{ require: gap >= 0.1 mm || gap > 1 mm, why: {why[4]} }}\n"
        "parts:\n"
        f"  body: {{ made: bought, uses: [gap], note: {why[5]} }}\n"
    )


def faulty(checks):
    """Tables whose faults quote what is hostile."""
    text = quoted(hostile(checks))
    return checks.random.choice([
        f"dimensions:\n  gap: {text}\n",
        f"dimensions:\n  gap: 1 mm\n  {text}: 2 mm\n",
        f"dimensions:\n  gap: {{ text: M4, one_of: [{text}] }}\n",
        f"dimensions:\n  gap: {{ value: 1 mm, {text}: 1 }}\n",
    ])


def designs(checks, number):
    for index in range(number):
        text = table(checks, index % 4 == 0) if index % 2 == 0 else faulty(checks)
        name = quoted(hostile(checks))
        folder = write_design(checks.folder(f"design-{index}"), {"jaw": text}, name=name)
        yield folder, f"design {index} of seed {checks.arguments.seed}"


# --- SARIF

def sarif(checks):
    if not SCHEMA.is_file():
        raise Broken(f"{SCHEMA} is not there; tests/run puts it there")
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    validate = fastjsonschema.compile(schema)
    try:
        validate({"version": "2.1.0", "runs": [{"tool": {}}]})
        checks.that(False, "the schema refuses a log without a driver")
    except fastjsonschema.JsonSchemaException:
        checks.that(True, "the schema refuses a log without a driver")
    results = 0
    for folder, what in designs(checks, 60):
        done = checks.setout(folder, "check", "--format", "sarif")
        document = one_sarif(checks, validate, done, what)
        results += len(document["runs"][0]["results"]) if document else 0
    nowhere = checks.folder("nowhere")
    done = checks.setout(nowhere, "check", "--format", "sarif")
    document = one_sarif(checks, validate, done, "no design")
    checks.that(document and document["runs"][0]["invocations"][0]["executionSuccessful"] is False,
                "where there is no design, the run did not succeed")
    checks.say(f"{results} results of 60 designs against the schema of SARIF 2.1.0")


def one_sarif(checks, validate, done, what):
    try:
        document = json.loads(done.stdout)
        validate(document)
    except (ValueError, fastjsonschema.JsonSchemaException) as error:
        checks.that(False, f"{what}: SARIF", f"{error}\n{told(done)}")
        return None
    run = document["runs"][0]
    rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    prints = [json.dumps(result["partialFingerprints"]) for result in run["results"]]
    good = (
        len(set(prints)) == len(prints)
        and run["columnKind"] == "unicodeCodePoints"
        and all(rules[result["ruleIndex"]] == result["ruleId"] for result in run["results"])
        and bool(run["results"]) == (done.returncode != 0 or "warning" in levels(run))
        and ("error" in levels(run)) == (done.returncode != 0)
    )
    for result in run["results"]:
        message = result["message"]["text"]
        good = good and quiet(message)
        # Placeholders (3.11.5) and embedded links (3.11.6).
        good = good and not re.search(r"\{", message.replace("{{", "")) and "](" not in message
        for place in result.get("locations", ()):
            if "physicalLocation" in place:
                uri = place["physicalLocation"]["artifactLocation"]["uri"]
                good = good and bool(re.fullmatch(r"[A-Za-z0-9/._~%-]+", uri)) and uri[0] != "/"
    checks.that(good, f"{what}: SARIF", told(done))
    return document


def levels(run):
    return {result["level"] for result in run["results"]}


def quiet(text):
    """Without characters that act unseen; one end of a line is ours."""
    return not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2060-\u206f\ufeff\ufffe\uffff]", text)


# --- JUnit XML

def junit(checks):
    cases = 0
    for folder, what in designs_again(checks, "junit"):
        done = checks.setout(folder, "check", "--format", "junit")
        answer = checks.json(folder, "check", status=(0, 1, 2))
        try:
            root = ElementTree.fromstring(done.stdout.encode())
            read = junitparser.JUnitXml.fromstring(done.stdout.encode())
        except (ElementTree.ParseError, junitparser.JUnitXmlError) as error:
            checks.that(False, f"{what}: JUnit XML", f"{error}\n{told(done)}")
            continue
        known = {"testsuites", "testsuite", "testcase", "failure", "error", "system-out"}
        checks.equal({element.tag for element in root.iter()} - known, set(), f"{what}: elements")
        found = {"tests": 0, "failures": 0, "errors": 0}
        verdicts = {}
        for suite in read:
            counted = {"tests": 0, "failures": 0, "errors": 0}
            for case in suite:
                kinds = [type(result).__name__ for result in case.result]
                counted["tests"] += 1
                counted["failures"] += kinds.count("Failure")
                counted["errors"] += kinds.count("Error")
                if suite.name == "checks":
                    verdicts[f"{case.classname}.{case.name}"] = kinds
            told_of = {"tests": suite.tests, "failures": suite.failures, "errors": suite.errors}
            checks.equal(told_of, counted, f"{what}: counts of {suite.name}")
            found = {key: found[key] + counted[key] for key in found}
        checks.equal({"tests": read.tests, "failures": read.failures, "errors": read.errors}, found,
                     f"{what}: counts of all")
        kinds = {"holds": [], "tight": [], "fails": ["Failure"], "unknown": ["Error"]}
        wanted = {check["name"]: kinds[check["verdict"]] for check in answer["checks"]}
        checks.equal(verdicts, wanted, f"{what}: a case for each check")
        checks.equal(bool(found["failures"] + found["errors"]), done.returncode != 0,
                     f"{what}: it fails as the command does")
        checks.that(all(quiet(text) for text in texts_of(root)), f"{what}: quiet", told(done))
        cases += found["tests"]
    checks.say(f"{cases} cases read by junitparser and ElementTree")


def texts_of(root):
    for element in root.iter():
        yield element.text or ""
        yield from element.attrib.values()


def designs_again(checks, name):
    for index in range(40):
        text = table(checks, index % 4 == 0) if index % 2 == 0 else faulty(checks)
        folder = write_design(checks.folder(f"{name}-{index}"), {"jaw": text},
                              name=quoted(hostile(checks)))
        yield folder, f"{name} {index} of seed {checks.arguments.seed}"


# --- Markdown

def gfm():
    reader = MarkdownIt("commonmark", {"linkify": True, "html": True})
    reader.enable(["table", "strikethrough", "linkify"])
    return reader


FOLDS = {"<details>", "</details>", "<summary>", "</summary>"}

# What hosts take for people, issues, labels and addresses, outside code.
REFERENCE = re.compile(
    r"@\w|#\d|\bgh-\d|://|www\.|\w@\w|[!~%$&]\d|[~%$&]\w|\$\S", re.I)


def judge_markdown(checks, text, what, columns):
    """Nothing but tables, folds, emphasis and code of ours."""
    tokens = gfm().parse(text)
    bad = []
    for token in tokens:
        if token.type == "html_block":
            left = re.sub(r"</?(details|summary)>", "", token.content)
            if "<" in left:
                bad.append(token.content)
        for inner in token.children or ():
            if inner.type in {"link_open", "image", "s_open", "em_open"}:
                bad.append(f"{inner.type} {inner.attrs}")
            if inner.type == "html_inline" and inner.content not in FOLDS:
                bad.append(inner.content)
            if inner.type == "text" and REFERENCE.search(inner.content):
                bad.append(f"outside code: {inner.content}")
            if not quiet(inner.content):
                bad.append(f"not quiet: {inner.content!r}")
        if token.type in {"heading_open", "fence", "code_block", "blockquote_open", "ordered_list_open"}:
            bad.append(token.type)
    checks.that(not bad, f"{what}: Markdown is inert", f"{bad}\n{text}")
    # A hostile text makes no cell, and no row. markdown-it fills and cuts rows to the head's
    # cells, so lines are counted by hand too: unescaped pipes between ours.
    for line in text.splitlines():
        if line.startswith("|"):
            cells = len(re.sub(r"^\||\|$", "", line).split("|"))
            checks.that(cells in columns, f"{what}: {cells} cells", line)


def markdown(checks):
    for folder, what in designs_again(checks, "summary"):
        done = checks.setout(folder, "check", "--format", "markdown")
        judge_markdown(checks, done.stdout, what, {3, 5})
    checks.say("summaries of 40 designs read by markdown-it")


def reviews(checks):
    """Two revisions that differ in hostile texts, and the repository's own words as well."""
    for index in range(20):
        folder = checks.folder(f"review-{index}")
        git(checks, folder, "init", "--quiet", "--initial-branch=main")
        write_design(folder, {"jaw": table(checks, True)}, name=quoted(accepted(hostile(checks))))
        commit(checks, folder, hostile(checks).replace("\x00", "") or "x")
        text = table(checks, True).replace("0.4 mm", "0.2 mm")
        write_design(folder, {"jaw": text, "extra": "dimensions:\n  more: 1 mm\n"},
                     name=quoted(accepted(hostile(checks))))
        commit(checks, folder, hostile(checks).replace("\x00", "") or "x")
        done = checks.setout(folder, "diff", "HEAD~1", "HEAD", "--format", "markdown")
        checks.equal(done.returncode, 0, f"review {index}: status")
        judge_markdown(checks, done.stdout, f"review {index}", {2, 3, 4, 5})
        checks.that(len(done.stdout) < 65_536, f"review {index}: size")
        lines = checks.setout(folder, "diff", "HEAD~1", "HEAD", "--format", "annotations")
        found = annotations_in(checks, lines.stdout, f"review {index}")
        names = sorted(properties["title"] for level, properties, _ in found if level != "notice")
        # `room` failed before, the other two did not.
        checks.equal(names, ["jaw.snug"], f"review {index}: what newly fails")
    checks.say("20 reviews of hostile edits read by markdown-it")


# --- annotations

def unescaped(text, of_property):
    if of_property:
        text = text.replace("%3A", ":").replace("%2C", ",")
    return text.replace("%0D", "\r").replace("%0A", "\n").replace("%25", "%")


COMMAND = re.compile(r"::([a-z-]+)(?: ([^:]*))?::(.*)")


def annotations_in(checks, text, what):
    """The commands that a runner would find, read as it reads them."""
    found = []
    for line in text.split("\n"):
        if not line.strip().startswith("::"):
            checks.that("##[" not in line, f"{what}: an older order", line)
            continue
        match = COMMAND.fullmatch(line)
        if not checks.that(match, f"{what}: a command", line):
            continue
        level, properties, message = match.groups()
        pairs = dict(pair.split("=", 1) for pair in (properties or "").split(",") if pair)
        pairs = {key: unescaped(value, True) for key, value in pairs.items()}
        found.append((level, pairs, unescaped(message, False)))
    return found


def annotations(checks):
    number = 0
    for folder, what in designs_again(checks, "annotations"):
        done = checks.setout(folder, "check", "--format", "annotations")
        answer = checks.json(folder, "check", status=(0, 1, 2))
        found = annotations_in(checks, done.stdout, what)
        checks.that({level for level, *_ in found} <= {"error", "warning", "notice"}, what, told(done))
        places = [(p.get("file"), p.get("line"), p.get("col")) for level, p, _ in found
                  if level == "error" and p["title"] in {fault["fault"] for fault in answer.get("faults", ())}]
        wanted = [(f["file"], str(f["line"]), str(f["column"])) for f in answer.get("faults", ())]
        checks.equal(sorted(places), sorted(wanted)[:10], f"{what}: faults at their places")
        bad = {c["name"] for c in answer["checks"] if c["verdict"] in {"fails", "unknown"}}
        told_of = {p["title"] for level, p, _ in found if level == "error"}
        checks.that(bad <= told_of, f"{what}: what fails is told of", told(done))
        checks.that(all(quiet(m) for _, _, m in found), f"{what}: quiet", told(done))
        number += len(found)
        for form in ("text", "markdown"):
            other = checks.setout(folder, "check", "--all", "--format", form)
            for line in (other.stdout + other.stderr).splitlines():
                checks.that(not line.strip().startswith("::") and "##[" not in line,
                            f"{what}: {form} orders nothing", line)
    checks.say(f"{number} annotations of 40 designs read back")


# --- the recipe

def git(checks, folder, *words):
    identity = ("-c", "user.name=A", "-c", "user.email=a@example.com", "-c", "commit.gpgsign=false")
    done = checks.run("git", *identity, *words, cwd=folder)
    if done.returncode != 0:
        raise Broken(told(done))
    return done.stdout.strip()


def commit(checks, folder, message):
    git(checks, folder, "add", "--all")
    git(checks, folder, "commit", "--quiet", "--allow-empty", "--cleanup=verbatim", "-m", message)


def steps():
    """The shell of the recipe's steps, by their names."""
    found, name, block = {}, None, None
    for line in RECIPE.read_text(encoding="utf-8").splitlines():
        if match := re.fullmatch(r"      - name: (.*)", line):
            name, block = match[1], None
        elif match := re.fullmatch(r"        run: (.+)", line):
            block = [] if match[1] == "|" else None
            found[name] = block if block is not None else [match[1]]
        elif block is not None and line.startswith("          "):
            block.append(line[10:])
        elif line.strip():
            block = None
    return {name: "\n".join(lines) for name, lines in found.items()}


JAW = "dimensions:\n  gap: 1 mm\nchecks:\n  room: { require: gap >= 0.5 mm }\n"


def recipe(checks):
    origin = checks.folder("origin")
    git(checks, origin, "init", "--quiet", "--initial-branch=main")
    write_design(origin, {"jaw": JAW})
    commit(checks, origin, "a jaw")
    git(checks, origin, "checkout", "--quiet", "-b", "narrow")
    for gap in ("0.9", "0.8", "0.4"):
        write_design(origin, {"jaw": JAW.replace("1 mm", f"{gap} mm", 1)})
        commit(checks, origin, f"gap {gap}")
    git(checks, origin, "checkout", "--quiet", "main")
    write_design(origin, {"lid": "dimensions:\n  rim: 2 mm\n"})
    commit(checks, origin, "a lid, meanwhile")

    tools = checks.folder("tools")
    (tools / "setout").symlink_to(checks.setout_path)
    found = steps()
    checks.equal(list(found), ["Install Setout", "Does everything fit?", "Are the exported files current?",
                               "Is the history there?", "Review"], "the steps of the recipe")
    summaries = {}
    for name, depth in (("whole", ()), ("shallow", ("--depth", "1", "--no-single-branch")),
                        ("alone", ("--depth", "1", "--single-branch"))):
        clone = checks.place / f"clone-{name}"
        git(checks, checks.place, "clone", "--quiet", *depth, "--branch", "narrow",
            origin.as_uri(), clone)
        summary = checks.place / f"summary-{name}.md"
        status = {}
        for step in list(found)[1:]:
            done = run_step(checks, clone, found[step], summary, tools)
            status[step] = done.returncode
            if step == "Does everything fit?":
                errors = [p["file"] for level, p, _ in annotations_in(checks, done.stdout, name)
                          if level == "error"]
                checks.equal(errors, ["params/jaw.yaml"], f"{name}: marks")
        checks.equal(list(status.values()), [1, 0, 0, 0], f"{name}: the status of each step")
        summaries[name] = summary.read_text(encoding="utf-8")
    checks.that("`jaw.gap`" in summaries["whole"] and "lid" not in summaries["whole"],
                "the review tells what the branch did alone", summaries["whole"])
    checks.equal(summaries["shallow"], summaries["whole"], "a shallow checkout gives the same review")
    checks.equal(summaries["alone"], summaries["whole"], "a checkout of one branch as well")

    # Without the step that fetches, the review says what is missing, and never 'no changes'.
    clone = checks.place / "clone-short"
    git(checks, checks.place, "clone", "--quiet", "--depth", "1", "--no-single-branch", "--branch",
        "narrow", origin.as_uri(), clone)
    summary = checks.place / "summary-short.md"
    done = run_step(checks, clone, found["Review"], summary, tools)
    checks.equal(done.returncode, 2, "a review without history ends with status 2")
    checks.that("git fetch --unshallow origin" in done.stderr, "and with the fetch that mends it", told(done))
    checks.equal(summary.read_text(encoding="utf-8"), "", "and writes no review")
    annotated = checks.setout(clone, "diff", "origin/main...HEAD", "--format", "annotations")
    checks.that(annotated.stdout.startswith("::error title=io::") and annotated.returncode == 2,
                "nor does it annotate nothing", told(annotated))


def run_step(checks, clone, script, summary, tools):
    """As a runner does it: `bash -e`, and the variables that it sets."""
    summary.touch()
    return checks.run("env", f"PATH={tools}:{checks.environment['PATH']}", "GITHUB_BASE_REF=main",
                      f"GITHUB_STEP_SUMMARY={summary}", "bash", "-e", "-c", script, cwd=clone)


if __name__ == "__main__":
    main("reviewing", [sarif, junit, markdown, reviews, annotations, recipe])
