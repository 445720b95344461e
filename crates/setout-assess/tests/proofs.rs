//! Proofs against brute force: random mechanisms with a dense grid over their travel. What is
//! proved fails nowhere on the grid, and what is refuted fails in the pose that is named when that
//! pose alone is evaluated.

use proptest::prelude::*;
use setout_assess::{Progress, Work, assess};
use setout_design::{Design, Evaluation, Mechanisms, Memory, State, Verdict};
use setout_formula::Interval;

/// Axes of one to three, and what is computed from them.
const AXES: [&str; 3] = ["a", "b", "c"];

/// Formulas of a length in mm over the axes `a`, `b` and `c`, in deg, and earlier ones.
const SHAPES: &[&str] = &[
    "P * sin(X)",
    "P * cos(X) + Y",
    "hypot(P * sin(X), Y + Q)",
    "P * sin(X) * cos(W)",
    "abs(Y - Q * sin(X))",
    "max(Y, P * cos(X))",
    "min(Y + Q, P)",
    "Y * Y / (Y + 100 mm + P)",
    "sqrt(Y^2 + P^2)",
    "if(X > 11 deg, Y, Y + Q)",
    "round(Y, 0.5 mm)",
    "P * sin(four_bar_output(12 mm, 38 mm, 18 mm, 40 mm, 60 deg + X, \"open\"))",
    "slider_crank(14 mm, 30 mm, Q, X + 20 deg, \"open\") - Y",
    "P * tan(X / 4) + clamp(Y, -Q, Q)",
];

fn mechanism() -> impl Strategy<Value = String> {
    let axis = (-40..40_i32, 1..50_i32, 0..=4_u32);
    let step = (0..SHAPES.len(), 1..30_u32, 1..30_u32, 0..3_usize, 0..3_usize, 0..4_usize);
    let parts = (
        prop::collection::vec(axis, 1..=3),
        prop::collection::vec(step, 1..5),
        -40..60_i32,
        any::<bool>(),
        0..3_u32,
    );
    parts.prop_map(|(axes, steps, bound, at_most, made)| {
        let mut text = String::from("dimensions:\n");
        for (name, (low, width, rest)) in AXES.iter().zip(&axes) {
            let rest = f64::from(*low) + f64::from(*width) * f64::from(*rest) / 4.0;
            text += &format!(
                "  {name}: {{ value: {rest} deg, travel: [{low} deg, {} deg] }}\n",
                low + width
            );
        }
        let axis = |which: usize| AXES[which % axes.len()];
        for (index, (shape, p, q, x, w, y)) in steps.iter().enumerate() {
            let earlier = match index {
                0 => "5 mm".to_owned(),
                _ => format!("s{}", y % index),
            };
            let formula = SHAPES[*shape]
                .replace('P', &format!("{p} mm"))
                .replace('Q', &format!("{q} mm"))
                .replace('X', axis(*x))
                .replace('W', axis(*w))
                .replace('Y', &earlier);
            let tolerance =
                if made > 0 && index as u32 % 2 == made % 2 { ", tolerance: ±0.2 mm" } else { "" };
            text += &format!("  s{index}: {{ value: '{formula}'{tolerance} }}\n");
        }
        let last = steps.len() - 1;
        let sign = if at_most { "<=" } else { ">=" };
        text + &format!("checks:\n  it: {{ require: s{last} {sign} {bound} mm, why: it must }}\n")
    })
}

fn design(table: &str) -> Design {
    Design::read(&Memory::new([("design.yaml", "setout: 1\n"), ("t.yaml", table)]))
}

/// The check with the axes at these places, evaluated alone.
fn at(design: &Design, pose: &[(String, f64)]) -> Option<(Verdict, Option<f64>)> {
    let values: Vec<(String, String)> =
        pose.iter().map(|(name, value)| (name.clone(), format!("{value:?} deg"))).collect();
    let values: Vec<(&str, &str)> = values.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    // Something else may have no value there, which is nothing to the check.
    let evaluation = design.tried(&values).ok()?.design.evaluate();
    let rest = &evaluation.checks()[0].rest;
    Some((rest.verdict, rest.margin))
}

fn spans(evaluation: &Evaluation) -> Vec<(String, [f64; 2])> {
    let axes = evaluation.dimensions().into_iter();
    axes.filter_map(|own| Some((own.name, own.travel?))).collect()
}

