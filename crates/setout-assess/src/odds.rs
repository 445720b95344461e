//! Odds, their confidence, and what a process is capable of.

use statrs::function::erf::{erfc, erfc_inv};

/// How sure the limits of [`Odds`] are.
pub const CONFIDENCE: f64 = 0.95;

/// So many of either sort, and the score interval stands in for the exact one.
const MANY: u64 = 500;

/// How often something happened, and between what its odds lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Odds {
    /// How often it happened.
    pub count: u64,
    /// Out of how many.
    pub of: u64,
    /// The lower limit of its odds, in parts per million.
    pub low_ppm: f64,
    /// The upper limit.
    pub high_ppm: f64,
}

impl Odds {
    /// The odds of what happened `count` times out of `of`, with limits at a confidence of 95 %:
    /// those of C. J. Clopper and E. S. Pearson (Biometrika 26, 1934), which are never too narrow;
    /// where it happened often, and did not happen often, those of E. B. Wilson's score (JASA 22,
    /// 1927), which differ from them by less than is shown. (Both from memory.)
    ///
    /// ```
    /// let none = setout_assess::Odds::of(0, 1_000_000);
    /// assert_eq!(none.low_ppm, 0.0);
    /// assert!((none.high_ppm - 3.69).abs() < 0.01);
    /// ```
    pub fn of(count: u64, of: u64) -> Self {
        Self::between(count, count, of)
    }

    /// The odds of what happened at least `least` times and at most `most`, where some were not
    /// decided.
    pub fn between(least: u64, most: u64, of: u64) -> Self {
        let low = limits(least, of).0;
        let high = limits(most, of).1;
        Self { count: least, of, low_ppm: low * 1e6, high_ppm: high * 1e6 }
    }

    /// The part that happened, in parts per million.
    pub fn ppm(&self) -> f64 {
        if self.of == 0 { f64::NAN } else { self.count as f64 / self.of as f64 * 1e6 }
    }
}

fn limits(count: u64, of: u64) -> (f64, f64) {
    let (n, k) = (of as f64, count as f64);
    if of == 0 {
        return (0.0, 1.0);
    }
    let side = (1.0 - CONFIDENCE) / 2.0;
    if count >= MANY && of - count >= MANY {
        let z = deviations_for(CONFIDENCE);
        let (share, square) = (k / n, z * z);
        let middle = share + square / (2.0 * n);
        let way = z * (share * (1.0 - share) / n + square / (4.0 * n * n)).sqrt();
        let whole = 1.0 + square / n;
        return ((middle - way) / whole, (middle + way) / whole);
    }
    if count > of - count {
        let (low, high) = limits(of - count, of);
        return (1.0 - high, 1.0 - low);
    }
    let low = if count == 0 { 0.0 } else { odds_of(count - 1, of, 1.0 - side) };
    (low, odds_of(count, of, side))
}

/// The odds by which it happens no more than `count` times out of `of` with a given chance. They are
/// a quantile of the beta distribution, but a library's inverse of that was off by 1 in 8,000 for a
/// million, and came to no end for ten.
fn odds_of(count: u64, of: u64, chance: f64) -> f64 {
    /// Enough for all digits of the least odds that there are.
    const HALVINGS: usize = 120;
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        if chance_of(count, of, middle) > chance { low = middle } else { high = middle }
    }
    high
}

/// The chance of no more than `count` out of `of`: a sum of the binomial distribution.
fn chance_of(count: u64, of: u64, odds: f64) -> f64 {
    /// Beyond this, terms are scaled down.
    const LARGE: f64 = 1e200;
    let (mut term, mut sum) = (1.0, 1.0);
    let mut scale = of as f64 * (-odds).ln_1p();
    for happened in 0..count {
        term *= (of - happened) as f64 / (happened + 1) as f64 * (odds / (1.0 - odds));
        sum += term;
        if sum > LARGE {
            (term, sum, scale) = (term / LARGE, sum / LARGE, scale + LARGE.ln());
        }
    }
    (scale + sum.ln()).exp()
}

/// How many standard deviations on either side of the mean hold this part of a normal distribution.
///
/// ```
/// let three = setout_assess::deviations_for(setout_assess::THREE_SIGMA);
/// assert!((three - 3.0).abs() < 1e-12);
/// ```
pub fn deviations_for(coverage: f64) -> f64 {
    // Near 1 its distance from there has the digits.
    std::f64::consts::SQRT_2 * erfc_inv(1.0 - coverage)
}

/// The part of a normal distribution within three standard deviations of its mean.
pub const THREE_SIGMA: f64 = 0.997_300_203_936_739_8;

/// The part of a normal distribution that lies beyond so many standard deviations from the mean, on
/// one side.
///
/// ```
/// // Beyond 6 on either side: 0.00197 parts per million.
/// assert!((2.0 * setout_assess::beyond(6.0) * 1e6 - 0.0019731753).abs() < 1e-9);
/// ```
pub fn beyond(deviations: f64) -> f64 {
    erfc(deviations / std::f64::consts::SQRT_2) / 2.0
}

/// What a process is capable of, measured by what is asked of it.
///
/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6 (the figures in the example are from
/// memory). They describe normal errors.
///
/// ```
/// let of = setout_assess::Capability::of(Some(8.0), Some(20.0), 16.0, 2.0);
/// assert_eq!(of.cp, Some(1.0));
/// assert_eq!(of.cpk, 2.0 / 3.0);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capability {
    /// The room between both limits over six standard deviations; absent with one limit.
    pub cp: Option<f64>,
    /// The room below the mean over three standard deviations; absent without a lower limit.
    pub cpl: Option<f64>,
    /// The room above it; absent without an upper limit.
    pub cpu: Option<f64>,
    /// The smaller of these two.
    pub cpk: f64,
    /// How far the mean is from the middle of the limits, in halves of the room between them; absent
    /// with one limit.
    pub k: Option<f64>,
}

impl Capability {
    /// That of a mean and a standard deviation between limits.
    pub fn of(low: Option<f64>, high: Option<f64>, mean: f64, deviation: f64) -> Self {
        let over = |room: f64, deviations: f64| room / (deviations * deviation);
        let cpl = low.map(|low| over(mean - low, 3.0));
        let cpu = high.map(|high| over(high - mean, 3.0));
        let both = low.zip(high);
        Self {
            cp: both.map(|(low, high)| over(high - low, 6.0)),
            cpl,
            cpu,
            cpk: cpl.into_iter().chain(cpu).fold(f64::INFINITY, f64::min),
            k: both.map(|(low, high)| ((low + high) / 2.0 - mean).abs() / ((high - low) / 2.0)),
        }
    }
}
