#!/usr/bin/env python3
"""Measures the page's server as the page meets it; prints a table (README.md says what it answers).
usage: bench/server/measure.py [PROGRAM]   build/release/bin/buckram by default
"""
import gzip
import http.client
import json
import pathlib
import random
import statistics
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = sys.argv[1] if len(sys.argv) > 1 else str(ROOT / "build/release/bin/buckram")


def wavy_rows(n):
    """A page of wavy bars: about as many stitches as wanted, in n bars."""
    rng = random.Random(7)
    bars = "".join(
        f'<path fill="{rng.choice(["#24365a", "#c8973a", "#a03313"])}" '
        f'd="M{4 + 30 * (k % 3)} {5 + 8 * (k // 3)}h26v6h-26z"/>' for k in range(n))
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 {8 * (n // 3) + 8}">{bars}</svg>'


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

    def settle(self, job):
        while True:
            seen, _ = self.json("GET", f"/api/jobs/{job}")
            if seen["state"] != "planning":
                return seen
            time.sleep(0.02)

    def plan(self, svg, settings):
        artwork, _ = self.ask("POST", "/api/artwork?name=bars.svg", svg.encode())
        begun = time.perf_counter()
        made, _ = self.json("POST", "/api/jobs",
                            {"artwork": json.loads(artwork)["artwork"], "set": settings})
        seen = self.settle(made["id"])
        return made["id"], seen, 1000 * (time.perf_counter() - begun)


def row(what, ms, note=""):
    ms = sorted(ms)
    print(f"{what:44} {statistics.median(ms):8.1f} {ms[-1]:8.1f}   {note}")


def main():
    folder = tempfile.TemporaryDirectory()
    server = Server(folder.name)
    try:
        measure(server)
    finally:
        server.process.terminate()
        server.process.wait()


def measure(server):
    print(f"{'':44} {'median':>8} {'worst':>8}   ms")
    job, seen, ms = server.plan(wavy_rows(30), ["artwork.height_mm=50", "bench.mount=rotary-raised"])
    n = seen["verdict"]["per_cap"]["stitches"] if seen["verdict"]["per_cap"] else 0
    row("a job from artwork to its files", [ms], f"{n} stitches")
    quick, again = [], []
    for k in range(12):
        begun = time.perf_counter()
        answer, took = server.json("PATCH", f"/api/jobs/{job}", {"set": [f"bench.speed_spm={600 + 10 * k}"]})
        assert answer["quick"], answer
        quick.append(took)
        server.settle(job)
        again.append(1000 * (time.perf_counter() - begun))
    row("a bench change, its number in the answer", quick, "goal 150")
    row("the same, until the full verdict and files", again, "goal 1,000")
    during = []
    for k in range(12):  # each while the one before is being planned
        _, took = server.json("PATCH", f"/api/jobs/{job}", {"set": [f"bench.raise_mm={0.1 * k:.1f}"]})
        during.append(took)
    row("bench changes faster than they are planned", during, "goal 150")
    server.settle(job)
    ground = [server.json("POST", "/api/ground",
                          {"job": job, "set": [f"gap=[{{x_mm=0,y_mm=18,gap_mm={k / 10}}}]"]})[1]
              for k in range(20)]
    row("the ground after a typed digit", ground, "goal 50")
    job, seen, ms = server.plan(wavy_rows(150), ["artwork.height_mm=60", "bench.mount=loose-panels",
                                                 "stitch.row_spacing_mm=0.2"])
    view, took = server.ask("GET", f"/api/jobs/{job}/view")
    n = len(json.loads(view)["entries"]["op"])
    small, took_small = server.ask("GET", f"/api/jobs/{job}/view", None, {"Accept-Encoding": "gzip"})
    assert gzip.decompress(small) == view
    row(f"the view of {n} entries", [took], f"{len(view) // 1024} KiB")
    row("the same, compressed", [took_small], f"{len(small) // 1024} KiB")
    row("the list of jobs", [server.ask("GET", "/api/jobs")[1] for _ in range(50)])
    row("a job", [server.ask("GET", f"/api/jobs/{job}")[1] for _ in range(20)])


main()
