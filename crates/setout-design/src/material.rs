//! Texts read into tables: all that a design says, before any name is looked up.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use setout_quantity::Units;

use crate::document::{Common, File, Reader, Table, Value, name_fault, plain_name, read_common};
use crate::excerpt::{CommonPart, Listing};
use crate::limits::{LARGEST_DESIGN, MOST_ENTRIES, MOST_TABLES, beyond_entries};
use crate::model::{CadFile, Models, NodeOf, read_cad_files};
use crate::paths::folder_of;
use crate::waiting::{Context, Queue, Waiting, read_all};
use crate::yaml::{self, Node};
use crate::{Fault, Place, Slug, Source, SourceError};

/// What the texts of a design say.
#[derive(Clone, Debug)]
pub(crate) struct Material {
    pub(crate) files: Arc<Vec<File>>,
    /// The root-relative folder of design.yaml.
    pub(crate) folder: String,
    pub(crate) common: Common,
    pub(crate) units: Arc<Units>,
    /// Shared with a design that it was read beside, where the text is the same.
    pub(crate) tables: Vec<Arc<Table>>,
    /// The names of tables whose file could not be read, or is not named as one.
    pub(crate) lost_tables: BTreeSet<String>,
    pub(crate) cad: Arc<BTreeMap<String, Arc<CadFile>>>,
}

const COMMON_FILE: &str = "design.yaml";

/// Reads all tables of a source; models of parts are not among it yet. Whatever cannot be read is a
/// fault, and the rest is there. Tables that another design holds in the same place with the same
/// text are taken from it; that design must have been read without faults. Where there is much to
/// read `ask` is given the queue, once, so that another thread helps.
pub(crate) fn read_tables(
    source: &dyn Source,
    beside: Option<&Material>,
    ask: Option<&dyn Fn(Arc<Queue>)>,
) -> (Material, Vec<Fault>) {
    let mut faults = Vec::new();
    let listed = source.list();
    let paths = match listed {
        Ok(paths) => paths,
        Err(error) => {
            let path = match &error {
                SourceError::Unfinished { path, .. } => path.as_str(),
                _ => COMMON_FILE,
            };
            faults.push(source_fault(path, &error));
            Vec::new()
        }
    };
    let folder = paths
        .iter()
        .find(|path| path.rsplit('/').next() == Some(COMMON_FILE))
        .map_or_else(|| "".to_owned(), |path| folder_of(path).to_owned());
    let mut reading = Reading { beside, faults, ..Reading::of(source, &folder) };
    let (common, units) = reading.common(&paths);
    let units = Arc::new(units);
    let beside = beside.filter(|beside| {
        beside.folder == folder
            && beside
                .common_text()
                .is_some_and(|text| reading.files.first().is_some_and(|file| &file.text == text))
    });
    let context =
        Context { units: units.clone(), folder: folder.clone(), money_lost: common.money_lost };
    let tables = reading.tables(&paths, context, beside, ask);
    let Reading { files, lost_tables, faults, .. } = reading;
    let (files, cad) = (Arc::new(files), Arc::default());
    let material = Material { files, folder, common, units, tables, lost_tables, cad };
    (material, faults)
}

struct Reading<'a> {
    source: &'a dyn Source,
    folder: &'a str,
    /// A design whose texts may be the same.
    beside: Option<&'a Material>,
    files: Vec<File>,
    /// How many bytes have been read.
    bytes: u64,
    lost_tables: BTreeSet<String>,
    faults: Vec<Fault>,
}

/// The tree of a file, the bytes at which it cannot be read, and the faults there.
pub(crate) fn tree(file: &File) -> (Node, Vec<usize>, Vec<Fault>) {
    let (node, problems) = yaml::read(&file.text);
    let spoilt = problems.iter().map(|problem| problem.span.start).collect();
    let faults = problem_faults(&file.path, &file.text, problems);
    (node.unwrap_or(Node::Empty(0..0)), spoilt, faults)
}

fn problem_faults(path: &str, text: &str, problems: Vec<yaml::Problem>) -> Vec<Fault> {
    if problems.is_empty() {
        return Vec::new();
    }
    let lines = yaml::Lines::new(text);
    let fault = |problem: yaml::Problem| {
        let (line, column) = lines.place(problem.span.start);
        let place = Place { file: path.into(), line, column };
        let slug = Slug::of_word(problem.slug.as_str()).unwrap_or(Slug::Yaml);
        Fault { place, slug, message: problem.message, help: problem.help }
    };
    problems.into_iter().map(fault).collect()
}

