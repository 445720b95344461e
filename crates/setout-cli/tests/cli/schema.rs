//! `setout schema`, and what `setout new` writes for editors.

use crate::bench::Bench;

#[test]
fn a_schema_is_printed_as_it_is() {
    let bench = Bench::empty();
    for (call, schema) in [
        ("setout schema", setout::schema::TABLE),
        ("setout schema table", setout::schema::TABLE),
        ("setout schema design", setout::schema::DESIGN),
        ("setout schema design --format json", setout::schema::DESIGN),
    ] {
        let run = bench.run(call);
        assert_eq!((run.status, run.out.as_str()), (0, schema), "{call}");
    }
    assert_eq!(bench.run("setout schema part").status, 2);
}

#[test]
fn every_file_of_a_new_design_names_its_schema() {
    let bench = Bench::empty();
    bench.run("setout new");
    for (file, schema) in [("design", "design"), ("eye", "table"), ("frame", "table")] {
        let text = bench.text(&format!("params/{file}.yaml"));
        let line = format!("# yaml-language-server: $schema=schema/{schema}.json");
        assert_eq!(text.lines().next(), Some(line.as_str()));
        let call = format!("setout schema {schema}");
        assert_eq!(bench.text(&format!("params/schema/{schema}.json")), bench.run(&call).out);
    }
}
