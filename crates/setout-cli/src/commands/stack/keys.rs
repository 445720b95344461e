//! A stack-up for programs.

use serde::Serialize;
use setout::{CONFIDENCE, Capability, Contributor, Loosest, Odds, OverTravel, Setting, Toleranced};

use super::Stacked;
use crate::draw::json::unsigned_zero;

#[derive(Serialize)]
pub(super) struct Keys<'a> {
    name: &'a str,
    unit: &'a str,
    /// `margin` of a check, or the `value` of a dimension.
    of: &'static str,
    nominal: f64,
    wanted: Ends,
    pose: Vec<Stands<'a>>,
    worst: Option<Worst<'a>>,
    rss: Option<Rss>,
    simulated: Option<Simulated>,
    contributions: Vec<Contribution<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    least: Option<LeastKeys<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    over_travel: Option<Travel<'a>>,
    notes: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<&'a str>,
}

#[derive(Serialize)]
struct Ends {
    low: Option<f64>,
    high: Option<f64>,
}

impl Ends {
    fn of(ends: Option<[f64; 2]>) -> Option<Self> {
        ends.map(|[low, high]| Self {
            low: Some(unsigned_zero(low)),
            high: Some(unsigned_zero(high)),
        })
    }
}

#[derive(Serialize)]
struct Stands<'a> {
    name: &'a str,
    value: f64,
    unit: &'a str,
}

impl<'a> Stands<'a> {
    fn all(of: &'a [Setting]) -> Vec<Self> {
        let stands = |own: &'a Setting| Self {
            name: &own.name,
            value: unsigned_zero(own.value),
            unit: own.unit.symbol(),
        };
        of.iter().map(stands).collect()
    }
}

#[derive(Serialize)]
struct Worst<'a> {
    low: f64,
    high: f64,
    how: &'static str,
    /// The least and the most that were reached, and the deviations there.
    reached: [Reached<'a>; 2],
}

#[derive(Serialize)]
struct Reached<'a> {
    value: f64,
    deviations: Vec<Stands<'a>>,
}

/// The least margin over all poses and tolerances.
#[derive(Serialize)]
struct LeastKeys<'a> {
    margin: f64,
    pose: Vec<Stands<'a>>,
}

#[derive(Serialize)]
struct Rss {
    low: f64,
    high: f64,
    mean: f64,
    deviation: f64,
    coverage: f64,
    outside_ppm: Option<f64>,
    how: &'static str,
}

#[derive(Serialize)]
struct Simulated {
    mean: f64,
    deviation: f64,
    low: f64,
    high: f64,
    coverage: f64,
    samples: u64,
    seed: u64,
    /// How many of them have no value.
    without: u64,
    outside_ppm: Option<f64>,
    outside: Option<Chance>,
    capability: Option<Able>,
    how: &'static str,
}

#[derive(Serialize)]
struct Chance {
    count: u64,
    of: u64,
    low_ppm: f64,
    high_ppm: f64,
    confidence: f64,
}

impl From<&Odds> for Chance {
    fn from(odds: &Odds) -> Self {
        Self {
            count: odds.count,
            of: odds.of,
            low_ppm: odds.low_ppm,
            high_ppm: odds.high_ppm,
            confidence: CONFIDENCE,
        }
    }
}

#[derive(Serialize)]
struct Able {
    cp: Option<f64>,
    cpl: Option<f64>,
    cpu: Option<f64>,
    cpk: f64,
    k: Option<f64>,
}

impl From<&Capability> for Able {
    fn from(of: &Capability) -> Self {
        Self { cp: of.cp, cpl: of.cpl, cpu: of.cpu, cpk: of.cpk, k: of.k }
    }
}

#[derive(Serialize)]
struct Contribution<'a> {
    name: &'a str,
    share: Option<f64>,
    worst_share: Option<f64>,
    moves: Option<f64>,
    dimensions: Vec<Made<'a>>,
    halved: Halved,
    loosest: Loose<'a>,
}

#[derive(Serialize)]
struct Made<'a> {
    name: &'a str,
    low: f64,
    high: f64,
    unit: &'a str,
    spread: &'a str,
    slope: Option<f64>,
    shares: Option<&'a str>,
    opposite: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    measured: Option<Measured>,
}

#[derive(Serialize)]
struct Measured {
    mean: f64,
    deviation: f64,
    capability: Option<Able>,
    outside_ppm: Option<f64>,
}

#[derive(Serialize)]
struct Halved {
    worst: Option<Ends>,
    rss: Option<Ends>,
}

#[derive(Serialize)]
struct Loose<'a> {
    worst: Option<Room<'a>>,
    rss: Option<Room<'a>>,
}

/// How loose a tolerance could be.
#[derive(Serialize)]
struct Room<'a> {
    /// `holds` up to so many times as it is, at `any` that was tried, or `never`.
    up_to: &'static str,
    times: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    low: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    high: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    unit: Option<&'a str>,
}

