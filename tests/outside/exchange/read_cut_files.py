#!/usr/bin/env python3
"""The files for machines, read back by programs we did not write, and by a small interpreter of ISO 6983 code.

* Every DXF opens in ezdxf's strict reader; its audit finds no error and nothing to fix; the unit is the millimetre; the check
  square is 20 mm; contours on CUT are closed, and none comes after one that lies in it.
* Area and length of what is cut, reckoned by ezdxf from the DXF, by our own arithmetic from the SVG's path data, and for mitre
  templates from `solve --json`, are the same; so is the outline itself.
* The code of the rotary axis is run by the interpreter below; where its tool marks, X is the depth of the answer at every
  15 degrees; nothing rapid happens below the safe height, nothing comes below the axis.
* Where a mill cuts, its side is rolled round the tube: no place of the finished edges is cut into.
* Every CSV has rows as long as its head, CRLF, and the figures of the answer (Python's csv module).

    read_cut_files.py PROGRAM SOURCE_FOLDER WORK_FOLDER
"""
import csv
import json
import math
import re
import subprocess
import sys
import xml.etree.ElementTree as xml
from pathlib import Path

import ezdxf
from ezdxf.math import bulge_to_arc

TOL = 0.002  # mm; DXF to 1e-6, SVG to 1e-4, arcs here in chords of 0.0005
failures = 0


def expect(fine, what):
    global failures
    if not fine:
        failures += 1
        print("FAIL", what)


# --- outlines as rings of points ---


def arc_points(centre, radius, a0, a1):
    n = max(8, math.ceil(abs(a1 - a0) / (2 * math.acos(1 - min(0.5, 0.0005 / radius)))))
    return [(centre[0] + radius * math.cos(a0 + (a1 - a0) * i / n), centre[1] + radius * math.sin(a0 + (a1 - a0) * i / n))
            for i in range(n)]


def dxf_rings(entities):
    for e in entities:
        if e.dxftype() == "CIRCLE":
            c = e.dxf.center
            yield True, arc_points((c.x, c.y), e.dxf.radius, 0, 2 * math.pi)
            continue
        assert e.dxftype() == "POLYLINE", e.dxftype()
        vertices = [(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in e.vertices]
        ring = []
        for i, (x, y, bulge) in enumerate(vertices):
            nx, ny, _ = vertices[(i + 1) % len(vertices)]
            if bulge == 0 or (not e.is_closed and i + 1 == len(vertices)):
                ring.append((x, y))
                continue
            centre, start, end, radius = bulge_to_arc((x, y), (nx, ny), bulge)
            if end < start:
                end += 2 * math.pi
            points = arc_points((centre.x, centre.y), radius, start, end)
            if bulge < 0:  # given counter-clockwise: turn it round
                points = arc_points((centre.x, centre.y), radius, end, start)
            ring += points
        yield e.is_closed, ring


def svg_rings(svg, group):
    root = xml.parse(svg).getroot()
    height = float(root.get("viewBox").split()[3])
    assert root.get("height") == f"{height:g}mm" or abs(float(root.get("height")[:-2]) - height) < 1e-9
    for g in root.iter("{http://www.w3.org/2000/svg}g"):
        if g.get("id") != group:
            continue
        for path in g:
            ring, at = [], None
            for letter, rest in re.findall(r"([MLAZ])([^MLAZ]*)", path.get("d")):
                n = [float(v) for v in rest.split()]
                if letter in "ML":
                    at = (n[0], height - n[1])
                    ring.append(at)
                elif letter == "A":
                    r, large, sweep, end = n[0], n[3], n[4], (n[5], height - n[6])
                    dx, dy = end[0] - at[0], end[1] - at[1]
                    chord = math.hypot(dx, dy)
                    off = math.sqrt(max(0, r * r - chord * chord / 4))
                    left = (large == 0) == (sweep == 0)  # y turned: sweep 0 runs counter-clockwise
                    s = 1 if left else -1
                    c = ((at[0] + end[0]) / 2 - s * dy / chord * off, (at[1] + end[1]) / 2 + s * dx / chord * off)
                    a0 = math.atan2(at[1] - c[1], at[0] - c[0])
                    a1 = math.atan2(end[1] - c[1], end[0] - c[0])
                    if sweep == 0 and a1 <= a0:
                        a1 += 2 * math.pi
                    if sweep == 1 and a1 >= a0:
                        a1 -= 2 * math.pi
                    ring += arc_points(c, r, a0, a1)[1:] + [end]
                    at = end
            yield ring


def length(ring):
    return sum(math.dist(a, b) for a, b in zip(ring, ring[1:] + ring[:1]))


def area(ring):
    return abs(sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(ring, ring[1:] + ring[:1]))) / 2


