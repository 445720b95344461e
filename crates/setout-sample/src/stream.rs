//! Streams of random numbers, and the blocks that are filled from them.

use pulp::{Arch, Scalar, WithSimd};

use crate::Spread;
use crate::kernels::{Halved, halved, placed, radius, unit};
use crate::philox::{Blocks, RUN};
use crate::spread::Shape;

/// The numbers of one name under one seed, in a fixed order: sample 0, 1, 2 and so on.
///
/// A sample's number is a function of the seed, the name and the sample's index alone. It does not
/// hang on which samples are asked for beside it, in what order or on how many threads.
#[derive(Clone, Copy, Debug)]
pub struct Stream {
    blocks: Blocks<BETWEEN>,
    width: Width,
}

/// How many samples the machine works on at once. It is a matter of speed alone.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub enum Width {
    /// The widest vectors that the processor at hand has.
    #[default]
    Widest,
    /// The code of a processor with AVX2 and no more; the base, where there is none of these.
    Avx2,
    /// What every processor of its kind can do.
    Base,
}

/// How many samples are drawn together: the first half of them takes the one number that a pair of
/// words gives, the second half the other.
const GROUP: usize = 2 * PAIRS;
const PAIRS: usize = RUN;
/// The generator has seven rounds, with the first and the last; see docs/decisions.
const BETWEEN: usize = 5;

impl Stream {
    /// The stream of a seed and a name. Streams of different names share no block of the generator,
    /// unless the names' 64-bit hashes are the same.
    pub fn new(seed: u64, name: &str) -> Self {
        Self { blocks: Blocks::new(seed, hash(name.as_bytes())), width: Width::default() }
    }

    /// The same stream, drawn with a given width.
    #[must_use]
    pub fn with_width(self, width: Width) -> Self {
        Self { width, ..self }
    }

    /// Fills a block with the numbers of a spread, for the samples from `start` on.
    pub fn fill(&self, spread: Spread, start: u64, samples: &mut [f64]) {
        match spread.0 {
            Shape::Normal { mean, deviation } => {
                self.draw(start, samples, Normal { mean, deviation });
            }
            Shape::Uniform { low, width } => {
                self.draw(start, samples, Even(move |share| low + width * share));
            }
            Shape::Triangular { low, mode, high } => {
                self.draw(start, samples, Even(triangular(low, mode, high)));
            }
        }
    }

    /// Standard normal numbers, of mean 0 and deviation 1, for the samples from `start` on.
    pub fn normal(&self, start: u64, samples: &mut [f64]) {
        self.draw(start, samples, Normal { mean: 0.0, deviation: 1.0 });
    }

    /// Numbers from 2^-53 to 1 - 2^-53, evenly spread, for the samples from `start` on.
    pub fn uniform(&self, start: u64, samples: &mut [f64]) {
        self.draw(start, samples, Even(|share| share));
    }

    fn draw<D: Draw>(&self, start: u64, samples: &mut [f64], draw: D) {
        let fill = Fill { stream: self, start, samples, draw };
        match self.width {
            Width::Widest => Arch::new().dispatch(fill),
            Width::Avx2 => avx2(fill),
            Width::Base => fill.with_simd(Scalar),
        }
    }
}

#[cfg(any(target_arch = "x86", target_arch = "x86_64"))]
fn avx2<Op: WithSimd<Output = ()>>(op: Op) {
    match pulp::x86::V3::try_new() {
        Some(simd) => pulp::Simd::vectorize(simd, op),
        None => op.with_simd(Scalar),
    }
}

#[cfg(not(any(target_arch = "x86", target_arch = "x86_64")))]
fn avx2<Op: WithSimd<Output = ()>>(op: Op) {
    op.with_simd(Scalar)
}

/// One filling of a block; what is in here is compiled for every width.
struct Fill<'a, D> {
    stream: &'a Stream,
    start: u64,
    samples: &'a mut [f64],
    draw: D,
}

