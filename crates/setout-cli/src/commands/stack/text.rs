//! A stack-up for people.

use setout::{
    CONFIDENCE, Contributor, Loosest, Odds, OverTravel, Setting, Stack, THREE_SIGMA, Toleranced,
    rounded,
};

use super::Stacked;
use crate::draw::{self, Answer, Cell, Columns, Ink, Page, limits, list, measure};

/// Figures are shown to so many parts of the whole spread.
const FINE: f64 = 2000.0;

impl Answer for Stacked<'_> {
    fn text(&self, page: &mut Page) {
        let stack = &self.stack;
        draw::title(self.evaluation, page);
        page.gap();
        page.heading(&stack.name);
        self.subject(page);
        page.gap();
        let shown = Shown::of(stack);
        shown.figures(page);
        page.gap();
        shown.odds(page);
        if let Some(least) = &stack.least {
            page.gap();
            page.say(
                0,
                &format!(
                    "Over the whole travel the margin is least with {}: {} at worst. `--at` shows the \
                     stack-up there.",
                    poses(&least.pose),
                    shown.with_unit(least.margin)
                ),
            );
        }
        if let Some(over) = &stack.over_travel {
            over_travel(over, page);
        }
        page.gap();
        shown.contributors(page);
        page.gap();
        shown.tolerances(page);
        for note in &stack.notes {
            page.gap();
            page.entry(0, "note", &note.to_string());
        }
        if let Some(caution) = self.caution() {
            page.gap();
            page.say(0, caution);
        }
    }

    fn json(&self) -> impl serde::Serialize {
        super::keys::Keys::of(self)
    }
}

impl Stacked<'_> {
    fn subject(&self, page: &mut Page) {
        let stack = &self.stack;
        let check = self.evaluation.checks().iter().find(|check| check.name == stack.name);
        match check {
            Some(check) => {
                page.entry(0, "margin of", &check.requirement);
                if let Some(why) = &check.why {
                    page.entry(0, "because", why);
                }
            }
            None => {
                let unit = stack.unit.symbol();
                if let Some(between) = limits(stack.wanted.low, stack.wanted.high, unit) {
                    page.entry(0, "limits", &between);
                }
            }
        }
        if !stack.pose.is_empty() {
            page.entry(0, "with", &poses(&stack.pose));
        }
    }
}

fn poses(settings: &[Setting]) -> String {
    let told = settings
        .iter()
        .map(|own| format!("{} at {}", own.name, measure(own.value, own.unit.symbol())));
    list(&told.collect::<Vec<_>>())
}

struct Shown<'a> {
    stack: &'a Stack,
    /// The spread of the results, in their unit.
    spread: f64,
}

impl<'a> Shown<'a> {
    fn of(stack: &'a Stack) -> Self {
        let worst = stack.worst.as_ref().map(|worst| worst.high - worst.low);
        let drawn = stack.simulated.as_ref().map(|drawn| drawn.high - drawn.low);
        let spread = worst.into_iter().chain(drawn).fold(0.0, f64::max);
        Self { stack, spread }
    }

    /// A figure as finely as the spread makes sense of.
    fn number(&self, value: f64) -> String {
        let step = self.spread / FINE;
        if !(step.is_finite() && step > 0.0) {
            return rounded(value);
        }
        let decimals = (-step.log10()).ceil().clamp(0.0, 12.0) as usize;
        let text = format!("{value:.decimals$}");
        let text = if text.contains('.') {
            text.trim_end_matches('0').trim_end_matches('.')
        } else {
            &text
        };
        if text == "-0" { "0".to_owned() } else { text.to_owned() }
    }

    fn with_unit(&self, value: f64) -> String {
        let unit = self.stack.unit.symbol();
        let number = self.number(value);
        if unit.is_empty() { number } else { format!("{number} {unit}") }
    }

    fn between(&self, low: f64, high: f64) -> String {
        format!("{} to {}", self.number(low), self.with_unit(high))
    }

