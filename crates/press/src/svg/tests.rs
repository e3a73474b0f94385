use crate::Drawing;
use crate::drawing::{Anchor, Pen};
use crate::ink::{INK, OURS};
use crate::text::Style;

#[test]
fn a_drawing_has_its_marks_in_order_and_its_words_as_they_are() {
    let mut drawing = Drawing::new(100.0, 50.0, "a \"disc\" <1>");
    drawing.rectangle([10.0, 20.0], [30.5, 5.0], Pen::area(OURS));
    drawing.line(&[[0.0, 0.0], [1.0, 2.0]], Pen::line(INK, 0.6).dashed(3.0, 2.0));
    drawing.letters([5.0, 6.0], "Ø 5 & <more>", Style::SMALL, Anchor::Middle);
    let svg = drawing.svg();
    let places: Vec<usize> = [
        "viewBox=\"0 0 100 50\"",
        "aria-label=\"a &quot;disc&quot; &lt;1&gt;\"",
        "<path d=\"M10 20L40.5 20L40.5 25L10 25Z\" fill=\"#1d6a5b\" stroke=\"none\"",
        "<path d=\"M0 0L1 2\" fill=\"none\" stroke=\"#22211d\" stroke-width=\"0.6\" stroke-dasharray=\"3 2\"",
        "text-anchor=\"middle\"",
        ">Ø 5 &amp; &lt;more&gt;</tspan>",
    ]
    .iter()
    .map(|part| svg.find(part).unwrap_or_else(|| panic!("{part} is not in {svg}")))
    .collect();
    assert!(places.is_sorted(), "{places:?}");
}
