// What the pages gain when scripts run; every page works without this file.
(() => {
  const here = () => document.body.dataset.head || "0";

  // Another bench's entry: only the parts marked as live are replaced, and never one that is being typed in.
  // Nothing is replaced under a finger that is down, nor while this page's own post is on its way: its answer brings the news.
  let listening, queued = false, wanted = 0, pressed = false, posting = -Infinity;
  const busy = () => pressed || performance.now() - posting < 5000;
  const wait = () => { queued = true; setTimeout(refresh, 150); };
  async function refresh() {
    queued = false;
    if (wanted <= Number(here())) return;
    if (busy()) return wait();
    let answer;
    try { answer = await fetch(location.href, { headers: { Accept: "text/html" } }); } catch { return; }
    if (!answer.ok) return;
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (Number(fresh.body.dataset.head) <= Number(here())) return;
    if (busy()) return queued || wait();
    if (fresh.title !== document.title && !fresh.querySelector("[data-live]")) return;
    for (const old of document.querySelectorAll("[data-live][id]")) {
      const now = fresh.getElementById(old.id);
      if (!now || now.innerHTML === old.innerHTML) continue;
      const at = document.activeElement;
      const typing = old.contains(at) && at.matches("input:not([type=hidden]), textarea, select");
      const open = old.querySelector("details[open]");
      // A tick or a word put in a moment ago is nobody's to take back, wherever the hand is by now.
      const edited = old.querySelector("form[data-edited]") || old.closest("form[data-edited]");
      if (typing || open || edited) { old.dataset.stale = "yes"; continue; }
      const focusId = old.contains(at) ? at.id : null;
      old.replaceWith(document.importNode(now, true));
      if (focusId) document.getElementById(focusId)?.focus();
    }
    document.body.dataset.head = fresh.body.dataset.head;
    fill();
    const told = document.getElementById("told");
    if (told) told.textContent = "The tape has grown.";
  }
  for (const kind of ["input", "change"]) document.addEventListener(kind, e => {
    const form = e.target.form || e.target.closest?.("form");
    if (form?.method === "post") form.dataset.edited = "yes";
  });
  for (const kind of ["submit", "reset"]) document.addEventListener(kind, e => { delete e.target.dataset.edited; });
  document.addEventListener("pointerdown", () => { pressed = true; });
  for (const kind of ["pointerup", "pointercancel"]) document.addEventListener(kind, () => setTimeout(() => { pressed = false; }));
  // What this page sent, and how the tape stood then.
  let sent;
  const keyOf = form => form.querySelector("input[name=form]")?.value + " " + form.querySelector("input[name=key]")?.value;
  document.addEventListener("submit", e => {
    posting = performance.now();
    sent = e.target.method === "post" ? { path: location.pathname, head: Number(here()), form: e.target, key: keyOf(e.target) } : undefined;
  });
  function listen() {
    if (listening || !window.EventSource) return;
    listening = new EventSource("/events");
    listening.addEventListener("changed", e => {
      wanted = Math.max(wanted, Number(e.data));
      if (wanted <= Number(here()) || queued) return;
      queued = true;
      setTimeout(refresh, 60);
    });
  }

  // Enter moves on: in a ladder it goes to the next rung; the last one submits.
  document.addEventListener("keydown", e => {
    if (e.key !== "Enter" || !(e.target instanceof HTMLInputElement)) return;
    const ladder = e.target.closest("[data-enter-moves-on]");
    if (!ladder || e.target.type === "submit") return;
    const rungs = [...ladder.querySelectorAll("input:not([type=hidden])")].filter(i => !i.closest("details"));
    const next = rungs[rungs.indexOf(e.target) + 1];
    if (next) { e.preventDefault(); next.focus(); next.select?.(); }
  });

  document.addEventListener("click", e => {
    if (e.target.closest("[data-print]")) window.print();
    // Where a photo was touched, in percent, into the form behind it; the fields can be typed as well.
    if (e.target.matches("[data-point]")) {
      const form = e.target.parentElement.nextElementSibling;
      const put = (name, part) => { const field = form.querySelector(`[name=${name}]`); if (field) field.value = (part * 100).toFixed(1); };
      put("x", e.offsetX / e.target.clientWidth); put("y", e.offsetY / e.target.clientHeight);
      form.querySelector("[name=terminal]")?.focus();
    }
  });

  // A photo may be dropped where it may be picked.
  for (const kind of ["dragover", "dragleave", "drop"]) document.addEventListener(kind, e => {
    const zone = e.target.closest?.(".drop");
    if (!zone) return;
    e.preventDefault();
    zone.classList.toggle("over", kind === "dragover");
    if (kind === "drop") {
      const input = zone.querySelector("input[type=file]");
      if (input && e.dataTransfer.files.length) { input.files = e.dataTransfer.files; input.dispatchEvent(new Event("change", { bubbles: true })); }
    }
  });

  // A new page is read from its beginning; after a refused post the first wrong field is where the hand should be.
  // A hand that went on by itself while the page was still coming is not called back.
  let path = location.pathname, ahead = false;
  document.addEventListener("focusin", e => {
    if (location.pathname !== path) ahead = true;
    if (sent && !sent.form.contains(e.target)) sent.left = true;
  });
  function settle() {
    if (location.pathname !== path) {
      path = location.pathname;
      if (!ahead) document.getElementById("main")?.focus({ preventScroll: true });
      ahead = false;
    }
    const wrong = document.querySelector("[aria-invalid=true]") || document.querySelector(".wrong[tabindex]");
    if (wrong) wrong.focus(); else if (sent) tell(sent);
    sent = undefined;
  }
  // The page came back with more on the tape: that is said, and the hand rests on the saying. The button under it may be the next look's by now,
  // and a second Enter would log what nobody saw. A line of meter readings goes on where it is typed; a hand that went on is not called back.
  function tell(post) {
    const words = document.body.dataset.newest;
    if (!words || location.pathname !== post.path || Number(here()) <= post.head) return;
    document.getElementById("recorded")?.remove();
    const at = document.activeElement, form = at?.closest("main form[method=post]"), told = document.getElementById("told");
    if (post.left || at?.closest("form.meter")) { if (told) told.textContent = `Recorded: ${words}`; return; }
    const notice = document.createElement("p");
    Object.assign(notice, { id: "recorded", className: "recorded noprint", role: "status", tabIndex: -1, textContent: `Recorded: ${words}` });
    // Later: a node that leaves the page inside its own blur trips whoever is taking it away.
    notice.addEventListener("blur", () => setTimeout(() => { if (document.hasFocus()) notice.remove(); }));
    // Folded away it could hold no hand: before what is folded.
    let spot = form;
    for (let fold = form?.closest("details:not([open])"); fold; fold = fold.parentElement.closest("details:not([open])")) spot = fold;
    if (!spot) document.getElementById("main")?.prepend(notice);
    else if (spot === form && keyOf(form) === post.key) form.after(notice); // the same step again: on to the next
    else spot.before(notice);
    notice.focus({ preventScroll: true });
  }
  // Work that goes on beside the page: look again while it does, unless something is being typed.
  let looking;
  function lookAgain() {
    const again = document.querySelector("[data-again]");
    clearTimeout(looking);
    if (again) looking = setTimeout(() => document.activeElement?.matches("input, textarea") ? lookAgain() : location.reload(), 1000 * again.dataset.again);
  }
  // Work beside the page that fills one part of it: only that part is fetched again, nothing under the hand moves.
  let filling;
  function fill() {
    clearTimeout(filling);
    const part = document.querySelector("[data-filling][id]");
    if (part) filling = setTimeout(async () => {
      let answer;
      try { answer = await fetch(location.pathname, { headers: { Accept: "text/html" } }); } catch { return; }
      const now = answer.ok && new DOMParser().parseFromString(await answer.text(), "text/html").getElementById(part.id);
      if (now && part.isConnected && !part.contains(document.activeElement) && !busy()) part.replaceWith(document.importNode(now, true));
      fill();
    }, 1000 * part.dataset.filling);
  }
  function begin() { listen(); settle(); lookAgain(); fill(); window.Blazor?.addEventListener?.("enhancedload", () => { posting = -Infinity; settle(); lookAgain(); fill(); }); }
  // Deferred scripts run while the page is "interactive", one after another: only once it is loaded is the framework's there too.
  if (document.readyState !== "complete") document.addEventListener("DOMContentLoaded", begin); else begin();
})();
