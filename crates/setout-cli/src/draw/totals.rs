//! What a design is, in two lines, and what it comes to.

use setout::{Amount, Evaluation};

use super::amounts::{amount, count};
use super::page::Page;

/// The name of the design and how much there is in it.
pub(crate) fn title(evaluation: &Evaluation, page: &mut Page) {
    page.heading(evaluation.design().name());
    let counts = evaluation.counts();
    let sizes = [
        (counts.tables, "table"),
        (counts.dimensions, "dimension"),
        (counts.schedules, "schedule"),
        (counts.checks, "check"),
        (counts.parts, "part"),
    ];
    let counted = sizes.iter().filter(|(size, _)| *size > 0);
    let counted: Vec<String> = counted.map(|(size, thing)| count(*size, thing)).collect();
    page.say(0, &counted.join(", "));
}

/// What all parts cost and weigh together, if there are any.
pub(crate) fn totals(evaluation: &Evaluation, page: &mut Page) {
    if evaluation.counts().parts == 0 {
        return;
    }
    let total =
        |what: &str, total: Option<Amount>| Some(format!("{what} {}", amount(Some(&total?))));
    let totals = [total("cost", evaluation.cost()), total("mass", evaluation.mass())];
    let totals: Vec<String> = totals.into_iter().flatten().collect();
    if !totals.is_empty() {
        page.say(0, &format!("All parts together: {}.", totals.join(", ")));
    }
}
