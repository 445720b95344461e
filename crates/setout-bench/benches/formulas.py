"""The other side of evaluating: the same formulas, compiled to Python's code once and run by turns.

formulas.py floats FILE computes with floats, formulas.py pint FILE with quantities. The file has a line for
each slot, whether it is chosen or derived and its formula, each behind what it depends on. For each line on
standard input, a way, a line with the seconds that it took; `values` gives all values as well.
"""

import math
import re
import sys
import time

WHAT, FILE = sys.argv[1:]
# Code of one function that is too long takes long to compile.
CHUNK = 500

lines = [line.rstrip("\n").split("\t") for line in open(FILE, encoding="utf-8")]
scope = {"sin": math.sin, "sqrt": math.sqrt}

if WHAT == "pint":
    import pint

    units = pint.UnitRegistry()
    amounts = {}

    def amount(match):
        name = f"k{len(amounts)}"
        number, unit = match[1].split()
        scope[name] = units.Quantity(float(number), unit)
        return amounts.setdefault(match[1], name)

    lines = [(sort, re.sub("<([^>]*)>", amount, text)) for sort, text in lines]

values = [0.0] * len(lines)
scope["v"] = values


def listed(text):
    """With every slot in a list."""
    return re.sub(r"\bx([0-9]+)", r"v[\1]", text)


def compiled(head, body, tail):
    exec(compile("\n".join([head, *body, tail]), "formulas", "exec"), scope)
    return scope.pop("run")


for slot, (sort, text) in enumerate(lines):
    if sort == "chosen":
        values[slot] = eval(listed(text), scope)
derived = [(slot, text) for slot, (sort, text) in enumerate(lines) if sort == "derived"]


def in_a_list():
    """Functions over a list, one behind the other."""
    body = [f"    v[{slot}] = {listed(text)}" for slot, text in derived]
    chunks = [body[start : start + CHUNK] for start in range(0, len(body), CHUNK)]
    runs = [compiled("def run(v=v, sin=sin, sqrt=sqrt):", chunk, "    return") for chunk in chunks]

    def run():
        for part in runs:
            part()

    return run


def in_locals():
    """One function with every slot as a local variable, which Python is fastest with."""
    head = [f"    x{slot} = v[{slot}]" for slot, (sort, _) in enumerate(lines) if sort == "chosen"]
    body = [f"    x{slot} = {text}" for slot, text in derived]
    tail = f"    return [{', '.join(f'x{slot}' for slot in range(len(lines)))}]"
    return compiled("def run(v=v, sin=sin, sqrt=sqrt):", head + body, tail)


def in_a_dictionary():
    """An expression each, with every slot under its name, so that any can be computed by itself."""
    names = {f"x{slot}": value for slot, value in enumerate(values)} | {"sin": math.sin, "sqrt": math.sqrt}
    codes = [(f"x{slot}", compile(text, "formulas", "eval")) for slot, text in derived]

    def run():
        for name, code in codes:
            names[name] = eval(code, names)

    return run


if WHAT == "pint":
    WAYS = {"pint": in_a_list()}
else:
    WAYS = {
        "expressions over a dictionary": in_a_dictionary(),
        "functions over a list": in_a_list(),
        "one function of locals": in_locals(),
    }

print("\t".join(WAYS), flush=True)
for line in sys.stdin:
    way = line.strip()
    if way == "values":
        plain = [getattr(value, "magnitude", value) for value in values]
        print("\t".join(map(repr, [0.0, *plain])), flush=True)
        continue
    start = time.process_time()
    WAYS[way]()
    print(repr(time.process_time() - start), flush=True)
