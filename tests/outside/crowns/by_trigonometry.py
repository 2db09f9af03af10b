#!/usr/bin/env python3
"""Crowns with straight blades, worked by trigonometry from the job's own numbers and held against the program's answers.

Segmented crown. In the blades' plane, with the steering axis' trace pointing down: the lower end stands at (y0, R), the crown
tube goes out at alpha from the axis, so the blade meets it at (y, y cot alpha). Then
    tan splay = (y0 - y) / (R - y cot alpha)      tan tilt = offset / (drop - height)
    crown tube to blade  = alpha - splay           crown tube to steerer: cos = cos alpha cos tilt
Socket crown. The blade runs from the socket's mouth to the lower end:
    X forward, Y outward, H down     length = sqrt(X^2 + Y^2 + H^2)     direction = (X, Y, -H) / length
    angle to the socket = acos(direction . socket);  left to the socket its lower end stands at mouth + length socket
[derived]; nothing here is taken from the program but its answers.

    by_trigonometry.py PROGRAM SOURCE_FOLDER WORK_FOLDER
"""
import json
import math
import re
import subprocess
import sys
from pathlib import Path

failures = checked = 0


def near(found, wanted, within, what):
    global failures, checked
    checked += 1
    if not abs(found - wanted) <= within:
        failures += 1
        print(f"FAIL {what}: {found}, by trigonometry {wanted}")


def changed(text, pairs):
    for pattern, to in pairs:
        text, n = re.subn(pattern, to, text, count=1, flags=re.S | re.M)
        assert n == 1, pattern
    return text


def solved(program, path, shop=None):
    words = [program, "solve", "--json", path] + (["--shop", shop] if shop else [])
    done = subprocess.run(words, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def member(answer, name):
    return next(m for m in answer["members"] if m["name"] == name)


def angle_between(u, v):
    dot = sum(a * b for a, b in zip(u, v))
    cross = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]]
    return math.degrees(math.atan2(math.sqrt(sum(c * c for c in cross)), dot))


def segmented(program, source, work):
    text = (source / "examples/ferry-mail/fork.toml").read_text()
    for spacing, alpha, height, offset, hub in [(104, 85, 40, 48, 100), (110, 78, 44, 40, 100), (118, 96, 36, 52, 110), (104, 90, 40, 0, 100)]:
        job = work / "segmented.toml"
        job.write_text(changed(text, [(r"clearance = 12\nupper_trim = 0", f"spacing = {spacing}\nlower_trim = 40"), (r"^angle = .*?$", f"angle = {alpha}"),
                                      (r"^height = .*?$", f"height = {height}"), (r"^offset = .*?$", f"offset = {offset}"),
                                      (r"^over_locknut = .*?$", f"over_locknut = {hub}")]))
        a = solved(program, job, source / "examples/island-mail/shop.toml")
        drop, y0, y, al = 335, hub / 2 + 14, spacing / 2, math.radians(alpha)
        tilt = math.atan2(offset, drop - height)
        reach = math.hypot(offset, drop - height)
        splay = math.atan2(y0 - y, reach - y / math.tan(al))
        what = f"segmented, {spacing} mm, {alpha} deg"
        left = a["blades"]["left"]
        near(left["tilt_deg"], math.degrees(tilt), 1e-7, what + ", tilt")
        near(left["splay_deg"], math.degrees(splay), 1e-7, what + ", splay")
        near(left["length_used"], math.hypot(y0 - y, reach - y / math.tan(al)) + 26, 1e-7, what + ", blade to its top")
        crown, blade = member(a, "crown.left")["stations"][0]["tangent"], member(a, "blade.left")["stations"][0]["tangent"]
        near(angle_between([-c for c in crown], [-c for c in blade]), alpha - math.degrees(splay), 1e-6, what + ", crown tube to blade")
        near(angle_between([-c for c in crown], [0, 0, -1]), math.degrees(math.acos(math.cos(al) * math.cos(tilt))), 1e-6, what + ", crown tube to steerer")
        for s in a["shop"]["set_ups"]:
            if s["member"] == "crown.left":
                wanted = math.degrees(math.acos(math.cos(al) * math.cos(tilt))) if s["onto"] == "steerer" else alpha - math.degrees(splay)
                near(min(s["angle_deg"], 180 - s["angle_deg"]), min(wanted, 180 - wanted), 1e-6, what + ", set at the mill")
        near(member(a, "crown.left")["s_end"] - member(a, "crown.left")["s_start"], y / math.sin(al), 1e-7, what + ", crown tube")


def socket(program, source, work):
    text = (source / "examples/pier-mail/fork.toml").read_text()
    text = changed(text, [(r"shape = \[.*?^\]", "shape = [{straight = 430}]"), (r"\[shares\].*?\n\n", "")])
    for spacing, splay, lean, ahead, offset in [(96, 1, 7, 0, 45), (100, 0.5, 6, 4, 40), (104, 2, 9, -3, 50), (96, 1.19, 7.6, 0, 45)]:
        job = work / "socket.toml"
        job.write_text(changed(text, [(r"^spacing = .*?$", f"spacing = {spacing}"), (r"^splay = .*?$", f"splay = {splay}"),
                                      (r"^lean = .*?$", f"lean = {lean}\nahead = {ahead}"), (r"^offset = .*?$", f"offset = {offset}")]))
        a = solved(program, job)
        down = 398 - 24 - (20 + 34 / 2)
        x, y = offset - ahead, 100 / 2 + 5 - spacing / 2
        length = math.sqrt(x * x + y * y + down * down)
        what = f"socket, {spacing} mm, {splay} and {lean} deg"
        left = a["blades"]["left"]
        near(left["length_used"], length + 28, 1e-7, what + ", lower end to the socket's bottom")
        near(left["tilt_deg"], math.degrees(math.atan2(x, down)), 1e-7, what + ", tilt")
        near(left["splay_deg"], math.degrees(math.atan2(y, math.hypot(x, down))), 1e-7, what + ", splay")
        direction = (x / length, y / length, -down / length)
        socket = (math.tan(math.radians(lean)), math.tan(math.radians(splay)), -1)
        size = math.sqrt(sum(c * c for c in socket))
        socket = [c / size for c in socket]
        v = next(v for v in a["verdicts"] if v["code"] == "socket-lean" and v["where"] == "left blade")
        near(v["value"], angle_between(direction, socket), 1e-6, what + ", blade to socket")
        # turned about the mouth the blade keeps its length and lies along the socket
        inward = length * (direction[1] - socket[1])
        behind = length * (direction[0] - socket[0])
        told = re.search(r"stand ([0-9.]+) mm (inward|outward) and ([0-9.]+) mm (behind|ahead)", v["note"])
        near(float(told[1]) * (1 if told[2] == "inward" else -1), inward, 0.051, what + ", to spread")
        near(float(told[3]) * (1 if told[4] == "behind" else -1), behind, 0.051, what + ", to push forward")


def main():
    program, source, work = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3])
    work.mkdir(parents=True, exist_ok=True)
    segmented(program, source, work)
    socket(program, source, work)
    print(f"{checked} figures held against trigonometry, {failures} failures")
    sys.exit(1 if failures or checked < 40 else 0)


main()
