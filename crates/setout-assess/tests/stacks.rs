//! Stack-ups: against worked examples, against proofs of the same design, and against each sample
//! evaluated by itself.

use std::sync::atomic::{AtomicU64, Ordering};

use setout_assess::{
    Asked, Capability, Loosest, NoStack, Note, Odds, Stack, THREE_SIGMA, Work, assess, stack,
};
use setout_design::{Design, Evaluation, Mechanisms, Memory, Verdict};
use setout_formula::Samples;

fn design_with(common: &str, table: &str) -> Evaluation {
    let texts =
        Memory::new([("design.yaml", format!("setout: 1\n{common}").as_str()), ("t.yaml", table)]);
    let evaluation = Design::read(&texts).evaluate();
    assert_eq!(evaluation.faults(), []);
    evaluation
}

fn design(table: &str) -> Evaluation {
    design_with("", table)
}

fn asked(samples: u64) -> Asked {
    Asked { samples, ..Asked::default() }
}

fn stacked(of: &Evaluation, name: &str) -> Stack {
    stack(of, name, &asked(20_000), &Work::default()).unwrap()
}

fn near(found: f64, wanted: f64, room: f64) {
    assert!((found - wanted).abs() <= room, "{found} for {wanted}");
}

/// K. W. Chase, "Tolerance Allocation Methods for Designers" (BYU): a shaft in its housing. The
/// figures are from memory, their sums were made again.
const SHAFT: &str = "dimensions:
  a: { value: 0.0505 in, tolerance: ±0.0015 in }
  b: { value: 8 in, tolerance: ±0.008 in }
  c: { value: 0.5093 in, tolerance: ±0.0025 in }
  d: { value: 0.4 in, tolerance: ±0.002 in }
  e: { value: 7.711 in, tolerance: ±0.006 in }
  f: { value: 0.4 in, tolerance: ±0.002 in }
  g: { value: 0.5093 in, tolerance: ±0.0025 in }
  gap: { value: -a + b - c + d - e + f - g, unit: in, min: 0.005 in, max: 0.035 in }
checks:
  turns: { require: gap >= 0.005 in && gap <= 0.035 in }
";

#[test]
fn a_shaft_in_its_housing() {
    let found = stack(&design(SHAFT), "t.gap", &asked(1_000_000), &Work::default()).unwrap();
    near(found.nominal, 0.0199, 1e-12);
    let worst = found.worst.unwrap();
    near(worst.low, 0.0199 - 0.0245, 1e-9);
    near(worst.high, 0.0199 + 0.0245, 1e-9);
    let rss = found.rss.unwrap();
    near(rss.high - rss.mean, 0.011_079_259_9, 1e-9);
    near(rss.outside_ppm.unwrap(), 49.0, 0.1);
    let odds = found.simulated.unwrap().outside.unwrap();
    assert!(odds.low_ppm < 49.0 && 49.0 < odds.high_ppm, "{odds:?}");
    assert_eq!(found.contributors[0].name, "t.b");
    near(
        found.contributors[0].share.unwrap(),
        0.008_f64.powi(2) / 0.011_079_259_9_f64.powi(2),
        1e-7,
    );
    near(found.contributors[0].worst_share.unwrap(), 0.008 / 0.0245, 1e-9);
    assert_eq!(found.notes, []);
}

#[test]
fn ten_equal_ones() {
    let mut table = String::from("dimensions:\n");
    for number in 0..10 {
        table += &format!("  b{number}: {{ value: 5 mm, tolerance: ±0.1 mm }}\n");
    }
    let sum: Vec<String> = (0..10).map(|number| format!("b{number}")).collect();
    table += &format!("  all: {}\n", sum.join(" + "));
    let found = stacked(&design(&table), "t.all");
    let (worst, rss) = (found.worst.unwrap(), found.rss.unwrap());
    near(worst.high - 50.0, 1.0, 1e-9);
    near(rss.high - 50.0, 0.316_227_766_016_838, 1e-12);
    let shares: f64 = found.contributors.iter().map(|own| own.share.unwrap()).sum();
    near(shares, 1.0, 1e-12);
}

/// The two-sided odds of a normal distribution at 3 to 6 standard deviations (tables of the normal
/// distribution; computed again with two public packages).
#[test]
fn odds_of_a_normal_result() {
    for (sigmas, ppm) in
        [(3, 2_699.796_063), (4, 63.342_484), (5, 0.573_303_144), (6, 0.001_973_175_3)]
    {
        let of = design(&format!(
            "dimensions:\n  x: {{ value: 9 mm, tolerance: ±3 mm, min: {} mm, max: {} mm }}\n",
            9 - sigmas,
            9 + sigmas
        ));
        let found = stacked(&of, "t.x").rss.unwrap().outside_ppm.unwrap();
        near(found / ppm, 1.0, 1e-8);
    }
}

