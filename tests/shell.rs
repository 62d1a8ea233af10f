//! Completion scripts and manual pages know every command.

use crate::support::Folder;

const COMMANDS: [&str; 7] =
    ["check", "format", "compare", "response", "serve-editor", "completions", "man-pages"];

#[test]
fn every_shell_gets_a_script_that_knows_the_commands() {
    let folder = Folder::new();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let ran = folder.run(&["completions", shell]);
        assert_eq!((ran.code, ran.errors.as_str()), (0, ""), "{shell}");
        assert!(COMMANDS.iter().all(|command| ran.out.contains(command)), "{shell}: {}", ran.out);
    }
    assert_eq!(folder.run(&["completions", "abacus"]).code, 2);
}

#[test]
fn every_command_has_a_manual_page() {
    let folder = Folder::new();
    let ran = folder.run(&["man-pages", "pages/man1"]);
    assert_eq!((ran.code, ran.errors.as_str()), (0, ""));
    let page = folder.read("pages/man1/quietrail-compare.1");
    // A page opens with its title; the options are in it.
    assert!(page.contains(".TH quietrail-compare 1") && page.contains("\\-\\-strict"), "{page}");
    let top = folder.read("pages/man1/quietrail.1");
    for command in COMMANDS {
        folder.read(&format!("pages/man1/quietrail-{command}.1"));
        assert!(top.contains(&command.replace('-', "\\-")), "{command}: {top}");
    }
    folder.write("file", "");
    assert_eq!(folder.run(&["man-pages", "file/inside"]).code, 4);
}
