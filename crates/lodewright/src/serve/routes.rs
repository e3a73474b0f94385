//! Questions, answers, items, ladders and the desk.

use advice::Question;
use advice::ladder::LadderRequest;
use advice::question::{Conditions, Surroundings};
use advice::sentence::{self, Verb};
use advice::view::detail::CandidateDetail;
use advice::view::item::ItemView;
use advice::view::ladder::LadderView;
use axum::extract::State;
use axum::http::StatusCode;
use axum::{Extension, Json};
use quantity::{Temperature, Units};
use serde::{Deserialize, Serialize};
use utoipa::{IntoParams, ToSchema};

use crate::desk::{AgainSheet, AnswerSheet, Asker, VERSION, Wish, time_text};
use crate::problem::{Kind, Problem};
use crate::reading;
use crate::reply::Reply;
use crate::serve::Shared;
use crate::serve::pools::{self, ASKING, SOLVING};
use crate::serve::sign_in::SignedIn;
use crate::serve::wire::{At, Body, InUnits, Params, work};

/// A demo question that the demo shelf answers well.
pub const EXAMPLE: &str =
    "hold 2 kg hanging below 3 mm steel through 0.4 mm paint, up to 60 °C, no wider than 25 mm, 200 pieces";
/// The most answers that the desk lists.
const MOST_LISTED: usize = 500;

/// What a page needs to know of the shop.
#[derive(Serialize, ToSchema)]
pub struct ShopView {
    name: String,
    currency: String,
    units: String,
    demo: bool,
    version: String,
    revision: u64,
    items: usize,
    parts: usize,
    /// Pots, hooks, strips and the like on the shelf.
    goods: usize,
    /// Who is signed in; absent where nobody needs to.
    signed_in: Option<SignedIn>,
    /// Codes of lines of the shelf that cannot be read: import them anew.
    unread: Vec<String>,
    /// Whether the shop's file can be changed.
    writable: bool,
    /// Version of the form of its data.
    schema: usize,
    verbs: Vec<VerbView>,
    layers: Vec<String>,
    steels: Vec<String>,
    grades: Vec<String>,
    families: Vec<String>,
    example: String,
}

/// A verb by its name in JSON and in words.
#[derive(Serialize, ToSchema)]
pub struct VerbView {
    verb: String,
    text: String,
}

/// The shop, its verbs and the names that a question may use.
#[utoipa::path(get, path = "/shop", responses((status = 200, body = ShopView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn shop(
    State(desk): State<Shared>,
    signed_in: Option<Extension<SignedIn>>,
) -> Result<Json<ShopView>, Problem> {
    work(desk, |desk| {
        let shelf = desk.shelf()?;
        let names = |all: &[enquiry::Name]| all.iter().map(|n| n.name.clone()).collect();
        Ok(Json(ShopView {
            name: shelf.settings.name.clone(),
            currency: shelf.settings.currency.code().into(),
            units: String::from(shelf.settings.units),
            demo: shelf.settings.demo,
            version: VERSION.into(),
            revision: shelf.revision,
            items: shelf.items.len(),
            parts: shelf.parts.len(),
            goods: shelf.goods.len(),
            signed_in: signed_in.map(|Extension(who)| who),
            unread: shelf.unread.clone(),
            writable: desk.shop.is_writable()?,
            schema: desk.shop.schema(),
            verbs: Verb::ALL
                .iter()
                .map(|v| VerbView {
                    verb: v.name().into(),
                    text: v.text().into(),
                })
                .collect(),
            layers: names(&shelf.vocabulary.layers),
            steels: names(&shelf.vocabulary.steels),
            grades: names(&shelf.vocabulary.grades),
            families: names(&shelf.vocabulary.families),
            example: EXAMPLE.into(),
        }))
    })
    .await
}

/// Which verb to start with.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct StartParams {
    /// A verb, such as `hold`.
    verb: String,
}

/// A question that is filled in already.
#[derive(Serialize, ToSchema)]
pub struct Start {
    question: Question,
}

/// A sensible question to start from.
#[utoipa::path(get, path = "/start", params(StartParams), responses((status = 200, body = Start), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn start(State(desk): State<Shared>, Params(params): Params<StartParams>) -> Result<Json<Start>, Problem> {
    let verb = Verb::named(&params.verb).ok_or_else(|| {
        let all: Vec<&str> = Verb::ALL.iter().map(|v| v.name()).collect();
        Problem::new(
            Kind::Asked,
            "no such verb",
            format!("{:?} is not a verb of a question", params.verb),
        )
        .hint(format!("the verbs are {}", all.join(", ")))
        .field("verb")
    })?;
    work(desk, move |desk| {
        let question = desk.with_usual_probe(sentence::start(verb))?;
        Ok(Json(Start { question }))
    })
    .await
}

