//! Texts as numbers, so that all values of a design are floats in one list.

use std::collections::HashMap;
use std::sync::Arc;

/// The texts of a design, each with a number of its own.
///
/// ```
/// let mut texts = setout_formula::Texts::default();
/// let size = texts.number("M4");
/// assert_eq!(texts.number("M4"), size);
/// assert_eq!(texts.text(size), "M4");
/// ```
#[derive(Clone, Debug, Default)]
pub struct Texts {
    // Shared, since every evaluation takes a copy along.
    all: Arc<All>,
}

#[derive(Clone, Debug, Default)]
struct All {
    numbers: HashMap<Arc<str>, u32>,
    texts: Vec<Arc<str>>,
}

impl Texts {
    /// The number of a text, a new one if it has none yet.
    pub fn number(&mut self, text: &str) -> f64 {
        if let Some(number) = self.known(text) {
            return number;
        }
        let all = Arc::make_mut(&mut self.all);
        let number = all.texts.len() as u32;
        let shared: Arc<str> = text.into();
        all.texts.push(shared.clone());
        all.numbers.insert(shared, number);
        f64::from(number)
    }

    /// The number of a text that has one.
    pub fn known(&self, text: &str) -> Option<f64> {
        self.all.numbers.get(text).map(|number| f64::from(*number))
    }

    /// The text of a number, empty for one that was never given out.
    pub fn text(&self, number: f64) -> &str {
        self.all.texts.get(number as usize).map_or("", |text| text)
    }
}