def inside(ring, p):
    hit = False
    for a, b in zip(ring, ring[1:] + ring[:1]):
        if (a[1] > p[1]) != (b[1] > p[1]) and p[0] < (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1]) + a[0]:
            hit = not hit
    return hit


def from_ring(p, ring):
    best = 1e9
    for a, b in zip(ring, ring[1:] + ring[:1]):
        dx, dy = b[0] - a[0], b[1] - a[1]
        l2 = dx * dx + dy * dy
        t = max(0, min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / l2)) if l2 else 0
        best = min(best, math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy))
    return best


def moved_to_origin(rings):
    x = min(p[0] for r in rings for p in r)
    y = min(p[1] for r in rings for p in r)
    return [[(px - x, py - y) for px, py in r] for r in rings]


def check_drawing(dxf, answer):
    doc = ezdxf.readfile(dxf)
    audit = doc.audit()
    expect(not audit.errors and not audit.fixes, f"{dxf.name}: audit {len(audit.errors)} errors, {len(audit.fixes)} fixes")
    expect(doc.dxfversion == "AC1009" and doc.header["$INSUNITS"] == 4 and doc.header["$MEASUREMENT"] == 1, f"{dxf.name}: header")
    layers = {e.dxf.layer for e in doc.modelspace()}
    expect(layers <= {"CUT", "MARK", "TEXT", "CHECK"}, f"{dxf.name}: layers {layers}")
    expect(any("MILLIMETRES" in e.dxf.text for e in doc.modelspace().query("TEXT")), f"{dxf.name}: no text says millimetres")
    pieces = list(dxf_rings(doc.modelspace().query("*[layer=='CUT']")))
    rings = [ring for _, ring in pieces]
    expect(all(closed for closed, _ in pieces), f"{dxf.name}: a contour is open")
    for i, earlier in enumerate(rings):
        expect(not any(inside(earlier, later[0]) for later in rings[i + 1:]), f"{dxf.name}: an outer contour is cut before an inner one")
    (_, square), = dxf_rings(doc.modelspace().query("*[layer=='CHECK']"))
    expect(abs(length(square) - 80) < 1e-9 and abs(area(square) - 400) < 1e-9, f"{dxf.name}: check square")
    drawn = list(svg_rings(dxf.with_suffix(".svg"), "cut"))
    expect(len(drawn) == len(rings), f"{dxf.name}: {len(rings)} contours, its SVG {len(drawn)}")
    for a, b in zip(moved_to_origin(rings), moved_to_origin(drawn)):
        expect(abs(area(a) - area(b)) < TOL * length(a), f"{dxf.name}: area {area(a)}, its SVG {area(b)}")
        expect(abs(length(a) - length(b)) < 0.01, f"{dxf.name}: length {length(a)}, its SVG {length(b)}")
        expect(max(from_ring(p, b) for p in a[::9]) < TOL, f"{dxf.name}: SVG runs elsewhere")
    for m in answer["mitres"]:
        words = " ".join(reversed(m["member"].split("."))) + "-" + ("upper" if m["end"] == "end" else "lower") + "-end"
        if dxf.stem != "template-" + words.replace(" ", "-"):
            continue
        ours = [tuple(p) for p in m["template_scribe"]] + [tuple(p) for p in reversed(m["template"])]
        expect(abs(area(ours) - area(rings[0])) < 0.01, f"{dxf.name}: area {area(rings[0])}, answer {area(ours)}")
        expect(max(from_ring(p, rings[0]) for p in ours[::5]) < 1e-5, f"{dxf.name}: not the answer's template")
        return 1
    return 0


