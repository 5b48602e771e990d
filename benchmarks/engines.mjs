// benchmarks/engines.py in the browser's Python:
//
//   node benchmarks/engines.mjs build/browser/pyodide <simpleeval.py> > rates.json
import { readFileSync } from "node:fs";
import { dirname } from "node:path";
import { fileURLToPath } from "node:url";

import { boot } from "../checker/web/spareway/boot.mjs";
import { held } from "../tests/runtimes/held.mjs";

const { loadPyodide, indexURL, wheel } = await held(process.argv[2]);
const { pyodide } = await boot(loadPyodide, { indexURL }, wheel);

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
