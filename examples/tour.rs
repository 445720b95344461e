//! The main job, shown step by step on a copy of the sample design: `cargo run --release --example tour`.
//!
//! The copy and its git repository live in a temporary folder and go with it. Every command is the
//! real one, run in this process; what it prints is what you would see.

use std::cell::Cell;
use std::error::Error;
use std::fs;
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};

use git2::build::CheckoutBuilder;
use git2::{BranchType, IndexAddOption, Repository, RepositoryInitOptions, Signature};

type Done = Result<(), Box<dyn Error>>;

fn main() -> Done {
    let place = tempfile::tempdir()?;
    let tour = Tour { here: place.path().join("bracken"), cautioned: Cell::new(false) };
    let result = tour.walk();
    place.close()?;
    result
}

struct Tour {
    here: PathBuf,
    cautioned: Cell<bool>,
}

/// How the caution begins that stands under answers that need it.
const CAUTION: &str = "These numbers";

/// How many lines of a paragraph are shown.
const LONGEST: usize = 16;

impl Tour {
    fn walk(&self) -> Done {
        self.copy_sample()?;
        self.say(&[
            "Old Bracken is a talking badger's head for a museum's story corner: jaw, tongue,",
            "lips, eyes, lids and brows on one frame, with servos, a board and a skin. All his",
            "dimensions stand in fourteen tables under git. This is a copy; do what you like.",
        ])?;
        self.step("1", "Does everything fit as it stands?")?;
        self.run("check", 0)?;
        self.step("2", "Where does a number come from?")?;
        self.run("trace frame.plate_spread", 0)?;
        self.step("3", "What if his skull were 6 mm narrower? Ask first; nothing is written.\n   (Long lists are cut short in this tour.)")?;
        self.run("impact frame.skull_width=142mm", 0)?;
        self.step("4", "Two things would no longer fit. Take half a millimetre instead.")?;
        self.run("set frame.skull_width 147.5mm", 0)?;
        self.step("5", "Look at it the way a colleague would review it: what was edited by hand,\n   and what followed from it.")?;
        self.run("diff", 0)?;
        self.step("6", "Write the dimensions for CAD and for spreadsheets.")?;
        self.run("export", 0)?;
        self.excerpt("examples/badger/dimensions.scad", "frame_s", 4)?;
        self.run("export --verify", 0)?;
        self.motion()?;
        self.pull_requests()?;
        self.step(
            "17",
            "When the face is made, the revision is given its letter, and each part its own.",
        )?;
        self.run("release --preview", 0)?;
        self.step("18", "A slip of the keyboard is told where it is, why, and how to mend it.")?;
        self.run("set jaw.width 64", 2)?;
        self.say(&[
            "That is the road: ask, set, review, export. Now your own design:",
            "",
            "    cargo install --path crates/setout-cli",
            "    setout new my-creature",
            "",
            "README.md goes on from here; docs/ has the format and the formulas.",
        ])
    }

    /// Clashes that only happen when the mouth opens, or when parts come out a little off, found and
    /// mended before anything is printed.
    fn motion(&self) -> Done {
        self.step(
            "7",
            "The rim of the jaw shall hang nearly 2 mm lower. At rest nothing fails; but a jaw\n   \
             moves, and no part comes out just as it was drawn.",
        )?;
        self.answer("set jaw.rim_drop 3.99mm");
        self.run("check", 1)?;
        self.step("8", "What can mend that? Each of these by itself, just so far.")?;
        self.run("headroom --for jaw.jaw_clears_the_base", 0)?;
        self.step("9", "A mouth that opens a little less, then. How far could the rim go now?")?;
        self.answer("set jaw.opening_max 26.5deg");
        self.run("sweep jaw.jaw_clears_the_base --worst", 0)?;
        self.run("headroom jaw.rim_drop", 0)?;
        self.step(
            "10",
            "The holes under the inserts shall be half as deep. As drawn the board's screws fit;\n   \
             off by all tolerances at once they meet the floor. How often does that happen?",
        )?;
        self.answer("set fasteners.insert_runout 0.47mm");
        self.run("stack board.board_screws_reach_and_end", 0)?;
        self.step("11", "One in fifty is too many. The holes get as deep as they have to be.")?;
        self.run("headroom --for board.board_screws_reach_and_end", 0)?;
        self.answer("set fasteners.insert_runout 0.9mm");
        self.run("export", 0)
    }

