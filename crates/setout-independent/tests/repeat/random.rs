//! Random formulas, with units and names, in one design.

use setout_independent::{Refusal, repeat};

use crate::{evaluated, said};

/// The generator SplitMix64 (Steele, Lea and Flood 2014).
pub(crate) struct Random(pub(crate) u64);

impl Random {
    pub(crate) fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((mixed ^ (mixed >> 31)) % end as u64) as usize
    }

    fn one_of<'a>(&mut self, texts: &[&'a str]) -> &'a str {
        texts[self.below(texts.len())]
    }

    fn number(&mut self) -> String {
        format!("{}.{}", self.below(90), 1 + self.below(99))
    }

    /// A plain number (0), a length (1) or an angle (2).
    fn quantity(&mut self, kind: usize, depth: usize) -> String {
        if depth == 0 {
            return self.leaf(kind);
        }
        let mut inner = |kind| self.quantity(kind, depth - 1);
        let (same, again, number, length) = (inner(kind), inner(kind), inner(0), inner(1));
        let (angle, more) = (inner(2), inner(1));
        let any = match self.below(9) {
            0 => format!("{same} + {again}"),
            1 => format!("({same} - {again})"),
            2 => format!("-({same})"),
            3 => format!("{} * ({same})", self.number()),
            4 => format!("({same}) / {}", self.number()),
            5 => format!("if({length} < {more} && !({angle} > 20 deg), {same}, {again})"),
            6 => format!("{}({same}, {again})", self.one_of(&["min", "max", "mean", "sum"])),
            7 => format!("abs({same})"),
            _ => String::new(),
        };
        if !any.is_empty() {
            return any;
        }
        match kind {
            0 => {
                let function = self.one_of(&["sin", "cos"]);
                let own = [
                    format!("({length}) / ({more} + 1.5 m)"),
                    format!("{function}({angle})"),
                    format!("sqrt(abs({number}))"),
                    format!("cbrt({number})"),
                    format!("abs({number})^0.5"),
                    format!("2^-2^({} / 90)", self.number()),
                    format!("ln(1 + abs({number}))"),
                    format!("exp(-abs({number}))"),
                ];
                own[self.below(own.len())].clone()
            }
            1 => {
                let own = [
                    format!("hypot({length}, {more})"),
                    format!("arc_length({length}, {angle})"),
                    format!("sqrt(({length})^2 + ({more})^2)"),
                    format!("clamp({length}, 1 mm, 3 in)"),
                    format!("round({length}, 0.5 mm)"),
                ];
                own[self.below(own.len())].clone()
            }
            _ => {
                let own = [
                    format!("atan2({length}, {more})"),
                    format!("atan({number})"),
                    format!("asin(({number}) / (1 + abs({number})))"),
                    format!("({number}) * 1 rad"),
                ];
                own[self.below(own.len())].clone()
            }
        }
    }

    fn leaf(&mut self, kind: usize) -> String {
        if self.below(2) == 0 {
            let known = [["n0", "n1", "n2"], ["l0", "l1", "l2"], ["a0", "a1", "a2"]];
            return self.one_of(&known[kind]).to_owned();
        }
        let unit = match kind {
            0 => "",
            1 => self.one_of(&[" mm", " cm", " in", " thou", " µm"]),
            _ => self.one_of(&[" deg", " rad", " arcmin", " °"]),
        };
        self.number() + unit
    }
}

const KNOWN: &str = "dimensions:
  n0: 0.75
  n1: 12.5
  n2: n1 / 7
  l0: 62.3 mm
  l1: 2.15 in
  l2: l0 * n0
  a0: 33.3 deg
  a1: 0.4 rad
  a2: atan(n0)
";

#[test]
fn a_thousand_random_formulas_agree() {
    let given = std::env::var("SETOUT_TEST_SEED").ok().and_then(|seed| seed.parse().ok());
    let seed = given.unwrap_or(20_261_125);
    let mut random = Random(seed);
    let mut table = KNOWN.to_owned();
    for number in 0..1200 {
        let formula = random.quantity(number % 3, 1 + number % 4);
        if formula.len() < 4000 {
            table += &format!("  r{number}: '{formula}'\n");
        }
    }
    let evaluation = evaluated(&table);
    let repeat = repeat(&evaluation);
    assert!(repeat.agrees(), "seed {seed}: {:#?}", said(&repeat));
    let none = repeat.not_repeated.iter().filter(|not| not.why == Refusal::NoValue).count();
    let edge = repeat.not_repeated.len() - none;
    let (all, digits) = (repeat.compared, repeat.by_last_digits);
    println!("{all} agree, {digits} by their last digits, {none} have no value, {edge} on an edge");
    assert!(all >= 1000, "seed {seed}: {all}");
    assert!(edge < 12, "seed {seed}: {:#?}", said(&repeat));
}
