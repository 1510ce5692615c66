"""Somebody who only listens, and writes down what came, life of the broker after life."""

import json
import threading

from mqtt_line import Line

TOPICS = ("wheymark/events/#", "wheymark/notices/#", "wheymark/answer", "home/clock/done")


class Listener:
    def __init__(self):
        self._lock = threading.Lock()
        self._heard = []  # (topic, payload), all of them
        self._life_began_at = 0
        self._answers_read = 0
        self._thread = None

    def listen_at(self, port):
        """Returns once the broker has the subscription; what was sent before it went is read first."""
        if self._thread is not None:
            self._thread.join()
        line = Line(port, "listener")
        line.subscribe(*TOPICS)
        self._life_began_at = len(self._heard)
        self._thread = threading.Thread(target=self._write_down, args=(line,), daemon=True)
        self._thread.start()

    def _write_down(self, line):
        for topic, payload, _ in line.heard():
            with self._lock:
                self._heard.append((topic, payload))
        line.close()

    def heard(self, prefix):
        with self._lock:
            return [payload for topic, payload in self._heard if topic.startswith(prefix)]

    def heard_in_this_life(self, topic, payload):
        with self._lock:
            return (topic, payload) in self._heard[self._life_began_at:]

    def new_answers(self):
        """Those that came since the last call."""
        with self._lock:
            fresh = self._heard[self._answers_read:]
            self._answers_read = len(self._heard)
        return [json.loads(payload) for topic, payload in fresh if topic == "wheymark/answer"]
