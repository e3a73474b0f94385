use parcels::rules::Carriage;
use shop::demo;

use super::*;
use crate::printing::written;

fn asked(json: &str) -> ParcelRequest {
    serde_json::from_str(json).unwrap()
}

/// A parcel of the shelf's own pieces is judged, its slip is made on both papers and in both systems of units, and what is not
/// on the shelf is pointed at.
#[test]
fn parcels_of_the_shelf_are_judged_and_put_on_paper() {
    let desk = Desk::new(demo::in_memory().unwrap());
    let code = desk.shelf().unwrap().items[0].code.clone();
    let few = asked(&format!(r#"{{"lines":[{{"magnet":{{"code":"{code}"}},"count":1}}]}}"#));
    let view = desk.parcel(&few, &Units::metric()).unwrap();
    assert_eq!(view.contents[0].code.as_deref(), Some(code.as_str()));
    assert_eq!(view.carriage, Carriage::Free);
    for (arrangement, more) in [("one_way", ""), ("alternating", r#","lining":"1 mm""#), ("rings", "")] {
        let json = format!(
            r#"{{"lines":[{{"magnet":{{"code":"{code}"}},"count":203}}],"arrangement":"{arrangement}"{more}}}"#
        );
        for (units, paper) in [(Units::metric(), Paper::A4), (Units::inch(), Paper::Letter)] {
            let pdf = written(&desk.parcel_paper(&asked(&json), Some(paper), &units).unwrap());
            assert!(pdf.starts_with(b"%PDF-"), "{json}");
            if let Some(folder) = std::env::var_os("PAPER_FOLDER").map(std::path::PathBuf::from) {
                std::fs::write(folder.join(format!("parcel-{arrangement}-{paper:?}.pdf")), &pdf).unwrap();
            }
        }
    }
    let absent = desk.parcel(
        &asked(r#"{"lines":[{"magnet":{"code":"zz"},"count":1}]}"#),
        &Units::metric(),
    );
    assert_eq!(absent.unwrap_err().more.field.as_deref(), Some("/lines/0/magnet/code"));
}
