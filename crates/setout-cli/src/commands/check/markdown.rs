//! The verdicts of a design, as the summary of a run.

use setout::{CheckResult, LimitResult, Verdict, Warning};

use super::{Checked, text};
use crate::draw::markdown::{LARGEST, Markdown, code, faults, prose, verdict};
use crate::draw::{count, limits, measure, verbed};

/// The verdicts that are shown, the worst first.
const SHOWN: [Verdict; 3] = [Verdict::Fails, Verdict::Unknown, Verdict::Tight];

/// The characters that the rows of each table may take: faults, what does not hold, warnings.
const SHARES: [usize; 3] = [12_000, 30_000, 10_000];
/// What stands round the tables.
const ROUND: usize = 4_000;

const _: () = {
    let [a, b, c] = SHARES;
    assert!(a + b + c + ROUND <= LARGEST);
};

pub(super) fn markdown(checked: &Checked<'_>) -> String {
    let mut page = Markdown::default();
    page.paragraph(&format!("**{}**", text::sentence(checked)));
    page.paragraph(&prose(checked.evaluation.design().name()));
    faults(checked.troubles, SHARES[0], &mut page);
    judged(checked, &mut page);
    if let Some(repeat) = checked.repeat.as_ref().filter(|repeat| !repeat.agrees()) {
        let differ = verbed(repeat.differences.len(), "value", "differs", "differ");
        let names: Vec<String> =
            repeat.differences.iter().take(20).map(|of| code(&of.name)).collect();
        page.paragraph(&format!("**{} between two engines:** {}", differ, names.join(", ")));
    }
    warned(checked, &mut page);
    if let Some(caution) = checked.caution() {
        page.paragraph(caution);
    }
    page.finish()
}

fn judged(checked: &Checked<'_>, page: &mut Markdown) {
    let rows = |wanted: Verdict| {
        let checks = text::checks(checked, wanted).map(check);
        checks.chain(text::limits(checked, wanted).map(limit)).collect::<Vec<_>>()
    };
    let bad: Vec<Vec<String>> = SHOWN.into_iter().flat_map(rows).collect();
    if !bad.is_empty() {
        page.table(&["now", "name", "margin", "requires", "because"], &bad, SHARES[1]);
    }
    let held = text::held(checked).into_iter();
    let said: Vec<String> = held.chain(text::not_assessed(checked)).collect();
    if !said.is_empty() {
        page.paragraph(&said.join(" "));
    }
}

fn check(check: &CheckResult) -> Vec<String> {
    vec![
        verdict(check.verdict),
        code(&check.name),
        check.margin.map(|margin| measure(margin, check.unit.symbol())).unwrap_or_default(),
        code(&check.requirement),
        prose(check.why.as_deref().unwrap_or_default()),
    ]
}

fn limit(limit: &LimitResult) -> Vec<String> {
    let unit = limit.unit.symbol();
    vec![
        verdict(limit.verdict),
        code(&limit.name),
        limit.margin.map(|margin| measure(margin, unit)).unwrap_or_default(),
        limits(limit.min, limit.max, unit).unwrap_or_default(),
        String::new(),
    ]
}

fn warned(checked: &Checked<'_>, page: &mut Markdown) {
    let warnings: Vec<&Warning> =
        checked.warnings.iter().filter(|warning| warning.slug != "tight").collect();
    if warnings.is_empty() {
        return;
    }
    let row = |warning: &&Warning| {
        vec![code(&warning.place.to_string()), prose(&warning.message), prose(&warning.help)]
    };
    let rows: Vec<Vec<String>> = warnings.iter().map(row).collect();
    page.folded(&count(warnings.len(), "warning"), |page| {
        page.table(&["place", "warning", "mend"], &rows, SHARES[2]);
    });
}
