"""How the job card looks in a browser, over what the proof looks like: upright pages, boxes, lines to write on."""

from __future__ import annotations

from bladegeom.writers.proof_style import STYLE

CARD_STYLE = (
    STYLE
    + """
.blank{display:inline-block;min-width:5.5rem;height:1.6em;border-bottom:1px solid var(--ink)}
.strong{font-weight:600}
.lines{list-style:none;margin:0 0 1.4rem;padding:0;max-width:56rem}
.lines li{padding:.12rem 0}
tbody th{min-width:4.5rem}
@media (max-width:40rem){
td{text-align:left;padding-left:8.5rem;min-height:1.5em}
td::before{margin-left:-8.5rem;width:8rem;padding-right:.5rem}
.blank{min-width:7rem}
}
@page{size:portrait}
@media print{
header nav{display:none}
section{break-before:page;border-top:0;margin-top:0;padding-top:0}
#order{break-before:auto;margin-top:6mm}
table{break-inside:auto;font-size:8.5pt}
.blank{min-width:16mm}
}
"""
)
"""As in the proof: no url(), no @import."""
