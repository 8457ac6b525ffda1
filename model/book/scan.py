"""One pass over a TOML text, key by key and value by value; lenient, for the index to be right."""

from __future__ import annotations

import re

Path = tuple[str, ...]

BLANK = re.compile(r"[ \t\r\n]+")
COMMENT = re.compile(r"#[^\n]*")
_LONG = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!""))*+"{3,5}'
    r"|'''(?:[^']|'(?!''))*+'{3,5}",
    re.DOTALL,
)
_SHORT = re.compile(r'"(?:[^"\\\n]|\\[^\n])*+"' r"|'[^'\n]*'")
_WHOLE_OR_OPEN = re.compile(
    rf"""{_LONG.pattern}|{_SHORT.pattern}|(?P<open>["'][^\n]*)""", re.DOTALL
)
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_SIGN = re.compile(r"[.,=]")
_OTHER = re.compile(r"[^\n\"'#\[\]{}]+")
_ESCAPE = re.compile(r"\\(x[0-9A-Fa-f]{2}|u[0-9A-Fa-f]{4}|U[0-9A-Fa-f]{8}|.)", re.DOTALL)
_ESCAPED = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", "e": "\x1b"}


class Scan:
    """One pass over a text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.line = 1
        self.deepest = 0
        self.deepest_line = 1
        self.odd_lines: list[int] = []
        self.never_closed: set[str] = set()

    def go(self, to: int) -> None:
        """Move on, and count the lines on the way."""
        self.line += self.text.count("\n", self.at, to)
        self.at = to

    def skip(self, pattern: re.Pattern[str]) -> bool:
        """Pass over what a pattern matches here; tell whether it did."""
        if match := pattern.match(self.text, self.at):
            self.go(match.end())
            return True
        return False

    def peek(self) -> str:
        """Return the next character, or nothing at the end."""
        return self.text[self.at : self.at + 1]

    def note_depth(self, depth: int) -> None:
        """Remember where keys and brackets go deepest."""
        if depth > self.deepest:
            self.deepest, self.deepest_line = depth, self.line

    def to_line_end(self) -> None:
        """Move to the end of the line."""
        end = self.text.find("\n", self.at)
        self.go(len(self.text) if end < 0 else end)

    def spaces(self) -> None:
        """Pass over spaces and tabs."""
        while self.peek() in (" ", "\t") and self.peek():
            self.at += 1

    def key(self) -> Path | None:
        """Read a dotted key, or return None where there is none."""
        parts: list[str] = []
        while True:
            self.spaces()
            if match := _BARE.match(self.text, self.at):
                parts.append(match.group())
            elif not self._opens_long() and (match := _SHORT.match(self.text, self.at)):
                parts.append(_unquoted(match.group()))
            else:
                return None
            self.go(match.end())
            self.spaces()
            if self.peek() != ".":
                return tuple(parts)
            self.at += 1

    def _opens_long(self) -> bool:
        return self.text.startswith(('"""', "'''"), self.at)

    def _string(self) -> bool:
        """Pass over a whole string here; tell whether there is one.

        A long one that nothing closes is looked for once: no later one is closed either, and
        looking again from each would take for ever on a hostile text.
        """
        quotes = self.text[self.at : self.at + 3]
        if self._opens_long() and quotes not in self.never_closed:
            if self.skip(_LONG):
                return True
            self.never_closed.add(quotes)
        return self.skip(_SHORT)

    def value(self, depth: int) -> int:
        """Pass over a value; return the offset of its end. ``depth`` is its key's."""
        begin, nest = self.at, _Nest(depth)
        while self.at < len(self.text):
            char = self.peek()
            if char == "\n" and not nest.keys:
                break
            if char == "#":
                if not nest.keys:
                    break
                self.skip(COMMENT)
                continue
            is_over = char in "]}" and not nest.keys
            if char in "[{":
                nest.open(is_table=char == "{")
                self.note_depth(nest.depth)
            elif char in "]}" and not is_over:
                nest.close()
            if char in "[]{}\n":
                self.go(self.at + 1)
            elif char in "\"'":
                if not self._string():
                    self.to_line_end()
            else:
                at = self.at
                self.skip(_OTHER)
                if nest.keys and nest.keys[-1] is not None:
                    self.note_depth(nest.deepest_in(self.text[at : self.at]))
            if is_over:
                break
        return begin + len(self.text[begin : self.at].rstrip())


class _Nest:
    """The open brackets inside a value, and how deep one is: the dots of keys in braces count."""

    def __init__(self, depth: int) -> None:
        self.depth = depth
        self.dots: list[int] = []
        self.keys: list[bool | None] = []
        """For each bracket whether one is in a key of it; None in a list."""

    def open(self, *, is_table: bool) -> None:
        self.depth += 1
        self.dots.append(0)
        self.keys.append(True if is_table else None)

    def close(self) -> None:
        self.depth -= 1 + self.dots.pop()
        self.keys.pop()

    def deepest_in(self, text: str) -> int:
        """Go over what stands between braces and is no string; return how deep it goes."""
        deepest = self.depth
        for sign in _SIGN.findall(text):
            if sign == "=":
                self.keys[-1] = False
            elif sign == ",":
                self.depth -= self.dots[-1]
                self.dots[-1], self.keys[-1] = 0, True
            elif self.keys[-1]:
                self.depth += 1
                self.dots[-1] += 1
                deepest = max(deepest, self.depth)
        return deepest


def _unquoted(text: str) -> str:
    if text.startswith("'"):
        return text[1:-1]

    def plain(match: re.Match[str]) -> str:
        code = match.group(1)
        if code[0] in "xuU" and len(code) > 1:
            number = int(code[1:], 16)
            return chr(number) if number < 0x110000 else "\ufffd"
        return _ESCAPED.get(code, code)

    return _ESCAPE.sub(plain, text[1:-1])


def mask_strings(text: str) -> str:
    """Return ``text`` with a 0 for every whole string in it; a line stays from an open one on."""
    return _WHOLE_OR_OPEN.sub(lambda match: match["open"] or "0", text)
