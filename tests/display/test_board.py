"""The glance page: what it shows, who may see it, and what it refuses."""

import base64
import hashlib
import json
import socket
import threading
import time
from collections.abc import Iterator
from dataclasses import replace
from http.client import HTTPConnection, HTTPResponse
from pathlib import Path

import pytest
import segno
from browser import CHROMIUM, Browser

from assistant import serving
from assistant.display.board import MOST_STREAMS, Board
from assistant.display.view import Picture, View
from assistant.errors import RecordError

# Clients here leave answers unread on purpose, and what they leave open is theirs, not the server's.
pytestmark = pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning", "ignore::ResourceWarning")

needs_browser = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium: install the Debian package chromium")

FOURTH = View("fence", "Bay 1, bottom rail", "660", "mm", "mark 4 of 11", "next 848", "listening", 4, 11)
PICTURE = Picture(((100, 150), (300, 350), (500, 550), (700, 750)), 2, 500)


@pytest.fixture
def board() -> Iterator[Board]:
    with Board() as started:
        yield started


@pytest.fixture
def lan_board(monkeypatch: pytest.MonkeyPatch) -> Iterator[Board]:
    """As on the local network, on an address that only this machine has."""
    monkeypatch.setattr("assistant.display.board.lan_address", lambda: "127.0.0.1")
    with Board(lan=True) as started:
        yield started


def get(board: Board, path: str, method: str = "GET", **headers: str) -> HTTPResponse:
    connection = HTTPConnection("127.0.0.1", board.port, timeout=30)
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    connection.request(method, path, headers=named)
    answer = connection.getresponse()
    return answer


def raw(board: Board, request: bytes) -> bytes:
    """What comes back for these bytes; empty when the connection is just closed."""
    with socket.create_connection(("127.0.0.1", board.port), timeout=10) as connection:
        answer = b""
        try:
            connection.sendall(request)
            while more := connection.recv(65536):
                answer += more
        except ConnectionError:
            pass
        return answer


def event(answer: HTTPResponse) -> dict[str, object]:
    """The next event of a stream."""
    line = answer.readline()
    if line.startswith(b"retry: "):
        answer.readline()
        line = answer.readline()
    assert line.startswith(b"data: ")
    assert answer.readline() == b"\n"
    return dict(json.loads(line[6:]))


# What it shows ----------------------------------------------------------------------------------------------------------


def test_events_come_as_the_mark_changes_and_again_while_it_does_not(board: Board) -> None:
    board.show(FOURTH)
    answer = get(board, "/events")
    assert (answer.status, answer.headers["Content-Type"]) == (200, "text/event-stream")
    assert event(answer)["mark"] == "660"
    board.show(replace(FOURTH, mark="848"))
    start = time.monotonic()
    assert event(answer)["mark"] == "848"
    assert time.monotonic() - start < 1.0
    assert event(answer)["mark"] == "848"
    answer.close()


def test_showing_never_waits_for_who_looks(board: Board) -> None:
    """A client that never reads must not hold the job up."""
    with socket.create_connection(("127.0.0.1", board.port)) as idle:
        idle.sendall(f"GET /events HTTP/1.1\r\nHost: 127.0.0.1:{board.port}\r\n\r\n".encode())
        start = time.monotonic()
        for mark in range(3000):
            board.show(replace(FOURTH, mark=str(mark), title="x" * 500))
        assert time.monotonic() - start < 2.0


def test_closing_ends_the_streams(board: Board) -> None:
    answer = get(board, "/events")
    event(answer)
    board.close()
    assert answer.readline() == b""
    with pytest.raises(OSError):
        get(board, "/")


def test_a_port_that_is_taken_is_a_plain_sentence(board: Board) -> None:
    with pytest.raises(RecordError, match="Choose another port"):
        Board(port=board.port)


# Who may see it ---------------------------------------------------------------------------------------------------------