    fn figures(&self, page: &mut Page) {
        let stack = self.stack;
        let covered = format!("{} of all", percent(stack.asked.coverage));
        let mut columns = Columns::default();
        let mut row = |label: &str, text: &str, how: &str| {
            columns.row([
                Cell::text(Ink::Faint, label),
                Cell::text(Ink::Plain, text),
                Cell::text(Ink::Faint, how),
            ]);
        };
        row("nominal", &self.with_unit(stack.nominal), "everything as wanted");
        match &stack.worst {
            Some(worst) => row("worst case", &self.between(worst.low, worst.high), "all, proved"),
            None => row("worst case", "no bound", ""),
        }
        match &stack.rss {
            Some(rss) => row(
                "root sum square",
                &self.between(rss.low, rss.high),
                &format!("{covered}, computed"),
            ),
            None => row("root sum square", "no derivative", ""),
        }
        match &stack.simulated {
            Some(drawn) => {
                row(
                    "simulated",
                    &self.between(drawn.low, drawn.high),
                    &format!("{covered}, sampled"),
                );
            }
            None => row("simulated", "no sample has a value", ""),
        }
        columns.draw(0, page);
    }

    fn odds(&self, page: &mut Page) {
        let stack = self.stack;
        let Some(drawn) = &stack.simulated else { return };
        page.say(
            0,
            &format!(
                "{} samples with seed {}: mean {}, standard deviation {}.",
                grouped(drawn.samples),
                stack.asked.seed,
                self.with_unit(drawn.mean),
                measure(drawn.deviation, stack.unit.symbol()),
            ),
        );
        if let Some(odds) = &drawn.outside {
            let verb = if stack.is_margin { "failed" } else { "lay outside of the limits" };
            page.say(0, &told(odds, verb));
        }
        if drawn.without > 0 {
            page.say(
                0,
                &format!(
                    "{} of these have no value: a linkage does not close, or a formula has none there.",
                    grouped(drawn.without)
                ),
            );
        }
        let normal = stack.rss.as_ref().and_then(|rss| rss.outside_ppm);
        if let Some(ppm) = normal {
            page.say(
                0,
                &format!("Were the result normal, it would be {} in a million.", part(ppm)),
            );
        }
        if let Some(of) = &drawn.capability {
            let cp = of.cp.map_or_else(String::new, |cp| format!("Cp {}, ", places(cp)));
            page.say(0, &format!("As a process it would have {cp}Cpk {}.", places(of.cpk)));
        }
    }

    fn contributors(&self, page: &mut Page) {
        let shared = self.stack.contributors.iter().any(|own| own.dimensions.len() > 1);
        let what = "What contributes: how far within its tolerance each moves the result, and its \
                    share in the variance and in the worst case.";
        page.say(0, what);
        let mut columns = Columns::whole();
        let head = |text| Cell::text(Ink::Faint, text);
        columns.row([
            head(""),
            head("tolerance"),
            head("spread"),
            head("moves it"),
            head("variance"),
            head("worst"),
        ]);
        for own in &self.stack.contributors {
            let first = own.dimensions.first();
            let alone = first.filter(|_| own.dimensions.len() == 1);
            let moves = own.moves.map(|moves| format!("±{}", self.with_unit(moves)));
            let share = |share: Option<f64>| share.map(share_of).unwrap_or_default();
            columns.row([
                Cell::text(Ink::Plain, &own.name),
                Cell::text(
                    Ink::Plain,
                    &alone.map(tolerance).unwrap_or_else(|| "shared by:".into()),
                ),
                Cell::text(Ink::Faint, first.map_or("", spread)),
                Cell::text(Ink::Plain, &moves.unwrap_or_default()),
                Cell::number(Ink::Plain, &share(own.share)),
                Cell::number(Ink::Faint, &share(own.worst_share)),
            ]);
            for member in own.dimensions.iter().filter(|_| alone.is_none()) {
                let sign = if member.is_opposite { "-" } else { "" };
                columns.row([
                    Cell::text(Ink::Faint, &format!("  {sign}{}", member.name)),
                    Cell::text(Ink::Faint, &tolerance(member)),
                ]);
            }
        }
        columns.draw(2, page);
        if shared {
            page.say(
                0,
                "What shares an error is off together, each by the same part of its tolerance.",
            );
        }
        self.measured(page);
    }

