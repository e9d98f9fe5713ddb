"""A wire to a server that can be cut and mended: what is sent goes through, or nobody answers."""

from __future__ import annotations

import socket
import threading
from contextlib import suppress


class Wire:
    """Listens on a port of its own and hands everything on to the server."""

    def __init__(self, host: str, port: int) -> None:
        self._server = host, port
        self._ends: list[socket.socket] = []
        self._listening = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._listening.getsockname()[1]
        self._serve()

    def cut(self) -> None:
        """Whoever is connected is cut off, and nobody else gets through."""
        for end in [self._listening, *self._ends]:
            with suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)
            end.close()
        self._ends.clear()

    def mend(self) -> None:
        """It goes through again."""
        self._listening = socket.create_server(("127.0.0.1", self.port))
        self._serve()

    def _serve(self) -> None:
        threading.Thread(target=self._accept, args=(self._listening,), daemon=True).start()

    def _accept(self, listening: socket.socket) -> None:
        with suppress(OSError):
            while True:
                here, _ = listening.accept()
                there = socket.create_connection(self._server)
                self._ends += [here, there]
                for one, other in ((here, there), (there, here)):
                    threading.Thread(target=_carry, args=(one, other), daemon=True).start()


def _carry(one: socket.socket, other: socket.socket) -> None:
    with suppress(OSError):
        while said := one.recv(65536):
            other.sendall(said)
    with suppress(OSError):
        other.shutdown(socket.SHUT_RDWR)
