//! What may be typed of what leaves the shop: the day's work, quotations, paper, the letterhead.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};
use parcels::Arrangement;
use quantity::Length;
use shop::entries::Status;
use shop::{Letterhead, Paper};

use super::{LadderArgs, length};
use crate::quoting::LineRequest;

/// What can be done with the day's work.
#[derive(Debug, Subcommand)]
pub enum WorkCommand {
    /// List enquiries, newest first.
    #[command(after_help = "Examples:\n  lodewright work list boathouse --status open")]
    List {
        /// Words that an entry holds, by their beginnings.
        search: Vec<String>,
        /// open, sent, ordered or returned.
        #[arg(long, value_parser = status)]
        status: Option<Status>,
        /// Only those that are marked.
        #[arg(long)]
        starred: bool,
        /// Only those to follow up on or before that day, such as 2026-05-21.
        #[arg(long)]
        due: Option<String>,
        /// Only those that the shelf could not meet.
        #[arg(long)]
        missed: bool,
    },
    /// Note of an enquiry who asked, what became of it, when to ask again.
    #[command(
        after_help = "Examples:\n  lodewright work change 0f3a9c1e2b4d5a67 --customer \"The boathouse\" --status sent --follow-up 2026-05-21"
    )]
    Change {
        /// The entry's id.
        id: String,
        /// Who asked.
        #[arg(long)]
        customer: Option<String>,
        /// A note.
        #[arg(long)]
        note: Option<String>,
        /// open, sent, ordered or returned.
        #[arg(long, value_parser = status)]
        status: Option<Status>,
        /// The day on which to ask again; empty for none.
        #[arg(long)]
        follow_up: Option<String>,
        /// Whether it is marked: true or false.
        #[arg(long)]
        star: Option<bool>,
    },
    /// Show what was asked and the shelf could not give, grouped by what would have met it.
    #[command(after_help = "Examples:\n  lodewright work missed --days 90")]
    Missed {
        /// How far back.
        #[arg(long, default_value_t = 30)]
        days: u32,
    },
    /// Print all that is kept of a customer, to hand over; --json for a file.
    #[command(after_help = "Examples:\n  lodewright work hand-over \"A. Person\" --json > person.json")]
    HandOver {
        /// The customer's name, exactly.
        customer: String,
    },
    /// Delete all entries of a customer for good; quotations are kept.
    #[command(after_help = "Examples:\n  lodewright work forget \"A. Person\" --yes")]
    Forget {
        /// The customer's name, exactly.
        customer: String,
        /// Do it; without this it is only counted.
        #[arg(long)]
        yes: bool,
    },
    /// Delete old entries for good; those that are marked stay.
    #[command(after_help = "Examples:\n  lodewright work purge --before 2024-01-01 --yes")]
    Purge {
        /// The first day that stays.
        #[arg(long)]
        before: String,
        /// Do it; without this they are only counted.
        #[arg(long)]
        yes: bool,
    },
}

/// What can be done with quotations.
#[derive(Debug, Subcommand)]
pub enum QuoteCommand {
    /// Make a quotation, or a new issue of one.
    #[command(
        after_help = "Examples:\n  lodewright quote make --customer \"The boathouse\" --line k3f9a2c1\n  lodewright quote make --customer \"The boathouse\" --line k3f9a2c1:2:80 --issue-of Q-2026-0007"
    )]
    Make {
        /// For whom.
        #[arg(long)]
        customer: String,
        /// An answer's id, and behind colons the place of the build among its candidates and the quantity.
        #[arg(long = "line", required = true, value_parser = quoted)]
        lines: Vec<LineRequest>,
        /// The customer's reference.
        #[arg(long, default_value = "")]
        reference: String,
        /// What else is said.
        #[arg(long, default_value = "")]
        note: String,
        /// For how many days it is valid; as the shop has it where absent.
        #[arg(long)]
        valid_days: Option<u32>,
        /// The number of the quotation that this is a new issue of.
        #[arg(long)]
        issue_of: Option<String>,
    },
    /// List the quotations, newest first.
    #[command(after_help = "Examples:\n  lodewright quote list")]
    List,
    /// Show a quotation as it left.
    #[command(after_help = "Examples:\n  lodewright quote open Q-2026-0007 --issue 1")]
    Open {
        /// Its number.
        number: String,
        /// Which issue; the last where absent.
        #[arg(long)]
        issue: Option<u32>,
    },
    /// Write a quotation as PDF, or as a workbook where the file ends in .xlsx.
    #[command(after_help = "Examples:\n  lodewright quote paper Q-2026-0007 --out quotation.pdf")]
    Paper {
        /// Its number.
        number: String,
        /// Which issue; the last where absent.
        #[arg(long)]
        issue: Option<u32>,
        /// The file and the paper.
        #[command(flatten)]
        args: PaperArgs,
    },
}

