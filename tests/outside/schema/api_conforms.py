#!/usr/bin/env python3
"""What `halfround serve` answers, held against docs/api.openapi.json by Python's jsonschema: every path of the document is
asked, every answer is one that the document allows, and what it does not know is refused.

    api_conforms.py PROGRAM SOURCE_FOLDER WORK_FOLDER
"""
import json
import re
import shutil
import struct
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
from pathlib import Path

import jsonschema

program, source, work = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3])
doc = json.loads((source / "docs/api.openapi.json").read_text())
port = 8790
failed = 0
asked = set()


def fail(what):
    global failed
    failed += 1
    print("FAIL", what)


def valid(schema, value, what):
    """The schema of a place in the document, its references kept."""
    whole = {**schema, "components": doc["components"]}
    for error in list(jsonschema.Draft202012Validator(whole).iter_errors(value))[:3]:
        fail(f"{what}: {'/'.join(map(str, error.absolute_path))}: {error.message[:200]}")


def ask(method, path, body=None, query=None, **names):
    target = path
    for name, value in names.items():
        target = target.replace("{" + name + "}", urllib.parse.quote(str(value)))
    if query:
        target += "?" + urllib.parse.urlencode(query)
    request = urllib.request.Request(f"http://127.0.0.1:{port}{target}", method=method,
                                     data=None if body is None else json.dumps(body).encode())
    try:
        with urllib.request.urlopen(request, timeout=60) as reply:
            status, kind, data = reply.status, reply.headers["Content-Type"], reply.read()
    except urllib.error.HTTPError as e:
        status, kind, data = e.code, e.headers["Content-Type"], e.read()
    asked.add((method.lower(), path))
    what = f"{method} {target} {status}"
    answers = doc["paths"][path][method.lower()]["responses"]
    if str(status) not in answers:
        fail(f"{what}: not in the document: {data[:200]}")
        return status, None
    content = answers[str(status)]["content"]
    if "application/json" not in content:
        return status, data
    value = json.loads(data)
    valid(content["application/json"]["schema"], value, what)
    return status, value


def header(frame):
    (n,) = struct.unpack_from("<I", frame)
    head = json.loads(frame[4:4 + n])
    valid(doc["components"]["schemas"]["Header"], head, "view frame")
    points = sum(sum(i.get("n", [])) for page in head["pages"] for g in page["groups"] for i in g["items"])
    if (n + 4 + 3) // 4 * 4 + 8 * points != len(frame):
        fail(f"a frame of {len(frame)} bytes for {points} points")
    return head


