//! The size table and the line style of each size.
//!
//! Body measurements are our own table; the steps (bust and hip 4 cm, then 6 and 5 cm) follow the manner of ISO 8559-2
//! designations (from memory).

/// One size.
pub struct Size {
    /// As buyers know it.
    pub name: &'static str,
    /// Bust girth in mm.
    pub bust: f64,
    /// Hip girth in mm.
    pub hip: f64,
    /// Width of its cutting line in mm.
    width: f64,
    /// Dashes and gaps of its cutting line in mm; empty for a solid line.
    dashes: &'static str,
}

/// All sizes, smallest first. Neighbours differ most, so that nobody slips from one line to the next.
pub const SIZES: [Size; 8] = [
    // Told apart by the rhythm of dashes alone: colours merge on a grey printer, and thin lines look alike.
    Size { name: "34", bust: 800.0, hip: 880.0, width: 0.4, dashes: "4 2" },
    Size { name: "36", bust: 840.0, hip: 920.0, width: 0.4, dashes: "14 2 1.5 2" },
    Size { name: "38", bust: 880.0, hip: 960.0, width: 0.5, dashes: "1 2" },
    Size { name: "40", bust: 920.0, hip: 1000.0, width: 0.4, dashes: "" },
    Size { name: "42", bust: 960.0, hip: 1040.0, width: 0.45, dashes: "8 2 1 1.5 1 2" },
    Size { name: "44", bust: 1000.0, hip: 1080.0, width: 0.4, dashes: "11 5" },
    Size { name: "46", bust: 1040.0, hip: 1120.0, width: 0.45, dashes: "20 1.8 5 1.8" },
    Size { name: "48", bust: 1100.0, hip: 1170.0, width: 0.5, dashes: "1 1.5 1 1.5 1 4" },
];

impl Size {
    /// Name of its layer.
    pub fn layer(&self) -> String {
        format!("size {}", self.name)
    }

    /// How many steps of 4 cm of bust it lies above size 36, the base of the draft.
    pub fn steps(&self) -> f64 {
        (self.bust - 840.0) / 40.0
    }

    /// Its place in the table.
    pub fn index(&self) -> f64 {
        SIZES.iter().take_while(|size| size.bust < self.bust).count() as f64
    }

    /// Attributes of its layer.
    pub fn style(&self) -> String {
        let dashes = if self.dashes.is_empty() { String::new() } else { format!(" stroke-dasharray=\"{}\"", self.dashes) };
        format!("fill=\"none\" stroke=\"#000\" stroke-width=\"{}\"{dashes}", self.width)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_rise_and_no_two_look_alike() {
        for pair in SIZES.windows(2) {
            assert!(pair[0].bust < pair[1].bust && pair[0].hip < pair[1].hip);
        }
        let styles: std::collections::BTreeSet<&str> = SIZES.iter().map(|size| size.dashes).collect();
        assert_eq!(styles.len(), SIZES.len());
    }
}
