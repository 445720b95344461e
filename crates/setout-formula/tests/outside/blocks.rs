//! Blocks of samples come to the same bits as each sample by itself.

use setout_formula::{BlockMachine, Code, Machine, Samples, Texts};
use setout_quantity::Kind;

use crate::Named;
use crate::enclosures::compiled;
use crate::grow::{Grower, NAMES, Numbers, kind_of};
use crate::random::Random;

/// One number of a name, or one for each sample.
enum Input {
    Same(f64),
    Each(Vec<f64>),
}

/// The inputs of a block.
struct Inputs {
    count: usize,
    names: Vec<Input>,
}

impl Inputs {
    /// Near the names' values, in steps that now and then meet each other; some not computed.
    fn random(names: &[Named], count: usize, random: &mut Random) -> Self {
        let names = names.iter().map(|(.., value)| {
            let reach = random.one_of(&[0.01, 3.0, 60.0]);
            let missing = random.below(12) == 0;
            if random.below(3) == 0 {
                return Input::Same(if missing { f64::NAN } else { *value });
            }
            let mut number = || match random.below(40) {
                0 if missing => f64::NAN,
                1 => 0.0,
                2 => -0.0,
                3 => *value,
                4 => random.between(-9.0, 9.0).round(),
                _ => value + random.between(-reach, reach),
            };
            Input::Each((0..count).map(|_| number()).collect())
        });
        Self { count, names: names.collect() }
    }

    fn samples(&self) -> Vec<Samples<'_>> {
        let samples = |input| match input {
            &Input::Same(number) => Samples::Same(number),
            Input::Each(numbers) => Samples::Each(numbers),
        };
        self.names.iter().map(samples).collect()
    }

    fn point(&self, index: usize) -> Vec<f64> {
        let at = |input: &Input| match input {
            Input::Same(number) => *number,
            Input::Each(numbers) => numbers[index],
        };
        self.names.iter().map(at).collect()
    }
}

/// How often each thing was seen, so that a test that sees nothing fails.
#[derive(Debug, Default)]
struct Seen {
    values: usize,
    stops: usize,
    /// Blocks with both.
    mixed: usize,
}

/// The machines of a test, which are kept as a program keeps them.
struct Machines {
    widest: BlockMachine,
    base: BlockMachine,
    point: Machine,
}

impl Machines {
    fn with(texts: &Texts) -> Self {
        Self {
            widest: BlockMachine::with(texts),
            base: BlockMachine::with(texts).without_vectors(),
            point: Machine::with(texts),
        }
    }

    fn agree(&mut self, text: &str, code: &Code, inputs: &Inputs, seen: &mut Seen) {
        let mut values = vec![7.0; inputs.count];
        self.widest.run(code, &inputs.samples(), &mut values);
        let mut plain = vec![-7.0; inputs.count];
        self.base.run(code, &inputs.samples(), &mut plain);
        let mut stops = 0;
        for (index, value) in values.iter().enumerate() {
            let point = inputs.point(index);
            let wanted = self.point.run(code, &point).unwrap_or_else(|_| {
                stops += 1;
                f64::NAN
            });
            let told =
                || format!("{text}\n  at {point:?}, sample {index}: {wanted} became {value}");
            assert_eq!(value.to_bits(), wanted.to_bits(), "{}", told());
            assert_eq!(plain[index].to_bits(), wanted.to_bits(), "without vectors: {}", told());
        }
        seen.values += inputs.count - stops;
        seen.stops += stops;
        seen.mixed += usize::from(stops > 0 && stops < inputs.count);
    }
}

