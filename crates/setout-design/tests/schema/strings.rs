//! Random texts where a schema has a pattern: what the reader takes, the pattern takes. For names
//! they agree.

use proptest::prelude::*;

use crate::{complaint, is_read};

const COMMON: &str = "setout: 1\ncurrency: GBP\nprocesses: { p: { tolerance: 0 mm } }\n";

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(3_000) })]

    #[test]
    fn names_agree(name in "[a-z_][a-zA-Z0-9_é.-]{0,4}|[a-z]{60,68}|true|false|pi|design|bought|h7") {
        let name = quoted(&name);
        let table = format!("dimensions:\n  {name}: 1 mm\n");
        let read = is_read(&[("design.yaml", COMMON), ("jaw.yaml", &table)]);
        prop_assert_eq!(read, complaint("jaw.yaml", &table).is_none(), "{}", table);
        let table = format!("schedules:\n  {name}: {{ columns: {{ {name}: mm }} }}\n");
        let read = is_read(&[("design.yaml", COMMON), ("q.yaml", &table)]);
        // A schedule may not have the name of its table either.
        let own = name == "\"q\"";
        prop_assert!(own || read == complaint("q.yaml", &table).is_none(), "{}", table);
        let design = format!("setout: 1\nprocesses:\n  {name}: {{}}\n");
        let read = is_read(&[("design.yaml", &design)]);
        prop_assert_eq!(read, complaint("design.yaml", &design).is_none(), "{}", design);
    }

    #[test]
    fn tolerances_that_are_read_are_accepted(
        text in "(±|\\+/-|\\+|-|)( |)([0-9.,]{0,4})( |)(mm|K|µm||%|in)( |/|)([+-]|)([0-9.]{0,3}|[Hgp][0-9]{0,2})( |)(mm||%)( |)",
        unit in "mm||K",
    ) {
        let text = quoted(&text);
        let value = quoted(&format!("2 {unit}"));
        let table = format!("dimensions:\n  a: {{ value: {value}, tolerance: {text} }}\n");
        let read = is_read(&[("design.yaml", COMMON), ("jaw.yaml", &table)]);
        let complaint = complaint("jaw.yaml", &table);
        prop_assert!(!read || complaint.is_none(), "{:?} {}", complaint, table);
    }

    #[test]
    fn tolerances_of_processes_that_are_read_are_accepted(
        text in "[±+-]{0,2}[0-9. ]{0,4}( mm|mm|)[+-]{0,1}[0-9.]{0,3}(| mm)|[a-zA-Z]{1,3}[0-9]{0,3}",
    ) {
        let design = format!("setout: 1\nprocesses: {{ p: {{ tolerance: {} }} }}\n", quoted(&text));
        let complaint = complaint("design.yaml", &design);
        prop_assert!(!is_read(&[("design.yaml", &design)]) || complaint.is_none(), "{:?} {}", complaint, design);
    }

    #[test]
    fn paths_that_are_read_are_accepted(path in "(\\.\\./|\\./|/|)[a. ]{0,3}(/|\\\\|:|//|)[a.é ]{0,4}(\\.csv|\\.scad|)") {
        let format = if path.ends_with("csv") { "csv" } else { "openscad" };
        let path = quoted(&path);
        let design = format!("setout: 1\nexports: [{{ format: {format}, file: {path} }}]\n");
        let complaint = complaint("design.yaml", &design);
        let read = is_read(&[("params/design.yaml", &design)]);
        prop_assert!(!read || complaint.is_none(), "{:?} {}", complaint, design);
    }

    #[test]
    fn rates_that_are_read_are_accepted(rate in "[+-]{0,1}[0-9.]{0,4}(e[+-]?[0-9]|)[ ]{0,2}(GBP|EUR|gbp|)[ ]{0,1}") {
        let design = format!("setout: 1\ncurrency: GBP\nrates: {{ EUR: {} }}\n", quoted(&rate));
        let complaint = complaint("design.yaml", &design);
        prop_assert!(!is_read(&[("design.yaml", &design)]) || complaint.is_none(), "{:?} {}", complaint, design);
    }
}
