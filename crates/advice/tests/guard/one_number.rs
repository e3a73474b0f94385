//! One number: whatever is shown of an answer, wherever, is the answer's own figure, rounded once; the ends of bands outwards.

use advice::answer::{Answer, Candidate, Predicted};
use advice::view::answer::{AnswerView, view};
use advice::view::text::{Figure, plain};
use advice::{Item, question::Question};
use magnetics::Shape;
use quantity::{FluxDensity, Force, Money, Quantity, Units, parse};

use crate::shelf::{ask, breaks, item, made_of};

/// Draws that are the same each time: Steele, Lea and Flood, Fast splittable pseudorandom number generators (2014).
struct Draws(u64);

impl Draws {
    fn part(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        (low.ln() + self.part() * (high / low).ln()).exp()
    }

    fn of<T: Clone>(&mut self, list: &[T]) -> T {
        list[((self.part() * list.len() as f64) as usize).min(list.len() - 1)].clone()
    }

    fn item(&mut self) -> Item {
        let [a, b, c] = [(); 3].map(|()| self.between(3e-3, 30e-3));
        let shape = match self.of(&[0, 1, 2, 3]) {
            0 => Shape::Disc {
                diameter: a,
                thickness: b,
            },
            1 => Shape::Ring {
                outer_diameter: a,
                inner_diameter: a * (0.2 + 0.5 * self.part()),
                thickness: b,
            },
            2 => Shape::Block {
                length: a,
                width: b,
                thickness: c,
            },
            _ => Shape::Sphere { diameter: a },
        };
        let parts = self.between(200.0, 90_000.0) as i64;
        let grade = self.of(&["N35", "N42", "N52", "N42SH", "Y30"]);
        let coating = self.of(&["Ni-Cu-Ni", "epoxy", "none"]);
        Item {
            prices: breaks(&[(1, parts), (100, parts * 4 / 5)]),
            ..made_of(item(shape), grade, coating)
        }
    }

