"""Finding a port to listen at, and saying at which addresses the server can be reached."""

from __future__ import annotations

import errno
import ipaddress
import os
import socket

TRIED = 50
_NOT_HERE = (errno.EADDRNOTAVAIL, errno.EAFNOSUPPORT)


class NoPort(Exception):
    """No port can be had; the message says why."""


def listen(host: str, port: int) -> socket.socket:
    """A listening socket at the port, or at the next one that is free. Raises NoPort.

    Port 0 leaves the choice to the system.
    """
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    for candidate in range(port, min(port + TRIED, 65536)):
        listener = socket.socket(family, socket.SOCK_STREAM)
        if os.name != "nt":  # there, the option would let two servers have one port
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((host, candidate))
            listener.listen(128)
        except PermissionError:
            listener.close()
            raise NoPort(f"Port {candidate} is not for everyone to use: choose one above 1023 with --port.") from None
        except OSError as error:
            listener.close()
            if isinstance(error, socket.gaierror) or error.errno in _NOT_HERE:
                raise NoPort(f"This machine has no address {host} to listen at.") from None
        else:
            return listener
    raise NoPort(f"Ports {port} to {candidate} are all taken: choose another one with --port.")


def addresses(listener: socket.socket) -> tuple[str, str | None]:
    """The address on this machine, and the one on the local network where the network is let in."""
    host, port = listener.getsockname()[:2]
    if not ipaddress.ip_address(host).is_unspecified:
        return _url(host, port), None
    near = _local_network_host()
    return _url("127.0.0.1" if "." in host else "::1", port), near and _url(near, port)


def _url(host: str, port: int) -> str:
    return f"http://[{host}]:{port}/" if ":" in host else f"http://{host}:{port}/"


def _local_network_host() -> str | None:
    """The address that packets to elsewhere would leave from. Connecting this kind of socket sends none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address for documentation (RFC 5737): nobody has it
            host: str = probe.getsockname()[0]
        except OSError:
            return None
    return None if ipaddress.ip_address(host).is_loopback else host
