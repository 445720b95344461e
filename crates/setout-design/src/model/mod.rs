//! Names looked up, kinds known, code written: a design ready to be evaluated.

mod alike;
mod build;
mod cad_use;
mod compile;
pub mod graph;
mod names;
mod number;
mod processes;
mod symbols;
mod tolerances;
mod unused;

use std::collections::BTreeMap;
use std::sync::Arc;

use setout_formula::{Code, Meaning, Program, Requirement, Texts, Type};
use setout_quantity::Unit;
use smallvec::SmallVec;
use smol_str::SmolStr;

use crate::document::{Expr, Measured, Shares, Spread, Tolerance};
use crate::material::Material;
use crate::{Fault, Place, Warning};
pub(crate) use alike::{are_tables_alike, is_alike, model_like};
pub(crate) use build::build;
pub(crate) use cad_use::{CadFile, Models, each_model_text, read_cad_files};
use graph::Graph;
pub use names::exported_name;
pub(crate) use symbols::{Symbol, Symbols};

/// How many names of a way from an edit to a consequence are given.
const LONGEST_WAY: usize = 12;

/// What a node of the graph is. Those down to `DesignMass` are values that formulas can name;
/// the others only need values.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) enum NodeOf {
    Dimension { table: u32, index: u32 },
    Cell { table: u32, schedule: u32, row: u32, column: u32 },
    Cost { table: u32, part: u32 },
    Mass { table: u32, part: u32 },
    Quantity { table: u32, part: u32 },
    DesignCost,
    DesignMass,
    Min { slot: u32 },
    Max { slot: u32 },
    TravelFrom { slot: u32 },
    TravelTo { slot: u32 },
    Check { check: u32 },
    Tight { check: u32 },
}

impl NodeOf {
    /// The number of the table that the value stands in, if it is one that stands in a table.
    pub(crate) fn table(self) -> Option<u32> {
        match self {
            Self::Dimension { table, .. }
            | Self::Cell { table, .. }
            | Self::Cost { table, .. }
            | Self::Mass { table, .. }
            | Self::Quantity { table, .. } => Some(table),
            _ => None,
        }
    }

    /// Whether formulas can name it.
    pub(crate) fn is_value(self) -> bool {
        !matches!(
            self,
            Self::Min { .. }
                | Self::Max { .. }
                | Self::TravelFrom { .. }
                | Self::TravelTo { .. }
                | Self::Check { .. }
                | Self::Tight { .. }
        )
    }
}

/// What a name in a formula was found to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Target {
    Slot(u32),
    Column {
        schedule: u32,
        column: u32,
    },
    /// Its fault is kept.
    Unknown,
}

/// How a node's value comes about.
#[derive(Clone, Debug)]
pub(crate) enum Calculation {
    /// It has a fault, or depends on nothing that can be computed.
    None,
    /// Literal text, by its number.
    Text(f64),
    /// A formula.
    Code(Code),
    /// The sum of products of slots: what all parts cost, or weigh.
    Total(Box<[(u32, u32)]>),
    /// A check's requirement.
    Requirement(Box<Requirement>),
}

/// A node of the graph.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    pub(crate) of: NodeOf,
    /// The full name: `jaw.width`, `drive.servo.jaw_left.neutral`.
    pub(crate) name: SmolStr,
    pub(crate) place: Place,
    /// What the names of its formula are, in their order.
    pub(crate) targets: Box<[Target]>,
    pub(crate) kind: Type,
    /// The unit it is shown in.
    pub(crate) unit: Unit,
    pub(crate) calculation: Calculation,
}

/// What is known of a schedule.
#[derive(Clone, Debug)]
pub(crate) struct ScheduleNodes {
    pub(crate) name: String,
    /// The slots of each column, row by row.
    pub(crate) columns: Vec<Vec<u32>>,
}

/// What is known of a check.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CheckNodes {
    pub(crate) table: u32,
    pub(crate) index: u32,
    pub(crate) node: u32,
    pub(crate) tight: Option<u32>,
}

/// What is known of a part.
#[derive(Clone, Debug)]
pub(crate) struct PartNodes {
    pub(crate) table: u32,
    pub(crate) index: u32,
    pub(crate) name: String,
    pub(crate) cost: Option<u32>,
    pub(crate) mass: Option<u32>,
    pub(crate) quantity: u32,
    /// The slots that it uses, from `uses:` and from its model, in the order of their numbers.
    pub(crate) uses: Vec<u32>,
}

/// What limits a dimension.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct LimitNodes {
    pub(crate) min: Option<u32>,
    pub(crate) max: Option<u32>,
    pub(crate) travel: Option<[u32; 2]>,
}

/// How the errors of a dimension fall within its tolerance.
#[derive(Clone, Debug, Default)]
pub(crate) struct Errors {
    pub(crate) spread: Spread,
    pub(crate) measured: Option<Measured>,
    pub(crate) shares: Option<Shares>,
}

/// A design ready to be evaluated.
#[derive(Clone, Debug)]
pub(crate) struct Model {
    /// Values first, then what only needs values.
    pub(crate) nodes: Vec<Node>,
    /// How many of the nodes are values.
    pub(crate) slots: usize,
    // What follows from names alone is shared with models of the same names.
    pub(crate) graph: Arc<Graph>,
    pub(crate) symbols: Arc<Symbols>,
    pub(crate) schedules: Arc<[ScheduleNodes]>,
    pub(crate) column_kinds: Arc<[Vec<Type>]>,
    pub(crate) checks: Arc<[CheckNodes]>,
    pub(crate) parts: Arc<[PartNodes]>,
    /// By slot, for dimensions.
    pub(crate) limits: Arc<BTreeMap<u32, LimitNodes>>,
    pub(crate) tolerances: BTreeMap<u32, Tolerance>,
    /// How the errors of those with a tolerance fall.
    pub(crate) errors: BTreeMap<u32, Errors>,
    /// How all values come about, in order.
    pub(crate) program: Program,
    pub(crate) texts: Texts,
    pub(crate) faults: Vec<Fault>,
    pub(crate) warnings: Vec<Warning>,
    pub(crate) design_cost: u32,
    pub(crate) design_mass: u32,
}

