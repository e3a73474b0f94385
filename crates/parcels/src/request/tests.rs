use super::*;

fn request(json: &str) -> ParcelRequest {
    serde_json::from_str(json).unwrap()
}

#[test]
fn what_is_out_of_range_is_pointed_at() {
    let field = |json: &str| request(json).check().unwrap_err().field;
    for (json, at) in [
        (r#"{"lines":[]}"#, "/lines"),
        (r#"{"lines":[{"magnet":{"code":"a"},"count":0}]}"#, "/lines/0/count"),
        (
            r#"{"lines":[{"magnet":{"code":"a"},"count":9},{"magnet":{"code":"a"},"count":3}],"arrangement":"rings"}"#,
            "/lines/1/count",
        ),
        (r#"{"lines":[{"magnet":{"code":"a"},"count":100001}]}"#, "/lines"),
        (
            r#"{"lines":[{"magnet":{"code":"a"},"count":1}],"per_stack":0}"#,
            "/per_stack",
        ),
        (
            r#"{"lines":[{"magnet":{"code":"a"},"count":1}],"box":["0.3 m","20 m","0.2 m"]}"#,
            "/box/1",
        ),
        (
            r#"{"lines":[{"magnet":{"code":"a"},"count":1}],"filler":"-1 mm"}"#,
            "/filler",
        ),
        (
            r#"{"lines":[{"magnet":{"code":"a"},"count":1}],"lining":"1 m"}"#,
            "/lining",
        ),
    ] {
        assert_eq!(field(json), at, "{json}");
    }
    let whole = request(
        r#"{"lines":[{"magnet":{"code":"a"},"count":200}],"arrangement":"alternating","per_stack":10,
            "box":["300 mm","200 mm","6 in"],"filler":"30 mm","lining":"1 mm"}"#,
    );
    assert!(whole.check().is_ok());
    let again: ParcelRequest = serde_json::from_value(serde_json::to_value(&whole).unwrap()).unwrap();
    assert_eq!(again, whole);
}
