//! What the program does for a shop: one place behind the command line and the web.

mod again;
mod closer;
mod shelf;

use std::sync::{Arc, LazyLock, Mutex, PoisonError, RwLock};
use std::time::{SystemTime, UNIX_EPOCH};

use advice::answer::{Candidate, ShelfStamp};
use advice::catalogue::Catalogue;
use advice::detail::{Depth, detail};
use advice::go_on::GoOn;
use advice::ladder::{self, LadderRequest};
use advice::question::Conditions;
use advice::search;
use advice::stated;
use advice::view::answer::AnswerView;
use advice::view::detail::CandidateDetail;
use advice::view::item::ItemView;
use advice::view::ladder::LadderView;
use advice::view::steel::Confirmed;
use advice::view::text::plain;
use advice::{Answer, Question, view, with_part};
use numerics::stop::Stop;
use quantity::Units;
use rayon::ThreadPool;
use serde::Serialize;
use shop::Shop;
use shop::desk::{Entry, Kept};
use utoipa::ToSchema;

pub use self::again::AgainSheet;
use self::closer::{first_shown, look, look_at_first, shown};
pub use self::shelf::Shelf;
use crate::kept::Frozen;
use crate::meter::Meter;
use crate::problem::{Kind, Problem, Understood};
use crate::threads;

/// Version of the program, frozen into every answer.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// For what may take a while. `None` where the system gives no threads.
static SOLVERS: LazyLock<Option<ThreadPool>> = LazyLock::new(threads::patient);

/// A shop with its shelf at hand.
pub struct Desk {
    /// The shop.
    pub shop: Arc<Shop>,
    /// The instrument that is read live, if one was named.
    pub meter: Meter,
    shelf: RwLock<Option<Arc<Shelf>>>,
    /// Held by whoever reads the shelf for all who wait for it.
    reading: Mutex<()>,
    /// Whether the shelf stays as it was first read.
    of_one_moment: bool,
    amending: Mutex<()>,
}

/// Who asks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Asker {
    /// Somebody of the shop.
    #[default]
    Shop,
    /// A customer by themselves, who sees neither curve nor picture.
    Customer,
}

/// What is to become of an answer.
#[derive(Clone, Debug, Default)]
pub struct Wish {
    /// Whether it goes on the desk.
    pub keep: bool,
    /// Who asks.
    pub asker: Asker,
    /// Whether builds with steel parts are looked for at once, which takes up to a second or two.
    pub fitted: bool,
    /// Set when nobody waits for it any more.
    pub stop: Stop,
}

/// An answer with what is known of it beside its content.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct AnswerSheet {
    /// Its id on the desk; absent when it is not kept.
    pub id: Option<String>,
    /// Why it is not kept although it was to be; it can be asked again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_kept: Option<String>,
    /// When it was asked, UTC.
    pub asked_at: String,
    /// Whether the shelf has changed since.
    pub stale: bool,
    /// How the typed words were taken.
    pub understood: Option<Understood>,
    /// Curve and picture of the first candidate; what takes longer to find is with the candidate itself.
    pub first: Option<CandidateDetail>,
    /// The answer.
    #[serde(flatten)]
    pub view: AnswerView,
}

impl Desk {
    /// A desk for a shop.
    pub fn new(shop: impl Into<Arc<Shop>>) -> Self {
        Self {
            shop: shop.into(),
            meter: Meter::default(),
            shelf: RwLock::new(None),
            reading: Mutex::new(()),
            of_one_moment: false,
            amending: Mutex::new(()),
        }
    }

    /// A desk whose shelf stays as it was when it was first looked at, whatever becomes of the shop.
    pub fn of_one_moment(shop: impl Into<Arc<Shop>>) -> Self {
        Self {
            of_one_moment: true,
            ..Self::new(shop)
        }
    }

