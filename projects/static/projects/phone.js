// What is written on a phone is kept there before it is sent, and until the service has answered. Everything
// works without this file as long as there is network. Its words stand in partials/waiting.html.
const MOST_PHOTO = 400_000, ANSWER_MS = 20_000, SEND_MS = 60_000, AGAIN_MS = 20_000;
const KEEP_EVERY_MS = 30 * 60_000, MOST_SENT = 12;
const WHEN = { dateStyle: "medium", timeStyle: "short" };
const body = document.body, person = Number(body.dataset.person) || 0;
const bar = document.getElementById("waiting");
const kept = document.documentElement.dataset.kept;

// ---- the store: one row for each act, under the act's key ----

function opened() {
  return new Promise((done, fail) => {
    const asked = indexedDB.open("pourtally", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("entries", { keyPath: "key" });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error);
  });
}

async function inStore(mode, work) {
  const base = await opened();
  try {
    return await new Promise((done, fail) => {
      const deal = base.transaction("entries", mode, { durability: "strict" });
      const asked = work(deal.objectStore("entries"));
      deal.oncomplete = () => done(asked.result);
      deal.onerror = deal.onabort = () => fail(deal.error);
    });
  } finally {
    base.close();
  }
}

async function entries() {
  return (await inStore("readonly", (rows) => rows.getAll())).sort((a, b) => a.order - b.order);
}
const put = (entry) => inStore("readwrite", (rows) => rows.put(entry));
const remove = (key) => inStore("readwrite", (rows) => rows.delete(key));
const one = (key) => inStore("readonly", (rows) => rows.get(key));
const isDue = (entry) => entry.state === "waiting" || (entry.state === "sending" && entry.until < Date.now());

// ---- writing: keep first, then send ----

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.matches("form[data-signs-out]")) signOut(event, form);
  if (!form.matches("form[data-phone]")) return;
  event.preventDefault();
  if (form.ariaBusy === "true") return;
  form.ariaBusy = "true";
  write(form, event.submitter).finally(() => (form.ariaBusy = null));
});

async function write(form, button) {
  const entry = await written(form, button);
  const live = !kept && !entry.corrects;
  try {
    await put({ ...entry, state: live ? "sending" : "waiting", until: Date.now() + ANSWER_MS });
  } catch {
    // A browser that keeps nothing, as in a private window: there is only the network.
    return HTMLFormElement.prototype.submit.call(form);
  }
  if (!live) return settled(form, entry.key);
  const answer = await post(entry, { token: entry.token, wait: ANSWER_MS });
  if (answer.url) {
    await remove(entry.key);
    return location.assign(answer.url);
  }
  if (answer.status === 422 && answer.page) {
    await remove(entry.key);
    return showAgain(answer.page);
  }
  await put({ ...entry, state: "waiting" });
  if (answer.status === 0) return showKept();
  return settled(form, entry.key);
}

// Sends what waits and shows what became of this entry.
async function settled(form, key) {
  await send();
  const entry = await one(key);
  if (entry?.state === "sent") return location.assign(entry.result.url);
  if (entry?.state === "refused") return location.assign(bar.dataset.home);
  return showKept();
}

async function written(form, button) {
  const fields = [], data = new FormData(form);
  if (button?.name) data.set(button.name, button.value);
  const earlier = form.dataset.corrects ? await one(form.dataset.corrects) : null;
  for (const [name, value] of data) {
    if (name === "csrfmiddlewaretoken") continue;
    if (!(value instanceof File)) fields.push([name, value]);
    else if (value.size) fields.push([name, await shrunk(value)]);
    else fields.push(...(earlier?.fields ?? []).filter(([was, file]) => was === name && file instanceof File));
  }
  const last = (await entries().catch(() => [])).at(-1);
  return {
    key: data.get("key"), order: earlier?.order ?? (last?.order ?? 0) + 1, person, name: body.dataset.name,
    path: location.pathname, written: earlier?.written ?? new Date().toISOString(), fields,
    title: document.querySelector("h1").textContent.trim(), what: summary(form), corrects: Boolean(earlier),
    token: data.get("csrfmiddlewaretoken"),
  };
}