impl Material {
    /// Reads the models of all parts. Those that were read of another state of the design are not
    /// looked through again. A model that cannot be read is a fault.
    pub(crate) fn read_models(&mut self, source: &dyn Source, models: &mut Models) -> Vec<Fault> {
        let mut faults = Vec::new();
        let found = read_cad_files(source, &self.common, &self.tables, models, &mut faults);
        self.cad = Arc::new(found);
        faults
    }

    /// The text of design.yaml, if it was read.
    fn common_text(&self) -> Option<&Arc<str>> {
        let file = self.files.first()?;
        (*file.path == *common_path(&self.folder)).then_some(&file.text)
    }

    /// The value of a dimension or a cell as written.
    pub(crate) fn value(&self, of: NodeOf) -> Option<&Value> {
        let in_table = |table: u32| &self.tables[table as usize];
        match of {
            NodeOf::Dimension { table, index } => {
                Some(&in_table(table).dimensions[index as usize].value)
            }
            NodeOf::Cell { table, schedule, row, column } => {
                let row = &in_table(table).schedules[schedule as usize].rows[row as usize];
                Some(&row.cells[column as usize].1)
            }
            _ => None,
        }
    }

    /// Whether the design of another material stands in the same folder and begins with the same
    /// text.
    pub(crate) fn has_same_common(&self, other: &Self) -> bool {
        let text = self.common_text();
        self.folder == other.folder && text.is_some() && text == other.common_text()
    }

    /// The file of this path. The tables stand in the order of their paths, behind design.yaml.
    fn file(&self, path: &str) -> Option<&File> {
        let (common, tables) = self.files.split_first()?;
        if &*common.path == path {
            return Some(common);
        }
        let at = tables.binary_search_by(|file| (*file.path).cmp(path)).ok()?;
        Some(&tables[at])
    }

    /// The table that is read from a file in this place, if the file is the same.
    fn table_as(&self, file: &File, index: u32) -> Option<&Arc<Table>> {
        let own = self.files.get(index as usize)?;
        if own.path != file.path || own.text != file.text {
            return None;
        }
        self.tables.iter().find(|table| table.file == index)
    }
}

fn start_of(path: &str) -> Place {
    Place { file: path.into(), line: 1, column: 1 }
}

pub(crate) fn source_fault(path: &str, error: &SourceError) -> Fault {
    let (slug, help) = match error {
        SourceError::NotFound { .. } => (
            Slug::NotFound,
            "a design is a folder with a design.yaml; `setout new` makes one".to_owned(),
        ),
        SourceError::Unsafe { .. } => {
            (Slug::UnsafePath, "put the table itself there, not a link to it".to_owned())
        }
        SourceError::TooLarge { .. } | SourceError::Beyond { .. } => {
            (Slug::TooLarge, "split the table".to_owned())
        }
        SourceError::Unfinished { help, .. } | SourceError::Repository { help, .. } => {
            (Slug::Io, help.clone())
        }
        SourceError::Io { .. } => (Slug::Io, "see that the file can be read".to_owned()),
    };
    Fault { place: start_of(path), slug, message: error.to_string(), help }
}

/// What mends a design that is too large.
const SPLIT: &str = "split it into designs";

/// The name of the table that a file may hold.
fn plain_stem(path: &str) -> Option<String> {
    path.rsplit('/').next().and_then(|file| file.strip_suffix(".yaml")).map(plain_name)
}

impl<'a> Reading<'a> {
    /// Nothing is read yet.
    fn of(source: &'a dyn Source, folder: &'a str) -> Self {
        Self {
            source,
            folder,
            beside: None,
            files: Vec::new(),
            bytes: 0,
            lost_tables: BTreeSet::new(),
            faults: Vec::new(),
        }
    }

    fn fault(&mut self, path: &str, slug: Slug, message: String, help: &str) {
        self.faults.push(Fault { place: start_of(path), slug, message, help: help.to_owned() });
    }

