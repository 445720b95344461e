//! `design.yaml`: what all tables share.

use setout_quantity::{Kind, Units};

use super::reader::Reader;
use super::tolerance::{self, Measured, Shares, Spread, Tolerance, is_class};
use super::{Common, Export, Process, Rate, keys};
use crate::Slug;
use crate::limits::MOST_EXPORTS;
use crate::paths::from_folder;
use crate::yaml::{Entry, Map, Node};

/// The version of the format that this library reads.
const VERSION: &str = "1";

/// Reads `design.yaml`. `folder` is the root-relative folder that it stands in.
pub(crate) fn read_common(reader: &mut Reader<'_>, map: &Map, folder: &str) -> Common {
    let [version, name, about, currency, rates, processes, exports] =
        reader.fields(map, "design.yaml", keys::DESIGN);
    check_version(reader, version, map);
    let before = reader.faults.len();
    let currency = currency.and_then(|entry| currency_code(reader, &entry.value));
    let currency_lost = reader.faults.len() > before;
    let mut common = Common {
        name: reader.remark(name, map.flow),
        about: reader.remark(about, map.flow),
        currency,
        ..Common::default()
    };
    let before = reader.faults.len();
    if let Some(entry) = rates.filter(|_| !currency_lost) {
        common.rates = read_rates(reader, entry, common.currency.as_deref());
    }
    common.money_lost = currency_lost || reader.faults.len() > before;
    if let Some(entry) = processes {
        common.processes = read_processes(reader, entry);
        let written = match &entry.value {
            Node::Map(map) => map.entries.len(),
            Node::Empty(span) if span.is_empty() => 0,
            _ => usize::MAX,
        };
        common.processes_lost = written > common.processes.len();
    }
    if let Some(entry) = exports {
        common.exports = read_exports(reader, entry, folder);
    }
    common
}

/// The units of a design: the standard ones and its currencies.
pub(crate) fn units_of(common: &Common) -> Units {
    let mut units = Units::standard();
    if let Some(code) = &common.currency {
        units = units.with_currency(code);
    }
    for rate in &common.rates {
        units = units.with_rate(&rate.code, rate.worth);
    }
    units
}

fn check_version(reader: &mut Reader<'_>, version: Option<&Entry>, map: &Map) {
    let help = format!("write `setout: {VERSION}` as the first line");
    let Some(entry) = version else {
        let message = "design.yaml does not say which version of the format it is in";
        return reader.fault(Slug::BadValue, map.span.start, message, help);
    };
    let found = entry.value.as_scalar().map_or("", |scalar| scalar.value.as_str());
    if found != VERSION {
        let message = format!("version `{}` of the format is not known", found.escape_debug());
        reader.fault(Slug::BadValue, entry.value.span().start, message, help);
    }
}

/// Whether a text has the form of a currency's letters.
pub(super) fn is_code(text: &str) -> bool {
    text.len() == 3 && text.bytes().all(|b| b.is_ascii_uppercase())
}

fn currency_code(reader: &mut Reader<'_>, node: &Node) -> Option<String> {
    let scalar = reader.scalar(node, "the currency", "currency: GBP")?;
    if is_code(&scalar.value) {
        return Some(scalar.value.to_string());
    }
    let message = format!("`{}` is no currency", scalar.value.escape_debug());
    let help = "write the three letters of ISO 4217, such as GBP or EUR";
    reader.fault(Slug::BadValue, scalar.span.start, message, help);
    None
}

fn read_rates(reader: &mut Reader<'_>, entry: &Entry, currency: Option<&str>) -> Vec<Rate> {
    let mut rates = Vec::new();
    let Some(map) = reader.map(&entry.value, "`rates`", "rates: { EUR: 0.85 GBP }") else {
        return rates;
    };
    if map.entries.is_empty() {
        return rates;
    }
    let Some(currency) = currency else {
        let help = "say `currency:` too, such as `currency: GBP`";
        reader.fault(
            Slug::BadValue,
            entry.key.span.start,
            "rates need a currency to be given in",
            help,
        );
        return rates;
    };
    for entry in &map.entries {
        let code = &entry.key.value;
        if !is_code(code) {
            let message = format!("`{}` is no currency", code.escape_debug());
            let help = "write the three letters of ISO 4217, such as EUR";
            reader.fault(Slug::BadName, entry.key.span.start, message, help);
            continue;
        }
        if code == currency {
            let message = format!("`{code}` is the currency that rates are given in");
            reader.fault(Slug::BadName, entry.key.span.start, message, "take it out");
            continue;
        }
        let example = format!("0.85 {currency}");
        let Some(scalar) = reader.scalar(&entry.value, "a rate", &example) else { continue };
        let (number, unit) = scalar.value.split_once(' ').unwrap_or((&scalar.value, ""));
        let worth = number.parse().ok().filter(|worth: &f64| worth.is_finite() && *worth > 0.0);
        match worth.filter(|_| unit.trim() == currency) {
            Some(worth) => {
                rates.push(Rate { code: code.to_string(), worth, text: scalar.value.to_string() });
            }
            None => {
                let message = format!("`{}` is no rate", scalar.value.escape_debug());
                let help = format!("write what 1 {code} is worth: `{example}`");
                reader.fault(Slug::BadValue, scalar.span.start, message, help);
            }
        }
    }
    rates
}

