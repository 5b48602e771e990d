// Puts requests to the checker as a browser holds it: Pyodide and our wheel from one folder, loaded through its lock.
//
//   node tests/runtimes/handle.mjs build/browser/pyodide < requests.jsonl > replies.jsonl
//
// A request line is a JSON string that holds the request text, so a request may be any text at all, JSON or not.
// A reply line is {"reply": text}, or {"raised": text} when `handle` raised, which it never should.
import { resolve, sep } from "node:path";
import { createInterface } from "node:readline";
import { pathToFileURL } from "node:url";

const folder = resolve(process.argv[2] ?? "build/browser/pyodide");
const { loadPyodide } = await import(pathToFileURL(folder + sep + "pyodide.mjs").href);

const pyodide = await loadPyodide({
  indexURL: folder + sep,
  // What Python prints would mix with the replies.
  stdout: (text) => process.stderr.write(text + "\n"),
});
await pyodide.loadPackage("spareway", {
  messageCallback: () => {},
  errorCallback: (message) => {
    throw new Error(message);
  },
});
const handle = pyodide.pyimport("checker.core.api").handle;

for await (const line of createInterface({ input: process.stdin })) {
  let answer;
  try {
    answer = { reply: handle(JSON.parse(line)) };
  } catch (error) {
    answer = { raised: String(error) };
  }
  process.stdout.write(JSON.stringify(answer) + "\n");
}
