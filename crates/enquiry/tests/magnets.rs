//! The magnets that a message names, in many writings.

use advice::Catalogue;
use enquiry::Vocabulary;
use serde_json::Value;

/// The message, and its magnets as shape, sizes in mm, grade and pieces in a stack.
const NAMED: [[&str; 2]; 34] = [
    ["R16/6/4 N48, what does it pull on 10 mm steel?", "ring 16/6/4 N48"],
    [
        "pull of plain ring OD 20 ID 4,5 T 5, N42 on S235 plate 10 mm",
        "ring 20/4.5/5 N42",
    ],
    ["D20 H10 N42, how dangerous is it?", "disc 20/10 N42"],
    ["Black ring, maybe 40 mm. grade Y30. strength?", "ring 40 Y30"],
    [
        "I use a rod magnet.\nrod: 12 mm diameter, 20 mm long, grade N45.\nPlease tell me its mass",
        "disc 12/20 N45",
    ],
    [
        "Are quarter-inch N42 balls OK for kids to play with?",
        "sphere 6.35 N42",
    ],
    [
        "on my table I have a block magnet from old stock, 50 by 15 by 10 mm, the box says N38. how heavy is the magnet itself?",
        "block 50/15/10 N38",
    ],
    ["we use 40 mm N45. What is the pull on 10 mm plate?", "? 40 N45"],
    [
        "SmCo versus N38UH, both 10x5 disc, which keeps its magnetisation at 170 deg C",
        "disc 10/5 samarium cobalt + disc 10/5 N38UH",
    ],
    [
        "30x10 ferrite disc vs 30x10 neodymium disc N35, pull on a 5mm steel plate?",
        "disc 30/10 ferrite + disc 30/10 N35",
    ],
    [
        "are 2 x 8x2 stacked = 1 x 8x4? same N45, holding on 1mm tin lid",
        "disc 8/2 N45 x2 + disc 8/4 N45",
    ],
    [
        "ring 25-5,5x5 N42 vs disc 25x5 N42: how many % pull do I lose because of the hole? plate 5mm",
        "ring 25/5.5/5 N42 + disc 25/5 N42",
    ],
    [
        "what does the 20 mm disc 5 thick in N42 hold on 3 mm steel",
        "disc 20/5 N42",
    ],
    ["weight of N42-20x5?", "disc 20/5 N42"],
    [
        "what is the weight of a cylinder, 8 mm in diameter and 30 mm long, N38",
        "disc 8/30 N38",
    ],
    ["how much for fifty of your 20 by 10 N45 discs", "disc 20/10 N45"],
    ["surface gauss of a sphere of 1/2 inch, N52", "sphere 12.7 N52"],
    ["stack of four 12x2 N42, field at 15 mm", "disc 12/2 N42 x4"],
    [
        "Ring, 30 mm outside, 12 mm hole, 6 mm high, N38: weight?",
        "ring 30/12/6 N38",
    ],
    [
        "how hot may a magnet disc of 25 mm diameter and 4 mm thickness in N45 get",
        "disc 25/4 N45",
    ],
    [
        "two of my 15x5 N42 discs, what force between them at 4 mm?",
        "disc 15/5 N42",
    ],
    ["price at 500 and 1000 of ring 20/10x3 N35?", "ring 20/10/3 N35"],
    [
        "N42 vs N52 in 1 x 1/2 x 1/4 in block, which one pulls more on 1/4 in steel",
        "block 25.4/12.7/6.35 N42 + block 25.4/12.7/6.35 N52",
    ],
    ["weight of dia 12 mm x length 20 mm rod N42", "disc 12/20 N42"],
    [
        "25mm OD x 10mm ID x 5mm thick N42 - gauss on the face?",
        "ring 25/10/5 N42",
    ],
    [
        "cube 10 mm N42 against ball 12 mm N42, heavier?",
        "block 10/10/10 N42 + sphere 12 N42",
    ],
    [
        "one 30x10 N42 or two 30x5 N42 stacked: stronger on 2 mm sheet?",
        "disc 30/10 N42 + disc 30/5 N42 x2",
    ],
    ["will D=15 h=6 N45 stand 90 °C?", "disc 15/6 N45"],
    [
        "pull of a 1/2\" x 1/8\" N42 disc on 1/4 in steel?",
        "disc 12.7/3.175 N42",
    ],
    ["what does Ø16 x 6 N45 weigh", "disc 16/6 N45"],
    ["surface field of 40/20 x 10 N38 ring?", "ring 40/20/10 N38"],
    ["how heavy is a 10 x 10 x 3 block N42", "block 10/10/3 N42"],
    ["mass of a N52 cube 10 mm", "block 10/10/10 N52"],
    ["three 8x3 N42 discs in a stack: field at 10 mm?", "disc 8/3 N42 x3"],
];