    /// Changes of several people, each on a branch of its own.
    fn pull_requests(&self) -> Done {
        self.commit("A narrower skull, and a rim that hangs lower")?;
        self.step("12", "A colleague asks to have a longer chin merged. The review of it:")?;
        self.branch("longer-chin", &["set jaw.underbite 13.5mm", "export"])?;
        self.run_cut("diff main...longer-chin --strict", 0, 3)?;
        self.step("13", "Another one asks for a much narrower skull. Its checks say no.")?;
        self.branch("narrow-skull", &["set frame.skull_width 142mm"])?;
        self.run_cut("diff main...narrow-skull --strict", 1, 3)?;
        self.step("14", "Every value and every check has its history.")?;
        self.run("history frame.skull_width", 0)?;
        self.branch("wider", &["set jaw.width 62.7mm", "export"])?;
        self.branch("limit", &["set jaw.width --min 55mm"])?;
        self.branch("skull", &["set frame.skull_width 146.3mm"])?;
        self.take("wider")?;
        self.step(
            "15",
            &format!(
                "Two more edit the jaw's width: one its value, which is in main now, one the\n   \
                 limit in the next line. Merged line by line that is {}.",
                self.lines_merge("limit")?
            ),
        )?;
        self.run("merge --preview limit", 0)?;
        self.step(
            "16",
            &format!(
                "A last one takes 1.2 mm off the skull. Everything holds there, and everything\n   \
                 holds in main; merged line by line it is {}. And yet:",
                self.lines_merge("skull")?
            ),
        )?;
        self.run("merge --preview skull", 1)
    }

    /// All files as they stand, as a commit on the branch that is checked out.
    fn commit(&self, message: &str) -> Done {
        let repository = Repository::open(&self.here)?;
        let mut index = repository.index()?;
        index.add_all(["*"], IndexAddOption::DEFAULT, None)?;
        index.write()?;
        let tree = repository.find_tree(index.write_tree()?)?;
        let author = Signature::now("A maker", "maker@localhost")?;
        let parent = repository.head()?.peel_to_commit()?;
        repository.commit(Some("HEAD"), &author, &author, message, &tree, &[&parent])?;
        Ok(())
    }

    /// A branch from main with what some commands do there. Main is checked out again.
    fn branch(&self, name: &str, commands: &[&str]) -> Done {
        let repository = Repository::open(&self.here)?;
        let main = repository.find_branch("main", BranchType::Local)?.get().peel_to_commit()?;
        repository.branch(name, &main, false)?;
        self.switch(name)?;
        for words in commands {
            let (status, text) = self.answer(words);
            if status != 0 {
                return Err(format!("setout {words}: {text}").into());
            }
        }
        self.commit(&format!("setout {}", commands[0]))?;
        self.switch("main")
    }

    fn switch(&self, name: &str) -> Done {
        let repository = Repository::open(&self.here)?;
        repository.set_head(&format!("refs/heads/{name}"))?;
        repository.checkout_head(Some(CheckoutBuilder::new().force()))?;
        Ok(())
    }

    /// Main goes on to a branch that began at it.
    fn take(&self, name: &str) -> Done {
        let repository = Repository::open(&self.here)?;
        let tip = repository.find_branch(name, BranchType::Local)?.get().peel_to_commit()?.id();
        repository.find_reference("refs/heads/main")?.set_target(tip, "taken")?;
        self.switch("main")
    }

