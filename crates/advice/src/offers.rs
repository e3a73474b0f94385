//! The few builds of an answer that an adviser names first, each for what it is best in.

use quantity::Money;

use crate::answer::{Answer, Candidate, Shared, Verdict};

/// What a build is named for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Merit {
    /// Costs least in all; several that share the load are weighed too.
    Cheapest,
    /// One build of the fewest pieces and no steel part.
    Simplest,
    /// Takes the least space.
    Smallest,
    /// Has the largest reserve over what is needed, among those that cost no more than [`DEAREST`] times the cheapest.
    Safest,
}

/// How many times the price of the cheapest the safest may cost.
pub const DEAREST: f64 = 2.0;
/// Several in place of one are named only where they save more than this part of the price: one is simpler to fit.
pub const WORTH_SHARING: f64 = 0.1;

/// A build that is named, with all that it is best in.
#[derive(Clone, Debug)]
pub struct Offer<'a> {
    /// What it is named for.
    pub merits: Vec<Merit>,
    /// How many of it share the load that is asked to be held once; as many as the question says where it says so.
    pub by: u32,
    /// The build; its costs are those of all that share.
    pub candidate: &'a Candidate,
    /// What one must reach, SI.
    pub need: f64,
    /// The low end of what one reaches in its place, SI.
    pub low: f64,
}

impl<'a> Offer<'a> {
    /// Several in place of one.
    pub fn of_shared(shared: &'a Shared) -> Self {
        Self {
            merits: Vec::new(),
            by: shared.by,
            candidate: &shared.candidate,
            need: shared.need,
            low: shared.low,
        }
    }

    fn single(answer: &Answer, candidate: &'a Candidate) -> Self {
        Self {
            merits: Vec::new(),
            by: answer.question.need.shared_by(),
            candidate,
            need: answer.need.of_mass(candidate.mass),
            low: candidate.band.low,
        }
    }
}

/// The sure builds of an answer, without several in place of one; second choices only where there is nothing else.
fn singles(answer: &Answer) -> Vec<&Candidate> {
    let usual = |c: &&Candidate| c.second_choice(&answer.question).is_none();
    let sure = answer.candidates.iter().filter(|c| c.verdict == Verdict::Sure);
    let sure: Vec<&Candidate> = sure.collect();
    let singles: Vec<&Candidate> = sure.iter().copied().filter(usual).collect();
    if singles.is_empty() { sure } else { singles }
}

fn price(c: &Candidate) -> (bool, Option<Money>) {
    (c.cost_total.is_none(), c.cost_total)
}

/// The cheapest sure build, without several in place of one; `None` where nothing surely does.
pub fn alone(answer: &Answer) -> Option<Offer<'_>> {
    let cheapest = singles(answer).into_iter().min_by_key(|c| price(c))?;
    Some(Offer::single(answer, cheapest))
}

/// What an adviser would name of an answer: at most four builds, all of them sure; nothing where nothing surely does.
pub fn offers<'a>(answer: &'a Answer) -> Vec<Offer<'a>> {
    let singles = singles(answer);
    let Some(Offer {
        candidate: cheapest, ..
    }) = alone(answer)
    else {
        return Vec::new();
    };
    let reserve = |c: &Candidate| c.band.low / answer.need.of_mass(c.mass);
    let simplest = singles
        .iter()
        .copied()
        .min_by_key(|c| (c.build.part.is_some(), c.build.pieces, price(c)))
        .unwrap_or(cheapest);
    let space = |c: &Candidate| c.width * c.height;
    let smallest = singles
        .iter()
        .copied()
        .min_by(|a, b| space(a).total_cmp(&space(b)).then_with(|| price(a).cmp(&price(b))))
        .unwrap_or(cheapest);
    let affordable = |c: &&Candidate| match (c.cost_total, cheapest.cost_total) {
        (Some(cost), Some(least)) => cost.parts() as f64 <= DEAREST * least.parts() as f64,
        (_, None) => true,
        (None, _) => false,
    };
    let safest = singles
        .iter()
        .copied()
        .filter(affordable)
        .max_by(|a, b| reserve(a).total_cmp(&reserve(b)).then_with(|| price(b).cmp(&price(a))))
        .unwrap_or(cheapest);

    let saves = |c: &Candidate| match (c.cost_total, cheapest.cost_total) {
        (Some(cost), Some(least)) => (cost.parts() as f64) < (1.0 - WORTH_SHARING) * least.parts() as f64,
        _ => false,
    };
    let shared = answer
        .shared
        .iter()
        .filter(|s| saves(&s.candidate))
        .min_by_key(|s| s.candidate.cost_total);

    let mut out: Vec<Offer> = Vec::new();
    let mut name = |merit: Merit, offer: Offer<'a>| {
        let same = |o: &&mut Offer| o.by == offer.by && std::ptr::eq(o.candidate, offer.candidate);
        match out.iter_mut().find(same) {
            Some(known) => known.merits.push(merit),
            None => out.push(Offer {
                merits: vec![merit],
                ..offer
            }),
        }
    };
    name(
        Merit::Cheapest,
        shared.map_or_else(|| Offer::single(answer, cheapest), Offer::of_shared),
    );
    name(Merit::Simplest, Offer::single(answer, simplest));
    name(Merit::Smallest, Offer::single(answer, smallest));
    name(Merit::Safest, Offer::single(answer, safest));
    out
}

#[cfg(test)]
mod tests;