def dot(p, q):
    return sum(a * b for a, b in zip(p, q))


def cut_file(part):
    """The left block is drawn in plate-left-block.dxf."""
    return "plate-" + part.replace(" ", "-") + ".dxf"


def check_plate_edges(folder, answer):
    """Metal beside the bores, measured in the DXF; the distance that EN 1993-1-8:2005, Table 3.3, wants of a bolt hole."""
    seen = 0
    for v in answer["verdicts"]:
        if v["code"] != "plate-edge":
            continue
        plate = next(p for p in answer["plates"] if p["spoken"] == v["where"])
        bore = next(b for b in plate["bores"] if v["what"].endswith(said(answer, b["takes"])))
        if abs(dot(bore["axis"], plate["normal"])) < 0.5:  # a socket in the edge: the flat outline doesn't show it
            middle = dot(plate["outline"][0], plate["normal"])
            ends = [dot(bore["mouth"], plate["normal"]) - middle]
            ends.append(ends[0] + bore["length"] * dot(bore["axis"], plate["normal"]))
            metal = (plate["thickness"] - bore["diameter"]) / 2 - max(map(abs, ends))
            expect(abs(metal - v["value"]) < 1e-6, f"{v['where']}: {metal} mm beside its socket, answer {v['value']}")
            continue
        dxf = folder / "cut" / cut_file(v["where"])
        rings = [ring for _, ring in dxf_rings(ezdxf.readfile(dxf).modelspace().query("*[layer=='CUT']"))]
        outline = max(rings, key=area)
        bores = [r for r in rings if r is not outline]
        metal = [min(from_ring(p, outline) for p in r[::4]) for r in bores]
        tightest = bores[metal.index(min(metal))]
        # the drawing has a leaning bore as its tool's circle: on the face it comes nearer by what it leans
        across = max(math.dist(p, q) for p in tightest[::8] for q in tightest[::8])
        lean = max(math.acos(min(1, abs(sum(a * b for a, b in zip(s["tangent"], n)))))
                   for m in answer["members"] if m["spoken"] in v["what"] for s in m["stations"][::10] for n in [(0, 0, 1)]
                   if m["name"] != "steerer") if "blade" in v["what"] else 0
        nearer = 0.5 * 20 * math.tan(lean) + 0.5 * across * (1 / math.cos(lean) - 1)
        expect(-0.01 <= min(metal) - v["value"] <= nearer + 0.01, f"{dxf.name}: {min(metal):.3f} mm of metal, answer {v['value']:.3f}")
        wants = float(re.search(r"would want ([0-9.]+) mm", v["note"]).group(1))
        expect(abs(wants - 1.2 * across) < 0.1, f"{dxf.name}: 1.2 x {across:.2f} mm is not {wants}")
        seen += 1
    return seen


# --- a small interpreter of ISO 6983 code ---


class Stopped(Exception):
    pass


def run(code):
    """Blocks in order: (rapid, from, to, minutes). Refuses what it doesn't know."""
    lines = code.split("\r\n")
    if lines[0] != "%" or lines[-2:] != ["%", ""]:
        raise Stopped("no % at both ends")
    at, modes, ended, moves = {"X": None, "Z": None, "A": None}, {"motion": None, "feed": None}, False, []
    for line in lines[1:-2]:
        if re.fullmatch(r"\([^()]*\)", line):
            continue
        words = re.sub(r"\([^()]*\)", "", line).split()
        if ended or not re.fullmatch(r"N\d+", words[0]):
            raise Stopped(line)
        to, feed, turned = dict(at), None, False
        for word in words[1:]:
            letter, value = word[0], float(word[1:])
            if letter == "G" and value in (0, 1):
                modes["motion"] = int(value)
            elif letter == "G" and value in (93, 94):
                modes["feed"] = int(value)
            elif letter == "G" and value in (21, 90):
                modes[int(value)] = True
            elif letter == "M" and value in (0, 5):
                pass
            elif letter == "M" and value == 30:
                ended = True
            elif letter in to:
                to[letter], turned = value, True
            elif letter == "F":
                feed = value
            else:
                raise Stopped(word)
        if not turned:
            continue
        if not (modes.get(21) and modes.get(90)):
            raise Stopped("moves before G21 G90")
        minutes = 0
        if modes["motion"] == 1:
            if feed is None:
                raise Stopped("no feed: " + line)
            way = math.hypot(to["X"] - at["X"], to["Z"] - at["Z"])
            if modes["feed"] == 94 and to["A"] != at["A"]:
                raise Stopped("turns under G94")
            minutes = 1 / feed if modes["feed"] == 93 else way / feed
        moves.append((modes["motion"] == 0, dict(at), dict(to), minutes))
        at = to
    if not ended:
        raise Stopped("no M30")
    return moves


