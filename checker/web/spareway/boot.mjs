// Python with the checker in it, the same way in a worker, under Node, and when the site is built.

/** Where the wheel is unpacked. `/lib/python3.13` would name a version. */
const HOME = "/spareway";

/**
 * Starts Pyodide with our wheel. `load`: Pyodide's own `loadPyodide`; `options`: for it; `wheel`: bytes of the wheel.
 *
 * With `options._loadSnapshot` the memory of an earlier start is put back, and `wheel` is not needed: every module and
 * every rule set is in it already. Otherwise, with `options._makeSnapshot`, `snapshot()` gives that memory as bytes.
 */
export async function boot(load, options, wheel) {
  const pyodide = await load(options);
  if (!options._loadSnapshot) {
    pyodide.FS.writeFile("/spareway.whl", wheel);
    pyodide.runPython(UNPACK);
  }
  return {
    pyodide,
    // Taken from Python only now: a snapshot may hold nothing of JavaScript's.
    get handle() {
      const { handle } = pyodide.pyimport("checker.core.api");
      return (text) => handle(text);
    },
    snapshot: () => pyodide.makeMemorySnapshot(),
  };
}

// Every module is imported and every rule set read now: later there is no file system to read them from. They stay as long as
// Python does, so the garbage collector is told to leave them alone: going through them took a quarter of a check's time.
const UNPACK = `
import gc, importlib, sys, zipfile
with zipfile.ZipFile("/spareway.whl") as _wheel:
    _wheel.extractall("${HOME}")
    _modules = [n[:-4].removesuffix("/__init__").replace("/", ".") for n in _wheel.namelist()
                if n.startswith(("checker/core/", "checker/packs/")) and n.endswith(".pyc")]
sys.path.insert(0, "${HOME}")
for _name in _modules:
    importlib.import_module(_name)
importlib.import_module("checker.packs").hold()
del _wheel, _modules, _name
gc.collect()
gc.freeze()
`;
