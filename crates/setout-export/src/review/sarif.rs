//! SARIF 2.1.0 (OASIS Standard, 27 March 2020).
//!
//! Section numbers are those of the standard. Places are URIs relative to the root of the
//! repository (3.4.4), columns count Unicode code points (3.14.17), and a finding is known again
//! by its rule, file and name (3.27.17), whatever line it moves to.

use std::collections::HashMap;

use serde_json::{Value, json};
use sha2::{Digest, Sha256};

use super::plain::{count, plain, two_lines};
use super::rules::{RULES, index};
use super::{Finding, Outcome, Report, Spot};

/// So many results stand in a report; the others are counted in a notification. Services take a
/// limited number of a run, and drop a larger report whole.
pub const MOST_RESULTS: usize = 5_000;

const SCHEMA: &str = "https://json.schemastore.org/sarif-2.1.0.json";

pub(super) fn write(report: &Report) -> String {
    let ranked = report.ranked();
    let shown = &ranked[..ranked.len().min(MOST_RESULTS)];
    let mut prints = Prints::default();
    let results: Vec<Value> = shown.iter().map(|finding| result(finding, &mut prints)).collect();
    let rules = RULES.map(
        |rule| json!({ "id": rule.id, "shortDescription": { "text": message(rule.about, "") } }),
    );
    let mut driver = json!({ "name": "setout", "rules": rules });
    if !report.version.is_empty() {
        driver["semanticVersion"] = json!(report.version);
    }
    let mut run = json!({
        "tool": { "driver": driver },
        "columnKind": "unicodeCodePoints",
        "originalUriBaseIds": {
            ROOT: { "description": { "text": "The root of the repository that holds the design." } }
        },
        "invocations": [{
            "executionSuccessful": report.looked,
            "toolExecutionNotifications": notifications(report, ranked.len() - shown.len()),
        }],
        "results": results,
    });
    if !report.design.is_empty() {
        run["properties"] = json!({ "design": plain(&report.design) });
    }
    let log = json!({ "$schema": SCHEMA, "version": "2.1.0", "runs": [run] });
    format!("{log:#}\n")
}

/// The base of all places (3.14.14).
const ROOT: &str = "SRCROOT";

fn notifications(report: &Report, left_out: usize) -> Vec<Value> {
    let mut notes: Vec<(&str, String)> =
        report.notes.iter().map(|note| ("note", note.clone())).collect();
    if left_out > 0 {
        let more = count(left_out, "more finding");
        notes.push(("warning", format!("and {more}, left out because services take no more")));
    }
    let note = |(level, text): (&str, String)| json!({ "level": level, "message": { "text": message(&text, "") } });
    notes.into_iter().map(note).collect()
}

fn result(finding: &Finding, prints: &mut Prints) -> Value {
    let mut result = json!({
        "ruleId": finding.rule,
        "level": if finding.outcome.is_error() { "error" } else { "warning" },
        // What was not judged could be 'open' (3.27.9), but then its level has to be 'none', and
        // services would not show it.
        "kind": "fail",
        "message": { "text": message(&finding.message, &finding.help) },
        "partialFingerprints": { "setoutFinding/v1": prints.of(finding) },
    });
    if let Some(index) = index(finding.rule) {
        result["ruleIndex"] = json!(index);
    }
    let mut location = json!({});
    if let Some(place) = &finding.place {
        location["physicalLocation"] = physical(place);
    }
    if !finding.name.is_empty() {
        location["logicalLocations"] = json!([{ "fullyQualifiedName": plain(&finding.name) }]);
    }
    if location != json!({}) {
        result["locations"] = json!([location]);
    }
    if finding.outcome == Outcome::Unknown {
        result["properties"] = json!({ "verdict": "unknown" });
    }
    result
}

fn physical(place: &Spot) -> Value {
    json!({
        "artifactLocation": { "uri": uri(&place.file), "uriBaseId": ROOT },
        "region": { "startLine": place.line, "startColumn": place.column },
    })
}

/// A relative reference (RFC 3986): every byte outside its unreserved characters is escaped, so
/// that no file name reads as a scheme, a query or another folder.
fn uri(file: &str) -> String {
    let mut uri = String::with_capacity(file.len());
    for byte in file.bytes() {
        match byte {
            b'/' | b'-' | b'.' | b'_' | b'~' => uri.push(char::from(byte)),
            byte if byte.is_ascii_alphanumeric() => uri.push(char::from(byte)),
            byte => uri.push_str(&format!("%{byte:02X}")),
        }
    }
    uri
}

/// A plain message: braces would hold placeholders (3.11.5) and are doubled; `[text](place)` would
/// be a link (3.11.6), so a blank goes between.
fn message(first: &str, second: &str) -> String {
    let text = two_lines(first, second);
    text.replace('{', "{{").replace('}', "}}").replace("](", "] (")
}

/// The marks by which findings are known again from run to run.
#[derive(Default)]
struct Prints(HashMap<String, usize>);

impl Prints {
    /// The mark of a finding: a digest of its rule, file and name, or, where it has no name, its
    /// message, and of how many such there were before it.
    fn of(&mut self, finding: &Finding) -> String {
        let file = finding.place.as_ref().map_or("", |place| &place.file);
        let name = if finding.name.is_empty() { &finding.message } else { &finding.name };
        let same = format!("{}\0{file}\0{name}", finding.rule);
        let nth = self.0.entry(same.clone()).and_modify(|nth| *nth += 1).or_insert(0);
        let digest = Sha256::digest(format!("{same}\0{nth}"));
        digest.iter().take(16).map(|byte| format!("{byte:02x}")).collect()
    }
}