/// All places of a grid with this many steps an axis.
fn grid(spans: &[(String, [f64; 2])], steps: usize) -> Vec<Vec<(String, f64)>> {
    let mut all = vec![Vec::new()];
    for (name, [low, high]) in spans {
        all = all
            .into_iter()
            .flat_map(|pose: Vec<(String, f64)>| {
                (0..=steps).map(move |step| {
                    let value = low + (high - low) * step as f64 / steps as f64;
                    let mut pose = pose.clone();
                    pose.push((name.clone(), value.clamp(*low, *high)));
                    pose
                })
            })
            .collect();
    }
    all
}

fn pose_of(state: &State) -> Vec<(String, f64)> {
    let proof = state.proof.as_ref().expect("it was assessed");
    let axes = proof.at.iter().filter(|setting| !setting.is_deviation);
    axes.map(|setting| (setting.name.clone(), setting.value)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]
    /// Slopes by variables that stand still are left out, and nothing else is.
    #[test]
    fn what_stands_still_takes_no_slopes_from_the_rest(
        table in mechanism(),
        still in prop::collection::vec(any::<bool>(), 8),
        halved in prop::collection::vec(0..3_usize, 8),
    ) {
        let evaluation = design(&table).evaluate();
        let mechanisms = Mechanisms::of(&evaluation);
        let Ok(of) = mechanisms.of_check(0, true) else { return Ok(()) };
        let sides = of.variables().iter().zip(still.iter().zip(&halved));
        let place: Vec<Interval> = sides
            .map(|(variable, (still, halved))| match still {
                true => Interval::point(variable.rest),
                false if *halved < 2 => variable.span.halves()[*halved],
                false => variable.span,
            })
            .collect();
        let (all, some) = (of.judge(&place), of.judge_moving(&place));
        prop_assert_eq!((all.holds, all.closes), (some.holds, some.closes), "{}", &table);
        prop_assert_eq!(all.defined, some.defined, "{}", &table);
        prop_assert_eq!(all.margin.is_some(), some.margin.is_some(), "{}", &table);
        let (Some(all), Some(some)) = (all.margin, some.margin) else { return Ok(()) };
        prop_assert!(some.of.interval.is_in(all.of.interval), "{}: {:?} {:?}", &table, all, some);
        for (variable, side) in place.iter().enumerate() {
            match (all.by(variable), some.by(variable)) {
                (_, Some(found)) if side.only().is_some() => {
                    prop_assert_eq!(found, Interval::ZERO, "{}", &table);
                }
                (Some(wanted), found) => prop_assert_eq!(Some(wanted), found, "{}", &table),
                (None, _) => {}
            }
        }
    }

    #[test]
    fn no_proof_is_against_brute_force(table in mechanism()) {
        let design = design(&table);
        let rest = design.evaluate();
        let assessed = assess(&rest, &Work { boxes: 2_000, ..Work::default() });
        let Some(state) = assessed.checks()[0].travel.clone() else { return Ok(()) };
        // At rest it may have no value at all; nothing can be proved then.
        if state.proof.is_none() {
            return Ok(());
        }
        let spans = spans(&rest);
        let proof = state.proof.clone().expect("it was assessed");
        let steps = [60, 12, 6][spans.len() - 1];
        let mut least = f64::INFINITY;
        for pose in grid(&spans, steps) {
            let found = at(&design, &pose);
            let fails = found.is_some_and(|(verdict, _)| verdict == Verdict::Fails);
            prop_assert!(
                !fails || state.verdict == Verdict::Fails || state.verdict == Verdict::Unknown,
                "{table}\n{state:?}\nfails at {pose:?}: {found:?}"
            );
            if let Some((_, Some(margin))) = found {
                least = least.min(margin);
            }
        }
        if let Some(at_least) = proof.at_least {
            prop_assert!(least >= at_least - 1e-9, "{table}\n{state:?}\non the grid {least}");
        }
        if state.verdict == Verdict::Fails {
            let alone = at(&design, &pose_of(&state));
            let verdict = alone.map(|(verdict, _)| verdict);
            prop_assert_eq!(verdict, Some(Verdict::Fails), "{}\n{:?}", table, state);
        }
        // No worse state is better than one that it holds.
        let worst = assessed.checks()[0].worst.clone().expect("it was assessed");
        if worst.verdict == Verdict::Holds {
            prop_assert!(state.verdict == Verdict::Holds, "{table}\n{state:?}\n{worst:?}");
        }
    }
}

