//! `--independent`: what came of evaluating every formula a second time, drawn for people.

use setout::independent::{Difference, NotRepeated, Repeat};
use setout::{Amount, shortest};

use crate::draw::{Ink, Line, Page, verbed};

/// What to do about a difference.
const ADVICE: &str = "This is a defect of Setout, not of the design. Do not rely on either value; \
report it with the formula.";

/// How many differences, and how much of what was left out, are written out as text.
const MOST_SHOWN: usize = 20;

pub(super) fn draw(repeat: &Repeat, page: &mut Page) {
    page.say(0, &sentence(repeat));
    if repeat.by_last_digits > 0 {
        let these = match repeat.by_last_digits {
            1 => "1 of them is a small difference".to_owned(),
            several => format!("{several} of them are small differences"),
        };
        let how = "compared by the digits of those, and to 1e-9 of the unit";
        page.say(0, &format!("{these} of large numbers, {how}."));
    }
    for difference in repeat.differences.iter().take(MOST_SHOWN) {
        page.gap();
        differs(difference, page);
    }
    more(repeat.differences.len(), page);
    if !repeat.agrees() {
        page.gap();
        page.say(0, ADVICE);
    }
    not_repeated(&repeat.not_repeated, page);
}

fn sentence(repeat: &Repeat) -> String {
    let agree = verbed(repeat.compared, "value", "agrees", "agree");
    let start = "Every formula and tolerance evaluated a second time by another engine:";
    if repeat.agrees() {
        let all = if repeat.not_repeated.is_empty() { ", and none is left out" } else { "" };
        return format!("{start} {agree} to 1e-12{all}.");
    }
    let differ = verbed(repeat.differences.len(), "value", "differs", "differ");
    let follow = match repeat.followed {
        0 => String::new(),
        followed => format!(", {followed} more with what they name"),
    };
    format!("{start} {differ}{follow}; {agree} to 1e-12.")
}

fn differs(difference: &Difference, page: &mut Page) {
    let what = difference.role.as_str();
    let head = Line::default()
        .put(Ink::Fails, "differs")
        .put(Ink::Plain, "  ")
        .put(Ink::Heading, &difference.name)
        .put(Ink::Plain, &format!(", {what}"));
    page.line(&head);
    page.entry(9, "formula", &difference.written);
    page.entry(9, "first", &in_full(Some(&difference.first)));
    page.entry(9, "second", &in_full(difference.second.as_ref()));
    page.entry(9, "at", &difference.place.to_string());
}

/// A value with all its digits: six of them may look the same.
fn in_full(amount: Option<&Amount>) -> String {
    match amount {
        None => "no value".to_owned(),
        Some(Amount::Number { number, unit }) if unit.symbol().is_empty() => shortest(*number),
        Some(Amount::Number { number, unit }) => format!("{} {}", shortest(*number), unit.symbol()),
        Some(other) => other.to_string(),
    }
}

fn not_repeated(left_out: &[NotRepeated], page: &mut Page) {
    if left_out.is_empty() {
        return;
    }
    page.gap();
    page.say(0, &format!("{} not evaluated a second time:", was(left_out.len())));
    for left_out in left_out.iter().take(MOST_SHOWN) {
        let (name, what) = (&left_out.name, left_out.role.as_str());
        page.say(2, &format!("{name}, {what}: {}", left_out.why));
    }
    more(left_out.len(), page);
}

fn was(number: usize) -> String {
    verbed(number, "formula", "was", "were")
}

fn more(number: usize, page: &mut Page) {
    if number > MOST_SHOWN {
        page.say(2, &format!("and {} more", number - MOST_SHOWN));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use setout::independent::repeat_formulas;
    use setout::{Design, Memory};

    /// A design of which the first engine is made to seem wrong.
    fn wrong() -> Repeat {
        let texts = Memory::new([
            ("design.yaml", "setout: 1\n"),
            ("jaw.yaml", "dimensions:\n  width: 62 mm\n  half: width / 2\n  bore: 4 mm\n"),
        ]);
        let mut formulas = Design::read(&texts).evaluate().formulas();
        formulas[1].written = "width / 2.0000001".into();
        formulas[2].written = "clearance(\"M4\")".into();
        repeat_formulas(&formulas, &[])
    }

    #[test]
    fn a_difference_as_text() {
        let mut page = Page::new(80, false);
        draw(&wrong(), &mut page);
        let text = page.finish();
        let text: Vec<&str> = text.lines().map(str::trim_end).collect();
        assert_eq!(
            text,
            [
                "Every formula and tolerance evaluated a second time by another engine: 1 value",
                "differs; 2 values agree to 1e-12.",
                "",
                "differs  jaw.half, value",
                "         formula     width / 2.0000001",
                "         first       31 mm",
                "         second      30.999998450000078 mm",
                "         at          jaw.yaml:3:9",
                "",
                "This is a defect of Setout, not of the design. Do not rely on either value;",
                "report it with the formula.",
                "",
                "1 formula was not evaluated a second time:",
                "  jaw.bore, value: the other engine has no `clearance`",
            ]
        );
    }

    #[test]
    fn a_difference_for_programs() {
        let json = serde_json::to_value(crate::draw::json::Repeated::from(&wrong())).unwrap();
        let difference = &json["differences"][0];
        assert_eq!((&difference["name"], &difference["line"]), (&"jaw.half".into(), &3.into()));
        assert_eq!((&difference["first"], &difference["unit"]), (&31.0.into(), &"mm".into()));
        assert_eq!(json["not_repeated"][0]["why"], "the other engine has no `clearance`");
    }
}
