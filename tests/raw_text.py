"""Looks through the program's source for ways by which a text could come out uncleaned.

A way out is what prints, writes, ends the process with words, draws in a terminal, or makes markup.
Each is told by its file, its function, its kind and the expression, so that a test can hold the
whole list against the one that was looked at.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass

PRINTS = {"print", "input", "breakpoint", "pprint", "exit", "quit", "SystemExit"}
WRITES = {
    "write", "writelines", "write_text", "write_bytes", "fdopen", "print_exc", "print_exception",
    "print_help", "print_usage", "exit_with", "system", "popen", "putp", "excepthook",
}  # fmt: skip
STREAMS = {"stdout", "stderr", "__stdout__", "__stderr__", "displayhook"}
TALKING = {
    "logging", "warnings", "subprocess", "curses", "readline", "pprint", "getpass", "syslog",
    "html", "http", "socket", "smtplib", "webbrowser", "xml", "pdb", "cmd", "code", "tkinter",
}  # fmt: skip
"""Modules of the standard library that put a text somewhere by themselves."""
LIBRARY = {
    "rich.cells.cell_len", "rich.cells.set_cell_size", "rich.style.Style", "textual.app.App",
    "textual.app.ComposeResult", "textual.binding.Binding", "textual.containers.Horizontal",
    "textual.driver.Driver", "textual.events.Key", "textual.events.Paste",
    "textual.geometry.Offset", "textual.geometry.Region", "textual.screen.Screen",
    "textual.timer.Timer", "textual.widget.Widget", "textual.worker.get_current_worker",
    "textual._xterm_parser.XTermParser", "textual.drivers._byte_stream.ParseError",
    "textual.drivers.linux_driver.LinuxDriver",
}  # fmt: skip
"""What of the terminal library shows no text. Segment and Strip do, and so does all the rest."""
SHOWS = {
    "notify", "panic", "log", "bell", "copy_to_clipboard", "open_url", "_driver", "console",
    "deliver_text", "deliver_binary", "save_screenshot", "render_str", "error",
}  # fmt: skip
"""What an app, a screen, a widget or a parser of arguments has that puts a text out."""
TITLES = {
    "title", "sub_title", "border_title", "border_subtitle", "tooltip", "placeholder", "loading",
}  # fmt: skip
MARKUP = re.compile(r"<(?:[A-Za-z/?!]|$)")
RENDERS = {"render", "render_line", "render_lines", "__rich__", "__rich_console__"}


@dataclass(frozen=True, slots=True, order=True)
class WayOut:
    """One place where a text may come out: ``how`` is what stands there."""

    file: str
    function: str
    kind: str
    how: str


def ways_out(source: str, file: str) -> list[WayOut]:
    """Return every way out of one module's source."""
    seeker = _Seeker(file)
    seeker.visit(ast.parse(source))
    return seeker.found