def test_it_listens_on_this_machine_alone(board: Board) -> None:
    assert board.url == f"http://127.0.0.1:{board.port}/"
    assert board._serving.origin == f"http://127.0.0.1:{board.port}"
    assert get(board, "/").status == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "evil.example"},
        {"Host": "evil.example:80"},
        {"Host": ""},
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "https://127.0.0.1"},
        {"Sec_Fetch_Site": "cross-site"},
        {"Sec_Fetch_Site": "same-site"},
    ],
)
@pytest.mark.parametrize("path", ["/", "/events"])
def test_another_site_or_name_is_refused(board: Board, path: str, headers: dict[str, str]) -> None:
    board.show(FOURTH)
    answer = get(board, path, **headers)
    assert answer.status == 403
    assert b"660" not in answer.read()


def test_its_own_page_is_let_in(board: Board) -> None:
    own = f"127.0.0.1:{board.port}"
    assert get(board, "/", Host=own, Origin=f"http://{own}", Sec_Fetch_Site="same-origin").status == 200
    assert get(board, "/", Host=f"localhost:{board.port}").status == 200


def test_on_the_network_a_code_lets_one_device_in_once(lan_board: Board) -> None:
    first = lan_board.url
    path = first.split(str(lan_board.port))[1]
    for closed in ("/", "/events", "/?code=", "/?code=wrong", "/?other=1", "/?code=" + "é"):
        assert get(lan_board, closed.replace("é", "%C3%A9")).status == 403
    let_in = get(lan_board, path)
    assert (let_in.status, let_in.headers["Location"]) == (303, "/")
    cookie = let_in.headers["Set-Cookie"]
    assert "HttpOnly" in cookie and "SameSite=Strict" in cookie
    device = cookie.split(";")[0]
    assert get(lan_board, "/", Cookie=device).status == 200
    assert get(lan_board, "/events", Cookie=f"a=b; {device}").status == 200
    assert get(lan_board, "/", Cookie="board=guess").status == 403
    assert get(lan_board, "/", Cookie="board=").status == 403
    # Used up: the same code lets no second device in, but the new one does.
    assert get(lan_board, path).status == 403
    assert lan_board.url != first
    assert get(lan_board, lan_board.url.split(str(lan_board.port))[1]).status == 303
    assert get(lan_board, "/", Cookie=device).status == 200


def test_the_code_is_long_and_each_board_has_its_own(lan_board: Board, monkeypatch: pytest.MonkeyPatch) -> None:
    with Board(lan=True) as other:
        codes = {each.url.split("code=")[1] for each in (lan_board, other)}
    assert len(codes) == 2
    assert min(map(len, codes)) >= 20


def test_the_qr_code_holds_the_address(lan_board: Board) -> None:
    """The terminal shows two rows of modules in each line of half blocks."""
    light = {" ": (0, 0), "▀": (1, 0), "▄": (0, 1), "█": (1, 1)}
    seen: list[list[int]] = []
    for line in lan_board.qr().rstrip("\n").split("\n"):
        cells = [light[sign] for sign in line.replace("\x1b[7m", "").replace("\x1b[49m", "").replace("\x1b[0m", "")]
        seen += [[upper for upper, _ in cells], [lower for _, lower in cells]]
    code = segno.make(lan_board.url, micro=False)
    dark = [list(row) for row in code.matrix_iter(border=4)]
    shown = [row[: len(dark[0])] for row in seen[: len(dark)]]
    assert shown in (dark, [[1 - module for module in row] for row in dark])


def test_without_a_network_it_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    def unreachable(*_: object) -> None:
        raise OSError(101, "Network is unreachable")

    monkeypatch.setattr(socket.socket, "connect", unreachable)
    with pytest.raises(RecordError, match="on no network"):
        Board(lan=True)


