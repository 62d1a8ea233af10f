//! The same file gives the same bytes, however many threads share the work.

use crate::support::{Folder, netlist};

#[test]
fn the_number_of_threads_changes_no_byte() {
    let folder = Folder::new();
    let file = netlist("crawler.harness");
    let arguments = ["compare", &file, "--json", "--only", "battery_state=soft", "--only", "throttle=full"];
    let [one, four] =
        ["1", "4"].map(|threads| folder.run_with(&arguments, &[("RAYON_NUM_THREADS", threads)]));
    assert!(one.out.len() > 1000, "{}", one.errors);
    assert_eq!(one.out, four.out);
}
