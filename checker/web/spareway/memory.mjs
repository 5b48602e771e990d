// The memory of Python after its start, kept in the browser's own cache from one visit to the next.
//
// Whatever is wrong with it (no storage, no room, another release, a damaged byte) only means a plain start: nothing here
// throws, and a copy without its right fingerprint is never handed out.

const KEPT = "spareway-python-";
const AT = "memory";
const FINGERPRINT = "X-Fingerprint";

export async function fingerprint(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** The copy that belongs to `release`, as bytes, or null. */
export async function recall(release) {
  try {
    const response = await (await caches.open(KEPT + release)).match(AT);
    const bytes = response && (await response.arrayBuffer());
    return bytes && (await fingerprint(bytes)) === response.headers.get(FINGERPRINT) ? new Uint8Array(bytes) : null;
  } catch {
    return null;
  }
}

/** Keeps `bytes` for `release` and lets go of every other release's. */
export async function keep(release, bytes) {
  try {
    const headers = { [FINGERPRINT]: await fingerprint(bytes), "Content-Type": "application/octet-stream" };
    await forget((name) => name !== KEPT + release);
    await (await caches.open(KEPT + release)).put(AT, new Response(bytes, { headers }));
  } catch {
    await forget(() => true);
  }
}

/** Lets go of the copies whose cache `which` picks. */
export async function forget(which) {
  try {
    for (const name of await caches.keys()) if (name.startsWith(KEPT) && which(name)) await caches.delete(name);
  } catch {
    // There is no storage, so there is nothing to let go of.
  }
}