# What it refuses --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "path",
    [
        "/../../etc/passwd",
        "/..%2f..%2fetc%2fpasswd",
        "/%2e%2e/%2e%2e/etc/passwd",
        "//etc/passwd",
        "/etc/passwd",
        "/index.html",
        "/events/",
        "/events/../",
        "/.",
        "/favicon.ico",
        "/record.db",
        "/job-1/record.db",
        "\\..\\x",
        "http://127.0.0.1/etc/passwd",
        "http://[",
        "/%00",
        "*",
        "/" + "a" * 4000,
    ],
)
def test_any_other_address_is_not_there(board: Board, path: str) -> None:
    answer = raw(board, f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{board.port}\r\n\r\n".encode("latin-1"))
    status, _, body = answer.partition(b"\r\n")
    assert status.split()[1] in (b"404", b"400")
    assert b"passwd" not in body.partition(b"\r\n\r\n")[2]


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "HEAD", "OPTIONS", "TRACE", "CONNECT", "PATCH", "FOO"])
def test_it_takes_nothing(board: Board, method: str) -> None:
    answer = raw(board, f"{method} / HTTP/1.1\r\nHost: 127.0.0.1:{board.port}\r\nContent-Length: 2\r\n\r\nhi".encode())
    assert answer.split()[1] in (b"405", b"404", b"400")


@pytest.mark.parametrize(
    "request_bytes",
    [
        b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX: " + b"a" * 20_000 + b"\r\n\r\n",
        b"GET /" + b"a" * 100_000 + b" HTTP/1.1\r\n\r\n",
        b"A" * 1_000_000,
    ],
)
def test_what_is_too_large_is_refused(board: Board, request_bytes: bytes) -> None:
    start = time.monotonic()
    answer = raw(board, request_bytes)
    assert time.monotonic() - start < serving.IDLE_S / 2
    assert answer == b"" or answer.split()[1] == b"400"
    assert get(board, "/").status == 200


@pytest.mark.parametrize(
    "request_bytes",
    [
        b"\r\n\r\n",
        b"GET\r\n\r\n",
        b"GET /\r\n\r\n",
        b"GET / HTTP/9.9\r\n\r\n",
        b"GET / HTTP/x\r\n\r\n",
        b"\x16\x03\x01\x02\x00\x01\r\n\r\n",
        b"\x00" * 100 + b"\r\n\r\n",
        "GET /é HTTP/1.1\r\n\r\n".encode(),
        b"GET / HTTP/1.1\r\nno colon\r\n\r\n",
        b"GET / HTTP/1.1\r\n" + b"a: b\r\n" * 300 + b"\r\n",
    ],
)
def test_what_is_no_request_is_refused_and_changes_nothing(board: Board, request_bytes: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "IDLE_S", 0.3)
    board.show(FOURTH)
    answer = raw(board, request_bytes)
    assert b"660" not in answer
    assert b" 200 " not in answer
    assert get(board, "/").status == 200


def test_one_that_dawdles_is_dropped(board: Board, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "IDLE_S", 0.3)
    with socket.create_connection(("127.0.0.1", board.port), timeout=5) as slow:
        start = time.monotonic()
        for _ in range(100):
            try:
                slow.sendall(b"G")
            except ConnectionError:
                break
            time.sleep(0.05)
        assert time.monotonic() - start < 3.0


def test_too_many_at_once_are_turned_away_and_room_is_made_again(board: Board, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "MOST_CLIENTS", 16)
    open_streams = [get(board, "/events") for _ in range(serving.MOST_CLIENTS)]
    assert get(board, "/").status == 503
    board.show(FOURTH)
    for stream in open_streams:
        assert event(stream)["title"] in ("site-assistant", "fence")
    for stream in open_streams:
        stream.close()
    deadline = time.monotonic() + 8
    while time.monotonic() < deadline:
        board.show(FOURTH)
        try:
            if get(board, "/").status == 200:
                break
        except OSError:
            time.sleep(0.05)
    else:
        raise AssertionError("no room was made")


