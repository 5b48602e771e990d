// Pyodide and our wheel as the site serves them, read from one folder through its lock, for scripts under Node.js.
import { readFileSync } from "node:fs";
import { resolve, sep } from "node:path";
import { pathToFileURL } from "node:url";

/** What `boot` wants of `folder`: `loadPyodide`, the folder with its last stroke, the bytes of the wheel. */
export async function held(folder) {
  const indexURL = resolve(folder) + sep;
  const { loadPyodide } = await import(pathToFileURL(`${indexURL}pyodide.mjs`).href);
  const lock = JSON.parse(readFileSync(`${indexURL}pyodide-lock.json`, "utf8"));
  return { loadPyodide, indexURL, wheel: readFileSync(indexURL + lock.packages.spareway.file_name) };
}
