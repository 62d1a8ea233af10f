//! What the orbit has to look at: the test points, and the cores of coils.

use crate::readings::Seen;
use language::description::Harness;
use network::lowered::Lowered;
use network::primitive::{Probe, Signal};

/// The waveforms that are looked at, in the order of the network's probes.
#[derive(Clone, Debug, Default)]
pub(super) struct Looked {
    seen: Vec<Seen>,
}

impl Looked {
    /// Puts the probes into the network. Of two harnesses with the same parts they are the same.
    pub(super) fn put(harness: &Harness, lowered: &mut Lowered) -> Self {
        let mut looked = Self::default();
        let mut probes = Vec::new();
        for testpoint in &harness.testpoints {
            if let Some(signal) = lowered.signal(&testpoint.signal) {
                looked.seen.push(Seen::Testpoint(testpoint.name.clone()));
                probes.push(Probe { signal, bandwidth: testpoint.bandwidth });
            }
        }
        for part in &lowered.parts {
            if let Some(core) = &part.inductor {
                looked.seen.push(Seen::CoilCurrent(part.name.clone()));
                probes.push(Probe { signal: Signal::Linear(core.current.clone()), bandwidth: None });
            }
        }
        lowered.network.probes = probes;
        looked
    }

    /// Number of the probe that looks at a waveform.
    pub(super) fn probe(&self, seen: &Seen) -> Option<usize> {
        self.seen.iter().position(|known| known == seen)
    }
}