def test_pages_left_open_shut_nobody_out(board: Board) -> None:
    """One more takes the place of the oldest, whatever one client has open."""
    board.show(FOURTH)
    streams = []
    for _ in range(3 * MOST_STREAMS):
        streams.append(get(board, "/events"))
        assert event(streams[-1])["mark"] == "660"
    assert get(board, "/").status == 200
    oldest, newest = streams[0], streams[-1]
    while line := oldest.readline():
        assert line
    board.show(replace(FOURTH, mark="848"))
    assert event(newest)["mark"] == "848"
    for stream in streams:
        stream.close()


def test_a_refusal_repeats_nothing_of_what_was_asked(board: Board) -> None:
    answer = raw(board, f"GET /<script>alert(1)</script> HTTP/1.1\r\nHost: 127.0.0.1:{board.port}\r\n\r\n".encode())
    assert b"alert" not in answer
    assert b"nosniff" in answer


def test_the_page_may_run_nothing_but_its_own_script(board: Board) -> None:
    answer = get(board, "/")
    policy, page = answer.headers["Content-Security-Policy"], answer.read().decode()
    assert policy.startswith("default-src 'none'") and "unsafe" not in policy and "nonce" not in policy
    for kind, name in (("script", "script-src"), ("style", "style-src")):
        text = page.split(f"<{kind}>")[1].split(f"</{kind}>")[0]
        digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert f"{name} 'sha256-{digest}'" in policy
    assert answer.headers["Cache-Control"] == "no-store"


# In a real browser ------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with Browser() as started:
        yield started


@needs_browser
def test_a_browser_shows_the_mark_live_and_large(browser: Browser, board: Board) -> None:
    browser.size(800, 480)
    board.show(FOURTH)
    browser.open(board.url)
    browser.wait_for("document.getElementById('value').textContent === '660'")
    assert browser.ask("document.getElementById('lost').hidden") is True
    assert "mark 4 of 11" in browser.ask("document.body.innerText")
    board.show(replace(FOURTH, mark="848", place="<img src=x onerror=alert(1)>"))
    assert browser.wait_for("document.getElementById('value').textContent === '848'") < 1.0
    assert browser.ask("document.getElementById('place').textContent") == "<img src=x onerror=alert(1)>"
    assert browser.ask("document.images.length") == 0


SCREENS = [(320, 560), (360, 640), (390, 844), (768, 1024), (1280, 800)]
LYING = [(568, 320), (844, 390)]
FEET = replace(FOURTH, mark="12 ft 11 15/16 in", unit="feet and inches", next="next 13 ft 2 1/16 in", gap="gap ≈ 3 7/8 in", left="7 left")
_OUTSIDE = """[...document.querySelectorAll('body *')].filter(one => {
  const box = one.getBoundingClientRect();
  return box.width && (box.left < 0 || box.right > innerWidth + 0.5 || box.top < 0 || box.bottom > innerHeight + 0.5);
}).map(one => one.id || one.className)"""
_FIGURES = """(() => {
  const value = document.getElementById('value'), box = value.getBoundingClientRect();
  const paint = document.createElement('canvas').getContext('2d');
  const style = getComputedStyle(value), scale = new DOMMatrix(style.transform);
  paint.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
  return [box.width / innerWidth, paint.measureText('0').actualBoundingBoxAscent * scale.d / innerHeight, scale.d / scale.a];
})()"""
"""Of the screen: the width of the mark, the height of its figures; and how much taller they are than the font's."""


def shown(browser: Browser, board: Board, view: View) -> None:
    """The page with this view on it."""
    board.show(view)
    browser.open(board.url)
    browser.wait_for(f"document.getElementById('value').textContent === {json.dumps(view.mark or '–')}")


def sized(browser: Browser, width: int, height: int) -> None:
    """The page on a screen of this size, drawn anew."""
    browser.size(width, height, phone=width < 900)
    browser.ask("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")


