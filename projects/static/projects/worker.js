// Keeps the forms that a phone may need where there is no network, for the person who opened them. A page says
// by its header Kept-For whom it may be kept for; nothing else is kept. What is written there waits in phone.js.
const ASSETS = "assets", PAGES = "pages-", HOME = "/phone/", PATIENCE_MS = 8000;
const HASHED = /\.[0-9a-f]{12}\.\w+$/;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("fetch", (event) => {
  const { request } = event, url = new URL(request.url);
  if (url.origin !== location.origin) return;
  if (url.pathname === "/sign-out/") event.waitUntil(forget());
  if (request.method !== "GET") return;
  if (url.pathname.startsWith("/static/")) event.respondWith(asset(request, url));
  else if (request.mode === "navigate") event.respondWith(page(request, url));
  else if (request.headers.get("Phone") === "keep") event.respondWith(fetched(request));
});

async function fetched(request) {
  const answer = await fetch(request);
  if (new URL(answer.url || request.url).pathname === "/sign-in/") await forget();
  else await keep(request, answer.clone());
  return answer;
}

// The network first; what is kept when it does not answer, answers too late, or only its gateway does.
async function page(request, url) {
  const held = await kept(url.pathname);
  const coming = fetched(request);
  coming.catch(() => {});
  try {
    const answer = await (held ? Promise.race([coming, late()]) : coming);
    return held && [502, 503, 504].includes(answer.status) ? held : answer;
  } catch {
    return held ?? ((await kept(HOME)) ? Response.redirect(HOME) : Response.error());
  }
}

function late() {
  return new Promise((_, fail) => setTimeout(() => fail(new Error("late")), PATIENCE_MS));
}

async function asset(request, url) {
  const found = await caches.match(request, { cacheName: ASSETS });
  if (found && HASHED.test(url.pathname)) return found;
  try {
    return await fetch(request);
  } catch (error) {
    if (found) return found;
    throw error;
  }
}

async function keep(request, answer) {
  const person = answer.headers.get("Kept-For");
  if (!answer.ok || answer.redirected || !person) return;
  await forget(PAGES + person);
  const html = await answer.clone().text();
  const assets = await caches.open(ASSETS);
  for (const [path] of html.matchAll(/\/static\/[\w./-]+/g))
    if (!(await assets.match(path))) await assets.add(path);
  const pages = await caches.open(PAGES + person);
  await pages.put(new URL(request.url).pathname, answer);
}

// A kept form gets a key of its own each time it is opened, and says from when it is.
async function kept(path) {
  for (const name of await pagesKept()) {
    const found = await caches.match(path, { cacheName: name });
    if (!found) continue;
    const headers = new Headers(found.headers);
    for (const name of ["Content-Encoding", "Content-Length"]) headers.delete(name);
    const html = (await found.text())
      .replace(/(name="key" value=")[^"]*/, `$1${crypto.randomUUID()}`)
      .replace("<html ", `<html data-kept="${headers.get("Date") ?? ""}" `);
    return new Response(html, { headers });
  }
}

async function forget(but = "") {
  for (const name of await pagesKept()) if (name !== but) await caches.delete(name);
}

async function pagesKept() {
  return (await caches.keys()).filter((name) => name.startsWith(PAGES));
}
