//! The usual cautions, picked by what is in the harness. They defer to local codes and licensed practice.

use language::Kind;
use language::description::Part;

/// What a harness has that can hurt.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Present {
    lithium: bool,
    pack: bool,
    can: bool,
    drive: bool,
    bench: bool,
}

impl Present {
    /// Takes note of a part.
    pub(crate) fn note(&mut self, part: &Part) {
        match part.kind {
            Kind::Battery => {
                self.pack = true;
                // Packs of small vehicles are lithium unless the file says otherwise.
                self.lithium |= part.word("chemistry").is_none_or(|word| word.starts_with("li_"));
            }
            // A capacitance that falls with voltage is a ceramic's; everything else may be an electrolytic.
            Kind::Capacitor => {
                let ceramic = ["half_voltage", "capacitance_table", "dielectric"]
                    .iter()
                    .any(|property| part.properties.contains_key(*property));
                self.can |= match part.word("type") {
                    Some(word) => word == "electrolytic",
                    None => !ceramic,
                };
            }
            Kind::Drive => self.drive = true,
            Kind::Supply | Kind::Generator => self.bench = true,
            _ => {}
        }
    }

    /// Short sentences for what was noted.
    pub(crate) fn cautions(self) -> Vec<String> {
        let mut cautions = Vec::new();
        if self.pack {
            let (name, puffed) = if self.lithium {
                ("Lithium pack", "; stop using a puffed or damaged pack")
            } else {
                ("Battery", "")
            };
            cautions.push(format!("{name}: a short gives hundreds of amperes. Solder with the pack unplugged, one lead at a time, a fuse in the camera feed{puffed}."));
            cautions.push(
                "Plug-in sparks: power up first through a current-limited supply or an anti-spark resistor."
                    .to_owned(),
            );
        }
        let others = [
            (
                self.can,
                "Electrolytic capacitors: the stripe is minus; rate them above the full pack and its surges; wear eye protection, discharge before touching.",
            ),
            (
                self.drive,
                "Secure tracks and wheels, take propellers off for bench tests; unloaded motors draw less, so the noise there is not the vehicle's.",
            ),
            (self.bench, "Oscilloscope: its ground clip is earthed; clip it to the supply's minus alone."),
            (true, "A model result is not a safety approval: local codes and licensed practice come first."),
        ];
        cautions.extend(others.iter().filter(|(applies, _)| *applies).map(|(_, text)| (*text).to_owned()));
        cautions
    }
}
