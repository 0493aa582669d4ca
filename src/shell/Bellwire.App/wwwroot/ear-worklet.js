// Hands on what comes in, 2048 samples at a time.
class Ear extends AudioWorkletProcessor {
  block = new Float32Array(2048);
  used = 0;
  process([input]) {
    const x = input[0] ?? new Float32Array(128);   // an input at rest hands over nothing: that is silence
    for (let i = 0; i < x.length; i++) {
      this.block[this.used++] = x[i];
      if (this.used === this.block.length) { this.port.postMessage(this.block.slice()); this.used = 0; }
    }
    return true;
  }
}
registerProcessor("ear", Ear);
