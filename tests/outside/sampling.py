"""Random numbers, made once more in whole numbers and the platform's mathematics, and 10^8 of them
held against the distributions that they should have.

The draws are the same in every run, so nothing fails by chance from one run to the next; each
statistic is standard normal if all is well, and its bound is passed once in some 500,000 times.
With 10^8 draws the counts alone tell a mean that is off by 0.002 of the deviation.
"""

import math
import os
import subprocess
import time

from support import ROOT, Broken, main, told

MILLIONS = 100
BOUND = 4.75
LOW = 0xFFFFFFFF


def draws(*words):
    """What the example prints, as rows of numbers."""
    command = ["cargo", "run", "--quiet", "--release", "--locked", "-p", "setout-sample",
               "--example", "draws", "--", *map(str, words)]
    done = subprocess.run(command, cwd=ROOT, env=os.environ, stdin=subprocess.DEVNULL,
                          capture_output=True, text=True, timeout=600)
    if done.returncode:
        raise Broken(told(done))
    return [[float(word) for word in line.split()] for line in done.stdout.splitlines()]


def philox(counter, key, rounds):
    """Philox4x32 as its authors give it, word by word."""
    for _ in range(rounds):
        first, second = counter[0] * 0xD2511F53, counter[2] * 0xCD9E8D57
        counter = [(second >> 32) ^ counter[1] ^ key[0], second & LOW,
                   (first >> 32) ^ counter[3] ^ key[1], first & LOW]
        key = [(key[0] + 0x9E3779B9) & LOW, (key[1] + 0xBB67AE85) & LOW]
    return counter


def fnv(name):
    found = 0xCBF29CE484222325
    for byte in name.encode():
        found = (found ^ byte) * 0x100000001B3 % 2**64
    return found


def words_of(seed, name, sample):
    """The two words of a sample's pair, and whether it is the second of the pair."""
    group, place = divmod(sample, 64)
    counter, hashed = group * 32 + place % 32, fnv(name)
    block = philox([counter & LOW, counter >> 32, hashed & LOW, hashed >> 32],
                   [seed & LOW, seed >> 32], 7)
    return block[0] << 32 | block[1], block[2] << 32 | block[3], place >= 32


def share(word):
    return ((word % 2**52) * 2 + 1) / 2**53


def uniform(seed, name, sample):
    first, second, is_second = words_of(seed, name, sample)
    return share(second if is_second else first)


def normal(seed, name, sample):
    first, second, is_second = words_of(seed, name, sample)
    size = math.sqrt(-2 * math.log(share(first)))
    angle = (second % 2**52 / 2**51 - 1) * math.pi / 4
    x, y = math.cos(angle), math.sin(angle)
    x = -x if second >> 63 else x
    if second >> 62 & 1:
        x, y = y, x
    return size * (y if is_second else x)


def known_answers(checks):
    """Rows of `kat_vectors` of the Random123 library, for the generator above."""
    counter, key = [0x243F6A88, 0x85A308D3, 0x13198A2E, 0x03707344], [0xA4093822, 0x299F31D0]
    seven = [0x4DFCCABA, 0x190A87F0, 0xC47362BA, 0xB6B5242A]
    ten = [0xD16CFE09, 0x94FDCCEB, 0x5001E420, 0x24126EA1]
    checks.equal(philox(counter, key, 7), seven, "philox4x32 7")
    checks.equal(philox(counter, key, 10), ten, "philox4x32 10")


def made_once_more(checks):
    worst = 0.0
    streams = [(0, "", 0), (1, "a", 30), (7, "housing.bore", 123456789),
               (2**64 - 1, "größe", 2**40 + 17), (2**63 + 5, "x" * 300, 2**64 - 500)]
    for seed, name, start in streams:
        found = draws("first", seed, name, start, 500)
        for sample, (ours_normal, ours_uniform) in enumerate(found, start):
            wanted = normal(seed, name, sample)
            what = f"sample {sample} of {name[:20]!r}, seed {seed}"
            checks.equal(ours_uniform, uniform(seed, name, sample), what)
            off = abs(ours_normal / wanted - 1)
            worst = max(worst, off)
            checks.that(off < 1e-11, what, f"{ours_normal} for {wanted}")
    checks.say(f"{500 * len(streams)} numbers made once more; normal ones differ by no more than "
               f"{worst:.1e}")


def below(x):
    return math.erfc(-x / math.sqrt(2)) / 2


def plausible(checks, what, found):
    checks.that(abs(found) < BOUND, what, f"{found:.2f} standard errors")


def chi_square(counts, expected):
    """Pearson's statistic as a normal number (Wilson and Hilferty)."""
    total = sum((count - wanted) ** 2 / wanted for count, wanted in zip(counts, expected))
    degrees = len(counts) - 1
    spread = 2 / (9 * degrees)
    return ((total / degrees) ** (1 / 3) - (1 - spread)) / math.sqrt(spread)


def joined(counts, expected, least=20):
    """Neighbours of which too little is expected are counted together, from both ends on."""
    rows, count, wanted = [], 0, 0.0
    for index in range(len(counts)):
        count, wanted = count + counts[index], wanted + expected[index]
        if wanted >= least:
            rows.append((count, wanted))
            count, wanted = 0, 0.0
    rows[-1] = (rows[-1][0] + count, rows[-1][1] + wanted)
    return zip(*rows)


def many(checks):
    start = time.monotonic()
    steps, parts, sums = draws("many", 1, "many", MILLIONS)
    count = MILLIONS * 1e6
    ends = [below(-9 + index / 64) for index in range(len(steps) + 1)]
    # Both halves alike, so that nothing is lost near 1.
    half = [high - low for low, high in zip(ends, ends[1:])][: len(steps) // 2]
    expected = [count * wanted for wanted in half + half[::-1]]
    checks.equal(sum(steps), count, "every normal number is counted")
    checks.equal(sum(parts), count, "every uniform number is counted")
    plausible(checks, "normal numbers in steps of 1/64", chi_square(*joined(steps, expected)))
    plausible(checks, "uniform numbers in 65,536 parts",
              chi_square(parts, [count / len(parts)] * len(parts)))
    for limit in (3, 4, 5):
        edge = (9 - limit) * 64
        wanted = count * 2 * below(-limit)
        found = sum(steps[:edge]) + sum(steps[-edge:])
        plausible(checks, f"beyond {limit}", (found - wanted) / math.sqrt(wanted))
    # Kolmogorov and Smirnov's statistic at the steps' ends.
    total, farthest = 0, 0.0
    for found, end in zip(steps, ends[1:]):
        total += found
        farthest = max(farthest, abs(total / count - end))
    checks.that(farthest * math.sqrt(count) < 2.27, "Kolmogorov and Smirnov's statistic",
                f"{farthest * math.sqrt(count):.3f}")
    for place, what in enumerate(["the number before", "the other of the pair"]):
        product, squares = sums[2 * place : 2 * place + 2]
        plausible(checks, f"products with {what}", product / math.sqrt(count))
        plausible(checks, f"products of squares with {what}", squares / 2 / math.sqrt(count))
    flaw = [found * (1 + 0.002 * ((index + 0.5) / 64 - 9)) for index, found in enumerate(steps)]
    checks.that(chi_square(*joined(flaw, expected)) > BOUND, "a mean off by 0.002 is told")
    checks.say(f"{MILLIONS} million normal and as many uniform numbers judged in "
               f"{time.monotonic() - start:.0f} s")


if __name__ == "__main__":
    main("sampling", [known_answers, made_once_more, many])