    /// What processes were measured to be capable of.
    fn measured(&self, page: &mut Page) {
        let all = self.stack.contributors.iter().flat_map(|own| &own.dimensions);
        for own in all {
            let (Some([mean, deviation]), Some(capable)) = (own.measured, own.capable) else {
                continue;
            };
            let unit = own.unit.symbol();
            let cp = capable.of.cp.map_or_else(String::new, |cp| format!("Cp {}, ", places(cp)));
            page.say(
                0,
                &format!(
                    "{} was measured: mean error {}, standard deviation {}; {cp}Cpk {}.",
                    own.name,
                    measure(mean, unit),
                    measure(deviation, unit),
                    places(capable.of.cpk)
                ),
            );
        }
    }

    fn tolerances(&self, page: &mut Page) {
        let stack = self.stack;
        let is_wanted = stack.wanted.low.is_some() || stack.wanted.high.is_some();
        let what = match (is_wanted, stack.is_margin) {
            (true, true) => {
                "What half of each tolerance would leave as the least margin, and the loosest that each \
                 could be with the check still holding, others as they are."
            }
            (true, false) => {
                "How far apart the ends would be with half of each tolerance, and the loosest that each \
                 could be within the limits, others as they are."
            }
            (false, _) => {
                "How far apart the ends would be with half of each tolerance, others as they are."
            }
        };
        page.say(0, what);
        let mut columns = Columns::whole();
        let head = |text| Cell::text(Ink::Faint, text);
        let if_wanted = |text| head(if is_wanted { text } else { "" });
        columns.row([head(""), head("half"), head(""), if_wanted("loosest"), head("")]);
        let [worst, squares] = ["worst", "squares"];
        columns.row([head(""), head(worst), head(squares), if_wanted(worst), if_wanted(squares)]);
        if !stack.is_margin {
            let apart = |ends: Option<[f64; 2]>| ends.map(|[low, high]| self.with_unit(high - low));
            let worst = stack.worst.as_ref().map(|worst| [worst.low, worst.high]);
            let rss = stack.rss.as_ref().map(|rss| [rss.low, rss.high]);
            columns.row([
                Cell::text(Ink::Faint, "as they are"),
                Cell::text(Ink::Faint, &apart(worst).unwrap_or_default()),
                Cell::text(Ink::Faint, &apart(rss).unwrap_or_default()),
            ]);
        }
        for own in &stack.contributors {
            let ends = |ends: Option<[f64; 2]>| match ends {
                Some([low, _]) if stack.is_margin => self.with_unit(low),
                Some([low, high]) => self.with_unit(high - low),
                None => String::new(),
            };
            let loose = |of: &Option<Loosest>| of.as_ref().map(|of| loosest_of(own, of));
            columns.row([
                Cell::text(Ink::Plain, &own.name),
                Cell::text(Ink::Plain, &ends(own.halved.worst)),
                Cell::text(Ink::Plain, &ends(own.halved.rss)),
                Cell::text(Ink::Plain, &loose(&own.loosest_at_worst).unwrap_or_default()),
                Cell::text(Ink::Plain, &loose(&own.loosest_by_rss).unwrap_or_default()),
            ]);
        }
        columns.draw(2, page);
        if stack.least.is_some() {
            page.say(0, "The loosest at worst is over the whole travel, the rest in this pose.");
        }
    }
}

/// How loose a tolerance could be.
fn loosest_of(own: &Contributor, of: &Loosest) -> String {
    match (of, &own.dimensions[..]) {
        (Loosest::Any, _) => "any".to_owned(),
        (Loosest::Never, _) => "none helps".to_owned(),
        (Loosest::Times(times), [one]) => scaled(one, *times),
        (Loosest::Times(times), _) => format!("{} times", places(*times)),
    }
}

/// A tolerance as it is.
fn tolerance(of: &Toleranced) -> String {
    zone(of.low, of.high, of.unit.symbol())
}

/// A tolerance at a multiple of itself, about its middle; rounded inwards, so that it still holds.
fn scaled(of: &Toleranced, times: f64) -> String {
    let (middle, half) = ((of.low + of.high) / 2.0, (of.high - of.low) / 2.0 * times);
    let (low, high) = (inwards(middle - half), inwards(middle + half));
    zone(low, high, of.unit.symbol())
}