/// What can be put on paper.
#[derive(Debug, Subcommand)]
pub enum PaperCommand {
    /// An answer on the desk.
    #[command(after_help = "Examples:\n  lodewright paper answer k3f9a2c1 --out answer.pdf")]
    Answer {
        /// Its id.
        id: String,
        /// The file and the paper.
        #[command(flatten)]
        args: PaperArgs,
    },
    /// A ladder.
    #[command(
        after_help = "Examples:\n  lodewright --demo paper ladder --diameter 12mm --grade N42 --pull 0.5mm --out ladder.pdf"
    )]
    Ladder {
        /// The ladder.
        #[command(flatten)]
        ladder: Box<LadderArgs>,
        /// The file and the paper.
        #[command(flatten)]
        args: PaperArgs,
    },
    /// What is told of a magnet, magnets side by side, or a standing question, in plain words.
    #[command(after_help = "Examples:\n  lodewright --demo paper told 14-07 or 12-08 for pull --out compared.pdf")]
    Told {
        /// What is asked.
        #[arg(required = true)]
        words: Vec<String>,
        /// The file and the paper.
        #[command(flatten)]
        args: PaperArgs,
    },
    /// A lesson, as a hand-out.
    #[command(after_help = "Examples:\n  lodewright --demo paper lesson gap --out gap.pdf")]
    Lesson {
        /// Its name.
        name: String,
        /// The file and the paper.
        #[command(flatten)]
        args: PaperArgs,
    },
    /// The sheet of an item.
    #[command(
        after_help = "Examples:\n  lodewright --demo paper item 14-07 --out sheet.pdf --paper letter --units inch"
    )]
    Item {
        /// Its code.
        code: String,
        /// The file and the paper.
        #[command(flatten)]
        args: PaperArgs,
    },
}

/// What can be sent as a link that shows the same figures later.
#[derive(Debug, Subcommand)]
pub enum LinkCommand {
    /// The sheet of an item.
    #[command(after_help = "Examples:\n  lodewright link item 14-07")]
    Item {
        /// Its code.
        code: String,
    },
    /// A ladder.
    #[command(after_help = "Examples:\n  lodewright link ladder --diameter 12mm --grade N42 --pull 0.5mm")]
    Ladder(Box<LadderArgs>),
    /// A lesson.
    #[command(after_help = "Examples:\n  lodewright link lesson gap")]
    Lesson {
        /// Its name.
        name: String,
    },
    /// What is told of a magnet, magnets side by side, or a standing question, in plain words.
    #[command(after_help = "Examples:\n  lodewright link told 14-07 or 12-08 for pull")]
    Told {
        /// What is asked.
        #[arg(required = true)]
        words: Vec<String>,
    },
    /// The packing slip of a parcel.
    #[command(after_help = "Examples:\n  lodewright link parcel parcel.json")]
    Parcel {
        /// A file with the parcel in JSON; - is standard input.
        file: PathBuf,
    },
    /// An answer on the desk.
    #[command(after_help = "Examples:\n  lodewright link answer k3f9a2c1")]
    Answer {
        /// Its id.
        id: String,
    },
    /// A quotation.
    #[command(after_help = "Examples:\n  lodewright link quotation Q-2026-0007 --issue 1")]
    Quotation {
        /// Its number.
        number: String,
        /// Which issue of it; the last where absent.
        #[arg(long)]
        issue: Option<u32>,
    },
    /// Tell what of a paper is otherwise on today's shelf.
    #[command(after_help = "Examples:\n  lodewright link changes k3f9a2c1")]
    Changes {
        /// The id of its link.
        id: String,
    },
}

/// Where a page goes, and on which paper.
#[derive(Debug, Args)]
pub struct PaperArgs {
    /// The file to write: PDF, or one page of HTML where its name ends in .html; an answer, a ladder and a comparison as a list, too, where it ends in
    /// .csv or .xlsx.
    #[arg(long)]
    pub out: PathBuf,
    /// Replace the file if it exists.
    #[arg(long)]
    pub overwrite: bool,
    /// a4 or letter; the shop's own where absent.
    #[arg(long, value_parser = paper)]
    pub paper: Option<Paper>,
}

/// What stands on what leaves the shop.
#[derive(Debug, Args)]
pub struct HeadArgs {
    /// A line below the name, such as the street or the mail; give it once for each line, all of them anew.
    #[arg(long = "head-line", value_name = "LINE")]
    pub lines: Option<Vec<String>>,
    /// Where the shop's page is reached from outside, such as https://shop.example.
    #[arg(long)]
    pub address: Option<String>,
    /// Terms below a quotation.
    #[arg(long)]
    pub terms: Option<String>,
    /// For how many days a quotation is valid.
    #[arg(long)]
    pub valid_days: Option<u32>,
    /// The paper that pages are made for: a4 or letter.
    #[arg(long, value_parser = paper)]
    pub paper: Option<Paper>,
}

impl HeadArgs {
    /// The letterhead with what was given.
    pub fn over(&self, before: Letterhead) -> Letterhead {
        Letterhead {
            lines: self.lines.clone().unwrap_or(before.lines),
            address: self.address.clone().unwrap_or(before.address),
            terms: self.terms.clone().unwrap_or(before.terms),
            valid_days: self.valid_days.unwrap_or(before.valid_days),
            paper: self.paper.unwrap_or(before.paper),
        }
    }
}

