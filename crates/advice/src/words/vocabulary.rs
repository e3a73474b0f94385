//! The names that a text may use for materials and grades.

use quantity::Currency;

use crate::catalogue::Catalogue;

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
    pub(super) fn wordings(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.name.as_str()).chain(self.aliases.iter().map(String::as_str))
    }
}

/// What a name is a name of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Class {
    Layer,
    Steel,
    Grade,
    Family,
}

impl Class {
    pub(super) const ALL: [Class; 4] = [Class::Layer, Class::Steel, Class::Grade, Class::Family];
}

impl Vocabulary {
    pub(super) fn names(&self, class: Class) -> &[Name] {
        match class {
            Class::Layer => &self.layers,
            Class::Steel => &self.steels,
            Class::Grade => &self.grades,
            Class::Family => &self.families,
        }
    }

    /// The name at a place in the list of its class; empty for a place that the list does not have.
    pub(super) fn name(&self, class: Class, index: usize) -> &str {
        self.names(class).get(index).map_or("", |n| n.name.as_str())
    }

    /// The names of a class for a hint: the first few, and a sign that there are more.
    pub(super) fn some_of(&self, class: Class) -> String {
        const SHOWN: usize = 8;
        let names = self.names(class);
        let mut list = names
            .iter()
            .take(SHOWN)
            .map(|n| n.name.as_str())
            .collect::<Vec<_>>()
            .join(", ");
        if names.len() > SHOWN {
            list.push_str(", ...");
        }
        list
    }

    /// The grades that begin with the same letters as `grade` and have at least its number: `N42` gives `N42`, `N45SH`,
    /// `N52`. Empty when the grade is not letters and a number.
    pub(super) fn at_least(&self, grade: &str) -> Vec<String> {
        let Some((letters, number)) = rank(grade) else {
            return Vec::new();
        };
        self.grades
            .iter()
            .filter(|g| rank(&g.name).is_some_and(|(l, n)| l == letters && n >= number))
            .map(|g| g.name.clone())
            .collect()
    }
}

/// The letters that a grade begins with and the number after them.
fn rank(grade: &str) -> Option<(&str, u32)> {
    let digits = grade.find(|c: char| c.is_ascii_digit())?;
    let (letters, rest) = grade.split_at(digits);
    let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
    let number = rest[..end].parse().ok()?;
    letters.chars().all(char::is_alphabetic).then_some((letters, number))
}
