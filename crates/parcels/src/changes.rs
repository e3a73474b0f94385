//! What to change so that a parcel may go more freely.

use quantity::Length;

use crate::judge::{Line, Parcel, weighed};
use crate::request::{Arrangement, ParcelRequest};
use crate::rules::Carriage;

/// Lining that is tried, m: sheet that can be bent by hand.
const SHEET: f64 = 1e-3;
/// Filler that is tried, m.
const FILLERS: [f64; 5] = [50e-3, 100e-3, 150e-3, 200e-3, 300e-3];
/// The most changes that are named.
const MOST_CHANGES: usize = 6;

/// What is done.
#[derive(Clone, Debug, PartialEq)]
pub enum Deed {
    /// The stacks lie otherwise.
    Arrange(Arrangement),
    /// A steel lining of that thickness, m.
    Line(f64),
    /// Another arrangement in a steel lining.
    ArrangeAndLine(Arrangement, f64),
    /// So much filler on every side, m, in a box that is as much larger.
    Fill(f64),
    /// At most so many pieces in each parcel.
    Split(u32),
}

/// A change with what it leads to.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// What is done.
    pub deed: Deed,
    /// The parcel after it.
    pub after: Parcel,
}

/// Changes after which the parcel goes more freely, the least work first; none where it is free.
pub fn changes(parcel: &Parcel) -> Vec<Change> {
    if parcel.carriage == Carriage::Free {
        return Vec::new();
    }
    let request = &parcel.request;
    let with = |change: &dyn Fn(&mut ParcelRequest)| {
        let mut request = request.clone();
        change(&mut request);
        request
    };
    let arranged = |arrangement: Arrangement, lining: Option<f64>| {
        with(&|request| {
            request.arrangement = arrangement;
            request.per_stack = None;
            if let Some(thickness) = lining {
                request.lining = Some(Length(thickness));
                request.sides = None;
            }
        })
    };
    let others = || {
        Arrangement::ALL
            .into_iter()
            .filter(|a| *a != request.arrangement && *a != Arrangement::OneWay)
    };
    let bare = request.lining() == 0.0;
    let mut tried: Vec<(Deed, ParcelRequest)> = others().map(|a| (Deed::Arrange(a), arranged(a, None))).collect();
    if bare {
        tried.push((Deed::Line(SHEET), arranged(request.arrangement, Some(SHEET))));
        if request.arrangement != Arrangement::Alternating {
            let deed = Deed::ArrangeAndLine(Arrangement::Alternating, SHEET);
            tried.push((deed, arranged(Arrangement::Alternating, Some(SHEET))));
        }
    }
    let better = |(deed, request): (Deed, ParcelRequest), lines: &[Line]| {
        request.check().ok()?;
        let after = weighed(&request, lines.to_vec()).ok()?;
        (after.carriage < parcel.carriage).then_some(Change { deed, after })
    };
    let mut found: Vec<Change> = tried
        .into_iter()
        .filter_map(|tried| better(tried, &parcel.lines))
        .collect();
    let filled = FILLERS
        .into_iter()
        .filter(|filler| *filler > request.filler())
        .filter_map(|filler| {
            let request = with(&|request| {
                request.filler = Some(Length(filler));
                request.sides = None;
            });
            better((Deed::Fill(filler), request), &parcel.lines)
        });
    // The least filler that leads to the best there is.
    let filled: Vec<Change> = filled.collect();
    let best = filled.iter().map(|change| change.after.carriage).min();
    found.extend(filled.into_iter().find(|change| Some(change.after.carriage) == best));
    found.extend(split(parcel));
    found.truncate(MOST_CHANGES);
    found
}

/// The most pieces of one kind that are free in a parcel of their own, packed the same way.
fn split(parcel: &Parcel) -> Option<Change> {
    let [line] = parcel.lines.as_slice() else { return None };
    let of = |count: u32| {
        let mut request = parcel.request.clone();
        request.sides = None;
        request.lines.first_mut()?.count = count;
        request.check().ok()?;
        let line = Line { count, ..line.clone() };
        weighed(&request, vec![line])
            .ok()
            .filter(|after| after.carriage == Carriage::Free)
    };
    let step = parcel.request.arrangement.of();
    let (mut most, mut too_many) = (0, line.count / step);
    while too_many - most > 1 {
        let middle = most + (too_many - most) / 2;
        if of(middle * step).is_some() {
            most = middle
        } else {
            too_many = middle
        }
    }
    let count = most * step;
    of(count).map(|after| Change {
        deed: Deed::Split(count),
        after,
    })
}
