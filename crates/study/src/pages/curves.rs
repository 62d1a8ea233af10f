//! Warnings that responses over frequency give.

use language::pages::{Page, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "resonance_near_line",
        "a resonance where a drive shakes it",
        "Coil and capacitor swing by themselves near a frequency that a drive has: its chopping, or the commutation and rotation that pass through everything from standstill up. There a filter makes the noise larger, not smaller. Damp it with a resistor of about sqrt(L/C) in series with three times its capacitance (Erickson and Maksimovic, Fundamentals of Power Electronics, from memory), or move the frequency.",
        [
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %\ncoil choke bus -> far  inductance 63 uH, dcr 50 mohm\ncapacitor store far -> gnd  capacitance 1 uF, esr 20 mohm\nload light far -> gnd  resistance 100 ohm\nfrequency 1 kHz .. 1 MHz, points 20\nresponse path = transfer(voltage(far), tracks)",
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %\ncoil choke bus -> far  inductance 63 uH, dcr 50 mohm\ncapacitor store far -> gnd  capacitance 100 uF, esr 800 mohm\nload light far -> gnd  resistance 100 ohm\nfrequency 1 kHz .. 1 MHz, points 20\nresponse path = transfer(voltage(far), tracks)",
        ],
    ),
    beside(
        "impedance_margin",
        "a constant power that may set its feed swinging",
        "A regulated load draws less current as its voltage rises: to small ripple it is a negative resistance of -V^2/P, which undamps what feeds it. The feeding impedance should stay 6 dB below it at every frequency (common practice, no source); at 0 dB it may swing by itself. Damp the filter in front, or add capacitance with some resistance.",
        [
            "coil choke bus -> far  inductance 1 mH, dcr 50 mohm\ncapacitor store far -> gnd  capacitance 10 uF, esr 50 mohm\nload vtx far -> gnd  power 6 W, below 6 V\nfrequency 10 Hz .. 1 MHz, points 20\nresponse feeding = impedance(far)",
            "coil choke bus -> far  inductance 10 uH, dcr 50 mohm\ncapacitor store far -> gnd  capacitance 470 uF, esr 150 mohm\nload vtx far -> gnd  power 6 W, below 6 V\nfrequency 10 Hz .. 1 MHz, points 20\nresponse feeding = impedance(far)",
        ],
    ),
    beside(
        "no_answer",
        "a resonance without any loss, met exactly",
        "At that frequency parts without resistance swing for ever, and a response has no finite value. Give coil and capacitor their resistance (`dcr`, `esr`), which every real one has.",
        [
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %\ncoil choke far -> gnd  inductance 1 H\ncapacitor store far -> gnd  capacitance 1 F\nsource push gnd -> far  current 1 A\nfrequency [0.15915494309189535 Hz]\nresponse feeding = impedance(far)",
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %\ncoil choke far -> gnd  inductance 1 H, dcr 10 mohm\ncapacitor store far -> gnd  capacitance 1 F, esr 1 ohm\nsource push gnd -> far  current 1 A\nfrequency [0.15915494309189535 Hz]\nresponse feeding = impedance(far)",
        ],
    ),
    beside(
        "bias_at_rest",
        "responses without a steady state to stand on",
        "Where a part bends, as a saturating coil does, a response depends on the currents that flow meanwhile: the mean of the periodic steady state. Without one, because a throttle changes or periods have no common multiple, it stands where the harness would rest with every source at its mean.",
        [
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %, throttle [0 s: 20 %, 1 s: 80 %]\ncoil choke bus -> far  inductance 330 uH, dcr 0.3 ohm, saturation_current 2 A\ncapacitor store far -> gnd  capacitance 330 uF, esr 80 mohm\nload light far -> gnd  resistance 12 ohm\ntransient plug span 1 ms, start operating\nfrequency 1 kHz .. 1 MHz, points 20\nresponse path = transfer(voltage(far), tracks)",
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %\ncoil choke bus -> far  inductance 330 uH, dcr 0.3 ohm, saturation_current 2 A\ncapacitor store far -> gnd  capacitance 330 uF, esr 80 mohm\nload light far -> gnd  resistance 12 ohm\nfrequency 1 kHz .. 1 MHz, points 20\nresponse path = transfer(voltage(far), tracks)",
        ],
    ),
];