/// JCGM 101:2008, 9.2 (from memory, computed again with two public packages): a sum of four
/// quantities, with a coverage of 95 %.
#[test]
fn sums_of_four() {
    let rectangular = |u: f64| (3.0_f64.sqrt() * u, "uniform");
    let cases = [
        ([(3.0, "normal"); 4], 2.0, 3.919_927_97),
        ([rectangular(1.0); 4], 2.0, 3.879_406_74),
        (
            [rectangular(1.0), rectangular(1.0), rectangular(1.0), rectangular(10.0)],
            10.148_891_565,
            17.015_814_1,
        ),
    ];
    for (spreads, u, half) in cases {
        let mut table = String::from("dimensions:\n");
        for (number, (tolerance, spread)) in spreads.iter().enumerate() {
            table += &format!(
                "  x{number}: {{ value: 0 mm, tolerance: ±{tolerance} mm, spread: {spread} }}\n"
            );
        }
        table += "  y: x0 + x1 + x2 + x3\n";
        let wanted = Asked { samples: 1_000_000, coverage: 0.95, ..Asked::default() };
        let found = stack(&design(&table), "t.y", &wanted, &Work::default()).unwrap();
        let (rss, drawn) = (found.rss.unwrap(), found.simulated.unwrap());
        near(rss.deviation, u, 1e-8);
        near(rss.high, 1.959_963_985 * u, 1e-7);
        near(drawn.deviation, u, 5.0 * u / 1_000_000.0_f64.sqrt());
        // The standard error of a quantile is some 2.7 · u / √n here (density 0.0584 / u).
        for end in [-drawn.low, drawn.high] {
            near(end, half, 5.0 * 2.7 * u / 1_000_000.0_f64.sqrt());
        }
    }
}

/// JCGM 100:2008 (GUM), H.1, the end gauge, in nm and K: uncertainties as tolerances of three of them
/// (from memory).
#[test]
fn an_end_gauge() {
    let normal = |u: f64| 3.0 * u;
    let table = format!(
        "dimensions:
  ls: {{ value: 50000623, tolerance: ±{}, spread: normal }}
  d: {{ value: 215, tolerance: ±{}, spread: normal }}
  d1: {{ value: 0, tolerance: ±{}, spread: normal }}
  d2: {{ value: 0, tolerance: ±{}, spread: normal }}
  alpha: {{ value: 0.0000115, tolerance: ±0.000002, spread: uniform }}
  thbar: {{ value: -0.1, tolerance: ±{}, spread: normal }}
  dalpha: {{ value: 0, tolerance: ±0.000001, spread: uniform }}
  dtheta: {{ value: 0, tolerance: ±0.05, spread: uniform }}
  l: ls + d + d1 + d2 - ls * (dalpha * thbar + alpha * dtheta)
",
        normal(25.0),
        normal(5.8),
        normal(3.9),
        normal(6.7),
        normal(0.41),
    );
    let of = design(&table);
    let found = stack(&of, "t.l", &asked(1_000_000), &Work::default()).unwrap();
    near(found.nominal, 50_000_838.0, 0.5);
    near(found.rss.unwrap().deviation, 31.66, 0.01);
    let by = |name: &str, u: f64| {
        let all = found.contributors.iter().flat_map(|own| &own.dimensions);
        let own = all.into_iter().find(|own| own.name == format!("t.{name}")).unwrap();
        own.slope.unwrap().abs() * u
    };
    let root = 3.0_f64.sqrt();
    near(by("ls", 25.0), 25.0, 1e-3);
    near(by("d1", 3.9), 3.9, 1e-9);
    near(by("alpha", 2e-6 / root), 0.0, 1e-9);
    near(by("thbar", 0.41), 0.0, 1e-9);
    near(by("dalpha", 1e-6 / root), 2.887, 1e-3);
    near(by("dtheta", 0.05 / root), 16.599, 1e-3);
    // What derivatives do not see: the products of errors, 34 nm as H.1.7 has it.
    near(found.simulated.unwrap().deviation, 33.87, 0.15);
    assert!(
        found.notes.iter().any(|note| matches!(note, Note::NotStraight(part) if *part < -0.05))
    );
}

/// NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6 (figures from memory).
#[test]
fn a_measured_process() {
    let common = "processes: { p: { tolerance: ±6 mm, mean: 2 mm, deviation: 2 mm } }\n";
    let of = design_with(
        common,
        "dimensions:\n  x: { value: 14 mm, tolerance: p, min: 8 mm, max: 20 mm }\n",
    );
    let found = stack(&of, "t.x", &asked(400_000), &Work::default()).unwrap();
    let own = &found.contributors[0].dimensions[0];
    let exact = Capability {
        cp: Some(1.0),
        cpl: Some(4.0 / 3.0),
        cpu: Some(2.0 / 3.0),
        cpk: 2.0 / 3.0,
        k: Some(1.0 / 3.0),
    };
    let is_near = |of: Capability, room: f64| {
        near(of.cp.unwrap(), exact.cp.unwrap(), room);
        near(of.cpl.unwrap(), exact.cpl.unwrap(), room);
        near(of.cpu.unwrap(), exact.cpu.unwrap(), room);
        near(of.cpk, exact.cpk, room);
        near(of.k.unwrap(), exact.k.unwrap(), room);
    };
    is_near(own.capable.unwrap().of, 1e-12);
    let drawn = found.simulated.unwrap();
    near(drawn.mean, 16.0, 5.0 * 2.0 / 400_000.0_f64.sqrt());
    is_near(drawn.capability.unwrap(), 0.01);
    // Beyond 20 mm two standard deviations from 16, and below 8 mm four: 22,750 and 32 in a million.
    near(found.rss.unwrap().outside_ppm.unwrap(), 22_781.8, 0.1);
    assert!(
        found.notes.iter().any(|note| matches!(note, Note::Incapable(name, _) if name == "t.x"))
    );
}

#[test]
fn shared_errors_cancel_or_add() {
    let table = |a: &str, b: &str| {
        format!(
            "dimensions:
  a: {{ value: 10 mm, tolerance: ±0.2 mm{a} }}
  b: {{ value: 10 mm, tolerance: ±0.1 mm{b} }}
  both: a + b
  apart: a - b
checks:
  fits: {{ require: apart >= -0.1 mm }}
"
        )
    };
    let alone = design(&table("", ""));
    let along = design(&table(", shares: heat", ", shares: heat"));
    let against = design(&table(", shares: heat", ", shares: -heat"));
    for (of, name, worst, squares) in [
        (&alone, "t.both", 0.3, 0.05_f64.sqrt()),
        (&along, "t.both", 0.3, 0.3),
        (&against, "t.both", 0.1, 0.1),
        (&alone, "t.apart", 0.3, 0.05_f64.sqrt()),
        (&along, "t.apart", 0.1, 0.1),
        (&against, "t.apart", 0.3, 0.3),
    ] {
        let found = stacked(of, name);
        let (bound, rss) = (found.worst.unwrap(), found.rss.unwrap());
        near((bound.high - bound.low) / 2.0, worst, 1e-9);
        near(rss.high - rss.mean, squares, 1e-9);
        let drawn = found.simulated.unwrap();
        near(drawn.deviation, squares / 3.0, 5.0 * squares / 3.0 / (2.0 * 20_000.0_f64).sqrt());
    }
    // The verdict of a check knows of it as well.
    let verdict = |of: &Evaluation| assess(of, &Work::default()).checks()[0].verdict;
    assert_eq!([verdict(&alone), verdict(&along)], [Verdict::Fails, Verdict::Holds]);
    let assessed = assess(&alone, &Work::default());
    let worst = assessed.checks()[0].worst.clone().unwrap().proof.unwrap();
    assert_eq!(worst.at.len(), 2);
    let found = stacked(&along, "t.both");
    assert_eq!(found.contributors.len(), 1);
    assert_eq!(
        (found.contributors[0].name.as_str(), found.contributors[0].dimensions.len()),
        ("heat", 2)
    );
}

#[test]
fn a_process_shares_and_a_dimension_does_not() {
    let common =
        "processes: { printed: { tolerance: ±0.2 mm, spread: uniform, shares: nozzle } }\n";
    let table = "dimensions:
  a: { value: 10 mm, tolerance: printed }
  b: { value: 10 mm, tolerance: printed, shares: -nozzle }
  c: { value: 10 mm, tolerance: printed, shares: none }
  sum: a + b + c
";
    let found = stacked(&design_with(common, table), "t.sum");
    let worst = found.worst.unwrap();
    near(worst.high - 30.0, 0.2, 1e-9);
    let names: Vec<&str> = found.contributors.iter().map(|own| own.name.as_str()).collect();
    assert_eq!(names, ["t.c", "nozzle"]);
    let shared = &found.contributors[1].dimensions;
    assert_eq!(shared.iter().map(|own| own.is_opposite).collect::<Vec<_>>(), [false, true]);
}

