//! The table of figures, for a terminal and for a document.

use crate::Figure;

const HEADS: [&str; 6] = ["what", "against", "ratio", "spread", "goal", "here"];

/// Between these two lines of a document stands what was measured.
pub const MARKS: [&str; 2] = ["<!-- measured -->", "<!-- to here -->"];

/// A table in Markdown, padded so that a terminal shows it as well.
pub fn table(figures: &[Figure]) -> String {
    let mut rows = vec![HEADS.map(str::to_owned)];
    rows.extend(figures.iter().map(Figure::cells));
    let width = |column: usize| rows.iter().map(|row| row[column].chars().count()).max();
    let widths: Vec<usize> = (0..HEADS.len()).filter_map(width).collect();
    let line = |row: &[String; 6]| {
        let cells = row.iter().zip(&widths).map(|(cell, width)| format!("{cell:width$}"));
        format!("| {} |\n", cells.collect::<Vec<_>>().join(" | "))
    };
    let rule: Vec<String> = widths.iter().map(|width| "-".repeat(*width)).collect();
    let rule = format!("| {} |\n", rule.join(" | "));
    line(&rows[0]) + &rule + &rows[1..].iter().map(line).collect::<String>()
}

/// A document with what was measured put between its marks; what was measured alone if it has none.
pub fn put(document: &str, measured: &str) -> String {
    let [from, to] = MARKS;
    let measured = format!("{from}\n\n{}\n\n{to}\n", measured.trim());
    let parts = document.split_once(from);
    let ends = parts.and_then(|(before, rest)| Some((before, rest.split_once(to)?.1)));
    match ends {
        Some((before, after)) => format!("{before}{measured}{}", after.trim_start_matches('\n')),
        None => measured,
    }
}

#[cfg(test)]
mod tests {
    use super::put;

    #[test]
    fn what_stands_about_the_marks_stays() {
        let once = put("before\n<!-- measured -->\nold\n<!-- to here -->\nafter\n", "new");
        assert_eq!(once, "before\n<!-- measured -->\n\nnew\n\n<!-- to here -->\nafter\n");
        assert_eq!(put(&once, "new"), once);
        assert_eq!(put("", "new"), "<!-- measured -->\n\nnew\n\n<!-- to here -->\n");
    }
}
