//! Any line of JSON, steel among it, is answered or refused with a place and a hint; no value in an answer is missing.
#![no_main]

use libfuzzer_sys::fuzz_target;
use serde_json::Value;

fuzz_target!(|text: &str| {
    // Curves and grids of many points are slow and not odd.
    if text.len() > 4000 {
        return;
    }
    let reply = compute::answer_line(text);
    let value: Value = serde_json::from_str(&reply.text).expect("a reply is JSON");
    if reply.answered {
        assert!(value.get("error").is_none(), "{value}");
        assert!(whole(&value), "{text} gives {value}");
    } else {
        let error = &value["error"];
        let says = |name: &str| error[name].as_str().is_some_and(|text| !text.is_empty());
        assert!(says("message") && says("hint"), "{value}");
        let field = error["field"].as_str().unwrap_or("");
        assert!(field.is_empty() || field.starts_with('/'), "{value}");
    }
    if let Ok(request) = serde_json::from_str::<Value>(text) {
        let _ = compute::in_stated_units(request.clone());
        let _ = compute::bodies(&request["bodies"], "/bodies", 100);
    }
});

/// Whether no number became `null`, but for the caller's own id.
fn whole(value: &Value) -> bool {
    match value {
        Value::Null => false,
        Value::Array(list) => list.iter().all(whole),
        Value::Object(map) => map.iter().all(|(name, value)| name == "id" || whole(value)),
        _ => true,
    }
}
