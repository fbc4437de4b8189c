// The pages work without this. It keeps a form from being sent twice and says when the network did not answer.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post" || form.hasAttribute("hx-post")) return;
  if (form.dataset.sent) event.preventDefault();
  form.dataset.sent = "1";
});
window.addEventListener("pageshow", () => {
  document.querySelectorAll("form[data-sent]").forEach((form) => delete form.dataset.sent);
});
document.addEventListener("htmx:sendError", (event) => {
  const said = event.detail.elt.closest("form")?.querySelector("[data-trouble]");
  if (said) said.hidden = false;
});
