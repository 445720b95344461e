//! What a call means: the design it is about, the form of the answer, and who gets it.

use std::fs::File;
use std::io::{self, Read};
use std::path::{Component, Path, PathBuf};

use setout::{Design, Evaluation, Fault, Folder, LARGEST_FILE, ReportForm, Slug, export_faults};

use crate::commands::Command;
use crate::draw::{self, Answer, Page};
use crate::flags::{Form, Typed, When};
use crate::io::Io;
use crate::signals::Signal;
use crate::status::Status;
use crate::trouble::Trouble;
use crate::watch::{Line, Watch};

/// A call that has been understood.
pub(crate) struct Call<'c, 'io> {
    io: &'c mut Io<'io>,
    color: When,
    /// The form of the answer.
    pub(crate) form: Form,
    /// The folder that the call is about: where it was made, or what `-C` names.
    pub(crate) here: PathBuf,
    /// The same as it was typed; empty without `-C`.
    typed: PathBuf,
    /// What ended its work early, if anything did.
    stopped: Option<Signal>,
}

/// A design on disk with its values.
pub(crate) struct Opened {
    pub(crate) folder: Folder,
    pub(crate) evaluation: Evaluation,
}

/// How a command can end: with a status, or with what kept it from any answer.
pub(crate) type Outcome = Result<Status, Stop>;

/// Why a command ended early.
pub(crate) enum Stop {
    /// There is no answer, for these reasons.
    Refused(Vec<Trouble>),
    /// The answer could not be written.
    NotWritten(io::Error),
    /// Its work was ended early, and what is known of it is no answer.
    Interrupted,
}

impl<T: Into<Trouble>> From<T> for Stop {
    fn from(trouble: T) -> Self {
        Self::Refused(vec![trouble.into()])
    }
}

impl<'c, 'io> Call<'c, 'io> {
    /// What was typed, in its surroundings.
    pub(crate) fn of(typed: &Typed, io: &'c mut Io<'io>) -> Self {
        let common = &typed.common;
        let directory = common.directory.clone().unwrap_or_default();
        let here = io.here.join(&directory);
        let (color, form) = (common.color, common.format);
        Self { color, form, here, typed: directory, stopped: None, io }
    }

    /// A call that could not be read, of which no more is known than the form of the answer.
    pub(crate) fn unread(json: bool, io: &'c mut Io<'io>) -> Self {
        let form = if json { Form::Json } else { Form::Text };
        let here = io.here.clone();
        Self { color: When::Auto, form, here, typed: PathBuf::new(), stopped: None, io }
    }

    /// Runs a command to its end.
    pub(crate) fn run(mut self, command: &Command) -> io::Result<Status> {
        let (status, left) = match command.run(&mut self) {
            Ok(status) => (status, "what was not finished is unknown, or missing"),
            Err(Stop::Refused(troubles)) => (self.refuse(&troubles)?, "there is no answer"),
            Err(Stop::Interrupted) => (self.refuse(&[])?, "nothing has been written"),
            Err(Stop::NotWritten(error)) => return Err(error),
        };
        let Some(signal) = self.stopped else { return Ok(status) };
        let mut page = Page::new(self.io.width, false);
        page.say(0, &format!("setout: {}; {left}", signal.as_str()));
        self.io.stderr.write(&page.finish())?;
        Ok(signal.status())
    }

