"""Starting, asking and ending the programs that are measured."""

import os
import pathlib
import signal
import socket
import subprocess
import tempfile
import time


class Child:
    """A process that is ended with SIGTERM at the end of its block."""

    def __init__(self, words, errors=None):
        self.process = subprocess.Popen([str(word) for word in words], stdout=subprocess.PIPE,
                                        stderr=errors)
        self.pid = self.process.pid

    def expect(self, line):
        said = self.process.stdout.readline().decode().strip()
        if said != line:
            raise RuntimeError(f"{self.process.args[0]} said {said!r} instead of {line!r}")

    def wait(self):
        if self.process.wait() != 0:
            raise RuntimeError(f"{self.process.args[0]} ended with {self.process.returncode}")

    def ended_output(self):
        self.process.send_signal(signal.SIGTERM)
        return self.process.communicate(timeout=30)[0].decode()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        if self.process.poll() is None:
            self.ended_output()


class Broker:
    """A private broker on a free loopback port, which keeps every queued message.

    One that `keeps` has its retained messages again after an orderly end.
    """

    def __init__(self, keeps=False):
        self._keeps = keeps

    def __enter__(self):
        self.folder = tempfile.TemporaryDirectory()
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.url = f"mqtt://127.0.0.1:{self.port}"
        self._file = pathlib.Path(self.folder.name) / "broker.conf"
        self._file.write_text(
            f"user root\nlistener {self.port} 127.0.0.1\nallow_anonymous true\n"
            f"persistence {str(self._keeps).lower()}\npersistence_location {self.folder.name}/\n"
            "max_queued_messages 0\nlog_type error\n")
        self.start()
        return self

    def start(self):
        """Returns once it takes connections."""
        path = os.environ["PATH"] + ":/usr/sbin"
        with (pathlib.Path(self.folder.name) / "log").open("a") as log:
            self.process = subprocess.Popen(["mosquitto", "-c", self._file], stderr=log,
                                            env=os.environ | {"PATH": path})
        while True:
            try:
                socket.create_connection(("127.0.0.1", self.port)).close()
                return
            except ConnectionRefusedError:
                time.sleep(0.05)

    def stop(self, how=signal.SIGTERM):
        self.process.send_signal(how)
        self.process.wait()

    def wipe(self):
        """It forgets what it kept; while it is stopped."""
        (pathlib.Path(self.folder.name) / "mosquitto.db").unlink(missing_ok=True)

    def wait_for(self, topic, payload):
        listener = subprocess.Popen(["mosquitto_sub", "-p", str(self.port), "-t", topic, "-F", "%p"],
                                    stdout=subprocess.PIPE, text=True)
        for line in listener.stdout:
            if line.strip() == payload:
                break
        listener.terminate()
        listener.wait()

    def __exit__(self, *_):
        self.stop()
        self.folder.cleanup()


def cpu_s(child):
    """Processor time of all its threads so far, seconds."""
    spent_ns = 0
    for task in pathlib.Path(f"/proc/{child.pid}/task").iterdir():
        spent_ns += int((task / "schedstat").read_text().split()[0])
    return spent_ns * 1e-9


def _status(child, name):
    for line in pathlib.Path(f"/proc/{child.pid}/status").read_text().splitlines():
        if line.startswith(name + ":"):
            return int(line.split()[1])
    raise RuntimeError(f"the process has no {name}")


def resident_kb(child):
    return _status(child, "VmRSS")


def threads(child):
    return _status(child, "Threads")


def open_files(child):
    return sum(1 for _ in pathlib.Path(f"/proc/{child.pid}/fd").iterdir())


def wake_ups(child):
    """How often its threads went to sleep of their own accord so far."""
    count = 0
    for task in pathlib.Path(f"/proc/{child.pid}/task").iterdir():
        for line in (task / "status").read_text().splitlines():
            if line.startswith("voluntary_ctxt_switches"):
                count += int(line.split()[1])
    return count
