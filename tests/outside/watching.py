"""The line that tells how far long work is, and what becomes of it when somebody interrupts it.

Source: a pseudo-terminal of the system, which shows what a person at a terminal would see, and turns
Ctrl-C into the signal. What must hold: one line that is narrower than the terminal, a few times a
second and not before half a second; nothing of it left before the answer; nothing of it anywhere but
on a terminal that can write a line again; a first Ctrl-C ends the work with an answer and status 130, a
second one at once.
"""

import fcntl
import json
import os
import pty
import re
import select
import signal
import struct
import subprocess
import termios
import time

from support import Broken, main, write_design

AXES = ["a", "b", "c", "d"]
LONG = "a_check_with_a_name_that_alone_is_nearly_as_wide_as_the_terminal"


def slow(checks, name, count):
    """Checks that no number of boxes decides: squares of sine and cosine that add up to 1."""
    table = "dimensions:\n  wall: 2 mm\n"
    table += "".join(f"  {axis}: {{ value: 1 deg, travel: [0 deg, 90 deg] }}\n" for axis in AXES)
    terms = " + ".join(f"sin({axis})^2 + cos({axis})^2" for axis in AXES)
    table += f"  gap: abs(({terms} - 4) * wall)\n"
    table += f"checks:\n  {LONG}: {{ require: gap <= 0.0001 mm }}\n"
    table += "".join(f"  c{n}: {{ require: gap <= 0.{n + 1:04} mm }}\n" for n in range(count))
    return write_design(checks.folder(name), {"t": table})


ENDLESS = ("sweep", LONG, "--boxes", "100000000")


class Watched:
    """The command with a terminal for its standard error, and with one or a pipe for its output."""

    def __init__(self, checks, folder, *words, columns=80, output="pipe", more=()):
        self.main, terminal = pty.openpty()
        fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
        environment = {**checks.environment, "TERM": "xterm", **dict(more)}
        stdout = terminal if output == "terminal" else subprocess.PIPE
        self.start = time.monotonic()
        # A session of its own with this terminal: that is to whom Ctrl-C goes.
        self.child = subprocess.Popen(
            [checks.setout_path, "-C", folder, *words],
            stdin=terminal,
            stdout=stdout,
            stderr=terminal,
            env=environment,
            start_new_session=True,
            preexec_fn=lambda: fcntl.ioctl(0, termios.TIOCSCTTY, 0),
        )
        os.close(terminal)
        self.seen = b""
        self.first = None

    def look(self, seconds, until=None):
        """Reads from the terminal for so long, or until something was seen."""
        end = time.monotonic() + seconds
        while time.monotonic() < end and not (until and until in self.seen):
            ready, _, _ = select.select([self.main], [], [], 0.05)
            if not ready:
                continue
            try:
                more = os.read(self.main, 65536)
            except OSError:  # nobody has it open any more
                break
            if not more:
                break
            self.first = self.first or time.monotonic() - self.start
            self.seen += more
        return self

    def press(self, key=b"\x03"):
        os.write(self.main, key)
        self.pressed = time.monotonic()

    def ended(self, seconds=60):
        """Waits for its end; gives its output as far as that is a pipe."""
        self.look(seconds)
        try:
            output, _ = self.child.communicate(timeout=seconds)
        except subprocess.TimeoutExpired:
            self.child.kill()
            self.child.communicate()
            raise Broken(f"it did not end; on the terminal: {self.text()!r}") from None
        self.look(0.2)
        os.close(self.main)
        self.status = self.child.returncode
        return (output or b"").decode()

    def text(self):
        return self.seen.decode("utf-8", "replace")

    def lines(self):
        """What the line of progress said, one time after the other."""
        return [said for said in re.split(r"[\r\n]", self.text()) if re.search(r"( s|…)$", said)]


def left(text, columns):
    """What stays on the terminal, line by line: carriage returns write over what was there."""
    rows = []
    for written in text.replace("\r\n", "\n").split("\n"):
        row = []
        at = 0
        for character in written:
            if character == "\r":
                at = 0
                continue
            row[at:at + 1] = [character]
            at += 1
        if len(row) > columns:
            raise Broken(f"a line of {len(row)} columns: {written!r}")
        rows.append("".join(row).rstrip())
    return rows


