// Sound in the page's audio thread: the microphone as frames of 20 ms at 16 kHz, and what comes back, held for a moment before it is played.
'use strict';

const RATE = 16000;
const FRAME = RATE / 50;
const HALF = 16; // zero crossings of the filter on each side
const FINE = 256; // steps of its table between two zero crossings

// Windowed sinc (Blackman), from the middle to one side.
const table = new Float32Array(HALF * FINE + 2);
for (let i = 0; i <= HALF * FINE; i += 1) {
  const x = i / FINE;
  const sinc = x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
  const at = x / HALF;
  table[i] = sinc * (0.42 + 0.5 * Math.cos(Math.PI * at) + 0.08 * Math.cos(2 * Math.PI * at));
}

// One rate to another, sample by sample.
class Resampler {
  constructor(from, to) {
    this.step = from / to;
    this.cut = Math.min(1, to / from) * 0.95; // of the lower rate's half
    this.reach = HALF / this.cut;
    this.held = new Float32Array(Math.ceil(this.reach)).fill(0);
    this.at = this.held.length;
  }

  push(samples, out) {
    const all = new Float32Array(this.held.length + samples.length);
    all.set(this.held);
    all.set(samples, this.held.length);
    let at = this.at;
    while (at + this.reach < all.length) {
      let sum = 0;
      const last = Math.floor(at + this.reach);
      for (let i = Math.max(0, Math.ceil(at - this.reach)); i <= last; i += 1) {
        sum += all[i] * table[Math.round(Math.abs(at - i) * this.cut * FINE)];
      }
      out.push(sum * this.cut);
      at += this.step;
    }
    const gone = Math.max(0, Math.floor(at - this.reach) - 1);
    this.held = all.slice(gone);
    this.at = at - gone;
  }
}

class Microphone extends AudioWorkletProcessor {
  constructor() {
    super();
    this.resampler = new Resampler(sampleRate, RATE);
    this.out = [];
  }

  process(inputs) {
    const heard = inputs[0][0];
    if (!heard) return true;
    this.resampler.push(heard, this.out);
    while (this.out.length >= FRAME) {
      const frame = new Int16Array(FRAME);
      for (let i = 0; i < FRAME; i += 1) frame[i] = Math.max(-32768, Math.min(32767, Math.round(this.out[i] * 32768)));
      this.out.splice(0, FRAME);
      this.port.postMessage(frame.buffer, [frame.buffer]);
    }
    return true;
  }
}

class Loudspeaker extends AudioWorkletProcessor {
  constructor() {
    super();
    this.clear();
    this.wait = 0.08 * RATE;
    this.played = 0;
    this.told = 0;
    this.port.onmessage = ({ data }) => {
      if (data.jitter) this.wait = data.jitter / 1000 * RATE;
      else if (data.begin) { this.clear(); this.played = 0; this.told = 0; }
      else if (data.forget) { this.played += this.left(); this.clear(); this.tell(); }
      else this.take(new Int16Array(data));
    };
  }

  clear() {
    this.pieces = [];
    this.place = 0;
    this.running = false;
    this.since = -1;
    this.resampler = new Resampler(RATE, sampleRate);
    this.ready = [];
  }

  left() {
    return this.pieces.reduce((sum, piece) => sum + piece.length, 0) - this.place;
  }

  take(samples) {
    if (this.since < 0) this.since = currentTime;
    this.pieces.push(samples);
  }

  tell() {
    this.told = this.played;
    this.port.postMessage({ played: this.played });
  }

  next(count) {
    const some = new Float32Array(count);
    let made = 0;
    while (made < count && this.pieces.length) {
      const piece = this.pieces[0];
      const part = Math.min(count - made, piece.length - this.place);
      for (let i = 0; i < part; i += 1) some[made + i] = piece[this.place + i] / 32768;
      made += part;
      this.place += part;
      if (this.place === piece.length) { this.pieces.shift(); this.place = 0; }
    }
    this.played += made;
    return [some, made];
  }

  process(_, outputs) {
    const out = outputs[0][0];
    if (!this.running) {
      const enough = this.left() >= this.wait || (this.since >= 0 && currentTime - this.since >= this.wait / RATE);
      if (!enough || !this.left()) return true;
      this.running = true;
    }
    while (this.ready.length < out.length) {
      const [some, made] = this.next(64);
      this.resampler.push(some, this.ready);
      if (made < 64) { // all is played, or the network has not brought the rest yet: the rest of this block is silence
        this.running = false;
        this.since = -1;
        break;
      }
    }
    const given = Math.min(out.length, this.ready.length);
    for (let i = 0; i < given; i += 1) out[i] = this.ready[i];
    this.ready.splice(0, given);
    if (!this.running) { this.ready = []; this.tell(); } else if (this.played - this.told >= RATE / 10) this.tell();
    return true;
  }
}

registerProcessor('microphone', Microphone);
registerProcessor('loudspeaker', Loudspeaker);
