//! A program comes to the same bits as each of its formulas by itself.

use setout_formula::{Code, Formula, Machine, Program, Texts};
use setout_quantity::Kind;

use crate::grow::{Grower, NAMES, Numbers, kind_of};
use crate::random::Random;
use crate::{Named, known_units, meanings};

/// A formula, the names that it reads, and whether anything but arithmetic is in it.
struct Own {
    text: String,
    code: Code,
    reads: Vec<usize>,
}

impl Own {
    fn new(text: &str, names: &[Named], texts: &mut Texts) -> Option<Self> {
        let (formula, faults) = Formula::read(text, &known_units());
        let formula = formula.filter(|_| faults.is_empty())?;
        let code = formula.compile(&meanings(&formula, names), &known_units(), texts);
        let code = code.unwrap_or_else(|faults| panic!("{text}: {faults:?}")).code;
        let place = |name: &str| names.iter().position(|(own, ..)| *own == name).expect("a name");
        let reads = formula.names().iter().map(|used| place(used.name.as_ref())).collect();
        Some(Self { text: text.to_owned(), code, reads })
    }

    /// Its value by itself; nothing where it has none, or something that it names has none.
    fn value(&self, machine: &mut Machine, point: &[f64]) -> Option<f64> {
        let there = self.reads.iter().all(|name| !point[*name].is_nan());
        there.then(|| machine.run(&self.code, point).ok()).flatten()
    }
}

/// How often each thing was seen, so that a test that sees nothing fails.
#[derive(Debug, Default)]
struct Seen {
    values: usize,
    stops: usize,
    /// Somebody else was asked though there is a value.
    in_vain: usize,
}

/// Runs all formulas in one program, each way that there is, and each by itself.
fn agree(all: &[Own], point: &[f64], texts: &Texts, seen: &mut Seen) {
    let mut program = Program::of(point.len() + all.len());
    for (index, own) in all.iter().enumerate() {
        program.push((point.len() + index) as u32, &own.code);
    }
    // The step of each; what is only a number has none.
    let mut steps = vec![None; all.len()];
    for (step, slot) in program.slots().enumerate() {
        steps[slot as usize - point.len()] = Some(step);
    }
    let mut machine = Machine::with(texts);
    let fresh = || {
        let mut values = program.values();
        values[..point.len()].copy_from_slice(point);
        values
    };
    const ASKED: f64 = -12_345.678_9;
    let mut values = fresh();
    program.run(&mut values, |slot, values| {
        // What is computed so far can be read, and nothing else.
        assert!(values[point.len()..slot as usize].iter().all(|value| !value.is_nan()));
        assert!(values[slot as usize].is_nan());
        ASKED
    });
    let mut singly = fresh();
    for (index, own) in all.iter().enumerate() {
        let wanted = own.value(&mut machine, point);
        let found = values[point.len() + index];
        let told = || format!("{}\n  at {point:?}: {wanted:?} became {found}", own.text);
        let one = match steps[index] {
            Some(step) => program.one(step, &mut singly).unwrap_or(ASKED),
            None => singly[point.len() + index],
        };
        assert_eq!(one.to_bits(), found.to_bits(), "by itself: {}", told());
        match wanted {
            Some(_) if found == ASKED => seen.in_vain += 1,
            Some(wanted) => {
                assert_eq!(found.to_bits(), wanted.to_bits(), "{}", told());
                seen.values += 1;
            }
            None => {
                assert_eq!(found, ASKED, "{}", told());
                seen.stops += 1;
            }
        }
    }
    // Every other one stays as it is.
    let mut values = fresh();
    values[point.len()..][..all.len()].fill(0.125);
    let mut moved = Vec::new();
    program.run_again(&mut values, |slot| slot % 2 == 0, |_, _| ASKED, |slot| moved.push(slot));
    for index in 0..all.len() {
        let slot = point.len() + index;
        let own = |step| program.one(step, &mut singly).unwrap_or(ASKED);
        let wanted = steps[index].filter(|_| slot % 2 == 1).map_or(0.125, own);
        assert_eq!(values[slot].to_bits(), wanted.to_bits(), "{}", all[index].text);
        assert_eq!(moved.contains(&(slot as u32)), wanted != 0.125, "{}", all[index].text);
    }
    assert!(moved.is_sorted());
}

/// Near the names' values, now and then on one of them, on zero, or not there.
fn point(names: &[Named], random: &mut Random) -> Vec<f64> {
    let number = |(.., value): &Named| match random.below(40) {
        0 => f64::NAN,
        1 => 0.0,
        2 => -0.0,
        3 => *value,
        4 => random.between(-9.0, 9.0).round(),
        _ => value + random.between(-3.0, 3.0),
    };
    names.iter().map(number).collect()
}