    /// Begins work that may take long; `what` says which, as in `judging all checks`. While it is
    /// watched, a terminal is told how far it is, and the first SIGINT or SIGTERM asks it to end
    /// early. The library is given its `work()`; it has to go before anything is written.
    pub(crate) fn watch(&mut self, what: impl Into<String>) -> Watch<'_> {
        let (io, stopped) = (&mut *self.io, &mut self.stopped);
        let is_watched = io.stderr.terminal && !io.dumb;
        let line = is_watched.then(|| Line::on(io.stderr.direct(), io.width));
        Watch::new(what.into(), &io.signals, line, stopped)
    }

    /// Whether work that was watched was ended early.
    pub(crate) fn is_stopped(&self) -> bool {
        self.stopped.is_some()
    }

    /// Has done with something that only fills memory.
    pub(crate) fn leave<T>(&self, what: T) {
        if self.io.ends {
            std::mem::forget(what);
        }
    }

    /// How a path of the call is seen from where the call was made.
    pub(crate) fn as_typed(&self, path: &Path) -> PathBuf {
        let parts = self.typed.components().chain(path.components());
        parts.filter(|part| *part != Component::CurDir).collect()
    }

    /// Finds the design and evaluates it. Its own faults do not stop this.
    pub(crate) fn open(&self) -> Result<Opened, Trouble> {
        let folder = Folder::find(&self.here)?;
        let evaluation = Design::read(&folder).evaluate();
        Ok(Opened { folder, evaluation })
    }

    /// Shows an answer: text on standard output and faults on standard error, or one document
    /// with both. Gives `status`, or [`Status::Faulty`] when there are faults.
    pub(crate) fn show(
        &mut self,
        answer: &impl Answer,
        troubles: &[Trouble],
        status: Status,
    ) -> Outcome {
        let text = match self.form {
            Form::Json => draw::json_document(&answer.json(), self.is_stopped(), troubles),
            Form::Markdown => {
                let note = self.note().map(|note| format!("\n**{note}.**\n"));
                answer.markdown() + &note.unwrap_or_default()
            }
            Form::Sarif => self.reviewed(answer, troubles, ReportForm::Sarif),
            Form::Annotations => self.reviewed(answer, troubles, ReportForm::Annotations),
            Form::Junit => self.reviewed(answer, troubles, ReportForm::Junit),
            Form::Text => {
                let mut page = self.page();
                answer.text(&mut page);
                page.finish()
            }
        };
        self.write(&text)?;
        if self.form != Form::Json {
            self.complain(troubles).map_err(Stop::NotWritten)?;
        }
        Ok(status.faulty_if(!troubles.is_empty()))
    }

    /// The text of a file that the call names, or of standard input where it names `-`.
    pub(crate) fn input(&mut self, path: &Path) -> Result<String, Trouble> {
        let mut bytes = Vec::new();
        let read = match path.to_str() {
            Some("-") => self.io.stdin.by_ref().take(LARGEST_FILE + 1).read_to_end(&mut bytes),
            _ => File::open(self.here.join(path))
                .and_then(|file| file.take(LARGEST_FILE + 1).read_to_end(&mut bytes)),
        };
        let shown = path.display();
        read.map_err(|error| {
            let slug =
                if error.kind() == io::ErrorKind::NotFound { Slug::NotFound } else { Slug::Io };
            let message = format!("{shown} cannot be read: {error}");
            Trouble::of_call(slug.as_str(), message, "name a file, or - for standard input")
        })?;
        if bytes.len() as u64 > LARGEST_FILE {
            let message = format!("{shown} has more than {LARGEST_FILE} bytes");
            return Err(Trouble::of_call(Slug::TooLarge.as_str(), message, "split it"));
        }
        String::from_utf8(bytes).map_err(|_| {
            let message = format!("{shown} is not UTF-8");
            Trouble::of_call(Slug::BadValue.as_str(), message, "save it as UTF-8")
        })
    }

    /// Writes a text to standard output as it is.
    pub(crate) fn write(&mut self, text: &str) -> Result<(), Stop> {
        self.io.stdout.write(text).map_err(Stop::NotWritten)
    }

    /// Says on standard error what goes with a text on standard output.
    pub(crate) fn remark(&mut self, answer: &impl Answer) -> Result<(), Stop> {
        let mut page = Page::new(self.io.width, self.is_coloured(self.io.stderr.terminal));
        answer.text(&mut page);
        self.io.stderr.write(&page.finish()).map_err(Stop::NotWritten)
    }

    /// Says why there is no answer.
    pub(crate) fn refuse(&mut self, troubles: &[Trouble]) -> io::Result<Status> {
        let report = |form| draw::review::refused(troubles, form);
        // A step that takes the answer elsewhere is to find the reason there, not nothing.
        let answer = match self.form {
            Form::Json => draw::json_document(&draw::Nothing {}, self.is_stopped(), troubles),
            Form::Sarif => report(ReportForm::Sarif),
            Form::Annotations => report(ReportForm::Annotations),
            Form::Junit => report(ReportForm::Junit),
            Form::Text | Form::Markdown => String::new(),
        };
        self.io.stdout.write(&answer)?;
        if self.form != Form::Json {
            self.complain(troubles)?;
        }
        Ok(Status::Faulty)
    }

    /// Draws faults on standard error.
    fn complain(&mut self, troubles: &[Trouble]) -> io::Result<()> {
        if troubles.is_empty() {
            return Ok(());
        }
        let mut page = Page::new(self.io.width, self.is_coloured(self.io.stderr.terminal));
        draw::faults(troubles, &mut page);
        self.io.stderr.write(&page.finish())
    }

    /// What was judged, and what kept the rest from it.
    fn reviewed(&self, answer: &impl Answer, troubles: &[Trouble], form: ReportForm) -> String {
        let mut report = answer.report();
        report.notes.extend(self.note());
        draw::review::with(report, troubles, form)
    }

    /// What has to be known of an answer that others will read.
    fn note(&self) -> Option<String> {
        self.stopped.map(|_| "It was interrupted; what was not finished is unknown".to_owned())
    }

    fn page(&self) -> Page {
        Page::new(self.io.width, self.is_coloured(self.io.stdout.terminal))
    }

    fn is_coloured(&self, terminal: bool) -> bool {
        match self.color {
            When::Always => true,
            When::Never => false,
            When::Auto => terminal && !self.io.no_color,
        }
    }
}

impl Opened {
    /// All faults of the design, those of the exports that it lists among them, by place.
    pub(crate) fn faults(&self) -> Vec<Fault> {
        let mut faults = export_faults(&self.evaluation);
        faults.extend(self.evaluation.faults().iter().cloned());
        faults.sort();
        faults.dedup();
        faults
    }

    /// The same with the lines that they stand in, to be shown.
    pub(crate) fn troubles(&self) -> Vec<Trouble> {
        Trouble::of_design(&self.faults(), &self.folder)
    }
}
