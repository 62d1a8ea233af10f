//! Files that nobody would write end in a mistake, through the whole program: never a crash, never without an end.

use crate::support::Folder;
use std::fs;

/// Ten million bytes without order: the middle bytes of a linear congruence (Knuth, The Art of Computer Programming 2, 3.3.4, the
/// multiplier of MMIX).
fn bytes() -> Vec<u8> {
    let mut state = 1_u64;
    let next = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        state.to_le_bytes()[5]
    };
    std::iter::repeat_with(next).take(10_000_000).collect()
}

/// A file, and whether it is in order all the same: a comment without end is odd, and no mistake.
fn monsters() -> Vec<(&'static str, Vec<u8>, bool)> {
    let printable = bytes().into_iter().map(|byte| b' ' + byte % 95).collect();
    let braces = |open: &str, close: &str| (open.repeat(100_000) + &close.repeat(100_000)).into_bytes();
    vec![
        ("bytes", bytes(), false),
        ("signs", printable, false),
        ("open", "{".repeat(100_000).into_bytes(), false),
        ("braces", braces("choice a { option b {", "} }"), false),
        ("brackets", format!("let a = {}", "(".repeat(100_000)).into_bytes(), false),
        ("word", "a".repeat(5_000_000).into_bytes(), false),
        ("sum", format!("let a = 1 V{}", " + 1 V".repeat(800_000)).into_bytes(), false),
        ("comment", format!("#{}\n", " x".repeat(2_500_000)).into_bytes(), true),
    ]
}

#[test]
fn monstrous_files_are_refused_by_every_command() {
    let folder = Folder::new();
    for (name, bytes, is_in_order) in monsters() {
        let file = format!("{name}.harness");
        fs::write(folder.0.join(&file), bytes).expect("the folder can be written");
        for arguments in [&["check"][..], &["check", "--json"], &["format", "--check"]] {
            let ran = folder.run(&[arguments, &[&file]].concat());
            let wanted = if is_in_order { 0 } else { 2 };
            assert!(ran.code == wanted, "{arguments:?} {name}: {}, {:.500}", ran.code, ran.errors);
            let told = ran.out.len() + ran.errors.len();
            assert!(wanted == 0 || (told > 0 && told < 1_000_000), "{arguments:?} {name}: {told} bytes");
        }
    }
}
