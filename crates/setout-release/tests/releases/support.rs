//! A design that is edited and released, again and again.

use setout_assess::Work;
use setout_design::{Design, Evaluation, Memory, Source};
use setout_release::{Commit, Moment, Past, Record, Release, ReleaseFault, Wishes, draw_up};

pub(crate) const DESIGN: &str = "\
setout: 1
name: A fox
currency: GBP
processes: { printed: { tolerance: ±0.2 mm } }
exports:
  - { format: openscad, file: ../cad/dimensions.scad }
  - { format: csv, file: ../cad/dimensions.csv }
";

pub(crate) const JAW: &str = "\
dimensions:
  width: { value: 62 mm, min: 55 mm, max: 70 mm, tolerance: printed }
  wall: 2 mm
  inner: width - 2 * wall
  stall: 2.5 A
checks:
  room: { require: inner >= 56 mm, tight: 0.5 mm, why: the tongue has to go in }
parts:
  shell: { made: printed, material: PETG, cost: 1.20 GBP, mass: 38 g, cad: ../cad/shell.scad }
  pin: { made: bought, quantity: 2, cost: 0.10 GBP, mass: 1 g, uses: [wall] }
";

pub(crate) const SHELL: &str = "\
include <dimensions.scad>
use <lib/round.scad>
use <SOMEWHERE/else.scad>
difference() { cube([jaw_width, 10, 10]); cube([jaw_inner, 8, 8]); }
";

/// A design with its releases so far.
pub(crate) struct Fox {
    pub(crate) files: Memory,
    pub(crate) records: Vec<Record>,
    last: Option<Evaluation>,
    commits: i64,
}

impl Fox {
    pub(crate) fn new() -> Self {
        let files = Memory::new([
            ("params/design.yaml", DESIGN),
            ("params/jaw.yaml", JAW),
            ("cad/shell.scad", SHELL),
            ("cad/lib/round.scad", "module round() {}\n"),
            ("notes.txt", "no part of it"),
        ]);
        Self { files, records: Vec::new(), last: None, commits: 0 }
    }

    /// Replaces a part of a file that stands in it once.
    #[track_caller]
    pub(crate) fn edit(&mut self, path: &str, from: &str, to: &str) {
        let text = String::from_utf8(self.files.read(path).expect("there")).expect("UTF-8");
        assert_eq!(text.matches(from).count(), 1, "{from} in {text}");
        self.files.insert(path, text.replace(from, to));
    }

    pub(crate) fn evaluation(&self) -> Evaluation {
        let evaluation = Design::read(&self.files).evaluate();
        assert_eq!(evaluation.faults(), []);
        evaluation
    }

    /// What a release would be.
    pub(crate) fn draw_up(&self, wishes: &Wishes) -> Result<Release, ReleaseFault> {
        self.draw_up_with(wishes, &Work::default())
    }

    /// The same with so much work.
    pub(crate) fn draw_up_with(
        &self,
        wishes: &Wishes,
        work: &Work<'_>,
    ) -> Result<Release, ReleaseFault> {
        let id = format!("{:040x}", self.commits + 1);
        let date = Moment::new(1_700_000_000 + 1_000 * self.commits, 60);
        let past = Past { records: &self.records, last: self.last.as_ref() };
        draw_up(&self.files, &self.evaluation(), &past, &Commit { id: &id, date }, wishes, work)
    }

    /// Releases it, and keeps its record as it is read back.
    #[track_caller]
    pub(crate) fn release(&mut self) -> Release {
        let release = self.draw_up(&Wishes::default()).expect("a release");
        self.records.push(Record::read(release.record_text()).expect("a record"));
        assert_eq!(self.records.last(), Some(&release.record));
        self.last = Some(self.evaluation());
        self.commits += 1;
        release
    }
}

/// The letters of all parts, as in `jaw.shell B, jaw.pin A`.
pub(crate) fn letters(release: &Release) -> String {
    let letter = |part: &setout_release::ReleasedPart| format!("{} {}", part.name, part.letter);
    release.parts.iter().map(letter).collect::<Vec<_>>().join(", ")
}
