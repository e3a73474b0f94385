//! A wish in words: *reach 0.63 T at the face on 25 mm in N52*.
//!
//! Amounts are told apart by their units, lengths by the word before them. What is not said and has a usual value is taken so, and said.

use materials::grade::{GradeRow, GradeTable};
use quantity::{Any, Length, ParseError, STANDARD_GRAVITY, scan_any};
use thiserror::Error;

use crate::stuff::{Stuff, StuffError};
use crate::wish::{Aim, Area, Goal, Space, USUAL_HEIGHT, Wish};

/// What was taken for something that was not said.
#[derive(Clone, Debug, PartialEq)]
pub enum Assumed {
    /// The height of the space, m.
    Height(f64),
    /// The grade.
    Grade(String),
    /// The tolerance of an even field, as a share.
    Tolerance(f64),
    /// The spot at a face, m.
    Spot(f64),
    /// That the distance is 0.
    AtTheFace,
    /// That the steel is thick.
    ThickSteel,
    /// The lot.
    Lot(u32),
}

/// A wish as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Read {
    /// The wish.
    pub wish: Wish,
    /// Temperature of use, °C.
    pub celsius: f64,
    /// What was not said.
    pub assumed: Vec<Assumed>,
}

/// Why words make no wish.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum AskError {
    /// An amount does not read.
    #[error("{0}")]
    Amount(ParseError),
    /// Nothing says what is to be done.
    #[error("say what it must do: a flux density, a force or a torque")]
    NoGoal,
    /// Nothing says where it must fit.
    #[error("say where it must fit")]
    NoSpace,
    /// A gap or an area is missing.
    #[error("say {0}")]
    Missing(&'static str),
    /// A length that could be several things.
    #[error("it is not clear what {0} is")]
    Length(String),
    /// The text is longer than a wish.
    #[error("a wish has at most {MOST} characters")]
    Long,
    /// The grade does not stand the temperature.
    #[error(transparent)]
    Stuff(#[from] StuffError),
    /// The table has no usual grade.
    #[error("say of which grade")]
    NoGrade,
}

impl AskError {
    /// What to do about it, for a person.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Amount(_) | Self::Long => "write it like: reach 0.63 T at the face on 25 mm in N52",
            Self::NoGoal => "such as 0.3 T at 5 mm, 40 N across 2 mm, 80 mT in a gap of 8 mm, 0.5 Nm across 4 mm",
            Self::NoSpace => "such as: in a space of 20 x 10 mm (diameter and height), in 30 x 20 x 15 mm, or on 25 mm",
            Self::Missing(_) => "such as: across 2 mm, over 30 mm x 30 mm within 5 %",
            Self::Length(_) => {
                "put the word before it: at for a distance, across for a gap, over for an area, in a space of, on for a width that is given"
            }
            Self::Stuff(_) => "choose a grade for more heat, or a lower temperature",
            Self::NoGrade => "such as: of N42",
        }
    }
}

/// Longest text that is read, characters.
const MOST: usize = 500;
/// What is taken where nothing is said.
const USUAL_GRADE: &str = "N42";
const USUAL_TOLERANCE: f64 = 0.05;
const USUAL_SPOT: f64 = 1e-3;
/// Lot for which costs are estimated where none is said.
pub const USUAL_LOT: u32 = 100;

/// What words said so far.
#[derive(Default)]
struct Heard<'a> {
    field: Option<f64>,
    force: Option<f64>,
    torque: Option<f64>,
    distance: Option<f64>,
    gap: Option<f64>,
    plate: Option<f64>,
    thick: bool,
    over: Option<Vec<f64>>,
    tolerance: Option<f64>,
    space: Option<Vec<f64>>,
    filled: bool,
    celsius: Option<f64>,
    lot: Option<u32>,
    grade: Option<&'a GradeRow>,
}

