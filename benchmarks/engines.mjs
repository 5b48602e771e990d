// benchmarks/engines.py in the browser's Python:
//
//   node benchmarks/engines.mjs build/browser/pyodide <simpleeval.py> > rates.json
import { readFileSync } from "node:fs";
import { dirname, resolve, sep } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

import { boot } from "../checker/web/spareway/boot.mjs";

const folder = resolve(process.argv[2]) + sep;
const { loadPyodide } = await import(pathToFileURL(`${folder}pyodide.mjs`).href);
const lock = JSON.parse(readFileSync(`${folder}pyodide-lock.json`, "utf8"));
const wheel = readFileSync(folder + lock.packages.spareway.file_name);
const { pyodide } = await boot(loadPyodide, { indexURL: folder }, wheel);

pyodide.mountNodeFS("/benchmarks", dirname(fileURLToPath(import.meta.url)));
pyodide.FS.mkdir("/libraries");
pyodide.FS.writeFile("/libraries/simpleeval.py", readFileSync(process.argv[3]));
const rates = pyodide.runPython(`
import json, sys
sys.path[:0] = ["/benchmarks", "/libraries"]
import engines
json.dumps(engines.compared(engines.PURE))
`);
process.stdout.write(rates);