def the_line_of_one_proof(checks):
    folder = slow(checks, "proof", 0)
    for columns in (80, 40, 20):
        watched = Watched(checks, folder, *ENDLESS, columns=columns)
        watched.look(2.6)
        checks.that(watched.first and watched.first >= 0.5, "not before half a second", watched.first)
        lines = watched.lines()
        checks.that(4 <= len(lines) <= 12, "a few times a second", lines)
        checks.that(all(len(line) < columns for line in lines), f"narrower than {columns}", lines)
        boxes = [int(found[1]) for line in lines if (found := re.search(r"(\d+) boxes", line))]
        if columns > 20:
            checks.that(len(boxes) == len(lines), "it counts boxes", lines)
            checks.that(boxes == sorted(set(boxes)), "and they become more", boxes)
        if columns == 80:
            checks.that(all(line.startswith(f"proving t.{LONG[:30]}") for line in lines), "what", lines)
        checks.that("\x1b" not in watched.text(), "no escape codes", watched.text())
        watched.press()
        output = watched.ended()
        checks.equal(watched.status, 130, "the status says that it was interrupted")
        checks.that("unknown since it was stopped after" in re.sub(r"\s+", " ", output), "why", output)
        rows = [row for row in left(watched.text(), columns) if row]
        checks.equal(
            [row.replace("^C", "") for row in rows if row != "^C"],
            rows_of_sentence(columns),
            "nothing but the sentence is left",
        )


SENTENCE = "setout: interrupted; what was not finished is unknown, or missing"


def rows_of_sentence(columns):
    """The sentence in lines of so many columns, broken between words."""
    rows = [""]
    for word in SENTENCE.split():
        longer = f"{rows[-1]} {word}".strip()
        if len(longer) <= columns:
            rows[-1] = longer
        else:
            rows.append(word)
    return rows


def the_line_of_all_checks(checks):
    folder = slow(checks, "checks", 3000)
    for output in ("pipe", "terminal"):
        watched = Watched(checks, folder, "check", "--format", "json", output=output)
        watched.look(1.6)
        lines = watched.lines()
        told = [re.fullmatch(r"judging all checks and limits: (\d+) of 3001, \d+ boxes, \d+ s", line)
                for line in lines]
        checks.that(len(lines) > 2 and all(told), "how many of all checks", lines)
        watched.press()
        answer = watched.ended()
        checks.equal(watched.status, 130, "the status says that it was interrupted")
        if output == "terminal":
            # What was written over the line is read as it stays there.
            rows = left(watched.text(), 1_000_000)
            first = rows.index("{") if "{" in rows else -1
            checks.that(first >= 0, "the line is wiped before the answer", rows[:5])
            answer = "\n".join(rows[first:rows.index("}") + 1])
        found = json.loads(answer)
        verdicts = {check["verdict"] for check in found["checks"]}
        checks.equal((found["stopped"], verdicts), (True, {"unknown"}), "the answer is whole")
        whys = [check["travel"]["why"] for check in found["checks"]]
        checks.that(any(re.match(r"it was stopped after \d+ box", why) for why in whys)
                    or any(why.startswith("10001 boxes") for why in whys), "what was begun", whys[:3])
        checks.that(whys[-1] == "it was stopped before its turn came", "and what was not", whys[-1])


