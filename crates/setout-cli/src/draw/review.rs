//! What was judged, as plain findings for services that show them to reviewers.

use setout::independent::Difference;
use setout::{
    About, Amount, CheckResult, Finding, LimitResult, Outcome, Place, Report, ReportForm, Spot,
    Verdict, Warning, write_report,
};

use super::amounts::{amount, limits, measure};
use super::verdicts;
use crate::trouble::Trouble;

/// A report on a design, with nothing in it yet.
pub(crate) fn report(design: &str, notes: Vec<String>) -> Report {
    Report {
        design: design.to_owned(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        notes,
        looked: true,
        ..Report::default()
    }
}

/// Draws a report, with what kept it from being whole.
pub(crate) fn with(mut report: Report, troubles: &[Trouble], form: ReportForm) -> String {
    report.findings.extend(troubles.iter().map(trouble));
    write_report(&report, form)
}

/// Draws why there is no report.
pub(crate) fn refused(troubles: &[Trouble], form: ReportForm) -> String {
    with(Report { looked: false, ..report("", Vec::new()) }, troubles, form)
}

fn trouble(trouble: &Trouble) -> Finding {
    let help =
        if trouble.help.is_empty() { String::new() } else { format!("help: {}", trouble.help) };
    Finding {
        outcome: Outcome::Unknown,
        about: About::Design,
        rule: trouble.slug,
        name: String::new(),
        place: trouble.place.as_ref().map(spot),
        message: trouble.message.clone(),
        help,
    }
}

/// What came of a check.
pub(crate) fn check(check: &CheckResult) -> Finding {
    let margin = verdicts::margin_of(check);
    let mut behind = vec![format!("requires {}", check.requirement)];
    behind.extend(verdicts::numbers(check).map(|numbers| format!("that is {numbers}")));
    behind.extend(check.why.as_ref().map(|why| format!("because {why}")));
    Finding {
        outcome: outcome(check.verdict),
        about: About::Check,
        rule: match check.verdict {
            Verdict::Fails => "check-fails",
            Verdict::Unknown => "check-unknown",
            Verdict::Holds | Verdict::Tight => "tight",
        },
        name: check.name.clone(),
        place: Some(spot(&check.place)),
        message: said(&check.name, check.verdict, &margin),
        help: behind.join("; "),
    }
}

/// What came of the limits of a dimension.
pub(crate) fn limit(limit: &LimitResult) -> Finding {
    let unit = limit.unit.symbol();
    let what = if limit.of_travel { "permitted travel" } else { "limits" };
    let message = match (limit.verdict, limit.margin) {
        (Verdict::Fails, Some(margin)) => {
            format!("{} is outside its {what} by {}", limit.name, measure(-margin, unit))
        }
        (Verdict::Fails, None) => format!("{} is outside its {what}", limit.name),
        (Verdict::Unknown, _) => format!("the {what} of {} could not be judged", limit.name),
        (Verdict::Holds | Verdict::Tight, _) => format!("{} is within its {what}", limit.name),
    };
    let between = limits(limit.min, limit.max, unit);
    let between = between.unwrap_or_else(|| "not computed".to_owned());
    Finding {
        outcome: outcome(limit.verdict),
        about: About::Limit,
        rule: if limit.verdict == Verdict::Fails { "limit-fails" } else { "limit-unknown" },
        name: limit.name.clone(),
        place: Some(spot(&limit.place)),
        message,
        help: format!("value {}; {what} {between}", amount(limit.value.as_ref())),
    }
}

/// Something that deserves a look.
pub(crate) fn warning(warning: &Warning) -> Finding {
    Finding {
        outcome: Outcome::Warns,
        about: About::Care,
        rule: warning.slug,
        name: warning.name.clone(),
        place: Some(spot(&warning.place)),
        message: warning.message.clone(),
        help: format!("help: {}", warning.help),
    }
}

/// A value that two engines do not agree on.
pub(crate) fn difference(difference: &Difference) -> Finding {
    let value = |amount: Option<&Amount>| match amount {
        None => "no value".to_owned(),
        Some(Amount::Number { number, unit }) => {
            format!("{} {}", setout::shortest(*number), unit.symbol()).trim_end().to_owned()
        }
        Some(other) => other.to_string(),
    };
    Finding {
        outcome: Outcome::Fails,
        about: About::Engines,
        rule: "engines-differ",
        name: difference.name.to_string(),
        place: Some(spot(&difference.place)),
        message: format!("two engines compute the {} differently", difference.role.as_str()),
        help: format!(
            "{} gives {} and {}; this is a defect of Setout, so rely on neither",
            difference.written,
            value(Some(&difference.first)),
            value(difference.second.as_ref())
        ),
    }
}

/// A finding where warnings stop as errors do.
pub(crate) fn strict(finding: Finding) -> Finding {
    match finding.outcome {
        Outcome::Warns => Finding { outcome: Outcome::Fails, ..finding },
        _ => finding,
    }
}

fn said(name: &str, verdict: Verdict, margin: &str) -> String {
    match verdict {
        Verdict::Unknown => format!("{name} {margin}"),
        Verdict::Tight => format!("{name} is tight, {margin}"),
        Verdict::Holds | Verdict::Fails => format!("{name} {verdict}, {margin}"),
    }
}

fn outcome(verdict: Verdict) -> Outcome {
    match verdict {
        Verdict::Holds => Outcome::Holds,
        Verdict::Tight => Outcome::Warns,
        Verdict::Unknown => Outcome::Unknown,
        Verdict::Fails => Outcome::Fails,
    }
}

fn spot(place: &Place) -> Spot {
    Spot { file: place.file.to_string(), line: place.line, column: place.column }
}

#[cfg(test)]
mod tests {
    use setout::{RULES, Slug};

    #[test]
    fn every_fault_has_its_rule() {
        for slug in Slug::ALL {
            assert!(RULES.iter().any(|rule| rule.id == slug.as_str()), "{slug}");
        }
        assert!(RULES.iter().any(|rule| rule.id == crate::trouble::BAD_CALL));
    }
}
