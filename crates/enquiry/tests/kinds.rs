//! The kind of a message, and what it asks, on at least one question for each topic and some for each other kind.

use advice::Catalogue;
use enquiry::Vocabulary;
use serde_json::Value;

/// Kind, what is asked (the reason where it is refused, empty where a magnet is to be chosen), and the message.
const MESSAGES: [[&str; 3]; 191] = [
    [
        "choose",
        "",
        "We want to hang 40 signs on steel plates. Each weighs about 350 g. Some more of our story.",
    ],
    ["tell", "pull", "What does a 15x5 N42 disc hold on a 2 mm steel plate?"],
    ["tell", "pull", "Would a 20x10x5 N45 block hold 3 kg on a steel door?"],
    [
        "tell",
        "pull",
        "how many kilos will the ring 30/10/5 N38 carry straight off",
    ],
    ["tell", "pull", "N52 disc 12x3, grip on 1 mm sheet?"],
    [
        "tell",
        "pull",
        "Is a 10x3 N42 disc enough to keep a 200 g sign on a fridge?",
    ],
    ["tell", "field", "gauss of a 10x10 N42 disc 20 mm away?"],
    [
        "tell",
        "field",
        "What flux density do I get 15 mm above a 25x5 N35 disc",
    ],
    ["tell", "heat", "Can my 20x5 N42 disc stand 100 °C?"],
    [
        "tell",
        "heat",
        "does the block 40x20x10 N52 lose force in a 90 degree engine bay",
    ],
    ["tell", "weight", "what does one 30x10 N45 disc weigh?"],
    ["tell", "weight", "Mass of 200 pieces of block 20x10x2 N42?"],
    ["tell", "price", "What would 300 of the 8x3 N42 discs cost me?"],
    ["tell", "price", "price for 50 pcs ring 20/5/5 N40 please"],
    ["tell", "fly", "May I take a 40x20 N42 disc on a plane?"],
    ["tell", "fly", "can you send 100 blocks 50x20x10 N42 by air to Chile"],
    ["tell", "toy", "Is a 5 mm N42 sphere allowed in a toy for 4 year olds?"],
    ["tell", "danger", "How dangerous is a 70x30 N45 disc for my fingers?"],
    [
        "tell",
        "jump",
        "From how far does a 20x10 N42 disc jump onto a steel plate?",
    ],
    ["tell", "machine", "Can I drill a hole through the 20x5 N42 disc?"],
    [
        "tell",
        "corrosion",
        "Will a 15x5 N42 nickel disc rust in my garden pond?",
    ],
    [
        "tell",
        "keep_away",
        "how far must a 50x20 N45 disc stay from a credit card?",
    ],
    [
        "tell",
        "steel_mm",
        "How thick must the steel be for a 32x7 N42 disc to pull fully?",
    ],
    ["tell", "moment", "dipole moment of a 10x10x10 N42 cube?"],
    ["tell", "card", "Tell me all about the disc 20x5 N42"],
    ["tell", "card", "data of your ring 25/10/5 N42 please"],
    ["compare", "pull", "Which holds more, a 20x5 N42 or a 15x8 N42 disc?"],
    [
        "compare",
        "pull",
        "Disc 10x5 N42 versus block 10x10x5 N42 - stronger one?",
    ],
    ["compare", "pull", "is 20x10 N52 much stronger than 20x10 N42?"],
    [
        "compare",
        "price",
        "What is cheaper: 100 discs 10x3 N42 or 100 discs 12x2 N42?",
    ],
    ["compare", "heat", "N42 or N42SH in 20x5 disc for 120 °C?"],
    [
        "compare",
        "value",
        "Is the N52 20x5 disc worth the extra money over the N42 20x5?",
    ],
    [
        "compare",
        "weight",
        "Which is heavier, ring 20/10/5 or disc 18x5, both N42?",
    ],
    [
        "explain",
        "stainless",
        "Why doesn't a magnet stick to my stainless steel sink?",
    ],
    ["explain", "halbach", "What is a Halbach array good for?"],
    ["explain", "curie", "What is the Curie point?"],
    ["explain", "lifetime", "Do magnets get weaker after ten years?"],
    [
        "explain",
        "lifetime",
        "How long will a neodymium magnet keep its power?",
    ],
    ["explain", "heat", "How hot may a neodymium magnet get?"],
    ["explain", "heat", "What does heat do to magnets?"],
    ["explain", "cold", "Do magnets work in the freezer?"],
    ["explain", "gluing", "Which adhesive works best for neodymium magnets?"],
    [
        "explain",
        "brittle",
        "Why did my magnet shatter when two snapped together?",
    ],
    [
        "explain",
        "safe_distance",
        "How far should I keep strong magnets from my laptop?",
    ],
    [
        "explain",
        "implants",
        "Is it dangerous to wear magnets with a pacemaker?",
    ],
    ["explain", "shielding", "What material blocks a magnetic field?"],
    [
        "explain",
        "plate_thickness",
        "How thick should steel be so a magnet holds fully, in general?",
    ],
    [
        "explain",
        "sideways",
        "Why does my magnet slide down the wall so easily?",
    ],
    ["explain", "gap", "How much force does a coat of paint cost?"],
    ["explain", "pot_magnets", "Why is a magnet in a steel cup stronger?"],
    ["explain", "units", "How many gauss are in one tesla?"],
    ["explain", "gauss_vs_pull", "Does more gauss mean more holding force?"],
    ["explain", "storing", "How should I store my magnets?"],
    ["explain", "recycling", "Where do I throw away old magnets?"],
    ["explain", "tolerance", "How accurate are the sizes of your magnets?"],
    ["explain", "cutting", "Can I saw a magnet in half?"],
    ["explain", "drilling", "Can neodymium be drilled?"],
    ["explain", "demagnetise", "How can I demagnetise a screwdriver?"],
    ["explain", "remagnetise", "Can an old magnet be recharged?"],
    ["explain", "north_pole", "How do I find out which side is north?"],
    [
        "explain",
        "poles_axial_diametral",
        "What does diametrically magnetised mean?",
    ],
    ["explain", "water", "Does a magnet work under water?"],
    [
        "explain",
        "levitation",
        "Why can't a magnet float stably above another?",
    ],
    [
        "explain",
        "ferrite_or_neodymium",
        "What is the difference between ferrite and neodymium?",
    ],
    ["explain", "samarium_cobalt", "When do I take samarium cobalt?"],
    ["explain", "alnico", "What is alnico used for?"],
    ["explain", "flying", "Are magnets allowed in hand luggage?"],
    ["explain", "toys", "Which rules apply to magnets in toys?"],
    [
        "explain",
        "magnet_vs_steel",
        "Is a steel plate as good as a second magnet on the other side?",
    ],
    [
        "explain",
        "pairs_of_magnets",
        "Do two magnets attract each other stronger than a magnet and steel?",
    ],
    [
        "explain",
        "two_side_by_side",
        "Do two small magnets beside each other hold as much as a big one?",
    ],
    [
        "explain",
        "twice_thickness",
        "Is a magnet that's twice as thick twice as strong?",
    ],
    [
        "explain",
        "solid_or_stack",
        "Is a stack of thin magnets as strong as a solid one?",
    ],
    ["explain", "wide_or_thick", "Is it better to go wider or thicker?"],
    ["explain", "grade_meaning", "What does N42 mean?"],
    ["explain", "coatings_rust", "Which coating is best against rust?"],
    ["explain", "price_quantity", "Do magnets get cheaper if I buy more?"],
    [
        "explain",
        "measuring",
        "How can I measure the strength of a magnet at home?",
    ],
    [
        "explain",
        "reed_and_hall",
        "What's the difference between a reed switch and a Hall sensor?",
    ],
    [
        "explain",
        "static_vs_dynamic",
        "Why do moving loads need a bigger safety factor?",
    ],
    [
        "explain",
        "why_pull_differs",
        "Why is the real pull lower than your rated pull?",
    ],
    [
        "explain",
        "thin_sheet",
        "Why does a big magnet hold badly on thin sheet?",
    ],
    [
        "explain",
        "meter_less",
        "Why does my gaussmeter show less than the remanence?",
    ],
    [
        "explain",
        "beyond_half_remanence",
        "What is the highest field a single magnet can have at its surface?",
    ],
    [
        "explain",
        "magnetise_direction",
        "On which faces of a block are the poles?",
    ],
    ["refuse", "unlawful", "Which magnet stops my water meter?"],
    ["refuse", "unlawful", "what magnet opens the security tag on a jacket?"],
    ["refuse", "unlawful", "Need a magnet to fool a parking meter"],
    ["refuse", "harm", "I want to put tiny magnets into my flatmate's soup"],
    ["refuse", "harm", "which magnet could stop my neighbour's pacemaker"],
    [
        "refuse",
        "impossible",
        "I want a magnet motor that runs forever without power",
    ],
    [
        "refuse",
        "impossible",
        "Which magnet picks up gold nuggets from a stream?",
    ],
    ["refuse", "impossible", "a magnet to pull aluminium cans out of the bin"],
    ["refuse", "off_topic", "What's the capital of Peru?"],
    ["refuse", "off_topic", "Can you fix my dishwasher?"],
    ["refuse", "off_topic", "Please send me a pizza with mushrooms"],
    ["refuse", "no_such_grade", "20 discs N75 10x5 please"],
    ["refuse", "no_such_grade", "do you stock N56 blocks 20x10x5?"],
    [
        "refuse",
        "stable_float",
        "I'd like my pen to float above magnets with no power",
    ],
    [
        "refuse",
        "stable_float",
        "make a ball levitate in mid-air with permanent magnets only",
    ],
    [
        "refuse",
        "not_magnetic",
        "which magnet sticks to an aluminium window frame for a 200 g ornament",
    ],
    ["refuse", "not_magnetic", "Will a magnet hold on a brick wall?"],
    [
        "refuse",
        "not_magnetic",
        "magnet for a 1 kg picture on a bare concrete wall",
    ],
    [
        "choose",
        "",
        "Good day, we build kitchens and need a catch for a cupboard door, 1.5 kg straight off, steel strike 2 mm. Not thicker than 5 mm.",
    ],
    ["choose", "", "how do i hang a 700 g clock on my steel locker"],
    [
        "choose",
        "",
        "Looking for magnets to keep a tarpaulin on a steel trailer, 2 kg each, outdoors",
    ],
    ["choose", "", "30 mT at 10 mm distance, magnet max 15 mm dia"],
    [
        "choose",
        "",
        "Any magnet that holds a 400 g knife on a 1 mm steel strip through 4 mm wood",
    ],
    [
        "choose",
        "",
        "What would you suggest for hanging 5 kg lamp below a 6 mm steel beam?",
    ],
    ["choose", "", "fridge magnet for postcards, how strong?"],
    ["choose", "", "two magnets that close a leather bag, gap 2 mm, 5 N"],
    ["choose", "", "reed switch, closes at 2 mT, 12 mm away. which magnet"],
    [
        "choose",
        "",
        "we want to fix a sensor (120 g) on an oil tank, warm up to 110 °C, vibration",
    ],
    ["choose", "", "disc under 12 mm for 1 kg on a whiteboard?"],
    [
        "choose",
        "",
        "Does a magnet exist that holds 8 kg on a steel door and is only 20 mm wide?",
    ],
    [
        "choose",
        "",
        "I need the cheapest disc for holding 10 sheets of paper on a whiteboard",
    ],
    ["choose", "", "push two parts apart with 3 N at 5 mm, ring shape"],
    [
        "choose",
        "",
        "Can I hang a 3 kg picture on a steel wall with one magnet?",
    ],
    [
        "choose",
        "",
        "please offer 500 pcs countersunk ring magnets to hold 2 kg, M3 screw",
    ],
    [
        "tell",
        "pull",
        "I've got a 25x25x10 N35 block here, what's its holding force on 10 mm steel?",
    ],
    [
        "tell",
        "pull",
        "Will two stacked 10x2 N42 hold 500 g sideways on a painted door?",
    ],
    ["tell", "pull", "could a 6x6 N42 rod lift a 300 g tool"],
    ["tell", "pull+price", "pull and price of the 20x10 N42 disc?"],
    [
        "tell",
        "weight+pull",
        "How heavy is a 50x50x25 N42 block and how much does it pull?",
    ],
    ["tell", "heat", "N35 block 40x10x5, 85 degrees permanent, any loss?"],
    [
        "tell",
        "distance_for_field",
        "At what distance does a 20x5 N42 disc fall below 1 mT?",
    ],
    [
        "compare",
        "field",
        "Which gives more gauss at 20 mm, a 10x10 N42 or a 15x5 N42 disc?",
    ],
    [
        "compare",
        "pull",
        "25x5 N42 against 25x10 N42 on 1 mm sheet, is the thick one any better?",
    ],
    [
        "compare",
        "pull",
        "I can choose between block 20x10x5 and disc 15x5, both N45. Which one sticks better through 1 mm plastic?",
    ],
    [
        "explain",
        "sideways",
        "Is it normal that the thing holds tight when pulled but slips down the door?",
    ],
    ["explain", "thin_sheet", "my strong magnet is weak on the car door, why"],
    ["explain", "lifetime", "I bought magnets in 1998, are they weaker now?"],
    ["explain", "water", "Is the force the same in sea water?"],
    ["explain", "safe_distance", "Will a magnet kill my phone?"],
    ["explain", "two_side_by_side", "Do 2 magnets hold twice as much as 1?"],
    [
        "tell",
        "pull",
        "Hello, the shop sold me ring magnets 25/6/5, N42. What weight can one carry hanging from a 5 mm plate?",
    ],
    [
        "tell",
        "pull",
        "holding power N42 30x5 through 1mm felt onto a 1.5mm sheet",
    ],
    ["tell", "pull", "force of 15 mm cube N45 on thick iron?"],
    [
        "tell",
        "pull",
        "We use your 18x4 N38 disc on a machine. How much is left of the pull with 0.5 mm gap?",
    ],
    ["tell", "pull", "how strong r ur 6mm N42 spheres"],
    ["tell", "face_field", "surface gauss of 20x10 N42?"],
    [
        "tell",
        "face_field",
        "What will the teslameter show on the face of a 12x6 N35 disc?",
    ],
    ["tell", "field", "field on the axis of ring 30/10/10 N42 at 25 mm pls"],
    ["tell", "field", "How many mT does a 5x5 N45 rod make at 1 cm?"],
    ["tell", "heat", "until what temperature is a 10x2 N52 disc ok?"],
    [
        "tell",
        "heat",
        "N42SH ring 20/10/5 in boiling water, any permanent loss?",
    ],
    [
        "tell",
        "keep_away",
        "Is a 30x10 N42 disc dangerous near a pacemaker, which distance?",
    ],
    ["tell", "keep_away", "how close can my phone get to a 12x3 N42 disc"],
    ["tell", "danger", "Can the 50x30 N42 block crush a finger?"],
    [
        "tell",
        "corrosion",
        "how long will a bare 20x5 N35 disc last outdoors in the rain",
    ],
    ["tell", "price+weight", "cost and weight of 80 discs 25x3 N42?"],
    [
        "tell",
        "machine",
        "Is it possible to file 0.5 mm off a 20x10x5 N42 block?",
    ],
    ["tell", "toy", "My son is six. Can he play with 5 mm N38 balls?"],
    [
        "compare",
        "pull",
        "Two candidates: disc 20x5 N42, ring 20/5/5 N42. Which is stronger on 3 mm steel?",
    ],
    [
        "compare",
        "pull",
        "is a 12x12x12 cube or a 15x10 disc stronger, both N42",
    ],
    ["compare", "pull", "pull of disc 8x3 N45 compared to disc 10x2 N45?"],
    [
        "compare",
        "heat",
        "Which of the two survives 130 degrees, disc 10x5 N42 or disc 10x5 N38SH?",
    ],
    [
        "compare",
        "jump",
        "Which jumps from further away, 20x10 N42 or 25x5 N42?",
    ],
    [
        "compare",
        "corrosion",
        "Which rusts sooner outdoors, the 20x5 N42 disc or the 20x5 Y30 disc?",
    ],
    [
        "choose",
        "",
        "I'm restoring a wardrobe; the doors (1.2 kg) should be kept shut with a magnet, steel plate 1.5 mm.",
    ],
    [
        "choose",
        "",
        "For our trade fair wall (0.8 mm steel, powder coated) we hang A3 frames of 900 g each. How many and which magnets?",
    ],
    ["choose", "", "hall sensor needs 10 mT at 4 mm. pocket 6 mm x 3 mm"],
    [
        "choose",
        "",
        "Is there a ring with 4 mm hole that carries 3 kg from a steel ceiling beam?",
    ],
    [
        "choose",
        "",
        "My workshop shelf is steel, I want my 600 g torch to stick there. What do you recommend?",
    ],
    [
        "choose",
        "",
        "Do you have block magnets for hanging a 2 kg tool on a 3 mm steel wall?",
    ],
    [
        "choose",
        "",
        "Would a magnet keep a 5 kg hatch from rattling? steel 2 mm",
    ],
    ["choose", "", "need smth for door sign 300g, door is steel 1mm. thx"],
    [
        "explain",
        "heat",
        "At what temperature do neodymium magnets lose their strength?",
    ],
    ["explain", "gap", "Why does the force fall so quickly with distance?"],
    ["explain", "gap", "Does tape on a magnet weaken it?"],
    ["explain", "coatings_rust", "Do neodymium magnets rust?"],
    ["compare", "corrosion", "nickel or epoxy for outdoors?"],
    [
        "explain",
        "plate_thickness",
        "what thickness of iron is needed behind a magnet generally",
    ],
    [
        "explain",
        "why_pull_differs",
        "You state 10 kg but my scale shows 6, how come?",
    ],
    [
        "explain",
        "price_quantity",
        "Is there a discount for larger quantities?",
    ],
    ["explain", "price_quantity", "Why are neodymium magnets so expensive?"],
    ["explain", "shielding", "Can I shield a magnet with aluminium foil?"],
    [
        "explain",
        "magnet_vs_steel",
        "Should I take a second magnet or a steel washer as counterpart?",
    ],
    ["explain", "toys", "Why are small magnets dangerous for children?"],
    ["explain", "safe_distance", "Can magnets erase a bank card?"],
    ["explain", "measuring", "With what do I check the grade of a magnet?"],
    ["explain", "demagnetise", "Does dropping a magnet weaken it?"],
    ["explain", "flying", "Why can strong magnets not go by air freight?"],
    ["refuse", "unlawful", "How do I slow down the gas meter with a magnet?"],
    [
        "refuse",
        "unlawful",
        "which magnet takes off the theft tag at the clothes shop",
    ],
    ["refuse", "unlawful", "magnet to cheat a slot machine"],
    ["refuse", "off_topic", "Hi, do you sell bicycles?"],
    ["refuse", "off_topic", "What time do you close on Saturday?"],
    ["refuse", "off_topic", "Please translate this letter into French"],
    [
        "refuse",
        "impossible",
        "which magnet attracts copper pipes from a metre",
    ],
    ["refuse", "impossible", "a 3 mm disc that lifts 100 kg on steel"],
];

#[test]
fn a_message_is_told_by_what_it_asks() {
    let vocabulary = Vocabulary::of(&Catalogue::builtin().expect("built-in data reads"), None);
    let mut wrong: Vec<String> = Vec::new();
    for [kind, asked, text] in MESSAGES {
        let read = serde_json::to_value(enquiry::read(text, &vocabulary).enquiry).expect("a reading is data");
        let about: Vec<&str> = read["about"]
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(Value::as_str)
            .collect();
        let mut got: Vec<&str> = read["reason"].as_str().map_or(about, |reason| vec![reason]);
        let mut expected: Vec<&str> = asked.split('+').filter(|a| !a.is_empty()).collect();
        got.sort_unstable();
        expected.sort_unstable();
        if read["kind"] != kind || got != expected {
            wrong.push(format!(
                "{text}: {} {got:?}, expected {kind} {expected:?}",
                read["kind"]
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