@needs_browser
@pytest.mark.parametrize("mark", ["", "98", "8888", "12345.5", "85 1/16", "12 ft 11 15/16 in"])
def test_nothing_runs_off_the_screen(browser: Browser, board: Board, mark: str) -> None:
    view = replace(FEET, mark=mark, title="The long side behind the workshop", place="Bay 12, each leaf", picture=PICTURE)
    shown(browser, board, replace(view, next="last mark of this rail, then bay 13"))
    for screen in SCREENS + LYING:
        sized(browser, *screen)
        assert browser.ask(_OUTSIDE) == [], screen
        assert browser.ask("[innerWidth, innerHeight]") == list(screen)  # else a phone has zoomed out to show all
    browser.ask("document.getElementById('awake').hidden = false; stale(true)")
    for screen in SCREENS + LYING:  # with all that can stand there besides
        sized(browser, *screen)
        assert browser.ask(_OUTSIDE) == [], screen


@needs_browser
@pytest.mark.parametrize("mark", ["660", "1972", "1972.5", "85 1/16"])
def test_the_mark_fills_the_width_and_a_fifth_of_the_height(browser: Browser, board: Board, mark: str) -> None:
    shown(browser, board, replace(FOURTH, mark=mark, picture=PICTURE, gap="gap 97.5 mm", left="7 left"))
    for screen in SCREENS:
        sized(browser, *screen)
        width, figures, taller = browser.ask(_FIGURES)
        assert 0.9 <= width <= 1.0, screen
        assert figures >= 0.2, screen
        assert 0.5 <= taller <= 2.7, screen


@needs_browser
def test_feet_stand_over_inches_and_the_fraction_is_built_up(browser: Browser, board: Board) -> None:
    shown(browser, board, FEET)
    for screen in SCREENS:
        sized(browser, *screen)
        feet, inches, over, under, bar = (
            browser.ask(f"(b => [b.left, b.top, b.right, b.bottom])(document.querySelector('#value {one}').getBoundingClientRect())")
            for one in (".line", ".line + .line", ".over", ".under", ".bar")
        )
        assert feet[3] <= inches[1] + 0.05 * screen[1]
        assert over[1] < bar[1] < bar[3] < under[3]
        assert abs((over[0] + over[2]) - (under[0] + under[2])) < 2
        assert inches[2] - feet[0] > 0 and browser.ask(_FIGURES)[0] >= 0.9
    # Read aloud, or copied, it is the text it was.
    assert browser.ask("document.getElementById('value').textContent") == FEET.mark
    assert browser.ask("document.getElementById('next').textContent") == FEET.next


@needs_browser
def test_the_rail_is_drawn_with_what_is_done_now_and_ahead_told_apart_by_shape(browser: Browser, board: Board) -> None:
    browser.size(390, 844, phone=True)
    for turned in (False, True):
        shown(browser, board, replace(FOURTH, picture=replace(PICTURE, from_left=not turned)))
        kinds = browser.ask("[...document.querySelectorAll('#rail .picket')].map(one => one.getAttribute('class').split(' ')[1])")
        before, behind = ("ahead", "done") if turned else ("done", "ahead")
        assert kinds == [before, before, "now", behind]
        arrow, now = (
            browser.ask(f"(b => [b.left, b.right, b.top])(document.querySelector('#rail .{one}').getBoundingClientRect())")
            for one in ("arrow", "now")
        )
        assert (arrow[0] + arrow[1]) / 2 == pytest.approx(now[0], abs=1.5)
        assert arrow[2] < now[2]
        fills = {kind: browser.ask(f"getComputedStyle(document.querySelector('#rail .{kind}')).fill") for kind in ("done", "ahead")}
        assert fills["done"] != fills["ahead"]


