#!/usr/bin/env python3
"""Measures printed mitre templates with programs we did not write.

The example's sheets are made, then each template page is read back twice: the PDF by MuPDF (mutool trace), the SVG by
Python's own XML parser. Every corner of the template in `solve --json` must stand on a drawn line within TOL after one shift of the whole outline: so shape and size on paper are those of the answer. And the check bar is 100 mm.

    measure_templates.py PROGRAM EXAMPLE FOLDER
"""
import json
import re
import subprocess
import sys
import xml.etree.ElementTree as xml
from pathlib import Path

TOL = 0.01  # mm; PDF points lie on a grid of 0.0014 mm, SVG numbers on one of 0.001 mm
MM = 25.4 / 72


def pdf_runs(pdf, page):
    """Stroked polylines of a page in mm, y up."""
    text = subprocess.run(["mutool", "trace", pdf, str(page)], capture_output=True, check=True, text=True).stdout
    root = xml.fromstring(text)
    page_node = root.find("page")
    height = float(page_node.get("mediabox").split()[3])
    for stroke in page_node.iter("stroke_path"):
        a, b, c, d, e, f = map(float, stroke.get("transform").split())
        run = []
        for step in stroke:
            if step.tag in ("moveto", "lineto"):
                x, y = float(step.get("x")), float(step.get("y"))
                run.append(((a * x + c * y + e) * MM, (height - (b * x + d * y + f)) * MM))
        yield run


def svg_runs(svg):
    root = xml.parse(svg).getroot()
    height = float(root.get("viewBox").split()[3])
    assert root.get("height") == f"{height:g}mm", root.get("height")
    for path in root.iter("{http://www.w3.org/2000/svg}path"):
        if path.get("stroke") is None:
            continue
        for piece in path.get("d").split("M")[1:]:
            numbers = [float(n) for n in re.findall(r"-?\d*\.?\d+", piece)]
            yield [(x, height - y) for x, y in zip(numbers[::2], numbers[1::2])]


def from_segment(x, y, segment):
    (ax, ay), (bx, by) = segment
    dx, dy = bx - ax, by - ay
    l2 = dx * dx + dy * dy
    t = max(0, min(1, ((x - ax) * dx + (y - ay) * dy) / l2)) if l2 else 0
    return ((x - ax - t * dx) ** 2 + (y - ay - t * dy) ** 2) ** 0.5


def greatest_miss(template, runs):
    """Least over all shifts that bring the template's first corner onto a drawn one: how far its worst corner lies from
    the nearest drawn line. (A drawing library may leave out corners that lie on a straight line, so lines, not corners.)"""
    segments = [(p, q) for run in runs for p, q in zip(run, run[1:])]
    corners = [p for run in runs for p in run]
    best = 1e9
    x0, y0 = template[0]
    for cx, cy in corners:
        worst = 0
        for x, y in template[::7] + template:
            px, py = x - x0 + cx, y - y0 + cy
            worst = max(worst, min(from_segment(px, py, s) for s in segments))
            if worst >= min(best, 1):
                break
        best = min(best, worst)
        if best < TOL / 3:
            break
    return best


def main():
    program, example, folder = sys.argv[1:]
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    # a true printer, so that paper shows the answer's own millimetres
    text = re.sub(r"(?m)^(bar_[xy]\s*=).*$", r"\1 100", Path(example).read_text())
    job = folder / "job.toml"
    job.write_text(text)
    subprocess.run([program, "make", job, "-o", folder], check=True, capture_output=True)
    answer = json.loads(subprocess.run([program, "solve", "--json", job], check=True, capture_output=True).stdout)
    pdf = next(folder.glob("mitre-templates-a4.pdf"))
    failed = 0
    for number, mitre in enumerate(answer["mitres"], 1):
        template = mitre["template"]
        for kind, runs in (("PDF", list(pdf_runs(pdf, number))),
                           ("SVG", list(svg_runs(folder / f"mitre-templates-a4-{number}.svg")))):
            miss = greatest_miss(template, runs)
            bars = [abs(run[1][0] - run[0][0]) for run in runs if len(run) == 2]
            bar = min((abs(b - 100) for b in bars), default=1e9)
            fine = miss <= TOL and bar <= 0.005
            failed += not fine
            print(f"{'ok  ' if fine else 'FAIL'} {mitre['member']} {mitre['end']}, {kind}: "
                  f"outline within {miss:.4f} mm, bar off by {bar:.4f} mm")
    sys.exit(1 if failed else 0)


main()
