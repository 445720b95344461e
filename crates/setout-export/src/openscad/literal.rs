//! Values as OpenSCAD spells them.

use crate::fault::ExportFault;
use crate::number::shortest;
use crate::sheet::Value;
use crate::text::is_hidden;

/// The word that stands for a unit where there is none.
pub(super) fn kind_word(value: &Value) -> &'static str {
    match value {
        Value::Number(_) => "number",
        Value::Text(_) => "text",
        Value::Truth(_) => "boolean",
        Value::List(cells) => cells.first().map_or("empty", kind_word),
    }
}

/// The value as the language spells it; `name` is the item to blame if it cannot be spelt.
pub(super) fn literal(name: &str, value: &Value) -> Result<String, ExportFault> {
    match value {
        Value::Number(number) => {
            shortest(*number).ok_or_else(|| ExportFault::NotFinite { name: name.to_owned() })
        }
        Value::Text(text) if text.contains('\0') => {
            Err(ExportFault::NulInText { name: name.to_owned() })
        }
        Value::Text(text) => Ok(quoted(text)),
        Value::Truth(truth) => Ok(truth.to_string()),
        Value::List(cells) => {
            let cells: Result<Vec<_>, _> = cells.iter().map(|cell| literal(name, cell)).collect();
            Ok(format!("[{}]", cells?.join(", ")))
        }
    }
}

/// A string literal. Line ends must be escaped: the program drops bare ones from strings. So
/// must every hidden character, lest the file look different from what it says; `\x` reaches to
/// 7f only, `\u` has four digits and `\U` six.
fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            '\r' => out.push_str("\\r"),
            _ if !is_hidden(c) => out.push(c),
            ..='\u{7f}' => out.push_str(&format!("\\x{:02x}", u32::from(c))),
            ..='\u{ffff}' => out.push_str(&format!("\\u{:04x}", u32::from(c))),
            _ => out.push_str(&format!("\\U{:06x}", u32::from(c))),
        }
    }
    out.push('"');
    out
}