@needs_browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_text_can_be_read_in_sun_and_at_night(browser: Browser, board: Board, scheme: str) -> None:
    browser.scheme(scheme)
    try:
        shown(browser, board, replace(FEET, picture=PICTURE))
        browser.ask("stale(true)")
        colours = browser.ask("""[...document.querySelectorAll('body *')].filter(one => one.textContent.trim() && one.className !== 'bar')
          .filter(one => !['SCRIPT', 'STYLE'].includes(one.tagName)).map(one => {
            let behind = one;
            while (getComputedStyle(behind).backgroundColor === 'rgba(0, 0, 0, 0)') behind = behind.parentElement;
            return [getComputedStyle(one).color, getComputedStyle(behind).backgroundColor];
          })""")
        assert len(colours) > 10
        assert min(contrast(*pair) for pair in colours) >= 7
        papers = {pair[1] for pair in colours}
        assert ("rgb(255, 255, 255)" in papers) == (scheme == "light")
    finally:
        browser.scheme("light")


def contrast(one: str, other: str) -> float:
    """The contrast of two colours as a browser writes them (WCAG 2.1, relative luminance)."""

    def light(colour: str) -> float:
        parts = [int(part) / 255 for part in colour.removeprefix("rgb(").removesuffix(")").split(",")]
        red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    dark, bright = sorted((light(one), light(other)))
    return (bright + 0.05) / (dark + 0.05)


@needs_browser
def test_the_page_asks_that_the_screen_stays_on_and_says_where_it_may_not(browser: Browser, board: Board) -> None:
    shown(browser, board, FOURTH)
    browser.ask(
        "const lock = {request: async kind => { window.kept = kind; }};"
        "Object.defineProperty(navigator, 'wakeLock', {configurable: true, value: lock})"
    )
    browser.ask("awake()")
    assert browser.ask("[window.kept, document.getElementById('awake').hidden]") == ["screen", True]
    browser.ask("Object.defineProperty(navigator, 'wakeLock', {value: undefined})")
    browser.ask("awake()")
    assert browser.ask("document.getElementById('awake').hidden") is False


@needs_browser
def test_a_page_that_lost_its_board_says_that_its_mark_may_be_old(browser: Browser) -> None:
    with Board() as board:
        board.show(FOURTH)
        browser.open(board.url)
        browser.wait_for("document.getElementById('value').textContent === '660'")
        port = board.port
    browser.wait_for("document.getElementById('lost').hidden === false", seconds=2)
    assert browser.ask("document.body.classList.contains('lost')") is True
    with Board(port=port) as again:
        again.show(replace(FOURTH, mark="848"))
        browser.wait_for("document.getElementById('value').textContent === '848'", seconds=4)
        assert browser.ask("document.getElementById('lost').hidden") is True


@needs_browser
def test_another_sites_page_cannot_read_the_mark(browser: Browser, board: Board, tmp_path: Path) -> None:
    board.show(FOURTH)
    hostile = tmp_path / "hostile.html"
    hostile.write_text("<!DOCTYPE html><title>hostile</title>", encoding="utf-8")
    browser.open(hostile.as_uri())
    outcome = browser.ask(f"fetch('{board.url}events').then(r => r.text(), e => 'refused: ' + e)")
    assert outcome.startswith("refused")
    framed = browser.ask(
        f"new Promise(done => {{ const f = document.createElement('iframe'); f.src = '{board.url}';"
        " f.onload = () => { let seen; try { seen = f.contentDocument.body.innerText } catch (e) { seen = 'closed' }"
        " done(seen) }; document.body.append(f) })"
    )
    assert "660" not in str(framed)


@needs_browser
def test_a_phone_comes_in_by_the_code_and_stays_in(browser: Browser, lan_board: Board) -> None:
    lan_board.show(FOURTH)
    browser.open(lan_board.url)
    browser.wait_for("document.getElementById('value')?.textContent === '660'")
    assert browser.ask("location.search") == ""
    browser.open(f"http://127.0.0.1:{lan_board.port}/")
    browser.wait_for("document.getElementById('value')?.textContent === '660'")


def test_threads_end_with_the_board() -> None:
    before = threading.active_count()
    with Board() as board:
        answer = get(board, "/events")
        event(answer)
    answer.close()
    deadline = time.monotonic() + 5
    while threading.active_count() > before and time.monotonic() < deadline:
        time.sleep(0.02)
    assert threading.active_count() == before
