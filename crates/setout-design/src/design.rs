//! A design: read, looked up, ready to be evaluated, changed and compared.

use std::convert::Infallible;
use std::sync::Arc;

use crate::both::both;
use crate::document::Value;
use crate::evaluation::Evaluation;
use crate::material::{Material, read_tables};
use crate::model::{Model, Models, build, is_alike, model_like};
use crate::{Fault, Source, Warning};

/// A design that has been read. Cheap to clone, and it can be shared between threads.
///
/// Reading never fails as a whole: what could be understood is there, and everything else has a
/// fault that says where, why and what would mend it.
///
/// ```
/// use setout_design::{Design, Memory};
/// let texts = Memory::new([
///     ("design.yaml", "setout: 1\nname: a lid\n"),
///     ("lid.yaml", "dimensions:\n  width: 62 mm\n  half: width / 2\n  bad: widht / 2\n"),
/// ]);
/// let design = Design::read(&texts);
/// assert_eq!(design.evaluate().value("lid.half").unwrap().to_string(), "31 mm");
/// assert_eq!(design.faults()[0].to_string(),
///     "lid.yaml:4:8: there is no `widht` (unknown-name)\n  help: did you mean `width`?");
/// ```
#[derive(Clone, Debug)]
pub struct Design {
    pub(crate) material: Arc<Material>,
    pub(crate) model: Arc<Model>,
    pub(crate) faults: Arc<[Fault]>,
}

impl Design {
    /// Reads all texts of a source.
    pub fn read(source: &dyn Source) -> Self {
        let (mut material, mut faults) = read_tables(source, None, None);
        faults.extend(material.read_models(source, &mut Models::default()));
        Self::of(material, faults)
    }

    /// Reads two states of a design. Tables whose text is the same in both are read once and shared.
    ///
    /// ```
    /// use setout_design::{Comparison, Design, Memory};
    /// let common = ("design.yaml", "setout: 1\nname: a lid\n");
    /// let lid = ("lid.yaml", "dimensions: { width: 62 mm }");
    /// let before = Memory::new([common, lid, ("pin.yaml", "dimensions: { d: 2 mm }")]);
    /// let after = Memory::new([common, lid, ("pin.yaml", "dimensions: { d: 3 mm }")]);
    /// let (before, after) = Design::read_both(&before, &after);
    /// let found = Comparison::of(&before.evaluate(), &after.evaluate());
    /// assert_eq!(found.edits[0].name, "pin.d");
    /// ```
    pub fn read_both(before: &dyn Source, after: &dyn Source) -> (Self, Self) {
        let Ok((_, old, new)) = both(|| Ok::<_, Infallible>(before), after, |design| design);
        (old, new)
    }

    pub(crate) fn of(material: Material, faults: Vec<Fault>) -> Self {
        let model = build(&material);
        Self::with_model(material, model, faults)
    }

    /// Like [`of`](Self::of), beside a design from which it differs little: what is the same is
    /// shared.
    pub(crate) fn beside(other: &Self, material: Material, faults: Vec<Fault>) -> Self {
        let sound = faults.is_empty() && other.faults.is_empty();
        let alike = sound && is_alike(&material, &other.material);
        match alike.then(|| model_like(&material, &other.material, &other.model)).flatten() {
            Some(model) => Self::with_model(material, model, faults),
            None => Self::of(material, faults),
        }
    }

    fn with_model(material: Material, model: Model, mut faults: Vec<Fault>) -> Self {
        faults.extend(model.faults.iter().cloned());
        let mut faults: Vec<Fault> = faults.into_iter().map(Fault::on_one_line).collect();
        faults.sort();
        faults.dedup();
        Self { material: Arc::new(material), model: Arc::new(model), faults: faults.into() }
    }

    /// What keeps the design, or a part of it, from being understood, by place.
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }

    /// What deserves a look though it can be computed.
    ///
    /// While there are faults nothing is called unused: what uses it may be what cannot be read.
    pub fn warnings(&self) -> &[Warning] {
        if self.faults.is_empty() { &self.model.warnings } else { &[] }
    }

    /// What the design is called; the folder's name if it does not say.
    pub fn name(&self) -> &str {
        match &self.material.common.name {
            Some(name) => name.text(),
            None => self.material.folder.rsplit('/').next().unwrap_or(""),
        }
    }

    /// The root-relative folder that `design.yaml` stands in.
    pub fn folder(&self) -> &str {
        &self.material.folder
    }

    /// Evaluates everything.
    pub fn evaluate(&self) -> Evaluation {
        Evaluation::of(self.clone())
    }

    /// The value of a dimension or a cell as written.
    pub(crate) fn value_at(&self, slot: u32) -> Option<&Value> {
        self.material.value(self.model.nodes[slot as usize].of)
    }
}
