// Recording on the page Ear. The page works without this file: a WAV file can be dropped.
(() => {
  let input, context, node, stop, known;

  // At the input's own rate where the browser tells it: nothing is resampled on the way.
  function asItComes(input) {
    const rate = input.getAudioTracks()[0]?.getSettings?.().sampleRate;
    try { return new AudioContext(rate ? { sampleRate: rate } : {}); } catch { return new AudioContext(); }
  }

  function wav(blocks, rate) {
    const frames = blocks.reduce((n, b) => n + b.length, 0), view = new DataView(new ArrayBuffer(44 + 4 * frames));
    const word = (at, s) => [...s].forEach((c, i) => view.setUint8(at + i, c.charCodeAt(0)));
    word(0, "RIFF"); view.setUint32(4, 36 + 4 * frames, true); word(8, "WAVEfmt ");
    view.setUint32(16, 16, true); view.setUint16(20, 3, true); view.setUint16(22, 1, true); view.setUint32(24, rate, true);
    view.setUint32(28, 4 * rate, true); view.setUint16(32, 4, true); view.setUint16(34, 32, true); word(36, "data"); view.setUint32(40, 4 * frames, true);
    let at = 44;
    for (const block of blocks) for (const x of block) { view.setFloat32(at, x, true); at += 4; }
    return view.buffer;
  }

  function begin() {
    const box = document.getElementById("ear-live");
    if (!box) return close();   // gone on to another page: it no longer listens
    box.hidden = false;   // what comes from the server is always hidden: it works only with this file
    if (box === known) {   // the page came anew around what is open
      document.getElementById("ear-open").disabled = !!input;
      document.getElementById("ear-go").disabled = !input;
      return;
    }
    close();
    known = box;
    const of = id => document.getElementById("ear-" + id), says = words => { of("says").textContent = words; };
    if (!navigator.mediaDevices?.getUserMedia || !window.AudioWorkletNode) {
      says("This browser gives no sound input to this page: record with any program and drop the WAV file above.");
      of("open").disabled = true;
      return;
    }

    of("open").addEventListener("click", async () => {
      try {
        // Everything that makes speech pleasant spoils a measurement.
        input = await navigator.mediaDevices.getUserMedia({ audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: 1 } });
      } catch (e) {
        says(e.name === "NotAllowedError" ? "The browser was told not to let this page listen: allow the microphone for it, or drop a WAV file above."
          : e.name === "NotFoundError" ? "No sound input was found: plug one in, or drop a WAV file above." : "The sound input did not open (" + e.name + "): drop a WAV file above.");
        return;
      }
      context = asItComes(input);
      await context.audioWorklet.addModule("ear-worklet.js");
      node = new AudioWorkletNode(context, "ear", { numberOfOutputs: 0 });
      context.createMediaStreamSource(input).connect(node);
      const track = input.getAudioTracks()[0], muted = () => node?.port.postMessage({ muted: track.muted });
      track.onmute = track.onunmute = muted;
      track.onended = () => {
        shut();
        stop?.();
        of("open").disabled = false; of("go").disabled = true;
        of("db").textContent = "not open";
        says("The sound input is gone: plug it in again, open it and record anew.");
      };
      let peak = 0, shown = 0;
      node.port.onmessage = e => {
        for (const x of e.data.block) peak = Math.max(peak, Math.abs(x));
        node.taking?.(e.data);
        if (performance.now() - shown < 150) return;
        const db = 20 * Math.log10(Math.max(peak, 1e-5));
        of("meter").value = db;
        of("db").textContent = (db < -89 ? "silence" : db.toFixed(0) + " dBFS") + (db > -1 ? ": too loud, turn it down" : "");
        [peak, shown] = [0, performance.now()];
      };
      of("open").disabled = true;
      of("go").disabled = false;
      says("Open at " + context.sampleRate + " Hz. Watch the level, then record.");
    });

    of("go").addEventListener("click", async () => {
      const seconds = Number(of("seconds").value.replace(",", ".")), blocks = [];
      if (!(seconds >= 1 && seconds <= 600)) { says("How long? Between 1 and 600 seconds."); of("seconds").focus(); return; }
      await context.resume();
      let player;
      if (of("play").value) {
        const answer = await fetch("/ear/signal.wav?kind=" + of("play").value + "&rate=" + context.sampleRate + "&seconds=" + seconds);
        player = new AudioBufferSourceNode(context, { buffer: await context.decodeAudioData(await answer.arrayBuffer()) });
        player.connect(context.destination);
      }
      of("go").disabled = true; of("stop").disabled = false; of("progress").hidden = false;
      let frames = 0, first = null;
      const marks = [];
      const wanted = Math.round(seconds * context.sampleRate);
      says("Recording …");
      const whole = await new Promise(done => {
        stop = () => done(false);
        node.taking = ({ block, frame, missed }) => {
          first ??= frame;
          marks.push(...missed);
          blocks.push(block.length > wanted - frames ? block.slice(0, wanted - frames) : block);
          frames = Math.min(wanted, frames + block.length);
          of("progress").value = frames / wanted;
          if (frames >= wanted) done(true);
        };
        player?.start();
      });
      of("stop").disabled = true; of("progress").hidden = true;
      if (!input) return;   // gone in the middle, and said so
      node.taking = null;
      player?.stop();
      of("go").disabled = false;
      if (!whole) { says("Stopped; nothing was kept."); return; }
      // A buffer that came too late is silence the set never made: what is not whole is not measured.
      const lost = marks.filter(m => m[0] + m[1] >= first && m[0] < first + wanted).reduce((s, m) => s + m[2], 0);
      if (lost > 0) { says("This PC missed " + Math.ceil(1000 * lost) + " ms of it, so it is not whole; nothing was kept. Close what else is running and record once more."); return; }
      const into = document.getElementById(of("into").value), files = new DataTransfer();
      files.items.add(new File([wav(blocks, context.sampleRate)], "recorded.wav", { type: "audio/wav" }));
      into.files = files.files;
      into.dispatchEvent(new Event("change", { bubbles: true }));
      says(seconds + " seconds recorded" + (into.id === "ear-null" ? " as the null run." : ". Now measure it."));
    });
    of("stop").addEventListener("click", () => stop?.());
  }

  function shut() {
    input?.getTracks().forEach(t => t.stop());
    context?.close();
    input = context = node = undefined;
  }
  function close() { shut(); known = undefined; }
  addEventListener("pagehide", close);
  begin();
  document.addEventListener("renewed", begin);
  document.addEventListener("DOMContentLoaded", () => { begin(); window.Blazor?.addEventListener?.("enhancedload", begin); });
})();
