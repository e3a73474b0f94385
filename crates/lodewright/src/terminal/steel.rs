//! A magnet on steel on a terminal.

use advice::view::plot::Plot;

use crate::steelwork::SteelSheet;
use crate::terminal::Page;

/// What a magnet on steel pulls, against gap and thickness.
pub fn steel(page: &mut Page, sheet: &SteelSheet) {
    page.line(&sheet.view.lead);
    page.line(&format!("{}.", sheet.view.behind));
    if let Some(beside) = &sheet.view.beside {
        page.line(&format!("{}.", beside.text));
    }
    for warning in &sheet.drawing.warnings {
        page.line(&format!("Warning: {warning}."));
    }
    page.blank();
    plot(page, &sheet.view.against_gap);
    page.blank();
    plot(page, &sheet.view.against_thickness);
}

/// Curves that share their places, as columns.
fn plot(page: &mut Page, plot: &Plot) {
    page.heading(&plot.title);
    let unit = |label: &str, unit: &str| format!("{label}, {unit}");
    let mut headings = vec![unit(&plot.x.label, &plot.x.unit)];
    headings.extend(plot.curves.iter().map(|c| unit(&c.name, &plot.y.unit)));
    let places = plot.curves.first().map_or(0, |c| c.points.len());
    let rows = (0..places)
        .map(|k| {
            let at = plot.curves.first().and_then(|c| c.points.get(k)).map_or(0.0, |p| p[0]);
            let values = plot
                .curves
                .iter()
                .map(|c| c.points.get(k).map_or(String::new(), |p| figure(p[1])));
            std::iter::once(figure(at)).chain(values).collect()
        })
        .collect();
    let shown: Vec<&str> = headings.iter().map(String::as_str).collect();
    let right: Vec<usize> = (0..headings.len()).collect();
    page.table(&shown, rows, &right);
}

/// Three significant digits.
fn figure(value: f64) -> String {
    if value == 0.0 {
        return "0".into();
    }
    let digits = (2 - value.abs().log10().floor() as i32).clamp(0, 6) as usize;
    format!("{value:.digits$}")
}
