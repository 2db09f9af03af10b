"""Who else says so: Gmsh opens the STEP file of every example and weighs what it read.

usage: read_by_gmsh.py HALFROUND EXAMPLES FOLDER
"""
import pathlib
import re
import shutil
import subprocess
import sys

halfround, examples, folder = sys.argv[1:4]
if not shutil.which("gmsh"):
    print("Gmsh is missing (package gmsh), so no STEP file was opened by it")
    sys.exit(0)
wrong = 0
for job in sorted(pathlib.Path(examples).glob("*/fork.toml")):
    out = pathlib.Path(folder) / job.parent.name
    subprocess.run([halfround, "make", str(job), "-o", str(out)], check=True, stdout=subprocess.DEVNULL)
    step = out / "solid" / "fork.step"
    script = out / "weigh.geo"
    script.write_text(
        'SetFactory("OpenCASCADE");\n'
        f'v() = ShapeFromFile("{step.resolve()}");\n'
        "For i In {0 : #v() - 1}\n  m() = Mass Volume{v(i)};\n  b() = BoundingBox Volume{v(i)};\n"
        '  Printf("part %g %.9g", v(i), m(0));\n'
        "EndFor\n")
    said = subprocess.run(["gmsh", "-", "-v", "5", str(script)], capture_output=True, text=True)
    volumes = [float(x) for x in re.findall(r"part \d+ ([-+.\de]+)", said.stdout + said.stderr)]
    parts = len(re.findall(r"MANIFOLD_SOLID_BREP", step.read_text()))
    print(f"{job.parent.name}: {parts} solids in the file, Gmsh read {len(volumes)}, "
          f"{sum(volumes):.4f} mm3 together")
    if parts == 0 or len(volumes) != parts or min(volumes, default=0) <= 0:
        print(said.stdout + said.stderr)
        wrong += 1
sys.exit(1 if wrong else 0)
