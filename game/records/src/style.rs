//! The style sheet of the page, made from the theme.

use crate::theme::Theme;

/// The style sheet. It names nothing that would have to be fetched.
pub(crate) fn sheet(t: &Theme) -> String {
    let mut out = String::from(":root{");
    for (name, colour) in [
        ("paper", t.paper),
        ("ink", t.ink),
        ("faint", t.faint_ink),
        ("slate", t.slate),
        ("line", t.line),
        ("harbour", t.harbour),
        ("foam", t.foam),
        ("brick", t.brick),
        ("ochre", t.ochre),
        ("dusk", t.dusk),
        ("deep", t.deep),
        ("rust", t.rust),
        ("moss", t.moss),
        ("clean", t.clean),
        ("partly", t.partly_light),
        ("stripe", t.partly_dark),
        ("fouled", t.fouled),
    ] {
        out.push_str(&format!("--{name}:{colour};"));
    }
    for (name, px) in [
        ("text", t.text_px),
        ("small", t.small_px),
        ("heading", t.heading_px),
        ("title", t.title_px),
        ("mark", t.mark_px),
        ("page", t.page_px),
        ("chart", t.chart_px),
        ("chart-text", t.chart_text),
    ] {
        out.push_str(&format!("--{name}-size:{px}px;"));
    }
    out.push('}');
    out.push_str(PAGE);
    out.push_str(TABLES);
    out.push_str(CHART);
    out.push_str(PRINT);
    out
}

const PAGE: &str = r#"
*{box-sizing:border-box}
body{margin:0;background:var(--paper);color:var(--ink);font:var(--text-size)/1.45 system-ui,"DejaVu Sans",sans-serif;overflow-wrap:break-word}
.wide{max-width:var(--page-size);margin:0 auto;padding:0 24px}
header{background:var(--harbour);color:var(--foam)}
header .wide{padding-top:14px;padding-bottom:12px}
h1{font-size:var(--title-size);line-height:1.2;margin:0}
header p{margin:4px 0 0}
h2{font-size:var(--heading-size);line-height:1.25;color:var(--harbour);border-bottom:2px solid var(--harbour);margin:26px 0 8px;padding-bottom:2px;break-after:avoid}
h3{font-size:var(--text-size);margin:14px 0 4px;break-after:avoid}
p{margin:6px 0}
a{color:inherit}
ul{margin:6px 0;padding-left:20px}
.facts{display:flex;flex-wrap:wrap;gap:2px 22px;margin:8px 0 0;font-size:var(--small-size)}
.facts div{display:flex;gap:6px}
.facts dd{margin:0;font-weight:600}
.stop{border:3px solid var(--brick);color:var(--brick);padding:8px 14px;margin:14px 0;font-weight:600}
.care{background:var(--slate);border-left:6px solid var(--brick);padding:6px 16px;margin:14px 0;font-size:var(--small-size);break-inside:avoid}
.care h2{border:0;margin:0;padding:0;color:var(--ink);font-size:var(--text-size)}
.care ul{margin:2px 0;columns:2;column-gap:36px}
.care li{break-inside:avoid}
.parts{display:grid;grid-template-columns:repeat(4,1fr);gap:12px;margin:8px 0}
.parts div{background:var(--slate);border:1px solid var(--line);border-top:4px solid var(--harbour);padding:8px 14px;break-inside:avoid}
.parts dt{font-weight:600}
.parts dd{margin:0}
.parts .value{font-size:var(--mark-size);line-height:1.2;font-weight:700}
.parts .value span{font-size:var(--small-size);font-weight:400;color:var(--faint)}
.parts .words{font-size:var(--heading-size);line-height:1.25;font-weight:700;padding:6px 0}
.parts .about{font-size:var(--small-size);color:var(--faint)}
.parts .failed{border-top:8px solid var(--brick);padding-top:4px}
.minute{border:2px solid var(--harbour);padding:2px 16px 8px;margin:16px 0;break-inside:avoid}
.minute h2{border:0;margin:6px 0 2px}
.minute dl{margin:0}
.minute div{display:grid;grid-template-columns:180px 1fr;gap:12px;padding:2px 0}
.minute dt{font-weight:600}
.minute dd{margin:0}
.teaches{columns:2;column-gap:36px}
.fine{font-size:var(--small-size);color:var(--faint)}
code{font-family:ui-monospace,"DejaVu Sans Mono",monospace;font-size:.94em;overflow-wrap:anywhere}
pre{background:var(--slate);padding:6px 10px;margin:6px 0;white-space:pre-wrap}
.log{columns:3;column-gap:28px;font-size:var(--small-size);list-style:none;padding:0;margin:6px 0}
.log li{break-inside:avoid;display:flex;gap:8px}
.log time{flex:0 0 54px;text-align:right;font-weight:600;font-variant-numeric:tabular-nums}
.pen,.whole{break-inside:avoid}
.pen .rule{border-bottom:1px solid var(--faint);height:30px}
.pen .names{display:grid;grid-template-columns:2fr 1fr 2fr;gap:24px;margin-top:36px}
.pen .names span{border-top:1px solid var(--ink);font-size:var(--small-size);padding-top:2px}
footer{margin-top:26px;padding-bottom:20px;font-size:var(--small-size);color:var(--faint)}
footer p{border-top:1px solid var(--line);padding-top:8px}
@media screen and (max-width:760px){.parts{grid-template-columns:repeat(2,1fr)}.care ul,.log{columns:1}}
"#;

