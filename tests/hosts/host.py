"""The same day as config-examples/host.c, by a host in Python: ctypes over the plain C boundary.

    host.py LIBRARY CONFIGURATION

The declarations below are written from plugin/wheymark.h by hand, as somebody does who has the
header and the library and nothing else. It prints what host.c prints, to the letter.
"""
import ctypes as c
import sys
from datetime import datetime, timedelta, timezone


class Text(c.Structure):
    _fields_ = [("bytes", c.c_char_p), ("length", c.c_size_t)]

    def __str__(self):
        return c.string_at(self.bytes_at(), self.length).decode("utf-8") if self.length else ""

    def bytes_at(self):  # c_char_p would end at a NUL byte
        return c.cast(c.addressof(self), c.POINTER(c.c_void_p))[0]


class Message(c.Structure):
    _fields_ = [
        ("struct_size", c.c_uint32), ("qos", c.c_uint8), ("retain", c.c_uint8),
        ("reserved", c.c_uint16), ("topic", Text), ("payload", Text), ("content_type", Text),
        ("delivery", c.c_uint64)]


PUBLISH = c.CFUNCTYPE(c.c_int, c.c_void_p, c.POINTER(Message))
SUBSCRIBE = c.CFUNCTYPE(c.c_int, c.c_void_p, Text, c.c_uint8)
LOG = c.CFUNCTYPE(None, c.c_void_p, c.c_int, Text)


class Host(c.Structure):
    _fields_ = [("struct_size", c.c_uint32), ("context", c.c_void_p), ("publish", PUBLISH),
                ("subscribe", SUBSCRIBE), ("log", LOG)]


class Settings(c.Structure):
    _fields_ = [("struct_size", c.c_uint32), ("reserved", c.c_uint32), ("configuration", Text),
                ("directory", Text), ("store", Text)]


INSTANCE = c.c_void_p
AT_AN_INSTANT = c.CFUNCTYPE(c.c_int, INSTANCE, c.c_int64)


class Plugin(c.Structure):
    _fields_ = [
        ("struct_size", c.c_uint32), ("version", c.c_char_p),
        ("check", c.CFUNCTYPE(c.c_int, c.POINTER(Host), c.POINTER(Settings))),
        ("open", c.CFUNCTYPE(c.c_int, c.POINTER(Host), c.POINTER(Settings),
                             c.POINTER(INSTANCE))),
        ("connection", c.CFUNCTYPE(c.c_int, INSTANCE, c.c_void_p)),
        ("connected", AT_AN_INSTANT), ("subscribed", AT_AN_INSTANT),
        ("disconnected", AT_AN_INSTANT),
        ("message", c.CFUNCTYPE(c.c_int, INSTANCE, c.POINTER(Message), c.c_int64)),
        ("tick", AT_AN_INSTANT),
        ("next_tick_ms", c.CFUNCTYPE(c.c_int64, INSTANCE)),
        ("delivered", c.CFUNCTYPE(c.c_int, INSTANCE, c.c_uint64, c.c_int64)),
        ("stop", AT_AN_INSTANT),
        ("close", c.CFUNCTYPE(None, INSTANCE))]


def text(value):
    encoded = value if isinstance(value, bytes) else value.encode("utf-8")
    return Text(encoded, len(encoded))


def must(status, what):
    if status != 0:
        sys.exit(f"{what}: status {status}")


class Hub:
    def __init__(self, library, configuration):
        entry = library.wheymark_plugin_v1
        entry.restype = c.POINTER(Plugin)
        self.plugin = entry().contents
        if self.plugin.struct_size < c.sizeof(Plugin):
            sys.exit("a library older than version 1")
        self.now_ms = 1803888000000  # 2027-03-01T08:00:00Z
        self.parcels = []
        # ctypes frees a callback that nobody holds, so we hold them.
        self.host = Host(c.sizeof(Host), None, PUBLISH(self.publish), SUBSCRIBE(self.subscribe),
                         LOG(self.log))
        settings = Settings(c.sizeof(Settings), 0, text(configuration), text(""),
                            text(":memory:"))
        self.instance = INSTANCE()
        must(self.plugin.open(c.byref(self.host), c.byref(settings), c.byref(self.instance)),
             "open")

    def publish(self, _context, message):
        message = message.contents
        if message.delivery:
            self.parcels.append(message.delivery)
        topic = str(message.topic)
        shown = topic.startswith(("wheymark/events/", "wheymark/answer"))
        if shown or topic.endswith("jar-tall/batch/stage"):
            at = datetime(1970, 1, 1, tzinfo=timezone.utc) + timedelta(milliseconds=self.now_ms)
            print(f"{at:%Y-%m-%dT%H:%M:%SZ} {topic} {message.payload}")
        return 0

    def subscribe(self, _context, topic_filter, qos):
        print(f"subscribes to {topic_filter}, QoS {qos}")
        return 0

    def log(self, _context, level, line):
        print(f"log {level}: {line}", file=sys.stderr)

    def acknowledge(self):
        while self.parcels:
            must(self.plugin.delivered(self.instance, self.parcels.pop(), self.now_ms),
                 "delivered")

    def connect(self):
        must(self.plugin.connected(self.instance, self.now_ms), "connected")
        must(self.plugin.subscribed(self.instance, self.now_ms), "subscribed")
        self.acknowledge()

    def deliver(self, topic, payload):
        message = Message(c.sizeof(Message), 1, 0, 0, text(topic), text(payload), text(""), 0)
        must(self.plugin.message(self.instance, c.byref(message), self.now_ms), "message")
        self.acknowledge()

    def pass_time(self, minutes):
        until_ms = self.now_ms + minutes * 60000
        while (due_ms := self.plugin.next_tick_ms(self.instance)) <= until_ms:
            self.now_ms = max(self.now_ms, due_ms)
            must(self.plugin.tick(self.instance, self.now_ms), "tick")
            self.acknowledge()
        self.now_ms = until_ms

    def stop(self):
        must(self.plugin.stop(self.instance, self.now_ms), "stop")
        self.acknowledge()
        self.plugin.close(self.instance)


def main():
    with open(sys.argv[2], "rb") as file:
        hub = Hub(c.CDLL(sys.argv[1]), file.read())
    hub.connect()
    hub.deliver("house/kitchen/temperature", "21.5")
    hub.deliver("wheymark/say", '{"fact":"start","jar":"tall"}')
    for _ in range(24 * 4):
        hub.pass_time(15)
        hub.deliver("house/kitchen/temperature", "21.5")
    hub.deliver("homie/5/jar-tall/care/step/set", "strain")
    hub.deliver("wheymark/say", "nonsense")
    hub.stop()


main()