/// Reads a wish, with grades of that table.
///
/// # Errors
/// [`AskError`] for what is missing or does not read.
pub fn read(text: &str, grades: &GradeTable, aims: &[Aim]) -> Result<Read, AskError> {
    if text.chars().count() > MOST {
        return Err(AskError::Long);
    }
    let heard = hear(text, grades)?;
    let mut assumed = Vec::new();
    let grade = match heard.grade {
        Some(grade) => grade,
        None => {
            assumed.push(Assumed::Grade(USUAL_GRADE.into()));
            grades.get(USUAL_GRADE).ok_or(AskError::NoGrade)?
        }
    };
    let celsius = heard.celsius.unwrap_or(materials::grade::REFERENCE_CELSIUS);
    let stuff = Stuff::of_grade(grade, celsius)?;
    let goal = heard.goal(&mut assumed)?;
    let space = heard.space(&mut assumed)?;
    let lot = heard.lot.unwrap_or_else(|| {
        assumed.push(Assumed::Lot(USUAL_LOT));
        USUAL_LOT
    });
    Ok(Read {
        wish: Wish {
            goal,
            space,
            stuff,
            aims: if aims.is_empty() {
                vec![Aim::Mass]
            } else {
                aims.to_vec()
            },
            families: Vec::new(),
            lot,
        },
        celsius,
        assumed,
    })
}

impl Heard<'_> {
    fn goal(&self, assumed: &mut Vec<Assumed>) -> Result<Goal, AskError> {
        let spot = |over: &Option<Vec<f64>>| over.as_ref().and_then(|sides| sides.first().copied());
        if let Some(torque) = self.torque {
            let gap = self.gap.or(self.distance).ok_or(AskError::Missing("the gap"))?;
            return Ok(Goal::Turn { torque, gap });
        }
        if let Some(force) = self.force {
            let gap = self.gap.or(self.distance).unwrap_or(0.0);
            if self.plate.is_none() && !self.thick {
                assumed.push(Assumed::ThickSteel);
            }
            return Ok(Goal::Hold {
                force,
                gap,
                plate: self.plate,
            });
        }
        let field = self.field.ok_or(AskError::NoGoal)?;
        if let Some(gap) = self.gap {
            let spot = spot(&self.over).unwrap_or(0.0);
            return Ok(Goal::Gap { field, gap, spot });
        }
        let distance = self.distance.unwrap_or_else(|| {
            assumed.push(Assumed::AtTheFace);
            0.0
        });
        let even = self.tolerance.is_some() || self.over.as_ref().is_some_and(|sides| sides.len() > 1);
        if even {
            let tolerance = self.tolerance.unwrap_or_else(|| {
                assumed.push(Assumed::Tolerance(USUAL_TOLERANCE));
                USUAL_TOLERANCE
            });
            let area = match self.over.as_deref() {
                Some([a, b, ..]) => Area::Box([*a, *b]),
                Some([diameter]) => Area::Round(*diameter),
                _ => return Err(AskError::Missing("over which area")),
            };
            return Ok(Goal::Even {
                field,
                distance,
                area,
                tolerance,
            });
        }
        let spot = spot(&self.over).unwrap_or_else(|| {
            if distance > 0.0 {
                return 0.0;
            }
            assumed.push(Assumed::Spot(USUAL_SPOT));
            USUAL_SPOT
        });
        Ok(Goal::Reach { field, distance, spot })
    }

    fn space(&self, assumed: &mut Vec<Assumed>) -> Result<Space, AskError> {
        let sizes = self.space.as_deref().unwrap_or_default();
        let (across, height) = match *sizes {
            [diameter] => (Area::Round(diameter), None),
            [diameter, height] => (Area::Round(diameter), Some(height)),
            [a, b, height, ..] => (Area::Box([a, b]), Some(height)),
            [] => return Err(AskError::NoSpace),
        };
        let height = height.unwrap_or_else(|| {
            let height = USUAL_HEIGHT * across.within() + self.gap.unwrap_or(0.0);
            assumed.push(Assumed::Height(height));
            height
        });
        Ok(Space {
            across,
            height,
            filled: self.filled,
        })
    }
}

/// What the words before a length make of it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Cue {
    At,
    Gap,
    Over,
    Space,
    On,
}

fn cue(word: &str) -> Option<Cue> {
    Some(match word {
        "at" | "distance" | "from" => Cue::At,
        "across" | "gap" | "through" | "gaps" => Cue::Gap,
        "over" | "spot" | "area" => Cue::Over,
        "space" | "within" | "diameter" | "inside" | "fit" | "in" => Cue::Space,
        "on" | "wide" | "face" => Cue::On,
        _ => return None,
    })
}