/// The formula of a node, if it has one.
pub(crate) fn expr_of<'m>(
    material: &'m Material,
    nodes: &[Node],
    checks: &[CheckNodes],
    of: NodeOf,
) -> Option<&'m Expr> {
    let table = |table: u32| &material.tables[table as usize];
    let dimension = |slot: u32| match nodes[slot as usize].of {
        NodeOf::Dimension { table: t, index } => Some(&table(t).dimensions[index as usize]),
        _ => None,
    };
    let check = |check: u32| {
        let CheckNodes { table: t, index, .. } = checks[check as usize];
        &table(t).checks[index as usize]
    };
    let part = |t: u32, part: u32| &table(t).parts[part as usize];
    match of {
        NodeOf::Dimension { .. } | NodeOf::Cell { .. } => material.value(of)?.formula(),
        NodeOf::Cost { table, part: index } => part(table, index).cost.as_ref(),
        NodeOf::Mass { table, part: index } => part(table, index).mass.as_ref(),
        NodeOf::Quantity { table, part: index } => part(table, index).quantity.as_ref(),
        NodeOf::DesignCost | NodeOf::DesignMass => None,
        NodeOf::Min { slot } => dimension(slot)?.min.as_deref(),
        NodeOf::Max { slot } => dimension(slot)?.max.as_deref(),
        NodeOf::TravelFrom { slot } => dimension(slot)?.travel.as_ref().map(|ends| &ends[0]),
        NodeOf::TravelTo { slot } => dimension(slot)?.travel.as_ref().map(|ends| &ends[1]),
        NodeOf::Check { check: index } => check(index).require.as_ref(),
        NodeOf::Tight { check: index } => check(index).tight.as_ref(),
    }
}

impl Model {
    /// Puts a node whose calculation is known behind all that is computed before it.
    fn plan(&mut self, node: u32) {
        let of = &self.nodes[node as usize];
        let is_read_whole = |target: &Target| matches!(target, Target::Slot(_));
        match &of.calculation {
            Calculation::None | Calculation::Requirement(_) => {}
            Calculation::Code(code)
                if of.targets.iter().all(is_read_whole) && Self::takes_any_number(of) =>
            {
                self.program.push(node, code);
            }
            _ => self.program.push_other(node),
        }
    }

    /// Whether a node may come to any number: counts are whole and not too many, and texts are
    /// held against choices.
    fn takes_any_number(node: &Node) -> bool {
        !node.unit.is_whole()
            && node.kind != Type::Text
            && !matches!(node.of, NodeOf::Quantity { .. })
    }

    /// Whether this is a model of the same names in the same order, made from the other or the other
    /// from it.
    pub(crate) fn has_names_of(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.symbols, &other.symbols)
    }

    /// The formula of a node, if it has one.
    pub(crate) fn expr<'m>(&self, material: &'m Material, node: u32) -> Option<&'m Expr> {
        expr_of(material, &self.nodes, &self.checks, self.nodes[node as usize].of)
    }

    /// What the names of a node's formula mean, now that kinds are known.
    pub(crate) fn meanings(&self, targets: &[Target]) -> SmallVec<[Meaning<'_>; 8]> {
        targets.iter().map(|target| self.meaning(*target)).collect()
    }

    fn meaning(&self, target: Target) -> Meaning<'_> {
        match target {
            Target::Unknown => Meaning::Unknown,
            Target::Slot(slot) => match self.nodes[slot as usize].kind {
                Type::Unknown => Meaning::Unknown,
                of => Meaning::Value { slot, of },
            },
            Target::Column { schedule, column } => {
                let slots = &self.schedules[schedule as usize].columns[column as usize];
                // A column without rows has no cell to ask; its kind is kept beside it.
                let of = self.column_kinds[schedule as usize][column as usize];
                match of {
                    Type::Unknown => Meaning::Unknown,
                    of => Meaning::Column { schedule, slots, of },
                }
            }
        }
    }

    /// The full name of what a name was found to be.
    pub(crate) fn target_name(&self, material: &Material, target: Target) -> Option<String> {
        match target {
            Target::Slot(slot) => Some(self.nodes[slot as usize].name.to_string()),
            Target::Column { schedule, column } => {
                let mut schedules = material.tables.iter().flat_map(|table| &table.schedules);
                let column = &schedules.nth(schedule as usize)?.columns[column as usize];
                Some(format!("{}.{}", self.schedules[schedule as usize].name, column.name))
            }
            Target::Unknown => None,
        }
    }

    /// A way through the graph as names; what was left out of a long one is `…`.
    pub(crate) fn way(&self, ways: &graph::Ways, node: u32) -> Vec<String> {
        let name = |node: Option<u32>| {
            node.map_or_else(|| "…".to_owned(), |node| self.nodes[node as usize].name.to_string())
        };
        ways.to(node, LONGEST_WAY).into_iter().map(name).collect()
    }

    /// Whether a node's value names no other value.
    pub(crate) fn is_chosen(&self, node: u32) -> bool {
        let node = &self.nodes[node as usize];
        node.targets.is_empty() && !matches!(node.calculation, Calculation::Total(_))
    }
}