    /// The text of a file.
    fn text(&mut self, path: &str) -> Option<File> {
        let known = self.beside.and_then(|beside| beside.file(path));
        if let Some(file) = known.filter(|file| self.source.holds(path, file.text.as_bytes())) {
            return self.fits(path, file.text.len()).then(|| file.clone());
        }
        let bytes = match self.source.read(path) {
            Ok(bytes) => bytes,
            Err(error) => {
                self.faults.push(source_fault(path, &error));
                return None;
            }
        };
        if !self.fits(path, bytes.len()) {
            return None;
        }
        match yaml::utf8(&bytes) {
            Ok(text) => Some(File::new(path, text)),
            Err(problem) => {
                let text = String::from_utf8_lossy(&bytes);
                self.faults.extend(problem_faults(path, &text, vec![problem]));
                None
            }
        }
    }

    /// Whether the design may have so many bytes more.
    fn fits(&mut self, path: &str, bytes: usize) -> bool {
        self.bytes += bytes as u64;
        if self.bytes > LARGEST_DESIGN {
            let message = format!("with this file the design has more than {LARGEST_DESIGN} bytes");
            self.fault(path, Slug::TooLarge, message, SPLIT);
        }
        self.bytes <= LARGEST_DESIGN
    }

    fn common(&mut self, paths: &[String]) -> (Common, Units) {
        let wanted = match self.folder {
            "" => COMMON_FILE.to_owned(),
            folder => format!("{folder}/{COMMON_FILE}"),
        };
        let standard = Units::standard();
        if !paths.contains(&wanted) {
            return (Common::default(), standard);
        }
        let lost = || Common { money_lost: true, processes_lost: true, ..Common::default() };
        let Some(file) = self.text(&wanted) else { return (lost(), standard) };
        let (node, spoilt, faults) = tree(&file);
        self.faults.extend(faults);
        let mut reader = Reader::new(&file, 0, &standard);
        reader.spoilt = spoilt;
        let common = match &node {
            Node::Map(map) => read_common(&mut reader, map, self.folder),
            node => {
                let message = "design.yaml says nothing that can be read";
                reader.fault(
                    Slug::BadValue,
                    node.span().start,
                    message,
                    "begin it with `setout: 1`",
                );
                lost()
            }
        };
        let faults = reader.faults;
        self.faults.extend(faults);
        self.files.push(file);
        let units = crate::document::units_of(&common);
        (common, units)
    }

    fn tables(
        &mut self,
        paths: &[String],
        context: Context,
        beside: Option<&Material>,
        ask: Option<&dyn Fn(Arc<Queue>)>,
    ) -> Vec<Arc<Table>> {
        let mut waiting = Vec::new();
        for (at, path) in paths.iter().enumerate() {
            let Some(name) = self.table_name(path) else { continue };
            if waiting.len() == MOST_TABLES {
                let message = format!("a design has at most {MOST_TABLES} tables");
                self.fault(
                    path,
                    Slug::TooLarge,
                    message,
                    "put several subassemblies into one table",
                );
                self.lost_tables.extend(paths[at..].iter().filter_map(|path| plain_stem(path)));
                break;
            }
            let Some(file) = self.text(path) else {
                self.lost_tables.insert(name);
                if self.bytes > LARGEST_DESIGN {
                    self.lost_tables.extend(paths[at..].iter().filter_map(|path| plain_stem(path)));
                    break;
                }
                continue;
            };
            let index = (self.files.len() + waiting.len()) as u32;
            let known = beside.and_then(|beside| beside.table_as(&file, index)).cloned();
            waiting.push(Waiting { file, index, name, known });
        }
        self.check_entries(&mut waiting);
        let mut tables = Vec::with_capacity(waiting.len());
        for (file, table, faults) in read_all(waiting, context, ask) {
            self.files.push(file);
            tables.push(table);
            self.faults.extend(faults);
        }
        tables
    }

    /// Takes out the tables with which there are too many entries.
    fn check_entries(&mut self, waiting: &mut Vec<Waiting>) {
        let texts = waiting.iter().map(|waiting| &*waiting.file.text);
        let tree = |index: usize| yaml::read(&waiting[index].file.text).0;
        let Some(first) = beyond_entries(texts, MOST_ENTRIES, tree) else { return };
        let message = format!("with this table the design has more than {MOST_ENTRIES} entries");
        self.fault(&waiting[first].file.path.clone(), Slug::TooLarge, message, SPLIT);
        self.lost_tables.extend(waiting.drain(first..).map(|waiting| waiting.name));
    }

