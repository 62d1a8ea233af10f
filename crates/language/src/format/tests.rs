//! Laying out: the style, and that it changes nothing else, on texts made with odd spacing.

use super::format;
use crate::mistake::Sink;
use crate::parser::parse_alone;
use crate::source::Source;
use proptest::prelude::*;

fn source(text: &str) -> Source {
    Source { name: "test.harness".to_owned(), text: text.to_owned() }
}

fn formatted(text: &str) -> String {
    format(&source(text)).unwrap_or_else(|mistakes| panic!("{mistakes:#?}\n{text}"))
}

/// The syntax tree in print without the places in it, and without what only tells how the text is spaced: whether a unit
/// touches its number, and the words of a requirement as they are shown to people.
fn tree(text: &str) -> String {
    let mut sink = Sink::default();
    let file = format!("{:?}", parse_alone(&source(text), &mut sink));
    assert_eq!(sink.count(), 0, "{text}");
    let mut plain = String::new();
    for (index, part) in file.split("Span {").enumerate() {
        let rest = if index == 0 { part } else { part.split_once('}').map_or("", |(_, rest)| rest) };
        plain.push_str(rest);
    }
    let mut words = plain.split("RequirementNode { text: ");
    let first = words.next().unwrap_or_default().to_owned();
    let rest = words.filter_map(|part| Some(part.split_once(", expression: ")?.1));
    let plain = rest.fold(first, |plain, rest| plain + "RequirementNode " + rest);
    plain.replace("glued: true", "").replace("glued: false", "")
}

/// `from` becomes `to`, which stays as it is.
fn becomes(from: &str, to: &str) {
    let text = formatted(from);
    assert_eq!(text, to, "got\n{text}");
    assert_eq!(formatted(to), to);
    assert_eq!(tree(from), tree(to));
}

#[test]
fn adjacent_parts_share_columns() {
    becomes(
        "battery pack gnd->pos cells 4,charge 60%\n  wire w pos -> bus resistance 1ohm# short\n\
         # all on the bus\ncoupled cm bus -> a , gnd->b inductance 1 mH,coupling 0.9 # choke\n\n\n\nload l a -> b current 4k7\n",
        "\
battery pack gnd -> pos          cells 4, charge 60 %
wire    w    pos -> bus          resistance 1 ohm  # short
# all on the bus
coupled cm   bus -> a, gnd -> b  inductance 1 mH, coupling 0.9  # choke

load l a -> b  current 4k7
",
    );
}

#[test]
fn blocks_keep_to_their_line_where_they_fit() {
    becomes(
        "choice f { # pick\noption none { wire l a->b resistance 1 mohm, }\noption coil{coil choke a->b inductance 1 mH}\n\
         option both baseline { coil x a->b inductance 1 mH; capacitor long_name b->gnd capacitance 1 uF # end\n}\n\n\
         option empty {\n}\n} # closed\ncondition c\n{ case a { set x.y=1 V;set x.zz = 2 V } case b { } }",
        "\
choice f {  # pick
    option none          { wire l     a -> b  resistance 1 mohm }
    option coil          { coil choke a -> b  inductance 1 mH }
    option both baseline {
        coil      x         a -> b    inductance 1 mH
        capacitor long_name b -> gnd  capacitance 1 uF  # end
    }

    option empty { }
}  # closed
condition c { case a { set x.y = 1 V; set x.zz = 2 V } case b { } }
",
    );
}

#[test]
fn a_line_that_is_too_long_goes_on_below_its_first_property() {
    let pad = "x".repeat(60);
    becomes(
        &format!("drive {pad} a -> b motors 2, current 1 A, throttle [0 s: 1 %, 1 s: 2 %]\n"),
        &format!("drive {pad} a -> b  motors 2, current 1 A,\n        throttle [0 s: 1 %, 1 s: 2 %]\n"),
    );
    becomes(
        "drive d a -> b motors 2, # two\n\n # one each\n current 1 A,\npwm 20kHz,\n",
        "\
drive d a -> b  motors 2,  # two
                # one each
                current 1 A,
                pwm 20 kHz
",
    );
    let points: Vec<String> = (0..20).map(|n| format!("{n} s: {n} %")).collect();
    let text = formatted(&format!("drive d a -> b motors 2, throttle [{}], pwm 1 kHz\n", points.join(",")));
    assert!(text.lines().count() == 4 && text.lines().all(|line| line.len() <= super::WIDTH), "{text}");
    assert_eq!(formatted(&text), text);
    let long =
        format!("choice f {{ option o {{ wire w a -> b resistance {} 1 ohm }} }}\n", "1 ohm + ".repeat(15));
    let text = formatted(&long);
    assert_eq!(text.lines().count(), 5, "{text}");
}

