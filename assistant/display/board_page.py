"""The glance page itself: one mark as large as the screen, read from across the bay.

Crosses the border: HTML text out, and the policy under which its own script and style run and nothing else.  Its script puts texts into the
page as text, never as HTML, and says so at once when the connection is gone, for an old mark must not be taken for the present one.
"""

from __future__ import annotations

from base64 import b64encode
from hashlib import sha256

from assistant import colours
from assistant.display.view import WHOLE

POST = 30
"""Width of a post in the picture of a rail, in the same parts."""
TALL = 150
"""Height of that picture."""

STYLE = f"""
* {{ box-sizing: border-box; margin: 0; }}
html, body {{ height: 100%; }}
:root {{ color-scheme: light dark; --ink: {colours.INK}; --paper: {colours.PAPER}; }}
@media (prefers-color-scheme: dark) {{ :root {{ --ink: {colours.PAPER}; --paper: {colours.INK}; }} }}
body {{ display: flex; flex-direction: column; overflow: hidden; color: var(--ink); background: var(--paper);
  font: 700 clamp(1.1rem, 5vmin, 2.6rem)/1.2 system-ui, "Segoe UI", Roboto, "DejaVu Sans", sans-serif; overflow-wrap: anywhere; }}
#glance {{ flex: 1; min-height: 0; display: flex; flex-direction: column; padding: 2vmin; gap: 1.2vmin; }}
h1 {{ font-size: 1em; }}
.row {{ display: flex; flex-wrap: wrap; align-items: baseline; justify-content: space-between; gap: 0 3vmin; }}
body.idle h1 {{ font-size: clamp(2rem, 14vmin, 8rem); }}
#title, #status {{ font-weight: 400; }}
#mark {{ flex: 1; min-height: 0; position: relative; overflow: hidden; display: flex; flex-direction: column; justify-content: center; }}
#figure {{ position: relative; }}
#value {{ position: absolute; left: 50%; top: 50%; font-size: 100px; line-height: .86; white-space: nowrap; text-align: center;
  word-spacing: -.16em; font-variant-numeric: tabular-nums lining-nums; }}
#unit {{ font-size: clamp(1.1rem, 6vmin, 3rem); line-height: 1; text-align: center; }}
.line {{ display: block; }}
#value .unit {{ font-size: .4em; }}
.fraction {{ display: inline-flex; flex-direction: column; align-items: center; vertical-align: middle; margin-left: .1em;
  font-size: .68em; line-height: 1; }}
#value .fraction {{ font-size: .5em; line-height: .84; vertical-align: .66em; margin-left: 0; }}
.bar {{ align-self: stretch; height: .09em; margin: .03em 0; background: var(--ink); overflow: hidden; line-height: 9; }}
#next {{ font-size: clamp(1.5rem, min(10vw, 7vh), 5rem); }}
#rail {{ display: block; width: 100%; height: clamp(2.5rem, 11vh, 8rem); }}
#rail .post, #rail .done, #rail .now, #rail .arrow {{ fill: var(--ink); }}
#rail .rail {{ stroke: var(--ink); stroke-width: 3; vector-effect: non-scaling-stroke; }}
#rail .picket {{ stroke: var(--ink); stroke-width: 1.5; vector-effect: non-scaling-stroke; }}
#rail .ahead {{ fill: var(--paper); }}
#lost {{ padding: 1.5vmin 2vmin; text-align: center; color: {colours.WARNING_INK}; background: {colours.WARNING}; }}
body.lost #mark::after {{ content: ""; position: absolute; inset: 0;
  background: linear-gradient(to top right, transparent calc(50% - 1.6vmin),
  var(--paper) calc(50% - 1.6vmin) calc(50% - 1.1vmin), var(--ink) calc(50% - 1.1vmin) calc(50% + 1.1vmin),
  var(--paper) calc(50% + 1.1vmin) calc(50% + 1.6vmin), transparent calc(50% + 1.6vmin)); }}
[hidden] {{ display: none !important; }}
"""
"""How the mark looks, on this page and on the phone's."""

