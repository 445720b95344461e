//! When a text has the entries of another, but for one: told from the two texts alone.
//!
//! Most revisions change one line of a table. Where that line is surely one entry and stays one, all
//! other entries stand where they stood, in line and column, and the table need not be taken apart
//! again. Only the plainest lines are surely so; all else is read as any text.

/// The line, counted from 1, in which alone two texts differ, and the name of the entry in it.
pub(super) fn only_entry<'t>(old: &str, new: &'t str) -> Option<(usize, &'t str)> {
    let start = old.bytes().zip(new.bytes()).take_while(|(a, b)| a == b).count();
    let rest = old.len().min(new.len()) - start;
    let behind = old.bytes().rev().zip(new.bytes().rev());
    let end = behind.take(rest).take_while(|(a, b)| a == b).count();
    let (was, is) = (line_at(old, start, old.len() - end)?, line_at(new, start, new.len() - end)?);
    let (name, after) = (entry(is)?, &new[offset(new, is) + is.len()..]);
    let number =
        1 + new.as_bytes()[..offset(new, is)].iter().filter(|byte| **byte == b'\n').count();
    (entry(was)? == name && begins_anew(after)).then_some((number, name))
}

/// The whole line that holds these bytes, if one does.
fn line_at(text: &str, start: usize, end: usize) -> Option<&str> {
    let bytes = text.as_bytes();
    if bytes[start..end].contains(&b'\n') {
        return None;
    }
    let from = bytes[..start].iter().rposition(|byte| *byte == b'\n').map_or(0, |at| at + 1);
    let to = bytes[end..].iter().position(|byte| *byte == b'\n').map_or(text.len(), |at| end + at);
    text.get(from..to)
}

fn offset(text: &str, line: &str) -> usize {
    line.as_ptr() as usize - text.as_ptr() as usize
}

/// The name of an entry that stands on this line and cannot reach beyond it.
fn entry(line: &str) -> Option<&str> {
    let (name, value) = line.strip_prefix("  ")?.split_once(": ")?;
    let is_whole = match value.strip_prefix("{ ").and_then(|rest| rest.strip_suffix(" }")) {
        Some(inside) => are_fields(inside),
        None => is_plain(value),
    };
    (is_name(name) && is_whole).then_some(name)
}

fn is_name(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase())
        && text.bytes().all(|byte| matches!(byte, b'a'..=b'z' | b'0'..=b'9' | b'_'))
}

/// Whether this is `key: text` again and again, no key twice.
fn are_fields(inside: &str) -> bool {
    let mut keys = Vec::new();
    inside.split(", ").all(|field| match field.split_once(": ") {
        Some((key, text)) if !keys.contains(&key) => {
            keys.push(key);
            is_name(key) && is_plain(text) && !text.contains(',')
        }
        _ => false,
    })
}

/// Whether YAML reads this as one plain text, wherever it stands.
fn is_plain(text: &str) -> bool {
    let is_quiet = |c: char| c.is_ascii_alphanumeric() || "_ .,+*/()-^<>=±".contains(c);
    text.starts_with(|c: char| c.is_ascii_alphanumeric() || c == '(')
        && text.chars().all(is_quiet)
        && !text.ends_with(' ')
}

/// Whether what stands behind a line's end cannot go on with it.
fn begins_anew(after: &str) -> bool {
    let next = after.strip_prefix('\n').unwrap_or(after);
    let next = next.strip_prefix("  ").unwrap_or(next);
    next.is_empty() || next.starts_with(|c: char| c.is_ascii_lowercase())
}

#[cfg(test)]
mod tests {
    use super::only_entry;

    const TABLE: &str =
        "dimensions:\n  width: 62 mm\n  wall: { value: 3 mm, max: 4 mm }\n  in: width - 2 * wall\n";

    fn changed(from: &str, to: &str) -> Option<(usize, String)> {
        let new = TABLE.replace(from, to);
        only_entry(TABLE, &new).map(|(line, name)| (line, name.to_owned()))
    }

    #[test]
    fn one_plain_line_is_one_entry() {
        assert_eq!(changed("62 mm", "164 mm"), Some((2, "width".into())));
        assert_eq!(changed("3 mm", "2.5 mm"), Some((3, "wall".into())));
        assert_eq!(changed("2 * wall", "max(wall, 2 mm)"), Some((4, "in".into())));
        assert_eq!(changed("62 mm", "no"), Some((2, "width".into())));
    }

    #[test]
    fn whatever_may_reach_further_is_read() {
        for (from, to) in [
            ("62 mm", "\"62 mm"),
            ("62 mm", "{ value: 62 mm"),
            ("62 mm", "62 mm # wide"),
            ("62 mm", "62: mm"),
            ("62 mm", "|"),
            ("62 mm", "&a 62 mm"),
            ("62 mm", ""),
            ("62 mm", "[1"),
            ("62 mm", "62 mm\n  more: 1 mm"),
            ("  width", "   width"),
            ("width: 62", "widht: 62"),
            ("max: 4 mm", "value: 4 mm"),
            ("max: 4 mm", "max: {"),
            ("62 mm", "62 mm "),
            ("62 mm\n", "62 mm\r\n"),
            ("dimensions", "parts"),
            ("62 mm", "62\tmm"),
        ] {
            assert_eq!(changed(from, to), None, "{from} to {to}");
        }
        let long = "dimensions:\n  width: 62 mm\n    + 2 mm\n";
        assert_eq!(only_entry(long, &long.replace("62", "64")), None);
    }
}