function summary(form) {
  const boxes = [...form.querySelectorAll("[name^=amount_], [name^=found_]")].filter((box) => box.value.trim());
  return boxes.slice(0, 4).map((box) => {
    const row = box.closest("fieldset")?.querySelector("select[name^=what_]")?.selectedOptions[0];
    const name = row ?? box.closest("fieldset")?.querySelector("legend") ?? box.labels[0];
    return `${name.textContent.trim().replace(/\s+/g, " ")}: ${box.value.trim()}`;
  }).join("; ");
}

async function shrunk(file) {
  if (!file.type.startsWith("image/") || file.size <= MOST_PHOTO) return file;
  try {
    const picture = await createImageBitmap(file);
    let made = null;
    for (const [side, quality] of [[1600, 0.8], [1600, 0.6], [1280, 0.6], [1024, 0.5], [800, 0.4]]) {
      const share = Math.min(1, side / Math.max(picture.width, picture.height));
      const canvas = document.createElement("canvas");
      canvas.width = Math.round(picture.width * share);
      canvas.height = Math.round(picture.height * share);
      canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
      made = await new Promise((done) => canvas.toBlob(done, "image/jpeg", quality));
      if (made.size <= MOST_PHOTO) break;
    }
    return new File([made], file.name.replace(/\.\w+$/, "") + ".jpg", { type: "image/jpeg" });
  } catch {
    return file; // what this browser cannot open the service may
  }
}

// ---- sending: the oldest first, one at a time, only as the person who wrote it ----

let sending = null, ended = false;
function send() {
  const work = () => (navigator.locks ? navigator.locks.request("pourtally-send", sendAll) : sendAll());
  sending ??= work().catch(() => {}).finally(() => { sending = null; return show(); });
  return sending;
}

async function sendAll() {
  if (!person || !(await entries()).some((entry) => entry.person === person && isDue(entry))) return;
  const known = await signedIn();
  ended = known?.person === 0;
  if (known?.person !== person) return;
  for (;;) {
    const entry = (await entries()).find((row) => row.person === person && isDue(row));
    if (!entry) break;
    const answer = await post(entry, { token: known.token, wait: SEND_MS, offline: true });
    if (!(await note(entry, answer))) return;
  }
  localStorage.removeItem(`kept-${person}`);
  await thinOut();
}

async function note(entry, answer) {
  if (answer.status === 200 && answer.url) {
    const { url, number, state, message } = answer;
    await put({ ...entry, fields: [], state: "sent", result: { url, number, state, message } });
  } else if (answer.faults && answer.status < 500 && answer.code !== "other_person") {
    await put({ ...entry, state: "refused", faults: answer.faults });
  } else {
    await put({ ...entry, state: "waiting", tried: new Date().toISOString() });
    return false;
  }
  return true;
}

async function signedIn() {
  try {
    const answer = await fetch(bar.dataset.state, { cache: "no-store", signal: AbortSignal.timeout(ANSWER_MS) });
    if (answer.redirected) return { person: 0 };
    return answer.ok ? await answer.json() : null;
  } catch {
    return null;
  }
}

// Status 0 is no network, or no answer in time; `page` is a page that the service answered with.
async function post(entry, { token, wait, offline = false }) {
  const data = new FormData();
  for (const [name, value] of entry.fields) data.append(name, value);
  const headers = { "X-CSRFToken": token, Phone: offline ? "offline" : "online" };
  if (offline) {
    data.set("written_at", entry.written);
    data.set("sent_at", new Date().toISOString());
    data.set("person", entry.person);
  }
  try {
    const signal = AbortSignal.timeout(wait);
    const answer = await fetch(entry.path, { method: "POST", body: data, headers, signal });
    if (answer.redirected) return { status: 401 };
    const text = await answer.text();
    if (answer.headers.get("Content-Type")?.startsWith("application/json"))
      return { ...JSON.parse(text), status: answer.status };
    const page = new DOMParser().parseFromString(text, "text/html");
    const words = page.querySelector("main p")?.textContent.trim();
    const gone = answer.status === 404 || answer.status === 400;
    return { status: answer.status, page, faults: gone ? [{ message: words }] : null };
  } catch {
    return { status: 0 };
  }
}

