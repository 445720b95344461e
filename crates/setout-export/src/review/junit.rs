//! JUnit XML: suites of cases, as runners of tests write it and services read it.
//!
//! There is no standard; this keeps to what the readers agree on: `testsuites`, `testsuite` with
//! its counts, `testcase` with `failure` or `error`. Every check is a case, whether it holds or
//! not, and that the design could be computed is one too, so that a report is never empty.

use std::io;

use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesText, Event};

use super::plain::{plain, two_lines};
use super::{About, Finding, Outcome, Report};

type Xml = Writer<Vec<u8>>;

pub(super) fn write(report: &Report) -> String {
    let mut xml = Writer::new_with_indent(Vec::new(), b' ', 2);
    document(report, &mut xml).expect("writing to memory does not fail");
    let mut text = String::from_utf8(xml.into_inner()).expect("only texts were written");
    text.push('\n');
    text
}

/// The suites, by what they are about.
const SUITES: [(About, &str); 5] = [
    (About::Design, "design"),
    (About::Check, "checks"),
    (About::Limit, "limits"),
    (About::Engines, "engines"),
    (About::Care, "warnings"),
];

fn document(report: &Report, xml: &mut Xml) -> io::Result<()> {
    xml.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)))?;
    let all: Vec<&Finding> = report.findings.iter().collect();
    let readable = !all.iter().any(|finding| finding.about == About::Design);
    let counts = Counts { tests: all.len() + usize::from(readable), ..Counts::of(&all) };
    let name = if report.design.is_empty() { "setout" } else { &report.design };
    let suites = counts.on(xml.create_element("testsuites"), &plain(name));
    suites.write_inner_content(|xml| {
        for (about, name) in SUITES {
            let cases: Vec<&Finding> =
                all.iter().copied().filter(|finding| finding.about == about).collect();
            if about == About::Design && readable {
                readable_design(report, xml)?;
            } else if !cases.is_empty() {
                suite(name, &cases, xml)?;
            }
        }
        Ok(())
    })?;
    Ok(())
}

struct Counts {
    tests: usize,
    failures: usize,
    errors: usize,
}

impl Counts {
    fn of(cases: &[&Finding]) -> Self {
        let number = |outcome| cases.iter().filter(|case| case.outcome == outcome).count();
        Self {
            tests: cases.len(),
            failures: number(Outcome::Fails),
            errors: number(Outcome::Unknown),
        }
    }

    fn on<'a>(
        &self,
        element: quick_xml::writer::ElementWriter<'a, Vec<u8>>,
        name: &str,
    ) -> quick_xml::writer::ElementWriter<'a, Vec<u8>> {
        element.with_attributes([
            ("name", name),
            ("tests", &*self.tests.to_string()),
            ("failures", &*self.failures.to_string()),
            ("errors", &*self.errors.to_string()),
            ("skipped", "0"),
        ])
    }
}

/// The one case of a design without faults.
fn readable_design(report: &Report, xml: &mut Xml) -> io::Result<()> {
    let counts = Counts { tests: 1, failures: 0, errors: 0 };
    counts.on(xml.create_element("testsuite"), "design").write_inner_content(|xml| {
        let case = xml.create_element("testcase");
        case.with_attributes([("classname", "design"), ("name", "can be computed")])
            .write_empty()?;
        if !report.notes.is_empty() {
            let notes: Vec<String> = report.notes.iter().map(|note| plain(note)).collect();
            let text = notes.join("\n");
            xml.create_element("system-out").write_text_content(BytesText::new(&text))?;
        }
        Ok(())
    })?;
    Ok(())
}

fn suite(name: &str, cases: &[&Finding], xml: &mut Xml) -> io::Result<()> {
    Counts::of(cases)
        .on(xml.create_element("testsuite"), name)
        .write_inner_content(|xml| cases.iter().try_for_each(|finding| case(finding, name, xml)))?;
    Ok(())
}

fn case(finding: &Finding, suite: &str, xml: &mut Xml) -> io::Result<()> {
    let name = if finding.name.is_empty() { &finding.message } else { &finding.name };
    let (class, name) =
        name.split_once('.').filter(|_| !finding.name.is_empty()).unwrap_or((suite, name));
    let mut element = xml
        .create_element("testcase")
        .with_attributes([("classname", &*plain(class)), ("name", &*plain(name))]);
    if let Some(place) = &finding.place {
        element = element
            .with_attributes([("file", &*plain(&place.file)), ("line", &*place.line.to_string())]);
    }
    let inside = match finding.outcome {
        Outcome::Holds => {
            element.write_empty()?;
            return Ok(());
        }
        Outcome::Warns => "system-out",
        Outcome::Unknown => "error",
        Outcome::Fails => "failure",
    };
    element.write_inner_content(|xml| said(finding, inside, xml))?;
    Ok(())
}

fn said(finding: &Finding, inside: &str, xml: &mut Xml) -> io::Result<()> {
    let mut element = xml.create_element(inside);
    if finding.outcome != Outcome::Warns {
        let message = plain(&finding.message);
        element = element.with_attributes([("type", finding.rule), ("message", &*message)]);
    }
    let mut text = two_lines(&finding.message, &finding.help);
    if let Some(place) = &finding.place {
        text.push_str(&format!("\nat {}:{}:{}", plain(&place.file), place.line, place.column));
    }
    element.write_text_content(BytesText::new(&text))?;
    Ok(())
}
