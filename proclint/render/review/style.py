"""How the HTML page looks: a page of a work-shop book, in ink on paper or, at night, chalk on slate."""

# Words and shapes carry all meaning; colours only help. Kept as data, so that their contrast can be reckoned (WCAG 2.2, 1.4.3).
LIGHT = {"paper": "#fdfcf8", "ink": "#1b1a17", "faint": "#55524a", "rule": "#8a867b", "grave": "#8c1d10", "field": "#efece3"}
DARK = {"paper": "#1a1b1c", "ink": "#ece9e1", "faint": "#b5b0a4", "rule": "#8f8a7f", "grave": "#ffb4a2", "field": "#2a2b2c"}


def _palette(colours: dict[str, str]) -> str:
    return "".join(f"--{name}:{value};" for name, value in colours.items())


CSS = f"""
:root{{color-scheme:light dark;{_palette(LIGHT)}}}
@media (prefers-color-scheme:dark){{:root{{{_palette(DARK)}}}}}
@media print{{:root{{{_palette(LIGHT)}}}}}
*{{box-sizing:border-box}}
html{{-webkit-text-size-adjust:100%;text-size-adjust:100%}}
body{{margin:0;background:var(--paper);color:var(--ink);font:17px/1.45 Charter,"Bitstream Charter",Cambria,Georgia,serif;
overflow-wrap:break-word}}
main,body>header,body>footer{{max-width:66rem;margin:0 auto;padding:0 16px}}
body>header{{border-bottom:4px double var(--ink);padding-top:20px;padding-bottom:10px}}
body>footer{{border-top:4px double var(--ink);margin-top:48px;padding-bottom:32px}}
h1,h2,h3{{line-height:1.2;margin:0;text-wrap:balance}}
h1{{font-size:26px}}
h2{{font-size:24px}}
h3{{font-size:19px;break-after:avoid}}
p{{margin:8px 0;max-width:48rem}}
a{{color:inherit}}
.leaf{{padding-top:28px}}
.file,.where{{font:15px/1.4 ui-monospace,"DejaVu Sans Mono",Consolas,monospace;color:var(--faint);overflow-wrap:anywhere}}
dl{{margin:12px 0;border-top:1px solid var(--rule)}}
dl>div{{display:grid;grid-template-columns:10rem 1fr;gap:0 12px;border-bottom:1px solid var(--rule);padding:3px 0}}
dt{{color:var(--faint)}}
dd{{margin:0;min-width:0}}
.verdict{{border:3px solid var(--ink);padding:10px 14px;margin:18px 0;font-size:19px;break-inside:avoid}}
.verdict p{{margin:0;max-width:none}}
.verdict p+p{{margin-top:8px;border-top:1px solid var(--rule);padding-top:8px}}
.verdict.blocked{{border-style:double;border-width:9px;border-color:var(--grave)}}
section>h3{{display:flex;gap:10px;align-items:baseline;border-bottom:2px solid var(--ink);padding:26px 0 4px}}
section>h3 b{{background:var(--ink);color:var(--paper);min-width:1.6em;text-align:center;font-weight:400}}
.short{{color:var(--faint);margin-top:4px;break-after:avoid}}
ul{{margin:8px 0;padding-left:1.3em}}
li{{margin:3px 0}}
table{{border-collapse:collapse;width:100%;margin:10px 0;font-size:16px;line-height:1.4}}
caption{{text-align:left;color:var(--faint);padding-bottom:4px}}
thead th{{text-align:left;vertical-align:bottom;border-bottom:1px solid var(--ink);font-weight:400;font-style:italic}}
th,td{{text-align:left;vertical-align:top;padding:5px 12px 5px 0;min-width:6.4rem;overflow-wrap:anywhere}}
tbody tr{{border-bottom:1px solid var(--rule);break-inside:avoid}}
.found{{list-style:none;padding:0}}
.found>li{{border-bottom:1px solid var(--rule);padding:10px 0;break-inside:avoid}}
.found h4{{margin:0;font-size:18px}}
.level{{display:inline-block;border:2px solid var(--ink);padding:0 8px;margin-right:8px;font-size:16px}}
.level.error{{border-color:var(--grave);color:var(--grave);border-width:3px}}
.level.note,.level.open{{border-style:dashed}}
.found dl{{border:0;margin:6px 0 0}}
.found dl>div{{border:0;grid-template-columns:5rem 1fr}}
.way{{list-style:none;display:flex;flex-wrap:wrap;gap:4px 0;padding:0;margin:6px 0}}
.way li{{border:1px solid var(--ink);padding:1px 8px;margin:0 14px 0 0;position:relative}}
.way li i{{color:var(--faint)}}
.way li:not(:last-child)::after{{content:"";
position:absolute;left:calc(100% + 2px);top:50%;width:9px;border-top:1px solid var(--ink)}}
.way .left{{border-style:dotted}}
.chart{{list-style:none;padding:0;margin:12px 0}}
.chart>li{{position:relative;display:grid;break-inside:avoid;
grid-template-columns:2.2rem minmax(0,42rem) auto;justify-content:start;margin:0}}
.number{{position:relative;text-align:center;padding-top:6px;font-variant-numeric:tabular-nums}}
.step{{border:1px solid var(--ink);margin-bottom:14px;padding:5px 10px}}
.fallback .step{{border-style:dashed}}
.step p{{margin:2px 0}}
.step ul{{margin:4px 0 0;padding:0;list-style:none}}
.step .aside{{color:var(--faint)}}
.at{{display:inline-block;white-space:nowrap;border:2px solid var(--grave);color:var(--grave);padding:0 6px;margin:1px 0 1px 6px}}
.lanes{{position:relative;min-height:40px}}
svg.lines{{position:absolute;top:0;left:0;height:100%;overflow:visible}}
svg.onward{{position:absolute;left:0;top:34px;width:100%;height:calc(100% - 36px);overflow:visible}}
svg line,svg path{{stroke:var(--ink);stroke-width:1.5;fill:none}}
svg .up{{stroke-dasharray:5 4}}
svg .head{{fill:var(--ink);stroke:none}}
svg.bar{{display:block;width:100%;max-width:48rem;background:var(--field);overflow:visible}}
svg.bar rect{{stroke:var(--ink);stroke-width:1;fill:var(--paper)}}
svg.bar rect.given{{stroke-dasharray:4 3;fill:var(--field)}}
svg.bar text{{font:15px ui-monospace,"DejaVu Sans Mono",Consolas,monospace;fill:var(--ink)}}
svg.bar .limit{{stroke:var(--grave);stroke-width:3}}
.window{{margin:14px 0;break-inside:avoid}}
.window p{{max-width:none}}
.window ul{{columns:2;max-width:48rem;padding:0;list-style:none}}
.stops dt{{color:var(--ink);font-weight:700}}
@media (max-width:46rem){{
h1,h2{{font-size:22px}}
dl>div{{grid-template-columns:1fr}}
.found dl>div{{grid-template-columns:4.2rem 1fr}}
.chart>li{{grid-template-columns:1.7rem minmax(0,42rem) auto}}
.step{{padding:4px 7px}}
table,tbody,tr,td,tbody th,caption{{display:block;width:100%}}
thead{{display:none}}
tbody tr{{padding:8px 0}}
td,tbody th{{padding:1px 0;min-width:0}}
.window ul{{columns:1}}
tbody th{{font-size:17px}}
td::before{{content:attr(data-label) ": ";font-style:italic;color:var(--faint)}}
}}
@media print{{
body{{font-size:11.5pt}}
main,body>header,body>footer{{max-width:none;padding-left:0;padding-right:0}}
table{{font-size:11pt}}
.leaf+.leaf{{break-before:page}}
section>h3 b{{background:none;color:var(--ink);border:1px solid var(--ink)}}
}}
@page{{margin:15mm}}
"""
