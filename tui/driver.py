"""The way in from a Unix terminal: bad bytes do not end the program, a dropped line does."""

from __future__ import annotations

import os
import selectors
import signal
import threading
from codecs import getincrementaldecoder

from textual._xterm_parser import XTermParser
from textual.drivers._byte_stream import ParseError
from textual.drivers.linux_driver import LinuxDriver

from tui.pastes import Pastes

PATIENCE = 1.5
"""Seconds that leaving may take once the terminal is gone; readings are on the disk already."""


class StageDriver(LinuxDriver):
    """The library's own driver but for three things.

    A byte that is no UTF-8 becomes a replacement character; the library's decoder would raise and
    end the program. An end of input ends the program; the library's loop would read it for ever.
    An escape in pasted text begins nothing; the library's parser would make keys of what follows.
    """

    def _run_input_thread(self) -> None:
        """Run the thread; what goes wrong in it ends the program with a log, as elsewhere."""
        try:
            self.run_input_thread()
        except Exception as error:
            self._app.call_later(self._app._handle_exception, error)

    def run_input_thread(self) -> None:
        """Wait for input and hand it on, until the program ends or the terminal is gone."""
        parser = XTermParser(self._debug)
        decode = getincrementaldecoder("utf-8")(errors="replace").decode
        pastes = Pastes()
        selector = selectors.SelectSelector()
        selector.register(self.fileno, selectors.EVENT_READ)
        try:
            while not self.exit_event.is_set():
                if selector.select(0.1):
                    try:
                        data = os.read(self.fileno, 4096)
                    except OSError:
                        data = b""
                    if not data:
                        self._terminal_is_gone()
                        return
                    # Half of a character is no text yet, and an empty one would end the parser.
                    text = pastes.without_escapes(decode(data))
                    for event in parser.feed(text) if text else ():
                        self.process_message(event)
                for event in parser.tick():
                    self.process_message(event)
        finally:
            selector.close()
            try:
                for _event in parser.feed(""):
                    pass
            except (EOFError, ParseError):
                pass

    def _terminal_is_gone(self) -> None:
        leave_soon(128 + signal.SIGHUP)
        self._app.call_later(self._app.exit, None, 128 + signal.SIGHUP)


def leave_soon(status: int) -> None:
    """End the process in a while, whatever hangs: a write to a dead terminal may wait for ever."""
    timer = threading.Timer(PATIENCE, os._exit, (status,))
    timer.daemon = True
    timer.start()
