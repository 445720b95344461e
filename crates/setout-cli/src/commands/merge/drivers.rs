//! Git told to merge and show tables by setout, and whether it does.

use serde::Serialize;
use setout::{Folder, GitError, GitSettings, ProgramFound, Slug, Source, installed};

use super::attributes::{has_line, line, with_line};
use crate::call::{Call, Outcome, Stop};
use crate::draw::{Answer, Page};
use crate::status::Status;
use crate::trouble::Trouble;

/// What git runs to merge a table. Statuses other than those of a merge, a missing program's among
/// them, have git merge the lines: a table must never be left as if it were merged.
const MERGE: &str = "setout merge --in-place --path %P --marks %L --labels %S %X %Y -- %O %A %B; \
case $? in 0) exit 0;; 1) exit 1;; esac; \
echo 'setout did not merge' %P'; git merges its lines' >&2; \
git merge-file --diff3 --marker-size=%L -L %X -L %S -L %Y %A %O %B";

/// What git runs to show a table; its file is the first argument. What is no table is shown as it is.
const SHOW: &str = "f() { setout show --facts \"$1\" 2>/dev/null || cat \"$1\"; }; f";

const SETTINGS: [[&str; 2]; 3] = [
    ["merge.setout.name", "tables of dimensions, merged by what they say"],
    ["merge.setout.driver", MERGE],
    ["diff.setout.textconv", SHOW],
];

/// Where git learns which files these are for; part of the repository.
const ATTRIBUTES: &str = ".gitattributes";
const WANTED: [[&str; 2]; 2] = [["merge", "setout"], ["diff", "setout"]];

/// The design's folder, and git's settings for it.
fn opened(call: &Call<'_, '_>) -> Result<(Folder, GitSettings), Trouble> {
    let folder = Folder::find(&call.here)?;
    let settings = GitSettings::of(&folder).map_err(refused)?;
    Ok((folder, settings))
}

fn refused(error: GitError) -> Trouble {
    let help = match error {
        GitError::Absent => "install git, or put it on the PATH",
        GitError::TooOld { .. } => "install a newer git",
        _ => "merge drivers are for a design in a git repository with a work tree",
    };
    Trouble::of_call(Slug::Io.as_str(), error.to_string(), help)
}

pub(super) fn install(call: &mut Call<'_, '_>) -> Outcome {
    let (folder, settings) = opened(call)?;
    let mut done = Vec::new();
    for [key, value] in SETTINGS {
        if settings.get(key).map_err(refused)?.as_deref() != Some(value) {
            settings.set(key, value).map_err(refused)?;
            done.push(format!("set {key} in this clone"));
        }
    }
    if !lacking(&settings, &tables(&folder)?)?.is_empty() {
        let before = folder.read_existing(ATTRIBUTES)?;
        if let Some(after) = with_line(before.as_deref().unwrap_or_default(), folder.folder()) {
            match &before {
                Some(before) => folder.write_if_unchanged(ATTRIBUTES, before, &after)?,
                None => folder.write(ATTRIBUTES, &after)?,
            }
            done.push(format!("added a line to {ATTRIBUTES}"));
        }
    }
    let standing = Standing::of(&folder, &settings, done)?;
    let status = Status::failing_if(!standing.is_good());
    call.show(&standing, &[], status)
}

pub(super) fn verify(call: &mut Call<'_, '_>) -> Outcome {
    let (folder, settings) = opened(call)?;
    let standing = Standing::of(&folder, &settings, Vec::new())?;
    let status = Status::failing_if(!standing.is_good());
    call.show(&standing, &[], status)
}

fn tables(folder: &Folder) -> Result<Vec<String>, Trouble> {
    Ok(folder.list()?.into_iter().filter(|path| path.ends_with(".yaml")).collect())
}

