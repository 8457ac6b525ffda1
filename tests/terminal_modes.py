"""What a terminal was left with, told from all that was written to it.

Private modes and styles as in ECMA-48 and xterm's control sequences (ctlseqs); the keyboard's
flags are kept in a stack for each of the two screens (kitty's keyboard protocol).
"""

from __future__ import annotations

import re

_SEQUENCE = re.compile(
    rb"\x1b\[(?P<private>[<=>?]?)(?P<numbers>[0-9;:]*)(?P<between>[ -/]*)(?P<end>[@-~])"
    rb"|\x1b\](?P<system>[^\x07\x1b]*)(?:\x07|\x1b\\)|\x1b(?P<short>[()][A-Z0-9]|[=>78cM])"
)
ON_AT_FIRST = {7, 25}
"""Lines wrap, and the cursor is seen."""
NAMES = {
    1: "cursor keys", 7: "line wrap", 25: "cursor", 47: "other screen", 1000: "mouse",
    1002: "mouse", 1003: "mouse", 1004: "focus reports", 1006: "mouse", 1015: "mouse",
    1016: "mouse", 1047: "other screen", 1049: "other screen", 2004: "bracketed paste",
    2026: "drawing held back", 2048: "size reports",
}  # fmt: skip
OTHER_SCREEN = {47, 1047, 1049}


class Modes:
    """Reads what was written, and keeps what is on."""

    def __init__(self, written: bytes = b"") -> None:
        self.on = set(ON_AT_FIRST)
        self.ever: set[int] = set()
        self.keyboard: dict[bool, int] = {False: 0, True: 0}
        self.styled = False
        self.odd: list[str] = []
        self.pointer = b"default"
        for found in _SEQUENCE.finditer(written):
            self._take(found)

    def _take(self, found: re.Match[bytes]) -> None:
        if found["system"] is not None:
            what, _, text = found["system"].partition(b";")
            if what == b"22":
                self.pointer = text
            else:
                self.odd.append(f"OSC {what.decode()}")
        elif found["short"] is not None:
            self.odd.append(f"ESC {found['short'].decode()}")
        else:
            kind = (found["private"], found["between"], found["end"])
            self._control(kind, [int(n) for n in re.findall(rb"[0-9]+", found["numbers"])])

    def _control(self, kind: tuple[bytes, bytes, bytes], numbers: list[int]) -> None:
        match kind:
            case (b"?", b"", b"h"):
                self.on |= set(numbers)
                self.ever |= set(numbers)
            case (b"?", b"", b"l"):
                self.on -= set(numbers)
            case (b">", b"", b"u"):
                self.keyboard[bool(self.on & OTHER_SCREEN)] += 1
            case (b"<", b"", b"u"):
                self.keyboard[bool(self.on & OTHER_SCREEN)] -= sum(numbers) or 1
            case (b"", b"", b"m"):
                self.styled = bool(numbers) and numbers != [0]
            case (b"", b"", b"r") | (b">", b"", b"m"):
                self.odd.append(f"CSI {kind} {numbers}")

    def left(self) -> list[str]:
        """Return what is not as it was at first, in words."""
        turned = self.on ^ ON_AT_FIRST
        words = sorted({NAMES.get(mode, f"mode {mode}") for mode in turned})
        words += [f"keyboard flags, {count} deep" for count in self.keyboard.values() if count]
        words += ["a style"] if self.styled else []
        words += ["the pointer's shape"] if self.pointer not in (b"default", b"") else []
        return words + self.odd