#[test]
fn test_points_readings_and_requirements_are_aligned() {
    becomes(
        "testpoint rail=voltage ( cam ),bandwidth 20 MHz\nreading n = -peak_to_peak(rail)-(1 V - -2 V)^-2*3 over -1 ms..2 ms\n\
         require n<60mV \"lines\"\nrequire minimum( rail )>9 V   \"browns out\"\nrequire (n) > 1 V\n\
         transient ripple span 1ms,start steady\nfrequency 10 Hz..30 MHz,points 40\nresponse path=transfer(voltage(cam),tracks)\n\
         let a=1 ohm+- 5%\nlet bcd = max(a,2 ohm)# larger\n",
        "\
testpoint rail = voltage(cam), bandwidth 20 MHz
reading   n    = -peak_to_peak(rail) - (1 V - -2 V) ^ -2 * 3 over -1 ms .. 2 ms
require n < 60 mV            \"lines\"
require minimum(rail) > 9 V  \"browns out\"
require (n) > 1 V
transient ripple  span 1 ms, start steady
frequency 10 Hz .. 30 MHz, points 40
response  path = transfer(voltage(cam), tracks)
let a   = 1 ohm +- 5 %
let bcd = max(a, 2 ohm)  # larger
",
    );
}

#[test]
fn assemblies() {
    becomes(
        "assembly filter (l,c)in,out{ let half=l/2\ncoil a in->mid inductance half;coil bb mid -> out inductance half # x\n}\n\
         load eye cam->gnd current 1 A\nfit filter f bus,cam l -1 mH,\n c 2 Hz\n",
        "\
assembly filter(l, c) in, out {
    let half = l / 2
    coil a  in -> mid   inductance half
    coil bb mid -> out  inductance half  # x
}
load       eye cam -> gnd  current 1 A
fit filter f   bus, cam    l -1 mH,
                           c 2 Hz
",
    );
}

#[test]
fn mistakes_of_syntax_are_told() {
    for text in ["load l a ->\n", "choice a {\n", "laod l a -> b\n", "let a = (1\n", "}\n", "\u{7}\n"] {
        assert!(format(&source(text)).is_err(), "{text}");
    }
    assert_eq!(formatted(""), "");
    assert_eq!(formatted("\n\n# alone\n\n\n"), "# alone\n");
}

