//! Lessons: standing questions as pages with charts.
//!
//! A lesson is a Markdown file in `data/` with chart blocks ([`read`]). It begins with the text of its standing question
//! (`advice::explain`), so that both are one source. Its texts hold figures in braces and no numbers of their own: every figure
//! and every chart is computed from the shelf when the lesson is shown ([`view`]).

mod chart;
pub mod html;
pub mod read;
pub mod view;

use std::sync::OnceLock;

pub use read::{Lesson, LessonError};
pub use view::LessonView;

/// The files, in the order in which they are listed.
const FILES: [(&str, &str); 12] = [
    ("twice_thickness", include_str!("../data/twice_thickness.md")),
    ("solid_or_stack", include_str!("../data/solid_or_stack.md")),
    ("grade_meaning", include_str!("../data/grade_meaning.md")),
    ("gap", include_str!("../data/gap.md")),
    ("wide_or_thick", include_str!("../data/wide_or_thick.md")),
    ("meter_less", include_str!("../data/meter_less.md")),
    ("gauss_vs_pull", include_str!("../data/gauss_vs_pull.md")),
    ("thin_sheet", include_str!("../data/thin_sheet.md")),
    ("sideways", include_str!("../data/sideways.md")),
    ("heat", include_str!("../data/heat.md")),
    ("safe_distance", include_str!("../data/safe_distance.md")),
    (
        "beyond_half_remanence",
        include_str!("../data/beyond_half_remanence.md"),
    ),
];

/// All lessons. A test reads every file, so that none can be broken in a release.
pub fn lessons() -> &'static [Lesson] {
    static LESSONS: OnceLock<Vec<Lesson>> = OnceLock::new();
    LESSONS.get_or_init(|| FILES.iter().filter_map(|(_, text)| Lesson::read(text).ok()).collect())
}

/// The lesson on that standing question.
pub fn lesson(topic: &str) -> Option<&'static Lesson> {
    lessons().iter().find(|lesson| lesson.topic.name == topic)
}
