//! The requirement of a check: comparisons with margins, joined by `&&`, `||`, `!` and `if`.

use setout_quantity::{Kind, Unit, Units};

use crate::code::{Code, Machine, Stop};
use crate::compile::code_of;
use crate::syntax::{Binary, Comparison, Node, NodeId, Unary};
use crate::typing::{Meaning, Type, Typed, types};
use crate::{BlockMachine, Formula, FormulaFault, Samples, Span, Texts};

/// A check's requirement as code: every comparison keeps both its sides, so that how far it is
/// from failing can be said, not only whether it fails.
#[derive(Clone, Debug)]
pub struct Requirement {
    /// Each part stands behind those that it joins; the last is the whole.
    pub(crate) parts: Vec<Part>,
    kind: Option<Kind>,
    /// Whether everything in it is known, so that it can be computed.
    known: bool,
}

#[derive(Clone, Debug)]
pub(crate) enum Part {
    /// A comparison of quantities, which has a margin.
    Compare {
        comparison: Comparison,
        left: Code,
        right: Code,
    },
    /// Any other condition, turned or not.
    Test {
        code: Code,
        turned: bool,
    },
    And(usize, usize),
    Or(usize, usize),
    Choice {
        condition: Code,
        then: usize,
        otherwise: usize,
    },
}

/// Whether a requirement holds, and how far it is from turning, in base units. There is no margin
/// where a comparison of texts, truths or equal numbers alone decided.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outcome {
    /// Whether it holds.
    pub holds: bool,
    /// How far it is from failing; negative when it fails.
    pub margin: Option<f64>,
}

impl Requirement {
    /// The same requirement over slots of other numbers.
    #[must_use]
    pub fn with_slots(&self, to: &dyn Fn(u32) -> u32) -> Self {
        let moved = |part: &Part| match part {
            Part::Compare { comparison, left, right } => Part::Compare {
                comparison: *comparison,
                left: left.with_slots(to),
                right: right.with_slots(to),
            },
            Part::Test { code, turned } => {
                Part::Test { code: code.with_slots(to), turned: *turned }
            }
            Part::Choice { condition, then, otherwise } => Part::Choice {
                condition: condition.with_slots(to),
                then: *then,
                otherwise: *otherwise,
            },
            part => part.clone(),
        };
        Self { parts: self.parts.iter().map(moved).collect(), ..self.clone() }
    }
}

/// Where the unit of a margin can be taken from.
#[derive(Clone, Debug, PartialEq)]
pub enum MarginUnit {
    /// From the dimension that one side of a comparison names; an index of the formula's names.
    Name(usize),
    /// From a literal.
    Literal(Unit),
}

impl Formula {
    /// Reads the formula as a check's requirement.
    ///
    /// # Errors
    /// Every mismatch of kinds, and a formula that is no condition.
    pub fn requirement(
        &self,
        names: &[Meaning<'_>],
        units: &Units,
        texts: &mut Texts,
    ) -> Result<Requirement, Vec<FormulaFault>> {
        let (types, faults) = types(self, names, units);
        if !faults.is_empty() {
            return Err(faults);
        }
        let root = self.root();
        let of = types[root as usize].of;
        if !matches!(of, Type::Truth | Type::Unknown) {
            let reason = format!("a check needs a comparison, and this is {}", of.describe(units));
            let at = Span::new(0, self.text.len());
            return Err(vec![FormulaFault::mismatch(
                at,
                reason,
                "write for example `gap >= 1 mm`",
            )]);
        }
        if types[root as usize].column.is_some() {
            return Err(vec![crate::compile::column_fault(self)]);
        }
        if types.iter().any(|typed| typed.of == Type::Unknown) {
            let uncomputable = Part::Test { code: Code::default(), turned: false };
            return Ok(Requirement { parts: vec![uncomputable], kind: None, known: false });
        }
        let mut builder =
            Builder { formula: self, names, types: &types, texts, parts: Vec::new(), kind: None };
        builder.build(units).map_err(|fault| vec![fault])?;
        Ok(Requirement { parts: builder.parts, kind: builder.kind, known: true })
    }

    /// Where the unit of a margin of this kind can be taken from, best first.
    pub fn margin_units(&self) -> Vec<MarginUnit> {
        let mut names = Vec::new();
        let mut literals = Vec::new();
        for node in &self.nodes {
            let Node::Binary(Binary::Compare(_), left, right) = node else { continue };
            for side in [left, right] {
                match &self.nodes[*side as usize] {
                    Node::Name(index) => names.push(MarginUnit::Name(*index as usize)),
                    Node::Number { unit: Some(unit), .. } => {
                        literals.push(MarginUnit::Literal(unit.clone()));
                    }
                    _ => {}
                }
            }
        }
        names.extend(literals);
        names
    }
}

struct Builder<'a> {
    formula: &'a Formula,
    names: &'a [Meaning<'a>],
    types: &'a [Typed],
    texts: &'a mut Texts,
    parts: Vec<Part>,
    kind: Option<Kind>,
}

