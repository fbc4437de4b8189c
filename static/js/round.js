// The meter round without a network: a figure that could not be sent stays in its field, is remembered on this
// device under its own key, and is sent again until the ledger has it. The key makes it one reading however often
// it arrives.
const RETRY_MS = 5000;
const round = document.querySelector("[data-round]");
const STORE = `meter-round-${document.body.dataset.person}`; // nobody signs what another typed

function remembered() {
  try {
    return JSON.parse(localStorage.getItem(STORE)) || {};
  } catch {
    return {};
  }
}
function remember(change) {
  const kept = remembered();
  change(kept);
  try {
    localStorage.setItem(STORE, JSON.stringify(kept));
  } catch {
    // full, or forbidden: the figure still stands in its field as long as the page is open
  }
}

// Before a swap `detail.elt` is what is swapped; the form that asked stands in the request.
const formOf = (event) => (event.detail.requestConfig?.elt ?? event.detail.elt)?.closest?.("form[data-piece]");
const isSignIn = (xhr) => Boolean(xhr && xhr.responseURL && new URL(xhr.responseURL).pathname.startsWith("/sign-in"));

function keepUnsent(form) {
  const values = Object.fromEntries(new FormData(form));
  delete values.csrfmiddlewaretoken; // the token of the page that sends it is taken instead
  remember((kept) => { kept[form.dataset.piece] = values; });
  form.dataset.waiting = "1";
  form.querySelector("[data-unsent]").hidden = false;
  count();
}

function count() {
  const waiting = document.querySelectorAll("form[data-waiting]").length + elsewhere().length;
  const said = document.querySelector("[data-unsent-all]");
  said.hidden = waiting === 0;
  said.querySelector("[data-count]").textContent = waiting;
}

const formFor = (piece) => round.querySelector(`form[data-piece="${piece}"]`);

// Figures of pieces that stand on another page of the round, or have left the store.
const elsewhere = () => Object.entries(remembered()).filter(([piece]) => !formFor(piece));

async function sendFromElsewhere() {
  const token = JSON.parse(document.body.getAttribute("hx-headers"))["X-CSRFToken"];
  for (const [piece, values] of elsewhere()) {
    const answer = await fetch(`${round.dataset.at}/${piece}`, {
      method: "POST",
      body: new URLSearchParams(values),
      redirect: "manual",
      headers: { "HX-Request": "true", "X-CSRFToken": token },
    }).catch(() => null);
    if (!answer?.ok) return; // it stays counted, and its own page shows why
    remember((kept) => { delete kept[piece]; });
    count();
  }
}

function sendAgain() {
  for (const form of document.querySelectorAll("form[data-waiting]")) htmx.trigger(form, "submit");
  sendFromElsewhere();
}

if (round) {
  for (const [piece, values] of Object.entries(remembered())) {
    const form = formFor(piece);
    if (!form) continue;
    for (const [name, value] of Object.entries(values)) if (form.elements[name]) form.elements[name].value = value;
    form.dataset.waiting = "1";
    form.querySelector("[data-unsent]").hidden = false;
  }
  count();
  // An emptied field is a change of mind, not a reading.
  document.addEventListener("htmx:confirm", (event) => {
    const form = formOf(event);
    if (form && !form.elements.reading_pct.value.trim()) event.preventDefault();
  });
  document.addEventListener("htmx:beforeSwap", (event) => {
    const form = formOf(event);
    if (!form) return;
    if (isSignIn(event.detail.xhr)) {
      event.detail.shouldSwap = false;
      keepUnsent(form);
      return;
    }
    if ([200, 422].includes(event.detail.xhr.status)) {
      remember((kept) => { delete kept[form.dataset.piece]; });
      delete form.dataset.waiting;
    }
  });
  document.addEventListener("htmx:afterSwap", count);
  for (const trouble of ["htmx:sendError", "htmx:timeout", "htmx:responseError"]) {
    document.addEventListener(trouble, (event) => { const form = formOf(event); if (form) keepUnsent(form); });
  }
  window.addEventListener("online", sendAgain);
  setInterval(sendAgain, RETRY_MS);
  window.addEventListener("beforeunload", (event) => {
    if (document.querySelector("form[data-waiting]")) event.preventDefault();
  });
  // The next piece's field is one tap of the keyboard's own key away.
  round.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.target.name !== "reading_pct") return;
    event.preventDefault();
    const fields = [...round.querySelectorAll("input[name=reading_pct]")];
    const next = fields[fields.indexOf(event.target) + 1];
    if (next) next.focus(); else event.target.blur();
  });
  window.addEventListener("load", sendAgain); // not before htmx has taken up the forms
}