async function thinOut() {
  const sent = (await entries()).filter((entry) => entry.state === "sent");
  for (const entry of sent.slice(0, -MOST_SENT)) await remove(entry.key);
}

// ---- what the person sees ----

function showAgain(page) {
  document.querySelector("main").replaceWith(document.adoptNode(page.querySelector("main")));
  focusSummary(document);
  window.scrollTo(0, 0);
}

function showKept() {
  const words = document.getElementById("kept-words").content.cloneNode(true);
  words.querySelector("[data-again]").href = location.pathname;
  const form = document.querySelector("form[data-phone]");
  form.replaceWith(words);
  document.querySelector("[data-kept]:not(html)")?.focus();
  return show();
}

function fill(template, entry) {
  const row = document.getElementById(template).content.cloneNode(true);
  const at = new Date(entry.written);
  for (const spot of row.querySelectorAll("[data-put]")) {
    const value = { title: entry.title, what: entry.what, at: at.toLocaleString([], WHEN),
      number: entry.result?.number, message: entry.result?.message }[spot.dataset.put];
    spot.textContent = value ?? "";
  }
  for (const spot of row.querySelectorAll("[data-faults]"))
    for (const fault of entry.faults ?? []) {
      const line = document.createElement("li");
      line.textContent = [fault.label, fault.message].filter(Boolean).join(": ");
      spot.append(line);
    }
  for (const link of row.querySelectorAll("[data-open]")) link.href = `${entry.path}#${entry.key}`;
  for (const link of row.querySelectorAll("[data-result]")) link.href = entry.result.url;
  for (const button of row.querySelectorAll("[data-remove]"))
    button.addEventListener("click", async () => {
      if (!window.confirm(button.dataset.remove)) return;
      await remove(entry.key);
      show();
    });
  return row;
}

async function show() {
  const all = await entries().catch(() => []);
  const open = all.filter((entry) => entry.state !== "sent" && !(entry.state === "sending" && !isDue(entry)));
  const own = open.filter((entry) => entry.person === person);
  const refused = own.filter((entry) => entry.state === "refused").length;
  const others = open.filter((entry) => entry.person !== person);
  const says = [
    counted("wait", own.length - refused), counted("refused", refused),
    others.length ? counted("others", others.length).replace("@", others[0].name) : "",
    own.length && ended ? bar.dataset.ended : "",
    own.length && Date.now() - new Date(own[0].written) > 86_400_000 ? bar.dataset.old : "",
    kept ? bar.dataset.copy.replace("@", new Date(kept).toLocaleString([], WHEN)) : "",
  ].filter(Boolean);
  bar.hidden = !says.length;
  for (const link of bar.querySelectorAll("a")) link.hidden = !own.length;
  bar.querySelector("[data-says]").textContent = says.join(" ");
  list("waiting-list", own, (entry) => (entry.state === "refused" ? "refused-row" : "waiting-row"));
  list("sent-list", all.filter((entry) => entry.state === "sent" && entry.person === person).reverse(),
    (entry) => (entry.result.state === "held" ? "held-row" : "sent-row"));
}

function counted(name, number) {
  if (!number) return "";
  return number === 1 ? bar.dataset[`${name}One`] : bar.dataset[`${name}Many`].replace("#", number);
}

function list(id, rows, template) {
  const place = document.getElementById(id);
  if (!place) return;
  place.replaceChildren(...rows.map((entry) => fill(template(entry), entry)));
  document.querySelector(`[data-none=${id}]`).hidden = rows.length > 0;
}