impl<D: Draw> WithSimd for Fill<'_, D> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: pulp::Simd>(self, _: S) {
        let Fill { stream, start, samples, draw } = self;
        let mut group = start / GROUP as u64;
        let skipped = (start % GROUP as u64) as usize;
        let head = if skipped == 0 { 0 } else { samples.len().min(GROUP - skipped) };
        let (head, rest) = samples.split_at_mut(head);
        let mut whole = [0.0; GROUP];
        if !head.is_empty() {
            stream.group(group, &mut whole, &draw);
            head.copy_from_slice(&whole[skipped..skipped + head.len()]);
            group = group.wrapping_add(1);
        }
        let (groups, tail) = rest.as_chunks_mut::<GROUP>();
        for samples in groups {
            stream.group(group, samples, &draw);
            group = group.wrapping_add(1);
        }
        if !tail.is_empty() {
            stream.group(group, &mut whole, &draw);
            tail.copy_from_slice(&whole[..tail.len()]);
        }
    }
}

impl Stream {
    #[inline(always)]
    fn group<D: Draw>(&self, group: u64, samples: &mut [f64; GROUP], draw: &D) {
        // After the last sample comes the first.
        let first = group.wrapping_mul(PAIRS as u64) & (u64::MAX >> 1);
        draw.group(|pair| self.blocks.block(first, pair), samples);
    }
}

/// Makes numbers of the words of a group's pairs.
trait Draw {
    fn group(&self, words: impl Fn(usize) -> [u64; 2], samples: &mut [f64; GROUP]);
}

/// Normal numbers. The work is cut into two loops, each with one of the slow steps, a division and
/// a root: while a processor waits for those it goes on with the pairs that follow, and comes
/// farther the shorter the way is.
struct Normal {
    mean: f64,
    deviation: f64,
}

impl Draw for Normal {
    #[inline(always)]
    fn group(&self, words: impl Fn(usize) -> [u64; 2], samples: &mut [f64; GROUP]) {
        let (mut halvings, mut s) = ([0.0; PAIRS], [0.0; PAIRS]);
        let mut directions = [0; PAIRS];
        for pair in 0..PAIRS {
            let [a, b] = words(pair);
            let share = halved(unit(a));
            (halvings[pair], s[pair], directions[pair]) = (share.halvings, share.s, b);
        }
        let (left, right) = samples.split_at_mut(PAIRS);
        let places = directions.iter().zip(halvings.iter().zip(&s));
        for ((left, right), (direction, (halvings, s))) in left.iter_mut().zip(right).zip(places) {
            let share = Halved { halvings: *halvings, s: *s };
            let (x, y) = placed(self.deviation * radius(share), *direction);
            (*left, *right) = (self.mean + x, self.mean + y);
        }
    }
}

/// Functions of evenly spread shares.
struct Even<F>(F);

impl<F: Fn(f64) -> f64> Draw for Even<F> {
    #[inline(always)]
    fn group(&self, words: impl Fn(usize) -> [u64; 2], samples: &mut [f64; GROUP]) {
        let (left, right) = samples.split_at_mut(PAIRS);
        for (pair, (left, right)) in left.iter_mut().zip(right).enumerate() {
            let [a, b] = words(pair);
            (*left, *right) = (self.0(unit(a)), self.0(unit(b)));
        }
    }
}

/// The number below which a triangular spread has a given share.
fn triangular(low: f64, mode: f64, high: f64) -> impl Fn(f64) -> f64 {
    let width = high - low;
    let (rising, falling) = (width * (mode - low), width * (high - mode));
    move |share| {
        // Both sides are worked out, so that there is no branch.
        let (left, right) = (share * rising, (1.0 - share) * falling);
        let (up, down) = (low + left.sqrt(), high - right.sqrt());
        if share * width < mode - low { up } else { down }
    }
}

/// FNV-1a with 64 bits (G. Fowler, L. C. Noll, K.-P. Vo; RFC 9923).
fn hash(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xCBF2_9CE4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01B3)
    })
}
