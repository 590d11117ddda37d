"""Between the phone and the shop: a wire that can be cut, so that a page really meets no server."""

import socket
import threading


class Signal:
    """Passes bytes on from its own port to the shop's while there is signal; drops everything once cut."""

    def __init__(self, host: str, port: int):
        self.shop = (host, port)
        self.there, self.stalled = True, False
        self.open: set[socket.socket] = set()
        self.lock = threading.Lock()
        self.ear = socket.create_server(("127.0.0.1", 0))
        self.url = f"http://localhost:{self.ear.getsockname()[1]}"
        threading.Thread(target=self._listen, daemon=True).start()

    def cut(self) -> None:
        self.there = False
        with self.lock:
            for one in self.open:
                _hang_up(one)
            self.open.clear()

    def stall(self) -> None:
        """From now on calls are taken and never answered, as at the edge of a Wi-Fi."""
        self.cut()
        self.stalled, self.there = True, True

    def mend(self) -> None:
        self.there, self.stalled = True, False

    def close(self) -> None:
        self.cut()
        self.ear.close()

    def _listen(self):
        while True:
            try:
                near, _ = self.ear.accept()
            except OSError:
                return
            if not self.there:
                _hang_up(near)
                continue
            if self.stalled:
                with self.lock:
                    self.open.add(near)
                continue
            try:
                far = socket.create_connection(self.shop)
            except OSError:
                _hang_up(near)
                continue
            with self.lock:
                self.open |= {near, far}
            for a, b in ((near, far), (far, near)):
                threading.Thread(target=self._pass_on, args=(a, b), daemon=True).start()

    def _pass_on(self, a: socket.socket, b: socket.socket):
        try:
            while data := a.recv(65536):
                b.sendall(data)
        except OSError:
            pass
        finally:
            with self.lock:
                self.open -= {a, b}
            _hang_up(a)
            _hang_up(b)


def _hang_up(one: socket.socket) -> None:
    try:
        one.shutdown(socket.SHUT_RDWR)
    except OSError:
        pass
    one.close()