/// Goes through the text, amount by amount.
fn hear<'a>(text: &str, grades: &'a GradeTable) -> Result<Heard<'a>, AskError> {
    let mut heard = Heard::default();
    let mut cues: Vec<Cue> = Vec::new();
    let mut at = 0;
    while let Some(rest) = text.get(at..).filter(|rest| !rest.is_empty()) {
        let skipped = rest.len()
            - rest
                .trim_start_matches(|c: char| c.is_whitespace() || ",;:.()".contains(c))
                .len();
        if skipped > 0 {
            at += skipped;
            continue;
        }
        if let Some((sizes, length)) = sizes(rest) {
            at += length;
            heard.place(&sizes, &cues, rest.get(length..).unwrap_or_default())?;
            cues.clear();
            continue;
        }
        if let Some((torque, length)) = torque(rest) {
            heard.torque = Some(torque);
            at += length;
            continue;
        }
        let word_length = rest
            .find(|c: char| c.is_whitespace() || ",;:()".contains(c))
            .unwrap_or(rest.len());
        let word = rest.get(..word_length).unwrap_or(rest);
        if let Some((grade, length)) = grade(rest, word, grades) {
            heard.grade = Some(grade);
            at += length;
            continue;
        }
        match scan_any(rest) {
            Some(Err(error)) => return Err(AskError::Amount(error)),
            Some(Ok((amount, length))) => {
                let after = rest.get(length..).unwrap_or_default();
                match amount {
                    Any::FluxDensity(b) => heard.field = Some(b.0),
                    Any::Force(force) => heard.force = Some(force.0),
                    Any::Mass(mass) => heard.force = Some(mass.0 * STANDARD_GRAVITY),
                    Any::Temperature(kelvin) => heard.celsius = Some(kelvin.0 - ICE_POINT),
                    Any::Length(Length(size)) => {
                        heard.place(&[size], &cues, after)?;
                        cues.clear();
                    }
                    Any::Number(share) if after.trim_start().starts_with('%') => heard.tolerance = Some(0.01 * share),
                    Any::Number(count) if (1.0..=1e7).contains(&count) => heard.lot = Some(count as u32),
                    Any::Number(_) | Any::FieldStrength(_) => {}
                }
                at += length.max(1);
            }
            None => {
                let low = word.to_lowercase();
                let share = low.strip_suffix('%').and_then(|number| number.parse::<f64>().ok());
                if let Some(share) = share {
                    heard.tolerance = Some(0.01 * share);
                } else if low == "face" && cues.last() == Some(&Cue::At) {
                    heard.distance = Some(0.0);
                    cues.clear();
                } else if low == "thick" {
                    heard.thick = true;
                } else {
                    cues.extend(cue(&low));
                }
                at += word_length.max(1);
            }
        }
    }
    Ok(heard)
}

/// 0 °C, K.
const ICE_POINT: f64 = 273.15;

impl Heard<'_> {
    /// Puts sizes where the words before and behind them say.
    fn place(&mut self, sizes: &[f64], cues: &[Cue], after: &str) -> Result<(), AskError> {
        let next = after.split_whitespace().next().unwrap_or_default().to_lowercase();
        let second = after.split_whitespace().nth(1).unwrap_or_default().to_lowercase();
        let steel = next.starts_with("steel") || second.starts_with("steel");
        let one = sizes.first().copied();
        // "in a gap of", "in a space of": the later word counts more than "in".
        let cue = cues
            .iter()
            .rev()
            .find(|cue| **cue != Cue::Space)
            .or(cues.last())
            .copied();
        let said_space = cues.last() == Some(&Cue::Space);
        match (cue, sizes.len()) {
            _ if steel && sizes.len() == 1 => self.plate = one,
            _ if next.starts_with("high") || next.starts_with("tall") => {
                let mut space = self.space.take().unwrap_or_default();
                space.extend(one);
                self.space = Some(space);
            }
            _ if next.starts_with("gap") => self.gap = one,
            _ if said_space && cue != Some(Cue::Gap) => self.space = Some(sizes.to_vec()),
            (Some(Cue::At), 1) => self.distance = one,
            (Some(Cue::Gap), 1) => self.gap = one,
            (Some(Cue::Over), _) => self.over = Some(sizes.to_vec()),
            (Some(Cue::On), 1) => {
                self.space = Some(sizes.to_vec());
                self.filled = true;
            }
            (_, 2..) => self.space = Some(sizes.to_vec()),
            _ => {
                let mm = one.unwrap_or_default() * 1e3;
                return Err(AskError::Length(format!("the length of {mm} mm")));
            }
        }
        Ok(())
    }
}