/// Statements as their words and signs; `|` ends a statement, `{` and `}` are blocks.
const STATEMENTS: &[&str] = &[
    "harness \"A  title # with a sign\" |",
    "let a = 2 * ( 1 ohm - - 3 ohm ) ^ - 2 +- 5 % |",
    "let longer_name = max ( 1 , 2 , - 3 ) |",
    "let b = + - 1 |",
    "battery pack gnd -> pos cells 4 , charge 60 % |",
    "resistor r a -> b resistance 4k7 |",
    "capacitor a_long_name_of_a_capacitor a -> b capacitance 220 uF +- 20 % , esr 40 mohm , esl 15 nH , rated 35 V , |",
    "load l a -> b |",
    "include \"other.harness\" |",
    "sweep s over pack.charge 10 % .. 90 % step 20 % |",
    "sweep t over c.capacitance 1 uF .. 1 mF series E6 |",
    "sweep u over a [ 1 ohm , 2 ohm ] |",
    "camera eye cam -> gnd current 110 mA , supply 9 V .. 18 V , input_capacitance 10 uF , input_esr 0.2 ohm , rejection 30 dB , video pal |",
    "choice g { option a_rather_long_name { coil choke a -> b inductance 330 uH , dcr 0.12 ohm , saturation_current 350 mA , residual 9 uH } option b { wire w a -> b resistance 1 ohm } option c { set a.b = 1 ohm + 2 ohm + 3 ohm + 4 ohm | set c.d = ( 1 ohm + 2 ohm ) * 3 | set a.c = 4k7 | } }",
    "drive t bus -> gnd throttle [ 0 s : 20 % , 1 ms : 40 % , 2 ms : 40 % , 3 ms : 40 % , 4 ms : 40 % , 5 ms : 40 % , 6 ms : 40 % , 7 ms : 40 % , 8 ms : 40 % ] |",
    "coupled cm a -> b , gnd -> minus inductance 1 mH , coupling 0.9 |",
    "drive d bus -> gnd motors 2 , throttle [ 0 s : 20 % , 1 ms : 40 % , ] , pwm 20 kHz , duty min ( 60 % , 1 ) |",
    "source s a -> gnd voltage points [ 0 s : 0 V , 1 ms : - 5 V ] |",
    "camera eye cam -> gnd supply 9 V .. 18 V , video pal |",
    "choice f { option none baseline { wire link a -> b resistance 1 mohm | } option two { } option three { coil c a -> m inductance 1 mH | capacitor d m -> gnd capacitance 1 uF | set pack.charge = 95 % | fit fi in a , b | } }",
    "condition s { case x { set pack . charge = 95 % | set longer.name = - 5 % | } case long_name { set f.a.b = 1 | } }",
    "assembly fi ( l , c ) in , out { let h = l / 2 | coil a in -> out inductance h | }",
    "assembly other in , out { fit fi a in , out l 1 mH , c 2 uF | }",
    "fit fi f bus , cam l - 1 mH , c ( 2 ) |",
    "fit fi f bus , cam |",
    "testpoint rail = voltage ( cam , gnd ) , bandwidth 20 MHz |",
    "reading noise = peak_to_peak ( rail ) - ( 1 V ) over - 1 ms .. 2 ms |",
    "reading n2 = band ( rail , 1 kHz .. 2 kHz ) in ripple |",
    "require noise < 60 mV \"lines  in the picture\" |",
    "require - minimum ( rail ) >= - 9 V |",
    "transient ripple span 1 ms , start steady , record 1 us |",
    "transient span 1 ms , start rest |",
    "frequency 10 Hz .. 30 MHz , points 40 |",
    "frequency [ 10 Hz , 1 kHz ] |",
    "response path = transfer ( voltage ( cam , minus ) , tracks ) / impedance ( bus ) |",
];

