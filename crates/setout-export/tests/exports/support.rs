//! A small vocabulary for building sheets, and the programs that read them back.

use std::path::Path;
use std::process::{Command, Output};

use setout_export::{ExportFault, Format, Item, Measure, Role, Sheet, Value, format_named};

pub(crate) fn sheet(items: impl IntoIterator<Item = Item>) -> Sheet {
    Sheet { design: "Old Bracken".into(), items: items.into_iter().collect() }
}

pub(crate) fn number(name: &str, value: f64, unit: &str) -> Item {
    Item::new(name, Role::Derived, Value::Number(value), unit)
}

pub(crate) fn text(name: &str, value: &str) -> Item {
    Item::new(name, Role::Chosen, Value::Text(value.into()), "")
}

pub(crate) fn truth(name: &str, value: bool) -> Item {
    Item::new(name, Role::Derived, Value::Truth(value), "")
}

pub(crate) fn column(name: &str, cells: Vec<Value>, unit: &str) -> Item {
    Item::new(name, Role::Column, Value::List(cells), unit)
}

pub(crate) fn noted(item: Item, note: &str) -> Item {
    Item { note: Some(note.into()), ..item }
}

pub(crate) fn in_base(item: Item, value: f64, unit: &str) -> Item {
    let base = Measure { value: Value::Number(value), unit: unit.into() };
    Item { base: Some(base), ..item }
}

/// One of everything.
pub(crate) fn jaw() -> Sheet {
    let width = Item {
        min: Some(2.0),
        max: Some(3.0),
        tolerance: Some("+0.1 -0.3 mm".into()),
        note: Some("fits the frame, \"snug\"".into()),
        ..Item::new("jaw.width", Role::Chosen, Value::Number(2.5), "in")
    };
    let torque = number("drive.torque", 1.2, "N·m");
    let cell = |name, value| Item::new(name, Role::Cell, Value::Number(value), "deg");
    let neutrals = vec![Value::Number(90.0), Value::Number(-5.0)];
    sheet([
        in_base(width, 63.5, "mm"),
        text("jaw.pivot_screw", "M4"),
        torque,
        truth("jaw.open", true),
        cell("drive.servo.jaw_left.neutral", 90.0),
        cell("drive.servo.jaw_right.neutral", -5.0),
        column("drive.servo.neutral", neutrals, "deg"),
    ])
}

pub(crate) fn openscad() -> &'static dyn Format {
    format_named("openscad").expect("registered")
}

pub(crate) fn csv() -> &'static dyn Format {
    format_named("csv").expect("registered")
}

#[track_caller]
pub(crate) fn written(format: &dyn Format, sheet: &Sheet) -> String {
    format.write(sheet).expect("a sheet that can be written")
}

#[track_caller]
pub(crate) fn faults(format: &dyn Format, sheet: &Sheet) -> Vec<ExportFault> {
    format.write(sheet).expect_err("a sheet that cannot be written")
}

/// Runs a program that these tests cannot do without. That it is missing is a failure, since
/// tests that pass by not running have let more than one defect through.
#[track_caller]
pub(crate) fn run(program: &str, package: &str, dir: &Path, args: &[&str]) -> Output {
    match Command::new(program).args(args).current_dir(dir).output() {
        Ok(output) => output,
        Err(error) => panic!(
            "{program} could not be started ({error}); these tests need it: install it, \
             for example with `apt-get install {package}`"
        ),
    }
}

/// Random numbers that are the same in every run (xorshift64*).
pub(crate) struct Random(pub(crate) u64);

impl Random {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    pub(crate) fn below(&mut self, end: u64) -> u64 {
        (self.next() >> 16) % end
    }

    /// Any finite double, each bit pattern as likely as the next, or one of everyday size.
    pub(crate) fn number(&mut self) -> f64 {
        let number = f64::from_bits(self.next());
        match self.below(4) {
            0 => f64::from(u32::try_from(self.below(2_000_000)).expect("small")) / 1000.0 - 1000.0,
            1 => f64::from(u32::try_from(self.below(1000)).expect("small")) * 0.1,
            _ if number.is_finite() => number,
            _ => 0.1,
        }
    }

    /// Up to eleven characters, the awkward ones often.
    pub(crate) fn text(&mut self) -> String {
        const AWKWARD: &[char] = &[
            '"',
            '\\',
            '\n',
            '\t',
            '\r',
            '/',
            '*',
            ';',
            ',',
            '=',
            '-',
            '\'',
            '<',
            'u',
            'x',
            '0',
            '\u{1}',
            '\u{7f}',
            '\u{85}',
            'é',
            '鼻',
            '😀',
            '\u{202e}',
            '\u{feff}',
            '\u{e0041}',
        ];
        let length = self.below(12);
        (0..length).map(|_| AWKWARD[self.below(AWKWARD.len() as u64) as usize]).collect()
    }

    pub(crate) fn value(&mut self) -> Value {
        match self.below(5) {
            0 => Value::Text(self.text()),
            1 => Value::Truth(self.below(2) == 0),
            _ => Value::Number(self.number()),
        }
    }

    /// A sheet of this many items.
    pub(crate) fn sheet(&mut self, items: u64) -> Sheet {
        let item = |index: u64| {
            let name = format!("table_{}.d{index}", index % 7);
            match self.below(6) {
                0 => {
                    let cells = (0..self.below(5)).map(|_| self.value()).collect();
                    column(&name, cells, "A")
                }
                _ => Item::new(name, Role::Derived, self.value(), "A"),
            }
        };
        sheet((0..items).map(item))
    }
}
