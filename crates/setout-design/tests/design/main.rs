//! Behaviour of the design crate: reading, evaluating, comparing, editing.

mod alike;
mod care;
mod compare;
mod drawn;
mod edit;
mod excerpt;
mod fields;
mod hardware;
mod layouts;
mod merge;
mod merge_marks;
mod merge_names;
mod moves;
mod read;
mod rename;
mod values;
mod verdicts;

use setout_design::{Comparison, Design, Evaluation, Memory};

/// A design of the given tables, with a short design.yaml.
pub(crate) fn texts(tables: &[(&str, &str)]) -> Memory {
    let mut texts = Memory::new([(
        "params/design.yaml",
        "setout: 1\nname: a test\ncurrency: GBP\nrates: { EUR: 0.5 GBP }\n\
         processes:\n  printed: { tolerance: ±0.2 mm }\n  cut: { tolerance: ±0.1 mm, spread: uniform }\n\
         exports:\n  - { format: csv, file: ../out/all.csv }\n",
    )]);
    for (name, text) in tables {
        texts.insert(format!("params/{name}.yaml"), *text);
    }
    texts
}

/// A design without faults, evaluated.
#[track_caller]
pub(crate) fn good(tables: &[(&str, &str)]) -> Evaluation {
    let evaluation = Design::read(&texts(tables)).evaluate();
    assert_eq!(evaluation.faults(), [], "this design was meant to have no faults");
    evaluation
}

/// The values of some names, one a word, as they are shown.
pub(crate) fn values(evaluation: &Evaluation, names: &str) -> String {
    let shown = names.split_whitespace().map(|name| match evaluation.value(name) {
        Some(amount) => format!("{name} {amount}"),
        None => format!("{name} ?"),
    });
    shown.collect::<Vec<_>>().join(", ")
}

/// All faults as `place: message (slug)`, a line each.
pub(crate) fn faults(evaluation: &Evaluation) -> String {
    let line = |fault: &setout_design::Fault| {
        format!("{}: {} ({})", fault.place, fault.message, fault.slug)
    };
    evaluation.faults().iter().map(line).collect::<Vec<_>>().join("\n")
}

/// A comparison in a few lines: `edit`, `then`, `same`, `part` and `check` lines.
pub(crate) fn story(comparison: &Comparison) -> String {
    let mut lines = Vec::new();
    for edit in &comparison.edits {
        let side = |text: &Option<String>| text.clone().unwrap_or_else(|| "-".into());
        lines.push(format!(
            "edit {} {}: {} > {}",
            edit.name,
            edit.what,
            side(&edit.before),
            side(&edit.after)
        ));
    }
    for change in &comparison.changed {
        let side = |amount: &Option<setout_design::Amount>| {
            amount.as_ref().map_or_else(|| "?".into(), ToString::to_string)
        };
        let any = if change.any_of { " any of" } else { "" };
        lines.push(format!(
            "then {}: {} > {} because{any} {}",
            change.name,
            side(&change.before),
            side(&change.after),
            change.because.join(" "),
        ));
    }
    if !comparison.unchanged.is_empty() {
        lines.push(format!("same {}", comparison.unchanged.join(" ")));
    }
    for part in &comparison.parts {
        let remake = if part.remake { "remake" } else { "keep" };
        lines.push(format!("part {} {remake} because {}", part.name, part.because.join(" ")));
    }
    for check in comparison.checks.iter().filter(|check| check.turned()) {
        let side = |result: &Option<setout_design::CheckResult>| {
            result.as_ref().map_or("-", |check| check.verdict.as_str())
        };
        lines.push(format!(
            "check {}: {} > {} because {}",
            check.name,
            side(&check.result.before),
            side(&check.result.after),
            check.because.join(" "),
        ));
    }
    lines.join("\n")
}
