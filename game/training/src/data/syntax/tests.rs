use super::super::source::Place;
use super::*;

fn parsed(text: &str) -> Value {
    try_parse(text)
        .unwrap_or_else(|p| panic!("{text}: {p}"))
        .root
        .value
}

fn try_parse(text: &str) -> Result<Document, Problems> {
    parse(Source::new("t.ron", text.as_bytes().to_vec())?)
}

/// Line, column and message of the error in a text.
fn error(text: &str) -> (u32, u32, String) {
    let problems = try_parse(text).expect_err("an error");
    let problem = problems.iter().next().expect("an error");
    let Place { line, column } = problem.place.expect("a place");
    (line, column, problem.kind.to_string())
}

fn ints(values: &[i128]) -> Vec<Value> {
    values.iter().map(|v| Value::Int(*v)).collect()
}

fn values(nodes: Vec<Node>) -> Vec<Value> {
    nodes.into_iter().map(|n| n.value).collect()
}

#[test]
fn every_kind_of_value_is_read() {
    assert_eq!(parsed("true"), Value::Bool(true));
    assert_eq!(parsed("-12"), Value::Int(-12));
    assert_eq!(parsed("1_000"), Value::Int(1000));
    assert_eq!(parsed("1.5e3"), Value::Float(1500.0));
    assert_eq!(parsed(".5"), Value::Float(0.5));
    assert_eq!(parsed("5."), Value::Float(5.0));
    assert_eq!(parsed("-inf"), Value::Float(f64::NEG_INFINITY));
    assert_eq!(
        parsed("18446744073709551615"),
        Value::Int(i128::from(u64::MAX))
    );
    assert_eq!(
        parsed("18446744073709551616"),
        Value::Float(18_446_744_073_709_551_616.0)
    );
    assert_eq!(parsed("Diesel"), Value::Word("Diesel".to_owned()));
    assert_eq!(parsed("None"), Value::Nothing);
    assert!(matches!(parsed("Some(3)"), Value::Some(n) if n.value == Value::Int(3)));
    assert!(matches!(parsed("[1, 2,]"), Value::List(n) if values(n.clone()) == ints(&[1, 2])));
    assert!(
        matches!(parsed("(1, 2)"), Value::Tuple(None, n) if values(n.clone()) == ints(&[1, 2]))
    );
    assert!(matches!(parsed("()"), Value::Tuple(None, n) if n.is_empty()));
    let Value::Struct(Some(name), fields) = parsed("Hose ( bore_mm: 13, )") else {
        panic!()
    };
    assert_eq!(
        (name.text.as_str(), fields[0].name.text.as_str()),
        ("Hose", "bore_mm")
    );
    let Value::Map(entries) = parsed(r#"{"a": 1}"#) else {
        panic!()
    };
    assert_eq!(entries[0].0.value, Value::Text("a".to_owned()));
}

