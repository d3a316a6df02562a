/** How a report looks as a page, in light and dark, on a phone and on paper. Colours and steps are those of the program's window. */
export const PAGE_STYLE = `
:root{color-scheme:light;--ground:#f3f3f1;--surface:#fff;--line:#d5d5d1;--strong:#7f807d;--ink:#17181a;--soft:#46484c;--mark:#ffb300;--on-mark:#17181a;--sunken:#e9e9e6}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0;background:var(--ground);color:var(--ink);font:400 15px/1.5 Inter,system-ui,sans-serif;overflow-wrap:anywhere}
.sheet{max-width:62rem;margin:0 auto;padding:32px 24px 64px}
header{padding-bottom:20px;border-bottom:2px solid var(--ink)}
h1{margin:0;font-size:30px;line-height:1.15;font-weight:700}
h2{margin:40px 0 12px;font-size:21px;line-height:1.25;font-weight:600}
p{margin:0 0 10px;max-width:46rem}
.subtitle{margin:8px 0 0;font-size:18px;color:var(--soft)}
.mark{display:inline-block;margin:0 0 14px;padding:3px 10px;border-radius:3px;background:var(--mark);color:var(--on-mark);font-weight:600}
.made{margin:14px 0 0;color:var(--soft);font-size:13px}
nav{margin-top:20px;font-size:13px}
nav ol{margin:0;padding:0;list-style:none;display:flex;flex-wrap:wrap;gap:4px 18px}
a{color:inherit;text-underline-offset:3px;text-decoration-color:var(--strong)}
a:focus-visible,.scroll:focus-visible{outline:3px solid var(--ink);outline-offset:2px}
ul{margin:0 0 12px;padding-left:20px;max-width:46rem}
li{margin-bottom:5px}
.caution{margin:0 0 12px;padding:10px 14px;border-left:5px solid var(--mark);background:var(--surface);max-width:46rem}
.facts{margin:0 0 16px;border-top:1px solid var(--line)}
.facts div{display:grid;grid-template-columns:minmax(10rem,16rem) 1fr;gap:4px 20px;padding:6px 0;border-bottom:1px solid var(--line)}
.facts dt{color:var(--soft)}
.facts dd{margin:0}
.scroll{overflow-x:auto;margin:0 0 18px;background:var(--surface);border:1px solid var(--line);border-radius:6px}
table{width:100%;border-collapse:collapse;font-size:13px;line-height:1.4;overflow-wrap:normal}
caption{text-align:left;padding:10px 12px;color:var(--soft)}
th,td{padding:6px 12px;text-align:left;vertical-align:top;border-top:1px solid var(--line);min-width:3.5rem;max-width:26rem;overflow-wrap:anywhere}
th{font-weight:600}
tbody th{font-weight:400}
thead th{border-top:1px solid var(--strong);border-bottom:1px solid var(--strong)}
.end{font-variant-numeric:tabular-nums;text-align:right;white-space:nowrap;overflow-wrap:normal}
thead .end{white-space:normal}
figure{margin:0 0 18px}
figure svg{display:block;width:100%;height:auto;border:1px solid var(--line);border-radius:6px}
figcaption{margin-top:8px;color:var(--soft);font-size:13px;max-width:46rem}
.dark{display:none}
.trail{margin:0 0 12px;padding:0;list-style:none;border-top:1px solid var(--line)}
.trail li{display:grid;grid-template-columns:minmax(10rem,16rem) 1fr;gap:4px 20px;margin:0;padding:6px 0;border-bottom:1px solid var(--line)}
.trail time{color:var(--soft)}
footer{margin-top:48px;padding-top:14px;border-top:1px solid var(--line);color:var(--soft);font-size:13px}
@media (max-width:40rem){.sheet{padding:20px 16px 48px}.facts div,.trail li{grid-template-columns:1fr}h1{font-size:25px}figure>div{overflow-x:auto}figure svg{min-width:44rem}}
@media screen and (prefers-color-scheme:dark){
:root{color-scheme:dark;--ground:#121416;--surface:#1a1d20;--line:#31363a;--strong:#858c93;--ink:#f1f2f2;--soft:#b9bec3;--sunken:#0b0d0e}
.light{display:none}
.dark{display:block}
}
@media print{
@page{size:A4;margin:16mm 14mm 18mm}
:root{--ground:#fff;--line:#bbb}
body{font-size:9.5pt;line-height:1.4}
.sheet{max-width:none;padding:0}
nav{display:none}
h1{font-size:20pt}
h2{font-size:13pt;margin:18pt 0 6pt;break-after:avoid}
p,ul,.caution{max-width:none}
.scroll{overflow:visible;border:0;border-radius:0}
table{font-size:7.8pt}
th,td{padding:2.5pt 5pt;min-width:0}
caption{padding:4pt 5pt;break-after:avoid}
thead{display:table-header-group}
tr,.facts div,.trail li,.caution{break-inside:avoid}
figure{break-inside:avoid}
.mark,.caution{-webkit-print-color-adjust:exact;print-color-adjust:exact}
}
`;
