// Everything works without this file; it only says what htmx is doing.
document.addEventListener("htmx:beforeRequest", (event) => {
  event.target.setAttribute("aria-busy", "true");
  trouble(false);
});
document.addEventListener("htmx:afterRequest", (event) => event.target.removeAttribute("aria-busy"));
document.addEventListener("htmx:sendError", () => trouble(true));
document.addEventListener("htmx:responseError", () => trouble(true));
document.addEventListener("htmx:afterSettle", (event) => focusSummary(event.target));
document.addEventListener("DOMContentLoaded", () => focusSummary(document));

function trouble(shown) {
  const notice = document.getElementById("trouble");
  if (notice) notice.hidden = !shown;
}

// After a refused form the reader starts at the list of what to mend.
function focusSummary(root) {
  root.querySelector("[data-focus]")?.focus();
}
