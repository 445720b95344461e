"""Random operands for every operation, of every size that floats have, where it has values."""

import math

from intervals_asking import Box

FAR = 1e12


class Cases:
    def __init__(self, random):
        self.random = random

    def extreme(self):
        size = math.ldexp(self.random.uniform(1, 2), self.random.randint(-1074, 1023))
        return self.random.choice([-size, size])

    def usual(self):
        between, whole = self.random.uniform, self.random.randint
        return self.random.choice([between(-1, 1), between(-10, 10), between(-1000, 1000),
                                   float(whole(-50, 50)), whole(-720, 720) / 2])

    def number(self):
        return self.random.choice([self.extreme, self.usual, self.usual])()

    def up_to(self, most):
        while abs(found := self.number()) > most:
            pass
        return found

    def size(self):
        near_one = 1 + self.random.uniform(-1, 1) * 2.0 ** -self.random.randint(1, 52)
        return self.random.choice([abs(self.number()), near_one])

    def near(self, number):
        """The number, or a float close to it."""
        for _ in range(self.random.randint(0, 3)):
            number = math.nextafter(number, self.random.choice([-math.inf, math.inf]))
        return number

    def angle(self):
        quarter = self.random.randint(-9, 9) * self.random.choice([30.0, 45.0, 90.0])
        spread = self.random.uniform(-FAR, FAR)
        return self.random.choice([self.near(quarter), self.up_to(FAR), spread])

    def share(self):
        """From -1 to 1: a sine of half degrees, all but 1, or any."""
        sine = self.near(math.sin(math.radians(self.random.randint(-180, 180) / 2)))
        brink = 1 - math.ldexp(self.random.random(), -self.random.randint(1, 53))
        found = self.random.choice([sine, brink, -brink, self.up_to(1)])
        return min(max(found, -1.0), 1.0)

    def slope(self):
        tangent = math.tan(math.radians(self.random.randint(-179, 179) / 2))
        return self.random.choice([self.near(tangent), self.number()])

    def whole(self):
        return float(self.random.randint(-70, 70))

    def interval(self, draw, most=math.inf):
        """Between two draws, or beside one: narrow ones tell most of how an end is rounded."""
        low = draw()
        wide = abs(low) * self.random.choice([1e-15, 1e-9, 1e-3, 0.1])
        high = self.random.choice([low, low, draw(), low + wide, math.nextafter(low, math.inf)])
        high = min(high, most)
        low, high = min(low, high), max(low, high)
        # The sum has no negative zero.
        return Box(low + 0.0, high + 0.0) if math.isfinite(high) else Box(low + 0.0, low + 0.0)

    def above(self, draw):
        """Of sizes that are not 0."""
        while (found := self.interval(draw)).low <= 0:
            pass
        return found

    def without_zero(self):
        found = self.above(self.size)
        return self.random.choice([found, Box(-found.high, -found.low)])

    def power(self):
        """A base and an exponent whose power is not beyond all bounds."""
        while True:
            base = self.above(self.size)
            exponent = self.interval(lambda: self.up_to(2000))
            if self.random.random() < 0.5:
                exponent = Box(*[self.whole()] * 2)
            if max(abs(math.log(x) * y) for x in base[:2] for y in exponent[:2]) < 1e5:
                return [base, exponent]

    def point_of_plane(self):
        """A box without the origin and off the cut."""
        y, x = self.without_zero(), self.interval(self.number)
        return self.random.choice([[y, x], [self.interval(self.number), self.above(self.size)]])

    def of(self, operation):
        one = lambda draw, *most: [self.interval(draw, *most)]
        two = lambda draw: [self.interval(draw), self.interval(draw)]
        match operation:
            case "add" | "sub" | "mul":
                return two(self.number)
            case "div":
                return [self.interval(self.number), self.without_zero()]
            case "sqrt":
                return one(self.size)
            case "hypot":
                return two(self.size)
            case "exp":
                return one(lambda: self.up_to(1e4))
            case "ln" | "log10":
                return [self.above(self.size)]
            case "sin" | "cos" | "tan":
                return one(self.angle, FAR)
            case "asin" | "acos":
                return one(self.share, 1.0)
            case "atan":
                return one(self.slope)
            case "atan2":
                return self.point_of_plane()
            case "pow":
                return self.power()
            case "cbrt":
                return one(self.number)
