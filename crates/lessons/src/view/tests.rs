use quantity::{Currency, Units};
use shop::demo;

use super::*;
use crate::{FILES, Lessons, built_in};

fn reader(units: Units) -> Reader {
    Reader {
        units,
        currency: Currency::EUR,
    }
}

fn shelf() -> (Vec<Item>, Catalogue) {
    let shop = demo::in_memory().unwrap();
    (shop.snapshot().unwrap().items, Catalogue::builtin().unwrap())
}

/// All texts of a lesson.
fn texts(view: &LessonView) -> Vec<String> {
    let mut out = vec![plain(&view.lead), view.say.clone()];
    for block in &view.blocks {
        match block {
            BlockView::Heading { text } => out.push(text.clone()),
            BlockView::Paragraph { runs } => out.push(plain(runs)),
            BlockView::List { items } => out.extend(items.iter().map(|item| plain(item))),
            BlockView::Chart {
                chart: ChartView::Bars(bars),
            } => out.extend(bars.bars.iter().map(|bar| bar.text.clone())),
            BlockView::Chart { .. } => {}
        }
    }
    out
}

#[test]
fn every_file_is_a_lesson_with_all_its_figures_and_charts() {
    assert_eq!(built_in().len(), FILES.len());
    let (items, catalogue) = shelf();
    for (name, text) in FILES {
        let lesson = Lesson::read(text).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert_eq!(lesson.topic.name, name);
        for units in [Units::metric(), Units::inch()] {
            let view = view(&lesson, &Lessons::with_own([]), &items, &catalogue, &reader(units));
            assert_eq!(
                view.blocks.len(),
                lesson.blocks.len(),
                "{name}: a chart has nothing to show"
            );
            for text in texts(&view) {
                assert!(!text.contains(['{', '}']) && !text.contains("**"), "{name}: {text}");
            }
            assert!((20..=90).contains(&view.say.split(' ').count()), "{name}: {}", view.say);
            for block in &view.blocks {
                if let BlockView::Chart {
                    chart: ChartView::Plot(plot),
                } = block
                {
                    assert!(plot.curves.iter().all(|curve| curve.points.len() > 10), "{name}");
                }
            }
        }
    }
}

/// Numbers that are typed into a lesson would not change with the shelf. Names of grades, the thicknesses that the labels of bars
/// repeat from the figures' own names, and the share that bands cover are no such figures.
#[test]
fn no_figure_is_typed_in() {
    for (name, text) in FILES {
        let body = text.splitn(3, "+++").nth(2).unwrap_or_default();
        let said = body
            .replace("N35", "")
            .replace("95 %", "")
            .replace("1 mm", "")
            .replace("0.5 mm", "");
        let digits: String = said.chars().filter(char::is_ascii_digit).collect();
        assert!(digits.is_empty(), "{name}: {digits}");
    }
}

/// Figures that are the same on every shelf, each with the reason why.
const STAYS: [(&str, &[&str]); 4] = [
    (
        "a condition that the lesson sets, so that magnets can be held against each other in it",
        &["gap", "thin_gap", "sheet", "thin_sheet", "probe", "hot"],
    ),
    (
        "the most that its grade stands, whatever is made of it",
        &["ferrite_stands"],
    ),
    (
        "how this program reckons: the friction that it takes, the grade that it sets beside the usual one",
        &["friction", "strong"],
    ),
    (
        "a least distance that is said of every magnet of such a size",
        &["implant"],
    ),
];

/// A shelf with one magnet, which differs from the usual one in all that a figure can be of: size, grade, coating, tolerance and
/// price.
fn other_shelf(usual: &[Item], catalogue: &Catalogue) -> Vec<Item> {
    let first = Figures::new(usual, catalogue).reference;
    let smaller = |item: &&Item| {
        let ratio = item.shape.widest() / first.shape.widest();
        let disc = advice::view::answer::outline(&item.shape, 1).shape == "disc";
        disc && (0.4..0.8).contains(&ratio) && item.shape.height() != first.shape.height()
    };
    let other = usual.iter().find(smaller).unwrap();
    vec![Item {
        grade: "N38SH".into(),
        coating: "epoxy".into(),
        tolerance: quantity::Length(0.17e-3),
        prices: vec![advice::PriceBreak {
            from: 1,
            each: quantity::Money::from_parts(7_700),
        }],
        mass: None,
        ..other.clone()
    }]
}