    /// Names of this table are no faults of their own, as it is written or as it should be.
    fn lose_table(&mut self, stem: &str) {
        self.lost_tables.extend([stem.to_owned(), plain_name(stem)]);
    }

    /// The name of the table that a file holds; none if it is no table, with a fault if it was
    /// probably meant as one.
    fn table_name(&mut self, path: &str) -> Option<String> {
        let file = path.rsplit('/').next().unwrap_or(path);
        if file == COMMON_FILE || file.starts_with('.') {
            return None;
        }
        let (stem, ending) = file.rsplit_once('.')?;
        let lower = ending.to_ascii_lowercase();
        if lower == "yml" || (lower == "yaml" && ending != "yaml") {
            let message = format!("`{}` is not read as a table", file.escape_debug());
            let help = format!("rename it to `{}.yaml`", stem.to_ascii_lowercase().escape_debug());
            self.lose_table(stem);
            self.fault(path, Slug::BadName, message, &help);
            return None;
        }
        if ending != "yaml" {
            return None;
        }
        if let Some((reason, help)) = name_fault(stem) {
            let message = format!("{reason}, and a table is named after its file");
            self.lose_table(stem);
            self.fault(path, Slug::BadName, message, &help);
            return None;
        }
        if stem == "design" {
            return None;
        }
        Some(stem.to_owned())
    }
}

/// Where `design.yaml` stands in a folder.
pub(crate) fn common_path(folder: &str) -> String {
    if folder.is_empty() { COMMON_FILE.to_owned() } else { format!("{folder}/{COMMON_FILE}") }
}

/// The text that the bytes of a file are.
pub(crate) fn text_of<'b>(path: &str, bytes: &'b [u8]) -> Result<&'b str, Fault> {
    yaml::utf8(bytes).map_err(|problem| {
        let text = String::from_utf8_lossy(bytes);
        let (line, column) = yaml::Lines::new(&text).place(problem.span.start);
        let place = Place { file: path.into(), line, column };
        let slug = Slug::of_word(problem.slug.as_str()).unwrap_or(Slug::Yaml);
        Fault { place, slug, message: problem.message, help: problem.help }
    })
}

/// The tables of a design by the names of its files, none of them read.
pub(crate) fn listing(source: &dyn Source, paths: Vec<String>) -> Listing {
    let common = paths.iter().find(|path| path.rsplit('/').next() == Some(COMMON_FILE));
    let folder = common.map_or_else(String::new, |path| folder_of(path).to_owned());
    let mut reading = Reading::of(source, &folder);
    let mut tables = BTreeMap::new();
    for path in &paths {
        if let Some(name) = reading.table_name(path) {
            tables.insert(name, path.clone());
        }
    }
    if tables.len() > MOST_TABLES {
        let message = format!("a design has at most {MOST_TABLES} tables");
        let help = "put several subassemblies into one table";
        reading.fault(&common_path(&folder), Slug::TooLarge, message, help);
        reading.lost_tables.extend(std::mem::take(&mut tables).into_keys());
    }
    let Reading { lost_tables: lost, faults, .. } = reading;
    Listing { paths, folder, tables, lost, faults }
}

/// What `design.yaml` says, with the faults that may bear on values: not those of its sections
/// that no value reads.
pub(crate) fn common_part(source: &dyn Source, listing: &Listing) -> CommonPart {
    let mut reading = Reading::of(source, &listing.folder);
    let (common, units) = reading.common(&listing.paths);
    let Reading { mut files, mut faults, .. } = reading;
    let file = files.pop();
    if let Some(file) = &file {
        let (node, problems) = yaml::read(&file.text);
        if let (Some(Node::Map(map)), []) = (node, &problems[..]) {
            let aside = ["name", "about", "processes", "exports"];
            for entry in map.entries.iter().filter(|e| aside.contains(&e.key.value.as_str())) {
                let key = entry.key.span.clone();
                let [from, to] = [key.start, entry.value.span().end.max(key.end)];
                let (from, to) = (file.place(from), file.place(to));
                faults.retain(|fault| fault.place < from || to < fault.place);
            }
        }
    }
    CommonPart { common, units: Arc::new(units), file, faults }
}
