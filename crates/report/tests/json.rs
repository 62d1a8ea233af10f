//! The JSON against the shape that the contract of schema 1 shows.

use crate::support;

use quietrail_report::json;
use serde_json::{Value, json};
use study::result::{Road, TransientWork, Work};

fn keys(value: &Value) -> Vec<&str> {
    value.as_object().unwrap().keys().map(String::as_str).collect()
}

#[test]
fn keys_stand_in_the_order_of_the_schema_and_nothing_else_is_there() {
    let result: Value = serde_json::from_str(&json::comparison(&support::crawler())).unwrap();
    assert_eq!(
        keys(&result),
        ["schema", "harness", "axes", "runs", "work", "answer", "options", "assumptions", "cautions"]
    );
    assert_eq!(result["schema"], json!(1));
    assert_eq!(keys(&result["axes"][0]), ["name", "kind", "points"]);
    let run = &result["runs"][0];
    assert_eq!(keys(run), ["at", "readings", "requirements", "warnings", "error", "work", "parts"]);
    assert_eq!(keys(&run["readings"]["noise"]), ["value", "unit"]);
    assert_eq!(keys(&run["requirements"][0]), ["text", "why", "met", "value", "limit"]);
    assert_eq!(keys(&result["runs"][2]["warnings"][0]), ["code", "text"]);
}

#[test]
fn the_sample_of_the_contract_comes_out_as_written_there() {
    let mut comparison = support::by_hand(2.68, 0.05, 0.93);
    comparison.runs[0].requirements[0].why = Some("lines in the picture".into());
    let work = Work { steps: 12, rejections: 1, iterations: 0, factorizations: 4, solves: 2 };
    for run in &mut comparison.runs {
        run.work = vec![TransientWork { transient: None, road: Road::Exact, settled: 0.0, work }];
    }
    let result = json::comparison_value(&comparison);
    assert_eq!(result["work"]["steps"], 12 * comparison.runs.len());
    assert_eq!(
        result["runs"][0],
        json!({
            "at": {"filter": "none"},
            "readings": {"noise": {"value": 2.68, "unit": "V"}},
            "requirements": [{"text": "noise < 60 mV", "why": "lines in the picture", "met": false, "value": 2.68, "limit": 0.06}],
            "warnings": [],
            "error": null,
            "work": [{
                "transient": null, "road": "exact", "settled": 0.0,
                "steps": 12, "rejections": 1, "iterations": 0, "factorizations": 4, "solves": 2
            }],
            "parts": {}
        })
    );
    assert_eq!(result["axes"], json!([{"name": "filter", "kind": "choice", "points": ["none", "coil"]}]));
}

#[test]
fn values_keep_every_bit_and_the_units_of_the_schema() {
    let comparison = support::crawler();
    let result = json::comparison_value(&comparison);
    for (run, told) in comparison.runs.iter().zip(result["runs"].as_array().unwrap()) {
        for reading in &run.readings {
            // Through the text, read by the standard library, which rounds to the nearest number.
            let value = told["readings"][&reading.name]["value"].to_string().parse::<f64>().ok();
            assert_eq!(value.map(f64::to_bits), reading.value.map(f64::to_bits), "{}", reading.name);
        }
    }
    let units = &result["runs"][0]["readings"];
    assert_eq!(units["gain_at_pwm"]["unit"], "dB");
    assert_eq!(units["choke_gone"]["unit"], "1");
    assert_eq!(result["axes"][1]["kind"], "condition");
    assert_eq!(
        result["runs"][35]["at"],
        json!({"filter": "coil_cap_damped", "battery_state": "soft", "throttle": "full"})
    );
}

#[test]
fn what_is_missing_or_not_finite_is_null_with_its_unit() {
    let result = json::comparison_value(&support::crawler_with_gaps());
    let failed = &result["runs"][13];
    assert!(failed["error"].as_str().unwrap().contains("steady state"));
    assert_eq!(failed["readings"]["noise"], json!({"value": null, "unit": "V"}));
    assert_eq!(failed["requirements"][0]["met"], Value::Null);
    assert_eq!(failed["requirements"][0]["limit"], json!(0.06));
    assert_eq!(result["runs"][20]["readings"]["ripple"], json!({"value": null, "unit": "V"}));
    assert_eq!(result["runs"][0]["readings"]["choke_gone"], json!({"value": null, "unit": "1"}));
}
