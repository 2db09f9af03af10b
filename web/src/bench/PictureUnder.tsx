// A photo or a scan under the squared paper: read from this machine, never sent anywhere. Two places a known length
// apart give its scale; the tread's top and a place below it on the middle line stand it up.
import { useEffect, useRef, useState } from "react";
import { latest } from "../job/latest";
import { laidUnder, reach, scaledBy, stoodUp, type Laid, type Point } from "../job/trace";
import { Press } from "../parts/Press";

type Task = "scale" | "stand" | null;

export type Under = {
  address: string;
  laid: Laid | null;
  grid: Point; // kept while the picture lies there
  opacity: number;
  marks: Point[];
  presses: boolean; // waits for places on the picture
  task: Task;
  press: (p: Point) => void;
  open: (file: File | undefined) => void;
  begin: (task: Task) => void;
  scale: (mm: number) => void;
  fade: (opacity: number) => void;
  remove: () => void;
};

async function sizeOf(address: string): Promise<{ width: number; height: number }> {
  const image = new Image();
  image.src = address;
  await image.decode();
  return { width: image.naturalWidth, height: image.naturalHeight };
}

export function usePictureUnder(points: Point[]): Under {
  const [address, setAddress] = useState("");
  const [laid, setLaid] = useState<Laid | null>(null);
  const [grid, setGrid] = useState(reach(points));
  const [opacity, setOpacity] = useState(0.7);
  const [task, setTask] = useState<Task>(null);
  const [marks, setMarks] = useState<Point[]>([]);
  useEffect(() => () => URL.revokeObjectURL(address), [address]);

  const opening = useRef(latest());
  const remove = () => {
    opening.current();
    setLaid(null);
    setAddress("");
    begin(null);
  };
  const begin = (next: Task) => {
    setTask(next);
    setMarks([]);
  };
  const open = (file: File | undefined) => {
    if (!file) return;
    const here = URL.createObjectURL(file), stillWanted = opening.current();
    sizeOf(here).then((size) => {
      if (!stillWanted()) return URL.revokeObjectURL(here); // another was chosen meanwhile
      const on = reach(points);
      setGrid(on);
      setAddress(here);
      setLaid(laidUnder(size.width, size.height, on));
      begin("scale");
    }, () => URL.revokeObjectURL(here));
  };
  const press = (p: Point) => {
    const now = [...marks, p].slice(0, 2);
    setMarks(now);
    if (task !== "stand" || now.length < 2 || !laid) return;
    setLaid(stoodUp(laid, now[0]!, now[1]!));
    begin(null);
  };
  const scale = (mm: number) => {
    if (!laid || marks.length < 2) return;
    setLaid(scaledBy(laid, marks[0]!, marks[1]!, mm));
    begin("stand");
  };
  const presses = laid !== null && ((task === "scale" && marks.length < 2) || task === "stand");
  return { address, laid, grid, opacity, marks, presses, task, press, open, begin, scale, fade: setOpacity, remove };
}

export function PictureUnder({ picture }: { picture: Under }) {
  const [mm, setMm] = useState("");
  const length = Number(mm.replace(",", "."));
  return (
    <>
      <h3>a picture under it</h3>
      {!picture.laid && (
        <>
          <p className="quiet-words">A photo from straight ahead or a scan, with a rule in it. It stays on this machine.</p>
          <label className="press file-press">choose a picture
            <input type="file" accept="image/*" onChange={(e) => picture.open(e.target.files?.[0])} />
          </label>
        </>
      )}
      {picture.laid && (
        <>
          <p role="status" className="trace-task">{wordsOf(picture)}</p>
          {picture.task === "scale" && picture.marks.length === 2 && (
            <form className="row" onSubmit={(e) => { e.preventDefault(); picture.scale(length); }}>
              <label className="inline-field">between them <input type="text" inputMode="decimal" value={mm} onChange={(e) => setMm(e.target.value)} placeholder="50" /> mm</label>
              <Press onPress={() => picture.scale(length)} whyNot={!(length > 0) && "type the length first"}>that long</Press>
            </form>
          )}
          <label className="inline-field">strength
            <input type="range" min={0.1} max={1} step={0.05} value={picture.opacity} onChange={(e) => picture.fade(Number(e.target.value))} />
          </label>
          <div className="row">
            <Press onPress={() => picture.begin("scale")} pressed={picture.task === "scale"}>scale</Press>
            <Press onPress={() => picture.begin("stand")} pressed={picture.task === "stand"}>stand it up</Press>
            <Press onPress={picture.remove}>take it away</Press>
          </div>
        </>
      )}
    </>
  );
}

function wordsOf(p: Under): string {
  if (p.task === "scale") return p.marks.length < 2 ? `Press ${p.marks.length ? "the second" : "the first"} of two places whose distance you know, on the rule.` : "How far are they apart?";
  if (p.task === "stand") return p.marks.length === 0 ? "Press the top of the tread, in its middle." : "Now a place straight below it, on the tyre's middle.";
  return "It lies true. Press points along the tyre's edge.";
}