/// Sizes joined by x, such as `20 x 10 mm` or `30mm x 30mm`, m, and their length in bytes; `None` for a single one.
fn sizes(text: &str) -> Option<(Vec<f64>, usize)> {
    let mut numbers: Vec<(f64, Option<f64>)> = Vec::new();
    let mut at = 0;
    loop {
        let rest = text.get(at..)?;
        let start = at + rest.len() - rest.trim_start().len();
        let rest = text.get(start..)?;
        let digits = rest
            .find(|c: char| !(c.is_ascii_digit() || c == '.'))
            .unwrap_or(rest.len());
        let number: f64 = rest.get(..digits)?.parse().ok()?;
        at = start + digits;
        let behind = text.get(at..)?;
        let unit = [("mm", 1e-3), ("cm", 1e-2), ("in", 0.0254), ("\"", 0.0254)]
            .into_iter()
            .find(|(unit, _)| behind.trim_start().starts_with(unit));
        let factor = unit.map(|(name, factor)| {
            at += behind.len() - behind.trim_start().len() + name.len();
            factor
        });
        numbers.push((number, factor));
        let behind = text.get(at..)?;
        let trimmed = behind.trim_start();
        let Some(cross) = trimmed.chars().next().filter(|c| matches!(c, 'x' | 'X' | '×')) else {
            break;
        };
        // Not the first letter of a word.
        let further = trimmed.get(cross.len_utf8()..)?;
        if !further.trim_start().starts_with(|c: char| c.is_ascii_digit()) || numbers.len() == 3 {
            break;
        }
        at += behind.len() - trimmed.len() + cross.len_utf8();
    }
    let last = numbers.iter().rev().find_map(|(_, factor)| *factor)?;
    (numbers.len() > 1).then(|| {
        let sizes = numbers
            .iter()
            .map(|(number, factor)| number * factor.unwrap_or(last))
            .collect();
        (sizes, at)
    })
}

/// A torque such as `0.5 Nm`, N m, and its length in bytes.
fn torque(text: &str) -> Option<(f64, usize)> {
    let digits = text.find(|c: char| !(c.is_ascii_digit() || c == '.'))?;
    let number: f64 = text.get(..digits)?.parse().ok()?;
    let rest = text.get(digits..)?;
    let space = rest.len() - rest.trim_start().len();
    let (name, factor) = [("mNm", 1e-3), ("mN m", 1e-3), ("Nm", 1.0), ("N m", 1.0), ("N·m", 1.0)]
        .into_iter()
        .find(|(name, _)| {
            let behind = rest.trim_start().strip_prefix(name);
            behind.is_some_and(|b| !b.starts_with(|c: char| c.is_alphanumeric()))
        })?;
    Some((number * factor, digits + space + name.len()))
}

/// A grade at the start of a text, of one word or two, and its length in bytes.
fn grade<'a>(text: &str, word: &str, table: &'a GradeTable) -> Option<(&'a GradeRow, usize)> {
    // A number is none, nor is a short word such as "a".
    if word.chars().count() < 2 || word.chars().all(|c| c.is_ascii_digit() || c == '.') {
        return None;
    }
    let two = text
        .get(word.len()..)
        .map(|rest| {
            let gap = rest.len() - rest.trim_start().len();
            let second = rest.split_whitespace().next().unwrap_or_default();
            word.len() + gap + second.len()
        })
        .and_then(|length| text.get(..length).map(|both| (both, length)));
    let named = |name: &str| table.get(name.trim_end_matches(['.', ',']));
    two.and_then(|(both, length)| named(both).map(|grade| (grade, length)))
        .or_else(|| named(word).map(|grade| (grade, word.len())))
}

#[cfg(test)]
mod tests;