#[test]
fn texts_keep_what_their_escapes_stand_for() {
    let text = |t: &str| match parsed(t) {
        Value::Text(text) => text,
        other => panic!("{other:?}"),
    };
    assert_eq!(text(r#""a\"b\\c\n\t\x41\u{20AC}""#), "a\"b\\c\n\tA€");
    assert_eq!(text("\"one \\\n      two\""), "one two");
    assert_eq!(text(r##"r#"a "b" \n"#"##), "a \"b\" \\n");
    assert_eq!(text("\"two\nlines\""), "two\nlines");
}

#[test]
fn comments_stand_anywhere_and_nest() {
    let text = "// first\n(/* a /* b */ c */ a /**/ : // x\n 1 /* y */ , ) // last";
    assert!(matches!(parsed(text), Value::Struct(None, f) if f.len() == 1));
}

#[test]
fn every_value_knows_where_it_stands() {
    let document = try_parse("(\n  a: Word ,\n  b: [10, 20],\n)").expect("good");
    let Value::Struct(_, fields) = document.root.value else {
        panic!()
    };
    let written = |node: &Node| document.source.excerpt(node.span);
    assert_eq!(written(&fields[0].value), "Word");
    assert_eq!(written(&fields[1].value), "[10, 20]");
    let place = document.source.place(fields[1].value.span.start as usize);
    assert_eq!(place, Place { line: 3, column: 6 });
    assert_eq!(document.source.excerpt(fields[1].name.span), "b");
}

#[test]
fn an_error_says_where_and_what_was_expected() {
    let expect = |text: &str, line, column, message: &str| {
        assert_eq!(
            error(text),
            (line, column, message.to_owned()),
            "in {text:?}"
        );
    };
    expect("", 1, 1, "expected a value, but the file ends here");
    expect("(a: 1\n b: 2)", 2, 2, "expected a comma or ), found b");
    expect("(a 1)", 1, 4, "expected a comma or ), found 1");
    expect(
        "(a: 1, 2)",
        1,
        8,
        "expected the name of a field or ), found 2",
    );
    expect("(a: )", 1, 5, "expected a value, found )");
    expect("[1] 2", 1, 5, "expected nothing more, found 2");
    expect("{1, 2}", 1, 3, "expected :, found ,");
    expect("Some", 1, 5, "expected (, but the file ends here");
    expect("'a'", 1, 1, "expected a value, found '");
    expect(
        "(a: 1,\n",
        2,
        1,
        "expected ), but the file ends here; ( was opened at line 1, column 1",
    );
    expect(
        "[1,\n [2",
        2,
        4,
        "expected ], but the file ends here; [ was opened at line 2, column 2",
    );
    expect(
        "(a: \"x",
        1,
        5,
        "this text never ends: a closing quotation mark is missing",
    );
    expect(
        "(a: \"x\\",
        1,
        5,
        "this text never ends: a closing quotation mark is missing",
    );
    expect(
        "( /* a /* b */",
        1,
        3,
        "this comment never ends: its */ is missing",
    );
    expect(
        r#""ab\q""#,
        1,
        4,
        r"\q means nothing in a text; write \\ for a backslash",
    );
    expect(
        r#""\u{D800}""#,
        1,
        2,
        r"\u{D800 means nothing in a text; write \\ for a backslash",
    );
    expect("(a: 12bar)", 1, 5, "12bar is not a number");
    expect("(a: 1.2.3)", 1, 5, "1.2.3 is not a number");
    expect("(a: 1__€)", 1, 8, "expected a comma or ), found €");
    expect("(a: -)", 1, 5, "- is not a number");
    expect("1..2", 1, 1, "1..2 is not a number");
    expect("(å: 1)", 1, 2, "expected a value, found å");
    expect("(a: \u{7})", 1, 5, "expected a value, found U+0007");
}

#[test]
fn ten_megabytes_of_brackets_end_in_one_clear_error_at_once() {
    let million = 10 * 1024 * 1024;
    for bracket in ["(", "[", "{", "Some(", "(a:(", "{1:["] {
        let started = std::time::Instant::now();
        let (_, _, message) = error(&bracket.repeat(million / bracket.len()));
        assert!(
            message == "more than 64 brackets within one another"
                // `{` wants a key, and a map as a key nests too.
                || message.starts_with("expected"),
            "{bracket}: {message}"
        );
        assert!(
            started.elapsed().as_secs_f64() < 2.0,
            "{bracket}: {:?}",
            started.elapsed()
        );
    }
    let (_, _, message) = error(&format!("[{}]", "[],".repeat(million / 3)));
    assert_eq!(message, "more than 500000 values in one file");
}

#[test]
fn depth_up_to_the_limit_is_allowed() {
    let nested = |depth| format!("{}1{}", "[".repeat(depth), "]".repeat(depth));
    assert!(try_parse(&nested(DEPTH_LIMIT)).is_ok());
    assert_eq!(error(&nested(DEPTH_LIMIT + 1)).1, 65);
}