fn assessed(table: &str) -> Evaluation {
    let design = design(table);
    let rest = design.evaluate();
    assert!(rest.faults().is_empty(), "{:?}", rest.faults());
    assess(&rest, &Work::default())
}

/// The servo's jaw of linkages, 12, 38, 18 and 40 mm, over 20 to 160 degrees. On one circuit the
/// output link turns all the way with the input, so its extremes lie at the ends; on the other it
/// turns back inside. Both are found by a fine walk here.
#[test]
fn the_extremes_of_a_four_bar_are_at_the_ends_or_inside() {
    for circuit in ["open", "crossed"] {
        let output = |angle: f64| {
            let table = format!(
                "dimensions:\n  turn: {{ value: {angle:?} deg, travel: [20 deg, 160 deg] }}\n  \
                 out: 'four_bar_output(12 mm, 38 mm, 18 mm, 40 mm, turn, \"{circuit}\")'\n"
            );
            design(&table).evaluate().dimensions()[1].base.expect("it closes")
        };
        let walk: Vec<f64> = (0..=1400).map(|step| output(20.0 + f64::from(step) / 10.0)).collect();
        let least = walk.iter().copied().fold(f64::INFINITY, f64::min);
        let most = walk.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let ends = [walk[0], walk[1400]];
        let at_ends = ends.contains(&least) && ends.contains(&most);
        assert_eq!(at_ends, circuit == "open", "{least} to {most}, ends {ends:?}");
        let margin = |requirement: &str| {
            let table = format!(
                "dimensions:\n  turn: {{ value: 90 deg, travel: [20 deg, 160 deg] }}\n  \
                 out: 'four_bar_output(12 mm, 38 mm, 18 mm, 40 mm, turn, \"{circuit}\")'\n\
                 checks:\n  it: {{ require: {requirement}, why: it must }}\n"
            );
            let travel = assessed(&table).checks()[0].travel.clone().expect("it was assessed");
            assert_eq!(travel.verdict, Verdict::Holds);
            let proof = travel.proof.expect("it moves");
            (travel.margin.expect("it has one"), proof.at_least.expect("it was bounded"))
        };
        let (found, at_least) = margin("out >= -179 deg");
        // Within a thousandth of the least margin, and never claimed to be more than it is.
        assert!(at_least <= least + 179.0 && at_least <= found, "{circuit}: {at_least}");
        assert!((found - (least + 179.0)).abs() <= 1.1e-3 * found, "{circuit}: {found} {least}");
        let (found, at_least) = margin("out <= 179 deg");
        assert!(at_least <= 179.0 - most && at_least <= found, "{circuit}: {at_least}");
        assert!((found - (179.0 - most)).abs() <= 1.1e-3 * found, "{circuit}: {found} {most}");
    }
}

#[test]
fn a_pose_that_cannot_be_reached_is_no_clash_and_is_said() {
    let found = assessed(
        "dimensions:\n  turn: { value: 60 deg, travel: [0 deg, 180 deg] }\n  \
         out: 'four_bar_transmission(60 mm, 30 mm, 55 mm, 70 mm, turn, \"open\")'\n\
         checks:\n  it: { require: out >= 0.001 deg, why: it must }\n",
    );
    let travel = found.checks()[0].travel.clone().expect("it moves");
    let proof = travel.proof.expect("it moves");
    // It closes between 20.364 and 81.270 degrees, where coupler and output link are in line.
    let spans: Vec<[f64; 2]> = proof.unreachable.iter().map(|span| [span.low, span.high]).collect();
    let [[start, below], [above, end]] = spans[..] else { panic!("{spans:?}") };
    assert_eq!((start, end), (0.0, 180.0));
    assert!(
        (20.0..=20.364_135).contains(&below) && (81.269_574..=82.0).contains(&above),
        "{spans:?}"
    );
    assert!(travel.margin.expect("it closes somewhere") < 90.0);
}