/// A question, in words or structured.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AskBody {
    /// Plain words, such as `hold 2 kg hanging below 3 mm steel`.
    words: Option<String>,
    /// The same, structured; quantities as strings with a unit or numbers in SI.
    #[schema(value_type = Option<Question>)]
    question: Option<serde_json::Value>,
    /// Whether the answer goes on the desk; it does where this is absent.
    keep: Option<bool>,
    /// Whether builds with steel parts are looked for at once, which takes up to a second or two; otherwise a kept answer
    /// has them at `/answers/{id}/fitted`.
    #[serde(default)]
    fitted: bool,
}

/// A question as it comes in.
enum Asking {
    /// In anybody's words.
    Words(String),
    /// Structured.
    Question(Box<Question>),
}

/// Answers a question from the shelf.
#[utoipa::path(post, path = "/ask", params(InUnits), request_body = AskBody, responses((status = 200, body = Reply), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn ask(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Body(body): Body<AskBody>,
) -> Result<Json<Reply>, Problem> {
    let asking = match (body.words, body.question) {
        (Some(words), None) => Asking::Words(words),
        (None, Some(question)) => Asking::Question(Box::new(reading::read(&question)?)),
        _ => {
            return Err(
                Problem::new(Kind::Asked, "no question", "give either words or a question")
                    .hint("such as {\"words\": \"hold 2 kg on steel\"}"),
            );
        }
    };
    let (keep, fitted) = (body.keep.unwrap_or(true), body.fitted);
    pools::run(&ASKING, desk, move |desk, stop| {
        let wish = Wish {
            keep,
            fitted,
            stop: stop.clone(),
            ..Wish::default()
        };
        let units = units.of(desk)?;
        Ok(Json(match asking {
            Asking::Words(text) => desk.reply(&text, wish, &units)?.0,
            Asking::Question(question) => {
                let (sheet, answer) = desk.ask(&question, wish, &units)?;
                if let Some(id) = &sheet.id {
                    desk.file_choice("", &answer, &sheet.view, id, Asker::Shop)?;
                }
                Reply::to(sheet)
            }
        }))
    })
    .await
}

/// Opens an answer that was kept.
#[utoipa::path(get, path = "/answers/{id}", params(("id" = String, Path), InUnits), responses((status = 200, body = AnswerSheet), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn open_answer(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(units): Params<InUnits>,
) -> Result<Json<AnswerSheet>, Problem> {
    work(desk, move |desk| Ok(Json(desk.open(&id, &units.of(desk)?)?))).await
}

/// The question of a kept answer on the shelf as it stands now, with what has changed. Nothing of it is kept.
#[utoipa::path(get, path = "/answers/{id}/again", params(("id" = String, Path), InUnits), responses((status = 200, body = AgainSheet), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn ask_again(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(units): Params<InUnits>,
) -> Result<Json<AgainSheet>, Problem> {
    work(desk, move |desk| Ok(Json(desk.again(&id, &units.of(desk)?)?))).await
}

/// The curve and picture of a candidate of a kept answer.
#[utoipa::path(get, path = "/answers/{id}/candidates/{index}", params(("id" = String, Path), ("index" = usize, Path), InUnits), responses((status = 200, body = CandidateDetail), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn candidate(
    State(desk): State<Shared>,
    At((id, index)): At<(String, usize)>,
    Params(units): Params<InUnits>,
) -> Result<Json<CandidateDetail>, Problem> {
    pools::run(&SOLVING, desk, move |desk, _| {
        Ok(Json(desk.candidate(&id, index, &units.of(desk)?)?))
    })
    .await
}

/// The builds with steel parts that go with a kept answer; the first time they are looked for, which takes a while.
#[utoipa::path(get, path = "/answers/{id}/fitted", params(("id" = String, Path), InUnits), responses((status = 200, body = AnswerSheet), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn fitted(
    State(desk): State<Shared>,
    At(id): At<String>,
    Params(units): Params<InUnits>,
) -> Result<Json<AnswerSheet>, Problem> {
    pools::run(&SOLVING, desk, move |desk, stop| {
        Ok(Json(desk.fitted(&id, stop, &units.of(desk)?)?))
    })
    .await
}

