"""The invented household: what its thermometers read and what its people do and say.

People say a thing again, with the same ref, until it is answered, and do nothing else with that jar
before. Time is the household's own, seconds since it began.
"""

import datetime
import json
import math
import time

JARS = 4
BEGAN = datetime.datetime(2027, 3, 1, 7, 0, tzinfo=datetime.timezone.utc)
HOUR_S = 3600.0
DAY_S = 24 * HOUR_S
SAID_AGAIN_AFTER_S = 3.0  # by our own clock: a person's patience


def instant(at_s):
    return (BEGAN + datetime.timedelta(seconds=round(at_s))).isoformat().replace("+00:00", "Z")


def configuration(url, store):
    jars = [{"id": f"jar-{i}", "capacity_ml": 1250, "place": "kitchen", "culture": "tilly",
             "milk": "cow-whole", "milk_ml": 950} for i in range(JARS)]
    bottles = [{"id": f"bottle-{i}", "capacity_ml": 1000, "place": "fridge"} for i in range(JARS)]
    return {
        "home": {"name": "Restart house", "time_zone": "Europe/Dublin"},
        "broker": {"url": url, "client_id": "wheymark"},
        "store": str(store),
        "places": [
            {"id": "kitchen", "kind": "room", "thermometer": {"topic": "house/kitchen"}},
            {"id": "larder", "kind": "room",
             "thermometer": {"topic": "house/larder", "pointer": "/air/temperature",
                             "instant_pointer": "/at"}},
            {"id": "fridge", "kind": "fridge", "thermometer": {"topic": "house/fridge"}}],
        "cultures": [{"id": "tilly", "grain_g": 90}],
        "jars": jars + bottles,
    }


class Jar:
    """A jar, its bottle, and the one saying about them that waits for its answer."""

    def __init__(self, number):
        self.jar, self.bottle = f"jar-{number}", f"bottle-{number}"
        self.started_s = None
        self.filled_s = None
        self.is_stored = False
        self.waiting = None  # (ref, fact)
        self.said_at_s = 0.0

    def next_fact(self, now_s, dice):
        """What somebody does with it now, or None."""
        if self.filled_s is not None and not self.is_stored:
            return {"fact": "store", "jar": self.bottle}
        if self.filled_s is not None and now_s - self.filled_s > 2 * DAY_S:
            return {"fact": "finish", "jar": self.bottle}
        if self.started_s is None:
            return {"fact": "start", "jar": self.jar, "grain_g": 20}
        hours = (now_s - self.started_s) / HOUR_S
        if hours > 14 + 12 * dice.random():
            if self.filled_s is not None:
                return {"fact": "discard", "jar": self.jar, "why": "no bottle is free"}
            return {"fact": "strain", "jar": self.jar, "into": self.bottle}
        return dice.choice([
            None, None, None,
            {"fact": "move", "jar": self.jar, "place": dice.choice(["kitchen", "larder"])},
            {"fact": "lid", "jar": self.jar, "lid": dice.choice(["loose", "tight"])},
            {"fact": "sign", "jar": self.jar, "sign": "still-milk" if hours < 6 else "thickened"},
            {"fact": "ph", "jar": self.jar, "ph": round(6.5 - 0.1 * hours, 1)}])

    def becomes(self, fact, now_s):
        kind = fact["fact"]
        if kind == "start":
            self.started_s = now_s
        if kind in ("strain", "discard"):
            self.started_s = None
        if kind == "strain":
            self.filled_s, self.is_stored = now_s, False
        if kind == "store":
            self.is_stored = True
        if kind == "finish":
            self.filled_s = None


class Household:
    def __init__(self, dice):
        self._dice = dice
        self._jars = [Jar(i) for i in range(JARS)]
        self.said = {}  # ref: fact
        self.times_said = 0

    def readings(self, now_s):
        """(topic, payload) of each thermometer."""
        swing = math.sin(2.0 * math.pi * now_s / DAY_S)
        kitchen_c, larder_c, fridge_c = (
            middle + swing * width + self._dice.gauss(0.0, 0.05)
            for middle, width in ((21.0, 2.0), (18.0, 1.0), (4.5, 0.6)))
        yield "house/kitchen", f"{kitchen_c:.1f}"
        yield "house/larder", json.dumps({"air": {"temperature": round(larder_c, 1)},
                                          "at": instant(now_s)})
        yield "house/fridge", f"{fridge_c:.1f}"

    def hears(self, answers, now_s):
        by_ref = {answer["ref"]: answer for answer in answers}
        for jar in self._jars:
            if jar.waiting is None or jar.waiting[0] not in by_ref:
                continue
            ref, fact = jar.waiting
            jar.waiting = None
            if by_ref[ref]["accepted"]:
                jar.becomes(fact, now_s)

    def sayings(self, now_s, anything_new=True):
        """The payloads to publish now: what is new, and what nobody has answered for a while."""
        for jar in self._jars:
            if jar.waiting is None and anything_new and self._dice.random() < 0.5:
                fact = jar.next_fact(now_s, self._dice)
                if fact is not None:
                    jar.waiting = (f"ref-{len(self.said)}", fact)
                    jar.said_at_s = 0.0
                    self.said[jar.waiting[0]] = fact
            if jar.waiting and time.monotonic() - jar.said_at_s > SAID_AGAIN_AFTER_S:
                jar.said_at_s = time.monotonic()
                self.times_said += 1
                yield json.dumps(jar.waiting[1] | {"ref": jar.waiting[0]})

    def waits_for_answers(self):
        return any(jar.waiting is not None for jar in self._jars)