fn read_processes(reader: &mut Reader<'_>, entry: &Entry) -> Vec<Process> {
    let example = "printed: { tolerance: ±0.20 mm, spread: normal }";
    let Some(map) = reader.map(&entry.value, "`processes`", example) else { return Vec::new() };
    map.entries.iter().filter_map(|entry| read_process(reader, entry, example)).collect()
}

fn read_process(reader: &mut Reader<'_>, entry: &Entry, example: &str) -> Option<Process> {
    let name = &entry.key.value;
    let place = reader.name(&entry.key)?;
    if is_class(name) || name == "bought" {
        let message = match name.as_str() {
            "bought" => "`bought` says that a part is not made at all".to_owned(),
            _ => format!("`{name}` is also a tolerance class of ISO 286"),
        };
        reader.fault(Slug::BadName, entry.key.span.start, message, "name the process otherwise");
        return None;
    }
    let Some(map) = reader.map(&entry.value, "a process", example) else {
        return Some(Process {
            name: name.to_string(),
            tolerance: None,
            lost: true,
            spread: Spread::default(),
            measured: None,
            shares: None,
            note: None,
            place,
        });
    };
    let [tolerance, spread, mean, deviation, shares, note] =
        reader.fields(map, "a process", keys::PROCESS);
    let written = tolerance.is_some();
    let tolerance = tolerance.and_then(|entry| {
        let scalar = reader.scalar(&entry.value, "the tolerance", "±0.20 mm")?;
        match tolerance::read(&scalar.value, reader.units()) {
            Ok(tolerance::Tolerance { zone: tolerance::Zone::Process(name), .. }) => {
                let message = format!("`{name}` is no tolerance of a process");
                reader.fault(
                    Slug::BadValue,
                    scalar.span.start,
                    message,
                    "write for example `±0.20 mm`",
                );
                None
            }
            Ok(tolerance) => Some(tolerance),
            Err((slug, message, help)) => {
                reader.fault(slug, scalar.span.start, message, help);
                None
            }
        }
    });
    let measured = read_measured(reader, [mean, deviation], tolerance.as_ref());
    let given = spread.and_then(|entry| Some((entry, read_spread(reader, entry)?)));
    if let (Some((entry, spread)), Some(_)) = (given, deviation)
        && spread != Spread::Normal
    {
        let message = format!("measured errors count as normal, and the spread is {spread}");
        let help = "take out `spread`, or the measured `mean` and `deviation`";
        reader.fault(Slug::BadValue, entry.key.span.start, message, help);
    }
    let spread = given.map(|(_, spread)| spread).unwrap_or_default();
    let shares = shares.and_then(|entry| read_shares(reader, entry)).flatten();
    let note = reader.remark(note, map.flow).map(|note| note.text().to_owned());
    let lost = written && tolerance.is_none();
    Some(Process { name: name.to_string(), tolerance, lost, spread, measured, shares, note, place })
}

/// What was measured of a process.
fn read_measured(
    reader: &mut Reader<'_>,
    [mean, deviation]: [Option<&Entry>; 2],
    tolerance: Option<&Tolerance>,
) -> Option<Measured> {
    if let (Some(mean), None) = (mean, deviation) {
        let message = "a mean error alone does not say how parts come out";
        let help = "add the standard deviation, for example `deviation: 0.05 mm`";
        reader.fault(Slug::BadValue, mean.key.span.start, message, help);
    }
    let mean = mean.map(|entry| read_difference(reader, entry, "the mean error", tolerance));
    let deviation = deviation?;
    let found = read_difference(reader, deviation, "the standard deviation", tolerance);
    let (mean, (deviation_of, kind)) = (mean.unwrap_or(Some((0.0, found?.1)))?, found?);
    if deviation_of <= 0.0 {
        let message = "a standard deviation is more than 0";
        let help = "write what was measured, for example `deviation: 0.05 mm`";
        reader.fault(Slug::BadValue, deviation.value.span().start, message, help);
        return None;
    }
    if mean.1 != kind {
        let message = "the mean error and the standard deviation are not of one kind";
        let help = "write both as differences of one kind, such as mm";
        reader.fault(Slug::UnitMismatch, deviation.value.span().start, message, help);
        return None;
    }
    Some(Measured { mean: mean.0, deviation: deviation_of, kind })
}

