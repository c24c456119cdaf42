//! Numbers as text with at most four decimals, a tenth of a micrometre: most of what a file of lines holds.

/// How many decimals are kept, as the number of parts of a millimetre.
const PARTS: f64 = 1e4;

/// How near to half a part a value must be for its rounding to hang on the last bits of it.
const TIE: f64 = 1e-3;

/// Appends a value, half a part rounded away from zero; what is no number goes out as 0.
pub(super) fn push(text: &mut Vec<u8>, value: f64) {
    let parts = (value * PARTS).round();
    push_parts(text, if parts.is_finite() { parts as i64 } else { 0 });
}

/// Appends a value, rounded to the nearest part as its exact binary value has it.
pub(super) fn push_exact(text: &mut Vec<u8>, value: f64) {
    let parts = value * PARTS;
    if (parts.fract().abs() - 0.5).abs() > TIE && parts.abs() < 1e12 {
        return push_parts(text, parts.round() as i64);
    }
    let long = format!("{value:.4}");
    let short = long.trim_end_matches('0').trim_end_matches('.');
    text.extend_from_slice(if short == "-0" { b"0" } else { short.as_bytes() });
}

fn push_parts(text: &mut Vec<u8>, parts: i64) {
    if parts < 0 {
        text.push(b'-');
    }
    let (mut whole, mut part) = (parts.unsigned_abs() / 10_000, parts.unsigned_abs() % 10_000);
    let start = text.len();
    loop {
        text.push(digit(whole % 10));
        whole /= 10;
        if whole == 0 {
            break;
        }
    }
    text.get_mut(start..).unwrap_or_default().reverse();
    if part > 0 {
        text.push(b'.');
    }
    while part > 0 {
        text.push(digit(part / 1_000));
        part = part % 1_000 * 10;
    }
}

fn digit(value: u64) -> u8 {
    b'0' + value as u8
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn told(push: fn(&mut Vec<u8>, f64), value: f64) -> String {
        let mut text = Vec::new();
        push(&mut text, value);
        String::from_utf8(text).unwrap()
    }

    #[test]
    fn numbers_keep_a_tenth_of_a_micrometre_and_nothing_more() {
        let values = [0.0, -0.00004, 1.5, -12.345_67, 1_189.123_44, f64::NAN, 10.0, 0.0102];
        assert_eq!(values.map(|value| told(push, value)), ["0", "0", "1.5", "-12.3457", "1189.1234", "0", "10", "0.0102"]);
    }

    proptest! {
        /// The standard library's own formatting says what the exact value is nearest to.
        #[test]
        fn exact_numbers_are_as_the_standard_library_has_them(parts in -200_000_000_i64..200_000_000, bits in -3_i64..4) {
            // Also values half-way between two numbers, and a bit beside.
            let half = parts as f64 / 20_000.0;
            let value = f64::from_bits((half.to_bits() as i64 + bits) as u64);
            let long = format!("{value:.4}");
            let short = long.trim_end_matches('0').trim_end_matches('.');
            prop_assert_eq!(told(push_exact, value), if short == "-0" { "0" } else { short });
        }
    }
}
