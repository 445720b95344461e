//! Screws, inserts, washers and fits, from the second reading of the data files.

use crate::engine::Worth;
use crate::fits;
use crate::tables::sheet;

/// What is found by the name of a size alone: the function, its data file, and the head of the
/// column.
const BY_SIZE: [(&str, &str, &str); 12] = [
    ("tap_drill", "tap_drills", "drill"),
    ("thread_pitch", "threads", "pitch"),
    ("washer_inner", "washers", "inner"),
    ("washer_outer", "washers", "outer"),
    ("washer_thickness", "washers", "thickness"),
    // A shoulder has to enter its bore at its largest.
    ("shoulder_diameter", "shoulders", "diameter_max"),
    ("shoulder_thread_length", "shoulders", "thread_length"),
    ("shoulder_head_diameter", "shoulders", "head_diameter"),
    ("shoulder_head_height", "shoulders", "head_height"),
    ("insert_hole", "inserts", "hole"),
    ("insert_length", "inserts", "length"),
    ("insert_boss", "inserts", "boss"),
];

/// The other functions.
const OTHERS: [&str; 12] = [
    "clearance_hole",
    "thread_major",
    "thread_minor",
    "thread_pitch_diameter",
    "head_diameter",
    "head_height",
    "shoulder_thread",
    "it_grade",
    "limit_upper",
    "limit_lower",
    "clearance_max",
    "clearance_min",
];

pub(crate) fn is_known(name: &str) -> bool {
    OTHERS.contains(&name) || BY_SIZE.iter().any(|(known, ..)| *known == name)
}

/// What a call comes to, `None` if there is no such call. [`Worth::NONE`] where nothing is found.
pub(crate) fn call(name: &str, given: &[Worth]) -> Option<Worth> {
    if !is_known(name) {
        return None;
    }
    let number = match given {
        [Worth::Text(size)] if name == "shoulder_thread" => {
            let thread = sheet("shoulders").and_then(|sheet| sheet.text(size, "thread"));
            return Some(thread.map_or(Worth::NONE, |thread| Worth::Text(thread.to_owned())));
        }
        [Worth::Text(size)] => by_size(name, size),
        [Worth::Text(thread), Worth::Text(word)] => by_word(name, thread, word),
        [Worth::Text(class), Worth::Number(size)] => at_size(name, class, *size),
        _ => return None,
    };
    Some(number.map_or(Worth::NONE, Worth::Number))
}

fn by_size(name: &str, size: &str) -> Option<f64> {
    match name {
        "clearance_hole" => by_word(name, size, "medium"),
        "thread_major" => major(size),
        "thread_pitch_diameter" => thread_diameter(size, 3.0 / 8.0),
        "thread_minor" => thread_diameter(size, 5.0 / 8.0),
        _ => {
            let (_, file, head) = BY_SIZE.iter().find(|(known, ..)| *known == name)?;
            sheet(file)?.length(size, head)
        }
    }
}

fn by_word(name: &str, thread: &str, word: &str) -> Option<f64> {
    let (file, head) = match (name, word) {
        ("clearance_hole", "fine" | "medium" | "coarse") => ("clearance", word),
        ("head_diameter", "socket") => ("socket_heads", "diameter_plain_max"),
        ("head_diameter", "knurled") => ("socket_heads", "diameter_max"),
        ("head_diameter", "button") => ("button_heads", "diameter_max"),
        ("head_diameter", "countersunk") => ("countersunk_heads", "diameter_max"),
        ("head_height", "socket" | "knurled") => ("socket_heads", "height_max"),
        ("head_height", "button") => ("button_heads", "height_max"),
        ("head_height", "countersunk") => ("countersunk_heads", "height_max"),
        _ => return None,
    };
    sheet(file)?.length(thread, head)
}

fn at_size(name: &str, class: &str, size: f64) -> Option<f64> {
    match name {
        "it_grade" => fits::grade(class, size),
        "limit_lower" => Some(fits::deviations(class, size)?[0]),
        "limit_upper" => Some(fits::deviations(class, size)?[1]),
        "clearance_min" => Some(fits::clearances(class, size)?[0]),
        "clearance_max" => Some(fits::clearances(class, size)?[1]),
        _ => None,
    }
}

/// A thread is named by its major diameter: M4 has 4 mm.
fn major(thread: &str) -> Option<f64> {
    let held = sheet("threads")?.text(thread, "major").is_some();
    let millimetres: f64 = thread.strip_prefix('M')?.parse().ok()?;
    held.then_some(millimetres * 1e-3)
}

/// The diameter that lies this part of the height of the thread's triangle below the major one on
/// either side: of ISO 68-1, to whole µm, where the first engine takes a column.
fn thread_diameter(thread: &str, part: f64) -> Option<f64> {
    let pitch = sheet("threads")?.length(thread, "pitch")?;
    let height = pitch * 3.0_f64.sqrt() / 2.0;
    let micrometres = (major(thread)? - 2.0 * part * height) * 1e6;
    Some(micrometres.round() * 1e-6)
}