    /// Whether main and a branch merge line by line.
    fn lines_merge(&self, name: &str) -> Result<&'static str, Box<dyn Error>> {
        let repository = Repository::open(&self.here)?;
        let tip = |name| repository.find_branch(name, BranchType::Local)?.get().peel_to_commit();
        let merged = repository.merge_commits(&tip("main")?, &tip(name)?, None)?;
        Ok(if merged.has_conflicts() { "in conflict" } else { "clean" })
    }

    fn copy_sample(&self) -> Done {
        let project = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
        for folder in ["params", "examples/badger"] {
            copy_folder(&project.join(folder), &self.here.join(folder))?;
        }
        let repository =
            Repository::init_opts(&self.here, RepositoryInitOptions::new().initial_head("main"))?;
        // The tour runs the same whatever the user's own configuration says.
        repository.config()?.set_str("core.autocrlf", "false")?;
        let mut index = repository.index()?;
        index.add_all(["*"], IndexAddOption::DEFAULT, None)?;
        index.write()?;
        let tree = repository.find_tree(index.write_tree()?)?;
        let author = Signature::now("A maker", "maker@localhost")?;
        repository.commit(
            Some("HEAD"),
            &author,
            &author,
            "Old Bracken, first revision",
            &tree,
            &[],
        )?;
        Ok(())
    }

    fn say(&self, lines: &[&str]) -> Done {
        let mut out = std::io::stdout().lock();
        writeln!(out)?;
        for line in lines {
            writeln!(out, "{line}")?;
        }
        Ok(())
    }

    fn step(&self, number: &str, text: &str) -> Done {
        self.say(&[&format!("{number}. {text}")])
    }

    /// Runs a command in the copy, shows what it prints, and holds it to the status that the tour
    /// was written for.
    fn run(&self, words: &str, expected: u8) -> Done {
        self.run_cut(words, expected, usize::MAX)
    }

    /// The same, of which only the first paragraphs and the last one are shown.
    fn run_cut(&self, words: &str, expected: u8, most: usize) -> Done {
        let (status, text) = self.answer(words);
        let paragraphs = text.trim_matches('\n').split("\n\n");
        let paragraphs: Vec<&str> = paragraphs.filter(|of| !of.starts_with(CAUTION)).collect();
        let shown = match paragraphs.split_last() {
            Some((last, first)) if first.len() > most => {
                let left = format!("… and {} paragraphs more", first.len() - most);
                [&first[..most], &[&left, last]].concat().join("\n\n")
            }
            _ => text.clone(),
        };
        self.show(words, &shown)?;
        if status == expected {
            return Ok(());
        }
        Err(format!("setout {words} ended with {status}, not {expected}").into())
    }

    /// A command's status, and what it prints.
    fn answer(&self, words: &str) -> (u8, String) {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let mut io = setout_cli::Io::new(&mut out, &mut err, self.here.clone());
        io.stdout.terminal = std::io::stdout().is_terminal();
        let args = ["setout"].into_iter().chain(words.split(' ')).map(Into::into);
        let status = setout_cli::run(args, &mut io);
        drop(io);
        (status, String::from_utf8_lossy(&[out, err].concat()).into_owned())
    }

    /// Shows an answer. Of long paragraphs only the beginning is shown, and the caution, which
    /// stands under every answer that needs it, only once.
    fn show(&self, words: &str, text: &str) -> Done {
        let mut out = std::io::stdout().lock();
        writeln!(out, "\n   $ setout {words}")?;
        for paragraph in text.trim_matches('\n').split("\n\n") {
            if paragraph.starts_with(CAUTION) && self.cautioned.replace(true) {
                continue;
            }
            let lines: Vec<&str> = paragraph.trim_matches('\n').lines().collect();
            let shown = if lines.len() > LONGEST + 2 { LONGEST } else { lines.len() };
            writeln!(out)?;
            for line in &lines[..shown] {
                writeln!(out, "{}", format!("   {line}").trim_end())?;
            }
            if shown < lines.len() {
                writeln!(out, "   … and {} lines more", lines.len() - shown)?;
            }
        }
        Ok(())
    }

    /// A few lines of a file that begin with some letters.
    fn excerpt(&self, file: &str, start: &str, most: usize) -> Done {
        let text = fs::read_to_string(self.here.join(file))?;
        let mut out = std::io::stdout().lock();
        writeln!(out, "\n   in {file}:\n")?;
        for line in text.lines().filter(|line| line.starts_with(start)).take(most) {
            writeln!(out, "   {line}")?;
        }
        Ok(())
    }
}

fn copy_folder(from: &Path, to: &Path) -> Done {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        if entry.file_type()?.is_file() {
            fs::copy(entry.path(), to.join(entry.file_name()))?;
        }
    }
    Ok(())
}