/// How a node takes part: not at all, as it stands, or turned by a `!` above it.
#[derive(Clone, Copy, PartialEq)]
enum Role {
    None,
    Plain,
    Turned,
}

impl Role {
    fn flipped(self) -> Self {
        match self {
            Self::None => Self::None,
            Self::Plain => Self::Turned,
            Self::Turned => Self::Plain,
        }
    }
}

impl Builder<'_> {
    fn build(&mut self, units: &Units) -> Result<(), FormulaFault> {
        let roles = self.roles();
        let mut made = vec![0; self.formula.nodes.len()];
        for (index, role) in roles.iter().enumerate() {
            if *role != Role::None {
                made[index] = self.part(index as NodeId, *role == Role::Turned, &made, units)?;
            }
        }
        Ok(())
    }

    /// Parents stand behind their children, so one pass backwards hands the roles down.
    fn roles(&self) -> Vec<Role> {
        let mut roles = vec![Role::None; self.formula.nodes.len()];
        roles[self.formula.root() as usize] = Role::Plain;
        for index in (0..roles.len()).rev() {
            let role = roles[index];
            match &self.formula.nodes[index] {
                _ if role == Role::None => {}
                Node::Binary(Binary::And | Binary::Or, a, b) | Node::If(_, a, b) => {
                    roles[*a as usize] = role;
                    roles[*b as usize] = role;
                }
                Node::Unary(Unary::Not, inner) => roles[*inner as usize] = role.flipped(),
                _ => {}
            }
        }
        roles
    }

    fn part(
        &mut self,
        node: NodeId,
        turned: bool,
        made: &[usize],
        units: &Units,
    ) -> Result<usize, FormulaFault> {
        let at = |node: &NodeId| made[*node as usize];
        let part = match &self.formula.nodes[node as usize] {
            Node::Unary(Unary::Not, inner) => return Ok(at(inner)),
            // !(a && b) is !a || !b.
            Node::Binary(Binary::And, a, b) if !turned => Part::And(at(a), at(b)),
            Node::Binary(Binary::And, a, b) => Part::Or(at(a), at(b)),
            Node::Binary(Binary::Or, a, b) if !turned => Part::Or(at(a), at(b)),
            Node::Binary(Binary::Or, a, b) => Part::And(at(a), at(b)),
            Node::If(condition, a, b) => {
                let condition = self.code(*condition)?;
                Part::Choice { condition, then: at(a), otherwise: at(b) }
            }
            Node::Binary(Binary::Compare(comparison), left, right)
                if !matches!(comparison, Comparison::Equal | Comparison::Unequal) =>
            {
                self.note_kind(node, self.types[*left as usize].of, units)?;
                let comparison = if turned { comparison.turned() } else { *comparison };
                Part::Compare { comparison, left: self.code(*left)?, right: self.code(*right)? }
            }
            _ => Part::Test { code: self.code(node)?, turned },
        };
        self.parts.push(part);
        Ok(self.parts.len() - 1)
    }

    fn code(&mut self, node: NodeId) -> Result<Code, FormulaFault> {
        code_of(self.formula, node, self.names, self.types, self.texts)
    }

    fn note_kind(&mut self, node: NodeId, of: Type, units: &Units) -> Result<(), FormulaFault> {
        let kind = match of {
            Type::Quantity(kind) => kind,
            Type::Reading => Kind::TEMPERATURE,
            _ => return Ok(()),
        };
        match self.kind.replace(kind) {
            Some(before) if before != kind => {
                let reason = format!(
                    "this check compares {} and then {}, so it has no one margin",
                    units.describe(before),
                    units.describe(kind)
                );
                let at = self.formula.spans[node as usize];
                Err(FormulaFault::mismatch(at, reason, "split it into two checks"))
            }
            _ => Ok(()),
        }
    }
}

impl Requirement {
    /// What the margin measures; `None` where nothing in the requirement has a margin.
    pub fn kind(&self) -> Option<Kind> {
        self.kind
    }

    /// Whether it is known that nothing in the requirement has a margin.
    pub fn has_no_margin(&self) -> bool {
        self.known && self.kind.is_none()
    }

