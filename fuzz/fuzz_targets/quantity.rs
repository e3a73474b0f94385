//! Any text gives a quantity or an error that points into it: never a panic, never a value that is not finite.
#![no_main]

use libfuzzer_sys::fuzz_target;
use quantity::{
    Any, Convention, Currency, FieldStrength, FluxDensity, Force, Length, Load, Mass, Money, ParseError, Quantity,
    Temperature, Units, parse, scan_any,
};

fuzz_target!(|text: &str| {
    whole::<Length>(text);
    whole::<FluxDensity>(text);
    whole::<FieldStrength>(text);
    whole::<Force>(text);
    whole::<Mass>(text);
    whole::<Temperature>(text);
    if let Some(load) = pointed(text, Load::parse(text)) {
        assert!(load.force().si().is_finite(), "{load:?}");
        load.show(&Units::inch()).to_string();
    }
    for convention in [Convention::Auto, Convention::Point, Convention::Comma] {
        if let Some((money, currency)) = pointed(text, Money::parse_with_currency(text, convention)) {
            money.show(currency.unwrap_or(Currency::EUR));
        }
    }
    if let Some(Ok((any, end))) = scan_any(text) {
        assert!(text.is_char_boundary(end) && end > 0, "{any:?} ends at {end}");
        if let Any::Number(n) = any {
            assert!(n.is_finite());
        }
    }
    // Names of units and currencies are read from settings and addresses.
    let _ = text.parse::<Units>();
    let _ = text.parse::<Currency>();
});

fn whole<Q: Quantity>(text: &str) {
    if let Some(quantity) = pointed(text, parse::<Q>(text)) {
        assert!(quantity.si().is_finite());
        for units in [Units::metric(), Units::inch()] {
            assert!(!quantity.show(&units).to_string().is_empty());
        }
    }
}

/// The value; the place that an error names must lie in the text.
fn pointed<T>(text: &str, result: Result<T, ParseError>) -> Option<T> {
    result
        .inspect_err(|error| {
            assert!(
                text.get(error.span.clone()).is_some(),
                "{error:?} does not lie in {text:?}"
            )
        })
        .ok()
}
