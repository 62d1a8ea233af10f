//! The usual cautions, picked by what is in the harness. They defer to local codes and licensed practice.

use language::Kind;

/// Short sentences for the kinds of parts that are present.
pub(crate) fn cautions(kinds: &[Kind]) -> Vec<String> {
    let any = |wanted: &[Kind]| wanted.iter().any(|kind| kinds.contains(kind));
    let mut cautions = Vec::new();
    if any(&[Kind::Battery]) {
        cautions.push("Lithium pack: a short gives hundreds of amperes. Solder with the pack unplugged, one lead at a time, a fuse in the camera feed; stop using a puffed or damaged pack.");
        cautions.push(
            "Plug-in sparks: power up first through a current-limited supply or an anti-spark resistor.",
        );
    }
    if any(&[Kind::Capacitor]) {
        cautions.push("Electrolytic capacitors: the stripe is minus; rate them above the full pack and its surges; wear eye protection, discharge before touching.");
    }
    if any(&[Kind::Drive]) {
        cautions.push("Secure tracks and wheels, take propellers off for bench tests; unloaded motors draw less, so the noise there is not the vehicle's.");
    }
    if any(&[Kind::Supply, Kind::Generator]) {
        cautions.push("Oscilloscope: its ground clip is earthed; clip it to the supply's minus alone.");
    }
    cautions.push("A model result is not a safety approval: local codes and licensed practice come first.");
    cautions.into_iter().map(str::to_owned).collect()
}