    /// Whether the requirement holds for these values. Margins of no more than `zero`, in base
    /// units, count as 0.
    ///
    /// # Errors
    /// [`Stop`] where a value that decides could not be computed.
    pub fn outcome(
        &self,
        machine: &mut Machine,
        slots: &[f64],
        zero: f64,
    ) -> Result<Outcome, Stop> {
        let mut made: Vec<Result<Outcome, Stop>> = Vec::with_capacity(self.parts.len());
        for part in &self.parts {
            let outcome = match part {
                Part::Compare { comparison, left, right } => {
                    compared(machine, slots, zero, *comparison, left, right)
                }
                Part::Test { code, turned } => machine
                    .run(code, slots)
                    .map(|truth| Outcome { holds: (truth != 0.0) != *turned, margin: None }),
                Part::And(a, b) => joined(made[*a], made[*b], true),
                Part::Or(a, b) => joined(made[*a], made[*b], false),
                Part::Choice { condition, then, otherwise } => machine
                    .run(condition, slots)
                    .and_then(|truth| made[if truth != 0.0 { *then } else { *otherwise }]),
            };
            made.push(outcome);
        }
        made.pop().unwrap_or(Ok(Outcome { holds: true, margin: None }))
    }

    /// The same for a block of samples: margins, which are not a number where there is none or none
    /// could be computed, and whether it holds. Each sample comes to what [`Requirement::outcome`]
    /// makes of it alone.
    ///
    /// # Panics
    /// If a slot has numbers for fewer samples than there is room for.
    pub fn outcomes(
        &self,
        machine: &mut BlockMachine,
        texts: &Texts,
        slots: &[Samples<'_>],
        zero: f64,
        margins: &mut [f64],
        holds: &mut [bool],
    ) {
        if let [Part::Compare { comparison, left, right }] = &self.parts[..] {
            let mut others = vec![0.0; margins.len()];
            machine.run(left, slots, margins);
            machine.run(right, slots, &mut others);
            for ((margin, other), holds) in margins.iter_mut().zip(&others).zip(holds) {
                let is_there = !margin.is_nan() && !other.is_nan();
                let (found, is_enough) = margin_of(*comparison, *margin, *other, zero);
                (*margin, *holds) =
                    (if is_there { found } else { f64::NAN }, is_there && is_enough);
            }
            return;
        }
        let mut alone = Machine::with(texts);
        let mut point = vec![0.0; slots.len()];
        for (index, (margin, holds)) in margins.iter_mut().zip(holds).enumerate() {
            for (number, samples) in point.iter_mut().zip(slots) {
                *number = match samples {
                    Samples::Same(number) => *number,
                    Samples::Each(numbers) => numbers[index],
                };
            }
            let outcome = self.outcome(&mut alone, &point, zero);
            *holds = outcome.is_ok_and(|outcome| outcome.holds);
            *margin = outcome.ok().and_then(|outcome| outcome.margin).unwrap_or(f64::NAN);
        }
    }
}

/// How far one side is on the right side of the other, and whether that is enough.
fn margin_of(comparison: Comparison, a: f64, b: f64, zero: f64) -> (f64, bool) {
    let room = match comparison {
        Comparison::Less | Comparison::AtMost => b - a,
        _ => a - b,
    };
    // Both sides are finite, their difference need not be.
    let room = room.clamp(f64::MIN, f64::MAX);
    let margin = if room.abs() <= zero { 0.0 } else { room };
    (margin, if comparison.is_strict() { margin > 0.0 } else { margin >= 0.0 })
}

fn compared(
    machine: &mut Machine,
    slots: &[f64],
    zero: f64,
    comparison: Comparison,
    left: &Code,
    right: &Code,
) -> Result<Outcome, Stop> {
    let (a, b) = (machine.run(left, slots)?, machine.run(right, slots)?);
    let (margin, holds) = margin_of(comparison, a, b, zero);
    Ok(Outcome { holds, margin: Some(margin) })
}

/// `&&` (all) takes the smaller margin, `||` the larger. A side that cannot be computed does not
/// matter where the other one decides.
fn joined(a: Result<Outcome, Stop>, b: Result<Outcome, Stop>, all: bool) -> Result<Outcome, Stop> {
    let (a, b) = match (a, b) {
        (Ok(a), Ok(b)) => (a, b),
        (Ok(sure), Err(_)) | (Err(_), Ok(sure)) if sure.holds != all => return Ok(sure),
        (Err(stop), _) | (_, Err(stop)) => return Err(stop),
    };
    let holds = if all { a.holds && b.holds } else { a.holds || b.holds };
    // Only sides that agree with the whole speak for it.
    let margins = [a, b].into_iter().filter(|side| side.holds == holds).map(|side| side.margin);
    let decided: Vec<Option<f64>> = margins.collect();
    let pick = |x: f64, y: f64| if all { x.min(y) } else { x.max(y) };
    let margin = match decided[..] {
        [Some(x), Some(y)] => Some(pick(x, y)),
        // A test without margin that holds leaves the margin of an `&&` to the other side, and
        // settles an `||`; one that fails does the reverse.
        [None, other] | [other, None] if holds == all => other,
        [only] => only,
        _ => None,
    };
    Ok(Outcome { holds, margin })
}
