// Everything works without this file; it only says what htmx is doing. focusSummary stands in phone.js.
document.addEventListener("htmx:beforeRequest", (event) => {
  event.target.setAttribute("aria-busy", "true");
  trouble(false);
});
document.addEventListener("htmx:afterRequest", (event) => event.target.removeAttribute("aria-busy"));
document.addEventListener("htmx:sendError", () => trouble(true));
document.addEventListener("htmx:responseError", () => trouble(true));
document.addEventListener("htmx:afterSettle", (event) => focusSummary(event.target));

function trouble(shown) {
  const notice = document.getElementById("trouble");
  if (notice) notice.hidden = !shown;
}