def walk():
    ask("GET", "/api/schema")
    ask("GET", "/api/pictures/{name}", name="wheel.svg")
    ask("GET", "/api/pictures/{name}", name="..%2f..%2fsecret")
    ask("GET", "/api/unit", query={"text": "1 1/8 in", "form": "length"})
    ask("GET", "/api/unit", query={"text": "1 1/8 furlong", "form": "length"})
    first = ask("GET", "/api/jobs")[1][0]["id"]
    made = ask("POST", "/api/jobs", {"name": "round", "from": first})[1]["id"]
    ask("POST", "/api/jobs", {"toml": "version = "})
    job = "/api/jobs/{job}"
    ask("GET", job, job=made)
    ask("GET", job, job="nobody")
    text = ask("GET", job + "/job.toml", job=made)[1].decode()
    ask("POST", "/api/jobs", {"name": "again", "toml": text})
    before = ask("GET", job, job=made)[1]["revision"]
    moved = ask("POST", job + "/edits", {"base": before, "edits": [{"key": "hub.over_locknut", "typed": "110"}]}, job=made)[1]
    ask("POST", job + "/edits", {"base": before, "edits": [{"key": "hub.over_locknut", "typed": "112"}]}, job=made)
    ask("POST", job + "/edits", {"edits": [{"key": "hub.over_locknut", "typed": "a mile"}]}, job=made)
    ask("POST", job + "/edits", {"edits": "none"}, job=made)
    ask("POST", job + "/undo", {}, job=made)
    ask("POST", job + "/redo", {}, job=made)
    ask("POST", job + "/redo", {"base": 1}, job=made)
    ask("POST", job + "/back", {"revision": 1}, job=made)
    ask("POST", job + "/back", {"revision": 999}, job=made)
    ask("POST", job + "/back", {"base": 1, "revision": 1}, job=made)
    ask("POST", job + "/revisions", {"name": "wide hub"}, job=made)
    rows = ask("GET", job + "/revisions", job=made)[1]
    ask("GET", job + "/compare", query={"a": rows[-1]["revision"], "b": rows[0]["revision"]}, job=made)
    for show in ("front", "side", "template-left", "template-right", "section"):
        status, frame = ask("GET", job + "/view", query={"show": show, "at": 200, "over": "stress,sweep"}, job=made)
        head = header(frame)
        if not head["solved"] or not head["pages"]:
            fail(f"{show} shows nothing: {head['problems']}")
        over = [g["name"] for g in head["pages"][0]["groups"] if g["name"].startswith("over-")]
        if over != (["over-sweep", "over-stress"] if show in ("front", "side") else []):
            fail(f"{show} has {over} over it")
    ask("GET", job + "/view", query={"show": "behind"}, job=made)
    ask("POST", job + "/edits", {"edits": [{"key": "steering.axle_to_crown", "typed": "470"}]}, job=made)
    if header(ask("GET", job + "/view", job=made)[1])["solved"]:
        fail("blades too short for it were solved")
    ask("GET", job + "/sheets", job=made)
    ask("POST", job + "/undo", {}, job=made)
    sheets = ask("GET", job + "/sheets", job=made)[1]
    ask("GET", job + "/sheets/{name}", job=made, name=next(s["name"] for s in sheets if s["name"].endswith(".pdf")))
    ask("GET", job + "/sheets/{name}", job=made, name="nothing.pdf")
    ask("GET", job + "/solid.glb", job=made)
    plan = ask("GET", job + "/replan", job=made)[1]
    if len(plan["ways"]) != 1:
        fail("a plan with nothing done has one way: it stands")
    ask("POST", job + "/edits", {"edits": [{"key": "done.blades.left.short_by", "typed": "1.4"}]}, job=made)
    plan = ask("GET", job + "/replan", job=made)[1]
    ask("POST", job + "/replan", {"way": 99}, job=made)
    mended = ask("POST", job + "/replan", {"way": 1}, job=made)[1]["revision"]
    if ask("GET", job, job=made)[1]["revision"] != mended or re.search(r"^short_by", ask("GET", job, job=made)[1]["toml"], re.M):
        fail("the way taken does not stand in the job")
    told = ask("POST", job + "/stands", {"readings": dict(A="404.6", B="404.5", D="44.1", E="43.3", F="50", G="50.8")}, job=made)[1]
    if not told["settings"]:
        fail("a fork 0.8 mm too wide has nothing to cold set")
    for wrong in ({}, {"readings": {"A": "banana"}}, {"readings": {"K": "1"}}, {"readings": 3}):
        status, said = ask("POST", job + "/stands", wrong, job=made)[:2]
        if status != 422 or not said["problems"][0]["fits"]:
            fail(f"readings {wrong} were taken")
    ask("POST", job + "/log", {"who": "bench", "what": "left blade cut", "key": "", "typed": "371.2"}, job=made)
    ask("GET", job + "/log", job=made)
    cards = ask("GET", "/api/cards/{job}", job=made)[1]["cards"]
    ask("POST", job + "/steps", {"step": cards[0]["id"], "done": True, "who": "bench"}, job=made)
    ask("POST", job + "/steps", {"step": cards[0]["id"]}, job=made)
    ask("GET", job + "/steps", job=made)
    library()
    ask("GET", "/api/network")
    ask("POST", "/api/pairing", {})
    ask("POST", "/api/network", {"on": "yes"})
    ask("GET", "/api/pairing")
    ask("DELETE", "/api/pairing/{token_id}", token_id=77)
    ask("DELETE", "/api/pairing")


def library():
    """The shop: every cell a key, edits like a job's, never left with a mistake."""
    keys = {r["key"] for r in ask("GET", "/api/shop/schema")[1]["rows"]}
    shop = ask("GET", "/api/shop")[1]
    for key in shop["fields"]:
        if re.sub(r"\[\d+\]", "[]", key) not in keys:
            fail(f"the shop has {key}, which its schema doesn't know")
    before = shop["revision"]
    edit = lambda key, typed, base=0: ask("POST", "/api/shop/edits", {"base": base, "edits": [{"key": key, "typed": typed}]})
    edit("stock[1].lot", "A 113", before)
    if edit("stock[1].lot", "A 114", before)[0] != 409:
        fail("two devices wrote one lot")
    if edit("cutters[1].diameter", "a thumb")[0] != 422 or edit("cutters[1].kind", None)[0] != 422:
        fail("the shop took a mistake")
    ask("POST", "/api/shop/edits", {"edits": "none"})
    ask("POST", "/api/shop/undo", {})
    ask("POST", "/api/shop/redo", {"base": before})
    ask("POST", "/api/shop/redo", {})
    if ask("GET", "/api/shop")[1]["fields"]["stock[1].lot"]["typed"] != "A 113":
        fail("undo and redo lost the lot")


shutil.rmtree(work, ignore_errors=True)
work.mkdir(parents=True)
server = subprocess.Popen([program, "serve", "--port", str(port), "--data", work], stdout=subprocess.DEVNULL)
try:
    for _ in range(100):
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/api/schema", timeout=5).read()
            break
        except (urllib.error.URLError, ConnectionError):
            time.sleep(0.1)
    walk()
finally:
    server.kill()
    server.wait()
known = {(method, path) for path, ways in doc["paths"].items() for method in ways} - {("get", "/api/live")}
for way in sorted(known - asked):
    fail(f"never asked: {way}")
print(f"{len(asked)} ways of asking looked at")
sys.exit(1 if failed else 0)
