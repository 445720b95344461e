//! The processes that parts and tolerances name.

use std::collections::HashMap;

use setout_quantity::nearest;

use crate::document::{Process, Zone};
use crate::limits::most_guesses;
use crate::material::Material;
use crate::{Fault, Place, Slug};

/// Processes that are named must be there, and have a tolerance where one is asked of them. What
/// was meant is guessed for the first few only.
pub(super) fn process_faults(material: &Material) -> Vec<Fault> {
    let processes = material.common.processes.iter();
    let known: HashMap<_, _> = processes.map(|process| (process.name.as_str(), process)).collect();
    let most_guesses = most_guesses(known.len());
    let mut found = Found { material, known, faults: Vec::new(), most_guesses };
    for table in &material.tables {
        let made = table.parts.iter().filter_map(|part| part.made.as_ref());
        for made in made.filter(|made| made.text() != "bought") {
            found.process(made.text(), &made.place, "bought");
        }
        for dimension in &table.dimensions {
            let zone = dimension.tolerance.as_ref().map(|tolerance| &tolerance.zone);
            let Some(Zone::Process(name)) = zone else { continue };
            let place = dimension.tolerance_at.as_deref().unwrap_or(&dimension.place);
            if let Some(process) = found.process(name, place, "±0.2 mm") {
                found.tolerance(process, place);
            }
        }
    }
    found.faults
}

struct Found<'a> {
    material: &'a Material,
    known: HashMap<&'a str, &'a Process>,
    faults: Vec<Fault>,
    most_guesses: usize,
}

impl<'a> Found<'a> {
    fn process(&mut self, name: &str, place: &Place, otherwise: &str) -> Option<&'a Process> {
        let found = self.known.get(name).copied();
        if found.is_none() && !self.material.common.processes_lost {
            let guess = self.faults.len() < self.most_guesses;
            let near = if guess { nearest(name, self.known.keys().copied()) } else { None };
            let help = match near {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("add it to `processes` in design.yaml, or write `{otherwise}`"),
            };
            let message = format!("there is no process `{}`", name.escape_debug());
            let (place, slug) = (place.clone(), Slug::UnknownName);
            self.faults.push(Fault { place, slug, message, help });
        }
        found
    }

    fn tolerance(&mut self, process: &Process, place: &Place) {
        if process.tolerance.is_none() && !process.lost {
            let message = format!("the process `{}` has no tolerance", process.name);
            let help = format!("give it one at {}, or write `±0.2 mm`", process.place);
            let (place, slug) = (place.clone(), Slug::BadValue);
            self.faults.push(Fault { place, slug, message, help });
        }
    }
}
