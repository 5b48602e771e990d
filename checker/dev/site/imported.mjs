// Which modules of the standard library are imported once Pyodide has started and the named modules are imported too.
//
//   node checker/dev/imported.mjs build/browser/pyodide decimal checker.core.api ...     prints a JSON list of names
import { readdirSync, readFileSync } from "node:fs";
import { resolve, sep } from "node:path";
import { pathToFileURL } from "node:url";

import { boot } from "../../web/spareway/boot.mjs";

const folder = resolve(process.argv[2]) + sep;
const { loadPyodide } = await import(pathToFileURL(`${folder}pyodide.mjs`).href);
const wheel = readdirSync(folder).find((name) => name.endsWith(".whl"));
const { pyodide } = await boot(loadPyodide, { indexURL: folder }, readFileSync(folder + wheel));
pyodide.globals.set("_named", process.argv.slice(3).join(" "));
process.stdout.write(pyodide.runPython(`
import importlib, json, sys
for _name in _named.split():
    importlib.import_module(_name)
_origins = {name: getattr(getattr(module, "__spec__", None), "origin", None) or "" for name, module in sys.modules.items()}
json.dumps(sorted(name for name, origin in _origins.items() if ".zip/" in origin))
`));
