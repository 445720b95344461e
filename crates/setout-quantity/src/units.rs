//! The table of units, and what is customary.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use crate::read::composed_symbol;
use crate::unit::{Flag, Is};
use crate::{BASE_UNITS, Kind, Ratio, Unit};

/// The units that a design knows: the standard ones, and its currencies.
///
/// ```
/// use setout_quantity::{Kind, Units};
/// let units = Units::standard().with_currency("GBP").with_rate("EUR", 0.85);
/// let torque = units.read("kgf·cm")?;
/// assert_eq!(torque.kind(), units.read("N·m")?.kind());
/// assert_eq!(units.read("EUR")?.to_base(2.0), 1.7);
/// assert_eq!(units.customary(Kind::LENGTH).symbol(), "mm");
/// # Ok::<(), setout_quantity::UnitFault>(())
/// ```
#[derive(Clone, Debug, Default)]
pub struct Units {
    currency: Option<Arc<str>>,
    money: BTreeMap<String, Unit>,
}

/// A row of the table of standard units, for documents and for checks against other tables.
#[derive(Clone, Debug)]
pub struct UnitRow {
    /// The unit.
    pub unit: Unit,
    /// Other symbols that are read as this one.
    pub aliases: Vec<String>,
    /// What it is called.
    pub name: String,
}

struct Standard {
    rows: Vec<UnitRow>,
    by_symbol: BTreeMap<&'static str, usize>,
    slips: BTreeMap<&'static str, usize>,
}

impl Units {
    /// The standard units, without any currency.
    pub fn standard() -> Self {
        Self::default()
    }

    /// With a currency, in which money is kept and shown. Its rate is 1.
    #[must_use]
    pub fn with_currency(mut self, code: &str) -> Self {
        self.currency = Some(code.into());
        self.with_rate(code, 1.0)
    }

    /// With another currency, worth `rate` of the design's own.
    #[must_use]
    pub fn with_rate(mut self, code: &str, rate: f64) -> Self {
        let unit =
            Is { symbol: code.into(), kind: Kind::MONEY, times: rate, over: 1.0, flag: Flag::None };
        self.money.insert(code.to_owned(), unit.into());
        self
    }

    /// The design's currency, if it has one.
    pub fn currency(&self) -> Option<&str> {
        self.currency.as_deref()
    }

    /// The rows of the table of standard units, in its order.
    pub fn rows() -> &'static [UnitRow] {
        &standard().rows
    }

    pub(crate) fn of_symbol(&self, symbol: &str) -> Option<Unit> {
        let table = standard();
        let symbol = usual_letters(symbol);
        match table.by_symbol.get(&*symbol) {
            Some(row) => Some(table.rows[*row].unit.shared()),
            None => self.money.get(&*symbol).cloned(),
        }
    }

    pub(crate) fn nearest(&self, symbol: &str) -> Option<String> {
        let table = standard();
        let lower = || table.slips.get(symbol.to_lowercase().as_str());
        if let Some(row) = table.slips.get(symbol).or_else(lower) {
            return Some(table.rows[*row].unit.symbol().to_owned());
        }
        if symbol == "Nm" {
            return Some("N·m".into());
        }
        let known = table.by_symbol.keys().copied();
        crate::nearest(symbol, known.chain(self.money.keys().map(String::as_str)))
    }

    /// The unit in which a kind is shown when nothing else was asked for.
    pub fn customary(&self, kind: Kind) -> Unit {
        if kind.is_number() {
            return Unit::number();
        }
        if let Some((_, unit)) = named_kinds().iter().find(|(_, unit)| unit.kind() == kind) {
            return unit.shared();
        }
        let mut base = BASE_UNITS;
        base[6] = self.currency().unwrap_or(BASE_UNITS[6]);
        let symbol = composed_symbol(kind, base).into();
        Is { symbol, kind, times: 1.0, over: 1.0, flag: Flag::None }.into()
    }

    /// What a kind is called, with its article: `a length`, `a plain number`, `a quantity in
    /// mm^2·deg` where it has no name.
    pub fn describe(&self, kind: Kind) -> String {
        if kind.is_number() {
            return "a plain number".into();
        }
        if kind == Kind::MONEY {
            return "an amount of money".into();
        }
        match named_kinds().iter().find(|(_, unit)| unit.kind() == kind) {
            Some((name, _)) => format!("{} {name}", article(name)),
            None => format!("a quantity in {}", self.customary(kind).symbol()),
        }
    }
}

fn article(name: &str) -> &'static str {
    if name.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}

/// Both letters of µ and both of Ω stand for one unit each.
fn usual_letters(symbol: &str) -> Cow<'_, str> {
    if symbol.is_ascii() {
        return Cow::Borrowed(symbol);
    }
    Cow::Owned(symbol.replace('\u{3bc}', "\u{b5}").replace('\u{2126}', "\u{3a9}"))
}

fn standard() -> &'static Standard {
    static TABLE: OnceLock<Standard> = OnceLock::new();
    TABLE.get_or_init(|| read_table(include_str!("../data/units.csv")))
}

/// The kinds with a name, each with its customary unit.
fn named_kinds() -> &'static [(String, Unit)] {
    static TABLE: OnceLock<Vec<(String, Unit)>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let units = Units::standard();
        records(include_str!("../data/kinds.csv"))
            .filter_map(|row| Some((row[0].to_owned(), units.read(row.get(1)?).ok()?)))
            .collect()
    })
}

/// The records of a data file behind its comment and heading lines. The files hold no quotes.
fn records(text: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    text.lines().filter(|line| !line.starts_with('#')).skip(1).map(|line| line.split(',').collect())
}

fn read_table(text: &'static str) -> Standard {
    let mut table =
        Standard { rows: Vec::new(), by_symbol: BTreeMap::new(), slips: BTreeMap::new() };
    for (index, row) in records(text).enumerate() {
        let words = |column: usize| row[column].split_whitespace();
        table.by_symbol.insert(row[0], index);
        table.by_symbol.extend(words(1).map(|alias| (alias, index)));
        table.slips.extend(words(2).map(|slip| (slip, index)));
        let aliases = words(1).map(str::to_owned).collect();
        table.rows.push(UnitRow { unit: read_unit(&row), aliases, name: row[3].to_owned() });
    }
    table
}

fn read_unit(row: &[&str]) -> Unit {
    let factor = |column: usize| row[column].parse().unwrap_or(f64::NAN);
    let flag = match row[7] {
        "reading" => Flag::Reading,
        "whole" => Flag::Whole,
        _ => Flag::None,
    };
    let kind = read_kind(row[4]).unwrap_or(Kind::NUMBER);
    Is { symbol: row[0].into(), kind, times: factor(5), over: factor(6), flag }.into()
}

fn read_kind(text: &str) -> Option<Kind> {
    text.split_whitespace().try_fold(Kind::NUMBER, |kind, part| {
        let (name, power) = part.split_once('^').unwrap_or((part, "1"));
        kind.times(Kind::of_name(name)?.powered(Ratio::whole(power.parse().ok()?))?)
    })
}
