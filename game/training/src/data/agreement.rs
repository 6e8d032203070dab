//! Holds our parser against the `ron` crate: what we accept is real RON and the same tree.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use proptest::prelude::*;

use super::source::{Source, Span};
use super::syntax::{Document, Field, Name, Node, Value, parse};

/// A tree without places, names and notation: what the `ron` crate keeps of a file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Plain {
    Bool(bool),
    Whole(i128),
    /// Bits of the f64; every NaN the same.
    Float(u64),
    Text(String),
    Word,
    Nothing,
    Some(Box<Plain>),
    Items(Vec<Plain>),
    Map(BTreeMap<Plain, Plain>),
}

fn float(value: f64) -> Plain {
    Plain::Float(if value.is_nan() {
        f64::NAN.to_bits()
    } else {
        value.to_bits()
    })
}

fn of_ours(node: &Node) -> Plain {
    match &node.value {
        Value::Bool(value) => Plain::Bool(*value),
        Value::Int(value) => Plain::Whole(*value),
        Value::Float(value) => float(*value),
        Value::Text(value) => Plain::Text(value.clone()),
        Value::Word(_) => Plain::Word,
        Value::Nothing => Plain::Nothing,
        Value::Some(inner) => Plain::Some(Box::new(of_ours(inner))),
        Value::Struct(_, fields) => Plain::Map(
            fields
                .iter()
                .map(|f| (Plain::Text(f.name.text.clone()), of_ours(&f.value)))
                .collect(),
        ),
        // The `ron` crate reads `()` as a word and `Name()` as no items.
        Value::Tuple(_, items) if items.is_empty() => Plain::Word,
        Value::Tuple(_, items) | Value::List(items) => {
            Plain::Items(items.iter().map(of_ours).collect())
        }
        Value::Map(entries) => Plain::Map(
            entries
                .iter()
                .map(|(k, v)| (of_ours(k), of_ours(v)))
                .collect(),
        ),
    }
}

fn of_theirs(value: &ron::Value) -> Plain {
    match value {
        ron::Value::Bool(value) => Plain::Bool(*value),
        ron::Value::Number(number) => match *number {
            ron::Number::F32(value) => float(f64::from(value.0)),
            ron::Number::F64(value) => float(value.0),
            ron::Number::I8(v) => Plain::Whole(v.into()),
            ron::Number::I16(v) => Plain::Whole(v.into()),
            ron::Number::I32(v) => Plain::Whole(v.into()),
            ron::Number::I64(v) => Plain::Whole(v.into()),
            ron::Number::U8(v) => Plain::Whole(v.into()),
            ron::Number::U16(v) => Plain::Whole(v.into()),
            ron::Number::U32(v) => Plain::Whole(v.into()),
            ron::Number::U64(v) => Plain::Whole(v.into()),
            ref other => panic!("a number of no kind we know: {other:?}"),
        },
        ron::Value::String(value) => Plain::Text(value.clone()),
        ron::Value::Unit => Plain::Word,
        ron::Value::Option(None) => Plain::Nothing,
        ron::Value::Option(Some(inner)) => Plain::Some(Box::new(of_theirs(inner))),
        ron::Value::Seq(items) => Plain::Items(items.iter().map(of_theirs).collect()),
        ron::Value::Map(map) => Plain::Map(
            map.iter()
                .map(|(k, v)| (of_theirs(k), of_theirs(v)))
                .collect(),
        ),
        other => panic!("a value that data files never have: {other:?}"),
    }
}

/// `[]` and `Name()` come out of the `ron` crate the same, so both count as no items.
fn level_empty(plain: Plain) -> Plain {
    match plain {
        Plain::Items(items) if items.is_empty() => Plain::Word,
        Plain::Items(items) => Plain::Items(items.into_iter().map(level_empty).collect()),
        Plain::Some(inner) => Plain::Some(Box::new(level_empty(*inner))),
        Plain::Map(map) => Plain::Map(
            map.into_iter()
                .map(|(k, v)| (level_empty(k), level_empty(v)))
                .collect(),
        ),
        other => other,
    }
}

fn ours(text: &str) -> Result<Document, String> {
    Source::new("t.ron", text.as_bytes().to_vec())
        .and_then(parse)
        .map_err(|p| p.to_string())
}

fn theirs(text: &str) -> Result<ron::Value, String> {
    ron::from_str(text).map_err(|e| e.to_string())
}

/// Both read the text, and as the same tree.
fn agree(text: &str) -> Result<(), String> {
    let our_tree = level_empty(of_ours(&ours(text)?.root));
    let their_tree = level_empty(of_theirs(&theirs(text)?));
    if our_tree == their_tree {
        Ok(())
    } else {
        Err(format!("ours {our_tree:?}\ntheirs {their_tree:?}"))
    }
}