#[test]
fn magnets_are_read_in_every_writing() {
    let vocabulary = Vocabulary::of(&Catalogue::builtin().expect("built-in data reads"), None);
    let mut wrong: Vec<String> = Vec::new();
    for [text, expected] in NAMED {
        let read = serde_json::to_value(enquiry::read(text, &vocabulary).enquiry).expect("a reading is data");
        let magnets: Vec<String> = read["magnets"].as_array().into_iter().flatten().map(said).collect();
        let got = magnets.join(" + ");
        if got != expected {
            wrong.push(format!("{text}: {got}, expected {expected}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn said(magnet: &Value) -> String {
    let sizes: Vec<String> = magnet["size_mm"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_f64)
        .map(|n| ((n * 1e6).round() / 1e6).to_string())
        .collect();
    let shape = magnet["shape"].as_str().unwrap_or("?");
    let grade = magnet["grade"].as_str().map(|g| format!(" {g}")).unwrap_or_default();
    let count = magnet["count"].as_u64().map(|n| format!(" x{n}")).unwrap_or_default();
    format!("{shape} {}{grade}{count}", sizes.join("/"))
}

#[test]
fn the_size_and_the_grade_of_each_magnet_are_shown_as_read() {
    let vocabulary = Vocabulary::of(&Catalogue::builtin().expect("built-in data reads"), None);
    let text = "which pulls more on steel, a disc 20x5 N42 or a disc 10x5 N52?";
    let read = enquiry::read(text, &vocabulary);
    let shown: Vec<[&str; 2]> = read
        .phrases
        .iter()
        .map(|phrase| [&text[phrase.range.clone()], phrase.place.as_str()])
        .collect();
    for wanted in [
        ["20x5", "/magnets/0/size_mm"],
        ["N42", "/magnets/0/grade"],
        ["10x5", "/magnets/1/size_mm"],
        ["N52", "/magnets/1/grade"],
    ] {
        assert!(shown.contains(&wanted), "{wanted:?} in {shown:?}");
    }
}

fn told(text: &str) -> (Value, Vec<String>) {
    let catalogue = Catalogue::builtin().expect("built-in data reads");
    let reading = enquiry::read(text, &Vocabulary::of(&catalogue, None));
    let asks = reading.asks.into_iter().map(|a| a.place).collect();
    (
        serde_json::to_value(&reading.enquiry).expect("an enquiry is JSON"),
        asks,
    )
}

#[test]
fn a_coating_belongs_to_the_magnet_that_is_told_of() {
    let (one, _) = told("How much does a disc 20x5 N42, epoxy coated, pull on 3 mm steel?");
    assert_eq!(one["magnets"][0]["coating"], "epoxy", "{one}");
    let (several, _) = told("Which lasts longer outside, a disc 20x5 N42 with nickel coating or with epoxy coating?");
    let coatings: Vec<&Value> = several["magnets"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|m| &m["coating"])
        .collect();
    assert_eq!(coatings, ["nickel", "epoxy"], "{several}");
    assert_eq!(several["magnets"][1]["size_mm"], several["magnets"][0]["size_mm"]);
}

#[test]
fn two_that_meet_are_a_pair() {
    let (two, _) = told("From how far do two 20x5 N42 discs slam together on a table?");
    assert_eq!(two["magnets"][0]["pair"], true, "{two}");
    assert_eq!(two["question"]["need"]["verb"], "pull_together", "{two}");
    let (one, _) = told("From how far does a 20x5 N42 disc jump onto a steel plate?");
    assert!(one["magnets"][0]["pair"].is_null(), "{one}");
}

#[test]
fn a_grade_that_nobody_says_is_asked() {
    let (_, asks) = told("What does a disc 20x5 hold on 4 mm steel?");
    assert!(asks.iter().any(|a| a == "/magnets/0/grade"), "{asks:?}");
    let (_, asks) = told("What does a disc 20x5 N42 hold on 4 mm steel?");
    assert!(!asks.iter().any(|a| a == "/magnets/0/grade"), "{asks:?}");
}