/// The figures that a lesson names, in its texts and its charts.
fn named(lesson: &Lesson) -> Vec<String> {
    let mut texts = vec![lesson.topic.text.clone(), lesson.say.clone()];
    let mut names: Vec<String> = Vec::new();
    for block in &lesson.blocks {
        match block {
            Block::Paragraph(text) => texts.push(text.clone()),
            Block::List(items) => texts.extend(items.iter().cloned()),
            Block::Chart(crate::read::Chart::Bars { bars, .. }) => {
                names.extend(bars.iter().map(|bar| bar.figure.clone()));
            }
            Block::Heading(_) | Block::Chart(_) => {}
        }
    }
    let braced = texts.iter().flat_map(|text| text.split('{').skip(1));
    names.extend(braced.filter_map(|after| Some(after.split_once('}')?.0.to_owned())));
    names
}

/// Every figure of every lesson follows the shelf, or stays for a stated reason; so do the points of every chart.
#[test]
fn figures_follow_the_shelf_or_stay_for_a_reason() {
    let (items, catalogue) = shelf();
    let other = other_shelf(&items, &catalogue);
    let shelves = [items, other];
    let both = |lesson: &Lesson| {
        shelves.each_ref().map(|shelf| {
            let reader = reader(Units::metric());
            view(lesson, &Lessons::with_own([]), shelf, &catalogue, &reader)
        })
    };
    let stays = |name: &str| STAYS.iter().any(|(_, names)| names.contains(&name));
    let mut seen = Vec::new();
    let mut wrong = Vec::new();
    for lesson in built_in() {
        for name in named(lesson) {
            let alone = Lesson {
                say: format!("{{{name}}}"),
                ..lesson.clone()
            };
            let [before, after] = both(&alone).map(|view| view.say);
            assert!(!before.is_empty() && !before.contains('{'), "{name}: {before}");
            if (before == after) != stays(&name) {
                wrong.push(format!("{}: {name} was {before} and is {after}", lesson.topic.name));
            }
            seen.push(name);
        }
        let charts = both(lesson).map(|view| view.blocks.iter().map(numbers).collect::<Vec<_>>());
        for (before, after) in charts[0].iter().zip(&charts[1]) {
            if before == after && !before.is_empty() {
                wrong.push(format!("{}: a chart stays {before:?}", lesson.topic.name));
            }
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
    let unused: Vec<&str> = STAYS.iter().flat_map(|(_, names)| *names).copied().collect();
    let unused: Vec<&str> = unused
        .into_iter()
        .filter(|name| !seen.iter().any(|s| s == name))
        .collect();
    assert_eq!(unused, Vec::<&str>::new(), "no lesson has these");
}

/// The numbers of a chart.
fn numbers(block: &BlockView) -> Vec<f64> {
    match block {
        BlockView::Chart { chart } => match chart {
            // Their figures are looked at by name.
            ChartView::Bars(_) => Vec::new(),
            ChartView::Plot(plot) => plot
                .curves
                .iter()
                .flat_map(|curve| curve.points.iter().flatten().copied())
                .collect(),
            ChartView::Ladder(ladder) => ladder.rungs.iter().map(|rung| rung.value.value).collect(),
        },
        _ => Vec::new(),
    }
}

#[test]
fn an_empty_shelf_still_has_lessons() {
    let catalogue = Catalogue::builtin().unwrap();
    for lesson in built_in() {
        let view = view(
            lesson,
            &Lessons::with_own([]),
            &[],
            &catalogue,
            &reader(Units::metric()),
        );
        assert!(plain(&view.assumed[0]).contains("does not have"), "{}", view.name);
        for text in texts(&view) {
            assert!(!text.contains(['{', '}']), "{}: {text}", view.name);
        }
    }
}
