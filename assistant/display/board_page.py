"""The glance page itself: one mark as large as the screen, read from across the bay.

Crosses the border: HTML text out, and the policy under which its own script and style run and nothing else.  Its script puts texts into the
page as text, never as HTML, and says so at once when the connection is gone, for an old mark must not be taken for the present one.
"""

from __future__ import annotations

from base64 import b64encode
from hashlib import sha256

from assistant import colours

STYLE = f"""
* {{ box-sizing: border-box; margin: 0; }}
html, body {{ height: 100%; }}
:root {{ color-scheme: light dark; --ink: {colours.INK}; --paper: {colours.PAPER}; }}
@media (prefers-color-scheme: dark) {{ :root {{ --ink: {colours.PAPER}; --paper: {colours.INK}; }} }}
body {{ display: grid; grid-template-rows: auto 1fr auto auto; padding: 2vmin; gap: 1vmin; overflow: hidden;
  color: var(--ink); background: var(--paper); font: 700 clamp(1.1rem, 5vmin, 3rem)/1.2 system-ui, "Segoe UI", Roboto,
  "DejaVu Sans", sans-serif; overflow-wrap: anywhere; }}
#mark {{ align-self: center; text-align: center; line-height: 1; white-space: nowrap;
  font-size: min(55vh, calc(128vw / var(--letters, 4))); font-variant-numeric: tabular-nums lining-nums; }}
#unit {{ display: block; font-size: clamp(1.1rem, 5vmin, 3rem); }}
.row {{ display: flex; flex-wrap: wrap; justify-content: space-between; gap: 0 3vmin; }}
#next {{ font-size: clamp(1.5rem, 9vmin, 6rem); }}
progress {{ width: 100%; height: 3vmin; accent-color: var(--ink); }}
#lost {{ position: fixed; inset: 0 0 auto 0; padding: 2vmin; text-align: center; color: {colours.WARNING_INK};
  background: {colours.WARNING}; }}
body.lost #mark {{ text-decoration: line-through; }}
[hidden] {{ display: none !important; }}
"""
"""How the mark looks, on this page and on the phone's."""

SCRIPT = """
const at = id => document.getElementById(id);
const show = view => {
  for (const key of ['title', 'place', 'count', 'next', 'status']) at(key).textContent = view[key];
  at('value').textContent = view.mark || '–';
  at('unit').textContent = view.mark ? view.unit : '';
  at('mark').style.setProperty('--letters', Math.max(4, (view.mark || '–').length));
  at('progress').max = view.total || 1;
  at('progress').value = view.done;
  document.title = view.mark + ' ' + view.place;
};
const stale = on => { at('lost').hidden = !on; document.body.classList.toggle('lost', on); };
"""
"""Puts a view into the page, and says whether it may be old; on this page and on the phone's."""

BODY = (
    '<div class="row"><span id="title"></span><span id="place"></span></div>\n'
    '<div id="mark" role="status"><span id="value">–</span><span id="unit"></span></div>\n'
    '<div class="row"><span id="next"></span><span id="count"></span><span id="status"></span></div>\n'
    '<progress id="progress" value="0" max="1" aria-label="Marks of this rail"></progress>\n'
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
listen();
"""


def _hash(text: str) -> str:
    """As a Content-Security-Policy names a text that may run."""
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"


_SCRIPT = SCRIPT + _LISTEN
PAGE = (
    '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
    '<meta name="viewport" content="width=device-width, initial-scale=1">\n<title>Mark</title>\n'
    f"<style>{STYLE}</style>\n</head>\n<body>\n{BODY}"
    '<div id="lost" role="alert" hidden>Not connected: this mark may be old</div>\n'
    f"<script>{_SCRIPT}</script>\n</body>\n</html>\n"
)
POLICY = f"script-src {_hash(_SCRIPT)}; style-src {_hash(STYLE)}; connect-src 'self'"
