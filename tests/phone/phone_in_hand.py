"""A phone for the tests: a real headless browser with our page, and a microphone that somebody speaks into.

The page asks for the microphone as on a phone; it gets a stream with quiet site noise, into which `say` plays a recording.  What the page
plays is kept, so that it can be heard.
"""

from __future__ import annotations

import base64
import time
from types import TracebackType

import numpy as np
from browser import Browser

from assistant.speech.wav import SAMPLE_RATE, Samples

FLAGS = ("--ignore-certificate-errors", "--autoplay-policy=no-user-gesture-required")

_MICROPHONE = """
(() => {
  let context, into;
  const samples = text => {
    const bytes = Uint8Array.from(atob(text), letter => letter.charCodeAt(0));
    const whole = new Int16Array(bytes.buffer);
    const buffer = context.createBuffer(1, whole.length, %(rate)d);
    buffer.getChannelData(0).set(Float32Array.from(whole, value => value / 32768));
    return buffer;
  };
  const play = (text, loop) => {
    const source = context.createBufferSource();
    source.buffer = samples(text);
    source.loop = loop;
    source.connect(into);
    source.start();
  };
  window.asked = undefined;
  navigator.mediaDevices.getUserMedia = async wanted => {
    window.asked = wanted;
    context = new AudioContext();
    into = context.createMediaStreamDestination();
    if (window.hum) play(window.hum, true);
    return into.stream;
  };
  window.say = text => {
    play(text, false);
    window.sounded = 0;
    return performance.now();
  };
  // What the page plays.
  window.played = [];
  const connect = AudioNode.prototype.connect;
  AudioNode.prototype.connect = function (target, ...rest) {
    if (target === this.context.destination && !this.tapped) {
      this.tapped = true;
      const tap = this.context.createScriptProcessor(4096, 1, 1);
      tap.onaudioprocess = event => {
        const sound = event.inputBuffer.getChannelData(0);
        if (window.keeping) window.played.push(sound.slice());
        const loud = window.sounded === 0 ? sound.findIndex(value => Math.abs(value) > 0.02) : -1;
        // The samples of this event were made one buffer before it is played.
        if (loud >= 0) window.sounded = performance.now() - (sound.length - loud) / this.context.sampleRate * 1000;
      };
      window.playedRate = this.context.sampleRate;
      connect.call(this, tap);
      connect.call(tap, this.context.destination);
    }
    return connect.call(this, target, ...rest);
  };
})();
"""


def _text(samples: Samples) -> str:
    return base64.b64encode(samples.astype("<i2").tobytes()).decode()


class PhoneInHand:
    """A browser that has opened the page; a context manager."""

    def __init__(self, link: str, hum: Samples | None = None, *flags: str) -> None:
        """`hum` goes round and round under what is said; `flags` are the browser's."""
        self.browser = Browser(*FLAGS, *flags)
        self.browser.size(390, 844, phone=True)
        self.browser.before_each_page(_MICROPHONE % {"rate": SAMPLE_RATE})
        self.browser.open(link)
        if hum is not None:
            self.browser.ask(f"window.hum = '{_text(hum)}'; 0")

    def begin(self) -> None:
        """Presses the button and waits until the page is connected, or says why not."""
        self.browser.ask("document.getElementById('go').click()")
        self.browser.wait_for("document.getElementById('begin').hidden || document.getElementById('trouble').textContent !== ''", 15)

    def say(self, samples: Samples) -> float:
        """Begins to speak; when it will be over (time.monotonic)."""
        self._said = float(self.browser.ask(f"window.say('{_text(samples)}')")) / 1000 + len(samples) / SAMPLE_RATE
        return time.monotonic() + len(samples) / SAMPLE_RATE

    def answered_after(self) -> float | None:
        """Seconds from the end of what was said last to the first sound the page played since; None before it did."""
        sounded = float(self.browser.ask("window.sounded")) / 1000
        return sounded - self._said if sounded else None

    def text(self, name: str) -> str:
        """What an element of the page says."""
        return str(self.browser.ask(f"document.getElementById('{name}').textContent"))

    @property
    def says_lost(self) -> bool:
        """Whether the page says that it has no connection."""
        return not self.browser.ask("document.getElementById('lost').hidden")

    def keep(self) -> None:
        """Keeps what is played from now on."""
        self.browser.ask("window.played = []; window.keeping = true; 0")

    def kept(self) -> tuple[Samples, int]:
        """(what was played since, its samples a second)."""
        script = """(() => {
          const all = Int16Array.from(window.played.flatMap(some => [...some]), value => Math.max(-1, Math.min(1, value)) * 32767);
          let text = '';
          for (const byte of new Uint8Array(all.buffer)) text += String.fromCharCode(byte);
          return btoa(text);
        })()"""
        sound = np.frombuffer(base64.b64decode(self.browser.ask(script)), "<i2").astype(np.int16)
        return sound, int(self.browser.ask("window.playedRate"))

    def close(self) -> None:
        """Puts the phone away."""
        self.browser.close()

    def __enter__(self) -> PhoneInHand:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()
