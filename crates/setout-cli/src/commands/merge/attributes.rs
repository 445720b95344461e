//! The line of `.gitattributes` that names the tables of a design.

/// What it says of them.
const SAYS: &str = " merge=setout diff=setout";

/// The line that names the tables of a folder.
pub(super) fn line(folder: &str) -> String {
    let mut pattern = String::from("/");
    for c in folder.chars() {
        if matches!(c, '*' | '?' | '[' | '\\') {
            pattern.push('\\');
        }
        pattern.push(c);
    }
    pattern.push_str(if folder.is_empty() { "*.yaml" } else { "/*.yaml" });
    let ends_early = |c: char| c.is_ascii_whitespace() || c.is_ascii_control();
    let pattern = if pattern.contains(ends_early) { quoted(&pattern) } else { pattern };
    format!("{pattern}{SAYS}")
}

/// In quotes as C has them, which git takes from a pattern first.
fn quoted(pattern: &str) -> String {
    let mut text = String::from("\"");
    for c in pattern.chars() {
        match c {
            '"' | '\\' => text.extend(['\\', c]),
            c if c.is_ascii_control() => text.push_str(&format!("\\{:03o}", u32::from(c))),
            c => text.push(c),
        }
    }
    text.push('"');
    text
}

/// The lines of a file, without what ends them.
fn lines(text: &[u8]) -> impl DoubleEndedIterator<Item = &[u8]> {
    text.split(|byte| *byte == b'\n').map(<[u8]>::trim_ascii_end)
}

/// Whether the line stands in a file.
pub(super) fn has_line(text: &[u8], line: &str) -> bool {
    lines(text).any(|own| own == line.as_bytes())
}

/// The file with the line for a folder behind the others, which stay as they are; nothing where it
/// stands there already. Of several lines that name a file the last one counts, so an earlier one
/// is not enough.
pub(super) fn with_line(before: &[u8], folder: &str) -> Option<Vec<u8>> {
    let line = line(folder);
    let says_else =
        |own: &[u8]| !own.is_empty() && !own.starts_with(b"#") && !own.ends_with(SAYS.as_bytes());
    let last = lines(before).rev().take_while(|own| !says_else(own));
    if last.into_iter().any(|own| own == line.as_bytes()) {
        return None;
    }
    let crlf = before.windows(2).any(|two| two == b"\r\n");
    let end: &[u8] = if crlf { b"\r\n" } else { b"\n" };
    let mut after = before.to_vec();
    if !after.is_empty() && !after.ends_with(b"\n") {
        after.extend_from_slice(end);
    }
    after.extend_from_slice(line.as_bytes());
    after.extend_from_slice(end);
    Some(after)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn after(before: &str) -> Option<String> {
        with_line(before.as_bytes(), "params").map(|text| String::from_utf8_lossy(&text).into())
    }

    #[test]
    fn any_folder_can_be_named() {
        for (folder, pattern) in [
            ("", "/*.yaml"),
            ("params", "/params/*.yaml"),
            ("a/b", "/a/b/*.yaml"),
            ("m\u{e4}\"x", "/m\u{e4}\"x/*.yaml"),
            ("a[1]*", "/a\\[1]\\*/*.yaml"),
            ("my params", "\"/my params/*.yaml\""),
            ("my [old] \"x\"", "\"/my \\\\[old] \\\"x\\\"/*.yaml\""),
            ("x\n* merge=union", "\"/x\\012\\\\* merge=union/*.yaml\""),
        ] {
            assert_eq!(line(folder), format!("{pattern} merge=setout diff=setout"));
        }
    }

    #[test]
    fn the_line_stands_once_behind_what_says_anything_else() {
        let own = "/params/*.yaml merge=setout diff=setout";
        assert_eq!(after("").unwrap(), format!("{own}\n"));
        assert_eq!(after("*.stl binary").unwrap(), format!("*.stl binary\n{own}\n"));
        assert_eq!(after("a -text\r\n\r\n").unwrap(), format!("a -text\r\n\r\n{own}\r\n"));
        let overruled = format!("{own}\n*.yaml -merge\n");
        assert_eq!(after(&overruled).unwrap(), format!("{overruled}{own}\n"));
        for there in [
            format!("{own}\n"),
            format!("a b\r\n{own}\r\n"),
            format!("{own}\n# more\n\n/other/*.yaml merge=setout diff=setout\n"),
        ] {
            assert_eq!(after(&there), None, "{there}");
        }
    }
}
