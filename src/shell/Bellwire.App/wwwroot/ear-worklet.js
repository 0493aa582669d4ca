// Hands on what comes in, 2048 samples at a time, and what this machine missed of it – never to be taken for a silence of the set:
// an input that the system muted; a buffer that came too late, whose place is exact silence between samples that sound, of whole quanta
// or of whole hundredths of a second, as sound cards hand over (of the set's own silences one in some four hundred lasts just so, where
// the input is so quiet that its silence is exact); time that passed without samples.
const QUANTUM = 128, LONGEST = 2, STALLED = 0.05;
class Ear extends AudioWorkletProcessor {
  block = new Float32Array(2048);
  used = 0;
  held = [];        // blocks waiting until a silence that may be a late buffer is over
  marks = [];       // [first frame, samples in its place, seconds]
  silence = null;   // such a silence, [first frame, samples]
  last = 0;         // the sample before
  muted = false;
  lag = Infinity; before = Infinity; seen = 0; windows = 0;

  constructor() {
    super();
    this.port.onmessage = e => { this.muted = e.data.muted; };
  }

  process([input]) {
    const x = input[0] ?? new Float32Array(QUANTUM);   // an input at rest hands over nothing: that is silence
    this.clock(x.length);
    this.look(x);
    for (let i = 0; i < x.length; i++) {
      this.block[this.used++] = x[i];
      if (this.used < this.block.length) continue;
      this.held.push({ block: this.block.slice(), frame: currentFrame + i + 1 - this.used, missed: [] });
      this.used = 0;
    }
    if (!this.silence) this.hand();
    return true;
  }

  look(x) {
    if (this.muted) {
      this.marks.push([currentFrame, x.length, x.length / sampleRate]);
      this.silence = null;
    } else for (let i = 0; i < x.length; i++) {
      if (x[i] === 0) {
        if (this.silence) { if (++this.silence[1] > LONGEST * sampleRate) this.silence = null; }   // no buffer is so late
        else if (this.last !== 0) this.silence = [currentFrame + i, 1];
      } else if (this.silence) {
        const [from, samples] = this.silence, whole = samples % QUANTUM === 0 && from % QUANTUM === 0;
        if (samples >= QUANTUM && (whole || samples % Math.round(sampleRate / 100) === 0)) this.marks.push([from, samples, samples / sampleRate]);
        this.silence = null;
      }
      this.last = x[i];
    }
    this.last = x[x.length - 1];
  }

  // How far the clock on the wall runs ahead of the samples: least in half a second, so that bursts do not count. A jump is sound lost.
  clock(length) {
    this.lag = Math.min(this.lag, Date.now() / 1000 - currentFrame / sampleRate);
    if ((this.seen += length) < sampleRate / 2) return;
    if (this.windows++ > 1 && this.lag - this.before > STALLED) this.marks.push([currentFrame, 0, this.lag - this.before]);
    [this.before, this.lag, this.seen] = [this.lag, Infinity, 0];
  }

  // A mark goes along with, or before, the samples it speaks of.
  hand() {
    if (!this.held.length) return;
    this.held[0].missed = this.marks;
    for (const one of this.held) this.port.postMessage(one);
    [this.held, this.marks] = [[], []];
  }
}
registerProcessor("ear", Ear);
