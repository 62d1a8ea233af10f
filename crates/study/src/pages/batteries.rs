//! Warnings of batteries: worn cells, cold, cut-off, charge limit, current.

use language::pages::{Page, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "worn_cell",
        "a cell with the resistance of a worn one",
        "Lithium-polymer cells of 1 to 5 Ah have below 5 mohm when new, 5 to 8 mohm when good, 8 to 12 when ageing, 12 to 18 when worn, and are to be retired above that (two public hobby guides, at about 22 degC). Cans of the size 18650 have 75 to 150 mohm when excellent, 150 to 250 when good, 250 to 350 when marginal (a public electronics note). It may be meant; what was measured in the cold is better given at 22 degC with `temperature`.",
        [
            "battery spare gnd -> far  cells 3, chemistry li_po, charge 60 %, cell_resistance 18 mohm\nload light far -> gnd  resistance 100 ohm",
            "battery spare gnd -> far  cells 3, chemistry li_po, charge 60 %, cell_resistance 6 mohm\nload light far -> gnd  resistance 100 ohm",
        ],
    ),
    beside(
        "outside_battery_temperature",
        "a battery colder or hotter than cells may be discharged at",
        "How far cold raises a cell's resistance is known from -20 degC to 60 degC, and cells must not be discharged outside. The resistance at the nearer end is taken.",
        [
            "battery spare gnd -> far  cells 3, chemistry li_po, charge 60 %, cell_resistance 6 mohm, temperature -30 degC\nload light far -> gnd  resistance 100 ohm",
            "battery spare gnd -> far  cells 3, chemistry li_po, charge 60 %, cell_resistance 6 mohm, temperature -10 degC\nload light far -> gnd  resistance 100 ohm",
        ],
    ),
    beside(
        "cell_below_cutoff",
        "a cell below its cut-off",
        "Open-circuit voltage less what its resistance takes goes below `cutoff_voltage`: 2.5 V of cans, 3 V of pouches and so on by the chemistry (from memory). That ages the cell, and a protection circuit switches off. Land with a fuller pack, draw less, or take cells of less resistance. The moment of plugging in is not judged.",
        [
            "battery spare gnd -> far  cells 3, chemistry li_po, charge 5 %, cell_resistance 10 mohm\nload light far -> gnd  current 60 A",
            "battery spare gnd -> far  cells 3, chemistry li_po, charge 60 %, cell_resistance 10 mohm\nload light far -> gnd  current 60 A",
        ],
    ),
    beside(
        "cell_above_charge_limit",
        "a cell above its charge limit",
        "Something drives current into the pack, such as motors that brake, and lifts its cells above `charge_limit`: 4.2 V of lithium cells with a layered oxide, 3.65 V of iron phosphate (from memory). Brake less with a full pack, or give the current another way.",
        [
            "battery spare gnd -> far  cells 3, chemistry li_po, charge 100 %, cell_resistance 10 mohm\nsource braking gnd -> far  current 20 A",
            "battery spare gnd -> far  cells 3, chemistry li_po, charge 60 %, cell_resistance 10 mohm\nsource braking gnd -> far  current 20 A",
        ],
    ),
    beside(
        "battery_over_current",
        "more current than a battery is rated for",
        "The rms current is more than `capacity` times `discharge_rating`: 2.2 Ah at 10C are 22 A. Labels promise much; the pack heats, sags and ages. Draw less, or take a larger pack.",
        [
            "battery spare gnd -> far  cells 3, chemistry li_po, charge 60 %, capacity 1 Ah, discharge_rating 10\nload light far -> gnd  current 20 A",
            "battery spare gnd -> far  cells 3, chemistry li_po, charge 60 %, capacity 1 Ah, discharge_rating 30\nload light far -> gnd  current 20 A",
        ],
    ),
    beside(
        "capacitor_rated_below_pack",
        "a capacitor rated below the full pack",
        "A capacitor that is connected to both poles of a battery, by wires, coils, switches and small resistors, meets the full pack's voltage sooner or later, whatever charge the file says: cells times their charge limit, 16.8 V of four lithium cells. Rate it above that and its surges.",
        [
            "battery spare gnd -> far  cells 3, chemistry li_po, charge 20 %\nload light far -> gnd  resistance 100 ohm\ncapacitor store far -> gnd  capacitance 100 uF, esr 40 mohm, rated 12 V",
            "battery spare gnd -> far  cells 3, chemistry li_po, charge 20 %\nload light far -> gnd  resistance 100 ohm\ncapacitor store far -> gnd  capacitance 100 uF, esr 40 mohm, rated 16 V",
        ],
    ),
];
