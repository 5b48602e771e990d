// Python in a worker: loads Pyodide and the checker's own wheel from this site, then answers {id, request} with {id, reply}.

const HOME = new URL("../pyodide/", import.meta.url);

try {
  const handle = await boot();
  self.addEventListener("message", ({ data }) => {
    try {
      self.postMessage({ id: data.id, reply: handle(data.request) });
    } catch (fault) {
      // handle() never raises. If it does all the same, Python itself is in trouble, and nothing it says can be trusted.
      self.postMessage({ failed: String(fault) });
    }
  });
  self.postMessage({ ready: true });
} catch (fault) {
  self.postMessage({ failed: String(fault?.message ?? fault) });
}

async function boot() {
  self.postMessage({ step: "python" });
  const { loadPyodide } = await import(new URL("pyodide.mjs", HOME));
  const pyodide = await loadPyodide({ indexURL: HOME.href });
  self.postMessage({ step: "rules" });
  await pyodide.loadPackage("spareway", { messageCallback() {} });
  const api = pyodide.pyimport("checker.core.api");
  // Reads the rule sets once, so that the first answer does not have to wait for it.
  api.handle(JSON.stringify({ format: 1, ask: "describe" }));
  closeTheDoor();
  return (text) => api.handle(text);
}

/** From here on nothing is to be fetched: what the person types stays in this page, whatever runs in here. */
function closeTheDoor() {
  for (const way of ["fetch", "XMLHttpRequest", "WebSocket", "EventSource", "WebTransport", "importScripts"]) {
    Object.defineProperty(self, way, { value: undefined, configurable: false, writable: false });
  }
}
