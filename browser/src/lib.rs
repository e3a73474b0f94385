//! The engine as WebAssembly, to measure how large it is and how long it takes: a shelf goes in once, then words go in and what is
//! shown of their answer comes out, as JSON. Nothing else of the program is in it.
//!
//! Whoever calls asks for room, writes bytes there, and calls [`load`] or [`ask`]; [`told`] is where the answer stands.

use std::cell::RefCell;

use advice::answer::ShelfStamp;
use advice::catalogue::Catalogue;
use advice::enquiry::Kind;
use advice::view::text::Reader;
use advice::{Item, compare, explain, search, tell, view};
use enquiry::{Vocabulary, read};
use quantity::{Currency, Units};

/// A shelf with what a question may name.
struct Shelf {
    items: Vec<Item>,
    catalogue: Catalogue,
    vocabulary: Vocabulary,
}

thread_local! {
    static ROOM: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
    static SHELF: RefCell<Option<Shelf>> = const { RefCell::new(None) };
    static TOLD: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// Where so many bytes may be written for the next call.
#[unsafe(no_mangle)]
pub extern "C" fn room(bytes: usize) -> *mut u8 {
    ROOM.with_borrow_mut(|room| {
        room.clear();
        room.resize(bytes, 0);
        room.as_mut_ptr()
    })
}

/// Takes the items that were written as the shelf, and says how many there are; 0 where they do not read.
#[unsafe(no_mangle)]
pub extern "C" fn load() -> usize {
    let items: Option<Vec<Item>> = ROOM.with_borrow(|room| serde_json::from_slice(room).ok());
    let (Some(items), Ok(catalogue)) = (items, Catalogue::builtin()) else {
        return 0;
    };
    let count = items.len();
    let vocabulary = Vocabulary::of(&catalogue, Some(Currency::EUR));
    let shelf = Shelf {
        items,
        catalogue,
        vocabulary,
    };
    SHELF.set(Some(shelf));
    count
}

/// Answers the words that were written, and says how many bytes its answer has.
#[unsafe(no_mangle)]
pub extern "C" fn ask() -> usize {
    let words = ROOM.with_borrow(|room| String::from_utf8_lossy(room).into_owned());
    let answer = SHELF.with_borrow(|shelf| shelf.as_ref().map(|shelf| answer(&words, shelf)));
    let bytes = match answer {
        Some(Ok(bytes)) => bytes,
        Some(Err(problem)) => problem.into_bytes(),
        None => b"no shelf was loaded".to_vec(),
    };
    let length = bytes.len();
    TOLD.set(bytes);
    length
}

/// Where the answer stands.
#[unsafe(no_mangle)]
pub extern "C" fn told() -> *const u8 {
    TOLD.with_borrow(|told| told.as_ptr())
}

/// What is shown of the answer, or why there is none.
fn answer(words: &str, shelf: &Shelf) -> Result<Vec<u8>, String> {
    let Shelf {
        items,
        catalogue,
        vocabulary,
    } = shelf;
    let reader = Reader {
        units: Units::metric(),
        currency: Currency::EUR,
    };
    let reading = read(words, vocabulary);
    let enquiry = &reading.enquiry;
    let stamp = ShelfStamp {
        revision: 1,
        version: env!("CARGO_PKG_VERSION").into(),
        currency: reader.currency,
    };
    let json = match (reading.question, enquiry.kind) {
        (Some(question), _) => {
            let answer =
                search::answer(&question, items, catalogue, stamp, &|| true).map_err(|error| error.to_string())?;
            serde_json::to_vec(&view::answer::view(&answer, &reader.units))
        }
        (None, Kind::Tell) => {
            let told = tell::tell(enquiry, items, catalogue).map_err(|error| error.to_string())?;
            serde_json::to_vec(&view::tell::view(&told, &told.curves(catalogue), &reader))
        }
        (None, Kind::Compare) => {
            let both = compare::compare(enquiry, items, catalogue).map_err(|error| error.to_string())?;
            serde_json::to_vec(&view::compare::view(&both, &reader))
        }
        (None, Kind::Explain) => {
            let topic = explain::topic_of(enquiry).map_err(|error| error.to_string())?;
            serde_json::to_vec(&view::explain::explain(topic, items, catalogue, &reader))
        }
        (None, Kind::Refuse) => {
            let refusal = explain::refusal_of(enquiry).map_err(|error| error.to_string())?;
            serde_json::to_vec(&view::explain::refuse(refusal, items, catalogue, &reader))
        }
        (None, Kind::Choose) => serde_json::to_vec(enquiry),
    };
    json.map_err(|error| error.to_string())
}
