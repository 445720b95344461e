"""The other side of the bench: the same stacks by numpy and numexpr, on one core.

For each line on standard input, a way and a stack, a line with the seconds that it took and with the
mean and the deviation that it came to.
"""

import sys
import time

import numexpr
import numpy

SAMPLES = 1_000_000
INPUTS = 20
BLOCK = 10_000
MEANS = [float(10 + index) for index in range(INPUTS)]
DEVIATIONS = [0.01 * (1 + index % 5) for index in range(INPUTS)]
NAMES = [f"x{index}" for index in range(INPUTS)]
PAIRS = [f"x{index} * x{index + 1}" for index in range(0, INPUTS, 2)]
TEXTS = {"sum": " + ".join(NAMES), "root": f"sqrt({' + '.join(PAIRS)})"}

generator = numpy.random.default_rng(1)
numexpr.set_num_threads(1)


def drawn(count):
    """The inputs of so many samples."""
    return [generator.normal(*spread, count) for spread in zip(MEANS, DEVIATIONS)]


def by_numpy(stack, inputs):
    if stack == "sum":
        total = inputs[0]
        for column in inputs[1:]:
            total += column
        return total
    total = inputs[0] * inputs[1]
    for index in range(2, INPUTS, 2):
        total += inputs[index] * inputs[index + 1]
    return numpy.sqrt(total, out=total)


def by_numexpr(stack, inputs):
    return numexpr.evaluate(TEXTS[stack], local_dict=dict(zip(NAMES, inputs)))


def whole(evaluate, stack):
    return evaluate(stack, drawn(SAMPLES))


def blocks(evaluate, stack):
    """In blocks that stay in the caches."""
    values = numpy.empty(SAMPLES)
    for start in range(0, SAMPLES, BLOCK):
        values[start : start + BLOCK] = evaluate(stack, drawn(BLOCK))
    return values


def table(evaluate, stack):
    """All inputs as one array of two dimensions."""
    means, deviations = numpy.array(MEANS)[:, None], numpy.array(DEVIATIONS)[:, None]
    inputs = generator.standard_normal((INPUTS, SAMPLES))
    inputs *= deviations
    inputs += means
    return inputs.sum(axis=0) if stack == "sum" else evaluate(stack, inputs)


WAYS = {
    "numpy": (whole, by_numpy),
    "numpy in blocks": (blocks, by_numpy),
    "numpy in one table": (table, by_numpy),
    "numexpr": (whole, by_numexpr),
    "numexpr in blocks": (blocks, by_numexpr),
}

print("\t".join(WAYS), flush=True)
for line in sys.stdin:
    chosen, stack = line.strip().split("\t")
    way, evaluate = WAYS[chosen]
    start = time.process_time()
    values = way(evaluate, stack)
    seconds = time.process_time() - start
    print(f"{seconds!r}\t{float(values.mean())!r}\t{float(values.std())!r}", flush=True)