class _Seeker(ast.NodeVisitor):
    def __init__(self, file: str) -> None:
        self.file, self.inside = file, ["module"]
        self.is_tui, self.is_picture = file.startswith("tui/"), file.startswith("model/picture/")
        self.found: list[WayOut] = []

    def _tell(self, kind: str, node: ast.AST | str) -> None:
        how = node if isinstance(node, str) else ast.unparse(node)
        self.found.append(WayOut(self.file, self.inside[-1], kind, how))

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        self.inside.append(node.name)
        if self.is_tui and node.name in RENDERS:
            self._tell("render", " or ".join(sorted(set(_returned(node)))))
        self.generic_visit(node)
        self.inside.pop()

    def visit_AsyncFunctionDef(self, node: ast.AsyncFunctionDef) -> None:
        self._tell("async", node.name)

    def visit_Import(self, node: ast.Import) -> None:
        for alias in node.names:
            self._imported(alias.name, alias)

    def visit_ImportFrom(self, node: ast.ImportFrom) -> None:
        for alias in node.names:
            self._imported(f"{node.module or ''}.{alias.name}", alias)

    def _imported(self, name: str, alias: ast.alias) -> None:
        top = name.split(".")[0]
        if top in ("textual", "rich") and name not in LIBRARY:
            self._tell("import", name)
        if top in TALKING or (top in ("sys", "os", "builtins", "traceback", "io") and "." in name):
            self._tell("import", name)
        if alias.asname and top in ("sys", "os", "json", "argparse", "builtins", "traceback"):
            self._tell("import", f"{name} as {alias.asname}")

    def visit_Call(self, node: ast.Call) -> None:
        match node.func:
            case ast.Name(id=name) if name in PRINTS:
                self._tell(name, node)
            case ast.Name(id="Segment" | "Strip" as name):
                self._tell(name, node)
            case ast.Name(id="getattr"):
                self._by_name(node)
            case ast.Attribute(attr=name) if name in WRITES:
                self._tell(f".{name}", node)
            case ast.Attribute(value=ast.Name(id="os" | "io" as top), attr="open" as name):
                self._tell(f"{top}.{name}", node)
            case ast.Name(id="open") if _may_write(node.args[1:2], node.keywords):
                self._tell("open", node)
            case ast.Attribute(attr="open") if _may_write(node.args[:1], node.keywords):
                self._tell(".open", node)
            case ast.Attribute(attr="exit") if _says_more(node):
                self._tell(".exit", node)
            case ast.Attribute(value=ast.Name(id="Strip" | "Segment" as name)):
                self._tell(name, node)
            case ast.Attribute(value=ast.Name(id="argparse"), attr="ArgumentParser"):
                self._tell("ArgumentParser", node.func)
            case ast.Attribute(attr=name) if self.is_tui and name in SHOWS:
                self._tell(f".{name}", node)
                node = ast.Call(ast.Constant(None), node.args, node.keywords)
            case ast.Attribute(value=ast.Name(id="json"), attr="dumps" | "dump"):
                self._json(node)
            case ast.Attribute(value=ast.Name(id="svg"), attr="tag") if self.is_picture:
                self._markup(node)
        self.generic_visit(node)

    def _by_name(self, node: ast.Call) -> None:
        """A name that is worked out may be any of those that are looked for."""
        if not (len(node.args) > 1 and isinstance(node.args[1], ast.Constant)):
            if self.is_tui:
                self._tell("getattr", node)
        elif node.args[1].value in WRITES | SHOWS | STREAMS:
            self._tell("getattr", node)

    def _json(self, node: ast.Call) -> None:
        said = {word.arg: ast.unparse(word.value) for word in node.keywords}
        if said.get("ensure_ascii", "True") != "True" or None in said:
            self._tell("json", node)

    def _markup(self, node: ast.Call) -> None:
        """A text inside an element must have come through the module that escapes."""
        for inside in node.args[2:]:
            if isinstance(inside, ast.Constant | ast.JoinedStr | ast.BinOp):
                self._tell("markup", inside)

    def visit_Attribute(self, node: ast.Attribute) -> None:
        if isinstance(node.value, ast.Name) and node.value.id == "sys" and node.attr in STREAMS:
            self._tell("stream", node)
        if self.is_tui and node.attr in SHOWS:
            self._tell("shows", node)
        if self.is_tui and node.attr in TITLES and isinstance(node.ctx, ast.Store):
            self._tell("title", node)
        self.generic_visit(node)

    def visit_Constant(self, node: ast.Constant) -> None:
        if self.is_picture and isinstance(node.value, str) and MARKUP.search(node.value):
            self._tell("markup", node)


def _may_write(mode: list[ast.expr], keywords: list[ast.keyword]) -> bool:
    """Tell whether a file may be opened to be written: its mode says so, or is worked out."""
    modes = [*mode, *(word.value for word in keywords if word.arg in ("mode", None))]
    return any(
        not (isinstance(m, ast.Constant) and isinstance(m.value, str)) or set(m.value) & set("wax+")
        for m in modes
    )


def _says_more(node: ast.Call) -> bool:
    """Tell whether an exit has words to say: ``exit(result, status, words)``."""
    of_sys = isinstance(node.func, ast.Attribute) and ast.unparse(node.func.value) == "sys"
    return of_sys or len(node.args) > 2 or any(w.arg in ("message", None) for w in node.keywords)


def _returned(function: ast.FunctionDef) -> Iterator[str]:
    """Yield what a method returns: the function that it calls, else the whole expression."""
    for node in ast.walk(function):
        if isinstance(node, ast.Return | ast.Yield):
            call = node.value if isinstance(node.value, ast.Call) else None
            yield ast.unparse(call.func if call else node.value or ast.Constant(None))
