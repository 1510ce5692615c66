"""The household that is measured, as large as is asked for, and its days as lines for a replay."""

import datetime
import json
import math


def configuration(jars, rooms, url="mqtt://127.0.0.1", store="wheymark.db", prefix="wheymark"):
    """`jars` jars, each with a culture of its own, spread over `rooms` rooms with a thermometer each."""
    return {
        "home": {"name": "A house of many rooms", "time_zone": "Europe/Dublin"},
        "broker": {"url": url, "client_id": prefix},
        "store": str(store),
        "wire": {"prefix": prefix, "root_device": prefix},
        "places": [
            {"id": f"room-{i}", "kind": "room",
             "thermometer": {"topic": f"load/{i}/climate", "pointer": "/temperature",
                             "instant_pointer": "/at"}}
            for i in range(rooms)
        ],
        "cultures": [{"id": f"c{i}"} for i in range(jars)],
        "jars": [{"id": f"j{i}", "capacity_ml": 1250, "place": f"room-{i % rooms}",
                  "culture": f"c{i}", "milk": "cow-whole", "milk_ml": 950, "grain_g": 20}
                 for i in range(jars)],
    }


def write_configuration(file, *arguments, **named):
    file.write_text(json.dumps(configuration(*arguments, **named), separators=(",", ":")))
    return file


def instant(at_s):
    return datetime.datetime.fromtimestamp(at_s, datetime.timezone.utc).strftime("%Y-%m-%dT%H:%M:%SZ")


def message(at_s, topic, payload):
    return f'{{"at":"{instant(at_s)}","topic":"{topic}","payload":{json.dumps(payload)}}}\n'


def reading(at_s, room):
    """Of a room that goes by its days, and is not the same as the next; hundredths of a degree move."""
    hours = at_s / 3600.0
    air_c = (20.0 + 0.01 * (room % 300) + 1.5 * math.sin(hours * 2.0 * math.pi / 24.0) +
             0.05 * math.sin(hours * 37.0 + room))
    payload = f'{{"temperature":{air_c:.2f},"at":{at_s}}}'
    return message(at_s, f"load/{room}/climate", payload)


def said(at_s, prefix="wheymark", **fact):
    return message(at_s, f"{prefix}/say", json.dumps(fact))


def days(jars, rooms, begin_s, end_s, every_s=60, fed=True):
    """Lines in the order of time: each room is read each `every_s`; each jar is fed at once, and each
    day at that hour it is strained and fed again."""
    morning_s = begin_s
    running = False
    for at_s in range(begin_s, end_s, every_s):
        if fed and at_s >= morning_s:
            for jar in range(jars):
                if running:
                    yield said(at_s, fact="strain", jar=f"j{jar}", verdict="right")
                yield said(at_s, fact="start", jar=f"j{jar}")
            running = True
            morning_s += 86_400
        for room in range(rooms):
            yield reading(at_s, room)
    yield f'{{"at":"{instant(end_s)}"}}\n'