/// Writes the words with odd spaces, line ends and comments wherever they may stand, as `noise` says.
fn scatter(statements: &[&str], noise: &[u8]) -> String {
    let mut noise = noise.iter().copied().cycle();
    let mut pick = |choices: &[&'static str]| choices[usize::from(noise.next().unwrap_or(0)) % choices.len()];
    let mut text = String::new();
    let (mut depth, mut before) = (0, "");
    for word in statements.iter().flat_map(|statement| pieces(statement)) {
        if word == "|" {
            // After a comma a line's end would end nothing.
            text += if before == "," { ";" } else { "" };
            text += pick(&[
                "\n",
                "\n",
                "\n",
                ";",
                " ;; ",
                "\n \n\n",
                "  # end\n",
                "\n  # own  line\n",
                ";# x\n\n# y\n\n# z\n",
            ]);
            (before, depth) = ("", 0);
            continue;
        }
        let inside = depth > 0 || before == ",";
        let letters = |text: &str| text.chars().next().is_some_and(char::is_alphanumeric);
        // Where nothing between would make another token of two
        let apart = letters(word)
            && before.chars().last().is_some_and(|each| letters(&each.to_string()) || each == '_')
            || matches!((before, word), ("+" | "-", "-") | ("<" | ">", "="))
            || before == "."
            || word == "."
            || (before == ".." && letters(word));
        text += match (apart, inside, before) {
            (_, _, "{" | "}") => pick(&["", " ", "\n", "\n\n\n", " # after\n", "\n# own\n", ";"]),
            (false, false, _) => pick(&["", " ", "   ", "\t"]),
            (true, false, _) => pick(&[" ", "    ", " \t"]),
            (true, true, _) => pick(&[" ", " ", " ", "  ", "\n", "\r\n ", " # in\n"]),
            (false, true, _) => pick(&["", " ", " ", "  ", "\n", "\n\n", "# in\n", "\n# own\n\n # two\n"]),
        };
        text += word;
        match word {
            "(" | "[" => depth += 1,
            ")" | "]" => depth -= 1,
            _ => {}
        }
        before = word;
    }
    text
}

/// The words of a statement; a quoted text is one.
fn pieces(statement: &str) -> Vec<&str> {
    match statement.split_once('"') {
        Some((front, rest)) => {
            let (_, end) = rest.split_once('"').unwrap_or((rest, ""));
            let quoted = &statement[front.len()..statement.len() - end.len()];
            front.split(' ').chain([quoted]).chain(end.split(' ')).filter(|word| !word.is_empty()).collect()
        }
        None => statement.split(' ').filter(|word| !word.is_empty()).collect(),
    }
}

fn comments(text: &str) -> usize {
    text.lines().filter(|line| line.replace("# with a sign", "").contains('#')).count()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn odd_spacing_is_evened_out_and_nothing_else(
        statements in prop::collection::vec(prop::sample::select(STATEMENTS), 0..12),
        noise in prop::collection::vec(any::<u8>(), 1..200),
    ) {
        // What a file may say but once
        let mut seen = Vec::new();
        let statements: Vec<&str> = statements
            .into_iter()
            .filter(|one| {
                let word = pieces(one)[0];
                let again = seen.contains(&word) && matches!(word, "harness" | "frequency" | "include");
                seen.push(word);
                !again
            })
            .collect();
        let text = scatter(&statements, &noise);
        let once = formatted(&text);
        prop_assert_eq!(&formatted(&once), &once, "twice, of\n{}", text);
        prop_assert_eq!(tree(&once), tree(&text), "{}", text);
        prop_assert_eq!(comments(&once), comments(&text), "{}\nof\n{}", once, text);
        let blank = once.contains("\n\n\n") || once.starts_with('\n') || once.ends_with("\n\n");
        let trailing = once.lines().any(|line| line != line.trim_end());
        prop_assert!(!blank && !trailing, "{}", once);
    }
}

/// Of a file that includes others only its own text is looked at, whether they can be read or not.
#[test]
fn sweeps_and_included_files_are_laid_out() {
    becomes(
        "include   \"gone.harness\"\nsweep   a   over  r.resistance  1 ohm..10 ohm   series E6\n",
        "include \"gone.harness\"\nsweep a over r.resistance 1 ohm .. 10 ohm series E6\n",
    );
}

/// A unit stands apart from its number; a value code stays whole, and so does what the property alone tells for one or the other.
#[test]
fn units_stand_apart_from_their_numbers() {
    becomes(
        "supply s gnd -> a voltage 12V, resistance 10m\nload l a -> gnd current 2A, below 9.5V\n\
         capacitor c a -> gnd capacitance 100n, esr 2R2, rated 25V\nwire w a -> b length 10m, area 4m2, spacing 2mm\n\
         diode d a -> gnd temperature 300K\ntestpoint t = voltage(a), bandwidth 20MHz\nrequire mean(t) > 9V\nlet f = 10F\n",
        "\
supply    s gnd -> a  voltage 12 V, resistance 10m
load      l a -> gnd  current 2 A, below 9.5 V
capacitor c a -> gnd  capacitance 100n, esr 2R2, rated 25 V
wire      w a -> b    length 10m, area 4m2, spacing 2 mm
diode     d a -> gnd  temperature 300K
testpoint t = voltage(a), bandwidth 20 MHz
require mean(t) > 9 V
let f = 10 F
",
    );
}

/// A comment between a header and its brace goes behind the brace, which then does not stay on one line with its block.
#[test]
fn a_comment_before_a_brace_is_kept() {
    becomes(
        "condition c\n# states\n{ case low { set a.b = 1 V } }\n",
        "condition c {  # states\n    case low { set a.b = 1 V }\n}\n",
    );
}
