//! Git told to merge and show tables by setout, and whether it does.

use serde::Serialize;
use setout::{Folder, GitError, GitSettings, Slug, Source};

use crate::call::{Call, Outcome, Stop};
use crate::draw::{Answer, Page};
use crate::status::Status;
use crate::trouble::Trouble;

/// What git runs to merge a table. Statuses other than those of a merge, a missing program's among
/// them, have git merge the lines: a table must never be left as if it were merged.
const MERGE: &str = "setout merge --in-place --path %P --labels %S %X %Y -- %O %A %B; \
case $? in 0) exit 0;; 1) exit 1;; esac; \
echo 'setout did not merge' %P'; git merges its lines' >&2; \
git merge-file --diff3 -L %X -L %S -L %Y %A %O %B";

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
    let tables = tables(&folder)?;
    if !lacking(&settings, &tables)?.is_empty() {
        let before = folder.read_existing(ATTRIBUTES)?;
        let after = with_line(before.as_deref().unwrap_or_default(), &line(folder.folder()));
        match &before {
            Some(before) => folder.write_if_unchanged(ATTRIBUTES, before, &after)?,
            None => folder.write(ATTRIBUTES, &after)?,
        }
        done.push(format!("added a line to {ATTRIBUTES}"));
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

/// The line that names the tables of a folder.
fn line(folder: &str) -> String {
    let pattern =
        if folder.is_empty() { "/*.yaml".to_owned() } else { format!("/{folder}/*.yaml") };
    let plain = pattern.bytes().all(|b| b.is_ascii_graphic() && !b"\"\\".contains(&b));
    let pattern = match plain {
        true => pattern,
        false => format!("\"{}\"", pattern.replace('\\', "\\\\").replace('"', "\\\"")),
    };
    format!("{pattern} merge=setout diff=setout")
}

/// A text with a line behind the others, which stay as they are.
fn with_line(before: &[u8], line: &str) -> Vec<u8> {
    let crlf = before.windows(2).any(|two| two == b"\r\n");
    let end: &[u8] = if crlf { b"\r\n" } else { b"\n" };
    let mut after = before.to_vec();
    if !after.is_empty() && !after.ends_with(b"\n") {
        after.extend_from_slice(end);
    }
    after.extend_from_slice(line.as_bytes());
    after.extend_from_slice(end);
    after
}

/// The tables for which an attribute says something else.
fn lacking(settings: &GitSettings, tables: &[String]) -> Result<Vec<String>, Trouble> {
    let paths: Vec<&str> = tables.iter().map(String::as_str).collect();
    let names = WANTED.map(|[name, _]| name);
    let found = settings.attributes(&names, &paths).map_err(refused)?;
    let is_wanted = |path: &str| {
        WANTED.iter().all(|[name, value]| {
            found.iter().any(|[of, attribute, is]| of == path && attribute == name && is == value)
        })
    };
    Ok(tables.iter().filter(|path| !is_wanted(path)).cloned().collect())
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
    tracked: bool,
}

impl Standing {
    fn of(folder: &Folder, settings: &GitSettings, done: Vec<String>) -> Result<Self, Stop> {
        let mut items = Vec::new();
        for [key, value] in SETTINGS.into_iter().skip(1) {
            let found = settings.get(key).map_err(refused)?;
            let why = match found.as_deref() {
                Some(found) if found == value => None,
                Some(_) => {
                    Some("it is set to something else; setout merge --install sets it".into())
                }
                None => Some("it is not set in this clone; setout merge --install sets it".into()),
            };
            items.push(Item { what: key.to_owned(), active: why.is_none(), why });
        }
        items.push(program());
        let tables = tables(folder)?;
        let lacking = lacking(settings, &tables)?;
        let why = lacking.first().map(|path| {
            format!("{path} has other attributes, or none; setout merge --install adds a line")
        });
        let what = format!("{ATTRIBUTES} names all tables");
        items.push(Item { what, active: lacking.is_empty(), why });
        let tracked = settings.is_tracked(ATTRIBUTES).map_err(refused)?;
        Ok(Self { done, items, tracked })
    }

    fn is_good(&self) -> bool {
        self.items.iter().all(|item| item.active)
    }
}

/// Whether a shell would find this program.
fn program() -> Item {
    let name = if cfg!(windows) { "setout.exe" } else { "setout" };
    let path = std::env::var_os("PATH").unwrap_or_default();
    let found =
        std::env::split_paths(&path).map(|folder| folder.join(name)).find(|file| file.is_file());
    let why = found.is_none().then(|| {
        "no folder of the PATH has it, so git merges the lines; put setout on the PATH".to_owned()
    });
    Item { what: "the program setout".into(), active: found.is_some(), why }
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
        if !self.tracked {
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
        Keys { done: &self.done, active: self.is_good(), items: &self.items, tracked: self.tracked }
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    done: &'a [String],
    active: bool,
    items: &'a [Item],
    tracked: bool,
}
