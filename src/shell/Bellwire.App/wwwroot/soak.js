// The soak watch: blocks of five seconds, one after another; what could not be sent waits, up to a quarter of an hour.
// It goes on while other pages of the bench are looked at.
(() => {
  let input, context, node, feed, open = false, due = null, told = -1, gone = 0, next = 0, sending = false, lost = false;
  const waiting = [], at = id => document.getElementById(id), says = words => { const p = at("soak-says"); if (p && p.textContent !== words) p.textContent = words; };

  // At the input's own rate where the browser tells it: nothing is resampled, and a buffer that came too late keeps its length.
  function asItComes(input) {
    const rate = input.getAudioTracks()[0]?.getSettings?.().sampleRate;
    try { return new AudioContext(rate ? { sampleRate: rate } : {}); } catch { return new AudioContext(); }
  }

  function end(words) {
    input?.getTracks().forEach(t => t.stop());
    context?.close();
    input = context = node = undefined;
    open = false;
    waiting.length = 0;
    if (words) says(words);
    if (at("soak-open")) at("soak-open").disabled = false;
  }

  // What happened, the timeline and the clips: fetched anew, nothing else of the page is touched.
  async function renew() {
    const box = at("soak-heard");
    if (!box) return;
    let answer;
    try { answer = await fetch(location.pathname, { headers: { Accept: "text/html" } }); } catch { return; }
    const fresh = answer.ok && new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("soak-heard");
    if (fresh && at("soak-heard")) at("soak-heard").replaceChildren(...document.importNode(fresh, true).childNodes);
  }

  async function send() {
    if (sending) return;
    sending = true;
    while (waiting.length) {
      let answer;
      try { answer = await fetch(feed + "?n=" + next + "&rate=" + context.sampleRate + (waiting[0].missed ? "&missed=" + waiting[0].missed : ""), { method: "POST", headers: { "X-Bellwire": "soak", "Content-Type": "application/octet-stream" }, body: waiting[0].block }); }
      catch { lost = true; says("The bench does not answer. It is still listened to: up to a quarter of an hour is kept here and handed over when it is back."); break; }
      if (answer.status === 404) { end("The watch was ended."); break; }
      if (!answer.ok && answer.status !== 409) { says("The bench did not take a block (" + answer.status + "): it will be sent again."); break; }
      const now = await answer.json();
      next = now.next;
      if (answer.status === 409) continue;
      waiting.shift();
      due = now.due;
      if (at("soak-listened")) at("soak-listened").textContent = Math.floor(now.listened / 60) + " min " + Math.floor(now.listened % 60) + " s";
      says((lost ? "The bench is back; nothing was lost. " : "") + (now.events === 0 ? "Listening. Nothing has happened." : "Listening. " + (now.events === 1 ? "One thing has" : now.events + " things have") + " happened.")
        + (now.missed > 0 ? " This PC missed " + (now.missed < 1 ? Math.ceil(1000 * now.missed) + " ms" : Math.round(now.missed) + " s") + " of it." : ""));
      lost = false;
      if (now.events !== told || now.missed !== gone || now.next % 12 === 0) renew();
      [told, gone] = [now.events, now.missed];
    }
    sending = false;
  }

  // Marks of the worklet as a block tells them: sample in it, samples in its place, milliseconds; those that touch are one.
  function within(marks, start, frames) {
    const parts = [];
    for (const [from, samples, seconds] of marks.sort((x, y) => x[0] - y[0])) {
      const a = Math.min(Math.max(from - start, 0), frames), b = Math.min(Math.max(from + samples - start, 0), frames), last = parts.at(-1);
      if (from >= start + frames || (samples > 0 && b === a)) continue;   // of the next block, or of one before
      const part = samples ? seconds * (b - a) / samples : seconds;
      if (last && samples && last.b === a && last.b > last.a) [last.b, last.s] = [b, last.s + part];
      else if (!last || a >= last.b) parts.push({ a, b, s: part });
    }
    return parts.map(p => p.a + "-" + (p.b - p.a) + "-" + Math.round(1000 * p.s));
  }

  async function listen() {
    const box = at("soak-live");
    if (open || !box) return;
    open = true;
    at("soak-open").disabled = true;
    try { input = await navigator.mediaDevices.getUserMedia({ audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: 1 } }); }
    catch (e) { return end("The sound input did not open (" + e.name + "): allow the microphone for this page."); }
    [feed, next] = [box.dataset.feed, Number(box.dataset.next)];
    context = asItComes(input);
    await context.audioWorklet.addModule("ear-worklet.js");
    node = new AudioWorkletNode(context, "ear", { numberOfOutputs: 0 });
    context.createMediaStreamSource(input).connect(node);
    const track = input.getAudioTracks()[0];
    track.onmute = track.onunmute = () => node?.port.postMessage({ muted: track.muted });
    track.onended = () => end("The sound input is gone: plug it in again and go on listening.");
    let held = [], frames = 0, settling = context.sampleRate, start = 0, marks = [], skipped = 0;   // an input just opened hands over silence first: no drop-out of the set
    node.port.onmessage = e => {
      const { block: came, frame, missed } = e.data;
      if ((settling -= came.length) > 0) return;
      if (!held.length) start = frame;
      held.push(came); frames += came.length;
      marks.push(...missed);
      let peak = 0;
      for (const x of came) peak = Math.max(peak, Math.abs(x));
      if (at("soak-meter")) at("soak-meter").value = 20 * Math.log10(Math.max(peak, 1e-5));
      if (frames < 5 * context.sampleRate) return;
      const block = new Float32Array(frames);
      let i = 0;
      for (const part of held) { block.set(part, i); i += part.length; }
      const lost = within(marks, start, frames);
      marks = marks.filter(m => m[0] + m[1] >= start + frames);
      [held, frames] = [[], 0];
      // What could not wait any longer was missed as well.
      if (waiting.length >= 180) skipped += block.length / context.sampleRate;
      else { waiting.push({ block, missed: (skipped ? ["0-0-" + Math.round(1000 * skipped)] : []).concat(lost).slice(0, 200).join(",") }); skipped = 0; }
      send();
    };
    says("Listening at " + context.sampleRate + " Hz.");
  }

  // The call and the chime: said aloud once when they fall due, wherever on the bench one is.
  let called = null;
  function remind() {
    const line = at("soak-due"), when = due ?? line?.dataset.due;
    if (!when) return;
    const over = Date.now() >= Date.parse(when), words = over ? "A call and a chime are due now." : "Next due at " + new Date(when).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" }) + ".";
    if (line && line.textContent.trim() !== words) { line.textContent = words; line.classList.toggle("warn", over); }
    if (!over || called === when) return;
    called = when;
    if (!line && at("told")) at("told").textContent = "Soak watch: " + words;
    if (!document.title.startsWith("Due: ")) document.title = "Due: " + document.title;
  }

  function begin() {
    const box = at("soak-live");
    if (!box) return remind();
    if (feed && feed !== box.dataset.feed) end();
    due = box.dataset.due;
    if (!open) { told = Number(box.dataset.events); next = Number(box.dataset.next); }
    box.hidden = false;
    at("soak-open").disabled = open;
    at("soak-open").onclick = listen;
    remind();
    if (!navigator.mediaDevices?.getUserMedia || !window.AudioWorkletNode) { at("soak-open").disabled = true; return says("This browser gives no sound input to this page: record with any program, end this watch and drop the file."); }
    // After a reload it goes on by itself where the browser still allows it.
    if (Number(box.dataset.next) > 0) navigator.permissions?.query({ name: "microphone" }).then(p => { if (p.state === "granted") listen(); }, () => {});
  }

  setInterval(remind, 2000);
  addEventListener("pagehide", () => end());
  begin();
  document.addEventListener("renewed", begin);
  document.addEventListener("DOMContentLoaded", () => window.Blazor?.addEventListener?.("enhancedload", begin));
})();
