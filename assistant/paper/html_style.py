"""How the marking sheet looks in a browser: large by day, dark by night where the device says so, black on white on paper."""

from __future__ import annotations

from assistant import colours

STYLE = f"""
:root {{ color-scheme: light dark; --ink: {colours.INK}; --paper: {colours.PAPER}; --faint: {colours.FAINT};
  --post: {colours.POST}; --rail: {colours.RAIL}; --picket: {colours.PICKET}; --warning: {colours.WARNING};
  --warning-ink: {colours.WARNING_INK}; }}
@media screen and (prefers-color-scheme: dark) {{ :root {{ --ink: {colours.NIGHT_INK}; --paper: {colours.NIGHT};
  --faint: {colours.NIGHT_FAINT}; --post: {colours.NIGHT_POST}; --rail: {colours.NIGHT_RAIL}; --picket: {colours.NIGHT_PICKET}; }} }}
* {{ box-sizing: border-box; }}
body {{ margin: 0 auto; padding: .75rem 1rem; max-width: 60rem; color: var(--ink); background: var(--paper);
  font: 1.125rem/1.4 system-ui, "Segoe UI", Roboto, "DejaVu Sans", sans-serif; overflow-wrap: anywhere; }}
h1 {{ font-size: 1.6rem; margin: 0; line-height: 1.15; }}
h2 {{ font-size: 1.7rem; margin: 1rem 0 .25rem; border-top: 4px solid var(--ink); padding-top: .5rem; line-height: 1.2; }}
h3 {{ font-size: 1.25rem; margin: 1.25rem 0 0; }}
p {{ margin: .25rem 0; }}
.headline {{ font-size: 1.35rem; font-weight: 700; }}
header p {{ margin: 0; font-size: .875rem; line-height: 1.25; }}
dl {{ display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 20rem), 1fr)); gap: .15rem 1.5rem;
  margin: .5rem 0; }}
dl div {{ display: flex; justify-content: space-between; gap: 1rem; border-bottom: 1px solid var(--ink); }}
dt {{ overflow-wrap: normal; }}
dd {{ margin: 0; font-weight: 700; text-align: right; }}
dl.plain {{ display: block; margin: .25rem 0; font-size: .8125rem; line-height: 1.25; }}
dl.plain div {{ display: block; border: 0; }}
dl.plain dt, dl.plain dd {{ display: inline; text-align: left; }}
dl.plain dt::after {{ content: ": "; }}
dl.particulars dd {{ font-weight: 400; }}
dl.particulars div {{ display: inline; }}
dl.particulars div + div::before {{ content: " · "; }}
.cautions {{ border: 2px solid var(--ink); padding: .15rem .5rem; }}
.cautions dt {{ font-weight: 700; }}
.cautions dd {{ font-weight: 400; }}
.warning {{ color: var(--warning-ink); background: var(--warning); padding: .6rem .9rem; border-radius: .4rem;
  font-weight: 700; margin: .5rem 0; }}
.warning::before {{ content: "! "; }}
.moment {{ white-space: nowrap; }}
ul {{ margin: .25rem 0; padding-left: 1.2em; }}
figure {{ margin: .5rem 0 0; }}
figcaption {{ font-size: 1rem; }}
svg {{ display: block; width: 100%; height: auto; max-height: 32rem; }}
.run {{ overflow-x: auto; }}
.run svg {{ max-width: none; max-height: none; width: calc(var(--across) * 12px); }}
.run a:focus {{ outline: 3px solid var(--ink); }}
.lines, .wide {{ display: none; }}
@media (min-width: 40rem) {{
  .wide {{ display: block; }}
  .narrow {{ display: none; }}
  .run svg {{ width: calc(var(--across) * 15px); }}
  dl.plain, .run + figcaption {{ font-size: 1rem; }}
  h1 {{ font-size: 1.9rem; }}
}}
.ground {{ fill: none; stroke: var(--ink); stroke-width: 2; vector-effect: non-scaling-stroke; }}
.post {{ fill: var(--post); }}
.rail {{ fill: var(--rail); stroke: var(--ink); stroke-width: .5; vector-effect: non-scaling-stroke; }}
.picket {{ fill: var(--picket); stroke: var(--ink); stroke-width: 1; vector-effect: non-scaling-stroke; }}
.lined {{ fill: none; stroke: var(--ink); stroke-width: 1; vector-effect: non-scaling-stroke; }}
.touched {{ fill: transparent; }}
svg text {{ fill: var(--ink); paint-order: stroke; stroke: var(--paper); stroke-width: .25em; stroke-linejoin: round; }}
svg .heavy {{ font-weight: 700; }}
ol.marks {{ list-style: none; margin: .5rem 0 0; padding: 0; columns: var(--column); column-gap: .75rem; }}
ol.marks li {{ display: flex; align-items: center; gap: .5rem; min-height: 3.25rem; padding: 0 .5rem;
  border-bottom: 1px solid var(--ink); break-inside: avoid; }}
ol.marks li:nth-child(even) {{ background: var(--faint); }}
ol.marks .picket-number {{ min-width: 1.6em; font-size: 1rem; white-space: nowrap; }}
ol.marks .mark {{ flex: 1; font-size: 2rem; font-weight: 700; text-align: right;
  font-variant-numeric: tabular-nums lining-nums; white-space: nowrap; }}
ol.marks.long .mark {{ font-size: clamp(1.05rem, 5.2vw, 1.8rem); }}
ol.marks .done {{ width: 1.4rem; height: 1.4rem; border: 2px solid var(--ink); flex: none; }}
.table {{ overflow-x: auto; }}
table {{ border-collapse: collapse; width: 100%; }}
th, td {{ text-align: left; vertical-align: top; border-bottom: 1px solid var(--ink); padding: .3rem .5rem .3rem 0; }}
th {{ overflow-wrap: normal; white-space: nowrap; }}
.tick {{ width: 3.5em; }}
td .done {{ display: inline-block; width: 1.1rem; height: 1.1rem; border: 2px solid var(--ink); }}
@page {{ margin: 12mm; }}
@media print {{
  body {{ padding: 0; max-width: none; font-size: 11pt; }}
  .run {{ display: none; }}
  .lines, .wide {{ display: block; }}
  .narrow {{ display: none; }}
  .lines div {{ break-inside: avoid; margin: 0 auto; }}
  .lines svg {{ max-height: none; }}
  h1 {{ font-size: 20pt; }}
  h2 {{ font-size: 16pt; margin-top: 0; break-after: avoid; }}
  h3 {{ font-size: 11.5pt; margin-top: 2mm; }}
  .headline {{ font-size: 13pt; }}
  figcaption {{ font-size: 8pt; }}
  dl.plain {{ font-size: 10.5pt; }}
  .bay {{ font-size: 10pt; }}
  .bay dl {{ grid-template-columns: 1fr 1fr; }}
  .warning {{ color: {colours.INK}; background: none; border: 2px solid {colours.INK}; padding: 1mm 2mm; margin: 1mm 0; }}
  li {{ print-color-adjust: exact; -webkit-print-color-adjust: exact; }}
  .picket, .rail, .post {{ print-color-adjust: exact; -webkit-print-color-adjust: exact; }}
  h3, .headline, .how {{ break-after: avoid; }}
  .bay, figure, dl, .cautions, .note, tr {{ break-inside: avoid; }}
  .bay {{ padding-top: 3mm; }}
  .bay svg {{ max-height: var(--drawing); }}
  .own-page {{ break-before: page; }}
  .note, .table, .own-page {{ font-size: 9.5pt; }}
  .note h2 {{ font-size: 12pt; border: 0; padding: 0; margin-top: 2mm; }}
  ol.marks, ol.marks.long {{ columns: var(--columns); column-gap: 2mm; margin-top: 1mm; }}
  ol.marks .mark, ol.marks.long .mark {{ font-size: var(--mark); line-height: 1; }}
  ol.marks li {{ min-height: 0; height: var(--row); padding: 0 .5mm; gap: 1mm; }}
  ol.marks .picket-number {{ font-size: min(9pt, var(--mark)); min-width: 1.2em; }}
  ol.marks .done {{ width: min(4.5mm, calc(var(--row) - 1mm)); height: min(4.5mm, calc(var(--row) - 1mm)); border-width: 1.5px; }}
}}
"""
