// The phone's page: pairs once, lends microphone and loudspeaker over one connection, shows the mark (mark.js), says when the connection is lost.
'use strict';

const SILENT_MS = 3500; // nothing from the machine for so long: the connection is lost
const RETRY_MS = 500;
const SAY_AGAIN_MS = 20000;

let context;
let microphone;
let loudspeaker;
let socket;
let gone; // what is said when the connection is lost, 16-bit samples
let came = 0;
let lost = false;
let said = 0;

const trouble = text => { at('trouble').textContent = text; };

const sayLost = () => {
  if (!gone || Date.now() - said < SAY_AGAIN_MS) return;
  said = Date.now();
  loudspeaker.port.postMessage({ begin: true });
  loudspeaker.port.postMessage(gone.slice(0));
};

const live = on => {
  if (on && lost) loudspeaker.port.postMessage({ begin: true });
  lost = !on;
  stale(lost);
  if (on) said = 0; else sayLost();
};

const receive = ({ data }) => {
  came = Date.now();
  if (lost) live(true);
  if (data instanceof ArrayBuffer) {
    loudspeaker.port.postMessage(data, [data]);
    return;
  }
  const told = JSON.parse(data);
  if (told.view) show(told.view);
  if (told.forget) loudspeaker.port.postMessage({ forget: true });
  if (told.jitter_ms) {
    loudspeaker.port.postMessage({ jitter: told.jitter_ms });
    at('sound').textContent = `Sound held ${told.jitter_ms} ms`;
    gone = Uint8Array.from(atob(told.gone), letter => letter.charCodeAt(0)).buffer;
  }
};

const connect = () => {
  const opened = new WebSocket(`wss://${location.host}/sound`);
  opened.binaryType = 'arraybuffer';
  socket = opened;
  let ended = false;
  const end = () => { // once, whichever comes first: closed, or silent for too long
    if (ended) return;
    ended = true;
    clearInterval(watch);
    if (socket === opened) socket = undefined;
    opened.close();
    live(false);
    setTimeout(connect, RETRY_MS);
  };
  came = Date.now();
  const watch = setInterval(() => { if (Date.now() - came > SILENT_MS) end(); }, 250);
  opened.onopen = () => { loudspeaker.port.postMessage({ begin: true }); };
  opened.onmessage = receive;
  opened.onclose = end;
};

// With the code once, later by the pass that it was exchanged for.
const pair = async () => {
  const answer = await fetch('/pair', { method: 'POST', body: location.hash.slice(1) });
  if (answer.ok) history.replaceState(null, '', '/');
  else trouble(await answer.text());
  return answer.ok;
};

const begin = async () => {
  trouble('');
  if (!await pair()) return;
  let heard;
  try {
    heard = await navigator.mediaDevices.getUserMedia({
      audio: { echoCancellation: true, noiseSuppression: false, autoGainControl: true, channelCount: 1 },
    });
  } catch {
    trouble('This page may not use the microphone. Allow it in the browser, then press Begin again.');
    return;
  }
  context = new AudioContext({ latencyHint: 'interactive' });
  await context.audioWorklet.addModule('/sound.js');
  microphone = new AudioWorkletNode(context, 'microphone', { numberOfOutputs: 0 });
  loudspeaker = new AudioWorkletNode(context, 'loudspeaker', { numberOfInputs: 0, outputChannelCount: [1] });
  context.createMediaStreamSource(heard).connect(microphone);
  loudspeaker.connect(context.destination);
  microphone.port.onmessage = ({ data }) => {
    if (socket && socket.readyState === WebSocket.OPEN && socket.bufferedAmount < 320000) socket.send(data);
  };
  loudspeaker.port.onmessage = ({ data }) => {
    if (socket && socket.readyState === WebSocket.OPEN) socket.send(JSON.stringify(data));
  };
  heard.getAudioTracks()[0].onended = () => { trouble('The microphone is gone.'); at('begin').hidden = false; };
  await context.resume();
  at('begin').hidden = true;
  awake();
  connect();
};

document.addEventListener('visibilitychange', () => {
  if (document.visibilityState !== 'visible' || !context) return;
  awake();
  context.resume();
});
at('go').onclick = () => { begin().catch(error => trouble(`This browser cannot be the headset: ${error.message}`)); };
