//! The same samples have the same bits, however they are asked for.

use setout_sample::{Spread, Stream, Width};

fn spreads() -> [Spread; 4] {
    [
        Spread::normal(10.0, 0.1).unwrap(),
        Spread::uniform(-1.0, 3.0).unwrap(),
        Spread::triangular(1.0, 1.5, 4.0).unwrap(),
        Spread::triangular(1.0, 1.0, 4.0).unwrap(),
    ]
}

fn bits(samples: &[f64]) -> Vec<u64> {
    samples.iter().map(|sample| sample.to_bits()).collect()
}

fn drawn(stream: Stream, spread: Spread, start: u64, count: usize) -> Vec<u64> {
    let mut samples = vec![0.0; count];
    stream.fill(spread, start, &mut samples);
    bits(&samples)
}

#[test]
fn any_block_at_any_start() {
    let stream = Stream::new(5, "lid.height");
    for spread in spreads() {
        let all = drawn(stream, spread, 0, 5000);
        for size in [1, 2, 31, 32, 33, 63, 64, 65, 127, 500, 1024] {
            let starts = (0..all.len()).step_by(size);
            let joined: Vec<u64> = starts
                .flat_map(|start| drawn(stream, spread, start as u64, size.min(all.len() - start)))
                .collect();
            assert!(joined == all, "blocks of {size}");
        }
        for start in 0..200 {
            assert!(drawn(stream, spread, start as u64, 70) == all[start..start + 70], "{start}");
        }
        assert!(drawn(stream, spread, 17, 0).is_empty());
    }
}

#[test]
fn any_width() {
    for seed in 0..20 {
        for spread in spreads() {
            let stream = Stream::new(seed, "pin.diameter");
            let widest = drawn(stream, spread, seed * 1_000_003, 20_011);
            for width in [Width::Avx2, Width::Base] {
                let other = drawn(stream.with_width(width), spread, seed * 1_000_003, 20_011);
                assert!(widest == other, "{width:?}");
            }
        }
    }
}

#[test]
fn any_number_of_threads() {
    let stream = Stream::new(8, "plate.thickness");
    let spread = spreads()[0];
    let whole = drawn(stream, spread, 0, 100_000);
    for threads in [2, 3, 7] {
        let mut samples = vec![0.0; whole.len()];
        let share = whole.len().div_ceil(threads);
        std::thread::scope(|scope| {
            for (index, part) in samples.chunks_mut(share).enumerate() {
                scope.spawn(move || stream.fill(spread, (index * share) as u64, part));
            }
        });
        assert!(bits(&samples) == whole, "{threads} threads");
    }
}

/// The numbers of one version are those of the next: what was released with a seed stays so.
#[test]
fn the_numbers_stay() {
    let mut samples = [0.0; 4];
    Stream::new(1, "a").normal(30, &mut samples);
    assert_eq!(samples, NORMAL);
    Stream::new(1, "a").uniform(30, &mut samples);
    assert_eq!(samples, UNIFORM);
}

const NORMAL: [f64; 4] =
    [1.1714203176070184, 1.7706432877777927, -0.37666780144486933, -1.639341964109406];
const UNIFORM: [f64; 4] =
    [0.48174399340267915, 0.11974164024262912, 0.18103403248659655, 0.48085427850414575];

#[test]
fn seeds_names_and_starts_tell_streams_apart() {
    let spread = spreads()[1];
    let first = drawn(Stream::new(1, "a"), spread, 0, 64);
    for other in [
        Stream::new(2, "a"),
        Stream::new(1, "b"),
        Stream::new(1 << 32 | 1, "a"),
        Stream::new(1, ""),
    ] {
        let other = drawn(other, spread, 0, 64);
        assert!(first.iter().all(|bits| !other.contains(bits)));
    }
    assert_ne!(first, drawn(Stream::new(1, "a"), spread, 64 << 32, 64), "high halves count");
}

/// The last samples that there are; after them the counter begins again.
#[test]
fn the_end_of_the_counter() {
    let (stream, spread) = (Stream::new(3, "z"), spreads()[0]);
    let around = drawn(stream, spread, u64::MAX - 99, 200);
    assert!(around[..100] == drawn(stream, spread, u64::MAX - 99, 100));
    assert!(around[100..] == drawn(stream, spread, 0, 100));
}

#[test]
fn spreads_keep_within_their_ends() {
    let mut samples = vec![0.0; 200_000];
    let [_, uniform, triangular, leaning] = spreads();
    for (spread, low, high) in [(uniform, -1.0, 3.0), (triangular, 1.0, 4.0), (leaning, 1.0, 4.0)] {
        Stream::new(11, "x").fill(spread, 0, &mut samples);
        assert!(samples.iter().all(|sample| (low..=high).contains(sample)));
    }
    for spread in [
        Spread::normal(2.0, 0.0).unwrap(),
        Spread::uniform(2.0, 2.0).unwrap(),
        Spread::triangular(2.0, 2.0, 2.0).unwrap(),
    ] {
        Stream::new(11, "x").fill(spread, 0, &mut samples);
        assert!(samples.iter().all(|sample| *sample == 2.0), "{spread:?}");
    }
}

#[test]
fn what_is_no_spread() {
    use setout_sample::BadSpread::{NegativeDeviation, NotFinite, OutOfOrder};
    assert_eq!(Spread::normal(f64::NAN, 1.0), Err(NotFinite));
    assert_eq!(Spread::normal(0.0, f64::INFINITY), Err(NotFinite));
    assert_eq!(Spread::normal(0.0, -1.0), Err(NegativeDeviation));
    assert_eq!(Spread::uniform(1.0, 0.0), Err(OutOfOrder));
    assert_eq!(Spread::uniform(-f64::MAX, f64::MAX), Err(NotFinite));
    assert_eq!(Spread::triangular(0.0, 3.0, 2.0), Err(OutOfOrder));
    assert_eq!(Spread::triangular(0.0, -1.0, 2.0), Err(OutOfOrder));
    assert_eq!(Spread::triangular(0.0, 1e200, 1e200), Err(NotFinite));
}
