//! Parcels: what is asked held against the rules, and their slips on paper.

use parcels::{ParcelRequest, ParcelView, judge, view};
use press::Document;
use quantity::Units;
use shop::Paper;

use crate::desk::{Desk, seconds_now, time_text};
use crate::links::Subject;
use crate::printing::{imprint, maker, messages};
use crate::problem::Problem;

impl Desk {
    /// A parcel as it is to be packed, held against the rules of air transport.
    ///
    /// # Errors
    /// A request that is out of range, a magnet that is not known, a box that is too small, or a database that fails.
    pub fn parcel(&self, request: &ParcelRequest, units: &Units) -> Result<ParcelView, Problem> {
        let shelf = self.shelf()?;
        let parcel = judge(request, &shelf.items, &shelf.catalogue)?;
        Ok(view(&parcel, &shelf.reader(units)))
    }

    /// The packing slip of a parcel, on that paper or the shop's own.
    ///
    /// # Errors
    /// As [`Self::parcel`].
    pub fn parcel_paper(
        &self,
        request: &ParcelRequest,
        paper: Option<Paper>,
        units: &Units,
    ) -> Result<Document, Problem> {
        let settings = self.shop.settings()?;
        let view = self.parcel(request, units)?;
        let of = Subject::Parcel {
            request: request.clone(),
        };
        let imprint = imprint(&settings, &of.place(), &time_text(seconds_now()));
        let revision = self.shelf()?.revision;
        let maker = maker(&settings, paper);
        Ok(sheets::parcel::paper(&view, &maker, &imprint, revision, &messages()?))
    }
}

#[cfg(test)]
mod tests;