fn status(text: &str) -> Result<Status, String> {
    Status::named(text).ok_or_else(|| format!("it is {}", Status::ALL.map(Status::name).join(", ")))
}

fn quoted(text: &str) -> Result<LineRequest, String> {
    let mut parts = text.split(':');
    let number = |part: Option<&str>, what: &str| match part {
        None | Some("") => Ok(None),
        Some(n) => n.parse::<u64>().map(Some).map_err(|_| format!("{n:?} is no {what}")),
    };
    let answer = parts.next().unwrap_or_default().to_owned();
    let candidate = number(parts.next(), "place of a candidate")?;
    let quantity = number(parts.next(), "quantity")?;
    if answer.is_empty() || parts.next().is_some() {
        return Err("it is ID, ID:CANDIDATE or ID:CANDIDATE:QUANTITY".into());
    }
    Ok(LineRequest {
        answer,
        candidate: candidate.map(|n| usize::try_from(n).unwrap_or(usize::MAX)),
        quantity,
    })
}

fn paper(text: &str) -> Result<Paper, String> {
    match text.to_lowercase().as_str() {
        "a4" => Ok(Paper::A4),
        "letter" => Ok(Paper::Letter),
        _ => Err("it is a4 or letter".into()),
    }
}

/// A parcel on the command line.
#[derive(Debug, Args)]
pub struct ParcelArgs {
    /// What is in it: codes with how many of each, such as 14-07:200.
    #[arg(required_unless_present = "question", conflicts_with = "question", value_parser = packed)]
    pub lines: Vec<(String, u32)>,
    /// A file with the parcel in JSON; - is standard input.
    #[arg(long)]
    pub question: Option<PathBuf>,
    /// How the stacks lie.
    #[arg(long, value_enum, default_value_t = Lies::OneWay)]
    pub arrangement: Lies,
    /// Pieces in a stack; as it fits best where absent.
    #[arg(long)]
    pub per_stack: Option<u32>,
    /// Outer length, width and height of the box, such as 300mm 200mm 150mm; as large as it must be where absent.
    #[arg(long = "box", num_args = 3, value_parser = length, value_name = "SIDE")]
    pub box_sides: Option<Vec<Length>>,
    /// The least filler on every side; 20 mm where absent.
    #[arg(long, value_parser = length)]
    pub filler: Option<Length>,
    /// Thickness of a closed steel lining.
    #[arg(long, value_parser = length)]
    pub lining: Option<Length>,
    /// Write the packing slip to this file, as PDF.
    #[arg(long)]
    pub out: Option<PathBuf>,
    /// Replace the file if it exists.
    #[arg(long, requires = "out")]
    pub overwrite: bool,
    /// a4 or letter; the shop's own where absent.
    #[arg(long, value_parser = paper, requires = "out")]
    pub paper: Option<Paper>,
}

impl ParcelArgs {
    /// Length, width and height of the box.
    pub fn sides(&self) -> Option<[Length; 3]> {
        <[Length; 3]>::try_from(self.box_sides.clone()?).ok()
    }
}

/// How stacks lie.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Lies {
    /// All north poles to one side.
    OneWay,
    /// Every second stack turned over.
    Alternating,
    /// In couples of opposite poles.
    Paired,
    /// In closed rings of four stacks.
    Rings,
}

impl From<Lies> for Arrangement {
    fn from(lies: Lies) -> Self {
        match lies {
            Lies::OneWay => Self::OneWay,
            Lies::Alternating => Self::Alternating,
            Lies::Paired => Self::Paired,
            Lies::Rings => Self::Rings,
        }
    }
}

/// `14-07:200`.
fn packed(text: &str) -> Result<(String, u32), String> {
    let (code, count) = text
        .rsplit_once(':')
        .ok_or_else(|| format!("{text:?} says no number: write a code and how many, such as 14-07:200"))?;
    let count = count
        .parse()
        .map_err(|_| format!("{count:?} is no number of pieces, such as 200"))?;
    Ok((code.to_owned(), count))
}

/// The table of a whole shelf on the command line.
#[derive(Debug, Args)]
pub struct ListingArgs {
    /// The file to write: .xlsx, .csv or .json.
    pub file: PathBuf,
    /// A distance from the face at which the field is given; may be repeated; 5, 10 and 20 mm where absent.
    #[arg(long, value_parser = length, value_name = "DISTANCE")]
    pub at: Vec<Length>,
    /// A thickness of steel on which the pull is given, 0mm for a thick one; may be repeated; thick and 1 mm where absent.
    #[arg(long, value_parser = length, value_name = "THICKNESS")]
    pub plate: Vec<Length>,
    /// A gap across which the pull is given; may be repeated; 0 and 0.5 mm where absent.
    #[arg(long, value_parser = length, value_name = "GAP")]
    pub gap: Vec<Length>,
    /// Write the sheet of every item as PDF into this folder, too.
    #[arg(long, value_name = "FOLDER")]
    pub sheets: Option<PathBuf>,
    /// Replace the file if it exists.
    #[arg(long)]
    pub overwrite: bool,
}