    /// Answers a question as it is wished.
    ///
    /// # Errors
    /// A question that is not understood or cannot be answered, or a database that fails.
    pub fn ask(&self, question: &Question, wish: Wish, units: &Units) -> Result<(AnswerSheet, Answer), Problem> {
        let shelf = self.shelf()?;
        let stamp = ShelfStamp {
            revision: shelf.revision,
            version: VERSION.into(),
            currency: shelf.settings.currency,
        };
        let wanted = || !wish.stop.is_set();
        let mut answer = search::answer(question, &shelf.items, &shelf.catalogue, stamp, &wanted)?;
        answer.stated = stated::offered(question, &answer.need, &shelf.goods);
        if wish.fitted {
            let found = parts_for(&answer, &shelf, &wanted)?;
            answer.join(found);
        }
        if wish.asker == Asker::Shop {
            look_at_first(&mut answer, &shelf.catalogue);
        }
        let view = view::answer::view(&answer, units);
        let now = seconds_now();
        // An answer that cannot be kept is still an answer.
        let (id, not_kept) = match wish.keep.then(|| self.keep(&answer, &shelf.catalogue, &view, now)) {
            Some(Ok(id)) => (Some(id), None),
            Some(Err(problem)) => (None, Some(problem.of_file(self.shop.path()).in_a_sentence())),
            None => (None, None),
        };
        let first = first_shown(&answer, units);
        Ok((
            AnswerSheet {
                id,
                not_kept,
                asked_at: time_text(now),
                stale: false,
                understood: None,
                first,
                view,
            },
            answer,
        ))
    }

    fn keep(&self, answer: &Answer, catalogue: &Catalogue, view: &AnswerView, now: i64) -> Result<String, Problem> {
        let entry = Entry {
            words: advice::sentence::words(&answer.question, &Units::metric()),
            lead: plain(&view.lead),
            pieces: answer.question.pieces,
            revision: answer.shelf.revision,
            version: answer.shelf.version.clone(),
            asked_at: now,
        };
        let frozen = Frozen::of(answer, catalogue);
        Ok(self.shop.keep(&entry, &frozen.text().map_err(|e| unwritten(&e))?)?)
    }

    /// Everything that is wrong with the shop's file and with what is kept in it, in words.
    ///
    /// # Errors
    /// When the database cannot be asked.
    pub fn check(&self) -> Result<Vec<String>, Problem> {
        let mut faults = self.shop.check()?;
        if faults.is_empty() {
            for kept in self.shop.list_answers(usize::MAX)? {
                faults.extend(self.frozen(&kept.id).err().map(|problem| problem.detail));
            }
        }
        Ok(faults)
    }

    fn frozen(&self, id: &str) -> Result<(Kept, Frozen), Problem> {
        let (kept, text) = self.shop.open_answer(id)?.ok_or_else(|| {
            Problem::new(
                Kind::Absent,
                "no such answer",
                format!("no answer {id:?} is on the desk"),
            )
            .hint("it may have been deleted; ask the question again")
        })?;
        let frozen = Frozen::read(&text).map_err(|e| unread(id, &e))?;
        Ok((kept, frozen))
    }

    /// A kept answer with the materials as they were.
    fn kept(&self, id: &str) -> Result<(Kept, Answer, Catalogue), Problem> {
        let (kept, frozen) = self.frozen(id)?;
        let now = self.shelf()?.catalogue.clone();
        let (answer, then) = frozen.thawed(now).map_err(|e| unread(id, &e.to_string()))?;
        Ok((kept, answer, then))
    }

    /// Opens an answer that was kept, as it was.
    ///
    /// # Errors
    /// When there is none of that id, or the database fails.
    pub fn open(&self, id: &str, units: &Units) -> Result<AnswerSheet, Problem> {
        self.opened(id, units, |_| {})
    }

    /// A kept answer after a change of it that is not kept.
    fn opened(&self, id: &str, units: &Units, change: impl Fn(&mut Answer)) -> Result<AnswerSheet, Problem> {
        let (kept, mut answer, catalogue) = self.kept(id)?;
        change(&mut answer);
        look_at_first(&mut answer, &catalogue);
        Ok(AnswerSheet {
            id: Some(kept.id),
            not_kept: None,
            asked_at: time_text(kept.entry.asked_at),
            stale: self.shop.revision()? != answer.shelf.revision,
            understood: None,
            first: first_shown(&answer, units),
            view: view::answer::view(&answer, units),
        })
    }

