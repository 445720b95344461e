//! The usual caution, where a result bears on the safety of people.

use std::sync::OnceLock;

use setout_quantity::{Kind, Unit, Units};

/// What is said wherever [`bears_on_safety`] finds something.
pub const CAUTION: &str = "These numbers do not make a mechanism safe: moving faces pinch, \
stalled servos and cells get hot, magnets are swallowed. Local codes and a competent person decide.";

/// A unit of each kind of quantity that can hurt: currents and the powers, charges and energies
/// they bring, forces, torques, heat.
const UNITS: [&str; 8] = ["A", "N", "N·m", "W", "K", "A·s", "K/W", "V"];

/// The beginnings of words that speak of what can hurt.
const WORDS: [&str; 11] = [
    "batter", "burn", "cell", "heat", "hot", "magnet", "pinch", "scald", "servo", "solder", "stall",
];

/// Whether a quantity in this unit, or a thing that these texts speak of, can hurt somebody.
pub fn bears_on_safety<'a>(unit: &Unit, texts: impl IntoIterator<Item = &'a str>) -> bool {
    kinds().contains(&unit.kind()) || texts.into_iter().any(speaks_of_danger)
}

fn kinds() -> &'static [Kind] {
    static KINDS: OnceLock<Vec<Kind>> = OnceLock::new();
    KINDS.get_or_init(|| {
        let standard = Units::standard();
        UNITS.iter().filter_map(|unit| standard.read(unit).ok()).map(|unit| unit.kind()).collect()
    })
}

/// Whether a text speaks of what can hurt somebody.
pub fn speaks_of_danger(text: &str) -> bool {
    let lower = text.to_lowercase();
    let mut words = lower.split(|c: char| !c.is_alphabetic());
    words.any(|word| WORDS.iter().any(|start| word.starts_with(start)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_can_hurt_is_found() {
        let unit = |symbol: &str| Units::standard().read(symbol).expect("a unit");
        assert_eq!(kinds().len(), UNITS.len());
        assert!(bears_on_safety(&unit("kgf·cm"), []));
        assert!(bears_on_safety(&unit("°C"), []));
        assert!(bears_on_safety(&unit("mm"), ["drive.servo_gap", "Magnets hold it"]));
        assert!(!bears_on_safety(&unit("mm"), ["jaw.width", "a shot of the photocell"]));
        assert!(!bears_on_safety(&unit("g"), []));
    }
}