impl<'a> Room<'a> {
    fn of(of: &Loosest, own: &'a Contributor) -> Self {
        let (up_to, times) = match of {
            Loosest::Times(times) => ("times", Some(*times)),
            Loosest::Any => ("any", None),
            Loosest::Never => ("never", None),
        };
        let one = match &own.dimensions[..] {
            [one] => Some(one),
            _ => None,
        };
        let ends = one.zip(times).map(|(one, times)| {
            let (middle, half) = ((one.low + one.high) / 2.0, (one.high - one.low) / 2.0 * times);
            [middle - half, middle + half]
        });
        Self {
            up_to,
            times,
            low: ends.map(|[low, _]| unsigned_zero(low)),
            high: ends.map(|[_, high]| unsigned_zero(high)),
            unit: ends.and(one).map(|one| one.unit.symbol()),
        }
    }
}

#[derive(Serialize)]
struct Travel<'a> {
    odds_ppm: f64,
    odds: Chance,
    undecided: u64,
    pose: Vec<Stands<'a>>,
    in_pose: u64,
    seed: u64,
    how: &'static str,
}

impl<'a> Keys<'a> {
    pub(super) fn of(all: &'a Stacked<'_>) -> Self {
        let stack = &all.stack;
        let coverage = stack.asked.coverage;
        Self {
            name: &stack.name,
            unit: stack.unit.symbol(),
            of: if stack.is_margin { "margin" } else { "value" },
            nominal: unsigned_zero(stack.nominal),
            wanted: Ends { low: stack.wanted.low, high: stack.wanted.high },
            pose: Stands::all(&stack.pose),
            worst: stack.worst.as_ref().map(|worst| Worst {
                low: unsigned_zero(worst.low),
                high: unsigned_zero(worst.high),
                how: "proved",
                reached: [0, 1].map(|end| Reached {
                    value: unsigned_zero(worst.reached[end]),
                    deviations: Stands::all(&worst.at[end]),
                }),
            }),
            rss: stack.rss.as_ref().map(|rss| Rss {
                low: unsigned_zero(rss.low),
                high: unsigned_zero(rss.high),
                mean: unsigned_zero(rss.mean),
                deviation: rss.deviation,
                coverage,
                outside_ppm: rss.outside_ppm,
                how: "computed",
            }),
            simulated: stack.simulated.as_ref().map(|drawn| Simulated {
                mean: unsigned_zero(drawn.mean),
                deviation: drawn.deviation,
                low: unsigned_zero(drawn.low),
                high: unsigned_zero(drawn.high),
                coverage,
                samples: drawn.samples,
                seed: stack.asked.seed,
                without: drawn.without,
                outside_ppm: drawn.outside.as_ref().map(Odds::ppm),
                outside: drawn.outside.as_ref().map(Chance::from),
                capability: drawn.capability.as_ref().map(Able::from),
                how: "sampled",
            }),
            contributions: stack.contributors.iter().map(contribution).collect(),
            least: stack.least.as_ref().map(|least| LeastKeys {
                margin: unsigned_zero(least.margin),
                pose: Stands::all(&least.pose),
            }),
            over_travel: stack.over_travel.as_ref().map(|over| travel(over, stack.asked.seed)),
            notes: stack.notes.iter().map(ToString::to_string).collect(),
            caution: all.caution(),
        }
    }
}

fn contribution(own: &Contributor) -> Contribution<'_> {
    let room = |of: &Option<Loosest>| of.as_ref().map(|of| Room::of(of, own));
    Contribution {
        name: &own.name,
        share: own.share,
        worst_share: own.worst_share,
        moves: own.moves,
        dimensions: own.dimensions.iter().map(made).collect(),
        halved: Halved { worst: Ends::of(own.halved.worst), rss: Ends::of(own.halved.rss) },
        loosest: Loose { worst: room(&own.loosest_at_worst), rss: room(&own.loosest_by_rss) },
    }
}

fn made(of: &Toleranced) -> Made<'_> {
    Made {
        name: &of.name,
        low: unsigned_zero(of.low),
        high: unsigned_zero(of.high),
        unit: of.unit.symbol(),
        spread: of.spread.name(),
        slope: of.slope.map(unsigned_zero),
        shares: of.shares.as_deref(),
        opposite: of.is_opposite,
        measured: of.measured.map(|[mean, deviation]| Measured {
            mean: unsigned_zero(mean),
            deviation,
            capability: of.capable.as_ref().map(|capable| Able::from(&capable.of)),
            outside_ppm: of.capable.as_ref().map(|capable| capable.outside_ppm),
        }),
    }
}

fn travel(of: &OverTravel, seed: u64) -> Travel<'_> {
    Travel {
        odds_ppm: of.odds.ppm(),
        odds: Chance::from(&of.odds),
        undecided: of.undecided,
        pose: Stands::all(&of.pose),
        in_pose: of.in_pose,
        seed,
        how: "sampled",
    }
}