#[test]
fn random_formulas_in_programs() {
    let (mut random, seed) = Random::seeded();
    for (numbers, plain) in
        [(Numbers::Usual, false), (Numbers::Extreme, false), (Numbers::Usual, true)]
    {
        let mut seen = Seen::default();
        for _ in 0..150 {
            let names: Vec<Named> = NAMES
                .iter()
                .map(|(name, dims)| (*name, kind_of(*dims), random.between(-8.0, 25.0)))
                .collect();
            let mut texts = Texts::default();
            let mut all = Vec::new();
            while all.len() < 12 {
                let text = Grower { random: &mut random, numbers, plain }.any_text(5);
                all.extend(Own::new(&text, &names, &mut texts));
            }
            for _ in 0..6 {
                let point = point(&names, &mut random);
                agree(&all, &point, &texts, &mut seen);
            }
        }
        println!("seed {seed}, {}: {seen:?}", if plain { "plain" } else { "all" });
        assert!(seen.values > 2_000 && seen.stops > 500, "{seen:?}");
        assert_eq!(seen.in_vain, 0, "{seen:?}");
    }
}

/// Each operation by itself and the ways in which they meet; all but functions of tables are carried
/// out by the program.
#[test]
fn every_operation_in_programs() {
    let names: [Named; 5] = [
        ("a", Kind::LENGTH, 3.0),
        ("b", Kind::LENGTH, -1.0),
        ("c", Kind::LENGTH, 0.5),
        ("n", Kind::NUMBER, 0.4),
        ("angle", Kind::ANGLE, 40.0),
    ];
    let texts_of = [
        "a",
        "7 mm",
        "0 mm - 0 mm",
        "a + b - 2 * a",
        "a * b / (a - b)",
        "-a",
        "abs(b) + sign(a) * b",
        "min(a, b, 0 mm) + max(b, a)",
        "min(a)",
        "clamp(a, b, 4 mm)",
        "clamp(2 mm, b, a)",
        "clamp(a + b, c * 2, a + 4 mm) + clamp(a, c - a, c + a)",
        "round(a, 0.1 mm) + ceil(b, 0.25 mm) + floor(a, abs(b))",
        "round(n) + ceil(n) + floor(n)",
        "sqrt(a * b) + hypot(a, b)",
        "hypot(a, b, 1 mm)",
        "cbrt(a * b * a)",
        "exp(n * 300) + ln(n) + log10(n)",
        "a ^ 2 + b ^ 2",
        "n ^ n + 2 ^ n + n ^ -1 + n ^ 2 ^ 2",
        "1 / (n - 0.4)",
        "sin(angle) + cos(angle) * tan(3 * angle)",
        "asin(n) + acos(n) + atan(n) + atan2(a, b)",
        "arc_length(a, angle)",
        "sum(a, b, 1 mm) + mean(a, b, a) + sum(c) + mean(c)",
        "a + if(a > b, a, b)",
        "if(a > b, a, b) + if(a < b, a, b) * 2",
        "if(n > 0.4, if(a > b, c, a), if(a > c, b, if(b > c, a + b, c - a)))",
        "if(a > b && n < 1 || !(b >= -1 mm), sqrt(n), if(n >= 0.5, 1 / (n - 0.4), ln(n)))",
        "if(1 > 2, a, if(a <= b, b, if(a >= 3 mm, 1 mm, a)))",
        "max(if(a >= b, a, c), if(a <= b, b, c), if(n > 0, a, b) + c)",
        "if(ln(n) > -2, a, b)",
        "1 / 0",
    ];
    let (mut random, seed) = Random::seeded();
    let mut texts = Texts::default();
    let own = |text: &&str| Own::new(text, &names, &mut texts).unwrap_or_else(|| panic!("{text}"));
    let all: Vec<Own> = texts_of.iter().map(own).collect();
    let mut seen = Seen::default();
    for _ in 0..2_000 {
        agree(&all, &point(&names, &mut random), &texts, &mut seen);
    }
    println!("seed {seed}: {seen:?}");
    assert_eq!(seen.in_vain, 0, "{seen:?}");
    assert!(seen.values > 30_000 && seen.stops > 5_000, "{seen:?}");
}

/// What takes functions of tables, or more places than there are, is left to others, and what stands
/// before and behind it is as if it were not there.
#[test]
fn what_a_program_cannot_do_is_left_to_others() {
    let names: [Named; 2] = [("a", Kind::LENGTH, 30.0), ("angle", Kind::ANGLE, 40.0)];
    let deep = format!("{}a{}", "a + (2 * ".repeat(40), ")".repeat(40));
    let wide = format!("sum({})", vec!["a * 2"; 60].join(", "));
    let given = "if(a > 1 mm, slider_crank(30 mm, 80 mm, 0 mm, angle, \"open\"), a) + a";
    let mut texts = Texts::default();
    let mut own = |text: &str| Own::new(text, &names, &mut texts).expect("a formula");
    let many = format!("sum({})", vec!["a"; 60].join(", "));
    let all = [own("a + 1 mm"), own(&deep), own(&many), own(&wide), own(given), own("a / 4")];
    let mut program = Program::of(8);
    all.iter().zip(2..).for_each(|(own, slot)| program.push(slot, &own.code));
    let mut values = program.values();
    (values[0], values[1]) = (30.0, 40.0);
    let mut asked = Vec::new();
    program.run(&mut values, |slot, _| {
        asked.push(slot);
        f64::NAN
    });
    assert_eq!(asked, [3, 5, 6]);
    assert_eq!([values[2], values[4], values[7]], [31.0, 1800.0, 7.5]);
    let mut machine = Machine::with(&texts);
    for own in &all {
        assert!(own.value(&mut machine, &[30.0, 40.0]).is_some(), "{}", own.text);
    }
}