def said(answer, name):
    """A member's name as people read it."""
    return next((m["spoken"] for m in answer["members"] + answer["plates"] if m["name"] == name), name)


def by_axis(mitre, member):
    """The answer's edges as a machine sees them: (A in degrees, X, distance from the axis), from points in space."""
    s = 0.5 * (min(p["s"] for p in mitre["outer"]) + max(p["s"] for p in mitre["outer"]))
    near = min(member["stations"], key=lambda q: abs(q["s"] - s))
    sign = 1 if mitre["end"] == "end" else -1
    t, m, c = near["tangent"], near["mark"], near["centre"]
    b = [t[1] * m[2] - t[2] * m[1], t[2] * m[0] - t[0] * m[2], t[0] * m[1] - t[1] * m[0]]
    dot = lambda u, v: sum(x * y for x, y in zip(u, v))
    out = []
    for edge in (mitre["outer"], mitre["inner"]):
        seen = []
        for q in edge:
            d = [x - y for x, y in zip(q["point"], c)]
            y, z = dot(d, m), dot(d, b)
            seen.append((math.degrees(math.atan2(z, y)) % 360, sign * dot(d, t), math.hypot(y, z)))
        out.append(seen)
    return out


def check_code(nc, mitre, member, mill):
    try:
        moves = run(nc.read_bytes().decode())
    except Stopped as why:
        expect(False, f"{nc.name}: {why}")
        return
    turning = [m for m in moves if not m[0] and m[1]["A"] != m[2]["A"]]
    expect(turning[-1][2]["A"] >= 365 - 1e-9 and abs(turning[0][1]["A"]) < 1e-9, f"{nc.name}: does not go once round")
    widest = max(r for _, _, r in by_axis(mitre, member)[0])
    for rapid, a, b, _ in moves:
        expect(b["Z"] > 0, f"{nc.name}: below the axis")
        if rapid:
            expect(b["Z"] > widest + 1, f"{nc.name}: rapid at Z {b['Z']}, the tube reaches {widest:.2f}")
    minutes = sum(m[3] for m in moves)
    said = float(re.search(r"; ([0-9.]+) MINUTES\)", nc.read_bytes().decode()).group(1))
    expect(abs(minutes - said) < 0.06, f"{nc.name}: takes {minutes:.2f} minutes, says {said}")

    def x_at(angle):
        for _, a, b, _ in turning:
            if a["A"] - 1e-9 <= angle <= b["A"] + 1e-9:
                return a["X"] + (b["X"] - a["X"]) * (angle - a["A"]) / (b["A"] - a["A"])
        raise Stopped(angle)

    outer, inner = by_axis(mitre, member)
    if mill == 0:
        jump = {round(a[0], 3) for a, b in zip(outer, outer[1:] + outer[:1]) if abs(a[1] - b[1]) > 0.5 and abs(a[0] - b[0]) < 0.5}
        clear = lambda angle: not any(abs(angle - j) < 0.6 for j in jump)
        worst = max(abs(x_at(row["clock_deg"]) - row["outer"]) for row in mitre["clock"] if clear(row["clock_deg"]))
        # a taper of half a degree: depth along the surface and X along the axis differ by less than 0.02 mm in 40
        expect(worst < 0.02, f"{nc.name}: {worst:.4f} mm off the depth table")
        # X by the points in space, after the one shift that the scribe line makes
        shift = x_at(0) - min(outer, key=lambda q: min(q[0], 360 - q[0]))[1]
        off = [abs(x_at(q[0]) - q[1] - shift) for q in outer if clear(q[0])]
        expect(max(off) < 0.01, f"{nc.name}: {max(off):.4f} mm off the points in space")
        return worst, max(off)
    # the mill: its side, rolled round the tube, against every point of both edges
    shift = min(outer, key=lambda q: min(q[0], 360 - q[0]))[1] - mitre["clock"][0]["outer"]
    deepest = 0
    for edge in (outer, inner):
        for angle, x, r in edge[::8]:
            for k in range(-40, 41):
                a = (angle + k) % 360
                y = r * math.sin(math.radians(k))
                if abs(y) < mill / 2:
                    deepest = max(deepest, x - shift - (x_at(a) - math.sqrt(mill * mill / 4 - y * y)))
    expect(deepest < 0.02, f"{nc.name}: cuts {deepest:.4f} mm into the finished edge")
    return (deepest,)