const TABLES: &str = r#"
table{border-collapse:collapse;width:100%;font-size:var(--small-size);margin:6px 0}
caption{text-align:left;color:var(--faint);padding-bottom:4px}
th,td{text-align:left;vertical-align:top;padding:4px 10px 4px 0;border-bottom:1px solid var(--line)}
th:first-child,td:first-child{padding-left:8px}
thead th{background:var(--slate);border-bottom:2px solid var(--faint)}
td.n,th.n{text-align:right;white-space:nowrap;font-variant-numeric:tabular-nums}
tbody th{font-weight:600}
.found{table-layout:fixed}
.found th:nth-child(1){width:44px}
.found th:nth-child(2){width:66px}
.found th:nth-child(3){width:92px}
.found th:nth-child(n+5){width:132px}
.found th:nth-child(7){width:116px}
.short{break-inside:avoid}
.sources td:last-child{width:190px}
.one{break-inside:avoid;border-bottom:2px solid var(--faint)}
.one td{border-bottom:0}
.one:target{outline:3px solid var(--harbour)}
.one b{display:block;font-size:var(--text-size)}
.one .more td{padding-top:0;padding-bottom:8px}
.one .more p{margin:2px 0}
.one .weight{display:inline-block;padding:0 7px;border:2px solid currentColor;font-weight:700;white-space:nowrap}
.one .weight.critical{color:var(--foam);background:var(--brick);border-color:var(--brick);-webkit-print-color-adjust:exact;print-color-adjust:exact}
.one .weight.major{color:var(--ochre)}
.one .weight.minor{color:var(--dusk);border-style:dotted}
"#;

const CHART: &str = r#"
figure{margin:8px 0;max-width:var(--chart-size)}
figure svg{display:block;width:100%;height:auto}
.chart text{font-size:var(--chart-text-size);fill:var(--ink)}
.chart .panel{font-weight:700}
.chart .frame{fill:none;stroke:var(--faint);stroke-width:.8}
.chart .grid,.chart .lane{stroke:var(--line);stroke-width:.5}
.band{fill:var(--deep);fill-opacity:.28;stroke:var(--deep);stroke-opacity:.5;stroke-width:.4}
.curve{fill:none;stroke-width:1.3;stroke-linejoin:round}
.first{stroke:var(--deep)}
.second{stroke:var(--rust);stroke-dasharray:6 3}
.third{stroke:var(--moss);stroke-dasharray:1.4 2.2;stroke-width:1.6}
.chart .span{fill:var(--faint);stroke:var(--ink);stroke-width:.5}
.chart .phase{fill:var(--slate);stroke:var(--faint);stroke-width:.6}
.chart .phase-name{text-anchor:middle}
.table{fill:var(--moss);fill-opacity:.14;stroke:none}
.table-edge{fill:none;stroke:var(--moss);stroke-width:.8}
.wanted{stroke:var(--ink);stroke-width:.8;stroke-dasharray:1 3;fill:none}
.clean{fill:var(--clean);stroke:var(--faint)}
.partly{fill:var(--partly);stroke:var(--faint)}
.fouled{fill:var(--fouled);stroke:var(--faint)}
.stripes{stroke:var(--stripe);stroke-width:4;fill:none}
.halo{fill:none;stroke:var(--foam);stroke-width:3.4}
.worst{fill:none;stroke:var(--ink);stroke-width:1.5;stroke-dasharray:3 1.5}
.glyph{fill:var(--ink);stroke:var(--ink);stroke-width:1;stroke-linejoin:round}
.glyph.open{fill:var(--paper)}
.chart .drop{stroke-width:.8;stroke-dasharray:2 3}
.chart .lead{stroke:var(--faint);stroke-width:.6;fill:none}
.badge{stroke-width:1.4;fill:var(--paper)}
.drop.critical,.badge.critical{stroke:var(--brick)}
.drop.major,.badge.major{stroke:var(--ochre)}
.drop.minor,.badge.minor{stroke:var(--dusk)}
.badge.critical{fill:var(--brick)}
.chart .number{text-anchor:middle;font-weight:700}
.chart .number.critical{fill:var(--foam)}
.key{display:flex;flex-wrap:wrap;gap:3px 18px;font-size:var(--small-size);list-style:none;padding:0;margin:6px 0}
.key li{display:flex;align-items:center;gap:6px}
.key svg{flex:none}
"#;

const PRINT: &str = r#"
@page{size:A4;margin:13mm}
@media print{
:root{--text-size:12px;--small-size:10.5px;--heading-size:15px;--title-size:21px;--mark-size:24px;--paper:#fff}
.wide{padding:0;max-width:none}
header{background:none;color:var(--ink);border-bottom:3px double var(--ink)}
header .wide{padding:0 0 6px}
h2{margin-top:16px}
figure,tr,pre,.key{break-inside:avoid}
figure,caption,thead{break-after:avoid}
.log{columns:3;column-gap:14px}
tbody:first-of-type tr:first-child{break-before:avoid}
.log time{flex-basis:44px}
.found th:nth-child(3){width:76px}
.found th:nth-child(n+5){width:92px}
.found th:nth-child(7){width:94px}
.sources td:last-child{width:130px}
thead{display:table-header-group}
.pen .rule{height:26px}
}
"#;
