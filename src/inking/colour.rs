//! How well a colour shows on white paper, in colour and as the grey that a printer makes of it.

use crate::manifest::Colour;

/// What paint of some opacity looks like on white paper.
pub(super) fn on_paper(colour: Colour, opacity: f64) -> Colour {
    let mixed = |part: u8| (f64::from(part) * opacity + 255.0 * (1.0 - opacity)).round().clamp(0.0, 255.0) as u8;
    Colour { red: mixed(colour.red), green: mixed(colour.green), blue: mixed(colour.blue) }
}

/// The grey that a colour prints as, 0 black to 1 white: the weights of ISO 32000-1, 10.3 (from memory).
pub(super) fn grey(colour: Colour) -> f64 {
    let [red, green, blue] = [colour.red, colour.green, colour.blue].map(|part| f64::from(part) / 255.0);
    0.30 * red + 0.59 * green + 0.11 * blue
}

/// Contrast with white paper, 1 to 21 (WCAG 2.1, "contrast ratio"), in colour or in grey, whichever is less.
pub(super) fn contrast(colour: Colour) -> f64 {
    let printed = (grey(colour) * 255.0).round() as u8;
    let printed = Colour { red: printed, green: printed, blue: printed };
    1.05 / (luminance(colour).max(luminance(printed)) + 0.05)
}

/// WCAG 2.1, "relative luminance".
fn luminance(colour: Colour) -> f64 {
    let linear = |part: u8| {
        let value = f64::from(part) / 255.0;
        if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * linear(colour.red) + 0.7152 * linear(colour.green) + 0.0722 * linear(colour.blue)
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn rgb(red: u8, green: u8, blue: u8) -> Colour {
        Colour { red, green, blue }
    }

    #[test]
    fn contrasts_are_those_of_wcag() {
        // WCAG 2.1: black on white is 21 : 1; #777777 on white is the well-known 4.48 : 1 (W3C, G18); #949494 the lightest grey of
        // 3.03 : 1 (from memory).
        for (colour, ratio) in [(rgb(0, 0, 0), 21.0), (rgb(0x77, 0x77, 0x77), 4.48), (rgb(0x94, 0x94, 0x94), 3.03)] {
            assert!((contrast(colour) - ratio).abs() < 0.01, "{colour:?} has {}", contrast(colour));
        }
        assert!(contrast(rgb(0x95, 0x95, 0x95)) < 3.0);
        assert!(contrast(rgb(255, 255, 0)) < 1.1 && contrast(rgb(0, 255, 0)) < 1.4);
        assert!((contrast(rgb(255, 0, 0)) - 4.0).abs() < 0.01);
    }

    #[test]
    fn thin_paint_is_pale() {
        assert_eq!(on_paper(Colour::BLACK, 0.5), rgb(128, 128, 128));
        assert!(contrast(on_paper(Colour::BLACK, 0.3)) < 3.0);
    }
}
