"""The `spareway` command: arguments, dispatch and exit codes.

Exit codes: 0 fits; 1 change, call or stop; 2 find out; 64 bad answers or usage; 70 a fault of Spareway itself;
130 stopped with Ctrl-C.
"""

from __future__ import annotations

import os
import sys

from checker.cli.arguments import parser
from checker.terminal.display import display_of, shorten
from checker.terminal.output import NotWritten
from checker.terminal.problem import OwnFault, Problem

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

BAD_INPUT, OWN_FAULT, INTERRUPTED = 64, 70, 130


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command; the exit code. Never raises, never shows a traceback."""
    try:
        return _dispatch(list(sys.argv[1:] if argv is None else argv))
    except SystemExit as done:  # --help
        return done.code if isinstance(done.code, int) else 0
    except Problem as problem:
        return _complain(problem)
    except KeyboardInterrupt:
        _tell(["", "spareway: stopped."])
        return INTERRUPTED
    except NotWritten as lost:
        return _not_written(lost)
    except Exception as fault:
        return _own_fault(fault)


def _dispatch(argv: list[str]) -> int:
    if argv[:1] == ["rules"]:
        from checker.cli.rules import run as maintain

        return maintain(argv[1:])
    arguments = parser()
    options = arguments.parse_args(argv)
    _compile_in_a_checkout()
    if options.command == "check":
        import gc

        from checker.cli.check import run

        gc.disable()  # one report and out: what the pack holds is kept to the end anyway,
        code = run(options)
        gc.freeze()  # and not searched at the end either
        return code
    if options.command == "plan":
        from checker.cli.plan import run
    elif options.command == "sheet":
        from checker.cli.sheet import run
    elif options.command == "ask":
        from checker.cli.ask import run
    elif options.command == "compare":
        from checker.cli.compare import run
    elif options.command == "packs":
        from checker.cli.packs import run
    elif options.version:
        from checker.cli.packs import run_version as run
    else:
        arguments.error("give a command: ask, check, sheet, compare, plan, packs or rules")
    return run(options)


def _compile_in_a_checkout() -> None:
    """New packs where a rule file is newer. An installed copy has no compiler and needs none."""
    if os.path.isdir(os.path.join(os.path.dirname(os.path.dirname(__file__)), "dev")):
        from checker.dev.rulebook.fresh import refresh

        refresh()


def _tell(lines: list[str]) -> None:
    """Lines to standard error. If even that is closed, the exit code has to speak alone."""
    try:
        sys.stderr.write("\n".join(lines) + "\n")
        sys.stderr.flush()
    except (AttributeError, OSError, ValueError):
        pass


def _complain(problem: Problem) -> int:
    display = display_of(sys.stderr)
    lines = [display.style("bold", "spareway: there is a problem with your input.")]
    for name in ("where", "what", "why", "fix"):
        lines += display.wrap(_sentence(getattr(problem, name), name), f"  {name + ':':<7}")
    _tell(lines)
    return BAD_INPUT


def _sentence(text: str, name: str) -> str:
    """Core and command write their parts each in its own way; here they end up alike."""
    if name == "where" or not text:
        return text
    return text[0].upper() + text[1:] + ("" if text[-1] in ".?!)" else ".")


def _own_fault(fault: Exception) -> int:
    from checker import __version__

    what = shorten(fault, 300) if isinstance(fault, OwnFault) else f"{type(fault).__name__}: {shorten(fault, 300)}"
    place = _place(fault)
    display = display_of(sys.stderr)
    lines = ["spareway: the fault is in Spareway, not in your answers. There is no verdict."]
    lines += display.wrap(f"{what}{f' ({place})' if place else ''}", "  what:  ")
    lines += display.wrap(
        f"Please report it to the project with this message, the version (spareway {__version__}), the pack and the "
        "answers file. Meanwhile, ask a licensed electrician to judge the job.",
        "  fix:   ",
    )
    _tell(lines)
    return OWN_FAULT


def _place(fault: Exception) -> str:
    """File and line of the fault inside this package; no folder of the machine."""
    place, frame = "", fault.__traceback__
    while frame is not None:
        name = frame.tb_frame.f_code.co_filename.replace(os.sep, "/")
        if "/checker/" in name and not isinstance(fault, OwnFault):
            place = f"checker/{name.rsplit('/checker/', 1)[1]}, line {frame.tb_lineno}"
        frame = frame.tb_next
    return place


def _not_written(lost: NotWritten) -> int:
    """A verdict that did not arrive is no verdict, whoever is to blame."""
    _tell([f"spareway: could not write the output ({lost}). There is no verdict."])
    if sys.stdout is not None:
        # What is still buffered would make Python complain once more while it shuts down.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return OWN_FAULT
