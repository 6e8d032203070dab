//! The table as a page.

use crate::Words;
use crate::case::{Case, Verdict};
use crate::html::{escape, shown};
use crate::plot;
use crate::table::{Outcome, Table, measured, tolerance, verdict};
use std::fmt::Write;

/// What this page needs besides the style sheet it is given.
const STYLE: &str = "\
.dots{fill:none;stroke-width:4;stroke-linecap:round;stroke-opacity:.55}\
.dots.pass{stroke:var(--deep)}\
.dots.fail{stroke:var(--brick);stroke-width:7;stroke-opacity:1}\
td.fail{color:var(--brick);font-weight:700}\
summary{cursor:pointer;font-size:var(--small-size)}\
.sources{font-size:var(--small-size)}";

/// The table as one page of HTML that needs nothing else. `style` is the style sheet of the
/// project's papers, whose names of colours, sizes and classes the page uses.
pub fn html(table: &Table, words: &Words, style: &str) -> String {
    let say = |id: &str| escape(&words(id, &[]));
    let mut page = String::new();
    write!(
        page,
        "<!doctype html><html lang=\"{}\"><head><meta charset=\"utf-8\">\
         <meta name=\"viewport\" content=\"width=device-width\"><title>{}</title>\
         <style>{style}{STYLE}</style></head><body><header><div class=\"wide\"><h1>{}</h1>\
         <p>{}</p></div></header><main class=\"wide\">",
        say("qualify-language"),
        say("qualify-title"),
        say("qualify-title"),
        say("qualify-about"),
    )
    .ok();
    let sum = escape(&words("qualify-sum", &table.sum()));
    let class = match table.verdict() {
        Verdict::Pass => "",
        Verdict::Fail => " class=\"stop\"",
    };
    write!(
        page,
        "<div class=\"care\"><p>{}</p></div><p{class}><b>{sum}</b></p>",
        say("qualify-caution")
    )
    .ok();
    let sources = cited(table);
    summary(&mut page, table, &sources, words);
    for outcome in table.outcomes() {
        quantity(&mut page, outcome, &sources, words);
    }
    write!(
        page,
        "<h2>{}</h2><ol class=\"sources\">",
        say("qualify-sources")
    )
    .ok();
    for (at, source) in sources.iter().enumerate() {
        write!(page, "<li id=\"source-{}\">{}</li>", at + 1, escape(source)).ok();
    }
    writeln!(page, "</ol></main></body></html>").ok();
    page
}

/// The sources of all cases, in the order in which they come.
fn cited(table: &Table) -> Vec<&str> {
    let mut found: Vec<&str> = Vec::new();
    for case in table.cases() {
        if !found.contains(&case.source.as_str()) {
            found.push(&case.source);
        }
    }
    found
}

/// Numbers of sources, each a link to its text.
fn numbers<'a>(of: impl Iterator<Item = &'a Case>, sources: &[&str]) -> String {
    let mut found: Vec<usize> = Vec::new();
    for case in of {
        let at = sources.iter().position(|s| *s == case.source);
        if let Some(at) = at.filter(|at| !found.contains(at)) {
            found.push(at);
        }
    }
    let link = |at: &usize| format!("<a href=\"#source-{0}\">{0}</a>", at + 1);
    found.iter().map(link).collect::<Vec<_>>().join(", ")
}

fn heads(page: &mut String, columns: &[(&str, bool)], words: &Words) {
    page.push_str("<thead><tr>");
    for (id, is_number) in columns {
        let class = if *is_number { " class=\"n\"" } else { "" };
        write!(
            page,
            "<th scope=\"col\"{class}>{}</th>",
            escape(&words(id, &[]))
        )
        .ok();
    }
    page.push_str("</tr></thead>");
}

fn verdict_cell(of: Verdict, words: &Words) -> String {
    format!(
        "<td class=\"{}\">{}</td>",
        of.id(),
        escape(&verdict(of, words))
    )
}

fn summary(page: &mut String, table: &Table, sources: &[&str], words: &Words) {
    write!(
        page,
        "<h2>{}</h2><table>",
        escape(&words("qualify-summary", &[]))
    )
    .ok();
    let columns = [
        ("qualify-column-quantity", false),
        ("qualify-column-proves", false),
        ("qualify-column-cases", true),
        ("qualify-column-worst", true),
        ("qualify-column-tolerance", true),
        ("qualify-column-source", false),
        ("qualify-column-verdict", false),
    ];
    heads(page, &columns, words);
    page.push_str("<tbody>");
    for outcome in table.outcomes() {
        let quantity = outcome.quantity;
        let worst = outcome.worst().map_or(f64::NAN, Case::deviation);
        let part = |part: &crate::Part| words(&format!("qualify-part-{}", part.id()), &[]);
        let parts: Vec<String> = quantity.parts.iter().map(part).collect();
        write!(
            page,
            "<tr><th scope=\"row\"><a href=\"#{}\">{}</a></th><td>{}</td><td class=\"n\">{}</td>\
             <td class=\"n\">{}</td><td class=\"n\">{}</td><td>{}</td>{}</tr>",
            quantity.id,
            escape(&words(&quantity.title_id(), &[])),
            escape(&parts.join(", ")),
            outcome.cases.len(),
            escape(&measured(quantity, worst)),
            escape(&tolerance(outcome)),
            numbers(outcome.cases.iter(), sources),
            verdict_cell(outcome.verdict(), words),
        )
        .ok();
    }
    page.push_str("</tbody></table>");
}

fn quantity(page: &mut String, outcome: &Outcome, sources: &[&str], words: &Words) {
    let quantity = outcome.quantity;
    write!(
        page,
        "<h2 id=\"{}\">{}</h2>",
        quantity.id,
        escape(&words(&quantity.title_id(), &[]))
    )
    .ok();
    page.push_str(&plot::figure(outcome, words));
    let count = outcome.cases.len().to_string();
    let all = words("qualify-all_cases", &[("cases", count)]);
    write!(page, "<details><summary>{}</summary><table>", escape(&all)).ok();
    let columns = [
        ("qualify-column-case", false),
        ("qualify-column-reference", true),
        ("qualify-column-ours", true),
        ("qualify-column-unit", false),
        ("qualify-column-off", true),
        ("qualify-column-tolerance", true),
        ("qualify-column-source", false),
        ("qualify-column-verdict", false),
    ];
    heads(page, &columns, words);
    page.push_str("<tbody>");
    for case in &outcome.cases {
        write!(
            page,
            "<tr><td>{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td><td>{}</td>\
             <td class=\"n\">{}</td><td class=\"n\">{}</td><td>{}</td>{}</tr>",
            escape(&case.case),
            shown(case.reference),
            shown(case.ours),
            escape(case.unit),
            escape(&measured(quantity, case.deviation())),
            escape(&measured(quantity, case.tolerance)),
            numbers(std::iter::once(case), sources),
            verdict_cell(case.verdict, words),
        )
        .ok();
    }
    page.push_str("</tbody></table></details>");
}
