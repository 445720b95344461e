//! A mechanism read over blocks of samples.

use std::cell::RefCell;

use setout_formula::{BlockMachine, Code, Requirement, Samples};

use super::{Mechanism, Step, Subject};

/// A mechanism made ready for blocks of samples, with the memory for them.
///
/// Each sample comes to what [`Mechanism::at`] makes of its point alone, to the last bit.
#[derive(Debug)]
pub struct Blocks<'m, 'a> {
    of: &'m Mechanism<'a>,
    steps: Vec<Read>,
    ends: Ends,
    machine: BlockMachine,
    values: Vec<Value>,
}

/// A step whose formula has slots of its own, one for each value that it reads.
#[derive(Debug)]
enum Read {
    Plain,
    Code(Code, Vec<u32>),
}

#[derive(Debug)]
enum Ends {
    Requirement(Box<Requirement>, Vec<u32>),
    Value(u32),
    Within { value: u32, min: Option<u32>, max: Option<u32> },
}

#[derive(Clone, Debug)]
enum Value {
    Same(f64),
    Each(Vec<f64>),
}

impl Value {
    fn samples(&self) -> Samples<'_> {
        match self {
            Self::Same(number) => Samples::Same(*number),
            Self::Each(numbers) => Samples::Each(numbers),
        }
    }

    fn at(&self, index: usize) -> f64 {
        match self {
            Self::Same(number) => *number,
            Self::Each(numbers) => numbers[index],
        }
    }
}

/// The slots that `with` names, numbered from 0 in the order in which they come.
fn numbered<T>(with: impl FnOnce(&dyn Fn(u32) -> u32) -> T) -> (T, Vec<u32>) {
    let used: RefCell<Vec<u32>> = RefCell::default();
    let number = |slot: u32| {
        let mut used = used.borrow_mut();
        let place = used.iter().position(|own| *own == slot).unwrap_or_else(|| {
            used.push(slot);
            used.len() - 1
        });
        place as u32
    };
    let found = with(&number);
    (found, used.into_inner())
}

impl<'a> Mechanism<'a> {
    /// Makes it ready for blocks of samples.
    pub fn blocks<'m>(&'m self) -> Blocks<'m, 'a> {
        let steps = self.steps.iter().map(|step| match step {
            Step::Code(code, _) => {
                let (code, used) = numbered(|number| code.with_slots(number));
                Read::Code(code, used)
            }
            _ => Read::Plain,
        });
        let mut subject = &self.subject;
        while let Subject::Away { of, .. } = subject {
            subject = of;
        }
        let ends = match subject {
            Subject::Requirement(requirement) => {
                let (requirement, used) = numbered(|number| requirement.with_slots(number));
                Ends::Requirement(Box::new(requirement), used)
            }
            Subject::Value(step) => Ends::Value(*step),
            Subject::Within { value, min, max } => {
                Ends::Within { value: *value, min: *min, max: *max }
            }
            // The loop above went past these.
            Subject::Away { .. } => Ends::Value(0),
        };
        Blocks {
            of: self,
            steps: steps.collect(),
            ends,
            machine: BlockMachine::with(self.texts),
            values: Vec::new(),
        }
    }
}

impl Blocks<'_, '_> {
    /// What comes of as many samples as there is room for: the value or margin in base units, not a
    /// number where there is none, and whether the requirement holds. `axes` has a number for each
    /// variable, of which those that are deviations are passed over; `deviations` has samples for
    /// each dimension that is made, in the order of [`Mechanism::made`], in base units.
    ///
    /// # Panics
    /// If there are fewer samples than there is room for.
    pub fn run(
        &mut self,
        axes: &[f64],
        deviations: &[Samples<'_>],
        found: &mut [f64],
        holds: &mut [bool],
    ) {
        let count = found.len();
        self.values.clear();
        for index in 0..self.steps.len() {
            let value = self.step(index, axes, deviations, count);
            self.values.push(value);
        }
        let Self { values, machine, ends, of, .. } = self;
        match ends {
            Ends::Requirement(requirement, used) => {
                let slots: Vec<Samples<'_>> =
                    used.iter().map(|slot| values[*slot as usize].samples()).collect();
                requirement.outcomes(machine, of.texts, &slots, of.zero(), found, holds);
            }
            Ends::Value(step) => {
                for (sample, found) in found.iter_mut().enumerate() {
                    *found = values[*step as usize].at(sample);
                    holds[sample] = !found.is_nan();
                }
            }
            Ends::Within { value, min, max } => {
                let at = |step: u32, sample: usize| values[step as usize].at(sample);
                for sample in 0..count {
                    let own = at(*value, sample);
                    let below = min.map(|min| own - at(min, sample));
                    let above = max.map(|max| at(max, sample) - own);
                    let room = [below, above].into_iter().flatten();
                    let room =
                        room.fold(f64::INFINITY, |a, b| if b < a || b.is_nan() { b } else { a });
                    let room = if room.abs() <= of.zero() { 0.0 } else { room };
                    (found[sample], holds[sample]) = (room, room >= 0.0);
                }
            }
        }
        // What has no value on the way has none in the end, wherever it is read.
        for value in values.iter() {
            let lost = |number: &f64| !number.is_finite();
            match value {
                Value::Same(number) if lost(number) => {
                    found.fill(f64::NAN);
                    holds.fill(false);
                }
                Value::Same(_) => {}
                Value::Each(numbers) => {
                    for (sample, _) in numbers.iter().enumerate().filter(|(_, own)| lost(own)) {
                        (found[sample], holds[sample]) = (f64::NAN, false);
                    }
                }
            }
        }
    }

    fn step(
        &mut self,
        index: usize,
        axes: &[f64],
        deviations: &[Samples<'_>],
        count: usize,
    ) -> Value {
        let Self { of, values, machine, steps, .. } = self;
        let each = |of: &dyn Fn(usize) -> f64| Value::Each((0..count).map(of).collect());
        match &of.steps[index] {
            Step::Fixed(value) => Value::Same(*value),
            Step::Axis(variable) => Value::Same(axes[*variable]),
            Step::Made(nominal, made) => {
                let nominal = &values[*nominal as usize];
                match deviations[*made] {
                    Samples::Same(error) => each(&|sample| nominal.at(sample) + error),
                    Samples::Each(errors) => each(&|sample| nominal.at(sample) + errors[sample]),
                }
            }
            Step::Between([from, to], along) => {
                let (from, to) = (&values[*from as usize], &values[*to as usize]);
                each(&|sample| {
                    let (from, to) = (from.at(sample), to.at(sample));
                    (from + axes[*along] * (to - from)).clamp(from.min(to), to.max(from))
                })
            }
            Step::Total(pairs) => each(&|sample| {
                let of = |step: u32| values[step as usize].at(sample);
                pairs.iter().map(|(a, b)| of(*a) * of(*b)).sum()
            }),
            Step::Code(_, whole) => {
                let Read::Code(code, used) = &steps[index] else { return Value::Same(f64::NAN) };
                let slots: Vec<Samples<'_>> =
                    used.iter().map(|slot| values[*slot as usize].samples()).collect();
                let mut found = vec![0.0; count];
                if slots.iter().all(|slot| matches!(slot, Samples::Same(_))) {
                    found.truncate(1);
                }
                machine.run(code, &slots, &mut found);
                for value in found.iter_mut().filter(|value| *whole && value.fract() != 0.0) {
                    *value = f64::NAN;
                }
                match found[..] {
                    [only] if count != 1 => Value::Same(only),
                    _ => Value::Each(found),
                }
            }
        }
    }
}