    fn question(&mut self) -> String {
        let force = self.between(0.05, 20.0);
        let millitesla = self.between(0.5, 60.0);
        let millimetres = self.between(0.5, 15.0);
        let need = match self.of(&[0, 1, 2, 3, 4, 5, 6]) {
            0 => format!(r#""verb": "hold", "load": "{force} N""#),
            1 => format!(r#""verb": "hold", "load": "{force} N", "direction": "hanging_below", "shared_by": 3"#),
            2 => format!(
                r#""verb": "hold", "load": "{force} N", "direction": "sideways", "layers": [{{"material": "paint", "thickness": "0.2 mm"}}]"#
            ),
            3 => format!(r#""verb": "pull_together", "force": "{force} N", "gap": "{millimetres} mm""#),
            4 => format!(r#""verb": "push_apart", "force": "{force} N", "gap": "{millimetres} mm""#),
            5 => format!(
                r#""verb": "reach_field", "field": "{millitesla} mT", "distance": "{millimetres} mm",
                    "no_more_than": {{"field": "{millitesla} mT", "distance": "{} mm"}}"#,
                3.0 * millimetres
            ),
            _ => format!(
                r#""verb": "face_field", "field": "{} mT", "probe_depth": "0.5 mm""#,
                4.0 * millitesla
            ),
        };
        let pieces = self.of(&[1, 7, 60, 150]);
        format!(r#"{{"need": {{{need}}}, "pieces": {pieces}}}"#)
    }
}

/// A printed number and half of its last place, SI.
fn read<Q: Quantity>(text: &str) -> (f64, f64) {
    let value = |text: &str| -> f64 {
        let read: Q = parse(text).unwrap_or_else(|error| panic!("{text:?} does not read: {error}"));
        read.si()
    };
    let (number, unit) = text
        .rsplit_once('\u{a0}')
        .unwrap_or_else(|| panic!("{text:?} has no unit"));
    let decimals = number.split_once('.').map_or(0, |(_, after)| after.len());
    // A number of thousands and more is rounded to three digits.
    let whole = number.chars().filter(char::is_ascii_digit).count();
    let power = if decimals == 0 {
        whole.saturating_sub(3) as i32
    } else {
        -(decimals as i32)
    };
    (value(text), 0.5 * 10f64.powi(power) * value(&format!("1 {unit}")))
}

fn near<Q: Quantity>(text: &str, exact: f64, what: &str) {
    let (shown, half) = read::<Q>(text);
    assert!(
        (shown - exact).abs() <= half * (1.0 + 1e-6),
        "{what}: {text:?} for {exact}"
    );
}

/// Ends as they are printed lie outside of the true ones, by no more than a twentieth of the width.
fn outwards<Q: Quantity>(low: &str, high: &str, exact: [f64; 2], what: &str) {
    let [(shown_low, _), (shown_high, _)] = [low, high].map(read::<Q>);
    let width = exact[1] - exact[0];
    let hair = 1e-6 * width;
    assert!(
        shown_low <= exact[0] + hair && shown_low >= exact[0] - 0.051 * width,
        "{what}: {low:?} for {exact:?}"
    );
    assert!(
        shown_high >= exact[1] - hair && shown_high <= exact[1] + 0.051 * width,
        "{what}: {high:?} for {exact:?}"
    );
}

fn figure<Q: Quantity>(figure: &Figure, exact: f64, what: &str) {
    near::<Q>(&figure.text, exact, what);
    // The bare number beside the text is not rounded.
    let (number, _) = read::<Q>(&format!("{:.17}\u{a0}{}", figure.value, figure.unit));
    assert!(
        (number - exact).abs() <= 1e-9 * exact.abs(),
        "{what}: {figure:?} for {exact}"
    );
}

/// A price as it stands, and its amount read back.
fn is_money(text: &str, exact: Money, what: &str) {
    let digits: String = text.chars().filter(|c| c.is_ascii_digit() || *c == '.').collect();
    let read: f64 = digits.parse().unwrap_or(f64::NAN);
    assert!((read - exact.to_f64()).abs() <= 1e-9, "{what}: {text:?} for {exact:?}");
}

fn of_candidate<Q: Quantity>(answer: &Answer, shown: &AnswerView, k: usize, c: &Candidate) {
    let row = &shown.candidates[k];
    let at = format!("{} {}", row.title, shown.words);
    figure::<Q>(&row.value, c.band.mid, &at);
    outwards::<Q>(&row.low.text, &row.high.text, [c.band.low, c.band.high], &at);
    let unit = &row.low.unit;
    let bare = |text: &str| text.trim_end_matches(unit.as_str()).trim_end().to_owned();
    assert_eq!(
        row.range,
        format!("{} to {}", bare(&row.low.text), row.high.text),
        "{at}"
    );
    // The margin is that of the low end over the need.
    let margin = c.band.low / answer.need.of_mass(c.mass) - 1.0;
    let percent: f64 = row
        .margin
        .trim_end_matches("\u{a0}%")
        .replace('−', "-")
        .parse()
        .unwrap_or_else(|_| panic!("{at}: {:?}", row.margin));
    let step = if margin.abs() < 0.0995 { 0.051 } else { 0.51 };
    assert!(
        (percent - 100.0 * margin).abs() <= step,
        "{at}: {} for {margin}",
        row.margin
    );
    figure::<quantity::Mass>(&row.mass, c.mass, &at);
    match (&row.cost_each, c.cost_each) {
        (Some(text), Some(money)) => is_money(text, money, &at),
        (None, None) => {}
        other => panic!("{at}: {other:?}"),
    }
    if let (Some(text), Some(money)) = (&row.cost_total, c.cost_total) {
        is_money(text, money.rounded(answer.shelf.currency), &at);
    }
    // The price of all is that of the pieces that are bought.
    if let (Some(each), Some(total)) = (c.item.price_each(c.pieces_bought), c.cost_total) {
        assert_eq!(each.times(c.pieces_bought).expect("no overflow"), total, "{at}");
    }
    // Shares are parts of one whole, and each swing lies about the middle.
    let whole: f64 = row.shares.iter().map(|s| s.share).sum();
    assert!(whole <= 1.0 + 1e-9, "{at}: {whole}");
    assert!(
        row.swings
            .iter()
            .all(|s| s.low <= row.value.value * (1.0 + 1e-9) && s.high >= row.value.value * (1.0 - 1e-9))
    );
}

fn of_answer(answer: &Answer, units: &Units) -> usize {
    let shown = view(answer, units);
    let question: &Question = &shown.question;
    assert_eq!(question, &answer.question);
    assert_eq!(shown.candidates.len(), answer.candidates.len());
    for (k, c) in answer.candidates.iter().enumerate() {
        match answer.need.quantity {
            Predicted::Force => of_candidate::<Force>(answer, &shown, k, c),
            Predicted::FluxDensity => of_candidate::<FluxDensity>(answer, &shown, k, c),
        }
    }
    let need = answer.need.of_mass(answer.first().map_or(0.0, |c| c.mass));
    match answer.need.quantity {
        Predicted::Force => figure::<Force>(&shown.need.at_least, need, "need"),
        Predicted::FluxDensity => figure::<FluxDensity>(&shown.need.at_least, need, "need"),
    }
    // The lead has the value, the ends, the price and the code of the first row, letter for letter.
    if let Some(first) = shown.candidates.first() {
        let lead = plain(&shown.lead);
        for part in [
            Some(&first.value.text),
            Some(&first.range),
            Some(&first.code),
            first.cost_each.as_ref(),
        ] {
            let part = part.map_or("", String::as_str);
            assert!(lead.contains(part), "{part:?} is not in {lead:?}");
        }
        let reasons: Vec<String> = first.because.iter().map(|r| plain(r)).collect();
        let said: Vec<String> = shown.because.iter().map(|r| plain(r)).collect();
        assert_eq!(reasons, said);
        let cautions =
            |list: &[advice::view::cautions::Caution]| list.iter().map(|c| plain(&c.runs)).collect::<Vec<_>>();
        assert_eq!(cautions(&first.cautions), cautions(&shown.cautions));
    }
    // A kept answer shows the same.
    let kept: Answer =
        serde_json::from_str(&serde_json::to_string(answer).expect("an answer is data")).expect("it reads");
    let again = serde_json::to_value(view(&kept, units)).expect("a view is data");
    assert_eq!(again, serde_json::to_value(&shown).expect("a view is data"));
    answer.candidates.len()
}

#[test]
fn every_figure_shown_is_the_answers_own() {
    let mut draws = Draws(1);
    let mut seen = 0;
    for k in 0..120 {
        let shelf: Vec<Item> = (0..4)
            .map(|n| Item {
                code: format!("item-{n}"),
                ..draws.item()
            })
            .collect();
        let answer = ask(&draws.question(), &shelf);
        let units = if k % 3 == 0 { Units::inch() } else { Units::metric() };
        seen += of_answer(&answer, &units);
    }
    assert!(seen > 100, "only {seen} candidates were seen");
}

/// What must not be shown better than it is: temperatures that are stood are rounded down, losses up.
#[test]
fn limits_are_rounded_to_the_careful_side() {
    let question = r#"{"need": {"verb": "push_apart", "force": "0.01 N", "gap": "6 mm"}, "limits": {"stack": 1}}"#;
    let mut seen = 0;
    for tenths in 20..120 {
        let item = made_of(
            item(Shape::Disc {
                diameter: 12e-3,
                thickness: f64::from(tenths) * 1e-4,
            }),
            "N42",
            "Ni-Cu-Ni",
        );
        let answer = ask(question, std::slice::from_ref(&item));
        let Some(c) = answer.candidates.first() else { continue };
        let shown = view(&answer, &Units::metric());
        let said: Vec<String> = shown.cautions.iter().map(|c| plain(&c.runs)).collect();
        let number = |from: &str, to: &str| -> f64 {
            let text = said
                .iter()
                .find_map(|t| t.split_once(from))
                .unwrap_or_else(|| panic!("{from}: {said:?}"))
                .1;
            let text = text.split_once(to).expect("it ends").0;
            text.replace('−', "-").parse().unwrap_or_else(|_| panic!("{text:?}"))
        };
        for from in ["cure hotter than ", "Above "] {
            let celsius = number(from, "\u{a0}°C");
            assert!(
                celsius <= c.hazards.max_celsius + 1e-6 && celsius > c.hazards.max_celsius - 1.01,
                "{celsius} {c:?}"
            );
        }
        let lost = number("at the warmest, up to ", "\u{a0}%") / 100.0;
        assert!(
            lost >= c.hazards.opposed_loss - 1e-6 && lost < c.hazards.opposed_loss + 0.0101,
            "{lost} {c:?}"
        );
        seen += 1;
    }
    assert!(seen > 20, "{seen}");
}
