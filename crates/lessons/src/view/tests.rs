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

/// On a shelf whose only disc is another one every figure of every lesson is of that one.
#[test]
fn figures_follow_the_shelf() {
    let (items, catalogue) = shelf();
    let first = Figures::new(&items, &catalogue).reference;
    let others: Vec<Item> = items
        .iter()
        .filter(|i| i.shape.widest() < first.shape.widest() * 0.7)
        .cloned()
        .collect();
    let second = Figures::new(&others, &catalogue).reference;
    assert_ne!(first.shape, second.shape);
    for lesson in built_in() {
        let [before, after] = [&items, &others].map(|shelf| {
            view(
                lesson,
                &Lessons::with_own([]),
                shelf,
                &catalogue,
                &reader(Units::metric()),
            )
        });
        assert_ne!(plain(&before.lead), plain(&after.lead), "{}", before.name);
        assert_ne!(before.say, after.say, "{}", before.name);
        let bars = |view: &LessonView| -> Vec<String> {
            let charts = view.blocks.iter().filter_map(|block| match block {
                BlockView::Chart {
                    chart: ChartView::Bars(bars),
                } => Some(bars.bars.iter().map(|bar| bar.text.clone()).collect::<Vec<_>>()),
                _ => None,
            });
            charts.flatten().collect()
        };
        assert_ne!(bars(&before), bars(&after), "{}", before.name);
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
