#!/usr/bin/env python3
"""Measures the page's server as the page meets it; prints a table (README.md says what it answers).
usage: bench/server/measure.py [PROGRAM]   build/release/bin/buckram by default
"""
import gzip
import http.client
import json
import os
import pathlib
import statistics
import subprocess
import sys
import tempfile
import threading
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = sys.argv[1] if len(sys.argv) > 1 else str(ROOT / "build/release/bin/buckram")


class Server:
    def __init__(self, folder):
        self.process = subprocess.Popen([PROGRAM, "serve", "--port", "0", "--folder", folder],
                                        stdout=subprocess.PIPE, text=True)
        address = self.process.stdout.readline().strip()
        self.host, self.token = address.removeprefix("http://").split("/?t=")
        self.port = self.host.split(":")[1]
        self.wire = http.client.HTTPConnection(self.host)

    def ask(self, method, path, body=None, more=None):
        fields = {"Cookie": f"buckram-{self.port}={self.token}", **(more or {})}
        if method != "GET":
            fields["X-Buckram"] = "1"
        begun = time.perf_counter()
        self.wire.request(method, path, body, fields)
        answer = self.wire.getresponse()
        data = answer.read()
        ms = 1000 * (time.perf_counter() - begun)
        if answer.status >= 400:
            sys.exit(f"{method} {path}: {answer.status} {data[:300]}")
        return data, ms

    def json(self, method, path, body=None):
        data, ms = self.ask(method, path, None if body is None else json.dumps(body))
        return json.loads(data), ms

    def cpu_s(self):
        """Seconds of processor that the program has used so far."""
        of_process = pathlib.Path(f"/proc/{self.process.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return (int(of_process[11]) + int(of_process[12])) / os.sysconf("SC_CLK_TCK")

    def settle(self, job):
        while True:
            seen, _ = self.json("GET", f"/api/jobs/{job}")
            if seen["state"] != "planning":
                return seen
            time.sleep(0.02)

    def plan(self, svg, settings):
        artwork, _ = self.ask("POST", "/api/artwork?name=art.svg", svg.encode())
        made, _ = self.json("POST", "/api/jobs",
                            {"artwork": json.loads(artwork)["artwork"], "set": settings})
        return made["id"], self.settle(made["id"])


class Listener:
    """Follows a job's events; when each came."""

    def __init__(self, server, job):
        self.wire = http.client.HTTPConnection(server.host)
        self.wire.request("GET", f"/api/jobs/{job}/events",
                          headers={"Cookie": f"buckram-{server.port}={server.token}"})
        self.news = threading.Condition()
        self.heard = []  # (revision, what, when)
        threading.Thread(target=self.follow, daemon=True).start()

    def follow(self):
        kind = ""
        for line in self.wire.getresponse():
            key, _, value = line.decode().strip().partition(": ")
            kind = value if key == "event" else kind
            if key != "data" or kind not in ("ahead", "shown"):
                continue
            data = json.loads(value)
            with self.news:
                self.heard.append((data["revision"], data.get("has", kind), time.perf_counter()))
                self.news.notify_all()

    def when(self, revision, what):
        """None where the files came without it: nothing new was to be seen."""
        def found():
            own = {w: when for r, w, when in self.heard if r == revision}
            return own if what in own or "shown" in own else None
        with self.news:
            return self.news.wait_for(found, 600).get(what)


def row(what, ms, note=""):
    ms = sorted(each for each in ms if each is not None)
    if ms:
        print(f"{what:44} {statistics.median(ms):8.1f} {ms[-1]:8.1f}   {note}", flush=True)


def main():
    folder = tempfile.TemporaryDirectory()
    server = Server(folder.name)
    try:
        measure(server)
    finally:
        server.process.terminate()
        server.process.wait()


def changes(server, job, listener, settings):
    """How long after each change its number, picture, verdict and files are there, in ms."""
    took = {"number": [], "stitches": [], "verdict": [], "shown": [], "cpu": []}
    for setting in settings:
        begun, cpu = time.perf_counter(), server.cpu_s()
        answer, ms = server.json("PATCH", f"/api/jobs/{job}", {"set": [setting]})
        took["number"].append(ms if answer["quick"] else None)
        for what in ("stitches", "verdict", "shown"):
            when = listener.when(answer["revision"], what)
            took[what].append(when and 1000 * (when - begun))
        took["cpu"].append(1000 * (server.cpu_s() - cpu))
    return took


def tell_changes(what, took, number_goal):
    cpu = f"{statistics.median(took['cpu']):.0f} ms of processor each"
    row(f"{what}: its number in the answer", took["number"], number_goal)
    row(f"{what}: picture and number", took["stitches"], "goal 1,000")
    row(f"{what}: the verdict", took["verdict"], "goal 1,000 on the same stitches")
    row(f"{what}: its files", took["shown"], cpu)


def measure(server):
    print(f"{'':44} {'median':>8} {'worst':>8}   ms")
    badge = (ROOT / "examples/skerry-light-badge.svg").read_text()
    job, seen = server.plan(badge, ["artwork.height_mm=74", "bench.mount=loose-panels"])
    print(f"a badge of {seen['verdict']['per_cap']['stitches']} stitches")
    listener = Listener(server, job)
    bench = changes(server, job, listener, [f"bench.speed_spm={600 + 10 * k}" for k in range(6)])
    tell_changes("bench", bench, "goal 150")
    whole = changes(server, job, listener, [f"artwork.height_mm={73.9 - k / 10}" for k in range(6)])
    tell_changes("size", whole, "")
    hurried = [server.json("PATCH", f"/api/jobs/{job}", {"set": [f"bench.foot_mm={2 + k / 10}"]})[1]
               for k in range(10)]
    row("bench, faster than it is planned: number", hurried, "goal 150")
    server.settle(job)
    other, _ = server.plan(badge, ["artwork.height_mm=20"])
    beside = []
    for k in range(6):
        server.json("PATCH", f"/api/jobs/{job}", {"set": [f"artwork.height_mm={72.9 - k / 10}"]})
        for j in range(3):
            setting = f"bench.speed_spm={700 + 30 * k + 10 * j}"
            beside.append(server.json("PATCH", f"/api/jobs/{other}", {"set": [setting]})[1])
    row("bench, another job being planned: number", beside, "a badge of 20 mm")
    server.settle(job)
    ground = [server.json("POST", "/api/ground",
                          {"job": job, "set": [f"gap=[{{x_mm=0,y_mm=18,gap_mm={k / 10}}}]"]})
              for k in range(20)]
    row("the ground after a typed digit", [ms for _, ms in ground], "goal 50")
    measure_view(server)
    row("the list of jobs", [server.ask("GET", "/api/jobs")[1] for _ in range(50)])
    row("a job", [server.ask("GET", f"/api/jobs/{job}")[1] for _ in range(20)])


def measure_view(server):
    """A view as large as they come: the whole field filled with short stitches."""
    flag = ('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 148 82">'
            '<path fill="#24365a" d="M0 0h148v82h-148z"/></svg>')
    job, _ = server.plan(flag, ["artwork.height_mm=82", "bench.mount=loose-panels",
                                "stitch.fill_stitch_mm=1", "stitch.row_spacing_mm=0.25"])
    views = [server.ask("GET", f"/api/jobs/{job}/view") for _ in range(5)]
    n = len(json.loads(views[0][0])["entries"]["op"])
    small = [server.ask("GET", f"/api/jobs/{job}/view", None, {"Accept-Encoding": "gzip"})
             for _ in range(5)]
    assert gzip.decompress(small[0][0]) == views[0][0]
    row(f"the view of {n} entries", [ms for _, ms in views], f"{len(views[0][0]) // 1024} KiB")
    row("the same, compressed", [ms for _, ms in small], f"{len(small[0][0]) // 1024} KiB")


main()
