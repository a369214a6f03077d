import socket

import pytest

from deploy.demo import address


def test_port_in_use_is_refused_with_what_to_do():
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]

        with pytest.raises(address.PortTakenError, match=rf"Port {port} cannot be used .*--port"):
            address.require_free("127.0.0.1", port)


def test_free_port_is_accepted():
    address.require_free("127.0.0.1", address.any_free_port())