#[test]
fn axes_that_are_formulas_of_others_go_with_them() {
    // Tongue and jaw move together: apart they would clash.
    let table = |rule: &str| {
        format!(
            "dimensions:\n  opening: {{ value: 0 deg, travel: [0 deg, 30 deg] }}\n  \
             asked: {{ value: 0 mm, travel: [0 mm, 12 mm] }}\n  out: {rule}\n  \
             gap: 1 mm + 40 mm * sin(opening) - out / 2\n\
             checks:\n  clear: {{ require: gap >= 0.5 mm, why: it must }}\n"
        )
    };
    let verdict = |rule| assessed(&table(rule)).checks()[0].travel.clone().unwrap().verdict;
    assert_eq!(verdict("asked"), Verdict::Fails);
    assert_eq!(verdict("asked * min(opening / 10 deg, 1)"), Verdict::Holds);
}

#[test]
fn what_is_made_varies_by_its_own_tolerance_alone() {
    let margin = |tolerance: &str| {
        let table = format!(
            "dimensions:\n  a: {{ value: 10 mm, tolerance: ±0.3 mm }}\n  \
             b: {{ value: a + 5 mm{tolerance} }}\n\
             checks:\n  it: {{ require: b >= 12 mm, why: it must }}\n"
        );
        let worst = assessed(&table).checks()[0].worst.clone().unwrap();
        (worst.verdict, (worst.margin.unwrap() * 1e9).round() / 1e9)
    };
    assert_eq!(margin(""), (Verdict::Holds, 2.7));
    assert_eq!(margin(", tolerance: ±0.1 mm"), (Verdict::Holds, 2.9));
    assert_eq!(margin(", tolerance: 0 mm"), (Verdict::Holds, 3.0));
}

#[test]
fn counts_move_in_whole_steps() {
    let found = assessed(
        "dimensions:\n  teeth: { value: 4, unit: count, travel: [2, 9] }\n  \
         gap: 7 mm - abs(teeth - 5.5) * 1 mm\n\
         checks:\n  it: { require: gap <= 6.6 mm, why: it must }\n",
    );
    let travel = found.checks()[0].travel.clone().unwrap();
    assert_eq!(
        (travel.verdict, travel.margin.map(|m| (m * 1e9).round() / 1e9)),
        (Verdict::Holds, Some(0.1))
    );
}

#[test]
fn limits_bound_the_nominal_over_travel() {
    let found = assessed(
        "dimensions:\n  turn: { value: 0 deg, travel: [0 deg, 60 deg] }\n  \
         rise: { value: 20 mm * sin(turn), max: 15 mm, tolerance: ±0.5 mm }\n",
    );
    let limit = &found.limits()[0];
    assert_eq!(limit.verdict, Verdict::Fails);
    let travel = limit.travel.clone().unwrap();
    assert_eq!(travel.proof.unwrap().at[0].value, 60.0);
}

#[test]
fn a_proof_that_is_stopped_says_so() {
    let design = design(
        "dimensions:\n  a: { value: 1 deg, travel: [0 deg, 90 deg] }\n  \
         b: 10 mm * (sin(a)^2 + cos(a)^2)\n\
         checks:\n  it: { require: abs(b - 10 mm) <= 0.0000001 mm, why: it must }\n",
    );
    let asked = std::sync::atomic::AtomicU32::new(0);
    let stop = || asked.fetch_add(1, std::sync::atomic::Ordering::Relaxed) > 2;
    let found =
        assess(&design.evaluate(), &Work { boxes: 1_000_000, stop: &stop, ..Work::default() });
    let travel = found.checks()[0].travel.clone().unwrap();
    assert_eq!(travel.verdict, Verdict::Unknown);
    let proof = travel.proof.unwrap();
    let why = proof.why.clone().unwrap();
    assert!(why.starts_with("it was stopped after "), "{why}");
}

/// A check that is proved at once, one that fails, one that takes many boxes, and a limit.
const SEVERAL: &str = "dimensions:\n  \
    a: { value: 1 deg, travel: [0 deg, 90 deg] }\n  \
    b: 10 mm * (sin(a)^2 + cos(a)^2)\n  \
    c: { value: 20 mm * cos(a), min: 0 mm, tolerance: ±0.1 mm }\n  \
    size: { value: 4 mm, max: 9 mm }\n\
    checks:\n  quick: { require: c <= 21 mm, why: it must }\n  \
    failing: { require: c >= 5 mm, why: it must }\n  \
    slow: { require: abs(b - 10 mm) <= 0.5 mm, why: it must }\n  \
    sized: { require: size + b >= 12 mm, why: it must }\n";

