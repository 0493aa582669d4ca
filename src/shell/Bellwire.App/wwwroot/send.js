// Long posts: how much of a file is sent, how far the bench has come with it, and a way out. Without this file the form is sent
// as any other; stopping the page then stops the work too.
(() => {
  const part = share => Math.floor(100 * share) + " %";

  function strip(form) {
    const box = document.createElement("div"), live = document.createElement("p"), bar = document.createElement("progress"), far = document.createElement("span"), out = document.createElement("button");
    box.className = "sending"; box.id = "sending"; live.setAttribute("role", "status"); live.setAttribute("aria-live", "polite");
    bar.max = 1; bar.setAttribute("aria-label", "How far it has come"); far.className = "soft"; out.type = "button"; out.textContent = "Give it up";
    box.append(live, bar, far, out);
    form.append(box);
    return { box, bar, out, say(words, share) {
      if (live.textContent !== words.stage) live.textContent = words.stage;   // spoken at each stage, not at each step
      far.textContent = words.now;
      if (share === null) bar.removeAttribute("value"); else bar.value = share;
    } };
  }

  function send(form, submitter) {
    const shown = strip(form), request = new XMLHttpRequest(), buttons = [...form.querySelectorAll("button:not([type=button])")], id = form.querySelector("[name=id]")?.value;
    let asking, files = {};
    for (const input of form.querySelectorAll("input[type=file]")) if (input.id && input.files.length) files[input.id] = input.files;
    const over = () => { clearInterval(asking); shown.box.remove(); for (const b of buttons) b.disabled = false; };
    const failed = words => {
      over();
      const p = form.querySelector(".send-told") ?? form.insertBefore(document.createElement("p"), form.firstChild);
      p.className = "wrong send-told"; p.setAttribute("role", "alert"); p.tabIndex = -1; p.textContent = words; p.focus();
    };
    request.open("POST", form.action || location.href);
    request.setRequestHeader("X-Bellwire", "send");
    request.upload.onprogress = e => shown.say({ stage: "Sending it to the bench.", now: e.lengthComputable ? part(e.loaded / e.total) + " sent" : "" }, e.lengthComputable ? e.loaded / e.total : null);
    request.upload.onload = () => {
      shown.say({ stage: "Sent. The bench is listening to it.", now: "" }, null);
      asking = setInterval(async () => {
        let answer;
        try { answer = await fetch("/reckoning/" + id); } catch { return; }
        if (answer.status !== 200 || request.readyState === 4) return;
        const now = await answer.json();
        shown.say({ stage: "Sent. The bench is listening to it.", now: now.words + (now.share === null ? "" : ", " + part(now.share)) }, now.share);
      }, 300);
    };
    request.onerror = () => failed("The bench did not answer. Nothing was recorded; send it again when it runs.");
    request.onabort = () => failed("Given up; nothing of it was kept.");
    request.onload = () => {
      if (request.status === 200) { clearInterval(asking); return location.assign(JSON.parse(request.responseText).to); }
      const fresh = request.status === 422 && new DOMParser().parseFromString(request.responseText, "text/html").getElementById("main");
      if (!fresh) return failed(request.responseText.startsWith("<") ? "The bench could not take it (" + request.status + ")." : request.responseText);
      over();
      // Refused: the page as it came back, with the files that were chosen still chosen.
      document.getElementById("main").replaceWith(document.importNode(fresh, true));
      for (const [name, chosen] of Object.entries(files)) { const input = document.getElementById(name); if (input) input.files = chosen; }
      document.dispatchEvent(new Event("renewed"));
      (document.querySelector("[aria-invalid=true]") ?? document.querySelector(".wrong[tabindex], .error"))?.focus();
    };
    const most = Number(form.dataset.sends), chosen = Object.values(files).flatMap(list => [...list]), bytes = chosen.reduce((n, f) => n + f.size, 0);
    if (bytes > most - 65536) return failed(chosen.map(f => f.name).join(" and ") + (chosen.length > 1 ? " are " : " is ") + Math.ceil(bytes / 1048576) + " MB; " + Math.floor(most / 1048576) + " MB at once can be taken. Nothing was sent: cut the recording into shorter ones.");
    shown.out.onclick = () => request.abort();
    const body = new FormData(form, submitter);
    for (const b of buttons) b.disabled = true;
    shown.say({ stage: "Sending it to the bench.", now: "" }, 0);
    request.send(body);
    shown.box.scrollIntoView({ block: "nearest" });
    shown.out.focus();
  }

  document.addEventListener("submit", e => {
    const form = e.target;
    if (!form.matches?.("[data-sends]") || ![...form.querySelectorAll("input[type=file]")].some(i => i.files.length)) return;
    e.preventDefault();
    e.stopImmediatePropagation();
    if (!form.querySelector(".sending")) send(form, e.submitter);
  }, true);
})();