/// A difference of the kind that a tolerance has, in base units.
fn read_difference(
    reader: &mut Reader<'_>,
    entry: &Entry,
    what: &str,
    tolerance: Option<&Tolerance>,
) -> Option<(f64, Kind)> {
    let scalar = reader.scalar(&entry.value, what, "0.05 mm")?;
    let kind = tolerance.map(|tolerance| match tolerance.zone {
        tolerance::Zone::Between { kind, .. } => kind,
        _ => Kind::LENGTH,
    });
    let found = tolerance::deviation(scalar.value.trim(), reader.units());
    let found = found.map(|(number, unit)| (number, unit.kind(), unit.difference_to_base(number)));
    match found {
        Ok((_, own, base)) if kind.is_none_or(|kind| kind == own) => Some((base, own)),
        Ok((_, own, _)) => {
            let units = reader.units();
            let kind = units.describe(kind.unwrap_or(own));
            let message = format!("{what} is {}, and the tolerance is {kind}", units.describe(own));
            let help = "write both in units of one kind, such as mm";
            reader.fault(Slug::UnitMismatch, scalar.span.start, message, help);
            None
        }
        Err((slug, message, _)) => {
            let help = "write a number and a unit, for example `0.05 mm`";
            reader.fault(slug, scalar.span.start, message, help);
            None
        }
    }
}

/// The error behind `shares:`, on a process or a dimension; nothing within for `none`.
pub(crate) fn read_shares(reader: &mut Reader<'_>, entry: &Entry) -> Option<Option<Shares>> {
    let scalar = reader.scalar(&entry.value, "the shared error", "extrusion")?;
    match Shares::read(&scalar.value) {
        Ok(shares) => Some(shares),
        Err(message) => {
            let help = "write a name such as `extrusion`; `-extrusion` for what is small where \
others are large; `none` for an error of its own";
            reader.fault(Slug::BadName, scalar.span.start, message, help);
            None
        }
    }
}

/// The spread behind `spread:`, on a process or a dimension.
pub(crate) fn read_spread(reader: &mut Reader<'_>, entry: &Entry) -> Option<Spread> {
    let scalar = reader.scalar(&entry.value, "the spread", "normal")?;
    let spread = Spread::of_name(&scalar.value);
    if spread.is_none() {
        let message = format!("`{}` is no spread", scalar.value.escape_debug());
        let help = "write normal, uniform or triangular";
        reader.fault(Slug::BadValue, scalar.span.start, message, help);
    }
    spread
}

fn read_exports(reader: &mut Reader<'_>, entry: &Entry, folder: &str) -> Vec<Export> {
    let example = "- { format: openscad, file: ../cad/dimensions.scad }";
    let Some(list) = reader.list(&entry.value, "`exports`", example) else { return Vec::new() };
    if let Some(beyond) = list.items.get(MOST_EXPORTS) {
        let message = format!("with this one the design exports more than {MOST_EXPORTS} files");
        let help = "take some out; any other is written by `setout export --to FORMAT --file PATH`";
        reader.fault(Slug::TooLarge, beyond.span().start, message, help);
    }
    let items = list.items.iter().take(MOST_EXPORTS);
    items.filter_map(|item| read_export(reader, item, folder, example)).collect()
}

fn read_export(
    reader: &mut Reader<'_>,
    node: &Node,
    folder: &str,
    example: &str,
) -> Option<Export> {
    let map = reader.map(node, "an export", example)?;
    let [format, file] = reader.fields(map, "an export", keys::EXPORT);
    let mut wanted = |entry: Option<&Entry>, what: &str, example: &str| {
        let Some(entry) = entry else {
            let message = format!("this export has no {what}");
            reader.fault(
                Slug::BadValue,
                node.span().start,
                message,
                format!("add `{what}: {example}`"),
            );
            return None;
        };
        let literal = reader.literal(&entry.value, map.flow, what, example)?;
        Some((literal.text().to_owned(), literal.scalar.span.start))
    };
    let format = wanted(format, "format", "openscad");
    let file = wanted(file, "file", "../cad/dimensions.scad");
    let ((format, _), (file, at)) = (format?, file?);
    let path = match from_folder(folder, &file) {
        Ok(path) => Some(path),
        Err(unsafe_path) => {
            reader.fault(Slug::UnsafePath, at, unsafe_path.message(&file), unsafe_path.help());
            None
        }
    };
    Some(Export { format, file, path, place: reader.place(at) })
}
