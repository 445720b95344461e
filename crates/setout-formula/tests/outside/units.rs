//! A table of units of these tests' own, so that the crate's is not its own judge.
//!
//! Sources: SI Brochure (9th edition); NIST SP 811 App. B.8 for in, lb, kgf and rpm.

/// Powers of length, angle, mass, time, current, temperature and money.
pub(crate) type Dims = [i32; 7];

pub(crate) const NUMBER: Dims = [0; 7];
pub(crate) const LENGTH: Dims = [1, 0, 0, 0, 0, 0, 0];
pub(crate) const ANGLE: Dims = [0, 1, 0, 0, 0, 0, 0];

/// A unit: its symbol, its factor to mm, deg, g, s, A, K and money, and what it measures.
#[derive(Debug)]
pub(crate) struct TestUnit {
    pub(crate) symbol: &'static str,
    pub(crate) factor: f64,
    pub(crate) dims: Dims,
}

const fn unit(symbol: &'static str, factor: f64, dims: Dims) -> TestUnit {
    TestUnit { symbol, factor, dims }
}

const AREA: Dims = [2, 0, 0, 0, 0, 0, 0];
const MASS: Dims = [0, 0, 1, 0, 0, 0, 0];
const TIME: Dims = [0, 0, 0, 1, 0, 0, 0];
const CURRENT: Dims = [0, 0, 0, 0, 1, 0, 0];
const FORCE: Dims = [1, 0, 1, -2, 0, 0, 0];
const TORQUE: Dims = [2, 0, 1, -2, 0, 0, 0];
const PRESSURE: Dims = [-1, 0, 1, -2, 0, 0, 0];
const POWER: Dims = [2, 0, 1, -3, 0, 0, 0];
const VOLTAGE: Dims = [2, 0, 1, -3, -1, 0, 0];
const RESISTANCE: Dims = [2, 0, 1, -3, -2, 0, 0];

pub(crate) static UNITS: [TestUnit; 40] = [
    unit("mm", 1.0, LENGTH),
    unit("cm", 10.0, LENGTH),
    unit("m", 1000.0, LENGTH),
    unit("in", 25.4, LENGTH),
    unit("thou", 0.0254, LENGTH),
    unit("ft", 304.8, LENGTH),
    unit("µm", 0.001, LENGTH),
    unit("mm^2", 1.0, AREA),
    unit("in^2", 645.16, AREA),
    unit("deg", 1.0, ANGLE),
    unit("°", 1.0, ANGLE),
    unit("rad", 180.0 / std::f64::consts::PI, ANGLE),
    unit("rev", 360.0, ANGLE),
    unit("arcmin", 1.0 / 60.0, ANGLE),
    unit("g", 1.0, MASS),
    unit("kg", 1000.0, MASS),
    unit("lb", 453.592_37, MASS),
    unit("s", 1.0, TIME),
    unit("ms", 0.001, TIME),
    unit("min", 60.0, TIME),
    unit("A", 1.0, CURRENT),
    unit("mA", 0.001, CURRENT),
    unit("K", 1.0, [0, 0, 0, 0, 0, 1, 0]),
    unit("GBP", 1.0, [0, 0, 0, 0, 0, 0, 1]),
    unit("N", 1e6, FORCE),
    unit("kgf", 9_806_650.0, FORCE),
    unit("N·m", 1e9, TORQUE),
    unit("N*mm", 1e6, TORQUE),
    unit("kgf·cm", 98_066_500.0, TORQUE),
    unit("MPa", 1e6, PRESSURE),
    unit("N/mm^2", 1e6, PRESSURE),
    unit("W", 1e9, POWER),
    unit("V", 1e9, VOLTAGE),
    unit("mV", 1e6, VOLTAGE),
    unit("Ω", 1e9, RESISTANCE),
    unit("mAh", 3.6, [0, 0, 0, 1, 1, 0, 0]),
    unit("rpm", 6.0, [0, 1, 0, -1, 0, 0, 0]),
    unit("deg/s", 1.0, [0, 1, 0, -1, 0, 0, 0]),
    unit("mm/s", 1.0, [1, 0, 0, -1, 0, 0, 0]),
    unit("%", 0.01, NUMBER),
];

/// Products of powers, joined exponent by exponent.
pub(crate) fn combined(a: Dims, b: Dims, join: impl Fn(i32, i32) -> i32) -> Dims {
    std::array::from_fn(|index| join(a[index], b[index]))
}
