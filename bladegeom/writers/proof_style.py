"""How the proof looks: on a wide screen, on a phone, in the dark, and on paper. System fonts alone."""

from __future__ import annotations

STYLE = """
:root{color-scheme:light dark;--paper:#fbfaf6;--card:#fff;--ink:#1d1c1a;--soft:#5b5852;--rule:#d9d4c8;--accent:#2a5063;
--faint:#6f6f6f;--wood:#eadfce;--metal:#c3c9cc;--error:#9c1b1b;--warning:#7c5200;--note:#2a5063;--glow:#fff1bf}
@media (prefers-color-scheme:dark){:root{--paper:#17181a;--card:#1e2022;--ink:#ebe8e1;--soft:#b0aca3;--rule:#3b3d40;
--accent:#a5c8d8;--faint:#9a9a9a;--wood:#3d342a;--metal:#5d666b;--error:#ff9d92;--warning:#f1c271;--note:#a5c8d8;
--glow:#4a4124}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);font:1rem/1.5 system-ui,-apple-system,"Segoe UI",Roboto,
"Liberation Sans",sans-serif;overflow-wrap:break-word}
header,main,footer{max-width:74rem;margin:0 auto;padding:0 clamp(1rem,3vw,2.5rem)}
h1,h2{font-family:ui-serif,"Iowan Old Style",Palatino,"Book Antiqua","Liberation Serif",Georgia,serif;font-weight:600;
line-height:1.15;text-wrap:balance}
h1{font-size:clamp(1.9rem,5vw,3rem);margin:0;letter-spacing:-.01em}
h2{font-size:1.45rem;margin:0 0 .9rem}
h3{font-size:1rem;margin:0 0 .2rem;line-height:1.35}
a{color:var(--accent)}
:focus-visible{outline:3px solid var(--accent);outline-offset:2px}
header{padding-top:clamp(1.25rem,4vw,2.75rem)}
.kicker{margin:0 0 .4rem;color:var(--soft)}
.kicker b{color:var(--ink);font-variant-numeric:tabular-nums}
.called{margin:.5rem 0 0;color:var(--soft);font-size:.9rem}
.state{margin:1.25rem 0 0;padding:.7rem .9rem;border:1px solid var(--rule);border-left:6px solid var(--note);
background:var(--card)}
.state.error,.state.warning{border-width:2px 2px 2px 10px}
.state.error{border-color:var(--error)}
.state.warning{border-color:var(--warning)}
.state b{letter-spacing:.01em}
.state p{margin:0}
.state p+p{margin-top:.35rem}
.facts{margin:1.5rem 0 0}
.facts dl{display:grid;grid-template-columns:repeat(auto-fit,minmax(9.5rem,1fr));gap:0 1.5rem;margin:0;
border-top:2px solid var(--ink)}
.facts dl div{display:block;border-bottom:1px solid var(--rule);padding:.55rem 0 .6rem}
.facts small{display:block;font-weight:400;font-size:.85rem;color:var(--soft)}
.facts dd{font-size:1.06rem;font-weight:600;text-align:left}
nav ul{list-style:none;margin:1.1rem 0 0;padding:0;display:flex;flex-wrap:wrap;gap:.2rem 1.1rem;font-size:.94rem}
nav a{display:inline-block;padding:.3rem 0}
section{margin:2.6rem 0 0;padding:1.1rem 0 0;border-top:1px solid var(--rule)}
dl{margin:0 0 1.2rem}
dl div{display:flex;justify-content:space-between;gap:1rem;border-bottom:1px solid var(--rule);padding:.32rem 0}
dt{color:var(--soft)}
dd{margin:0;text-align:right;font-variant-numeric:tabular-nums}
.q{white-space:nowrap}
ul{padding-left:1.15rem}
.numbers{column-width:31rem;column-gap:3rem}
.numbers>*{break-inside:avoid}
table{width:100%;border-collapse:collapse;margin:0 0 1.6rem;font-size:.92rem;font-variant-numeric:tabular-nums}
caption{text-align:left;font-weight:600;padding:0 0 .35rem;font-size:1rem}
th,td{text-align:left;vertical-align:top;padding:.36rem .9rem .36rem 0;border-bottom:1px solid var(--rule)}
thead th{color:var(--soft);font-weight:500;border-bottom:1.5px solid var(--ink)}
tbody th{font-weight:600}
.controls{display:flex;flex-wrap:wrap;gap:.9rem 2.5rem;margin:0 0 .9rem}
fieldset{border:0;margin:0;padding:0;display:flex;flex-wrap:wrap;gap:.15rem 1.15rem;min-width:0}
legend{float:left;padding:0;margin-right:1.15rem;color:var(--soft);line-height:2}
label{display:inline-flex;align-items:center;gap:.4rem;line-height:2;cursor:pointer}
input{accent-color:var(--accent);width:1.05rem;height:1.05rem;margin:0}
.scroll{overflow-x:auto;background:var(--card);border:1px solid var(--rule)}
.scroll svg{display:block;max-width:100%;height:auto;margin:0 auto}
.sheet svg{width:100%}
#side:has(#size-true:checked) .sheet svg{width:var(--across);max-width:none}
#side:has(#size-double:checked) .sheet svg{width:calc(2*var(--across));max-width:none}
.piece{margin:0 0 .8rem}
@media screen{.piece .name{display:none}}
.print-words{color:var(--soft);font-size:.9rem;max-width:56rem}
figure{margin:0 0 1.8rem;break-inside:avoid}
figcaption{margin-top:.5rem;color:var(--soft);font-size:.9rem;max-width:56rem}
figcaption b{color:var(--ink)}
svg path,svg circle{stroke:var(--ink)}
svg text{fill:var(--ink)}
svg [fill="#000000"]{fill:var(--ink)}
svg [stroke="#737373"],svg [stroke="#595959"]{stroke:var(--faint)}
svg [stroke="#e0e0e0"]{stroke:none;fill:var(--wood)}
svg [stroke="#b8b8b8"]{stroke:none;fill:var(--metal)}
.mark path,.mark circle{stroke:currentColor}
.mark text,.mark [fill="#000000"]{fill:currentColor}
.mark:hover [stroke-width="0.35"],.mark:target [stroke-width="0.35"]{fill:var(--glow);stroke-width:.8}
.error{color:var(--error)}
.warning{color:var(--warning)}
.note{color:var(--note)}
.state.error,.state.warning,.state.note{color:var(--ink)}
.findings{list-style:none;margin:0;padding:0;display:grid;gap:0 3rem;
grid-template-columns:repeat(auto-fit,minmax(min(100%,28rem),1fr))}
.findings li{border-top:1px solid var(--rule);padding:.75rem 0 .9rem;break-inside:avoid}
.findings li:target{background:var(--glow);box-shadow:0 0 0 .6rem var(--glow)}
.findings p{margin:0 0 .25rem;max-width:44rem}
.findings .held{color:var(--soft);font-size:.9rem}
.shape{display:inline-block;min-width:1.5em}
.cautions li{margin-bottom:.3rem}
footer{padding-bottom:3rem;margin-top:2.5rem;color:var(--soft);font-size:.9rem}
footer p{border-top:1px solid var(--rule);padding-top:.9rem;margin:0}
@media (max-width:40rem){
section{margin-top:2rem}
.controls label{min-height:2.4rem}
table,tbody,tr,th,td,caption{display:block}
thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
tbody tr{padding:.45rem 0;border-bottom:1px solid var(--rule)}
th,td{padding:.12rem 0;border:0}
td{text-align:right}
td::before{content:attr(data-label);color:var(--soft);float:left;padding-right:1rem}
td::after{content:"";display:block;clear:both}
td:empty{display:none}
legend{width:100%}
figure .scroll svg{max-width:none}
.sheet .layer-outline path{stroke-width:.45}
}
@page{size:landscape;margin:10mm}
@media print{
:root{color-scheme:light;--paper:#fff;--card:#fff;--ink:#000;--soft:#333;--rule:#bbb;--accent:#000;--faint:#6f6f6f;
--wood:#eee7dc;--metal:#c9cdd0;--error:#8c1010;--warning:#6b4700;--note:#1d3f50;--glow:#fff}
html{font-size:9.5pt}
header,main,footer{max-width:none;padding:0}
nav,.controls,.screen,footer{display:none}
.print-words{break-inside:avoid;break-after:avoid}
.findings{display:block;column-width:95mm;column-gap:8mm}
section{margin-top:6mm;padding-top:3mm}
h2,h3,caption{break-after:avoid}
tr,table{break-inside:avoid}
.numbers{column-width:95mm;column-gap:8mm}
.scroll{overflow:visible;border:0}
.scroll svg{margin:0;max-width:none}
#side .sheet svg{width:var(--across)}
a{text-decoration:none}
}
"""
"""No url(), no @import: the page asks nobody for anything."""
