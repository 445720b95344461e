"""What `setout release` records and packs, read by programs that are not ours.

Sources: Python's `zipfile`, `hashlib` and `csv`; PyYAML, which reads YAML 1.1; git. Letters are
worked out here from the rule (A to Y without I, O, Q, S, X, Z, then AA), which part has changed
from the edits that were made.
"""

import base64
import csv
import datetime
import hashlib
import io
import json
import zipfile

import yaml

from support import Broken, main, told

ALPHABET = "ABCDEFGHJKLMNPRTUVWY"

DESIGN = """\
setout: 1
name: "A fox: no. 1"
currency: GBP
processes: { printed: { tolerance: ±0.2 mm } }
exports:
  - { format: openscad, file: ../cad/dimensions.scad }
  - { format: csv, file: ../cad/dimensions.csv }
"""

# Three parts, each of a dimension of its own and one that two of them share.
JAW = """\
dimensions:
  shared: 10 mm
  one: 1 mm
  two: 2 mm
  three: 3 mm
checks:
  small: { require: one + two <= 1000 mm, why: it has to fit }
parts:
  first: { made: printed, material: "=1+1", cost: 0.10 GBP, mass: 1 g, uses: [one, shared] }
  second: { made: bought, quantity: 2, cost: 1e-7 GBP, uses: [two, shared] }
  third: { made: printed, cad: ../cad/third.scad }
"""

THIRD = "include <dimensions.scad>\ninclude <lib/more.scad>\ncube(jaw_three);\n"


def letter(number):
    """The letter of a revision, the first being 1."""
    text = ""
    while number:
        number, digit = divmod(number - 1, len(ALPHABET))
        text = ALPHABET[digit] + text
    return text


class Repository:
    def __init__(self, checks, name):
        self.checks, self.folder = checks, checks.folder(name)
        self.git("init", "--quiet", "--initial-branch=main")
        self.write("params/design.yaml", DESIGN)
        self.write("params/jaw.yaml", JAW)
        self.write("cad/third.scad", THIRD)
        self.write("cad/lib/more.scad", "x = 1;\n")
        self.write(".gitignore", "*.zip\n")
        self.clock = 1_700_000_001
        self.commit("first")

    def git(self, *words, folder=None):
        settings = ["-c", "user.name=Ann", "-c", "user.email=ann@example.org",
                    "-c", "protocol.file.allow=always"]
        done = self.checks.run("git", *settings, *words, cwd=folder or self.folder)
        if done.returncode != 0:
            raise Broken(told(done))
        return done.stdout.strip()

    def write(self, path, text):
        path = self.folder / path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="")

    def edit(self, path, old, new):
        text = (self.folder / path).read_text(encoding="utf-8")
        if text.count(old) != 1:
            raise Broken(f"{path}: {old!r} stands there {text.count(old)} times")
        self.write(path, text.replace(old, new))

    def commit(self, message):
        self.clock += 61
        self.git("add", "--all")
        zone = "+0130"
        self.git("commit", "--quiet", "--message", message, "--date", f"{self.clock} {zone}")

    def release(self, *words, status=(0,)):
        return self.checks.json(self.folder, "release", *words, status=status)

    def released(self, *words):
        """Releases, commits the record, and gives the answer, the record and the bundle."""
        answer = self.release(*words)
        record = (self.folder / answer["record"]).read_bytes()
        bundle = (self.folder / answer["bundle"]["file"]).read_bytes()
        self.commit(f"Release {answer['release']}")
        return answer, record, bundle

    def verify(self, bundle, name="bundle.zip", folder=None, more=(), status=(0, 1, 2)):
        place = (folder or self.folder) / name
        place.write_bytes(bundle)
        answer = self.checks.json(place.parent, "release", "--verify", name, *more, status=status)
        place.unlink()
        return answer