def headroom_and_release(checks):
    folder = slow(checks, "headroom", 20)
    # Each of these moves nothing that is proved at once.
    table = folder / "params" / "t.yaml"
    text = table.read_text(encoding="utf-8")
    text = re.sub(r"gap <= 0\.\d+ mm", "gap <= 7.9 mm", text)
    more = "".join(f"  wall{n}: 2 mm\n  gap{n}: gap + wall{n} * (1 - sin(a)^2 - cos(a)^2)\n"
                   for n in range(200))
    text = text.replace("checks:\n", f"{more}checks:\n")
    text += "".join(f"  h{n}: {{ require: gap{n} <= 7.9 mm }}\n" for n in range(200))
    table.write_text(text, encoding="utf-8")
    watched = Watched(checks, folder, "headroom", "--format", "json").look(30, until=b" s\r")
    lines = watched.lines()
    told = [re.match(r"seeing how far dimensions can go: \d+ of \d+, ", line) for line in lines]
    checks.that(lines and all(told), "how many of all dimensions", lines)
    watched.press()
    found = json.loads(watched.ended())
    checks.equal((watched.status, found["stopped"]), (130, True), "headroom is interrupted")
    names = {own["name"] for own in found["dimensions"]}
    missing = set(found["missing"])
    everything = {"t.wall"} | {f"t.wall{n}" for n in range(200)}
    checks.that(missing and not missing & names, "what is told is not missing", missing)
    checks.equal(missing | names, everything, "and each is one of both")

    folder = slow(checks, "release", 3000)
    git = ("git", "-C", folder, "-c", "user.name=Ann", "-c", "user.email=ann@example.org")
    for words in (("init", "--quiet"), ("add", "."), ("commit", "--quiet", "--message", "slow")):
        done = checks.run(*git, *words)
        if done.returncode:
            raise Broken(done.stderr)
    before = sorted(folder.rglob("*"))
    watched = Watched(checks, folder, "release", "--although-failing").look(30, until=b"s\r")
    watched.press()
    output = watched.ended()
    checks.equal((watched.status, output), (130, ""), "a release is interrupted")
    checks.that("nothing has been written" in watched.text(), "and says so", watched.text())
    checks.equal(sorted(folder.rglob("*")), before, "and nothing has been written")


def a_second_time_it_ends_at_once(checks):
    folder = slow(checks, "second", 200)
    # While nobody reads them, the faults of a large answer keep it from ending by itself.
    watched = Watched(checks, folder, "check", "--all").look(30, until=b"s\r")
    watched.child.send_signal(signal.SIGSTOP)
    watched.child.send_signal(signal.SIGINT)
    watched.child.send_signal(signal.SIGTERM)
    watched.child.send_signal(signal.SIGCONT)
    watched.ended()
    checks.that(watched.status in (-signal.SIGINT, -signal.SIGTERM), "two signals end it", watched.status)
    watched = Watched(checks, folder, *ENDLESS).look(30, until=b"s\r")
    watched.child.send_signal(signal.SIGTERM)
    watched.ended()
    checks.equal(watched.status, 143, "SIGTERM ends it with an answer")
    checks.that("interrupted by SIGTERM" in watched.text(), "and says so", watched.text())


def where_nothing_is_drawn(checks):
    folder = slow(checks, "quiet", 0)
    for what, more in (("a dumb terminal", {"TERM": "dumb"}),):
        watched = Watched(checks, folder, *ENDLESS, more=more).look(1.5)
        checks.equal(watched.text(), "", f"nothing on {what}")
        watched.press()
        watched.ended()
        checks.equal(watched.status, 130, f"on {what} it can be interrupted")
        checks.that("\x1b" not in watched.text(), f"no escape codes on {what}", watched.text())
    # Colours or not, the line is the same.
    for more in ({"NO_COLOR": ""}, {"NO_COLOR": "1"}):
        watched = Watched(checks, folder, *ENDLESS, more=more).look(1.5)
        checks.that(watched.lines() and "\x1b" not in watched.text(), "no escape codes", watched.text())
        watched.press()
        watched.ended()
    # On a pipe and in a file there is nothing but the sentence.
    said = checks.place / "said"
    for name in ("pipe", "file"):
        with open(said, "wb") as file:
            child = subprocess.Popen(
                [checks.setout_path, "-C", folder, *ENDLESS],
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.PIPE if name == "pipe" else file,
                env=checks.environment,
            )
            time.sleep(1.5)
            child.send_signal(signal.SIGINT)
            _, error = child.communicate(timeout=60)
        text = error.decode() if name == "pipe" else said.read_text(encoding="utf-8")
        checks.equal((child.returncode, text), (130, SENTENCE + "\n"), f"on a {name}")
    # What takes no time tells nothing either.
    quick = write_design(checks.folder("quick"), {"t": "dimensions: { wall: 2 mm }\n"})
    watched = Watched(checks, quick, "check")
    watched.ended()
    checks.equal((watched.status, watched.text()), (0, ""), "nothing of short work")


if __name__ == "__main__":
    main("watching", [
        the_line_of_one_proof,
        the_line_of_all_checks,
        headroom_and_release,
        a_second_time_it_ends_at_once,
        where_nothing_is_drawn,
    ])
