use advice::view::plot::{CurveRole, Plot, PlotAxis, PlotCurve};
use advice::view::text::Run;

use super::*;

fn axis_of(label: &str) -> PlotAxis {
    PlotAxis {
        label: label.into(),
        unit: "mm".into(),
    }
}

fn view(title: &str) -> LessonView {
    let run = |text: &str| Run {
        text: text.into(),
        strong: true,
        em: false,
    };
    let plot = Plot {
        title: "a <plot>".into(),
        x: axis_of("gap"),
        y: axis_of("pull"),
        curves: vec![PlotCurve {
            name: "x < y".into(),
            role: CurveRole::Main,
            points: vec![[0.0, 10.0], [1.0, f64::NAN], [2.0, 5.0]],
        }],
        marks: Vec::new(),
        stretches: Vec::new(),
        remark: "falls".into(),
    };
    LessonView {
        name: "one".into(),
        title: title.into(),
        own: false,
        minutes: 2,
        lead: vec![run("<script>alert(1)</script>")],
        rule: Some("rule & clause".into()),
        blocks: vec![
            BlockView::Heading { text: "h".into() },
            BlockView::Chart {
                chart: ChartView::Plot(Box::new(plot)),
            },
        ],
        say: "say \"it\"".into(),
        assumed: Vec::new(),
        next: vec![
            LessonLine {
                name: "one".into(),
                title: "here".into(),
                minutes: Some(1),
                own: false,
            },
            LessonLine {
                name: "two".into(),
                title: "not here".into(),
                minutes: None,
                own: false,
            },
        ],
    }
}

/// Whatever a shop or a lesson is called, it is text; what is not exported is no link; nothing is loaded from elsewhere.
#[test]
fn a_page_is_whole_and_takes_nothing_as_code() {
    let name = "Tray <b> & שלום 😀".repeat(20);
    let lines = [LessonLine {
        name: "one".into(),
        title: "One".into(),
        minutes: Some(2),
        own: false,
    }];
    let maker = Maker {
        name,
        ..Maker::default()
    };
    let imprint = Imprint {
        link: "https://tray.example/\"x".into(),
        day: "today".into(),
        ..Imprint::default()
    };
    let messages = Messages::of("en").unwrap();
    let by = Publisher {
        maker: &maker,
        imprint: &imprint,
        revision: 7,
        beside: &lines,
        messages: &messages,
    };
    let document = lesson(&view("Why \"<twice>\"?"), &by);
    let html = document.html();
    for absent in [
        "<script",
        "<twice",
        "<plot>",
        "x < y",
        "src=",
        "NaN",
        "two.html",
        "example/\"x",
    ] {
        assert!(!html.contains(absent), "{absent}");
    }
    for there in [
        "&lt;script&gt;",
        "href=\"one.html\"",
        "<svg",
        "שלום",
        "stock of today, shelf revision 7",
        "</html>",
    ] {
        assert!(html.contains(there), "{there}");
    }
    assert!(document.pdf().unwrap().starts_with(b"%PDF"));
    assert!(index("Lessons", &by).html().contains("href=\"one.html\""));
}
