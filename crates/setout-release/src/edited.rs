//! What a hand changed, in a sentence an edit.

use setout_design::{Amount, Both, Comparison, Edited, Evaluation, What};

use crate::told::{amount, now_and_before, text};

/// The sentences for all edits of a comparison but those that were told before, remarks last.
pub(crate) fn edited(
    found: &Comparison,
    before: &Evaluation,
    after: &Evaluation,
    is_told: &dyn Fn(&Edited) -> bool,
) -> Vec<String> {
    let untold = found.edits.iter().filter(|edit| !is_told(edit));
    let (remarks, others): (Vec<&Edited>, Vec<&Edited>) =
        untold.partition(|edit| matches!(edit.what, What::Note | What::Reason));
    let value = |edit: &Edited| Both {
        before: before.value(&found.name_before(&edit.name)),
        after: after.value(&edit.name),
    };
    let edits = others.into_iter().chain(remarks);
    edits.map(|edit| sentence(edit, &value(edit))).collect()
}

fn sentence(edit: &Edited, value: &Both<Option<Amount>>) -> String {
    let name = &edit.name;
    match edit.what {
        What::Renamed => {
            let was = edit.before.as_deref().unwrap_or_default();
            format!("{} is called {name} now.", text(was))
        }
        What::Added => match (&value.after, edit.after.as_deref()) {
            (Some(_), _) => format!("{name} is new: {}.", amount(value.after.as_ref())),
            (None, Some(what)) => format!("{name} is new: {}.", text(what)),
            (None, None) => format!("{name} is new."),
        },
        What::Removed => match (&value.before, edit.before.as_deref()) {
            (Some(_), _) => format!("{name} is gone; it was {}.", amount(value.before.as_ref())),
            (None, Some(what)) => format!("{name} is gone; it was: {}.", text(what)),
            (None, None) => format!("{name} is gone."),
        },
        What::Value if value.before != value.after => {
            format!("{name} is {}.", now_and_before(value))
        }
        What::Value if value.after.is_some() => {
            let now = amount(value.after.as_ref());
            format!("{name} comes about otherwise, and is {now} as before.")
        }
        What::Note => format!("The note on {name} has other words."),
        What::Reason => format!("The reason for {name} has other words."),
        what => field(edit, what),
    }
}

/// A field of which both sides are told as they are written.
fn field(edit: &Edited, what: What) -> String {
    let of = match what {
        What::Limits => "The limits of",
        What::Travel => "The travel of",
        What::Tolerance => "The tolerance of",
        What::Unit => "The unit of",
        What::Choices => "The choices for",
        What::Requirement => "What is required by",
        What::Tight => "The margin asked of",
        What::Made => "The making of",
        What::Material => "The material of",
        What::Cad => "The model of",
        What::Uses => "What is used by",
        What::Currency => "The currency of",
        What::Export => "The exports of",
        _ => "The value of",
    };
    let side = |side: &Option<String>| side.as_deref().map(text);
    match (side(&edit.before), side(&edit.after)) {
        (Some(before), Some(after)) => format!("{of} {}: {after} now, was {before}.", edit.name),
        (None, Some(after)) => format!("{of} {}: {after} now, was not given.", edit.name),
        (Some(before), None) => format!("{of} {}: not given any more, was {before}.", edit.name),
        (None, None) => format!("{of} {} changed.", edit.name),
    }
}
