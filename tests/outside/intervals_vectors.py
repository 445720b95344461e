"""Reads the test vectors of ITF1788, a collection for IEEE 1788, whose expected ends are the tightest
that floats allow.

They come as tests in Rust of the crate inari (`crates/Cargo.toml` pins it). Each is a line such as

    assert_eq2!(n2i(1.0, 2.0) + n2i(3.0, 4.0), n2i(4.0, 6.0));

which, with its paths spelt by points, is an expression of Python's as well. Its parser takes it
apart; nothing of it is run.
"""

import ast
import json
import math
import os
import re
import subprocess
from typing import NamedTuple

from intervals_asking import EMPTY, ENTIRE, Box
from support import ROOT, Broken, told

DECORATIONS = {"Ill": None, "Trv": 0, "Def": 1, "Dac": 2, "Com": 2}
OPERATORS = {ast.Add: "add", ast.Sub: "sub", ast.Mult: "mul", ast.Div: "div", ast.USub: "neg"}
NUMBERS = {"f64.INFINITY": math.inf, "f64.NEG_INFINITY": -math.inf, "f64.NAN": math.nan,
           "f64.MAX": float.fromhex("0x1.fffffffffffffp1023")}


class NotOurs(Exception):
    """A part of a vector that we have nothing like: not-an-interval, intervals read from text."""


class Vector(NamedTuple):
    """One vector; where it cannot be compared, `lacks` says why."""

    where: str
    text: str
    operation: str
    operands: list
    wanted: object
    lacks: str | None


def folder():
    """Where cargo keeps the vectors."""
    done = subprocess.run(
        ["cargo", "metadata", "--quiet", "--format-version", "1", "--locked", "--manifest-path",
         str(ROOT / "tests/outside/crates/Cargo.toml")],
        env=os.environ, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=300)
    if done.returncode:
        raise Broken(told(done))
    packages = {package["name"]: package for package in json.loads(done.stdout)["packages"]}
    manifest = packages["inari"]["manifest_path"]
    return os.path.join(os.path.dirname(manifest), "tests", "itf1788_tests")


def vectors(path):
    """All vectors of a file."""
    with open(path, encoding="utf-8") as file:
        text = re.sub(r"^\s*//.*$", "", file.read(), flags=re.MULTILINE)
    name = os.path.basename(path).removesuffix(".rs")
    # No vector has a semicolon in it.
    for match in re.finditer(r"\bassert(?:_eq)?2?!\((.*?)\);", text, re.DOTALL):
        yield vector(name, " ".join(match[1].split()))


def counted(path):
    """How many there should be."""
    with open(path, encoding="utf-8") as file:
        return file.read().count("assert")


def vector(name, text):
    spelt = text.replace("::", ".").replace("&", "").replace("!", " not ")
    tree = ast.parse(f"({spelt},)", mode="eval").body.elts
    # `assert!(found)` and `assert!(!found)`.
    found, wanted = tree if len(tree) == 2 else (tree[0], ast.Constant(True))
    if isinstance(found, ast.UnaryOp) and isinstance(found.op, ast.Not):
        found, wanted = found.operand, ast.Constant(False)
    operation, operands = taken_apart(found)
    try:
        read = [value(each) for each in operands]
        return Vector(name, text, operation, read, value(wanted), None)
    except NotOurs as error:
        return Vector(name, text, operation, [], None, str(error))


def taken_apart(node):
    match node:
        case ast.BinOp(left, op, right):
            return OPERATORS[type(op)], [left, right]
        case ast.UnaryOp(ast.USub(), operand):
            return "neg", [operand]
        case ast.Call(ast.Attribute(operand, method), arguments):
            return method, [operand, *arguments]
        case ast.Compare(left, [ast.Eq()], [right]):
            return "equal", [left, right]
        case ast.Subscript(pair):
            return taken_apart(pair)
    return ast.unparse(node).split("(")[0], []


def value(node):
    text = ast.unparse(node)
    match node:
        case ast.Constant(bool() as truth):
            return truth
        case ast.Name("true" | "false"):
            return text == "true"
        case ast.Constant(int() | float() as number):
            return float(number)
        case ast.UnaryOp(ast.USub(), ast.Constant(int() | float() as number)):
            return -float(number)
        case ast.Attribute() if text in NUMBERS:
            return NUMBERS[text]
        case ast.Attribute() if text in ("I.EMPTY", "DI.EMPTY"):
            return EMPTY if text[0] == "I" else Box(*EMPTY[:2], 0)
        case ast.Attribute() if text in ("I.ENTIRE", "DI.ENTIRE"):
            return ENTIRE if text[0] == "I" else Box(*ENTIRE[:2], 2)
        case ast.Call(ast.Name("n2i" | "n2di" | "nd2di" as name), [low, high, *rest]):
            decoration = {"n2i": None, "n2di": 2}.get(name)
            if name == "nd2di":
                decoration = DECORATIONS[rest[0].attr]
            # The sum has no negative zero.
            return Box(value(low) + 0.0, value(high) + 0.0, decoration)
        case ast.Call(ast.Name("t2i" | "t2di")):
            raise NotOurs("an interval read from text")
        case ast.Attribute() if text == "DI.NAI":
            raise NotOurs("not-an-interval")
    raise NotOurs("another type")
