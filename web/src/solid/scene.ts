// The fork in space: three.js, drawn only when something changed. Metres; y up, z forward, x to the rider's left (docs/solids.md).
import {
  AmbientLight, Box3, Color, DirectionalLight, DoubleSide, EdgesGeometry, Group, LineBasicMaterial, LineSegments,
  Mesh, MeshStandardMaterial, PerspectiveCamera, Plane, Scene, Vector3, WebGLRenderer, BackSide, MeshBasicMaterial,
} from "three";
import { OrbitControls } from "three/addons/controls/OrbitControls.js";
import { GLTFLoader } from "three/addons/loaders/GLTFLoader.js";
import { latest } from "../job/latest";

export type Inks = { paper: string; metal: string; line: string; cut: string };
export type Cut = { axis: "x" | "y" | "z"; share: number } | null;
export type SolidScene = {
  put: (glb: ArrayBuffer) => Promise<void>;
  cut: (cut: Cut) => void;
  stand: (from: "ahead" | "left" | "corner") => void;
  turn: (across: number, up: number) => void;
  zoom: (by: number) => void;
  close: () => void;
};

const kCreaseDeg = 24; // edges sharper than this are drawn

/** fails  Error where the browser has no WebGL */
export function openScene(room: HTMLElement, inks: Inks): SolidScene {
  const canvas = document.createElement("canvas");
  const context = canvas.getContext("webgl2", { antialias: true }); // asked here: the library would complain aloud
  if (!context) throw new Error("no WebGL");
  const renderer = new WebGLRenderer({ canvas, context });
  renderer.setPixelRatio(Math.min(2, devicePixelRatio));
  room.append(renderer.domElement);
  const scene = new Scene();
  scene.background = new Color(inks.paper);
  scene.add(new AmbientLight("#ffffff", 1.5));
  const camera = new PerspectiveCamera(28, 1, 0.01, 20);
  const lamp = new DirectionalLight("#ffffff", 2.2);
  lamp.position.set(0.6, 1, 0.8);
  camera.add(lamp);
  scene.add(camera);
  const fork = new Group();
  scene.add(fork);
  const plane = new Plane(new Vector3(-1, 0, 0), 0);
  const orbit = new OrbitControls(camera, renderer.domElement);
  const box = new Box3();
  const putting = latest();
  let planes: Plane[] = [];
  let asked = 0;

  const draw = () => {
    asked = 0;
    renderer.render(scene, camera);
  };
  const redraw = () => {
    asked ||= requestAnimationFrame(draw);
  };
  orbit.addEventListener("change", redraw);
  const seen = new ResizeObserver(() => {
    renderer.setSize(room.clientWidth, room.clientHeight);
    camera.aspect = room.clientWidth / Math.max(1, room.clientHeight);
    camera.updateProjectionMatrix();
    redraw();
  });
  seen.observe(room);

  const dress = (mesh: Mesh) => {
    mesh.material = new MeshStandardMaterial({ color: inks.metal, roughness: 0.55, metalness: 0.25, side: DoubleSide, clippingPlanes: planes });
    const inside = new Mesh(mesh.geometry, new MeshBasicMaterial({ color: inks.cut, side: BackSide, clippingPlanes: planes }));
    inside.renderOrder = 1;
    inside.visible = planes.length > 0;
    inside.name = "inside";
    const edges = new LineSegments(new EdgesGeometry(mesh.geometry, kCreaseDeg), new LineBasicMaterial({ color: inks.line, clippingPlanes: planes }));
    mesh.add(inside, edges);
  };

  const stand: SolidScene["stand"] = (from) => {
    const middle = box.getCenter(new Vector3());
    const far = box.getSize(new Vector3()).length() * 2.35;
    const way = { ahead: [0, 0, 1], left: [1, 0, 0], corner: [0.62, 0.25, 0.8] }[from] as [number, number, number];
    orbit.target.copy(middle);
    camera.position.copy(middle).add(new Vector3(...way).normalize().multiplyScalar(far));
    orbit.update();
    redraw();
  };

  return {
    async put(glb) {
      const stillWanted = putting();
      const model = await new GLTFLoader().parseAsync(glb, "");
      if (!stillWanted()) return; // a newer one was put meanwhile, or nobody looks any more
      const first = fork.children.length === 0;
      fork.clear();
      const meshes: Mesh[] = [];
      model.scene.traverse((o) => o instanceof Mesh && meshes.push(o));
      meshes.forEach(dress);
      fork.add(model.scene);
      box.setFromObject(fork);
      if (first) stand("corner");
      redraw();
    },
    cut(cut) {
      planes = cut ? [plane] : [];
      if (cut) {
        plane.normal.set(cut.axis === "x" ? -1 : 0, cut.axis === "y" ? -1 : 0, cut.axis === "z" ? -1 : 0);
        const low = box.min[cut.axis], high = box.max[cut.axis];
        plane.constant = low + (high - low) * cut.share;
      }
      renderer.localClippingEnabled = planes.length > 0;
      fork.traverse((o) => {
        if (o instanceof Mesh || o instanceof LineSegments) (o.material as MeshStandardMaterial).clippingPlanes = planes;
        if (o.name === "inside") o.visible = planes.length > 0;
      });
      redraw();
    },
    stand,
    turn(across, up) {
      const arm = camera.position.clone().sub(orbit.target).applyAxisAngle(new Vector3(0, 1, 0), across);
      const side = new Vector3().crossVectors(arm, new Vector3(0, 1, 0)).normalize();
      arm.applyAxisAngle(side, up);
      camera.position.copy(orbit.target).add(arm);
      orbit.update();
      redraw();
    },
    zoom(by) {
      camera.position.sub(orbit.target).multiplyScalar(1 / by).add(orbit.target);
      orbit.update();
      redraw();
    },
    close() {
      putting();
      seen.disconnect();
      orbit.dispose();
      renderer.dispose();
      renderer.domElement.remove();
    },
  };
}
