"""Invented households for the change alarm: each seed is some weeks of traffic, always the same.

People start, look, measure, move, strain, store, forget, say things late, twice or wrongly and take
them back; thermometers die, stick, jump and change their unit. The years are far ahead, so that no
wall clock is ever later than the journal.
"""

import datetime
import json
import math
import random

BEGIN = datetime.datetime(2087, 3, 3, 8, 0, tzinfo=datetime.timezone.utc)
SIGNS = ["still-milk", "thickened", "set", "whey-pockets", "whey-layer", "separated"]
COLOURS = ["white", "cream", "yellowish", "pink", "black"]
SMELLS = ["neutral", "yeasty", "sour", "strongly-yeasty", "strongly-sour", "rotten"]


def rfc3339(instant):
    return instant.strftime("%Y-%m-%dT%H:%M:%SZ")


class Household:
    """One seed's traffic on a configuration: a list of lines, in the order of time."""

    def __init__(self, configuration, seed, days):
        self.dice = random.Random(seed)
        self.jars = [jar for jar in configuration["jars"] if "culture" in jar]
        self.bottles = [jar for jar in configuration["jars"] if "culture" not in jar]
        self.cultures = [culture["id"] for culture in configuration["cultures"]]
        self.places = configuration["places"]
        self.now = BEGIN + datetime.timedelta(days=seed % 11, minutes=seed % 7)
        self.refs = []
        self.lines = []
        self.mean_c = {}
        self.fault = {}
        for place in self.places:
            fridge = place["kind"] == "fridge"
            self.mean_c[place["id"]] = self.between(3.5, 7.5) if fridge else self.between(15, 29)
        self.live(self.now + datetime.timedelta(days=days))

    # Only random() itself is the same in every release of Python.
    def between(self, low, high):
        return low + (high - low) * self.dice.random()

    def chance(self, probability):
        return self.dice.random() < probability

    def one_of(self, things):
        return things[int(self.dice.random() * len(things))]

    def line(self, topic, payload, retain=False):
        text = payload if isinstance(payload, str) else json.dumps(payload)
        self.lines.append(json.dumps(
            {"at": rfc3339(self.now), "topic": topic, "payload": text, "retain": retain}))

    def say(self, fact):
        if self.chance(0.2):
            late = datetime.timedelta(minutes=int(self.between(1, 20 * 60)))
            fact["at"] = rfc3339(self.now - late)
        if self.chance(0.4):
            fact["ref"] = f"r{len(self.refs)}"
            self.refs.append(fact["ref"])
        self.line("wheymark/say", fact)
        if self.chance(0.05):
            self.line("wheymark/say", fact)

    def live(self, until):
        next_word = self.now
        while self.now < until:
            for place in self.places:
                self.read(place)
            if self.now >= next_word:
                self.one_word()
                next_word = self.now + datetime.timedelta(minutes=int(self.between(5, 400)))
            self.now += datetime.timedelta(minutes=10, seconds=int(self.between(0, 40)))
        self.lines.append(json.dumps({"at": rfc3339(self.now)}))

    def read(self, place):
        """A thermometer's word, or none; at times it breaks, or its place becomes another."""
        name = place["id"]
        if self.chance(0.0015):
            self.fault[name] = self.one_of(["dead", "stuck", "jumps", "other unit", None, None])
            self.stuck_c = round(self.mean_c[name], 1)
        if self.chance(0.001):
            fridge = place["kind"] == "fridge"
            self.mean_c[name] = self.between(3, 11) if fridge else self.between(13, 33)
        hour = self.now.hour + self.now.minute / 60
        swing = 0.3 if place["kind"] == "fridge" else 1.5
        air_c = self.mean_c[name] + swing * math.sin(2 * math.pi * (hour - 9) / 24)
        fault = self.fault.get(name)
        if fault == "dead" and not self.chance(0.01):
            return
        if fault == "stuck":
            air_c = self.stuck_c
        if fault == "jumps":
            air_c += self.between(-20, 20)
        if fault == "other unit":
            air_c = air_c * 1.8 + 32
        self.publish(place["thermometer"], air_c)

    def publish(self, thermometer, air_c):
        if thermometer.get("unit") == "F":
            air_c = air_c * 1.8 + 32
        value = round(air_c, 1)
        payload = f"{value:.1f}"
        if "pointer" in thermometer:
            payload = value
            for key in reversed(thermometer["pointer"].strip("/").split("/")):
                payload = {key: payload}
            if "instant_pointer" in thermometer:
                payload[thermometer["instant_pointer"].strip("/")] = rfc3339(self.now)
        if self.chance(0.002):
            payload = self.one_of(["unavailable", "", "{", "null", "999"])
        self.line(thermometer["topic"], payload, self.chance(0.002))

    def one_word(self):
        jar = self.one_of(self.jars)["id"]
        bottle = self.one_of(self.bottles)["id"]
        anything = self.one_of([jar, bottle])
        culture = self.one_of(self.cultures)
        room = self.one_of([p["id"] for p in self.places if p["kind"] == "room"])
        kind = self.dice.random()
        if kind < 0.22:
            fact = {"fact": "start", "jar": jar}
            if self.chance(0.3):
                fact["milk_ml"] = int(self.between(200, 1400))
            if self.chance(0.3):
                fact["grain_g"] = round(self.between(5, 80), 1)
            if self.chance(0.2):
                fact["milk_c"] = round(self.between(2, 40), 1)
            if self.chance(0.1):
                fact["place"] = room
            if self.chance(0.1):
                fact["lid"] = self.one_of(["loose", "tight"])
            if self.chance(0.1):
                fact["ready_by"] = rfc3339(self.now + datetime.timedelta(hours=24))
            self.say(fact)
        elif kind < 0.40:
            fact = {"fact": "strain", "jar": jar}
            if self.chance(0.7):
                fact["into"] = bottle
            if self.chance(0.6):
                fact["verdict"] = self.one_of(["early", "right", "late"])
            if self.chance(0.3):
                fact["grain_g"] = round(self.between(10, 70), 1)
            self.say(fact)
            if self.chance(0.6):
                self.say({"fact": "store", "jar": fact.get("into", jar)})
        elif kind < 0.52:
            self.say({"fact": "sign", "jar": jar, "sign": self.one_of(SIGNS)})
        elif kind < 0.58:
            self.say({"fact": "ph", "jar": jar, "ph": round(self.between(3.8, 6.6), 2)})
        elif kind < 0.62:
            self.say({"fact": "move", "jar": anything, "place": self.one_of(self.places)["id"]})
        elif kind < 0.65:
            self.say({"fact": "lid", "jar": anything, "lid": self.one_of(["loose", "tight"])})
        elif kind < 0.69:
            self.say({"fact": self.one_of(["take", "store"]), "jar": anything})
        elif kind < 0.73:
            self.say({"fact": "finish", "jar": bottle})
        elif kind < 0.75:
            self.say({"fact": "discard", "jar": anything, "why": "it looked odd"})
        elif kind < 0.78:
            self.say({"fact": "weigh", "culture": culture, "grain_g": round(self.between(5, 90), 1)})
        elif kind < 0.80:
            self.say({"fact": self.one_of(["rest", "wake"]), "culture": culture})
        elif kind < 0.83:
            bad = self.chance(0.15)
            self.say({"fact": "inspect", "culture": culture,
                      "colour": self.one_of(COLOURS if bad else COLOURS[:3]),
                      "smell": self.one_of(SMELLS if bad else SMELLS[:5]),
                      "sticky": self.chance(0.2)})
        elif kind < 0.85:
            self.say({"fact": "spare", "culture": culture, "use": "given-away",
                      "grain_g": round(self.between(1, 20), 1)})
        elif kind < 0.86:
            self.say({"fact": "split", "culture": culture, "into": self.one_of(self.cultures),
                      "grain_g": round(self.between(1, 20), 1)})
        elif kind < 0.87:
            self.say({"fact": "wash", "jar": anything})
        elif kind < 0.90 and self.refs:
            self.say({"fact": "retract", "ref": self.one_of(self.refs)})
        elif kind < 0.93:
            self.say({"fact": self.one_of(["plan", "explain"]), "jar": jar})
        elif kind < 0.97:
            press = self.one_of([("step", "start"), ("step", "strain"), ("step", "store"),
                                 ("step", "take"), ("sign", "set"), ("sign", "whey-pockets"),
                                 ("step", "nonsense")])
            self.line(f"homie/5/jar-{anything}/care/{press[0]}/set", press[1])
        else:
            self.line("wheymark/say", self.one_of(["{", "[]", "start", '{"fact":"fly"}',
                                                   '{"fact":"ph","jar":"nobody","ph":4.5}',
                                                   '{"fact":"ph","jar":"%s","ph":45}' % jar]))


class SteadyHousehold(Household):
    """One jar, fed and strained each morning and judged each time; its grains weaken half-way."""

    def live(self, until):
        for place in self.places:
            self.mean_c[place["id"]] = 4.5 if place["kind"] == "fridge" else 21.0
        jar, bottle = self.jars[0]["id"], self.bottles[0]["id"]
        weak_from = self.now + (until - self.now) / 2
        strain_at = None
        while self.now < until:
            for place in self.places:
                self.publish(place["thermometer"], self.mean_c[place["id"]])
            if strain_at is None or self.now >= strain_at:
                if strain_at is not None:
                    weak = self.now >= weak_from
                    self.say({"fact": "sign", "jar": jar, "sign": "still-milk" if weak else "set"})
                    self.say({"fact": "strain", "jar": jar, "into": bottle,
                              "verdict": "early" if weak else "right"})
                    self.say({"fact": "store", "jar": bottle})
                    self.say({"fact": "finish", "jar": bottle})
                self.say({"fact": "start", "jar": jar})
                strain_at = self.now + datetime.timedelta(hours=20)
            self.now += datetime.timedelta(minutes=10)
        self.lines.append(json.dumps({"at": rfc3339(self.now)}))

    def say(self, fact):
        self.line("wheymark/say", fact)