/// Runs some work again and again, stopped one question later each time, until it comes to its end.
fn stopped_everywhere(mut run: impl FnMut(&Work<'_>)) -> u32 {
    use std::sync::atomic::{AtomicBool, AtomicU32, Ordering::Relaxed};
    for after in 0.. {
        let (asked, stopped) = (AtomicU32::new(0), AtomicBool::new(false));
        let stop = || {
            let stop = asked.fetch_add(1, Relaxed) >= after;
            stopped.fetch_or(stop, Relaxed);
            stop
        };
        run(&Work { stop: &stop, ..Work::default() });
        if !stopped.into_inner() {
            return after;
        }
    }
    unreachable!("all work ends")
}

#[test]
fn whenever_it_is_stopped_what_was_found_is_right_and_the_rest_is_unknown() {
    let rest = design(SEVERAL).evaluate();
    let whole = assess(&rest, &Work::default());
    let verdicts: Vec<Verdict> = whole.checks().iter().map(|check| check.verdict).collect();
    assert_eq!(verdicts, [Verdict::Holds, Verdict::Fails, Verdict::Holds, Verdict::Holds]);
    let is_right = |own: &Option<State>, whole: &Option<State>| {
        let (Some(own), Some(whole)) = (own, whole) else { panic!("{own:?} {whole:?}") };
        // A pose that fails may have been found before the worst one.
        if own.verdict == whole.verdict {
            return true;
        }
        let why = own.proof.as_ref().and_then(|proof| proof.why.clone()).unwrap_or_default();
        let bound = own.proof.as_ref().and_then(|proof| proof.at_least);
        assert!(own.verdict == Verdict::Unknown && why.starts_with("it was stopped "), "{own:?}");
        assert!(bound.is_none_or(|bound| Some(bound) <= whole.margin), "{own:?} {whole:?}");
        false
    };
    let mut first: Vec<usize> = Vec::new();
    let asked = stopped_everywhere(|work| {
        let own = assess(&rest, work);
        let pairs = own.checks().iter().zip(whole.checks());
        let right = pairs.map(|(own, whole)| {
            is_right(&own.travel, &whole.travel) & is_right(&own.worst, &whole.worst)
        });
        let right: Vec<bool> = right.collect();
        for (own, whole) in own.limits().iter().zip(whole.limits()) {
            assert!(own.travel.is_none() == whole.travel.is_none());
            if own.travel.is_some() {
                is_right(&own.travel, &whole.travel);
            }
        }
        first.push(right.iter().take_while(|right| **right).count());
    });
    // They come to their ends one by one.
    assert!(first.is_sorted(), "{first:?}");
    assert_eq!((first[0], first.last(), first.len() as u32), (0, Some(&4), asked + 1));
    assert!((1..4).all(|number| first.contains(&number)), "{first:?}");
}

#[test]
fn whenever_headroom_is_stopped_it_is_whole_or_missing() {
    use setout_assess::{NoHeadroom, headroom, headrooms, mends};
    let text = PALATE.replace("room: 66 mm", "room: 72 mm");
    let evaluation = design(&text).evaluate();
    let names = ["t.width", "t.room", "t.reserve"].map(str::to_owned);
    let whole = headrooms(&evaluation, &names, &Work::default());
    assert_eq!(whole.len(), 3);
    let mut missing = 0;
    stopped_everywhere(|work| match headroom(&evaluation, "t.width", work) {
        Ok(own) => assert_eq!(own, whole[0]),
        Err(why) => {
            assert_eq!(why, NoHeadroom::Stopped);
            missing += 1;
        }
    });
    assert!(missing > 10, "{missing}");
    let mut counts = std::collections::BTreeSet::new();
    stopped_everywhere(|work| {
        let own = headrooms(&evaluation, &names, work);
        assert!(own.iter().all(|own| whole.contains(own)), "{own:?}");
        counts.insert(own.len());
    });
    assert!(counts.contains(&0) && counts.contains(&3), "{counts:?}");
    let evaluation = design(PALATE).evaluate();
    let whole = mends(&evaluation, "t.it", &Work::default()).unwrap();
    let mut counts = std::collections::BTreeSet::new();
    stopped_everywhere(|work| {
        let own = mends(&evaluation, "t.it", work).unwrap();
        assert!(own.iter().all(|own| whole.contains(own)), "{own:?}");
        counts.insert(own.len());
    });
    assert_eq!(Vec::from_iter(counts), [0, 1, 2]);
}

#[test]
fn how_far_it_is_is_told() {
    use std::sync::Mutex;
    let told = Mutex::new(Vec::new());
    let tell = |progress| told.lock().unwrap().push(progress);
    let found = assess(&design(SEVERAL).evaluate(), &Work { told: &tell, ..Work::default() });
    let told = told.into_inner().unwrap();
    let count = |wanted| told.iter().filter(|own| **own == wanted).count();
    let things = found.checks().len() + found.limits().len();
    assert_eq!((told[0], count(Progress::Done)), (Progress::ToDo(things), things));
    let states = found.checks().iter().flat_map(|check| {
        let differs = check.travel != check.worst;
        [check.travel.as_ref(), check.worst.as_ref().filter(|_| differs)]
    });
    let states = states.chain(found.limits().iter().map(|limit| limit.travel.as_ref()));
    let boxes: u64 = states.flatten().filter_map(|own| Some(own.proof.as_ref()?.boxes)).sum();
    assert_eq!(count(Progress::Box) as u64, boxes);
    assert_eq!(told.last(), Some(&Progress::Done));
}

#[test]
fn what_cannot_be_decided_is_unknown_with_a_reason() {
    let found = design(
        "dimensions:\n  a: { value: 1 deg, travel: [0 deg, 90 deg] }\n  \
         b: 10 mm / (a / 1 deg)\nchecks:\n  it: { require: b >= 0.1 mm, why: it must }\n",
    );
    let found = assess(&found.evaluate(), &Work::default());
    let travel = found.checks()[0].travel.clone().unwrap();
    assert_eq!(travel.verdict, Verdict::Unknown);
    assert_eq!(travel.proof.unwrap().why.as_deref(), Some("there is a pose without a value"));
}

const PALATE: &str = "dimensions:\n  \
    width: { value: 64 mm, min: 40 mm, max: 70 mm, tolerance: ±0.2 mm }\n  \
    room: 66 mm\n  reserve: 1 mm\n  lean: { value: 0 deg, travel: [0 deg, 20 deg] }\n  \
    gap: (room * cos(lean) - width) / 2\n\
    checks:\n  it: { require: gap >= reserve, why: it must }\n  \
    wide: { require: width >= 59 mm, why: it must }\n";

#[test]
fn what_mends_a_check_is_found_with_what_it_breaks() {
    use setout_assess::mends;
    let found = mends(&design(PALATE).evaluate(), "t.it", &Work::default()).unwrap();
    let told: Vec<(&str, f64, &[String])> = found
        .iter()
        .map(|own| (own.name.as_str(), (own.to * 1e3).round() / 1e3, &own.then[..]))
        .collect();
    // 66 cos 20° is 62.0197: less 0.2 and twice 1 mm for the width, and the other way for the room.
    assert_eq!(told, [("t.width", 59.82, &[][..]), ("t.room", 70.449, &[][..])]);
    // It fails at rest already.
    let narrow = PALATE.replace("room: 66 mm", "room: 65 mm");
    let found = mends(&design(&narrow).evaluate(), "t.it", &Work::default()).unwrap();
    assert_eq!(found.len(), 2, "{found:?}");
    let strict = PALATE.replace(">= 59 mm", ">= 61 mm");
    let found = mends(&design(&strict).evaluate(), "t.it", &Work::default()).unwrap();
    let told: Vec<(&str, &[String])> =
        found.iter().map(|own| (own.name.as_str(), &own.then[..])).collect();
    assert_eq!(told, [("t.room", &[][..]), ("t.width", &["t.wide".to_owned()][..])]);
}

#[test]
fn headroom_ends_where_the_first_check_does() {
    use setout_assess::headroom;
    let text = PALATE.replace("room: 66 mm", "room: 72 mm");
    let evaluation = design(&text).evaluate();
    let found = headroom(&evaluation, "t.width", &Work::default()).unwrap();
    // 72 cos 20° less 0.2 and twice 1 mm, to a millionth; and 59 mm with a tolerance of 0.2 mm.
    let high = 72.0 * 20_f64.to_radians().cos() - 2.2;
    let (low, up) = (found.low.value.unwrap(), found.high.value.unwrap());
    assert!(up <= high && high - up <= 1.3e-4, "{up} {high}");
    assert!(low >= 59.2 && low - 59.2 <= 1.3e-4, "{low}");
    let because = [found.low.because.as_deref(), found.high.because.as_deref()];
    assert_eq!(because, [Some("t.wide"), Some("t.it")]);
    // Nothing is told of an axis, of what somebody computed, or of nothing.
    for name in ["t.lean", "t.gap", "t.nothing"] {
        assert!(headroom(&evaluation, name, &Work::default()).is_err(), "{name}");
    }
    // What fails already has none.
    let found = headroom(&design(PALATE).evaluate(), "t.width", &Work::default()).unwrap();
    assert_eq!((found.low.value, found.high.value), (None, None));
    assert_eq!(found.low.because.as_deref(), Some("t.it"));
}

#[test]
fn headroom_does_not_step_over_a_hole() {
    use setout_assess::headroom;
    // Between 20.2 and 20.3 mm the pin meets a slot.
    let text = "dimensions:\n  pin: 10 mm\n  \
                gap: abs(pin - 20.25 mm)\n\
                checks:\n  it: { require: gap >= 0.05 mm, why: it must }\n";
    let found = headroom(&design(text).evaluate(), "t.pin", &Work::default()).unwrap();
    let high = found.high.value.unwrap();
    assert!(high <= 20.2 && 20.2 - high <= 2.1e-5, "{high}");
    assert_eq!(found.low.value, None, "{:?}", found.low);
}

#[test]
fn headroom_of_counts_steps_by_one() {
    use setout_assess::headroom;
    let text = "dimensions:\n  screws: { value: 4, unit: count }\n  \
                pull: 100 N / screws\n\
                checks:\n  it: { require: pull >= 13 N, why: it must }\n  \
                few: { require: screws >= 2, why: it must }\n";
    let found = headroom(&design(text).evaluate(), "t.screws", &Work::default()).unwrap();
    assert_eq!((found.low.value, found.high.value), (Some(2.0), Some(7.0)));
}

#[test]
fn headroom_moves_the_ends_of_a_travel() {
    use setout_assess::headroom;
    let text = "dimensions:\n  most: 20 deg\n  \
                turn: { value: 0 deg, travel: [0 deg, most] }\n  drop: 100 mm * sin(turn)\n\
                checks:\n  it: { require: drop <= 50 mm, why: it must }\n";
    let found = headroom(&design(text).evaluate(), "t.most", &Work::default()).unwrap();
    let high = found.high.value.unwrap();
    assert!(high <= 30.0 && 30.0 - high <= 6.1e-5, "{high}");
}

/// Ten thousand parts in a row, each with its tolerance and its axis: too many for slopes.
#[test]
fn very_many_variables_are_bounded_in_time_and_memory() {
    let mut text = String::from("dimensions:\n  s0: 0 mm\n");
    for index in 1..=10_000 {
        text += &format!(
            "  p{index}: {{ value: 1 mm, tolerance: ±0.1 mm }}\n  s{index}: s{} + p{index}\n",
            index - 1
        );
    }
    text += "checks:\n  wide: { require: s10000 <= 11001 mm }\n  narrow: { require: s10000 <= 10500 mm }\n";
    let found = assessed(&text);
    let verdicts: Vec<Verdict> = found.checks().iter().map(|check| check.verdict).collect();
    // Without slopes no pose that fails is found, and nothing is claimed.
    assert_eq!(verdicts, [Verdict::Holds, Verdict::Unknown]);
    let worst = found.checks()[0].worst.clone().unwrap().proof.unwrap();
    assert!((worst.at_least.unwrap() - 1.0).abs() < 1e-6, "{:?}", worst.at_least);
}

/// Where rounding takes all of a margin, no bound says that it is there.
#[test]
fn no_bound_is_above_what_was_found() {
    let assessed = assessed(
        "dimensions:
  x: { value: 1e20 mm, travel: [1e20 mm, 2e20 mm] }
checks:
  it: { require: x + 1 mm - x >= 0 mm }
",
    );
    let travel = assessed.checks()[0].travel.clone().expect("it was assessed");
    assert_eq!((travel.verdict, travel.margin), (Verdict::Holds, Some(0.0)));
    assert_eq!(travel.proof.expect("it moves").at_least, Some(0.0));
}

/// Formulas that go round in a circle are a fault; whoever assesses the design all the same is told
/// that nothing is known.
#[test]
fn what_goes_round_in_a_circle_is_unknown() {
    use setout_assess::{Asked, headroom, stack};
    let of = design(
        "dimensions:
  x: { value: 1 mm, travel: [0 mm, 2 mm], tolerance: ±0.1 mm }
  a: { value: b + x, max: 9 mm }
  b: a - x
  free: { value: 3 mm, max: 9 mm }
checks:
  it: { require: a - x <= free }
",
    )
    .evaluate();
    assert!(!of.faults().is_empty());
    let assessed = assess(&of, &Work::default());
    let check = &assessed.checks()[0];
    let verdicts = [&check.travel, &check.worst].map(|state| state.as_ref().map(|of| of.verdict));
    assert_eq!(verdicts, [Some(Verdict::Unknown); 2]);
    assert!(stack(&of, "t.it", &Asked::default(), &Work::default()).is_err());
    assert!(stack(&of, "t.a", &Asked::default(), &Work::default()).is_err());
    let found = headroom(&of, "t.free", &Work::default()).expect("it was chosen");
    assert_eq!(found.high.because.as_deref(), Some("t.it"));
}

/// Over travel, with the reason why it is unknown.
fn over_travel(table: &str) -> (Verdict, Option<String>) {
    let travel = assessed(table).checks()[0].travel.clone().expect("it was assessed");
    (travel.verdict, travel.proof.and_then(|proof| proof.why.clone()))
}

/// In the middle of its travel and at both ends it is whole, and nowhere between.
#[test]
fn a_count_that_is_a_fraction_has_no_value() {
    let (verdict, why) = over_travel(
        "dimensions:
  x: { value: 0 mm, travel: [0 mm, 2 mm] }
  n: { value: x / 1 mm, unit: count }
checks:
  it: { require: n >= 0 }
",
    );
    assert_eq!(verdict, Verdict::Unknown);
    assert_eq!(why.as_deref(), Some("there is a pose without a value"));
}

/// The sum is 1 everywhere, and intervals have to be small to see that.
#[test]
fn a_margin_near_what_was_asked_for_is_known_closely() {
    for (tight, wanted) in [("0.4999", Verdict::Holds), ("0.5001", Verdict::Tight)] {
        let (verdict, _) = over_travel(&format!(
            "dimensions:\n  a: {{ value: 0 deg, travel: [0 deg, 90 deg] }}\n\
             checks:\n  it: {{ require: sin(a)^2 + cos(a)^2 >= 0.5, tight: {tight} }}\n"
        ));
        assert_eq!(verdict, wanted, "{tight}");
    }
}

/// Both arms hold, and at one place there is no condition.
#[test]
fn what_cannot_be_told_at_one_place_is_unknown() {
    let (verdict, _) = over_travel(
        "dimensions:
  x: { value: 0 mm, travel: [0 mm, 1 mm] }
checks:
  it: { require: 'if(1 mm^2 / (x - 0.3 mm) > 0 mm, x >= -1 mm, x >= -2 mm)' }
",
    );
    assert_eq!(verdict, Verdict::Unknown);
}

/// Where a side of `||` has no value the other one holds by its own margin, which is the least.
#[test]
fn the_least_margin_of_two_sides_of_which_one_is_not_always_there() {
    let assessed = assessed(
        "dimensions:
  x: { value: 2 mm, travel: [2 mm, 3 mm] }
  y: { value: 1 mm, travel: [-1 mm, 1 mm] }
checks:
  it: { require: x >= 1 mm || sqrt(y * 1 mm) >= -100 mm, tight: 5 mm }
",
    );
    let travel = assessed.checks()[0].travel.clone().expect("it was assessed");
    let at_least = travel.proof.expect("it moves").at_least.expect("it was bounded");
    assert_eq!(travel.verdict, Verdict::Tight);
    assert!(at_least <= 1.0 && travel.margin.expect("it has one") <= 1.01, "{at_least}");
}

/// The axis goes from 2 degrees on, wherever it ends.
#[test]
fn headroom_moves_one_end_of_a_travel_and_not_the_other() {
    let design = design(
        "dimensions:
  widest: { value: 28 deg, max: 60 deg }
  opening: { value: 2 deg, travel: [2 deg, widest] }
checks:
  it: { require: opening >= 1 deg && opening <= 40 deg }
",
    );
    let found = setout_assess::headroom(&design.evaluate(), "t.widest", &Work::default()).unwrap();
    let high = found.high.value.expect("the check stops it");
    assert!((high - 40.0).abs() < 1e-3, "{found:?}");
}