/// The tables for which an attribute says something else, with what it says.
fn lacking(settings: &GitSettings, tables: &[String]) -> Result<Vec<[String; 3]>, Trouble> {
    let paths: Vec<&str> = tables.iter().map(String::as_str).collect();
    let found = settings.attributes(&WANTED.map(|[name, _]| name), &paths).map_err(refused)?;
    let is_wanted = |[_, name, value]: &[String; 3]| WANTED.contains(&[name, value]);
    Ok(found.into_iter().filter(|told| !is_wanted(told)).collect())
}

/// How it stands with a part of it.
#[derive(Serialize)]
struct Item {
    what: String,
    active: bool,
    /// What is the matter, and what would mend it.
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<String>,
}

/// Whether git merges and shows the tables by setout.
struct Standing {
    done: Vec<String>,
    items: Vec<Item>,
    to_commit: bool,
}

impl Standing {
    fn of(folder: &Folder, settings: &GitSettings, done: Vec<String>) -> Result<Self, Stop> {
        let mut items = Vec::new();
        for [key, value] in SETTINGS.into_iter().skip(1) {
            let found = settings.get(key).map_err(refused)?;
            let why = match found.as_deref() {
                Some(found) if found == value => None,
                Some(_) => Some("it says something else; setout merge --install sets it".into()),
                None => Some("it is not set; setout merge --install sets it".into()),
            };
            items.push(Item { what: key.to_owned(), active: why.is_none(), why });
        }
        items.push(program());
        let lacking = lacking(settings, &tables(folder)?)?;
        let line = line(folder.folder());
        let here = folder.read_existing(ATTRIBUTES)?.unwrap_or_default();
        let why = lacking.first().map(|[path, name, value]| {
            let mend = match has_line(&here, &line) {
                true => {
                    "another line, or another file of attributes, overrules that of setout; \
                         take it away"
                }
                false => "setout merge --install adds a line",
            };
            format!("the attribute {name} of {path} is {value}; {mend}")
        });
        items.push(Item {
            what: "the attributes of the tables".into(),
            active: why.is_none(),
            why,
        });
        let last = settings.committed(ATTRIBUTES).map_err(refused)?.unwrap_or_default();
        let to_commit = has_line(&here, &line) && !has_line(&last, &line);
        Ok(Self { done, items, to_commit })
    }

    fn is_good(&self) -> bool {
        self.items.iter().all(|item| item.active)
    }
}

/// Whether a shell finds this program. Another version may not merge as this one does.
fn program() -> Item {
    let own = env!("CARGO_PKG_VERSION");
    let mend = "put this one first on the PATH";
    let why = match installed("setout") {
        ProgramFound::Says(said) if said == format!("setout {own}") => None,
        ProgramFound::Says(said) => {
            Some(format!("that on the PATH says '{said}', and this is setout {own}; {mend}"))
        }
        ProgramFound::Fails { file, reason } => {
            Some(format!("{} cannot be run: {reason}; {mend}", file.display()))
        }
        _ => Some(
            "no folder of the PATH has it, so git merges the lines; put setout on the PATH".into(),
        ),
    };
    Item { what: "the program setout".into(), active: why.is_none(), why }
}

impl Answer for Standing {
    fn text(&self, page: &mut Page) {
        for done in &self.done {
            page.say(0, &format!("setout {done}."));
        }
        if !self.done.is_empty() {
            page.gap();
        }
        for item in &self.items {
            let word = if item.active { "at work" } else { "not at work" };
            page.say(0, &format!("{}: {word}", item.what));
            if let Some(why) = &item.why {
                page.say(4, why);
            }
        }
        page.gap();
        if self.to_commit {
            page.say(0, &format!("Commit {ATTRIBUTES}, so that it is the same in every clone."));
        }
        page.say(
            0,
            "Git merges and shows the tables of this clone so. Hosting servers do not: look at \
             what they merged with setout check. It merges a file at a time; whether the design \
             holds together is for setout check as well.",
        );
    }

    fn json(&self) -> impl Serialize {
        Keys {
            done: &self.done,
            active: self.is_good(),
            items: &self.items,
            to_commit: self.to_commit.then_some(ATTRIBUTES),
        }
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    done: &'a [String],
    active: bool,
    items: &'a [Item],
    to_commit: Option<&'a str>,
}
