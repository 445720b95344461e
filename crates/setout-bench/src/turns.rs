//! Turns: whatever is compared runs by turns, so that what else the machine has to do falls on all alike.

use std::time::Instant;

/// What one side took, round by round, in seconds or in whatever its turns give.
#[derive(Clone, Debug)]
pub struct Times(Vec<f64>);

/// How one side stands to another: the ratio of each round, sorted.
#[derive(Clone, Debug)]
pub struct Ratio(Vec<f64>);

/// Runs all of them in every round and keeps what each gives. A first round only warms up, and every
/// other round goes the other way about: nobody always comes after the same one.
pub fn by_turns(rounds: usize, runs: &mut [&mut dyn FnMut() -> f64]) -> Vec<Times> {
    for run in &mut *runs {
        run();
    }
    by_turns_at_once(rounds, runs)
}

/// The same without a round to warm up, for what takes so long that nothing is left to warm.
pub fn by_turns_at_once(rounds: usize, runs: &mut [&mut dyn FnMut() -> f64]) -> Vec<Times> {
    let mut times = vec![Vec::with_capacity(rounds); runs.len()];
    for round in 0..rounds {
        let forth = 0..runs.len();
        let order: Vec<usize> =
            if round % 2 == 0 { forth.collect() } else { forth.rev().collect() };
        for index in order {
            times[index].push(runs[index]());
        }
    }
    times.into_iter().map(Times).collect()
}

/// How long something takes, in seconds.
pub fn passed<T>(run: impl FnOnce() -> T) -> f64 {
    let start = Instant::now();
    std::hint::black_box(run());
    start.elapsed().as_secs_f64()
}

/// The processor's time in which this thread does something, where the system tells it; else the time
/// that passes. Python's `process_time` is the same for the other side: what else the machine has to do
/// counts for neither.
pub fn worked<T>(run: impl FnOnce() -> T) -> f64 {
    let before = processor();
    let passed = passed(run);
    match (before, processor()) {
        (Some(before), Some(after)) => after - before,
        _ => passed,
    }
}

/// In seconds, of this thread. What the system's tables of processes tell of it stands still from one
/// tick of the system to the next, some milliseconds; its clock does not.
#[cfg(unix)]
fn processor() -> Option<f64> {
    use rustix::time::{ClockId, clock_gettime};
    let told = clock_gettime(ClockId::ThreadCPUTime);
    Some(told.tv_sec as f64 + told.tv_nsec as f64 / 1e9)
}

#[cfg(not(unix))]
fn processor() -> Option<f64> {
    None
}

impl Times {
    /// The middle one.
    pub fn median(&self) -> f64 {
        let mut times = self.0.clone();
        times.sort_by(f64::total_cmp);
        times[times.len() / 2]
    }

    /// The ratio of every round to the same round of another.
    #[must_use]
    pub fn over(&self, other: &Self) -> Ratio {
        let mut ratios: Vec<f64> = self.0.iter().zip(&other.0).map(|(a, b)| a / b).collect();
        ratios.sort_by(f64::total_cmp);
        Ratio(ratios)
    }

    /// What is left without what another takes: the start of a program, say.
    #[must_use]
    pub fn without(&self, other: &Self) -> Self {
        Self(self.0.iter().zip(&other.0).map(|(a, b)| a - b).collect())
    }

    /// A share of each.
    #[must_use]
    pub fn each(&self, share: f64) -> Self {
        Self(self.0.iter().map(|time| time * share).collect())
    }
}

impl Ratio {
    /// A ratio that comes out the same every time, of counts and not of times.
    pub fn exact(ratio: f64) -> Self {
        Self(vec![ratio])
    }

    /// The middle one.
    pub fn median(&self) -> f64 {
        self.0[self.0.len() / 2]
    }

    /// The ends of the middle half of all rounds; none of something exact.
    pub fn spread(&self) -> Option<[f64; 2]> {
        let count = self.0.len();
        (count > 1).then(|| [self.0[count / 4], self.0[(count * 3).div_ceil(4).min(count) - 1]])
    }
}

#[cfg(test)]
mod tests {
    use super::{Times, by_turns};

    #[test]
    fn ratios_are_of_the_same_round() {
        let mut round = 0.0;
        let mut other = 0.0;
        let times = by_turns(
            4,
            &mut [
                &mut || {
                    round += 1.0;
                    round * 3.0
                },
                &mut || {
                    other += 1.0;
                    other
                },
            ],
        );
        let ratio = times[0].over(&times[1]);
        assert_eq!((ratio.median(), ratio.spread()), (3.0, Some([3.0, 3.0])));
    }

    #[test]
    fn the_spread_is_the_middle_half() {
        let ones = Times(vec![1.0; 8]);
        let times = Times(vec![9.0, 1.0, 3.0, 2.0, 4.0, 5.0, 6.0, 70.0]);
        let ratio = times.over(&ones);
        assert_eq!((ratio.median(), ratio.spread()), (5.0, Some([3.0, 6.0])));
        assert_eq!(times.median(), 5.0);
    }
}
