//! Lots on the command line.

use advice::known::Certificate;
use quantity::Units;

use super::deed;
use super::line::{Line, LotCommand};
use super::{Outcome, done, show};
use crate::desk::Desk;
use crate::problem::Problem;
use crate::terminal;

/// Does what the line asks of lots.
///
/// # Errors
/// Whatever keeps it from being done.
pub fn run(line: &Line, desk: &Desk, command: &LotCommand, units: &Units) -> Result<Outcome, Problem> {
    match command {
        LotCommand::List { code } => {
            let lots = desk.lots(code.as_deref(), units)?;
            show(line, &lots, |page| terminal::lots(page, &lots))?;
            Ok(if lots.is_empty() {
                Outcome::Nothing
            } else {
                Outcome::Done
            })
        }
        LotCommand::Take {
            code,
            lot,
            br,
            hcj,
            note,
            replace,
        } => {
            let revision = match br {
                Some(br) => {
                    let certificate = Certificate {
                        lot: lot.clone(),
                        br: *br,
                        hcj: *hcj,
                    };
                    desk.shop.use_lot(code, &certificate, note, *replace)?
                }
                None => desk.shop.switch_lot(code, Some(lot))?,
            };
            deed::note(&desk.shop, format!("lot {lot} for {code}; revision {revision}"));
            done(
                line,
                &format!("{code} is reckoned with lot {lot}; the shelf is at revision {revision}."),
            )
        }
        LotCommand::Drop { code } => {
            let revision = desk.shop.switch_lot(code, None)?;
            deed::note(&desk.shop, format!("no lot for {code}; revision {revision}"));
            done(
                line,
                &format!("{code} is reckoned with its grade again; the shelf is at revision {revision}."),
            )
        }
    }
}
