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


def free_port():
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


class Broker:
    """A private broker on a free loopback port, which keeps every queued message.

    One that `keeps` has its retained messages again after an orderly end.
    """

    def __init__(self, keeps=False):
        self._keeps = keeps

    def __enter__(self):
        self.folder = tempfile.TemporaryDirectory()
        self.port = free_port()
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
        with Listener(self, topic) as listener:
            while listener.next()[1] != payload:
                pass

    def __exit__(self, *_):
        self.stop()
        self.folder.cleanup()


class Listener:
    """What the broker hands out on a filter."""

    def __init__(self, broker, topic_filter):
        self.process = subprocess.Popen(["mosquitto_sub", "-p", str(broker.port), "-t", topic_filter,
                                         "-F", "%t %p"], stdout=subprocess.PIPE, text=True)

    def next(self):
        """Topic and payload."""
        return self.process.stdout.readline().rstrip("\n").split(" ", 1)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.process.terminate()
        self.process.wait()


def cpu_s(child):
    """Processor time of all its threads so far, seconds."""
    spent_ns = 0
    for task in pathlib.Path(f"/proc/{child.pid}/task").iterdir():
        spent_ns += int((task / "schedstat").read_text().split()[0])
    return spent_ns * 1e-9


def status_of(child, what):
    for line in pathlib.Path(f"/proc/{child.pid}/status").read_text().splitlines():
        if line.startswith(what):
            return int(line.split()[1])
    raise RuntimeError(f"the process has no {what}")


def resident_kb(child):
    return status_of(child, "VmRSS")


def own_kb(child):
    """What of it no other process has: of libraries and programs only what they have changed."""
    count = 0
    for line in pathlib.Path(f"/proc/{child.pid}/smaps_rollup").read_text().splitlines():
        if line.startswith("Private_"):
            count += int(line.split()[1])
    return count


def threads(child):
    return status_of(child, "Threads")


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


def settled(child, still_s=1.0):
    """Waits until the process has nothing more to do, and gives its processor time."""
    before = cpu_s(child)
    while True:
        time.sleep(still_s)
        now = cpu_s(child)
        if now - before < 0.02 * still_s:
            return now
        before = now


def replayed(build, file, lines, *options, out=subprocess.DEVNULL):
    """Replays the lines; processor time, s, and resident memory when all of them are lived, kB."""
    process = subprocess.Popen([build / "plugin/wheymarkd", "replay", "--config", file, *options],
                               stdin=subprocess.PIPE, stdout=out)
    with process.stdin as pipe:
        for line in lines:
            pipe.write(line.encode())
        pipe.flush()
        settled(process, still_s=0.2)
        memory_kb = resident_kb(process)
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode != 0:
        raise RuntimeError(f"the replay ended with {process.returncode}")
    return usage.ru_utime + usage.ru_stime, memory_kb