// A refused entry is opened in its form again, as it was written.
async function reopen() {
  const form = document.querySelector("form[data-phone]");
  const entry = form && location.hash.length > 8 ? await one(location.hash.slice(1)).catch(() => null) : null;
  if (!entry || entry.person !== person || entry.state !== "refused") return;
  form.dataset.corrects = entry.key;
  for (const box of form.querySelectorAll("input[type=checkbox]")) box.checked = false;
  for (const [name, value] of entry.fields) {
    const box = form.elements[name];
    if (!box || value instanceof File || box.tagName === "BUTTON") continue;
    if (box.type === "checkbox") box.checked = true;
    else box.value = value;
    if (value && box.type !== "hidden") for (const fold of folds(box)) fold.open = true;
  }
  form.prepend(fill("why-refused", entry));
}

function folds(box) {
  const found = [];
  for (let fold = box.closest("details"); fold; fold = fold.parentElement.closest("details")) found.push(fold);
  return found;
}

// ---- signing out, and other people on the same phone ----

async function signOut(event, form) {
  if (form.dataset.sure) return;
  event.preventDefault();
  const all = await entries().catch(() => []);
  const own = all.filter((entry) => entry.person === person && entry.state !== "sent").length;
  if (own && !window.confirm(counted("leave", own))) return;
  for (const entry of all) if (entry.person === person && entry.state === "sent") await remove(entry.key);
  await forgetPages("");
  localStorage.removeItem(`kept-${person}`);
  form.dataset.sure = "1";
  HTMLFormElement.prototype.submit.call(form);
}

async function forgetPages(but) {
  if (!("caches" in window)) return;
  for (const name of await caches.keys())
    if (name.startsWith("pages-") && name !== but) await caches.delete(name);
}

// ---- keeping the forms for where there is no network ----

async function keepForms({ now = false } = {}) {
  if (!person || kept || !navigator.serviceWorker || !(now || "keeps" in body.dataset)) return;
  const last = Number(localStorage.getItem(`kept-${person}`));
  await navigator.serviceWorker.register(bar.dataset.worker);
  await navigator.serviceWorker.ready;
  if (!navigator.serviceWorker.controller)
    await new Promise((done) => navigator.serviceWorker.addEventListener("controllerchange", done, { once: true }));
  if (!now && Date.now() - last < KEEP_EVERY_MS) return;
  navigator.storage?.persist?.();
  const home = await keptPage(bar.dataset.home);
  const page = new DOMParser().parseFromString(await home.text(), "text/html");
  const paths = [...page.querySelectorAll("a[data-keep]")].map((link) => link.getAttribute("href"));
  for (const path of paths) await keptPage(path);
  const pages = await caches.open(`pages-${person}`);
  for (const request of await pages.keys()) {
    const path = new URL(request.url).pathname;
    if (path !== bar.dataset.home && !paths.includes(path)) await pages.delete(request);
  }
  localStorage.setItem(`kept-${person}`, Date.now());
}

async function keptPage(path) {
  const answer = await fetch(path, { headers: { Phone: "keep" } });
  if (!answer.ok || answer.redirected) throw new Error(`${path}: ${answer.status}`);
  return answer;
}

function askToKeep(event) {
  const button = event.target.closest("[data-keep-now]");
  if (!button) return;
  button.disabled = true;
  keepForms({ now: true }).then(() => (button.textContent = button.dataset.done), () => (button.disabled = false));
}

// After a refused form the reader starts at the list of what to mend.
function focusSummary(root) {
  root.querySelector("[data-focus]")?.focus();
}

// ---- beginning ----

function begin() {
  focusSummary(document);
  document.addEventListener("click", askToKeep);
  document.querySelector("[data-send-now]")?.addEventListener("click", send);
  if (person) forgetPages(`pages-${person}`).catch(() => {});
  reopen().then(show).then(send);
  window.addEventListener("online", send);
  document.addEventListener("visibilitychange", () => document.hidden || send());
  window.addEventListener("pageshow", (event) => event.persisted && send());
  setInterval(send, AGAIN_MS);
  setTimeout(() => keepForms().catch(() => {}), 2_000);
}
if (bar) begin();
else focusSummary(document);
