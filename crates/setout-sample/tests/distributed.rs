//! A million draws have the distribution that they should have.
//!
//! The draws are the same in every run, so a bound can be tight without failing by chance: every
//! statistic is turned into one that is standard normal if all is well, and may not pass
//! [`BOUND`], which chance alone passes once in some 500,000 times (Kolmogorov's: in 15,000).
//! [`flaws_are_found`] shows the power: each statistic tells the flaw that it is there for, of a
//! size that matters.

use std::f64::consts::SQRT_2;

use setout_sample::{Spread, Stream};

const DRAWS: usize = 1_000_000;
const BOUND: f64 = 4.75;
/// Of Kolmogorov's statistic, whose distribution is about 2·exp(-2x²) far out.
const KOLMOGOROV: f64 = 2.27;

fn normal(seed: u64, name: &str) -> Vec<f64> {
    let mut samples = vec![0.0; DRAWS];
    Stream::new(seed, name).normal(0, &mut samples);
    samples
}

fn uniform(seed: u64, name: &str) -> Vec<f64> {
    let mut samples = vec![0.0; DRAWS];
    Stream::new(seed, name).uniform(0, &mut samples);
    samples
}

fn below(x: f64) -> f64 {
    0.5 * libm::erfc(-x / SQRT_2)
}

/// How far the mean of a function lies from what it should be, in standard errors.
fn mean(samples: &[f64], of: impl Fn(f64) -> f64, expected: f64, variance: f64) -> f64 {
    let sum: f64 = samples.iter().map(|x| of(*x) - expected).sum();
    sum / (variance * samples.len() as f64).sqrt()
}

/// The first four moments of standard normal numbers, through Hermite's polynomials: they are
/// uncorrelated, of mean 0 and of variance n!.
fn moments(samples: &[f64]) -> [f64; 4] {
    [
        mean(samples, |x| x, 0.0, 1.0),
        mean(samples, |x| x * x - 1.0, 0.0, 2.0),
        mean(samples, |x| x * x * x - 3.0 * x, 0.0, 6.0),
        mean(samples, |x| x * x * (x * x - 6.0) + 3.0, 0.0, 24.0),
    ]
}

/// Kolmogorov and Smirnov's statistic of shares that should be evenly spread.
fn kolmogorov(shares: impl Iterator<Item = f64>) -> f64 {
    let mut shares: Vec<f64> = shares.collect();
    shares.sort_by(f64::total_cmp);
    let count = shares.len() as f64;
    let far = |(index, share): (usize, &f64)| {
        let (before, after) = (index as f64 / count, (index + 1) as f64 / count);
        (share - before).max(after - share)
    };
    shares.iter().enumerate().map(far).fold(0.0, f64::max) * count.sqrt()
}

/// Pearson's statistic of indices that should be equally frequent, as a normal number by E. B.
/// Wilson and M. M. Hilferty's cube root.
fn chi_square<const BINS: usize>(bins: impl Iterator<Item = usize>) -> f64 {
    let mut counts = [0_u32; BINS];
    bins.for_each(|bin| counts[bin] += 1);
    let expected = f64::from(counts.iter().sum::<u32>()) / BINS as f64;
    let sum: f64 = counts.iter().map(|count| (f64::from(*count) - expected).powi(2)).sum();
    let degrees = (BINS - 1) as f64;
    let spread = 2.0 / (9.0 * degrees);
    ((sum / expected / degrees).cbrt() - (1.0 - spread)) / spread.sqrt()
}

/// The correlation of two sequences of standard normal numbers, in standard errors.
fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let products: f64 = a.iter().zip(b).map(|(a, b)| a * b).sum();
    products / (a.len().min(b.len()) as f64).sqrt()
}

/// The same of their squares: numbers of one pair have one radius, and yet do not hang together.
fn correlation_of_squares(a: &[f64], b: &[f64]) -> f64 {
    let products = a.iter().zip(b).map(|(a, b)| (a * a - 1.0) * (b * b - 1.0));
    products.sum::<f64>() / 2.0 / (a.len().min(b.len()) as f64).sqrt()
}

#[track_caller]
fn is_plausible(what: &str, found: f64) {
    assert!(found.abs() < BOUND, "{what}: {found} standard errors");
}

const SEEDS: [u64; 4] = [0, 1, 0x9E37_79B9_7F4A_7C15, u64::MAX];

#[test]
fn normal_numbers_have_their_moments() {
    for seed in SEEDS {
        let samples = normal(seed, "a");
        for (index, moment) in moments(&samples).iter().enumerate() {
            is_plausible(&format!("moment {} of seed {seed}", index + 1), *moment);
        }
    }
}

#[test]
fn normal_numbers_have_their_distribution() {
    for seed in SEEDS {
        let samples = normal(seed, "b");
        let farthest = kolmogorov(samples.iter().map(|x| below(*x)));
        assert!(farthest < KOLMOGOROV, "{farthest} of seed {seed}");
        let bins = samples.iter().map(|x| ((below(*x) * 4096.0) as usize).min(4095));
        is_plausible("bins", chi_square::<4096>(bins));
    }
}

/// Beyond 4 standard deviations lie 63.3 of a million, by chance from 25 to 105; beyond 4.75 two.
#[test]
fn tails_are_there() {
    let samples: Vec<f64> = SEEDS.iter().flat_map(|seed| normal(*seed, "tails")).collect();
    for (limit, share) in [(3.0, 2.0 * below(-3.0)), (4.0, 2.0 * below(-4.0))] {
        let beyond = |x: f64| f64::from(u8::from(x.abs() > limit));
        is_plausible("beyond", mean(&samples, beyond, share, share));
    }
    assert!(samples.iter().any(|x| *x > 4.75) && samples.iter().any(|x| *x < -4.75));
}

