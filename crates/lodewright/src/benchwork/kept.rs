//! Values that were found, kept and used from then on.

use bench::Parameter;
use quantity::{Length, Quantity, Units};
use serde::{Deserialize, Serialize};
use shop::bench::{Kept, KeptParameter, Subject};
use utoipa::ToSchema;

use super::opened::{FitWish, keepable, title};
use super::shelf_lots::day;
use crate::desk::{Desk, seconds_now};
use crate::problem::{Kind, Problem};

/// A value that was kept.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct KeptLine {
    /// Its id.
    pub id: String,
    /// What and how much, in words.
    pub text: String,
    /// Where it comes from, in words.
    pub from: String,
    /// The session that it comes from.
    pub session: String,
    /// Its name: `depth`, `gain`, `fall_off`, `scale` or `thickness`.
    pub parameter: String,
}

/// A value that is to be kept.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct KeepBody {
    /// Its id, made by whoever keeps it.
    pub id: String,
    /// `depth`, `gain`, `fall_off`, `scale` (the lot's remanence) or `thickness`.
    pub parameter: String,
}

impl Desk {
    /// Kept values in words.
    ///
    /// # Errors
    /// When the database fails.
    pub fn kept_lines(&self, kept: &[Kept], units: &Units) -> Result<Vec<KeptLine>, Problem> {
        kept.iter().map(|one| self.kept_line(one, units)).collect()
    }

    fn kept_line(&self, kept: &Kept, units: &Units) -> Result<KeptLine, Problem> {
        let session = self.shop.session(&kept.session)?;
        let of = match &kept.subject {
            Subject::Probe(id) => self.shop.probe(id)?.map_or_else(String::new, |p| p.probe.name),
            Subject::Lot { lot, .. } => match &session {
                Some(session) => title(session, units),
                None => lot.clone(),
            },
        };
        let half = bench::fit::FACTOR * kept.standard;
        let length = |si: f64| Length(si).show_to(2, units).to_string();
        let text = match (kept.parameter, &session) {
            (KeptParameter::Depth, _) => format!("depth {} ± {}", length(kept.value), length(half)),
            (KeptParameter::Gain, _) => format!("gain {:.3} ± {half:.3}", kept.value),
            (KeptParameter::FallOff, _) => {
                format!("misses {:.1} ± {:.1} % at 1 T", 100.0 * kept.value, 100.0 * half)
            }
            (KeptParameter::Scale, Some(session)) => {
                let br = self
                    .shelf()?
                    .catalogue
                    .grades
                    .get(&session.magnet.grade)
                    .map_or(f64::NAN, |g| g.br_typical);
                format!("effective remanence {:.3} ± {:.3} T", kept.value * br, half * br)
            }
            (KeptParameter::Scale, None) => {
                format!(
                    "{:.1} ± {:.1} % of its grade's remanence",
                    100.0 * kept.value,
                    100.0 * half
                )
            }
            (KeptParameter::Thickness, _) => {
                format!("{} ± {} thicker than listed", length(kept.value), length(half))
            }
        };
        let from = format!(
            "{} readings of {}, kept {}",
            kept.readings,
            session
                .as_ref()
                .map_or_else(|| "a session taken away".into(), |s| title(s, units)),
            day(kept.kept_at)
        );
        Ok(KeptLine {
            id: kept.id.clone(),
            text: format!("{of}: {text}"),
            from,
            session: kept.session.clone(),
            parameter: kept.parameter.name().into(),
        })
    }

    /// Keeps a value that the readings of a session tell.
    ///
    /// # Errors
    /// One that they do not tell; when there is no such session, and when the database fails.
    pub fn keep_found(&self, id: &str, wish: &FitWish, body: &KeepBody, units: &Units) -> Result<KeptLine, Problem> {
        let opened = self.opened_session(id, wish, units)?;
        let untold = || {
            Problem::new(
                Kind::Asked,
                "nothing to keep",
                format!("the readings do not tell {:?}", body.parameter),
            )
            .field("/parameter")
            .hint("depth, gain, fall_off, scale or thickness, where it was found")
        };
        let parameter = KeptParameter::named(&body.parameter).ok_or_else(untold)?;
        let fit = opened.fit.as_ref().ok_or_else(untold)?;
        let fitted = fit
            .parameters
            .iter()
            .find(|f| keepable(f.parameter) == Some(parameter) && f.standard.is_finite())
            .ok_or_else(untold)?;
        let session = &opened.session;
        let subject = if parameter.of_probe() {
            Subject::Probe(opened.entered.id.clone())
        } else {
            Subject::Lot {
                magnet: session.magnet_key()?,
                lot: session.lot.clone(),
            }
        };
        // A depth below nothing is none.
        let value = if fitted.parameter == Parameter::Depth {
            fitted.value.max(0.0)
        } else {
            fitted.value
        };
        let counted = fit.readings.iter().filter(|r| r.weight > 0.0).count();
        let kept = Kept {
            id: body.id.clone(),
            session: session.id.clone(),
            subject,
            parameter,
            value,
            standard: fitted.standard,
            readings: u32::try_from(counted).unwrap_or(u32::MAX),
            kept_at: seconds_now(),
        };
        self.shop.keep_result(&kept)?;
        self.kept_line(&kept, units)
    }
}
