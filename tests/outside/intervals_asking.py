"""Intervals, and what an example program of ours answers to questions about them."""

import math
import os
import struct
import subprocess
from typing import NamedTuple

from support import ROOT, Broken, told


class Box(NamedTuple):
    """An interval; of a bare one the decoration is None."""

    low: float
    high: float
    decoration: int | None = None

    @property
    def is_empty(self):
        return self.low > self.high


EMPTY = Box(math.inf, -math.inf)
ENTIRE = Box(-math.inf, math.inf)


def bits(number):
    return struct.pack(">d", number).hex()


def number(word):
    return struct.unpack(">d", bytes.fromhex(word))[0]


def operand(box):
    decoration = 2 if box.decoration is None else box.decoration
    return f"{bits(box.low)} {bits(box.high)} {decoration}"


def answers(questions):
    """What the example answers to formulas or methods with operands, as rows of words."""
    lines = ["\t".join([what, *map(operand, operands)]) for what, operands in questions]
    command = ["cargo", "run", "--quiet", "--locked", "-p", "setout-formula", "--example",
               "enclosures"]
    done = subprocess.run(command, cwd=ROOT, env=os.environ, capture_output=True, text=True,
                          input="".join(f"{line}\n" for line in lines), timeout=600)
    found = [line.split() for line in done.stdout.splitlines()]
    if done.returncode or len(found) != len(lines):
        raise Broken(told(done))
    return found


def box_of(words):
    return Box(number(words[0]), number(words[1]), int(words[2]) if words[2:] else None)
