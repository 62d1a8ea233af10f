//! From the command line to the files, as a user meets the program: one test program, a module per subject.

mod bench_test;
mod camera_picture;
mod check_json;
mod coils;
mod coils_over_frequency;
mod determinism;
mod editor;
mod exit_codes;
mod format;
mod house;
mod including;
mod json_form;
mod mistakes;
mod monsters;
mod netlists;
mod part_facts;
mod picture;
mod readme;
mod report_page;
mod settings;
mod shell;
mod support;
mod sweeping;
mod sweeps;
mod three_coils;
mod worst_case;