fn ron_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display())) {
        let path = entry.expect("a readable folder").path();
        if path.is_dir() {
            ron_files(&path, found);
        } else if path.extension().is_some_and(|e| e == "ron") {
            found.push(path);
        }
    }
}

#[test]
fn every_file_under_levels_is_real_ron_and_the_same_tree() {
    let levels = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../levels");
    let mut files = Vec::new();
    ron_files(&levels, &mut files);
    assert!(!files.is_empty(), "no data files in {}", levels.display());
    for file in files {
        let text = fs::read_to_string(&file).expect("a readable file");
        agree(&text).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
    }
}

#[test]
fn the_comparison_sees_a_difference() {
    let tree = |text: &str| of_ours(&ours(text).expect("good").root);
    let other = |text: &str| of_theirs(&theirs(text).expect("good"));
    assert_eq!(
        tree("(a: [1, 2.5], b: Some(x))"),
        other("(a: [1, 2.5], b: Some(x))")
    );
    for text in [
        "(a: [1, 2.5], b: None)",
        "(a: [1, 2.6], b: Some(x))",
        "(a: [1], b: Some(x))",
    ] {
        assert_ne!(tree(text), other("(a: [1, 2.5], b: Some(x))"), "{text}");
    }
    assert_ne!(tree("1"), other("1.0"));
    assert_ne!(tree("(c: 1)"), other("(d: 1)"));
}

#[test]
fn notations_that_are_easy_to_read_differently_agree() {
    for text in [
        "()",
        "( )",
        "A",
        "A()",
        "A ( )",
        "A(1)",
        "(1)",
        "(1,)",
        "[ ]",
        "{}",
        "A(a:1)",
        "(a:B,)",
        "Some(1)",
        "Some ( 1 , )",
        "None",
        "[Some(None)]",
        "[None]",
        "(Some(()))",
        "-0.0",
        "-0",
        "+5",
        "1e5",
        "1E-5",
        "5.",
        ".5",
        "-.5",
        "1_0.2_5",
        "1e+0_1",
        "1_",
        "255",
        "256",
        "-129",
        "9223372036854775808",
        "-9223372036854775809",
        "99999999999999999999999",
        "0.1",
        "1e999",
        "inf",
        "-inf",
        "NaN",
        "[inf,NaN]",
        "true",
        "[false]",
        "\"\"",
        "\"\\u{e9}\\x41\\0\"",
        "\"a\\\n   b\"",
        "\"a\\\r\n\t b\"",
        "\"a\r\nb\"",
        "r\"\\\"",
        "r##\"a\"#b\"##",
        "r",
        "[r]",
        "b",
        "[bar, rx]",
        "{\"a\": 1, \"a\": 2}",
        "{1: 2, A: 3}",
        "/**/1//",
        "1//x\n",
        "[/*a*/1/*b*/,/*c*/]",
        "(trueish: falsey)",
        "(true: 1)",
        "(None: 1)",
        "(inf: 1)",
        "A(b)",
        "A(b: c)",
        "A(b, c)",
        "inff64",
        "-inff32",
        "Nanny(infy)",
    ] {
        // Some of these we refuse; then there is nothing to agree on.
        if ours(text).is_ok() {
            agree(text).unwrap_or_else(|e| panic!("{text:?}: {e}"));
        }
    }
}

/// Words that RON itself gives a meaning.
const TAKEN: [&str; 11] = [
    "true", "false", "None", "Some", "inf", "NaN", "inff32", "inff64", "NaNf32", "NaNf64", "r",
];

fn word() -> impl Strategy<Value = String> {
    "[A-Za-z_][A-Za-z0-9_]{0,6}".prop_filter("taken", |w| !TAKEN.contains(&w.as_str()))
}

fn node(value: Value) -> Node {
    Node {
        span: Span { start: 0, end: 0 },
        value,
    }
}

fn tree() -> impl Strategy<Value = Node> {
    let leaf = prop_oneof![
        any::<bool>().prop_map(Value::Bool),
        any::<i64>().prop_map(|v| Value::Int(v.into())),
        any::<f64>().prop_map(Value::Float),
        any::<String>().prop_map(Value::Text),
        word().prop_map(Value::Word),
        Just(Value::Nothing),
    ]
    .prop_map(node);
    let name = || proptest::option::of(word());
    leaf.prop_recursive(5, 60, 6, move |inner| {
        let inner = || inner.clone();
        let many = || prop::collection::vec(inner(), 0..6);
        let named = |text: String| Name {
            span: Span { start: 0, end: 0 },
            text,
        };
        prop_oneof![
            inner().prop_map(|n| Value::Some(Box::new(n))),
            many().prop_map(Value::List),
            (name(), many()).prop_map(move |(n, items)| Value::Tuple(n.map(named), items)),
            (name(), prop::collection::btree_map(word(), inner(), 1..6)).prop_map(
                move |(n, fields)| {
                    let field = |(name, value)| Field {
                        name: named(name),
                        value,
                    };
                    Value::Struct(n.map(named), fields.into_iter().map(field).collect())
                }
            ),
            // Keys that the plain tree tells apart, or entries would fall together in it.
            prop::collection::vec((any::<i64>(), inner()), 0..6).prop_map(|entries| {
                let entry = |(key, value): (i64, _)| (node(Value::Int(key.into())), value);
                Value::Map(entries.into_iter().map(entry).collect())
            }),
        ]
        .prop_map(node)
    })
}