#[test]
fn random_formulas_in_blocks() {
    let (mut random, seed) = Random::seeded();
    let mut seen = Seen::default();
    for numbers in [Numbers::Usual, Numbers::Extreme] {
        for _ in 0..2500 {
            let names: Vec<Named> = NAMES
                .iter()
                .map(|(name, dims)| (*name, kind_of(*dims), random.between(-8.0, 25.0)))
                .collect();
            let text = Grower { random: &mut random, numbers, plain: false }.any_text(5);
            let Some((code, texts)) = compiled(&text, &names) else { continue };
            let mut machines = Machines::with(&texts);
            let count = random.one_of(&[1, 7, 64, 250]);
            for _ in 0..2 {
                let inputs = Inputs::random(&names, count, &mut random);
                machines.agree(&text, &code, &inputs, &mut seen);
            }
        }
    }
    println!("seed {seed}: {seen:?}");
    assert!(seen.values > 200_000 && seen.stops > 20_000 && seen.mixed > 300, "{seen:?}");
}

/// Each operation by itself and the ways in which they meet, on more samples than one block holds.
#[test]
fn every_function_in_blocks() {
    let names: [Named; 4] = [
        ("a", Kind::LENGTH, 3.0),
        ("b", Kind::LENGTH, -1.0),
        ("n", Kind::NUMBER, 0.4),
        ("angle", Kind::ANGLE, 40.0),
    ];
    let (mut random, seed) = Random::seeded();
    let mut seen = Seen::default();
    for text in [
        "a",
        "7 mm",
        "a + b - 2 * a",
        "a * b / (a - b)",
        "-a",
        "abs(b) + sign(a) * b",
        "min(a, b, 0 mm) + max(b, a)",
        "clamp(a, b, 4 mm)",
        "clamp(2 mm, b, a)",
        "round(a, 0.1 mm) + ceil(b, 0.25 mm) + floor(a, abs(b))",
        "round(n) + ceil(n) + floor(n)",
        "sqrt(a * b) + hypot(a, b)",
        "hypot(a, b, 1 mm)",
        "cbrt(a * b * a)",
        "exp(n * 300) + ln(n) + log10(n)",
        "a ^ 2 + b ^ 2",
        "n ^ n + 2 ^ n + n ^ -1",
        "sin(angle) + cos(angle) * tan(3 * angle)",
        "asin(n) + acos(n) + atan(n) + atan2(a, b)",
        "arc_length(a, angle)",
        "sum(a, b, 1 mm) + mean(a, b, a)",
        "if(a > b, a, b)",
        "if(a > b && n < 1 || !(b >= -1 mm), sqrt(n), if(n >= 0.5, 1 / (n - 0.4), ln(n)))",
        "if(1 > 2, a, if(a <= b, b, if(a >= 3 mm, 1 mm, a)))",
        "if(ln(n) > -2, a, b)",
        "four_bar_output(abs(a) * 10, 120 mm, 80 mm, 100 mm, angle, \"open\")",
        "if(n > 0.3, slider_crank(30 mm, 20 * abs(a), b, angle, \"open\"), a)",
        "four_bar_output(40 mm, 120 mm, 80 mm, 100 mm, 60 deg, \"open\") + angle",
        "1 / 0",
    ] {
        let (code, texts) = compiled(text, &names).unwrap_or_else(|| panic!("{text}"));
        let mut machines = Machines::with(&texts);
        let before = seen.values;
        for count in [0, 1, 7, 64, 300, 1024, 3000, 1500] {
            let inputs = Inputs::random(&names, count, &mut random);
            machines.agree(text, &code, &inputs, &mut seen);
        }
        assert!(seen.values > before || text == "1 / 0", "{text} never has a value; seed {seed}");
    }
    println!("seed {seed}: {seen:?}");
    assert!(seen.values > 60_000 && seen.stops > 6_000 && seen.mixed > 30, "{seen:?}");
}

/// A formula whose parts have faults has no code, and so no value for any sample.
#[test]
fn code_without_operations_has_no_value() {
    let mut values = [1.0; 3];
    BlockMachine::default().run(&Code::default(), &[], &mut values);
    assert!(values.iter().all(|value| value.is_nan()));
}

#[test]
#[should_panic(expected = "out of range")]
fn too_few_samples_are_no_block() {
    let (code, _) = compiled("a", &[("a", Kind::LENGTH, 3.0)]).unwrap();
    BlockMachine::default().run(&code, &[Samples::Each(&[1.0, 2.0])], &mut [0.0; 3]);
}
