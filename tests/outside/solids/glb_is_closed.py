#!/usr/bin/env python3
"""Every example's GLB, read by the format alone (glTF 2.0, little endian): each part's facets close, look outward, and hold
the volume that the mass study says within what facets may take off.

    glb_is_closed.py PROGRAM SOURCE_FOLDER WORK_FOLDER
"""
import csv
import json
import struct
import subprocess
import sys
from collections import Counter
from pathlib import Path

program, source, work = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3])
failed = parts = 0


def fail(what):
    global failed
    failed += 1
    print("FAIL", what)


def read(path):
    """Yields (name, points in mm, triangles)."""
    data = path.read_bytes()
    magic, version, length = struct.unpack_from("<4sII", data)
    assert magic == b"glTF" and version == 2 and length == len(data)
    size, kind = struct.unpack_from("<I4s", data, 12)
    assert kind == b"JSON"
    doc = json.loads(data[20:20 + size])
    block = data[20 + size + 8:]

    def accessor(index, form, count):
        a = doc["accessors"][index]
        view = doc["bufferViews"][a["bufferView"]]
        return struct.unpack_from(f"<{a['count'] * count}{form}", block, view.get("byteOffset", 0) + a.get("byteOffset", 0))

    for node in doc["nodes"]:
        if "mesh" not in node:
            continue
        for p in doc["meshes"][node["mesh"]]["primitives"]:
            flat = accessor(p["attributes"]["POSITION"], "f", 3)
            corners = accessor(p["indices"], "I", 1)
            points = [tuple(1000 * v for v in flat[i:i + 3]) for i in range(0, len(flat), 3)]
            yield node["name"], points, [corners[i:i + 3] for i in range(0, len(corners), 3)]


def check(example, name, points, triangles, volume):
    at = [tuple(round(v * 1000) for v in p) for p in points]  # a micrometre
    edges = Counter()
    within = 0
    for t in triangles:
        a, b, c = (points[k] for k in t)
        within += sum(a[i] * (b[(i + 1) % 3] * c[(i + 2) % 3] - b[(i + 2) % 3] * c[(i + 1) % 3]) for i in range(3)) / 6
        for i in range(3):
            edges[at[t[i]], at[t[(i + 1) % 3]]] += 1
    gaping = sum(1 for (a, b), n in edges.items() if a != b and edges[b, a] != n)
    if gaping:
        fail(f"{example}, {name}: {gaping} edges without a neighbour")
    if abs(within / volume - 1) > 0.02:
        fail(f"{example}, {name}: {within:.1f} mm3 within its facets, mass study {volume}")


for job in sorted(source.glob("examples/*/fork.toml")):
    example = job.parent.name
    folder = work / example
    subprocess.run([program, "make", job, "-o", folder], check=True, capture_output=True)
    with open(folder / "tables" / "masses.csv", newline="") as table:
        volumes = {row["part"]: float(row["volume (mm3)"]) for row in csv.DictReader(table) if not row["part"].startswith("filler") and row["volume (mm3)"]}
    seen = set()
    for name, points, triangles in read(folder / "solid" / "fork.glb"):
        check(example, name, points, triangles, volumes[name])
        seen.add(name)
        parts += 1
    if seen != set(volumes):
        fail(f"{example}: parts {sorted(set(volumes) ^ seen)}")
print(f"{parts} parts looked at")
sys.exit(1 if failed or parts < 30 else 0)
