"""A line to an MQTT broker, on which one either speaks or listens: version 3.1.1, plain TCP.

Written out here, and not taken from a client library, because who judges whether anything was lost
must know when the broker has his subscription, and must hear everything that was sent before the
line broke; clients that connect again by themselves tell neither.
"""

import socket
import struct

CONNECT, CONNACK, PUBLISH, PUBACK, SUBSCRIBE, SUBACK = 1, 2, 3, 4, 8, 9


def _text(words):
    data = words.encode()
    return struct.pack(">H", len(data)) + data


class Line:
    """Open when it exists. Everything else raises OSError once the broker is gone or says nothing."""

    def __init__(self, port, name, wait_s_max=3.0):
        self._socket = socket.create_connection(("127.0.0.1", port), timeout=wait_s_max)
        self._socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self._bytes = self._socket.makefile("rb")
        clean, keep_alive_s = 0x02, 0  # nobody is thrown out for silence
        self._send(CONNECT << 4, _text("MQTT") + struct.pack(">BBH", 4, clean, keep_alive_s) +
                   _text(name))
        if self._await(CONNACK)[1] != 0:
            raise OSError("the broker refuses the connection")

    def subscribe(self, *filters):
        """Returns once the broker has it; what it sends from then on, and what is retained, comes."""
        self._send(SUBSCRIBE << 4 | 2, struct.pack(">H", 1) +
                   b"".join(_text(each) + b"\x00" for each in filters))
        self._await(SUBACK)

    def publish(self, topic, payload, retain=False):
        """Returns once the broker has acknowledged it (QoS 1)."""
        self._send(PUBLISH << 4 | 2 | retain, _text(topic) + struct.pack(">H", 1) +
                   payload.encode())
        self._await(PUBACK)

    def heard(self, until_silent_s=None):
        """(topic, payload, retained) of each message, until the line breaks or is silent so long."""
        self._socket.settimeout(until_silent_s)
        try:
            while True:
                kind, flags, body = self._packet()
                if kind != PUBLISH:
                    continue
                end = 2 + struct.unpack_from(">H", body)[0]
                yield body[2:end].decode(), body[end:].decode(), bool(flags & 1)
        except OSError:
            return  # what had come before was read first

    def close(self):
        self._socket.close()

    def _send(self, first, body):
        length, left = b"", len(body)
        while True:
            left, digit = divmod(left, 128)
            length += bytes([digit | (0x80 if left else 0)])
            if not left:
                break
        self._socket.sendall(bytes([first]) + length + body)

    def _await(self, wanted):
        while True:
            kind, _, body = self._packet()
            if kind == wanted:
                return body

    def _packet(self):
        first = self._exactly(1)[0]
        length, shift = 0, 0
        while True:
            digit = self._exactly(1)[0]
            length |= (digit & 0x7F) << shift
            shift += 7
            if digit < 0x80:
                break
        return first >> 4, first & 0x0F, self._exactly(length)

    def _exactly(self, count):
        data = self._bytes.read(count)
        if len(data) != count:
            raise OSError("the broker is gone")
        return data
