"""Where the demo can be reached, and whether the port is free."""

import socket


class PortTakenError(RuntimeError):
    """Something else already listens there."""


def require_free(host: str, port: int) -> None:
    """Refuse early, with a message that says what to do, instead of a trace from the web server."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as fault:
            raise PortTakenError(
                f"Port {port} cannot be used ({fault.strerror}). Is the demo running already? "
                "Stop what listens there, or choose another port with --port."
            ) from fault


def any_free_port(host: str = "127.0.0.1") -> int:
    """A port that nothing listens on at this moment."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        probe.bind((host, 0))
        port: int = probe.getsockname()[1]
        return port


def on_local_network() -> str | None:
    """This machine's address on its network; None when it has none. Nothing is sent to find out."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # An address of the block that is kept for documentation (RFC 5737): only the route is looked up.
            probe.connect(("192.0.2.1", 9))
        except OSError:
            return None
        address: str = probe.getsockname()[0]
    return None if address.startswith("127.") else address
