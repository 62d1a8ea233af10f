//! A conversation with the program as an editor has it, over pipes. Nothing waits longer than [`PATIENCE`].

use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Write};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::{Duration, Instant};

/// Far longer than any answer takes; only there so that a fault can't hang the tests.
const PATIENCE: Duration = Duration::from_secs(60);
const ADDRESS: &str = "file:///tmp/vehicle.harness";

/// A text with one mistake: the resistance has no unit. The first line has a character of two UTF-16 units.
const WRONG: &str = "\
# \u{1f600} a vehicle
battery pack gnd -> bus emf 12 V, resistance 40 mohm
wire link bus -> cam resistance 1
load eye cam -> gnd current 160 mA
testpoint rail = voltage(cam)
reading noise = peak_to_peak(rail)
require noise < 60 mV
transient run span 1 ms, start steady
";

struct Editor {
    child: Child,
    input: Option<ChildStdin>,
    messages: Receiver<Value>,
    number: i64,
}

#[allow(clippy::needless_pass_by_value, reason = "a call reads better with its parameters in place")]
impl Editor {
    fn start() -> Self {
        let mut command = Command::new(env!("CARGO_BIN_EXE_quietrail"));
        command.arg("serve-editor").stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::null());
        let mut child = command.spawn().expect("the program starts");
        let input = child.stdin.take();
        let mut output = BufReader::new(child.stdout.take().expect("standard output is a pipe"));
        let (sender, messages) = channel();
        thread::spawn(move || {
            while let Some(message) = read(&mut output) {
                if sender.send(message).is_err() {
                    return;
                }
            }
        });
        Self { child, input, messages, number: 0 }
    }

    /// One that is initialized and has a text open.
    fn with(text: &str) -> Self {
        let mut editor = Self::start();
        editor.ask("initialize", json!({"processId": null, "rootUri": null, "capabilities": {}}));
        editor.tell("initialized", json!({}));
        let document = json!({"uri": ADDRESS, "languageId": "harness", "version": 1, "text": text});
        editor.tell("textDocument/didOpen", json!({"textDocument": document}));
        editor
    }

    fn write(&mut self, text: &str) {
        let input = self.input.as_mut().expect("the pipe is open");
        input.write_all(text.as_bytes()).and_then(|()| input.flush()).expect("the program reads");
    }

    fn send(&mut self, message: &Value) {
        let text = message.to_string();
        self.write(&format!("Content-Length: {}\r\n\r\n{text}", text.len()));
    }

    fn tell(&mut self, method: &str, params: Value) {
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params}));
    }

    /// The answer to a request, whole.
    fn ask(&mut self, method: &str, params: Value) -> Value {
        self.number += 1;
        let number = self.number;
        self.send(&json!({"jsonrpc": "2.0", "id": number, "method": method, "params": params}));
        self.await_message(|message| message["id"] == number && message.get("method").is_none())
    }

    fn await_message(&mut self, wanted: impl Fn(&Value) -> bool) -> Value {
        let end = Instant::now() + PATIENCE;
        loop {
            let left = end.saturating_duration_since(Instant::now());
            let message = self.messages.recv_timeout(left).expect("an answer in time");
            if wanted(&message) {
                return message;
            }
        }
    }

    /// What is told of a version of the text.
    fn mistakes(&mut self, version: i64) -> Vec<Value> {
        let told = self.await_message(|message| {
            message["method"] == "textDocument/publishDiagnostics" && message["params"]["version"] == version
        });
        assert_eq!(told["params"]["uri"], ADDRESS);
        told["params"]["diagnostics"].as_array().expect("a list").clone()
    }

    fn change(&mut self, version: i64, text: &str) {
        let document = json!({"uri": ADDRESS, "version": version});
        let changes = json!({"textDocument": document, "contentChanges": [{"text": text}]});
        self.tell("textDocument/didChange", changes);
    }

    /// The answer to a request about the place of a text where `mark` stands, plus some characters.
    fn at(&mut self, method: &str, text: &str, mark: &str, plus: usize) -> Value {
        let byte = text.find(mark).expect("the mark is in the text") + plus;
        let line = text[..byte].matches('\n').count();
        let column = byte - text[..byte].rfind('\n').map_or(0, |at| at + 1);
        let place = json!({"line": line, "character": column});
        self.ask(method, json!({"textDocument": {"uri": ADDRESS}, "position": place}))["result"].clone()
    }

    fn exit_code(mut self) -> Option<i32> {
        let end = Instant::now() + PATIENCE;
        while Instant::now() < end {
            if let Some(status) = self.child.try_wait().expect("the program can be waited for") {
                return status.code();
            }
            thread::sleep(Duration::from_millis(10));
        }
        panic!("the program does not end");
    }
}

