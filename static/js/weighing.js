// The number pad of a weigh-in, and figures kept on this device while the network is down.
// The pages work without it: the plain field, the device's own keys and a whole page after each figure.
(() => {
  const STORE = `weighings-kept-${document.body.dataset.person}`; // nobody signs what another typed
  const AGAIN_MS = 5000;

  // ---- the pad: one hand, dusty fingers, no keyboard sliding over the page

  let field = null; // where the pad writes: the field last touched, at first the weight

  function layPads(root) {
    for (const pad of root.querySelectorAll(".pad[hidden]")) {
      const weight = pad.closest("form").elements.force_n;
      pad.hidden = false;
      weight.inputMode = "none";
      field = weight;
    }
  }

  function press(key) {
    let from = field.selectionStart ?? field.value.length;
    const to = field.selectionEnd ?? field.value.length;
    if (key === "back" && from === to) from = Math.max(0, from - 1);
    field.setRangeText(key === "back" ? "" : key, from, to, "end");
  }

  document.addEventListener("focusin", (event) => {
    if (event.target.matches("[data-pad]")) field = event.target;
  });
  document.addEventListener("pointerdown", (event) => {
    if (event.target.closest(".pad")) event.preventDefault(); // the field keeps the focus
  });
  document.addEventListener("click", (event) => {
    const key = event.target.closest(".pad [data-key]");
    if (key && field) press(key.dataset.key);
  });

  // ---- what is kept while the network is down

  const read = () => {
    try {
      return JSON.parse(localStorage.getItem(STORE)) || [];
    } catch {
      return [];
    }
  };
  const write = (kept) => {
    try {
      localStorage.setItem(STORE, JSON.stringify(kept));
      return true;
    } catch {
      return false; // full, or forbidden
    }
  };

  // Not crypto.randomUUID: a shop's own network is plain http, where browsers withhold it.
  function newKey() {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
  }

  // What a field holds, with the unit shown beside it where none was typed.
  function measure(input) {
    const unit = input.closest(".field").querySelector(".unit")?.textContent ?? "";
    return /[^\d\s.,/]/.test(input.value) ? input.value : `${input.value} ${unit}`;
  }

  function keep(form) {
    const body = new URLSearchParams(new FormData(form));
    body.delete("csrfmiddlewaretoken"); // the token of the page that sends it is taken instead
    const words = `${measure(form.elements.draw_m)}: ${measure(form.elements.force_n)}`;
    const url = form.getAttribute("hx-post");
    return write([...read(), { key: body.get("entry_key"), url, body: body.toString(), words }]);
  }

  // The next figure is another entry, at the next draw of the series where there is one.
  function turnToNext(form) {
    const draw = form.elements.draw_m;
    const series = (form.dataset.series || "").split("|").map((text) => text.replace(/\s*[^\d\s/.,]+$/, ""));
    const at = series.indexOf(draw.value.trim().replace(/ /g, "\u00a0"));
    if (at >= 0 && at + 1 < series.length) draw.value = series[at + 1];
    for (const said of document.querySelectorAll("[data-next-draw]")) said.textContent = measure(draw);
    for (const said of document.querySelectorAll("[data-at-this-draw]")) said.hidden = true; // of the draw before
    form.elements.entry_key.value = newKey();
    form.elements.force_n.value = "";
    form.elements.force_n.focus();
  }

  const box = () => document.getElementById("kept");

  function say(words) {
    const said = box();
    if (!said) return;
    const list = said.querySelector("[data-list]");
    said.hidden = !words;
    said.querySelector("[data-words]").textContent = words;
    list.replaceChildren(...read().map((each) => {
      const row = document.createElement("li");
      row.textContent = each.refused ? `${each.words}: ${said.dataset.refused} ${each.refused} ` : each.words;
      if (each.refused) {
        const forget = document.createElement("button");
        forget.type = "button";
        forget.className = "quiet";
        forget.textContent = said.dataset.forget;
        forget.addEventListener("click", () => {
          write(read().filter((other) => other.key !== each.key));
          say(read().length ? said.dataset.said : "");
        });
        row.append(forget);
      }
      return row;
    }));
  }

  function unanswered(event, words = "said") {
    const asked = event.detail.requestConfig;
    const form = asked?.elt?.closest("form[data-keep]");
    if (!form) return;
    const begun = asked.triggeringEvent?.submitter?.name === "begin";
    if (begun || !form.elements.force_n.value.trim()) return say(box().dataset.again);
    if (!keep(form)) return say(box().dataset.cannot);
    turnToNext(form);
    say(box().dataset[words]);
  }

  // ---- sending it, one after the other in the order it was typed

  const token = () => JSON.parse(document.body.getAttribute("hx-headers"))["X-CSRFToken"];

  async function sendOne(each) {
    const answer = await fetch(each.url, {
      method: "POST",
      body: each.body,
      redirect: "manual",
      headers: {
        "Content-Type": "application/x-www-form-urlencoded",
        "HX-Request": "true",
        "X-CSRFToken": token(),
      },
    });
    if (answer.ok) return "sent";
    if (answer.type === "opaqueredirect" || answer.status === 403) return "signed-out";
    if (answer.status >= 500) return "down";
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    each.refused = page.querySelector(".errorlist")?.textContent.trim() || String(answer.status);
    return "refused";
  }

  let sending = false;

  async function send() {
    if (sending || !box() || !read().some((each) => !each.refused)) return;
    sending = true;
    let outcome = "sent";
    try {
      for (const each of read().filter((one) => !one.refused)) {
        outcome = await sendOne(each).catch(() => "down");
        if (outcome === "sent") write(read().filter((one) => one.key !== each.key));
        if (outcome === "refused") write(read().map((one) => (one.key === each.key ? each : one)));
        if (outcome === "down" || outcome === "signed-out") break;
      }
    } finally {
      sending = false;
    }
    const said = box().dataset;
    if (!read().length) {
      say(said.sent);
      showAnew();
    } else {
      say(outcome === "signed-out" ? said.signedOut : said.said);
    }
  }

  // What was sent changes the page; a figure half typed is left alone.
  function showAnew() {
    const form = document.querySelector("form[data-keep]");
    if (!form || form.elements.force_n.value) return;
    htmx.ajax("GET", location.pathname, { target: "#weigh", select: "#weigh", swap: "outerHTML" });
  }

  // Signed out meanwhile: the sign-in page is not put into this one, and the figure is kept.
  document.addEventListener("htmx:beforeSwap", (event) => {
    const answered = event.detail.xhr.responseURL;
    if (!answered || !new URL(answered).pathname.startsWith("/sign-in")) return;
    event.detail.shouldSwap = false;
    unanswered(event, "signedOut");
  });
  document.addEventListener("htmx:sendError", (event) => unanswered(event));
  document.addEventListener("htmx:timeout", (event) => unanswered(event));
  document.addEventListener("htmx:responseError", (event) => {
    if (event.detail.xhr.status >= 500) unanswered(event);
  });
  document.addEventListener("htmx:afterSwap", () => layPads(document));
  window.addEventListener("online", send);
  setInterval(send, AGAIN_MS);

  layPads(document);
  if (read().length) {
    say(box().dataset.said);
    send();
  }
})();