/// Three digits, towards 0.
fn inwards(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return 0.0;
    }
    let step = 10.0_f64.powf(value.abs().log10().floor() - 2.0);
    // A hair off a whole number of steps is that number.
    let steps = (value.abs() / step + 1e-4).floor();
    format!("{:.2e}", (steps * step).copysign(value)).parse().unwrap_or(value)
}

fn zone(low: f64, high: f64, unit: &str) -> String {
    if (low + high).abs() <= 1e-9 * (high - low) {
        return format!("±{}", measure(high, unit));
    }
    let signed = |value: f64| {
        let number = rounded(value);
        if value >= 0.0 { format!("+{number}") } else { number }
    };
    format!("{} {} {unit}", signed(high), signed(low)).trim_end().to_owned()
}

fn spread(of: &Toleranced) -> &'static str {
    if of.measured.is_some() { "measured" } else { of.spread.name() }
}

fn over_travel(over: &OverTravel, page: &mut Page) {
    page.say(0, &format!("Over the whole travel: {}", told(&over.odds, "failed in some pose")));
    if over.undecided > 0 {
        page.say(
            0,
            &format!(
                "No proof decided {} of them; they count as failing in the upper figure.",
                grouped(over.undecided)
            ),
        );
    }
    if over.in_pose > 0 {
        page.say(0, &format!("{} failed with {}.", grouped(over.in_pose), poses(&over.pose)));
    }
}

/// Odds in a sentence.
fn told(odds: &Odds, verb: &str) -> String {
    let sure = percent(CONFIDENCE);
    let start = format!("{} of {} {verb}", grouped(odds.count), grouped(odds.of));
    if odds.count == 0 {
        return format!(
            "{start}: at most {} in a million ({sure} confidence).",
            part(odds.high_ppm)
        );
    }
    format!(
        "{start}: {} in a million, between {} and {} ({sure} confidence).",
        part(odds.ppm()),
        part(odds.low_ppm),
        part(odds.high_ppm)
    )
}

/// Parts per million, to three digits.
fn part(ppm: f64) -> String {
    match ppm {
        ppm if ppm >= 1000.0 => grouped(ppm.round() as u64),
        ppm if ppm < 1e-6 => "less than 0.000001".to_owned(),
        ppm => rounded(format!("{ppm:.2e}").parse().unwrap_or(ppm)),
    }
}

fn percent(part: f64) -> String {
    if part == THREE_SIGMA {
        return "99.73 %".to_owned();
    }
    format!("{} %", rounded((part * 100.0 * 1e9).round() / 1e9))
}

fn share_of(share: f64) -> String {
    format!("{:.1} %", share * 100.0)
}

fn places(number: f64) -> String {
    format!("{number:.2}")
}

/// A whole number with its thousands apart.
fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let first = digits.len() % 3;
    let mut text = digits[..first].to_owned();
    for start in (first..digits.len()).step_by(3) {
        if !text.is_empty() {
            text.push(',');
        }
        text.push_str(&digits[start..start + 3]);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tolerances_are_rounded_so_that_they_hold() {
        assert_eq!(inwards(0.123_99), 0.123);
        assert_eq!(inwards(-0.123_99), -0.123);
        assert_eq!(inwards(0.3), 0.3);
        assert_eq!(inwards(0.299_999_99), 0.3);
        assert_eq!(zone(-0.2, 0.2, "mm"), "±0.2 mm");
        assert_eq!(zone(-0.3, 0.1, "mm"), "+0.1 -0.3 mm");
        assert_eq!(zone(0.0, 0.1, "mm"), "+0.1 +0 mm");
    }

    #[test]
    fn numbers_for_people() {
        assert_eq!(grouped(1_000_000), "1,000,000");
        assert_eq!(grouped(999), "999");
        assert_eq!(part(3.688_87), "3.69");
        assert_eq!(part(123_456.0), "123,456");
        assert_eq!(part(0.001_973_2), "0.00197");
        assert_eq!(percent(0.95), "95 %");
    }
}
