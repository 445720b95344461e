//! Draws for `tests/outside/sampling.py`, which makes them in a way of its own and judges them.
//!
//! `draws first SEED NAME START COUNT` prints so many normal and uniform numbers, two on a line.
//! `draws many SEED NAME MILLIONS` prints the counts of so many millions of normal numbers in steps
//! of 1/64 from -9 to 9, then of uniform ones in 65,536 equal parts, then sums of normal ones: of
//! products with the number before, with that of the same pair, and of their squares'.

#![expect(clippy::print_stdout, reason = "printing is what this program is for")]

use std::fmt::Display;

use setout_sample::Stream;

const MILLION: usize = 1_000_000;
const STEPS: usize = 18 * 64;
const PARTS: usize = 65_536;
/// The distance of the two numbers of a pair.
const PAIR: usize = 32;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words[..] {
        ["first", seed, name, start, count] => {
            first(Stream::new(number(seed), name), number(start), number(count));
        }
        ["many", seed, name, millions] => many(Stream::new(number(seed), name), number(millions)),
        _ => panic!("draws first SEED NAME START COUNT, or draws many SEED NAME MILLIONS"),
    }
}

fn number(word: &str) -> u64 {
    word.parse().expect("a number")
}

fn first(stream: Stream, start: u64, count: u64) {
    let mut normal = vec![0.0; count as usize];
    let mut uniform = normal.clone();
    stream.normal(start, &mut normal);
    stream.uniform(start, &mut uniform);
    for (normal, uniform) in normal.iter().zip(&uniform) {
        println!("{normal} {uniform}");
    }
}

fn many(stream: Stream, millions: u64) {
    let mut steps = vec![0_u64; STEPS];
    let mut parts = vec![0_u64; PARTS];
    let mut sums = [0.0; 4];
    let mut samples = vec![0.0; MILLION];
    for million in 0..millions {
        let start = million * MILLION as u64;
        stream.normal(start, &mut samples);
        for x in &samples {
            steps[((x + 9.0) * 64.0) as usize] += 1;
        }
        for (sums, lag) in sums.chunks_exact_mut(2).zip([1, PAIR]) {
            for (a, b) in samples.iter().zip(&samples[lag..]) {
                sums[0] += a * b;
                sums[1] += (a * a - 1.0) * (b * b - 1.0);
            }
        }
        stream.uniform(start, &mut samples);
        for x in &samples {
            parts[(x * PARTS as f64) as usize] += 1;
        }
    }
    line(&steps);
    line(&parts);
    line(&sums);
}

fn line(numbers: &[impl Display]) {
    let words: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    println!("{}", words.join(" "));
}
