"""What the outside checks share: the command under test, a place to work, and a count.

Every check is a script of its own that can be run alone:

    python3 tests/outside/graphs.py --setout target/debug/setout

It prints what was compared, with counts and seeds, ends with `NAME: N passed, M failed`, and its
exit status says whether anything failed.
"""

import argparse
import json
import os
import pathlib
import random
import subprocess
import sys
import tempfile
import traceback

ROOT = pathlib.Path(__file__).resolve().parents[2]

# How many failures are told in full; the others are counted.
MOST_TOLD = 20


def environment(home):
    """Nothing of the user's own settings reaches what is run here."""
    kept = {"PATH": os.environ["PATH"], "HOME": str(home), "LC_ALL": "C.UTF-8", "NO_COLOR": "1"}
    if "TMPDIR" in os.environ:
        kept["TMPDIR"] = os.environ["TMPDIR"]
    return kept


class Checks:
    """One outside check: what it needs, and how many of its comparisons passed."""

    def __init__(self, name, arguments):
        self.name = name
        self.setout_path = pathlib.Path(arguments.setout).resolve()
        self.arguments = arguments
        self.random = random.Random(arguments.seed)
        self.passed = 0
        self.failed = 0
        self._place = tempfile.TemporaryDirectory(prefix="setout-outside-")
        self.place = pathlib.Path(self._place.name).resolve()
        self.environment = environment(self.place)

    def folder(self, name):
        folder = self.place / name
        folder.mkdir(parents=True)
        return folder

    def say(self, text):
        print(f"{self.name}: {text}", flush=True)

    def that(self, holds, what, detail=""):
        """Counts one comparison."""
        if holds:
            self.passed += 1
            return True
        self.failed += 1
        if self.failed <= MOST_TOLD:
            self.say(f"FAILED: {what}" + (f"\n    {detail}" if detail else ""))
        elif self.failed == MOST_TOLD + 1:
            self.say("FAILED: and more, which are only counted")
        return False

    def equal(self, found, wanted, what):
        detail = f"found  {shortened(found)}\n    wanted {shortened(wanted)}"
        return self.that(found == wanted, what, detail)

    def run(self, *words, cwd=None, timeout=300):
        """Runs any program, and gives what it printed and its status."""
        return subprocess.run(
            [str(word) for word in words],
            cwd=cwd or self.place,
            env=self.environment,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            encoding="utf-8",
            errors="replace",
            timeout=timeout,
        )

    def setout(self, folder, *words):
        return self.run(self.setout_path, "-C", folder, *words)

    def json(self, folder, *words, status=(0,)):
        """The JSON that a command gives; its status must be one of those."""
        done = self.setout(folder, *words, "--format", "json")
        try:
            answer = json.loads(done.stdout)
        except ValueError as error:
            raise Broken(f"{told(done)}\nits standard output is no JSON: {error}") from None
        if done.returncode not in status:
            raise Broken(f"{told(done)}\nits status should be {' or '.join(map(str, status))}")
        return answer

    def close(self):
        self._place.cleanup()
        print(f"{self.name}: {self.passed} passed, {self.failed} failed", flush=True)
        return 1 if self.failed else 0


class Broken(Exception):
    """Something without which the rest of a group of comparisons makes no sense."""


def shortened(value, longest=1500):
    text = repr(value)
    return text if len(text) <= longest else text[:longest] + " …"


def told(done):
    words = " ".join(map(str, done.args))
    return f"{words}\nstatus {done.returncode}\n{done.stdout[:2000]}{done.stderr[:2000]}"


def main(name, groups, options=()):
    """Runs groups of comparisons; one that breaks off counts as a failure."""
    parser = argparse.ArgumentParser(description=sys.modules["__main__"].__doc__)
    parser.add_argument("--setout", default=built(), help="the command under test")
    parser.add_argument("--seed", type=int, default=1, help="another one gives other designs")
    for words, settings in options:
        parser.add_argument(*words, **settings)
    arguments = parser.parse_args()
    if not arguments.setout or not os.access(arguments.setout, os.X_OK):
        sys.exit(f"{name}: there is no command to test; build it with `cargo build -p setout-cli`, "
                 "or name it with --setout PATH")
    checks = Checks(name, arguments)
    for group in groups:
        try:
            group(checks)
        except Broken as error:
            checks.that(False, group.__name__, str(error).replace("\n", "\n    "))
        except (subprocess.TimeoutExpired, OSError, LookupError, TypeError, ValueError):
            checks.that(False, group.__name__, traceback.format_exc().replace("\n", "\n    "))
    sys.exit(checks.close())


def built():
    """The newest build of the command."""
    target = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
    found = [target / profile / "setout" for profile in ("release", "debug")]
    found = [path for path in found if path.is_file()]
    return str(max(found, key=lambda path: path.stat().st_mtime)) if found else None


def quoted(text):
    """A double-quoted YAML scalar. Everything that is not plainly printable is escaped."""
    out = []
    for character in text:
        code = ord(character)
        if character in '"\\':
            out.append("\\" + character)
        elif character.isprintable():
            out.append(character)
        elif code <= 0xFF:
            out.append(f"\\x{code:02x}")
        elif code <= 0xFFFF:
            out.append(f"\\u{code:04x}")
        else:
            out.append(f"\\U{code:08x}")
    return '"' + "".join(out) + '"'


def write_design(folder, tables, name="an outside check", more=""):
    """Writes tables, each the text of a whole file, as a design under `folder`/params."""
    params = folder / "params"
    params.mkdir(parents=True, exist_ok=True)
    (params / "design.yaml").write_text(f"setout: 1\nname: {name}\n{more}", encoding="utf-8")
    for table, text in tables.items():
        (params / f"{table}.yaml").write_text(text, encoding="utf-8")
    return folder


def shown_values(shown):
    """Every dimension and cell of `show --format json`, by full name: its value and its unit.

    A text has no unit; a column that was not computed has None for its value.
    """
    values = {}
    for dimension in shown["dimensions"]:
        text = dimension.get("text")
        value = dimension["value"] if text is None else text
        values[dimension["name"]] = (value, dimension.get("unit"))
    for schedule in shown.get("schedules", ()):
        for row in schedule["rows"]:
            for column, value in zip(schedule["columns"], row["cells"], strict=True):
                name = f"{schedule['name']}.{row['name']}.{column['name']}"
                values[name] = (value, column["unit"])
    return values
