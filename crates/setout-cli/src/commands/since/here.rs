//! The files as they stand, for `git bisect run`.

use serde::Serialize;
use setout::{Design, Folder, Here, verdict_here};

use crate::call::{Call, Outcome, Stop};
use crate::commands::history::judged;
use crate::draw::{Answer, Page};
use crate::status::Status;
use crate::trouble::Trouble;

/// Judges a check in the files as they stand. Whatever keeps it from a verdict means that this
/// revision is to be passed over: 2 would be taken for a failing check.
pub(super) fn run(call: &mut Call<'_, '_>, name: &str) -> Outcome {
    let folder = match Folder::find(&call.here) {
        Ok(folder) => folder,
        Err(error) => return passed_over(call, error.into()),
    };
    let name = match full_name(&folder, name.trim()) {
        Ok(name) => name,
        Err(trouble) => return passed_over(call, trouble),
    };
    match verdict_here(&folder, &name) {
        Here::Judged(verdict, margin) => {
            let unit = margin.as_ref().map_or(String::new(), |margin| margin.unit().to_owned());
            let judged = Judged {
                said: format!("{name}: {}", judged(verdict, margin.as_ref())),
                name,
                verdict: verdict.as_str(),
                margin: margin.as_ref().and_then(setout::Amount::number),
                unit,
            };
            call.show(&judged, &[], Status::failing_if(!verdict.is_met()))
        }
        Here::Faulty(faults) => {
            let troubles = Trouble::of_design(&faults, &folder);
            call.refuse(&troubles).map_err(Stop::NotWritten)?;
            Ok(Status::PassedOver)
        }
        _ => {
            let message = format!("there is no check `{name}`, and no dimension with limits");
            passed_over(call, Trouble::not_found(message, "this revision is passed over"))
        }
    }
}

fn passed_over(call: &mut Call<'_, '_>, trouble: Trouble) -> Outcome {
    call.refuse(&[trouble]).map_err(Stop::NotWritten)?;
    Ok(Status::PassedOver)
}

fn full_name(folder: &Folder, name: &str) -> Result<String, Trouble> {
    if name.contains('.') {
        return Ok(name.to_owned());
    }
    crate::commands::history::full_name(&Design::read(folder), name)
}

/// A verdict on the files as they stand.
#[derive(Serialize)]
struct Judged {
    #[serde(skip)]
    said: String,
    name: String,
    verdict: &'static str,
    margin: Option<f64>,
    unit: String,
}

impl Answer for Judged {
    fn text(&self, page: &mut Page) {
        page.say(0, &self.said);
    }

    fn json(&self) -> impl Serialize {
        self
    }
}
