"""How the page of a lot looks, and the few lines of script that filter its cards; without the
script all are shown."""

from __future__ import annotations

# Contrast of all text to its ground is 4.5:1 or more: WCAG 2.2, 1.4.3.
STYLE = """
:root{color-scheme:light dark;--ground:#fff;--ink:#1b1d22;--pale:#565b66;--line:#c9ccd3;--link:#0b4fa3;--bar:#2f6fb5;
--rest:#e3e6ec}
@media (prefers-color-scheme:dark){:root{--ground:#15171b;--ink:#e9ebef;--pale:#a9afba;--line:#3c414b;--link:#8fc0ff;
--bar:#6fa8e6;--rest:#343a45}}
*{box-sizing:border-box}
body{margin:0 auto;max-width:84rem;padding:1rem;background:var(--ground);color:var(--ink);
font:1rem/1.45 system-ui,sans-serif}
h1{font-size:1.7rem;margin:.2rem 0}h2{font-size:1.3rem;margin:2rem 0 .6rem}h3{font-size:1rem;margin:0 0 .3rem}
a{color:var(--link)}.skip{position:absolute;left:-99rem}.skip:focus{left:1rem}
h1,h2,h3,p,dd,td,th{overflow-wrap:anywhere}
nav ul{display:flex;flex-wrap:wrap;gap:.3rem 1.2rem;list-style:none;margin:.5rem 0;padding:0}
table{border-collapse:collapse}caption{text-align:left;color:var(--pale);padding-bottom:.3rem}
th,td{border-bottom:1px solid var(--line);padding:.3rem .8rem .3rem 0;text-align:left;vertical-align:top}
td.n,th.n{text-align:right;font-variant-numeric:tabular-nums;overflow-wrap:normal}
thead th,b{overflow-wrap:normal}tbody th{font-weight:400;min-width:8rem}
.words{white-space:nowrap}.counts{display:flex;flex-wrap:wrap;gap:.4rem 2rem;margin:0}
.counts dd{font-size:1.5rem;font-variant-numeric:tabular-nums}
.both{display:flex;flex-wrap:wrap;gap:1rem 4rem;align-items:flex-start}.both table{flex:0 1 34rem}
svg{display:block;flex:none;max-width:100%;height:auto;font:13px system-ui,sans-serif}
svg text{fill:var(--ink)}.bar{fill:var(--bar)}.rest{fill:var(--rest)}
.cards{display:grid;grid-template-columns:repeat(auto-fill,minmax(19rem,1fr));gap:1rem;list-style:none;margin:0;
padding:0}
.cards li{border:1px solid var(--line);border-radius:.4rem;padding:.7rem;break-inside:avoid}
.cards li[hidden]{display:none}
.sides{display:flex;gap:.5rem;align-items:flex-start}.sides>*{width:calc(50% - .25rem);height:auto;margin:0}
.none{border:1px dashed var(--pale);aspect-ratio:5/7;display:grid;place-content:center;color:var(--pale)}
li dl{display:grid;grid-template-columns:minmax(min-content,auto) 1fr;gap:.1rem .7rem;
margin:.5rem 0 0}dt{color:var(--pale)}dd{margin:0}
input{font:inherit;color:inherit;background:var(--ground);border:1px solid var(--pale);border-radius:.3rem;
padding:.3rem .5rem;min-width:16rem;max-width:100%}
footer{margin-top:2rem;border-top:1px solid var(--line);color:var(--pale)}
@page{margin:12mm}
@media print{:root{color-scheme:light;--ground:#fff;--ink:#000;--pale:#444;--line:#999;--link:#000;--bar:#444;
--rest:#ddd}
body{max-width:none;padding:0;font-size:8pt;line-height:1.3}h3{font-size:8.5pt}h2{margin-top:6mm}tr{break-inside:avoid}nav,form,.skip{display:none}
.cards{grid-template-columns:repeat(3,1fr);gap:3mm}svg{print-color-adjust:exact;-webkit-print-color-adjust:exact}
h2{break-after:avoid}.cards li{padding:2mm}a{text-decoration:none}}
"""

SCRIPT = """
const form=document.getElementById("filter"),box=document.getElementById("words"),said=document.getElementById("said");
const plain=text=>text.normalize("NFKD").replace(/\\p{M}/gu,"").toLowerCase();
const cards=[...document.querySelectorAll(".cards li")].map(e=>[e,plain(e.textContent)]);
form.hidden=false;form.addEventListener("submit",e=>e.preventDefault());
box.addEventListener("input",()=>{const words=plain(box.value).split(/\\s+/);let n=0;
for(const [e,text] of cards){e.hidden=!words.every(w=>text.includes(w));n+=!e.hidden}
said.textContent=n+" of "+cards.length+" cards shown"});
"""