#[test]
fn the_loosest_tolerance_is_the_last_that_holds() {
    let table = |tolerance: f64| {
        format!(
            "dimensions:
  opening: {{ value: 0 deg, travel: [0 deg, 30 deg] }}
  arm: {{ value: 40 mm, tolerance: ±{tolerance} mm }}
  wall: {{ value: 22 mm, tolerance: ±0.3 mm, spread: uniform }}
  gap: wall - arm * sin(opening)
checks:
  clears: {{ require: gap >= 1 mm }}
"
        )
    };
    let of = design(&table(0.2));
    let found = stacked(&of, "t.clears");
    near(found.nominal, 21.0, 1e-9);
    let least = found.least.unwrap();
    near(least.margin, 1.0 - 0.3 - 0.1, 1e-6);
    near(least.pose[0].value, 30.0, 1e-6);
    let arm = found.contributors.iter().find(|own| own.name == "t.arm").unwrap();
    // 22 - 0.3 - (40 + x) / 2 = 1, so x = 1.4.
    let Some(Loosest::Times(times)) = arm.loosest_at_worst else { panic!("{arm:?}") };
    near(times, 7.0, 7.0 * 2e-3);
    assert!(times <= 7.0 + 1e-9);
    let verdict =
        |tolerance: f64| assess(&design(&table(tolerance)), &Work::default()).checks()[0].verdict;
    assert_eq!(verdict(0.2 * times), Verdict::Holds);
    assert_eq!(verdict(0.2 * times * 1.01), Verdict::Fails);
    // At rest the arm does not matter; the wall alone would do at once.
    assert_eq!(arm.loosest_by_rss, Some(Loosest::Any));
    let wall = found.contributors.iter().find(|own| own.name == "t.wall").unwrap();
    let Some(Loosest::Times(times)) = wall.loosest_by_rss else { panic!("{wall:?}") };
    near(times, 21.0 / 3.0 / (0.3 / 3.0_f64.sqrt()), 1e-6);
}

/// 0.5 mm of room at three standard deviations: (0.2 s)² + 0.1² = 0.5².
#[test]
fn the_loosest_by_squares_leaves_room_for_others() {
    let of = design(
        "dimensions:
  a: { value: 10 mm, tolerance: ±0.2 mm }
  b: { value: 9 mm, tolerance: ±0.1 mm }
checks:
  fits: { require: a - b >= 0.5 mm }
",
    );
    let found = stacked(&of, "t.fits");
    let Some(Loosest::Times(times)) = found.contributors[0].loosest_by_rss else { panic!() };
    near(times, 0.24_f64.sqrt() / 0.2, 1e-9);
}

#[test]
fn where_no_tolerance_helps() {
    let of = design(
        "dimensions:
  a: { value: 10 mm, tolerance: ±0.2 mm }
  b: { value: 9.9 mm, tolerance: ±0.2 mm }
checks:
  fits: { require: a - b >= 0.2 mm }
",
    );
    let found = stacked(&of, "t.fits");
    for own in &found.contributors {
        assert_eq!(own.loosest_at_worst, Some(Loosest::Never));
        assert_eq!(own.loosest_by_rss, Some(Loosest::Never));
    }
    let odds = found.simulated.unwrap().outside.unwrap();
    assert!(odds.ppm() > 800_000.0);
}

#[test]
fn tightening_is_told_by_ends() {
    let found = stacked(&design(SHAFT), "t.turns");
    let b = &found.contributors[0];
    let [worst, rss] = [b.halved.worst.unwrap(), b.halved.rss.unwrap()];
    // The margin is the smaller of both rooms: 0.0149 to the lower limit.
    near(worst[0], 0.0149 - 0.0245 + 0.004, 1e-9);
    near(rss[0], 0.0149 - (0.011_079_259_9_f64.powi(2) - 0.75 * 0.008_f64.powi(2)).sqrt(), 1e-9);
}