def a_bundle_is_what_its_record_says(checks):
    repository = Repository(checks, "bundle")
    commit = repository.git("rev-parse", "HEAD")
    moment = repository.clock
    answer, record, bundle = repository.released("--note", "no", "--note", "2026-11-28")
    archive = zipfile.ZipFile(io.BytesIO(bundle))
    checks.equal(archive.testzip(), None, "zipfile finds every checksum right")
    names = archive.namelist()
    checks.equal(names, sorted(names), "the files are in the order of their names")
    wanted = datetime.datetime.fromtimestamp(moment, datetime.timezone.utc)
    stamp = (*wanted.timetuple()[:5], wanted.second // 2 * 2)
    for info in archive.infolist():
        kind = (info.compress_type, info.extra, info.comment, info.external_attr >> 16)
        checks.equal(kind, (zipfile.ZIP_STORED, b"", b"", 0o100644), f"{info.filename}: as packed")
        checks.equal(info.date_time, stamp, f"{info.filename}: dated by the commit, in UTC")
    checks.equal(archive.read("record.yaml"), record, "the record is the one that is committed")
    checks.equal(hashlib.sha256(bundle).hexdigest(), answer["bundle"]["sha256"], "hash of all")

    read = yaml.safe_load(record)
    checks.equal(read["commit"], commit, "the commit")
    zone = datetime.timezone(datetime.timedelta(minutes=90))
    date = datetime.datetime.fromtimestamp(moment, zone).isoformat()
    checks.equal(read["date"], date, "its date, ISO 8601 with the author's offset, a text")
    checks.equal(read["note"], ["no", "2026-11-28"], "texts that YAML 1.1 takes for something else")
    checks.equal((read["release"], read["previous"]), ("A", None), "the letters")
    body, seal = record.rsplit(b"seal: ", 1)
    checks.equal(hashlib.sha256(body).hexdigest(), seal.decode().strip(), "the seal")
    listed = {file["file"]: (file["bytes"], file["sha256"]) for file in read["files"]}
    found = {name: (len(archive.read(name)), hashlib.sha256(archive.read(name)).hexdigest())
             for name in names if name != "record.yaml"}
    checks.equal(listed, found, "every file has its hash and size, and none is more")

    committed = ["params/design.yaml", "params/jaw.yaml", "cad/third.scad", "cad/lib/more.scad"]
    for path in committed:
        text = checks.run("git", "show", f"{commit}:{path}", cwd=repository.folder).stdout
        checks.equal(archive.read(f"design/{path}").decode(), text, f"{path}: as committed")
    for form in ("openscad", "csv"):
        done = checks.setout(repository.folder, "export", "--stdout", form)
        path = next(e["file"] for e in read["exports"] if e["format"] == form)
        # Standard output is read here with its line ends made LF.
        text = archive.read(f"design/{path}").decode().replace("\r\n", "\n")
        checks.equal(text, done.stdout, f"{path}: as exported")
    design = {f"design/{path}" for path in committed}
    design |= {f"design/{export['file']}" for export in read["exports"]}
    checks.equal(set(names), design | {"record.yaml", "changes.txt", "parts.csv"}, "nothing else")

    rows = list(csv.DictReader(io.StringIO(archive.read("parts.csv").decode())))
    checks.equal([row["name"] for row in rows], [part["name"] for part in read["parts"]], "parts")
    checks.equal(rows[0]["material"], "'=1+1", "a spreadsheet computes nothing")
    for row, part in zip(rows, read["parts"], strict=True):
        checks.equal(float(row["quantity"]), part["quantity"], "the number of pieces")
        if part["cost"]:
            checks.equal(float(row["cost"]), part["cost"]["value"], "the cost, to the last digit")
    checks.equal(read["parts"][1]["cost"]["value"], 1e-7, "a small number is one for PyYAML too")
    shown = checks.json(repository.folder, "show")
    checks.equal(read["fingerprint"], shown["fingerprint"], "the design's fingerprint")
    proof = repository.verify(bundle, status=(0,))
    checks.equal((proof["proven"], proof["compared_with"]), (True, "releases/A.yaml"), "proven")


def letters_follow_from_the_edits(checks):
    """Three parts through more releases than there are letters."""
    repository = Repository(checks, "letters")
    random = checks.random
    names = {"one": "first", "two": "second", "three": "third"}
    value = {"shared": 10, "one": 1, "two": 2, "three": 3}
    given = {name: 0 for name in names.values()}
    former = {}
    rounds, renames = 46, 0
    for number in range(1, rounds + 1):
        if number == 1:
            changed = set(names.values())
        else:
            # The first part changes every time, so that it comes to two letters.
            edited = {"one"} | {name for name in ("shared", "two", "three") if random.random() < 0.2}
            for name in edited:
                new = value[name] + 1
                repository.edit("params/jaw.yaml", f"  {name}: {value[name]} mm", f"  {name}: {new} mm")
                value[name] = new
            changed = {names[name] for name in edited if name in names}
            if "shared" in edited:
                changed |= {names["one"], names["two"]}
            if random.random() < 0.15:
                repository.edit("cad/lib/more.scad", "x = 1;", "x = 1; ")
                repository.edit("cad/lib/more.scad", "x = 1; ", "x = 1;")
                more = (repository.folder / "cad/lib/more.scad").read_text() + "// more\n"
                repository.write("cad/lib/more.scad", more)
                changed.add(names["three"])
            former = {}
            if random.random() < 0.2:
                dimension = random.choice(list(names))
                old = names[dimension]
                new = f"{old.split('_')[0]}_{renames}"
                renames += 1
                done = checks.setout(repository.folder, "rename", f"jaw.{old}", f"jaw.{new}")
                if done.returncode != 0:
                    raise Broken(told(done))
                names[dimension], former = new, {new: old}
                given[new] = given.pop(old)
                changed = {new if name == old else name for name in changed}
            checks.setout(repository.folder, "export")
            repository.commit(f"edit {number}")
        before = {name: letter(at) if at else None for name, at in given.items()}
        for name in changed:
            given[name] += 1
        answer, record, bundle = repository.released()
        if number % 9 == 2:
            (repository.folder / "last.zip").write_bytes(last)
            proof = repository.verify(bundle, more=("--since", "last.zip"), status=(0,))
            claims = [claim["claim"] for claim in proof["claims"]]
            checks.that("changes" in claims, "letters and changes follow from the release before")
            (repository.folder / "last.zip").write_bytes(bundle)
            repository.verify(last, more=("--since", "last.zip"), status=(1,))
            (repository.folder / "last.zip").unlink()
        last = bundle
        checks.equal(answer["release"], letter(number), "the letter of the release")
        found = {part["name"]: part["letter"] for part in answer["parts"]}
        wanted = {f"jaw.{name}": letter(at) for name, at in given.items()}
        if not checks.equal(found, wanted, f"letters in release {letter(number)}"):
            return
        read = yaml.safe_load(record)
        checks.equal({part["name"]: part["letter"] for part in read["parts"]}, wanted, "recorded")
        for part in answer["parts"]:
            name = part["name"].removeprefix("jaw.")
            checks.equal(part["before"], before[name], f"{name}: the letter before")
            was = former.get(name)
            checks.equal(part["was"], f"jaw.{was}" if was else None, f"{name}: the name before")
            turn = "new" if number == 1 else "again" if name in changed else "stays"
            checks.equal(part["turn"], turn, f"{name}: how it stands")
    checks.say(f"{rounds} releases, {renames} renames, the last letters {given}")


def the_same_commit_gives_the_same_bytes(checks):
    repository = Repository(checks, "bytes")
    commit = repository.git("rev-parse", "HEAD")
    _, record, bundle = repository.released()
    for name, zone in (("east", "Asia/Tokyo"), ("west", "America/Lima")):
        clone = checks.folder(f"clone-{name}")
        repository.git("clone", "--quiet", repository.folder, ".", folder=clone)
        repository.git("checkout", "--quiet", commit, folder=clone)
        kept = dict(checks.environment)
        checks.environment |= {"TZ": zone, "LC_ALL": "C", "LANG": "C"}
        done = checks.setout(clone, "release")
        checks.environment = kept
        checks.that(done.returncode == 0, "released", told(done))
        checks.equal((clone / "releases/A.zip").read_bytes(), bundle, f"the bundle, {name}")
        checks.equal((clone / "releases/A.yaml").read_bytes(), record, f"the record, {name}")


def whatever_is_done_to_a_bundle_is_found(checks):
    repository = Repository(checks, "forged")
    _, _, bundle = repository.released()
    random, away = checks.random, checks.folder("away")
    calls = 150
    for _ in range(calls):
        bytes_ = bytearray(bundle)
        at = random.randrange(len(bytes_))
        what = random.choice(("byte", "cut", "more", "twice"))
        if what == "byte":
            bytes_[at] ^= 1 << random.randrange(8)
        elif what == "cut":
            del bytes_[at:at + random.randrange(1, 50)]
        elif what == "more":
            bytes_[at:at] = random.randbytes(random.randrange(1, 20))
        else:
            bytes_ += bytes(bytes_)
        answer = repository.verify(bytes(bytes_), folder=away, status=(1, 2))
        checks.that(not answer.get("proven"), f"{what} at {at}", json.dumps(answer)[:300])
    checks.say(f"{calls} damaged bundles")

    def packed(change, method=zipfile.ZIP_STORED):
        source, target = zipfile.ZipFile(io.BytesIO(bundle)), io.BytesIO()
        with zipfile.ZipFile(target, "w", method) as archive:
            for info in source.infolist():
                archive.writestr(info.filename, source.read(info.filename))
            change(archive)
        return target.getvalue()

    answer = repository.verify(packed(lambda archive: None), folder=away, status=(1,))
    differs = [claim["claim"] for claim in answer["claims"] if not claim["holds"]]
    checks.equal(differs, ["packing"], "packed anew with the same files")
    repository.verify(packed(lambda archive: None, zipfile.ZIP_DEFLATED), folder=away, status=(2,))
    answer = repository.verify(packed(lambda a: a.writestr("design/x.sh", "x")), folder=away, status=(1,))
    differs = [claim["claim"] for claim in answer["claims"] if not claim["holds"]]
    checks.equal(differs, ["files", "packing", "design"], "a file that is more")
    for name in ("../evil.txt", "/tmp/evil.txt", "design/../../evil.txt", "a\\..\\evil.txt", "C:/../x"):
        answer = repository.verify(packed(lambda a, n=name: a.writestr(n, "x")), folder=away, status=(2,))
        checks.equal(answer["faults"][0]["fault"], "unsafe-path", f"{name} is refused")
    zeros = packed(lambda a: a.writestr("design/zeros", bytes(200 << 20)), zipfile.ZIP_DEFLATED)
    checks.that(len(zeros) < 1 << 20, "200 MiB of zeros are packed small")
    repository.verify(zeros, folder=away, status=(2,))
    many = packed(lambda a: [a.writestr(f"design/{n}", "") for n in range(21_000)])
    answer = repository.verify(many, folder=away, status=(2,))
    checks.equal(answer["faults"][0]["fault"], "too-large", "21,000 files are too many")
    link = zipfile.ZipInfo("design/link")
    link.external_attr = 0o120777 << 16
    answer = repository.verify(packed(lambda a: a.writestr(link, "/etc/passwd")), folder=away, status=(2,))
    checks.equal(answer["faults"][0]["fault"], "unsafe-path", "a link is refused")
    checks.equal(list(away.iterdir()), [], "nothing was unpacked")
    # One whose central directory states an encrypted entry, made by another program.
    locked = base64.b64decode(LOCKED)
    checks.equal(zipfile.ZipFile(io.BytesIO(locked)).infolist()[0].flag_bits & 1, 1, "encrypted")
    repository.verify(locked, folder=away, status=(2,))


# An archive with one empty file, of which both heads state that it is encrypted.
LOCKED = base64.b64encode(
    b"PK\x03\x04\x0a\0\x01\0\0\0\0\0\x21\0" + bytes(12) + b"\x0b\0\0\0record.yaml"
    + b"PK\x01\x02\x14\0\x0a\0\x01\0\0\0\0\0\x21\0" + bytes(12) + b"\x0b\0" + bytes(16)
    + b"record.yaml" + b"PK\x05\x06\0\0\0\0\x01\0\x01\0\x39\0\0\0\x29\0\0\0\0\0").decode()


def histories_that_lose_commits(checks):
    repository = Repository(checks, "histories")
    repository.git("checkout", "--quiet", "-b", "work")
    repository.edit("params/jaw.yaml", "one: 1 mm", "one: 1.5 mm")
    repository.commit("one")
    _, _, bundle = repository.released()
    repository.edit("params/jaw.yaml", "two: 2 mm", "two: 2.5 mm")
    repository.commit("two")
    repository.git("checkout", "--quiet", "main")
    repository.git("merge", "--quiet", "--squash", "work")
    repository.commit("squashed: the release and an edit after it")
    repository.git("branch", "--quiet", "-D", "work")
    squashed = checks.folder("squashed")
    repository.git("clone", "--quiet", "--no-local", "--branch", "main", repository.folder, ".",
                   folder=squashed)
    answer = checks.json(squashed, "release", status=(2,))
    fault = answer["faults"][0]
    checks.equal(fault["fault"], "not-found", "the commit of the release is gone")
    checks.that("--since" in fault["help"], "and the mend is said", fault["help"])
    for revision in ("HEAD", "HEAD~1"):
        answer = checks.json(squashed, "release", "--since", revision, status=(2,))
        said = answer["faults"][0]["message"]
        checks.that("fingerprint" in said, f"{revision} is not the design of release A", said)
    checks.that(not (squashed / "releases/B.yaml").exists(), "nothing was written")
    (squashed / "A.zip").write_bytes(bundle)
    answer = checks.json(squashed, "release", "--since", "A.zip")
    found = {part["name"]: (part["letter"], part["turn"]) for part in answer["parts"]}
    wanted = {"jaw.first": ("A", "stays"), "jaw.second": ("B", "again"), "jaw.third": ("A", "stays")}
    checks.equal(found, wanted, "letters across a squash, from the bundle")

    repository = Repository(checks, "deep")
    repository.released()
    repository.edit("params/jaw.yaml", "one: 1 mm", "one: 1.5 mm")
    repository.commit("one")
    shallow = checks.folder("shallow")
    repository.git("clone", "--quiet", "--depth", "1", f"file://{repository.folder}", ".",
                   folder=shallow)
    fault = checks.json(shallow, "release", status=(2,))["faults"][0]
    command = fault["help"].split(" brings it")[0]
    checks.equal(command, "git fetch --unshallow origin", "what brings the rest")
    repository.git(*command.split()[1:], folder=shallow)
    checks.equal(checks.json(shallow, "release")["release"], "B", "and then it is released")

    # A rebase gives the commit of the release another name; its design is still there.
    repository = Repository(checks, "rebased")
    repository.edit("params/jaw.yaml", "one: 1 mm", "one: 1.5 mm")
    repository.commit("one")
    repository.released()
    repository.git("commit", "--quiet", "--amend", "--message", "Release A, reworded")
    repository.git("checkout", "--quiet", "--orphan", "other")
    repository.commit("all anew")
    rebased = checks.folder("anew")
    repository.git("clone", "--quiet", "--no-local", "--branch", "other", "--single-branch",
                   repository.folder, ".", folder=rebased)
    (rebased / "params/jaw.yaml").write_text(
        (rebased / "params/jaw.yaml").read_text().replace("two: 2 mm", "two: 2.5 mm"))
    repository.git("commit", "--quiet", "--all", "--message", "two", folder=rebased)
    checks.json(rebased, "release", status=(2,))
    answer = checks.json(rebased, "release", "--since", "HEAD~1")
    checks.equal(answer["release"], "B", "a commit of another name with the same design will do")


def what_stands_in_the_way(checks):
    repository = Repository(checks, "gate")

    def refused(what, *words):
        answer = repository.release(*words, status=(2,))
        checks.that(answer["faults"] and all(fault["help"] for fault in answer["faults"]), what,
                    json.dumps(answer)[:300])
        checks.that(not list(repository.folder.glob("releases/*")), f"{what}: nothing is written")
        return answer["faults"][0]["message"]

    repository.edit("params/jaw.yaml", "one: 1 mm", "one: 1.5 mm")
    refused("an edit that is not committed")
    repository.git("add", "--all")
    refused("a staged edit")
    repository.git("reset", "--quiet", "--hard")
    repository.git("update-index", "--assume-unchanged", "params/jaw.yaml")
    repository.edit("params/jaw.yaml", "one: 1 mm", "one: 1.5 mm")
    answer = repository.release("--preview")
    checks.that(not any("1.5" in told for told in answer["changes"]), "only the commit counts")
    repository.git("update-index", "--no-assume-unchanged", "params/jaw.yaml")
    repository.git("checkout", "--quiet", ".")
    (repository.folder / "cad/lib/more.scad").unlink()
    refused("a model that is gone")
    repository.git("checkout", "--quiet", ".")
    checks.setout(repository.folder, "export")
    repository.commit("export")
    repository.edit("params/jaw.yaml", "one: 1 mm", "one: 1.5 mm")
    repository.commit("without its export")
    said = refused("an export that is out of date")
    checks.that("out of date" in said, "which is said", said)
    checks.setout(repository.folder, "export")
    repository.edit("params/jaw.yaml", "<= 1000 mm", "<= 1 mm")
    repository.commit("fails")
    answer = repository.release(status=(1,))
    checks.equal((answer["failing"], answer["written"]), (["jaw.small"], False), "what fails stops it")
    answer, record, bundle = repository.released("--although-failing")
    checks.equal(yaml.safe_load(record)["failing"], ["jaw.small"], "and is recorded")
    text = zipfile.ZipFile(io.BytesIO(bundle)).read("changes.txt").decode()
    checks.that("RELEASED ALTHOUGH" in text and "jaw.small" in text, "and told", text)
    checks.equal(repository.verify(bundle, status=(0,))["failing"], ["jaw.small"], "and proven")


if __name__ == "__main__":
    main("releasing", [
        a_bundle_is_what_its_record_says,
        letters_follow_from_the_edits,
        the_same_commit_gives_the_same_bytes,
        whatever_is_done_to_a_bundle_is_found,
        histories_that_lose_commits,
        what_stands_in_the_way,
    ])
