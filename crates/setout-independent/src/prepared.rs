//! A formula made ready: its words, what its names stand for, and the unit of its value.

use std::cell::Cell;
use std::collections::HashMap;

use setout_design::{Amount, Role, StandsFor, WrittenFormula};

use crate::agreement::LAST_DIGITS;
use crate::engine::Worth;
use crate::factors::{Factors, Scale};
use crate::judged::Judged;
use crate::reader::{Reader, Surroundings};
use crate::refusal::Refusal;
use crate::shake::Shake;
use crate::token::{Token, tokens};
use crate::tolerance::Zone;

/// A margin of a check is none when it is no more than this in its unit (`docs/format.md`).
const NO_MARGIN: f64 = 1e-9;

pub(crate) struct Prepared<'a> {
    pub(crate) source: &'a WrittenFormula,
    pub(crate) tokens: Result<Vec<Token>, Refusal>,
    pub(crate) names: HashMap<&'a str, &'a StandsFor>,
    /// Of the unit in which the first engine gives the value.
    pub(crate) scale: Result<Scale, Refusal>,
    /// What a tolerance says. The words are then the name of its dimension alone.
    zone: Option<Result<Zone, Refusal>>,
}

impl<'a> Prepared<'a> {
    pub(crate) fn of(source: &'a WrittenFormula, factors: &Factors) -> Self {
        let zone = source.role.is_deviation().then(|| Zone::read(&source.written, factors));
        let tokens = match source.is_literal {
            true => Ok(vec![Token::Text(source.written.clone())]),
            false if zone.is_some() => {
                Ok(source.names.iter().map(|(name, _)| Token::Name(name.clone())).collect())
            }
            false => tokens(&source.written, factors),
        };
        let names = source.names.iter().map(|(name, of)| (name.as_str(), of)).collect();
        Self { source, tokens, names, scale: scale(source, factors), zone }
    }

    /// The first engine's value in the second's base units.
    pub(crate) fn first(&self) -> Option<Worth> {
        Some(match self.source.value.as_ref()? {
            Amount::Number { number, .. } => {
                Worth::Number(self.scale.as_ref().ok()?.to_base(*number))
            }
            Amount::Text(text) => Worth::Text(text.clone()),
            Amount::Truth(truth) => Worth::Truth(*truth),
        })
    }

    /// About as many numbers as are met when the formula is computed, and no fewer unless a fold
    /// stands inside another one.
    pub(crate) fn most_numbers(&self) -> usize {
        let rows = self.names.values().map(|of| match of {
            StandsFor::Value(_) => 1,
            StandsFor::Column(cells) => cells.len().max(1),
        });
        self.tokens.as_ref().map_or(0, Vec::len).saturating_mul(rows.max().unwrap_or(1))
    }

    /// What the formula comes to for these values; of a check its margin.
    pub(crate) fn worked(
        &self,
        value: &dyn Fn(&str) -> Option<Worth>,
        mut shake: Shake,
        left: &Cell<u64>,
    ) -> Result<Worth, Refusal> {
        let scale = self.scale.as_ref().map_err(Clone::clone)?;
        let tokens = self.tokens.as_ref().map_err(Clone::clone)?;
        let around = Surroundings { names: &self.names, value, left };
        if self.zone.is_some() {
            shake.limit(LAST_DIGITS);
        }
        let is_check = self.source.role == Role::Check;
        let zero = if is_check { NO_MARGIN * scale.factor } else { 0.0 };
        let (worth, judged) = Reader::new(tokens, &around, shake, zero).formula()?;
        let has_margin = matches!(self.source.value, Some(Amount::Number { .. }));
        if let Some(zone) = &self.zone {
            return zone.as_ref().map_err(Clone::clone).map(|zone| self.deviation(zone, &worth));
        }
        match judged {
            Some(judged) if !judged.sound => Ok(Worth::NONE),
            Some(judged) if is_check && has_margin => Ok(self.margin(judged, zero)),
            _ => Ok(worth),
        }
    }

    fn deviation(&self, zone: &Zone, nominal: &Worth) -> Worth {
        let both = nominal.number().and_then(|nominal| zone.deviations(nominal));
        let is_upper = self.source.role == Role::UpperDeviation;
        both.map_or(Worth::NONE, |both| Worth::Number(both[usize::from(is_upper)]))
    }

    /// The margin of a check; its verdict where that is what the engines differ on.
    fn margin(&self, judged: Judged, zero: f64) -> Worth {
        let Some(margin) = judged.margin else { return Worth::Truth(judged.holds) };
        // Where one engine takes a margin for none and the other just not, the verdict may differ.
        let near_none = margin != 0.0 && margin.abs() <= 2.0 * zero;
        match self.source.holds == Some(judged.holds) || near_none {
            true => Worth::Number(margin),
            false => Worth::Truth(judged.holds),
        }
    }

    /// A value of the second engine in the unit of the first.
    pub(crate) fn shown(&self, worth: &Worth) -> Option<Amount> {
        match (worth, &self.source.value, &self.scale) {
            (Worth::Number(number), Some(Amount::Number { unit, .. }), Ok(scale)) => {
                let number = scale.shown(*number);
                number.is_finite().then(|| Amount::Number { number, unit: unit.clone() })
            }
            (Worth::Text(text), ..) => Some(Amount::Text(text.clone())),
            (Worth::Truth(truth), ..) => Some(Amount::Truth(*truth)),
            _ => None,
        }
    }
}

fn scale(source: &WrittenFormula, factors: &Factors) -> Result<Scale, Refusal> {
    let symbol = source.value.as_ref().map_or("", Amount::unit);
    let unknown = || Refusal::NoUnit { symbol: symbol.to_owned() };
    let scale = factors.of(symbol).ok_or_else(unknown)?;
    // A margin is a difference, and so is a deviation: they know no zero of a scale.
    let is_difference =
        matches!(source.role, Role::Check | Role::Tight) || source.role.is_deviation();
    Ok(if is_difference { Scale { zero: 0.0, ..scale } } else { scale })
}
