// Keeps one whole release of the check for use without a network, and never a mixture of two.
//
// RELEASE is filled in by `checker.dev.site.finish` when the site is built: its name, the packs in it, and every file it needs
// with its SHA-256. A file that does not match is refused, when it is fetched and each time it is handed out.

const RELEASE = {"name": "unsealed", "packs": [], "files": {}};

const KEPT = `spareway-${RELEASE.name}`;
const HOME = new URL("./", self.location).href;

self.addEventListener("install", (event) => event.waitUntil(keepAll()));
self.addEventListener("activate", (event) => event.waitUntil(forgetOthers()));
self.addEventListener("fetch", (event) => {
  const name = named(event.request);
  if (name) event.respondWith(handOut(name));
  else if (event.request.mode === "navigate" && event.request.url.startsWith(HOME)) event.respondWith(orApology(event.request));
});
self.addEventListener("message", (event) => {
  if (event.data === "release") event.ports[0].postMessage({ name: RELEASE.name, packs: RELEASE.packs });
  if (event.data === "take over") self.skipWaiting();
});

/** All or nothing: the release is there only when every file of it is, each with its own fingerprint. */
async function keepAll() {
  const cache = await caches.open(KEPT);
  try {
    for (const name of Object.keys(RELEASE.files)) {
      if (!(await sound(await cache.match(name), name))) await cache.put(name, await fetched(name));
    }
  } catch (fault) {
    // After a broken line the next visit goes on where this one stopped; where there is no room, it only takes room.
    if (fault.name === "QuotaExceededError") await caches.delete(KEPT);
    throw fault;
  }
}

/** From the network, past a stale copy of the browser if need be. Throws for a file that is not the one of this release. */
async function fetched(name) {
  for (const cache of ["default", "reload"]) {
    const response = await fetch(name, { cache, credentials: "same-origin" });
    const whole = response.ok && (await sound(response, name));
    if (whole) return whole;
  }
  throw new Error(`${name} does not have the fingerprint of this release`);
}

/** A response with the body of `response` if its fingerprint is right, else null. */
async function sound(response, name) {
  if (!response) return null;
  const body = await response.arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", body));
  const hex = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  if (hex !== RELEASE.files[name]) return null;
  const headers = new Headers(response.headers);
  for (const header of ["Content-Encoding", "Content-Length"]) headers.delete(header); // they spoke of the wire
  return new Response(body, { status: 200, headers });
}

/** The name of a file of this release that the request asks for, or null. Folders are named with their slash. */
function named(request) {
  if (request.method !== "GET" || !request.url.startsWith(HOME)) return null;
  const name = request.url.slice(HOME.length).replace(/[?#].*$/, "").replace(/(^|\/)index\.html$/, "$1");
  return Object.hasOwn(RELEASE.files, name || "./") ? name || "./" : null;
}

async function handOut(name) {
  const cache = await caches.open(KEPT);
  const kept = await sound(await cache.match(name), name);
  if (kept) return kept;
  await cache.delete(name);
  try {
    const whole = await fetched(name);
    await cache.put(name, whole.clone());
    return whole;
  } catch {
    return new Response("This copy is damaged and there is no good one on the network. Connect to the network and open the page again.", { status: 503 });
  }
}

/** A page outside the release: from the network, or a word on why not. */
async function orApology(request) {
  try {
    return await fetch(request);
  } catch {
    return new Response(APOLOGY, { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } });
  }
}

const APOLOGY = `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Not available offline - Spareway</title><h1>This page is not available offline</h1>
<p>Only the check works offline. <a href="${HOME}check/">Check a circuit</a></p></html>`;

async function forgetOthers() {
  for (const name of await caches.keys()) {
    if (name.startsWith("spareway-") && name !== KEPT && !name.startsWith("spareway-python-")) await caches.delete(name);
  }
  await self.clients.claim();
}