SCRIPT = (
    f"""
const POST = {POST}, TALL = {TALL}, WHOLE = {WHOLE};
"""
    + """
const at = id => document.getElementById(id);
const part = (kind, text) => {
  const made = document.createElement('span');
  made.className = kind;
  made.append(...text);
  return made;
};
// A length as a builder writes it: what stands over a bar over what stands under it.  Its text stays the same, for whoever reads it aloud.
const written = text => text.split(/([0-9]+\\/[0-9]+|\\b(?:ft|in)\\b)/).map(piece => {
  if (piece === 'ft' || piece === 'in') return part('unit', [piece]);
  const [over, under] = piece.split('/');
  return /^[0-9]+\\/[0-9]+$/.test(piece) ? part('fraction', [part('over', [over]), part('bar', ['/']), part('under', [under])]) : piece;
});
// Feet stand over inches.
const lines = text => {
  const found = text.match(/^(.* ft) (.*)$/);
  return found ? [part('line', written(found[1])), ' ', part('line', written(found[2]))] : [part('line', written(text))];
};
// As wide as the screen, and a quarter of it high at least: figures are drawn narrower, or wider, than the letters of the page.
const HIGH = 0.25, NARROWEST = 0.38, WIDEST = 2, FIGURES = 0.8;
const fit = () => {
  const value = at('value'), room = at('mark'), box = at('figure');
  if (value.hidden) return;
  const rows = value.querySelectorAll('.line').length, plain = rows === 1 && !value.querySelector('.fraction');
  const wide = value.offsetWidth, tall = plain ? 100 * FIGURES : value.offsetHeight;
  const most = room.clientWidth * 0.99, high = room.clientHeight - at('unit').offsetHeight;
  const least = Math.min(document.body.clientHeight * HIGH * tall / (100 * FIGURES * rows), most / wide * tall / NARROWEST);
  const height = Math.min(high, Math.max(most / wide * tall, least));
  const width = Math.min(most, height / tall * wide * WIDEST);
  box.style.height = `${height}px`;
  value.style.transform = `translate(-50%, -50%) scale(${width / wide}, ${height / tall})`;
};
const drawn = (kind, name, values) => {
  const made = document.createElementNS('http://www.w3.org/2000/svg', kind);
  made.setAttribute('class', name);
  for (const [key, value] of Object.entries(values)) made.setAttribute(key, value);
  return made;
};
const draw = view => {
  const { pickets, now, mark, from_left: fromLeft } = view.picture, rail = at('rail');
  const end = WHOLE + 2 * POST, low = 2 / 3 * TALL;
  rail.replaceChildren();
  rail.style.visibility = pickets.length ? 'visible' : 'hidden';
  rail.setAttribute('viewBox', `0 0 ${end} ${TALL}`);
  rail.append(drawn('line', 'rail', { x1: 0, x2: end, y1: low, y2: low }));
  for (const x of [0, end - POST]) rail.append(drawn('rect', 'post', { x, y: 20, width: POST, height: TALL - 20 }));
  pickets.forEach(([left, right], place) => {
    const state = place === now ? 'now' : (place < now) === fromLeft ? 'done' : 'ahead';
    const tall = state === 'now' ? 48 : 60;
    rail.append(drawn('rect', `picket ${state}`, { x: POST + left, y: tall, width: right - left, height: TALL - tall }));
  });
  const x = POST + mark;
  if (pickets.length) rail.append(drawn('path', 'arrow', { d: `M${x} 46 L${x - 22} 0 L${x + 22} 0 Z` }));
  const side = fromLeft ? 'left' : 'right';
  rail.setAttribute('aria-label', pickets.length ? `${view.count}, from the ${side}` : 'No rail yet');
};
const show = view => {
  for (const key of ['title', 'place', 'count', 'left', 'status']) at(key).textContent = view[key];
  for (const key of ['next', 'gap']) at(key).replaceChildren(...written(view[key]));
  at('value').replaceChildren(...lines(view.mark || '–'));
  document.body.classList.toggle('idle', !view.mark);
  at('value').hidden = !view.mark;
  at('unit').textContent = /ft|in/.test(view.mark) || !view.mark ? '' : view.unit;
  document.title = `${view.mark} ${view.place}`;
  draw(view);
  fit();
};
const stale = on => { at('lost').hidden = !on; document.body.classList.toggle('lost', on); };
new ResizeObserver(fit).observe(at('mark'));
// Asks that the screen stay on; only a browser that trusts the page, and shows it, grants that.
const awake = async () => {
  try {
    await navigator.wakeLock.request('screen');
    at('awake').hidden = true;
  } catch {
    at('awake').hidden = false;
  }
};
"""
)
"""Puts a view into the page, and says whether it may be old; on this page and on the phone's."""

BODY = (
    '<main id="glance">\n'
    '<div class="row"><h1 id="place"></h1><span id="title"></span></div>\n'
    '<div id="mark" role="status"><div id="figure"><span id="value" hidden>–</span></div><span id="unit"></span></div>\n'
    '<svg id="rail" role="img" aria-label="No rail yet" preserveAspectRatio="none"></svg>\n'
    '<div class="row"><span id="next"></span><span id="left"></span>'
    '<span id="count"></span><span id="gap"></span><span id="status"></span>'
    '<span id="awake" hidden>This screen may go dark: set it to stay on.</span></div>\n'
    "</main>\n"
)

_LISTEN = """
let heard = Date.now();
const listen = () => {
  const source = new EventSource('/events');
  source.onmessage = event => {
    heard = Date.now();
    stale(false);
    show(JSON.parse(event.data));
  };
  source.onerror = () => {
    stale(true);
    if (source.readyState === 2) { source.close(); setTimeout(listen, 1000); }
  };
};
setInterval(() => { if (Date.now() - heard > 6000) stale(true); }, 500);
document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'visible') awake(); });
listen();
awake();
"""


def _hash(text: str) -> str:
    """As a Content-Security-Policy names a text that may run."""
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"


_SCRIPT = SCRIPT + _LISTEN
PAGE = (
    '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
    '<meta name="viewport" content="width=device-width, initial-scale=1">\n<title>Mark</title>\n'
    f"<style>{STYLE}</style>\n</head>\n<body>\n"
    f'<div id="lost" role="alert" hidden>Not connected: this mark may be old</div>\n{BODY}'
    f"<script>{_SCRIPT}</script>\n</body>\n</html>\n"
)
POLICY = f"script-src {_hash(_SCRIPT)}; style-src {_hash(STYLE)}; connect-src 'self'"