def check_tables(folder, answer):
    for file in sorted(folder.rglob("*.csv")):
        raw = file.read_bytes()
        expect(raw.endswith(b"\r\n") and b"\n" not in raw.replace(b"\r\n", b""), f"{file.name}: line ends")
        rows = list(csv.reader(raw.decode("utf-8").splitlines(keepends=True), strict=True))
        expect(len(rows) > 1 and all(len(r) == len(rows[0]) for r in rows), f"{file.name}: rows differ in length")
    depths = folder / "tables/depths-by-clock.csv"
    rows = list(csv.DictReader(depths.read_text().splitlines())) if depths.exists() else []
    expected = [(m, c) for m in answer["mitres"] for c in m["clock"]]
    expect(len(rows) == len(expected), "depths: number of rows")
    for row, (m, c) in zip(rows, expected):
        expect(row["member"] == said(answer, m["member"]) and abs(float(row["outer depth (mm)"]) - c["outer"]) <= 0.0005 + 1e-9, f"depths: {row}")
    with open(folder / "tables/masses.csv", newline="") as f:
        masses = {r["part"]: r["mass (g)"] for r in csv.DictReader(f)}
    for p in answer["mass"]["parts"]:
        expect(abs(float(masses[p["spoken"]]) - 1000 * p["mass"]) < 0.006, f"masses: {p['name']}")


def main():
    program, source, work = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3])
    work.mkdir(parents=True, exist_ok=True)
    shop = source / "examples/island-mail/shop.toml"
    milling = work / "milling-shop.toml"
    milling.write_text(shop.read_text() + "\n[rotary]\ntool = 5\n")
    seen = drawings = codes = plates = 0
    runs = [(job, s, mill) for job in sorted(source.glob("examples/*/fork.toml")) for s, mill in ((shop, 0), (milling, 5))]
    for job, with_shop, mill in runs:
        folder = work / f"{job.parent.name}-{mill}"
        subprocess.run([program, "make", job, "--shop", with_shop, "-o", folder], check=True, capture_output=True)
        answer = json.loads(subprocess.run([program, "solve", "--json", job], check=True, capture_output=True).stdout)
        for dxf in sorted(folder.glob("cut/*.dxf")):
            if mill == 0:  # the other run has the same ones
                drawings += 1
                seen += check_drawing(dxf, answer)
        if mill == 0:
            plates += check_plate_edges(folder, answer)
        members = {m["name"]: m for m in answer["members"]}
        for m in answer["mitres"]:
            name = "-".join(reversed(m["member"].split("."))) + ("-upper" if m["end"] == "end" else "-lower") + "-end.nc"
            nc = folder / "cut" / ("rotary-" + name)
            if nc.exists():
                codes += 1
                print(nc.name, mill, check_code(nc, m, members[m["member"]], mill))
        check_tables(folder, answer)
    print(f"{drawings} drawings, {seen} templates held against the answer, {codes} rotary codes run, "
          f"metal beside the bores of {plates} plates measured, {failures} failures")
    sys.exit(1 if failures or seen < 4 or codes < 4 or plates < 2 else 0)


main()
