use super::*;
use crate::data::parse;
use crate::data::syntax::Document;

fn document(text: &str) -> Document {
    parse(Source::new("t.ron", text.as_bytes().to_vec()).expect("text")).expect("good syntax")
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Cover {
    Rubber,
    Plastic,
}

#[derive(Clone, Copy)]
enum When {
    Always,
    At,
}

#[derive(Debug, PartialEq)]
struct Hose {
    id: String,
    length_m: f64,
    rating_bar: f64,
    burst_bar: f64,
    layers: u8,
    cover: Cover,
    note: Option<String>,
    bends_m: Vec<f64>,
    end_m: [f64; 3],
    swap_s: f64,
}

fn hose(r: &mut Reader<'_, '_>, ids: &mut Ids) -> Hose {
    let hose = Hose {
        id: r.new_id("id", ids),
        length_m: r.f64("length_m", 0.5..=200.0),
        rating_bar: r.f64("rating_bar", 1.0..=4000.0),
        burst_bar: r.f64("burst_bar", 1.0..=9000.0),
        layers: r.whole("layers", 1..=6),
        cover: r.word(
            "cover",
            &[("Rubber", Cover::Rubber), ("Plastic", Cover::Plastic)],
        ),
        note: r.option("note", |c| c.text(20)),
        bends_m: r.list("bends_m", 0..=3, |c| c.f64(0.1..=2.0)),
        end_m: r.field("end_m", |c| c.numbers(-10.0..=10.0)),
        swap_s: r.field("swap", |c| {
            c.variant(
                &[("Always", When::Always), ("At", When::At)],
                |when, r| match when {
                    When::Always => 0.0,
                    When::At => r.f64("time_s", 0.0..=60.0),
                },
            )
        }),
    };
    r.check(
        "burst_bar",
        hose.burst_bar >= hose.rating_bar,
        "data-range",
        vec![("low", "a".to_owned()), ("high", "b".to_owned())],
    );
    hose
}

fn hoses(text: &str) -> Result<Vec<Hose>, Vec<String>> {
    let document = document(text);
    let mut ids = Ids::default();
    read(&document, "Hoses", |r| {
        r.list("hoses", 1..=9, |c| c.record("Hose", |r| hose(r, &mut ids)))
    })
    .map_err(|p| p.iter().map(|p| p.to_string()).collect())
}

/// A good hose with some fields written otherwise; an empty text leaves a field out.
fn with(changes: &[(&str, &str)]) -> String {
    let mut fields = vec![
        ("id", "\"h13\""),
        ("length_m", "20"),
        ("rating_bar", "1250"),
        ("burst_bar", "3125.0"),
        ("layers", "4"),
        ("cover", "Plastic"),
        ("bends_m", "[0.2]"),
        ("end_m", "(1, 2.5, -3)"),
        ("swap", "At(time_s: 5)"),
    ];
    for (name, value) in changes {
        match fields.iter_mut().find(|(n, _)| n == name) {
            Some(field) => field.1 = value,
            None => fields.push((name, value)),
        }
    }
    let fields = fields.iter().filter(|(_, v)| !v.is_empty());
    let fields: Vec<_> = fields.map(|(n, v)| format!("{n}: {v}")).collect();
    format!("({})", fields.join(","))
}

/// What is said of one hose, without the file and the place.
fn said(changes: &[(&str, &str)]) -> Vec<String> {
    let text = format!("Hoses(hoses: [{}])", with(changes));
    let messages = hoses(&text).expect_err("something wrong");
    messages
        .into_iter()
        .map(|m| m.splitn(4, ':').nth(3).unwrap_or(&m).trim().to_owned())
        .collect()
}

#[test]
fn a_good_file_is_read() {
    let text = format!(
        "Hoses(hoses: [{}, Hose{}])",
        with(&[("note", "None")]),
        with(&[
            ("id", "\"h8\""),
            ("note", "Some(\"old\")"),
            ("swap", "Always"),
            ("cover", "Rubber")
        ])
    );
    let hoses = hoses(&text).expect("good");
    assert_eq!(hoses[0].end_m, [1.0, 2.5, -3.0]);
    assert_eq!(
        (hoses[0].swap_s, hoses[0].cover, hoses[0].layers),
        (5.0, Cover::Plastic, 4)
    );
    assert_eq!(hoses[1].note.as_deref(), Some("old"));
    assert_eq!((hoses[1].swap_s, hoses[1].note.is_some()), (0.0, true));
}

#[test]
fn each_mistake_is_told_with_value_and_what_is_allowed() {
    let expect = |name, value, message: &str| {
        assert_eq!(
            said(&[(name, value)]),
            [message.to_owned()],
            "{name}: {value}"
        );
    };
    expect(
        "length_m",
        "",
        "hoses[0].length_m: field length_m is missing",
    );
    expect(
        "lenght_m",
        "5",
        "hoses[0].lenght_m: no field lenght_m here; did you mean length_m?",
    );
    expect(
        "length_m",
        "300",
        "hoses[0].length_m: 300 is out of range; allowed: 0.5 to 200 m",
    );
    expect(
        "length_m",
        "\"20\"",
        "hoses[0].length_m: expected a number, found \"20\"",
    );
    expect(
        "length_m",
        "NaN",
        "hoses[0].length_m: NaN is not a finite number",
    );
    expect(
        "length_m",
        "1e999",
        "hoses[0].length_m: 1e999 is not a finite number",
    );
    expect(
        "length_m",
        "-inf",
        "hoses[0].length_m: -inf is not a finite number",
    );
    expect(
        "layers",
        "2.5",
        "hoses[0].layers: expected a whole number, found 2.5",
    );
    expect(
        "layers",
        "-1",
        "hoses[0].layers: -1 is out of range; allowed: 1 to 6",
    );
    expect(
        "layers",
        "260",
        "hoses[0].layers: 260 is out of range; allowed: 1 to 6",
    );
    expect(
        "layers",
        "inf",
        "hoses[0].layers: inf is not a finite number",
    );
    expect(
        "cover",
        "Plastik",
        "hoses[0].cover: Plastik does not exist; did you mean Plastic? There is: Rubber, Plastic",
    );
    expect(
        "cover",
        "Steel",
        "hoses[0].cover: Steel does not exist; there is: Rubber, Plastic",
    );
    expect(
        "cover",
        "\"Rubber\"",
        "hoses[0].cover: expected a word, found \"Rubber\"",
    );
    expect(
        "id",
        "\"H 13\"",
        "hoses[0].id: \"H 13\" is no id: use lower-case letters, digits and _, a letter or a digit first",
    );
    expect("note", "\"  \"", "hoses[0].note: the text is empty");
    expect(
        "note",
        "\"\\u{1B}[31m\"",
        "hoses[0].note: the text has a control character (U+001B)",
    );
    expect(
        "note",
        "\"abcdefghijklmnopqrstuvwxyz\"",
        "hoses[0].note: the text has 26 characters; allowed: 20",
    );
    expect(
        "bends_m",
        "[0.2, 5]",
        "hoses[0].bends_m[1]: 5 is out of range; allowed: 0.1 to 2 m",
    );
    expect(
        "bends_m",
        "[1, 1, 1, 1]",
        "hoses[0].bends_m: 4 items; allowed: 0 to 3",
    );
    expect(
        "bends_m",
        "(1)",
        "hoses[0].bends_m: expected a list in [ ], found (1)",
    );
    expect(
        "end_m",
        "(1, 2)",
        "hoses[0].end_m: expected 3 values in ( ), found (1, 2)",
    );
    expect(
        "end_m",
        "(1, 2, 99)",
        "hoses[0].end_m[2]: 99 is out of range; allowed: -10 to 10 m",
    );
    expect(
        "swap",
        "At",
        "hoses[0].swap.time_s: field time_s is missing",
    );
    expect(
        "swap",
        "Att(time_s: 5)",
        "hoses[0].swap: Att does not exist; did you mean At? There is: Always, At",
    );
    expect(
        "swap",
        "(time_s: 5)",
        "hoses[0].swap: expected Always | At(...), found (time_s: 5)",
    );
    expect(
        "swap",
        "Always(time_s: 5)",
        "hoses[0].swap.time_s: no field time_s here; allowed: nothing",
    );
    expect("burst_bar", "900", "hoses[0].burst_bar: a to b");
}

#[test]
fn a_field_in_another_unit_is_one_mistake_and_names_the_unit() {
    assert_eq!(
        said(&[("rating_bar", ""), ("rating_psi", "18000")]),
        ["hoses[0].rating_psi: wrong unit: write rating_bar, in bar, instead of rating_psi"]
    );
    assert_eq!(
        said(&[("rating_bar", ""), ("rating", "1250")]),
        ["hoses[0].rating: wrong unit: write rating_bar, in bar, instead of rating"]
    );
}

#[test]
fn a_slip_in_a_name_does_not_count_as_a_missing_field_too() {
    assert_eq!(
        said(&[("rating_bar", ""), ("ratng_bar", "1250")]),
        ["hoses[0].ratng_bar: no field ratng_bar here; did you mean rating_bar?"]
    );
}

#[test]
fn a_field_written_twice_names_both_places() {
    let text = "Hoses(\n hoses: [],\n hoses: [],\n)";
    let messages = hoses(text).expect_err("twice");
    assert_eq!(
        messages,
        [
            "t.ron:2:9: hoses: 0 items; allowed: 1 to 9",
            "t.ron:3:2: hoses: hoses is here twice; first at line 2, column 2",
        ]
    );
}

#[test]
fn an_id_written_twice_names_both_places() {
    let text = format!("Hoses(hoses: [\n{},\n{}])", with(&[]), with(&[]));
    assert_eq!(
        hoses(&text).expect_err("twice"),
        ["t.ron:3:6: hoses[1].id: h13 is here twice; first at line 2, column 6"]
    );
}

#[test]
fn all_mistakes_are_told_at_once_in_the_order_of_the_file() {
    let text =
        "Hoses(\n  hose: 3,\n  hoses: [\n    (id: 5, length_m: 999, layers: x),\n    7,\n  ],\n)";
    let messages = hoses(text).expect_err("much");
    let places: Vec<_> = messages
        .iter()
        .map(|m| m.splitn(5, ':').collect::<Vec<_>>())
        .collect();
    let summary: Vec<_> = places
        .iter()
        .map(|p| format!("{}:{}{}", p[1], p[2], p[3]))
        .collect();
    assert_eq!(
        summary,
        [
            "2:3 hose",
            "4:5 hoses[0].rating_bar",
            "4:5 hoses[0].burst_bar",
            "4:5 hoses[0].cover",
            "4:5 hoses[0].bends_m",
            "4:5 hoses[0].end_m",
            "4:5 hoses[0].swap",
            "4:10 hoses[0].id",
            "4:23 hoses[0].length_m",
            "4:36 hoses[0].layers",
            "5:5 hoses[1]",
        ],
        "{messages:#?}"
    );
}

#[test]
fn checks_between_values_keep_quiet_while_the_values_are_wrong() {
    assert_eq!(
        said(&[("burst_bar", "900"), ("layers", "99")]),
        ["hoses[0].layers: 99 is out of range; allowed: 1 to 6"]
    );
}

#[test]
fn a_file_of_another_kind_is_told_once() {
    assert_eq!(
        hoses("Guns(guns: [1, 2])").expect_err("wrong root"),
        ["t.ron:1:1: expected Hoses(...), found Guns(guns: [1, 2])"]
    );
    assert_eq!(
        hoses("3").expect_err("wrong root"),
        ["t.ron:1:1: expected Hoses(...), found 3"]
    );
    assert_eq!(
        hoses("Hoses").expect_err("no fields"),
        ["t.ron:1:1: expected Hoses(...), found Hoses"]
    );
}

#[test]
fn a_flood_of_mistakes_is_cut_and_counted() {
    let fields: Vec<_> = (0..1000).map(|i| format!("f{i}: 1")).collect();
    let messages = hoses(&format!(
        "Hoses(hoses: [{}], {})",
        with(&[]),
        fields.join(",")
    ))
    .unwrap_err();
    assert_eq!(messages.len(), PROBLEMS_KEPT + 1);
    assert_eq!(messages[0], "t.ron: 800 more problems");
}

#[test]
fn problems_are_written_for_programs_too() {
    let document = document("Hoses(hoses: [(length_m: 300)])");
    let problems = read(&document, "Hoses", |r| {
        r.list("hoses", 1..=9, |c| {
            c.record("Hose", |r| r.f64("length_m", 0.5..=200.0))
        })
    })
    .expect_err("out of range");
    assert_eq!(
        serde_json::to_string(&problems).expect("JSON"),
        "[{\"file\":\"t.ron\",\"line\":1,\"column\":26,\"field\":\"hoses[0].length_m\",\
         \"kind\":\"out_of_range\",\"value\":\"300\",\"allowed\":[\"0.5 to 200 m\"],\
         \"message\":\"300 is out of range; allowed: 0.5 to 200 m\"}]"
    );
}
