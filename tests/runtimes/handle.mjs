// Puts requests to the checker as a browser holds it: Pyodide and our wheel from one folder, loaded through its lock.
//
//   node tests/runtimes/handle.mjs build/browser/pyodide [--restored] < requests.jsonl > replies.jsonl
//
// --restored: with the memory of another start put back, as on a second visit.
//
// A request line is a JSON string that holds the request text, so a request may be any text at all, JSON or not.
// A reply line is {"reply": text}, or {"raised": text} when `handle` raised, which it never should.
import { createInterface } from "node:readline";

import { boot } from "../../checker/web/spareway/boot.mjs";
import { held } from "./held.mjs";

const { loadPyodide, indexURL, wheel } = await held(process.argv[2] ?? "build/browser/pyodide");
// What Python prints would mix with the replies.
const options = { indexURL, stdout: (text) => process.stderr.write(`${text}\n`) };
let started;
if (process.argv.includes("--restored")) {
  const snapshot = (await boot(loadPyodide, { ...options, _makeSnapshot: true }, wheel)).snapshot();
  started = await boot(loadPyodide, { ...options, _loadSnapshot: snapshot });
} else {
  started = await boot(loadPyodide, options, wheel);
}
const { handle } = started;

for await (const line of createInterface({ input: process.stdin })) {
  let answer;
  try {
    answer = { reply: handle(JSON.parse(line)) };
  } catch (error) {
    answer = { raised: String(error) };
  }
  process.stdout.write(JSON.stringify(answer) + "\n");
}