/// What one run of the simulation draws is what [`Mechanism::at`] makes of each sample alone.
///
/// [`Mechanism::at`]: setout_design::Mechanism::at
#[test]
fn blocks_come_to_what_points_do() {
    let of = design(
        "dimensions:
  a: { value: 12 mm, tolerance: ±0.2 mm }
  b: { value: 38 mm, tolerance: ±0.3 mm }
  c: { value: 18 mm, tolerance: ±0.2 mm }
  d: { value: 40 mm, tolerance: ±25 mm }
  n: { value: 3, unit: count }
  out: four_bar_output(a, b, c, d, 60 deg, \"open\")
  root: sqrt((b - 37.8 mm) * 1 mm)
  rooted: if(b > 37.9 mm, root, 0 mm)
  reach: sqrt(a * out / 1 deg * 1 mm) + if(b > 38.1 mm, b, 2 * c) / n + rooted
checks:
  one: { require: reach <= 40 mm }
  more: { require: reach <= 40 mm && (reach > 39 mm || a > 12 mm) }
",
    );
    let all = Mechanisms::of(&of);
    let mut lost = 0;
    for check in 0..2 {
        let mechanism = all.of_check(check, true).unwrap();
        let count = 3000;
        let step = |made: usize, sample: usize| {
            let zone = mechanism.made()[made].zone;
            let part = (sample * (2 * made + 7) % 1009) as f64 / 1008.0;
            zone.low() + part * (zone.high() - zone.low())
        };
        let drawn: Vec<Vec<f64>> = (0..mechanism.made().len())
            .map(|made| (0..count).map(|sample| step(made, sample)).collect())
            .collect();
        let samples: Vec<Samples<'_>> = drawn.iter().map(|own| Samples::Each(own)).collect();
        let (mut found, mut holds) = (vec![0.0; count], vec![false; count]);
        let axes = vec![0.0; mechanism.variables().len()];
        mechanism.blocks().run(&axes, &samples, &mut found, &mut holds);
        for sample in 0..count {
            let mut point = axes.clone();
            for (made, drawn) in mechanism.made().iter().zip(&drawn) {
                point[made.variable] = drawn[sample];
            }
            let wanted = match mechanism.at(&point) {
                setout_design::Outcome::Found { holds, margin } => (margin, holds),
                _ => (None, false),
            };
            lost += usize::from(wanted.0.is_none());
            assert_eq!(
                found[sample].to_bits(),
                wanted.0.unwrap_or(f64::NAN).to_bits(),
                "{point:?}"
            );
            assert_eq!(holds[sample], wanted.1, "{point:?}");
        }
    }
    assert!(lost > 100, "{lost}: linkages that do not close belong to this");
}

#[test]
fn samples_without_a_value_are_told() {
    let of = design(
        "dimensions:
  x: { value: 0.1 mm, tolerance: ±0.3 mm, spread: uniform }
  y: sqrt(x * 1 mm)
checks:
  there: { require: y >= 0 mm }
",
    );
    let found = stacked(&of, "t.there");
    let drawn = found.simulated.unwrap();
    // A third of the span from -0.2 to 0.4 mm has no root.
    near(drawn.without as f64 / 20_000.0, 1.0 / 3.0, 0.02);
    assert_eq!(drawn.outside.unwrap().count, drawn.without);
    assert!(found.worst.is_none());
    assert!(found.notes.contains(&Note::NoBound));
}

#[test]
fn corners_have_no_derivative() {
    let of = design(
        "dimensions:
  a: { value: 10 mm, tolerance: ±0.2 mm }
  b: { value: 10 mm, tolerance: ±0.2 mm }
  off: abs(a - b)
",
    );
    let found = stacked(&of, "t.off");
    assert_eq!(found.rss, None);
    let both = vec!["t.a".to_owned(), "t.b".to_owned()];
    assert!(found.notes.contains(&Note::NoDerivative(both)), "{:?}", found.notes);
    let worst = found.worst.unwrap();
    near(worst.low, 0.0, 1e-9);
    near(worst.high, 0.4, 1e-9);
}

/// The least lies between two places that were tried, closer to them than a margin is told from
/// nothing.
#[test]
fn the_worst_is_worse_than_what_was_found() {
    let of = design(
        "dimensions:
  a: { value: 12.749 mm, tolerance: +0.02026 -0.01177 mm }
  b: { value: 73.335 mm, tolerance: ±0.39472 mm }
  far: hypot((a - 12.7657 mm)^2 / (0.5 mm), b)
",
    );
    let worst = stacked(&of, "t.far").worst.unwrap();
    let least = 73.335 - 0.39472;
    assert!(worst.low <= least + 1e-13, "{}", worst.low);
    near(worst.low, least, 1e-6);
}

/// A derivative of nothing comes out as a little of either sign.
#[test]
fn what_cancels_has_no_corner() {
    let of = design(
        "dimensions:
  a: { value: 2.987, tolerance: ±0.03, spread: uniform }
  b: { value: 19.3 mm, tolerance: ±0.3 mm }
  same: a / a * b
  nothing: 1 mm * (a / a)
",
    );
    let found = stacked(&of, "t.same");
    assert_eq!(found.notes, []);
    near(found.rss.unwrap().deviation, 0.1, 1e-12);
    let own = found.contributors.iter().find(|own| own.name == "t.a").unwrap();
    assert_eq!((own.share, own.moves), (Some(0.0), Some(0.0)));
    assert_eq!(stacked(&of, "t.nothing").rss.unwrap().deviation, 0.0);
}

#[test]
fn a_uniform_error_ends_before_its_squares() {
    let of = design(
        "dimensions:\n  a: { value: 1 mm, tolerance: ±0.3 mm, spread: uniform }\n  b: 2 * a\n",
    );
    let found = stacked(&of, "t.b");
    assert!(found.notes.contains(&Note::RssBeyondWorst), "{:?}", found.notes);
}

#[test]
fn samples_hang_on_seed_and_name_alone() {
    let table = "dimensions:\n  a: { value: 1 mm, tolerance: ±0.3 mm }\n  b: 2 * a\n";
    let more = "dimensions:\n  0z: 1 mm\n".replace("0z", "z");
    let first = stacked(&design(table), "t.b");
    assert_eq!(first, stacked(&design(table), "t.b"));
    let beside =
        Memory::new([("design.yaml", "setout: 1\n"), ("s.yaml", &more), ("t.yaml", table)]);
    assert_eq!(first.simulated, stacked(&Design::read(&beside).evaluate(), "t.b").simulated);
    let other = Asked { seed: 2, ..asked(20_000) };
    let other = stack(&design(table), "t.b", &other, &Work::default()).unwrap();
    assert_ne!(first.simulated, other.simulated);
}

#[test]
fn what_is_stopped_is_a_beginning() {
    let of = design("dimensions:\n  a: { value: 1 mm, tolerance: ±0.3 mm }\n  b: 2 * a\n");
    let asked_for = AtomicU64::new(0);
    // Proofs ask as well; one of these comes first.
    let stop = || asked_for.fetch_add(1, Ordering::Relaxed) > 40;
    let work = Work { stop: &stop, ..Work::default() };
    let found = stack(&of, "t.b", &asked(1_000_000), &work).unwrap();
    assert!(found.notes.contains(&Note::Stopped));
    let drawn = found.simulated.unwrap();
    assert!(drawn.samples > 0 && drawn.samples < 1_000_000, "{}", drawn.samples);
    let whole = stack(&of, "t.b", &asked(drawn.samples), &Work::default()).unwrap();
    let whole = whole.simulated.unwrap();
    assert_eq!((drawn.mean, drawn.high), (whole.mean, whole.high));
}

/// However early it is stopped, what is told is right, or missing.
#[test]
fn nothing_wrong_is_told_when_it_is_stopped() {
    let of = design(
        "dimensions:
  opening: { value: 0 deg, travel: [0 deg, 30 deg] }
  arm: { value: 40 mm, tolerance: ±0.2 mm }
  wall: { value: 22 mm, tolerance: ±0.3 mm }
  gap: wall - arm * sin(opening)
checks:
  clears: { require: gap >= 1 mm }
",
    );
    let whole = stack(&of, "t.clears", &asked(3000), &Work::default()).unwrap();
    let mut left_out = 0;
    for questions in 0..150 {
        let asked_for = AtomicU64::new(0);
        let stop = || asked_for.fetch_add(1, Ordering::Relaxed) >= questions;
        let work = Work { stop: &stop, ..Work::default() };
        let found = stack(&of, "t.clears", &asked(3000), &work).unwrap();
        assert!(found.least.is_none() || found.least == whole.least);
        for own in &found.contributors {
            let wanted = whole.contributors.iter().find(|other| other.name == own.name).unwrap();
            let loosest = own.loosest_at_worst;
            left_out += u32::from(loosest.is_none());
            assert!(
                loosest.is_none() || loosest == wanted.loosest_at_worst,
                "{questions}: {own:?}"
            );
        }
        if let (Some(worst), Some(wanted)) = (&found.worst, &whole.worst) {
            assert!(worst.low <= wanted.low + 1e-9 && worst.high >= wanted.high - 1e-9);
        }
    }
    assert!(left_out > 0, "it was never stopped in the middle of one");
}

/// The odds in closed form: the check fails in some pose where the error is beyond 1.5 standard
/// deviations, and there are 66,807 of those in a million.
#[test]
fn odds_over_the_travel() {
    let of = design(
        "dimensions:
  opening: { value: 0 deg, travel: [0 deg, 30 deg] }
  arm: { value: 40 mm, tolerance: ±0.6 mm }
  gap: 20.15 mm - arm * sin(opening)
checks:
  clears: { require: gap >= 0 mm }
",
    );
    let wanted = Asked { over_travel: 20_000, ..asked(1000) };
    let found = stack(&of, "t.clears", &wanted, &Work::default()).unwrap();
    let over = found.over_travel.unwrap();
    assert_eq!((over.undecided, over.odds.of), (0, 20_000));
    // An interval of 95 % misses one time in twenty; four standard errors are not passed by chance.
    near(over.odds.count as f64, 1336.1, 4.0 * 35.3);
    let share = over.odds.count as f64 / 20_000.0 * 1e6;
    assert!(over.odds.low_ppm < share && share < over.odds.high_ppm, "{:?}", over.odds);
    near(over.pose[0].value, 30.0, 1e-6);
    // At rest none fails.
    assert_eq!(found.simulated.unwrap().outside.unwrap().count, 0);
}

/// Against a dense grid over two axes, sample by sample.
#[test]
fn odds_over_two_axes() {
    let of = design(
        "dimensions:
  a: { value: 0 deg, travel: [0 deg, 40 deg] }
  b: { value: 0 deg, travel: [-20 deg, 20 deg] }
  p: { value: 12 mm, tolerance: ±1.5 mm }
  q: { value: 9 mm, tolerance: ±1 mm, spread: uniform, shares: heat }
  r: { value: 3 mm, tolerance: ±0.5 mm, spread: uniform, shares: -heat }
  gap: 17.6 mm - p * sin(a) * cos(b) - q * cos(a - b) - r * sin(a)
checks:
  clears: { require: gap >= 0 mm }
",
    );
    let count = 1000_u64;
    let wanted = Asked { over_travel: count, ..asked(1000) };
    let found = stack(&of, "t.clears", &wanted, &Work::default()).unwrap().over_travel.unwrap();
    let apart = Mechanisms::of(&of).apart().of_check(0, true).unwrap();
    let place = |name: &str| apart.variables().iter().position(|own| own.name == name).unwrap();
    let streams = ["t.p", "heat"].map(|name| setout_sample::Stream::new(1, name));
    let third = setout_sample::Spread::normal(0.0, 1.0 / 3.0).unwrap();
    let even = setout_sample::Spread::uniform(-1.0, 1.0).unwrap();
    let mut drawn = [vec![0.0; count as usize], vec![0.0; count as usize]];
    streams[0].fill(third, 0, &mut drawn[0]);
    streams[1].fill(even, 0, &mut drawn[1]);
    let mut failing = 0;
    for (normal, even) in drawn[0].iter().zip(&drawn[1]) {
        let mut point = vec![0.0; apart.variables().len()];
        point[place("t.p")] = 1.5 * normal;
        point[place("t.q")] = *even;
        point[place("t.r")] = -0.5 * even;
        failing += u64::from((0..=40).any(|a| {
            (0..=20).any(|b| {
                point[place("t.a")] = f64::from(a);
                point[place("t.b")] = 2.0 * f64::from(b) - 20.0;
                matches!(apart.at(&point), setout_design::Outcome::Found { holds: false, .. })
            })
        }));
    }
    assert_eq!(found.undecided, 0);
    assert!(failing > 50 && failing < count - 50, "{failing} of {count} on the grid");
    // A grid misses some that fail between its poses, and finds none that do not.
    assert!(found.odds.count >= failing, "{} and {failing} on the grid", found.odds.count);
    assert!(found.odds.count <= failing + 30, "{} and {failing} on the grid", found.odds.count);
}

#[test]
fn why_there_is_none() {
    let of = design(
        "dimensions:
  a: { value: 1 mm, tolerance: ±0.3 mm }
  exact: 2 mm
  screw: { text: M3 }
checks:
  named: { require: screw == \"M3\" }
  sure: { require: exact >= 1 mm }
",
    );
    let none = |name: &str| stack(&of, name, &asked(1000), &Work::default()).unwrap_err();
    assert_eq!(none("t.nothing"), NoStack::Unknown);
    assert_eq!(none("t.screw"), NoStack::Unknown);
    assert_eq!(none("t.exact"), NoStack::NoTolerance);
    assert_eq!(none("t.sure"), NoStack::NoTolerance);
    assert_eq!(none("t.named"), NoStack::NoTolerance);
    let of = design(
        "dimensions:
  a: { value: 1 mm, tolerance: ±0.3 mm }
checks:
  same: { require: (a > 0 mm) == (a > 0.1 mm) }
",
    );
    let none = stack(&of, "t.same", &asked(1000), &Work::default()).unwrap_err();
    assert_eq!(none, NoStack::NoMargin);
}

/// Clopper and Pearson's limits of none, one and all (computed with a public package, from memory).
#[test]
fn limits_of_odds() {
    let of = |count: u64, of: u64| Odds::of(count, of);
    near(of(0, 1000).high_ppm, 3_682.08, 0.01);
    near(of(1, 1000).low_ppm, 25.317_5, 0.001);
    near(of(1, 1000).high_ppm, 5_558.92, 0.01);
    assert_eq!(of(1000, 1000).high_ppm, 1e6);
    assert_eq!(of(1, 1000).ppm(), 1000.0);
    // Of none there is a closed form.
    for samples in [100, 10_000, 1_000_000, 10_000_000_u64] {
        let none = -(0.025_f64.ln() / samples as f64).exp_m1();
        near(of(0, samples).high_ppm / 1e6 / none, 1.0, 1e-7);
        near(of(samples, samples).low_ppm / 1e6, 1.0 - none, 1e-9);
    }
    // Half of a million: 500,000 ± 1.96 · 500.
    near(of(500_000, 1_000_000).low_ppm, 499_020.0, 1.0);
    near(setout_assess::deviations_for(THREE_SIGMA), 3.0, 1e-12);
}

/// Where it has to be exact, halving its tolerance comes to no end by itself.
#[test]
fn a_tolerance_that_has_to_be_none() {
    let of = design(
        "dimensions:
  x: { value: 0 mm, tolerance: ±0.3 mm }
  y: sqrt(x * 1 mm)
checks:
  there: { require: y >= 0 mm }
",
    );
    let found = stacked(&of, "t.there");
    assert_eq!(found.contributors[0].loosest_at_worst, Some(Loosest::Times(0.0)));
}

/// From definitions: a triangular error of half-width a has the variance a²/6, a uniform one a²/3.
#[test]
fn standard_deviations_of_errors() {
    for (spread, part) in [("triangular", 6.0_f64), ("uniform", 3.0), ("normal", 9.0)] {
        let table =
            format!("dimensions:\n  x: {{ value: 5 mm, tolerance: ±0.3 mm, spread: {spread} }}\n");
        let rss = stacked(&design(&table), "t.x").rss.unwrap();
        near(rss.deviation, 0.3 / part.sqrt(), 1e-12);
    }
}

#[test]
fn what_has_much_room_or_none_at_all() {
    let loosest = |min: &str| {
        let table = format!(
            "dimensions:\n  x: {{ value: 5 mm, tolerance: ±0.1 mm }}\n  \
             y: {{ value: 2 * x, min: {min} }}\n"
        );
        let found = stacked(&design(&table), "t.y");
        let own = &found.contributors[0];
        (own.loosest_at_worst.unwrap(), own.loosest_by_rss.unwrap())
    };
    assert_eq!(loosest("-90 mm"), (Loosest::Any, Loosest::Any));
    assert_eq!(loosest("10.5 mm"), (Loosest::Never, Loosest::Never));
}

#[test]
fn errors_that_add_move_a_result_by_their_sum() {
    let of = design(
        "dimensions:
  a: { value: 20 mm, tolerance: ±0.3 mm, shares: mould }
  b: { value: 15 mm, tolerance: ±0.2 mm, shares: -mould }
  adds: a - b
  cancels: a + b
",
    );
    for (name, moves) in [("t.adds", 0.5), ("t.cancels", 0.1)] {
        near(stacked(&of, name).contributors[0].moves.unwrap(), moves, 1e-12);
    }
}

/// A count that errors make a fraction is none.
#[test]
fn samples_of_counts_are_whole() {
    let of = design(
        "dimensions:
  x: { value: 3 mm, tolerance: ±0.2 mm }
  n: { value: x / 1 mm, unit: count }
checks:
  few: { require: n <= 9 }
",
    );
    let found = stacked(&of, "t.few");
    assert!(found.simulated.is_none() && found.worst.is_none(), "{found:?}");
}

/// The ends of the middle part, of samples that are few enough to be counted: as many lie below as
/// above.
#[test]
fn ends_of_few_samples() {
    let of = design("dimensions:\n  x: { value: 5 mm, tolerance: ±1 mm, spread: uniform }\n");
    let mut drawn = [0.0; 20];
    let spread = setout_sample::Spread::uniform(-1.0, 1.0).unwrap();
    setout_sample::Stream::new(7, "t.x").fill(spread, 0, &mut drawn);
    let mean = drawn.iter().sum::<f64>() / 20.0;
    let squares: f64 = drawn.iter().map(|own| (own - mean) * (own - mean)).sum();
    drawn.sort_by(f64::total_cmp);
    let asked = Asked { samples: 20, seed: 7, coverage: 0.9, over_travel: 0 };
    let found = stack(&of, "t.x", &asked, &Work::default()).unwrap().simulated.unwrap();
    near(found.low, 5.0 + drawn[0], 1e-12);
    near(found.high, 5.0 + drawn[18], 1e-12);
    near(found.mean, 5.0 + mean, 1e-12);
    near(found.deviation, (squares / 19.0).sqrt(), 1e-12);
}

/// A ground link of 50 mm and more is not bridged by the others in any pose: nothing is known of the
/// half of all samples that have one, and the odds leave room for them.
#[test]
fn samples_that_reach_no_pose_are_undecided() {
    let of = design(
        "dimensions:
  turn: { value: 0 deg, travel: [0 deg, 0.5 deg] }
  ground: { value: 49 mm, tolerance: +11 -9 mm, spread: uniform }
  out: four_bar_output(10 mm, 20 mm, 20 mm, ground, turn, \"open\")
checks:
  it: { require: out <= 360 deg }
",
    );
    let asked = Asked { samples: 400, over_travel: 400, ..Asked::default() };
    let found = stack(&of, "t.it", &asked, &Work::default()).unwrap().over_travel.unwrap();
    assert!((150..250).contains(&found.undecided), "{found:?}");
    assert!(found.odds.high_ppm >= found.undecided as f64 / 400.0 * 1e6, "{found:?}");
    assert_eq!((found.odds.count, found.odds.low_ppm), (0, 0.0));
}

/// In floats 0.1 and 0.2 are more than 0.3. That is no reason to call a limit passed.
#[test]
fn dust_on_a_limit_is_none() {
    let of = design(
        "dimensions:
  a: { value: 0.1, tolerance: ±0.01 }
  b: { value: 0.2, tolerance: ±0.01, max: 0.3 }
  sum: { value: a + b, max: 0.3 }
",
    );
    for own in stacked(&of, "t.sum").contributors {
        // The other one is out of true, so none of them can be loose enough.
        assert_eq!(own.loosest_at_worst, Some(Loosest::Never));
    }
    let of = design(
        "dimensions:
  a: { value: 0.1, tolerance: ±0.01 }
  sum: { value: a + 0.2, max: 0.3 }
",
    );
    let found = stacked(&of, "t.sum");
    assert!(matches!(found.contributors[0].loosest_at_worst, Some(Loosest::Times(_))), "{found:?}");
}