impl Drop for Editor {
    fn drop(&mut self) {
        // It has ended already where all went well.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// One message; `None` at the end.
fn read(output: &mut impl BufRead) -> Option<Value> {
    let mut length = 0;
    loop {
        let mut line = String::new();
        if output.read_line(&mut line).ok()? == 0 {
            return None;
        }
        match line.trim_end().split_once(": ") {
            Some(("Content-Length", number)) => length = number.parse().ok()?,
            Some(_) => {}
            None => break,
        }
    }
    let mut text = vec![0; length];
    output.read_exact(&mut text).ok()?;
    serde_json::from_slice(&text).ok()
}

#[test]
fn a_mistake_is_told_while_it_stands() {
    let mut editor = Editor::with(WRONG);
    let told = editor.mistakes(1);
    assert_eq!(told.len(), 1, "{told:?}");
    // The number in line 2 (from 0), whose column needs no care; the source and severity are those of a mistake.
    let column = "wire link bus -> cam resistance ".len();
    let start = json!({"line": 2, "character": column});
    assert_eq!(told[0]["range"]["start"], start);
    assert_eq!(told[0]["range"]["end"], json!({"line": 2, "character": column + 1}));
    assert_eq!((&told[0]["severity"], &told[0]["source"]), (&json!(1), &json!("quietrail")));
    assert!(
        told[0]["code"].is_string() && told[0]["message"].as_str().is_some_and(|text| text.contains("ohm"))
    );

    let mended = WRONG.replace("resistance 1\n", "resistance 1 mohm\n");
    editor.change(2, &mended);
    assert_eq!(editor.mistakes(2), Vec::<Value>::new());

    // Columns are counted in UTF-16: the smiley is two, though one character and four bytes.
    let astray = mended.replace("# \u{1f600} a vehicle", "let a = \"\u{1f600}\" # a vehicle");
    editor.change(3, &astray);
    let told = editor.mistakes(3);
    assert_eq!(told[0]["range"]["end"], json!({"line": 0, "character": "let a = ".len() + 4}), "{told:?}");
}

#[test]
fn words_are_explained_completed_and_led_back_to_their_definition() {
    let text = WRONG.replace("resistance 1\n", "resistance 1 mohm, \n");
    let mut editor = Editor::with(&text);
    let hover = editor.at("textDocument/hover", &text, "resistance 40", 3);
    let said = hover["contents"]["value"].as_str().expect("Markdown");
    assert!(said.contains("battery") && said.contains("mohm") && said.contains("0 or above"), "{said}");

    let offered = editor.at("textDocument/completion", &text, "1 mohm, \n", "1 mohm, ".len());
    let labels: Vec<&str> =
        offered.as_array().expect("a list").iter().filter_map(|item| item["label"].as_str()).collect();
    assert!(labels.contains(&"inductance") && labels.contains(&"length"), "{labels:?}");
    assert!(!labels.contains(&"resistance") && !labels.contains(&"capacitance"), "{labels:?}");

    let found = editor.at("textDocument/definition", &text, "(rail)", 2);
    let line = text.lines().position(|line| line.starts_with("testpoint")).expect("it is there");
    assert_eq!(found[0]["range"]["start"], json!({"line": line, "character": "testpoint ".len()}));

    let options = json!({"tabSize": 4, "insertSpaces": true});
    let request = json!({"textDocument": {"uri": ADDRESS}, "options": options});
    // The request as such is known; the trailing comma is a mistake that keeps the text from being laid out.
    assert_eq!(editor.ask("textDocument/formatting", request)["error"]["code"], -32803);

    let symbols = editor.ask("textDocument/documentSymbol", json!({"textDocument": {"uri": ADDRESS}}));
    let names: Vec<&str> = symbols["result"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|each| each["name"].as_str())
        .collect();
    assert_eq!(names, ["pack", "link", "eye", "rail", "noise", "noise < 60 mV", "run"]);
}

/// Names of a file that lies beside the open one are offered and led to; its own are renamed, those of the other file not.
#[test]
fn included_files_count_and_names_are_changed_everywhere() {
    let folder = crate::support::Folder::new();
    folder.write("parts.harness", "battery pack gnd -> bus emf 12 V, resistance 40 mohm\n");
    let address =
        |name: &str| format!("file://{}", folder.0.canonicalize().expect("it is there").join(name).display());
    let text = "\
include \"parts.harness\"
wire link bus -> cam resistance 1 mohm
load eye cam -> gnd current 160 mA
testpoint rail = voltage(cam)
condition c { case a { set pack.emf = 11 V } }
transient run span 1 ms, start steady
";
    let mut editor = Editor::start();
    editor.ask("initialize", json!({"processId": null, "rootUri": null, "capabilities": {}}));
    let uri = address("vehicle.harness");
    let document = json!({"uri": uri, "languageId": "harness", "version": 1, "text": text});
    editor.tell("textDocument/didOpen", json!({"textDocument": document}));
    let place = |mark: &str, plus: usize| {
        let byte = text.find(mark).expect("the mark is in the text") + plus;
        let column = byte - text[..byte].rfind('\n').map_or(0, |at| at + 1);
        json!({"line": text[..byte].matches('\n').count(), "character": column})
    };
    let at = |mark: &str, plus: usize| json!({"textDocument": {"uri": uri}, "position": place(mark, plus)});
    let found = editor.ask("textDocument/definition", at("pack.emf", 1));
    assert_eq!(found["result"][0]["uri"], address("parts.harness"), "{found}");
    let offered = editor.ask("textDocument/completion", at("pack.emf", 2));
    let labels = offered["result"].as_array().expect("a list").iter().map(|item| &item["label"]);
    assert!(labels.into_iter().any(|label| label == "pack"), "{offered}");

    let rename = |mark: &str, new: &str| {
        let mut params = at(mark, 1);
        params["newName"] = json!(new);
        params
    };
    let answer = editor.ask("textDocument/rename", rename("cam resistance", "eye_in"));
    let edits = answer["result"]["changes"][&uri].as_array().expect("edits").clone();
    let starts: Vec<&Value> = edits.iter().map(|edit| &edit["range"]["start"]).collect();
    let wanted = [place("cam resistance", 0), place("cam -> gnd", 0), place("cam)", 0)];
    assert_eq!(starts, wanted.iter().collect::<Vec<_>>());
    assert!(edits.iter().all(|edit| edit["newText"] == "eye_in"));
    for (mark, new, words) in [
        ("pack.emf", "battery_1", "comes from"),
        ("bus -> cam", "rail", "parts.harness"),
        ("link", "eye", "the name `eye` is taken"),
        ("span 1", "x", "no name of a part"),
    ] {
        let refused = editor.ask("textDocument/rename", rename(mark, new));
        let told = refused["error"]["message"].as_str().expect("a sentence");
        assert!(told.contains(words), "{mark}: {told}");
    }
}

#[test]
fn what_is_not_understood_is_refused_and_the_end_is_orderly() {
    let mut editor = Editor::start();
    // Numbers of the protocol: server not initialized, method not found, invalid params, invalid request.
    assert_eq!(editor.ask("textDocument/hover", json!({}))["error"]["code"], -32002);
    editor.ask("initialize", json!({"processId": null, "rootUri": null, "capabilities": {}}));
    assert_eq!(editor.ask("no/such/thing", json!({}))["error"]["code"], -32601);
    assert_eq!(editor.ask("textDocument/hover", json!({"strange": 1}))["error"]["code"], -32602);
    let unopened = json!({"textDocument": {"uri": ADDRESS}, "position": {"line": 0, "character": 0}});
    assert_eq!(editor.ask("textDocument/hover", unopened)["error"]["code"], -32602);
    editor.tell("textDocument/didChange", json!({"nonsense": true}));
    let answer = editor.ask("shutdown", Value::Null);
    assert!(answer.get("error").is_none() && answer["result"].is_null());
    assert_eq!(editor.ask("textDocument/hover", json!({}))["error"]["code"], -32600);
    editor.tell("exit", Value::Null);
    assert_eq!(editor.exit_code(), Some(0));
}

#[test]
fn an_editor_that_leaves_without_a_word_leaves_exit_code_1() {
    let mut editor = Editor::with(WRONG);
    editor.tell("exit", Value::Null);
    assert_eq!(editor.exit_code(), Some(1));

    let mut editor = Editor::with(WRONG);
    editor.input = None;
    assert_eq!(editor.exit_code(), Some(1));

    let mut editor = Editor::start();
    editor.write("this is no message\r\n\r\n");
    editor.input = None;
    assert_eq!(editor.exit_code(), Some(1));
}
