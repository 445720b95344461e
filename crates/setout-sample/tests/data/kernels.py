"""The coefficients of the kernels in src/kernels.rs, with what is lost by stopping there.

    python3 kernels.py     (takes mpmath)

Each is a polynomial in a square, through Chebyshev's points, which is nearly the best one. The
error is the largest relative one of the polynomial with its coefficients rounded to floats.
"""

from mpmath import atanh, chebyfit, cos, mp, mpf, pi, polyval, sin, sqrt

mp.prec = 200


def series(function, at_zero):
    """A function of a square, and its limit where it would divide by 0."""
    return lambda square: function(sqrt(square)) if square > mpf(10) ** -50 else mpf(at_zero)


LARGEST = (sqrt(2) - 1) / (sqrt(2) + 1)
KERNELS = {
    # 2 ln((1 + s) / (1 - s)) = s * LOGARITHM(s^2)
    "LOGARITHM": (series(lambda s: 4 * atanh(s) / s, 4), LARGEST**2, 5),
    # sin(t pi/4) = t * SINE(t^2), cos(t pi/4) = COSINE(t^2)
    "SINE": (series(lambda t: sin(t * pi / 4) / t, pi / 4), 1, 5),
    "COSINE": (series(lambda t: cos(t * pi / 4), 1), 1, 6),
}

for name, (function, end, count) in KERNELS.items():
    # One polynomial of the function is sought on a somewhat wider way than it is used on.
    exact = chebyfit(function, [mpf(0), end * mpf("1.0001")], count)
    rounded = [float(coefficient) for coefficient in exact]
    places = [end * mpf(step) / 2000 for step in range(2001)]
    error = max(abs(polyval([mpf(c) for c in rounded], x) / function(x) - 1) for x in places)
    print(f"{name}: {mp.nstr(error, 3)}")
    for coefficient in reversed(rounded):
        print(f"    {coefficient!r},")
