//! Every value that the functions give, as CSV: the call, then the value in mm or a thread's name;
//! and every cell of the tables of hardware.
//! `tests/outside/standards.py` compares it with tables that are not ours.

#![expect(clippy::print_stdout, reason = "printing is what this program is for")]

use std::fmt::Display;

use setout_standards::*;

/// The ends of all ranges of sizes, in mm.
const ENDS: [f64; 13] =
    [3.0, 6.0, 10.0, 14.0, 18.0, 24.0, 30.0, 40.0, 50.0, 65.0, 80.0, 100.0, 120.0];

fn main() {
    println!("function,first,second,value");
    by_thread();
    by_shoulder();
    by_size();
    fits();
    cells();
}

fn row(function: &str, first: &str, second: &str, value: Result<impl Display, StandardFault>) {
    if let Ok(value) = value {
        println!("{function},{first},{second},{value}");
    }
}

fn keys(id: &str) -> Vec<&'static str> {
    let table = tables().iter().find(|table| table.id == id);
    table.map_or_else(Vec::new, |table| table.rows.iter().map(|row| row[0]).collect())
}

macro_rules! rows {
    ($size:ident: $($function:ident),*) => {
        $(row(stringify!($function), $size, "", $function($size));)*
    };
}

fn by_thread() {
    for thread in keys("threads") {
        rows!(thread: thread_major, thread_pitch, thread_pitch_diameter, thread_minor, tap_drill,
            washer_outer, washer_inner, washer_thickness, insert_hole, insert_length, insert_boss);
        for series in ["fine", "medium", "coarse"] {
            row("clearance_hole", thread, series, clearance_hole(thread, series));
        }
        for head in ["socket", "knurled", "button", "countersunk"] {
            row("head_diameter", thread, head, head_diameter(thread, head));
            row("head_height", thread, head, head_height(thread, head));
        }
        if let Ok(limits) = thread_limits(thread) {
            thread_limit_rows(thread, limits);
        }
    }
}

fn thread_limit_rows(thread: &str, limits: ThreadLimits) {
    let named = [
        ("bolt_major_max", limits.bolt_major_max),
        ("bolt_major_min", limits.bolt_major_min),
        ("bolt_pitch_max", limits.bolt_pitch_max),
        ("bolt_pitch_min", limits.bolt_pitch_min),
        ("nut_minor_min", limits.nut_minor_min),
        ("nut_minor_max", limits.nut_minor_max),
        ("nut_pitch_min", limits.nut_pitch_min),
        ("nut_pitch_max", limits.nut_pitch_max),
    ];
    for (name, value) in named {
        row("thread_limits", thread, name, Ok(value));
    }
}

fn by_shoulder() {
    for size in keys("shoulders") {
        rows!(size: shoulder_diameter, shoulder_thread, shoulder_head_diameter,
            shoulder_head_height, shoulder_thread_length);
    }
}

/// Of the tables that are looked up by a size's name. Two inserts of a thread are told apart.
fn cells() {
    for table in tables().iter().filter(|table| ["thread", "size"].contains(&table.columns[0])) {
        for row in &table.rows {
            for (column, cell) in table.columns.iter().zip(row).skip(1) {
                let key = if table.id == "inserts" { row[..2].join(" ") } else { row[0].into() };
                println!("{},{key},{column},{cell}", table.id);
            }
        }
    }
}

/// At every end of a range, just above it, and well within.
fn by_size() {
    let sizes = ENDS.iter().flat_map(|end| [end - 0.5, *end, end + 0.001]);
    for size in sizes.filter(|size| *size <= 120.0) {
        let text = size.to_string();
        for grade in keys("grades") {
            row("it_grade", grade, &text, it_grade(grade, size));
        }
        for class in keys("limits") {
            row("limit_upper", class, &text, limit_upper(class, size));
            row("limit_lower", class, &text, limit_lower(class, size));
        }
    }
}

/// Every pair of a hole and a shaft, on an end of a range, just above it, and within.
fn fits() {
    for size in [6.0, 6.001, 45.0] {
        fits_at(size, &size.to_string());
    }
}

fn fits_at(size: f64, text: &str) {
    let is_hole = |class: &&str| class.starts_with(|c: char| c.is_uppercase());
    let (holes, shafts): (Vec<&str>, Vec<&str>) = keys("limits").into_iter().partition(is_hole);
    for hole in holes {
        for shaft in &shafts {
            let name = format!("{hole}/{shaft}");
            let found = fit(&name, size);
            row("max_clearance", &name, text, found.clone().map(|fit| fit.max_clearance));
            row("min_clearance", &name, text, found.map(|fit| fit.min_clearance));
        }
    }
}
