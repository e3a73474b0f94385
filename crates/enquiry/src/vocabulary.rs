//! The names that a text may use for materials and grades.

use quantity::Currency;

use advice::Catalogue;

/// The names that a text may use, given by whoever knows the data and the shelf.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Vocabulary {
    /// Materials that may lie between magnet and steel; one named `air` stands for an empty gap.
    pub layers: Vec<Name>,
    /// Materials that a magnet may stick to.
    pub steels: Vec<Name>,
    /// Grades, such as `N42`.
    pub grades: Vec<Name>,
    /// Families of grades, such as `ferrite`.
    pub families: Vec<Name>,
    /// The currency of the shop's prices; a text that names another is a problem. `None` takes any.
    pub currency: Option<Currency>,
}

/// A name and its other wordings.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Name {
    /// The name that the question uses.
    pub name: String,
    /// Other wordings of it.
    pub aliases: Vec<String>,
}

impl Vocabulary {
    /// The names of a catalogue, for a shop whose prices are in `currency`.
    pub fn of(catalogue: &Catalogue, currency: Option<Currency>) -> Self {
        Self {
            layers: catalogue
                .layers
                .iter()
                .map(|l| Name::new(&l.name, &l.aliases))
                .collect(),
            steels: catalogue
                .steels
                .all()
                .iter()
                .map(|s| Name::new(&s.name, &s.aliases))
                .collect(),
            grades: catalogue
                .grades
                .rows()
                .iter()
                .map(|g| Name::new(&g.name, &g.aliases))
                .collect(),
            families: catalogue
                .families
                .iter()
                .map(|f| Name::new(&f.name, &f.aliases))
                .collect(),
            currency,
        }
    }
}

impl Name {
    /// A name with other wordings.
    pub fn new<S: Into<String>>(name: impl Into<String>, aliases: impl IntoIterator<Item = S>) -> Self {
        Self {
            name: name.into(),
            aliases: aliases.into_iter().map(Into::into).collect(),
        }
    }

    /// The name and its other wordings.
    pub(crate) fn wordings(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.name.as_str()).chain(self.aliases.iter().map(String::as_str))
    }
}