/// The conditions that an item must stand, and the units of every text.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct InConditions {
    /// The warmest it gets, such as `80 °C`.
    #[param(value_type = Option<String>)]
    warmest: Option<Temperature>,
    /// The coldest it gets.
    #[param(value_type = Option<String>)]
    coldest: Option<Temperature>,
    /// `dry`, `damp`, `outdoors` or `food`.
    #[param(value_type = Option<String>)]
    surroundings: Option<Surroundings>,
    /// `metric`, `inch`, or changes to metric such as `mm,lbf,G`; the shop's own where it is absent.
    #[param(value_type = Option<String>)]
    units: Option<Units>,
}

/// One item in full, in the conditions given.
#[utoipa::path(get, path = "/items/{code}", params(("code" = String, Path), InConditions), responses((status = 200, body = ItemView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn item(
    State(desk): State<Shared>,
    At(code): At<String>,
    Params(given): Params<InConditions>,
) -> Result<Json<ItemView>, Problem> {
    let conditions = Conditions {
        warmest: given.warmest,
        coldest: given.coldest,
        surroundings: given.surroundings,
    };
    let units = InUnits { units: given.units };
    work(desk, move |desk| {
        Ok(Json(desk.item(&code, &conditions, &units.of(desk)?)?))
    })
    .await
}

/// What the next step in size, number or grade buys.
#[utoipa::path(post, path = "/ladder", params(InUnits), request_body = LadderRequest, responses((status = 200, body = LadderView), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn ladder(
    State(desk): State<Shared>,
    Params(units): Params<InUnits>,
    Body(request): Body<LadderRequest>,
) -> Result<Json<LadderView>, Problem> {
    work(desk, move |desk| Ok(Json(desk.ladder(&request, &units.of(desk)?)?))).await
}

/// A ladder that this shelf can show.
#[utoipa::path(get, path = "/ladder/start", responses((status = 200, body = LadderRequest), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn ladder_start(State(desk): State<Shared>) -> Result<Json<LadderRequest>, Problem> {
    work(desk, |desk| Ok(Json(desk.ladder_start()?))).await
}

/// The answers on the desk, newest first.
#[derive(Serialize, ToSchema)]
pub struct DeskList {
    entries: Vec<DeskEntry>,
}

/// An answer on the desk.
#[derive(Serialize, ToSchema)]
pub struct DeskEntry {
    id: String,
    asked_at: String,
    words: String,
    lead: String,
    pieces: u32,
    revision: u64,
}

/// The answers so far.
#[utoipa::path(get, path = "/desk", responses((status = 200, body = DeskList), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn desk(State(desk): State<Shared>) -> Result<Json<DeskList>, Problem> {
    work(desk, |desk| {
        let entries = desk.shop.list_answers(MOST_LISTED)?.into_iter().map(|kept| DeskEntry {
            id: kept.id,
            asked_at: time_text(kept.entry.asked_at),
            words: kept.entry.words,
            lead: kept.entry.lead,
            pieces: kept.entry.pieces,
            revision: kept.entry.revision,
        });
        Ok(Json(DeskList {
            entries: entries.collect(),
        }))
    })
    .await
}

fn absent(id: &str) -> Problem {
    Problem::new(
        Kind::Absent,
        "no such answer",
        format!("no answer {id:?} is on the desk"),
    )
}

/// Takes an answer off the desk; it can be restored.
#[utoipa::path(delete, path = "/desk/{id}", params(("id" = String, Path)), responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn delete_answer(State(desk): State<Shared>, At(id): At<String>) -> Result<StatusCode, Problem> {
    work(desk, move |desk| {
        if desk.shop.delete_answer(&id)? {
            Ok(StatusCode::NO_CONTENT)
        } else {
            Err(absent(&id))
        }
    })
    .await
}

/// Brings a deleted answer back.
#[utoipa::path(post, path = "/desk/{id}/restore", params(("id" = String, Path)), responses((status = 204), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn restore_answer(State(desk): State<Shared>, At(id): At<String>) -> Result<StatusCode, Problem> {
    work(desk, move |desk| {
        if desk.shop.restore_answer(&id)? {
            Ok(StatusCode::NO_CONTENT)
        } else {
            Err(absent(&id))
        }
    })
    .await
}

/// All grades with their values and sources.
#[utoipa::path(get, path = "/grades", responses((status = 200, body = Vec<Object>), (status = "default", body = Problem, content_type = "application/problem+json")))]
pub async fn grades(State(desk): State<Shared>) -> Result<Json<Vec<materials::grade::GradeRow>>, Problem> {
    work(desk, |desk| Ok(Json(desk.shelf()?.catalogue.grades.rows().to_vec()))).await
}
