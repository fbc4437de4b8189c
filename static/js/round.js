// The meter round without a network: a figure that could not be sent stays in its field, is remembered on this
// device under its own key, and is sent again until the ledger has it. The key makes it one reading however often
// it arrives.
const RETRY_MS = 5000;
const round = document.querySelector("[data-round]");
const STORE = `meter-round-${round?.dataset.round}`; // by person: nobody signs what another typed

const remembered = () => JSON.parse(localStorage.getItem(STORE) || "{}");
function remember(change) {
  const kept = remembered();
  change(kept);
  localStorage.setItem(STORE, JSON.stringify(kept));
}

// Before a swap `detail.elt` is what is swapped; the form that asked stands in the request.
const formOf = (event) => (event.detail.requestConfig?.elt ?? event.detail.elt)?.closest?.("form[data-piece]");
const isSignIn = (xhr) => Boolean(xhr && xhr.responseURL && new URL(xhr.responseURL).pathname.startsWith("/sign-in"));

function keepUnsent(form) {
  const values = Object.fromEntries(new FormData(form));
  delete values.csrfmiddlewaretoken;
  remember((kept) => { kept[form.dataset.piece] = values; });
  form.dataset.waiting = "1";
  form.querySelector("[data-unsent]").hidden = false;
  count();
}

function count() {
  const waiting = document.querySelectorAll("form[data-waiting]").length;
  const said = document.querySelector("[data-unsent-all]");
  said.hidden = waiting === 0;
  said.querySelector("[data-count]").textContent = waiting;
}

function sendAgain() {
  for (const form of document.querySelectorAll("form[data-waiting]")) htmx.trigger(form, "submit");
}

if (round) {
  for (const [piece, values] of Object.entries(remembered())) {
    const form = round.querySelector(`form[data-piece="${piece}"]`);
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