    /// A kept answer with what is shown of it.
    ///
    /// # Errors
    /// When there is none of that id, or the database fails.
    pub fn kept_view(&self, id: &str, units: &Units) -> Result<(Answer, AnswerView), Problem> {
        let (_, Frozen { answer, .. }) = self.frozen(id)?;
        let view = view::answer::view(&answer, units);
        Ok((answer, view))
    }

    /// A kept answer with its builds with steel parts: looked for the first time that they are wanted, and kept with it.
    ///
    /// # Errors
    /// When there is no such answer, nobody waits for them any more, or the database fails.
    pub fn fitted(&self, id: &str, stop: &Stop, units: &Units) -> Result<AnswerSheet, Problem> {
        let (_, Frozen { answer, .. }) = self.frozen(id)?;
        if !answer.parts_searched {
            let shelf = self.shelf()?;
            if shelf.revision != answer.shelf.revision || answer.shelf.version != VERSION {
                let mut sheet = self.open(id, units)?;
                sheet.view.with_parts = Some(view::with_part::moved_on());
                return Ok(sheet);
            }
            let find = || parts_for(&answer, &shelf, &|| !stop.is_set());
            let found: Vec<Candidate> = match SOLVERS.as_ref() {
                Some(solvers) => solvers.install(find),
                None => find(),
            }?;
            return self.amended(id, units, |kept| join(kept, found.clone()));
        }
        self.open(id, units)
    }

    /// Whether there are steel parts to look at for a question.
    ///
    /// # Errors
    /// When the database fails.
    pub fn has_parts_for(&self, question: &Question) -> Result<bool, Problem> {
        Ok(with_part::is_worth_a_look(question, &self.shelf()?.parts))
    }

    /// An answer just given with its builds with steel parts, and the same on the desk where it is kept there.
    ///
    /// # Errors
    /// When the database fails.
    pub fn complete(&self, answer: &mut Answer, id: Option<&str>, units: &Units) -> Result<AnswerView, Problem> {
        let shelf = self.shelf()?;
        let found = parts_for(answer, &shelf, &|| true)?;
        if let Some(id) = id {
            self.amend(id, |kept| join(kept, found.clone()))?;
        }
        join(answer, found);
        look_at_first(answer, &shelf.catalogue);
        Ok(view::answer::view(answer, units))
    }

    /// A kept answer with what was found of it since, whether that can be kept or not.
    fn amended(&self, id: &str, units: &Units, change: impl Fn(&mut Answer)) -> Result<AnswerSheet, Problem> {
        match self.amend(id, &change) {
            Ok(()) => self.open(id, units),
            Err(problem) => {
                let mut sheet = self.opened(id, units, change)?;
                sheet.not_kept = Some(problem.of_file(self.shop.path()).in_a_sentence());
                Ok(sheet)
            }
        }
    }

    /// Adds to a kept answer what was found of it since: one at a time, so that none of it is lost.
    fn amend(&self, id: &str, change: impl Fn(&mut Answer)) -> Result<(), Problem> {
        let _alone = self.amending.lock().unwrap_or_else(PoisonError::into_inner);
        let (_, mut frozen) = self.frozen(id)?;
        change(&mut frozen.answer);
        let lead = plain(&view::answer::view(&frozen.answer, &Units::metric()).lead);
        let text = frozen.text().map_err(|e| unwritten(&e))?;
        Ok(self.shop.complete_answer(id, &lead, &text)?)
    }