/// Writes a tree as RON, with blanks and comments where they may stand.
fn print(node: &Node, out: &mut String) {
    let list = |items: &[Node], out: &mut String| {
        for item in items {
            print(item, out);
            out.push_str(" /* , */ ,\n");
        }
    };
    match &node.value {
        Value::Bool(value) => out.push_str(&value.to_string()),
        Value::Int(value) => out.push_str(&value.to_string()),
        Value::Float(value) if value.is_nan() => out.push_str("NaN"),
        // `{:?}` always writes a point or an exponent, and enough digits.
        Value::Float(value) => out.push_str(&format!("{value:?}")),
        Value::Text(value) => {
            out.push('"');
            for c in value.chars() {
                match c {
                    '"' | '\\' => out.extend(['\\', c]),
                    c if c.is_control() => out.push_str(&format!("\\u{{{:X}}}", u32::from(c))),
                    c => out.push(c),
                }
            }
            out.push('"');
        }
        Value::Word(word) => out.push_str(word),
        Value::Nothing => out.push_str("None"),
        Value::Some(inner) => {
            out.push_str("Some(");
            print(inner, out);
            out.push(')');
        }
        Value::Struct(name, fields) => {
            out.push_str(name.as_ref().map_or("", |n| &n.text));
            out.push('(');
            for field in fields {
                out.push_str(&field.name.text);
                out.push_str(" : ");
                print(&field.value, out);
                out.push_str(", // ,\n");
            }
            out.push(')');
        }
        Value::Tuple(name, items) => {
            out.push_str(name.as_ref().map_or("", |n| &n.text));
            out.push('(');
            list(items, out);
            out.push(')');
        }
        Value::List(items) => {
            out.push('[');
            list(items, out);
            out.push(']');
        }
        Value::Map(entries) => {
            out.push('{');
            for (key, value) in entries {
                print(key, out);
                out.push_str(": ");
                print(value, out);
                out.push(',');
            }
            out.push('}');
        }
    }
}

/// Text out of pieces that RON is made of: likelier to be nearly right than arbitrary text.
fn nearly_ron() -> impl Strategy<Value = String> {
    let pieces = [
        "(", ")", "[", "]", "{", "}", ":", ",", " ", "\n", "a", "Word", "Some", "None", "true",
        "1", "-2.5", "1e3", ".", "_", "inf", "\"t\"", "\"", "\\", "r#\"", "\"#", "//", "/*", "*/",
        "(a:", "Some(", "é", "b", "r", "'", "#", "+", "0x1", "1..2", "\u{85}",
    ];
    prop::collection::vec(prop::sample::select(pieces.to_vec()), 0..24).prop_map(|p| p.concat())
}

proptest! {
    #[test]
    fn arbitrary_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let _ = Source::new("t.ron", bytes).and_then(parse).map_err(|p| p.to_string());
    }

    #[test]
    fn random_trees_come_back_the_same_from_both(tree in tree()) {
        let mut text = String::new();
        print(&tree, &mut text);
        let read = ours(&text).map_err(TestCaseError::fail)?;
        prop_assert_eq!(of_ours(&read.root), of_ours(&tree), "{}", text);
        agree(&text).map_err(|e| TestCaseError::fail(format!("{text}\n{e}")))?;
    }

    #[test]
    fn whatever_we_accept_is_ron(text in nearly_ron()) {
        if ours(&text).is_ok() {
            agree(&text).map_err(|e| TestCaseError::fail(format!("{text:?}\n{e}")))?;
        }
    }

    #[test]
    fn a_cut_or_changed_file_never_panics(text in nearly_ron(), at in any::<usize>(), byte in any::<u8>()) {
        let mut bytes = format!("(a: [1, 2.5e3], b: {text}, c: \"x\\u{{e9}}\")").into_bytes();
        let at = at % bytes.len();
        bytes[at] = byte;
        let _ = Source::new("t.ron", bytes.clone()).and_then(parse).map_err(|p| p.to_string());
        bytes.truncate(at);
        let _ = Source::new("t.ron", bytes).and_then(parse).map_err(|p| p.to_string());
    }
}
