// Python in a worker: loads Pyodide and the checker's own wheel from this site, then answers {id, request} with {id, reply}.
//
// The first visit ends with a copy of Python's memory in the browser's own cache; the next one puts it back, which takes a
// fraction of the start. Anything amiss with that copy, and Python starts plainly.

import { boot } from "./boot.mjs";
import { fingerprint, forget, keep, recall } from "./memory.mjs";

const HOME = new URL("../pyodide/", import.meta.url);

try {
  const { handle, afterwards } = await start();
  closeNetwork();
  self.addEventListener("message", ({ data }) => {
    try {
      self.postMessage({ id: data.id, reply: handle(data.request) });
    } catch (fault) {
      // handle() never raises. If it does all the same, Python itself is in trouble, and nothing it says can be trusted.
      self.postMessage({ failed: String(fault) });
    }
  });
  self.postMessage({ ready: true });
  await afterwards();
} catch (fault) {
  self.postMessage({ failed: String(fault?.message ?? fault) });
}

async function start() {
  self.postMessage({ step: "python" });
  const [{ loadPyodide }, lock] = await Promise.all([import(new URL("pyodide.mjs", HOME)), fetched("pyodide-lock.json", "json")]);
  const { file_name: file, sha256 } = lock.packages.spareway;
  const release = `${lock.info.version}-${sha256}`;
  countBytes(lock.tool?.sizes ?? {});
  const options = { indexURL: HOME.href, lockFileContents: lock };
  return (await restored(loadPyodide, options, release)) ?? fresh(loadPyodide, options, await wheel(file, sha256), release);
}

/** Tells how much of what is fetched has come, of all that the lock file names. */
function countBytes(sizes) {
  const total = Object.values(sizes).reduce((sum, size) => sum + size, 0);
  const plain = self.fetch.bind(self);
  let loaded = 0;
  let told = 0;
  self.fetch = async (wanted, how) => {
    const response = await plain(wanted, how);
    const name = new URL(wanted.url ?? wanted, HOME).pathname.split("/").at(-1);
    if (!Object.hasOwn(sizes, name) || !response.ok || !response.body || typeof TransformStream === "undefined") return response;
    const counter = new TransformStream({
      transform(chunk, out) {
        loaded += chunk.byteLength;
        const share = Math.min(Math.floor((loaded / total) * 50) / 50, 1); // fifty steps are enough for a bar
        if (share > told) self.postMessage({ loaded: told = share });
        out.enqueue(chunk);
      },
    });
    return new Response(response.body.pipeThrough(counter), { status: response.status, headers: response.headers });
  };
}

/** Python as an earlier visit left it, or null. */
async function restored(loadPyodide, options, release) {
  const memory = await recall(release);
  if (!memory) return null;
  try {
    const { handle } = await boot(loadPyodide, { ...options, _loadSnapshot: memory });
    // It has to answer as Python does, or it is not used.
    if (JSON.parse(handle("")).error.where !== "request") throw new Error("The memory put back does not answer.");
    return { handle, afterwards() {} };
  } catch {
    await forget(() => true);
    return null;
  }
}

async function fresh(loadPyodide, options, bytes, release) {
  let memory = null;
  let started;
  try {
    // Undocumented options of a pinned Pyodide; tests hold them.
    started = await boot(loadPyodide, { ...options, _makeSnapshot: true }, bytes);
    memory = started.snapshot();
  } catch {
    started = await boot(loadPyodide, options, bytes);
  }
  return { handle: started.handle, afterwards: () => memory && keep(release, memory) };
}

/** The bytes of our wheel, refused when they are not those that the lock file names. */
async function wheel(file, sha256) {
  self.postMessage({ step: "rules" });
  const bytes = await fetched(file, "arrayBuffer");
  // Without https a browser has no digest: then the archive's own checksums alone tell damage when it is unpacked.
  if (crypto.subtle && (await fingerprint(bytes)) !== sha256) throw new Error("The rules arrived damaged: their fingerprint is wrong.");
  return new Uint8Array(bytes);
}

async function fetched(name, as) {
  const response = await fetch(new URL(name, HOME));
  if (!response.ok) throw new Error(`${name} could not be fetched (${response.status}).`);
  return response[as]();
}

/** From here on nothing is to be fetched: what the person types stays in this page, whatever runs in here. */
function closeNetwork() {
  for (const way of ["fetch", "XMLHttpRequest", "WebSocket", "EventSource", "WebTransport", "importScripts"]) {
    Object.defineProperty(self, way, { value: undefined, configurable: false, writable: false });
  }
}
