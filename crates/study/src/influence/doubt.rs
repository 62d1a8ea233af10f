//! How well values are known before anybody measures them.

use language::Kind;

/// The factor up and down by which a value of this property usually lies off where a builder took it from a label, a data sheet
/// or a guess; nothing for what is known or chosen.
///
/// Common practice, no source, except: inductance factors of ring cores are sold with 25 to 30 %, capacitances of electrolytics
/// with 20 % (catalogues, from memory); published tables of electrolytics' resistance differ by a factor of two.
pub(super) fn doubt(kind: Kind, property: &str) -> Option<f64> {
    Some(match (kind, property) {
        (Kind::Battery, "cell_resistance" | "resistance") => 1.5,
        (Kind::Battery | Kind::Supply, "inductance") => 2.0,
        (Kind::Supply, "resistance") => 1.5,
        (Kind::Capacitor, "capacitance") => 1.2,
        (Kind::Capacitor, "esr") => 2.0,
        (Kind::Capacitor, "esl") | (Kind::Wire, "spacing") => 2.0,
        (Kind::Coil, "inductance" | "al" | "permeability") => 1.3,
        (Kind::Coil, "saturation_current" | "flux_density_limit") => 1.3,
        (Kind::Coil, "dcr") => 1.3,
        (Kind::Coil, "residual") => 2.0,
        (Kind::Drive, "current") => 1.25,
        (Kind::Drive, "commutation_depth") => 2.0,
        (Kind::Drive, "rise" | "fall") => 3.0,
        (Kind::Camera | Kind::Load, "current") => 1.2,
        (Kind::Camera | Kind::Load, "input_capacitance" | "input_esr") => 2.0,
        (Kind::Wire, "length") => 1.2,
        _ => return None,
    })
}