#[test]
fn uniform_numbers_are_even_in_all_their_bits() {
    for seed in SEEDS {
        let samples = uniform(seed, "c");
        let farthest = kolmogorov(samples.iter().copied());
        assert!(farthest < KOLMOGOROV, "{farthest} of seed {seed}");
        // Of the 52 bits of a number, ten at a time, to the lowest.
        for first in [0, 10, 20, 30, 42] {
            let bits = |x: &f64| (x * 2.0_f64.powi(52)) as usize >> first & 1023;
            is_plausible(
                &format!("bits from {first}"),
                chi_square::<1024>(samples.iter().map(bits)),
            );
        }
        // The pairs of a number and the next, in a grid.
        let cell = |x: f64| (x * 32.0) as usize;
        let pairs = samples.windows(2).step_by(2).map(|pair| cell(pair[0]) * 32 + cell(pair[1]));
        is_plausible("pairs", chi_square::<1024>(pairs));
    }
}

#[test]
fn samples_do_not_hang_together() {
    let samples = normal(1, "d");
    // 32 is the distance of the two numbers of one pair.
    for lag in (1..=70).chain([128, 1000, 1024, 4096]) {
        let (before, after) = (&samples[..DRAWS - lag], &samples[lag..]);
        is_plausible(&format!("lag {lag}"), correlation(before, after));
        is_plausible(&format!("squares, lag {lag}"), correlation_of_squares(before, after));
    }
}

#[test]
fn streams_do_not_hang_together() {
    let names = ["", "a", "b", "aa", "ab", "ba", "x1", "x2", "housing.bore", "housing.bord"];
    let mut streams: Vec<Vec<f64>> = names.iter().map(|name| normal(1, name)).collect();
    streams.extend([0, 2, 3, 1 << 32].map(|seed| normal(seed, "a")));
    for (index, a) in streams.iter().enumerate() {
        for (other, b) in streams.iter().enumerate().skip(index + 1) {
            is_plausible(&format!("streams {index} and {other}"), correlation(a, b));
            is_plausible("squares", correlation_of_squares(a, b));
        }
    }
}

#[test]
fn triangular_numbers_have_their_distribution() {
    for (low, mode, high) in [(0.0, 1.0, 4.0), (-2.0, -2.0, 1.0), (5.0, 6.0, 6.0)] {
        let mut samples = vec![0.0; DRAWS];
        let spread = Spread::triangular(low, mode, high).unwrap();
        Stream::new(2, "e").fill(spread, 0, &mut samples);
        let below = |x: f64| {
            if x < mode {
                (x - low).powi(2) / ((high - low) * (mode - low))
            } else {
                1.0 - (high - x).powi(2) / ((high - low) * (high - mode)).max(f64::MIN_POSITIVE)
            }
        };
        let farthest = kolmogorov(samples.iter().map(|x| below(*x)));
        assert!(farthest < KOLMOGOROV, "{farthest}");
        let centre = (low + mode + high) / 3.0;
        let squares = low * low + mode * mode + high * high;
        let variance = (squares - low * mode - low * high - mode * high) / 18.0;
        is_plausible("mean", mean(&samples, |x| x, centre, variance));
    }
}

/// What the statistics above are worth: each is far past its bound for numbers with one flaw.
#[test]
fn flaws_are_found() {
    let samples = normal(1, "f");
    let flawed = |flaw: &dyn Fn(f64) -> f64| samples.iter().map(|x| flaw(*x)).collect::<Vec<f64>>();
    // A mean off by a hundredth of the deviation, a deviation off by less.
    assert!(moments(&flawed(&|x| x + 0.01))[0] > BOUND);
    assert!(moments(&flawed(&|x| x * 1.007))[1] > BOUND);
    // A little lean, and tails that end at 3 standard deviations.
    assert!(moments(&flawed(&|x| x + 0.003 * (x * x - 1.0)))[2] > BOUND);
    assert!(moments(&flawed(&|x| x.clamp(-3.0, 3.0)))[3] < -BOUND);
    assert!(kolmogorov(flawed(&|x| x + 0.008).iter().map(|x| below(*x))) > KOLMOGOROV);
    // The sum of twelve even numbers less six, which was once taken for normal.
    let even = uniform(1, "f");
    let twelve = even.chunks_exact(12).map(|even| even.iter().sum::<f64>() - 6.0);
    assert!(moments(&twelve.collect::<Vec<f64>>())[3] < -BOUND);
    // 20 bits for 52: the bits below are always the same.
    let coarse = even.iter().map(|x| (x * 2.0_f64.powi(20)).floor() / 2.0_f64.powi(20));
    let lowest = coarse.map(|x| (x * 2.0_f64.powi(52)) as usize & 1023);
    assert!(chi_square::<1024>(lowest) > 100.0 * BOUND);
    // One place of 1024 that is never hit.
    let robbed = even.iter().filter(|x| **x >= 1.0 / 1024.0);
    assert!(chi_square::<1024>(robbed.map(|x| (x * 1024.0) as usize)) > BOUND);
    // One number in a hundred is that of before.
    let mut echo = samples.clone();
    (1..DRAWS).step_by(100).for_each(|index| echo[index] = echo[index - 1]);
    assert!(correlation(&echo[..DRAWS - 1], &echo[1..]) > BOUND);
    // The two numbers of a pair share a radius and nothing tells them apart.
    let mirrored: Vec<f64> = samples.iter().map(|x| x.abs()).collect();
    assert!(correlation_of_squares(&samples, &mirrored) > 100.0 * BOUND);
}