    /// The curve and picture of a candidate of a kept answer: looked for the first time that they are wanted, and kept with it.
    ///
    /// # Errors
    /// When there is no such answer or candidate.
    pub fn candidate(&self, id: &str, index: usize, units: &Units) -> Result<CandidateDetail, Problem> {
        let (_, mut answer, catalogue) = self.kept(id)?;
        if look(&mut answer, index, &catalogue, Depth::Whole) {
            let found = answer.candidates[index].detail.clone();
            // What cannot be kept is found again the next time.
            let kept = self.amend(id, |kept| {
                if let Some(candidate) = kept.candidates.get_mut(index) {
                    candidate.detail.clone_from(&found);
                }
            });
            if let Err(problem) = kept.map_err(|problem| problem.of_file(self.shop.path())) {
                tracing::warn!(%problem, "what was found of a candidate is not kept");
            }
        }
        shown(&answer, index, units).ok_or_else(|| {
            Problem::new(
                Kind::Absent,
                "no such candidate",
                format!("answer {id:?} has no candidate {index}"),
            )
        })
    }

    /// What the solver says of the first candidate of an answer; `None` where it holds nothing on steel.
    ///
    /// # Errors
    /// When the database fails.
    pub fn confirmed(&self, answer: &Answer, units: &Units) -> Result<Option<Confirmed>, Problem> {
        let shelf = self.shelf()?;
        let closer = answer
            .first()
            .and_then(|c| detail(answer, c, &shelf.catalogue, Depth::Whole)?.closer);
        let solved = closer.and_then(|closer| closer.solved);
        Ok(solved.map(|solved| view::steel::confirmed(&solved, &shelf.reader(units))))
    }

    /// One item in full, in the conditions given.
    ///
    /// # Errors
    /// Conditions out of reason, or when the shelf has none of that code.
    pub fn item(&self, code: &str, conditions: &Conditions, units: &Units) -> Result<ItemView, Problem> {
        advice::check::conditions(conditions)?;
        let shelf = self.shelf()?;
        let item = shelf.item(code)?;
        let mut view = shelf.view_of(item, conditions, units)?;
        view.facts.extend(self.shown_at_face(item, units)?);
        Ok(view)
    }

    /// A ladder.
    ///
    /// # Errors
    /// A request that cannot be answered.
    pub fn ladder(&self, request: &LadderRequest, units: &Units) -> Result<LadderView, Problem> {
        let shelf = self.shelf()?;
        let ladder = ladder::ladder(request, &shelf.items, &shelf.catalogue)?;
        Ok(view::ladder::view(&ladder, &shelf.items, &shelf.reader(units)))
    }

    /// A ladder that this shelf can show.
    ///
    /// # Errors
    /// When the shelf has no discs.
    pub fn ladder_start(&self) -> Result<LadderRequest, Problem> {
        let start = ladder::start(&self.shelf()?.items).ok_or_else(|| {
            Problem::new(Kind::Absent, "no ladder", "the shelf has no discs to make a ladder of")
                .hint("import a price list, or ask for a ladder of free thickness")
        })?;
        self.ladder_with_usual_probe(start)
    }
}

fn unwritten(error: &serde_json::Error) -> Problem {
    Problem::new(Kind::Internal, "the answer cannot be kept", error.to_string())
}

fn unread(id: &str, error: &str) -> Problem {
    let detail = format!("answer {id:?} was kept in a form that this version does not read: {error}");
    Problem::new(Kind::Internal, "the answer cannot be read", detail).hint("ask the question again")
}

/// The builds with steel parts that go with an answer, while they are wanted.
fn parts_for(answer: &Answer, shelf: &Shelf, go_on: GoOn) -> Result<Vec<Candidate>, Problem> {
    Ok(with_part::find(
        answer,
        &shelf.items,
        &shelf.parts,
        &shelf.catalogue,
        go_on,
    )?)
}

/// Adds builds with steel parts, unless another search has.
fn join(answer: &mut Answer, found: Vec<Candidate>) {
    if !answer.parts_searched {
        answer.join(found);
    }
}

/// Now, in seconds since 1970-01-01 UTC.
pub fn seconds_now() -> i64 {
    SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .map_or(0, |d| d.as_secs() as i64)
}

/// A time in seconds since 1970 as UTC text.
pub fn time_text(seconds: i64) -> String {
    jiff::Timestamp::from_second(seconds).map_or_else(|_| String::new(), |t| t.to_string())
}
