//! A question asked again on a later shelf.

use advice::view::text::Run;
use advice::{Answer, view};
use quantity::Units;
use serde::Serialize;
use utoipa::ToSchema;

use super::{AnswerSheet, Desk, Wish};
use crate::kept::Frozen;
use crate::problem::Problem;

/// What is answered now to the question of a kept answer.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct AgainSheet {
    /// What has changed since, the most important first.
    pub changes: Vec<Vec<Run>>,
    /// The answer as it would be given now.
    pub answer: Box<AnswerSheet>,
}

impl Desk {
    /// The question of a kept answer on the shelf as it stands now, with what has changed. Nothing of it is kept.
    ///
    /// # Errors
    /// When there is none of that id, its question cannot be answered any more, or the database fails.
    pub fn again(&self, id: &str, units: &Units) -> Result<AgainSheet, Problem> {
        let (before, sheet, after) = self.asked_again(id, units)?;
        let reader = self.shelf()?.reader(units);
        Ok(AgainSheet {
            changes: view::since::changes(&before, &after, &reader),
            answer: Box::new(sheet),
        })
    }

    /// A kept answer, and its question answered anew.
    pub(crate) fn asked_again(&self, id: &str, units: &Units) -> Result<(Answer, AnswerSheet, Answer), Problem> {
        let (_, Frozen { answer: before, .. }) = self.frozen(id)?;
        let wish = Wish {
            fitted: before.parts_searched,
            ..Wish::default()
        };
        let (sheet, after) = self.ask(&before.question, wish, units)?;
        Ok((before, sheet, after))
    }
}
