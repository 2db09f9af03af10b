// The picture that shows where to put the calliper. Its names are those of the job file; on the page they are spoken as the labels are.
import { useEffect, useState } from "react";

const kKept = new Map<string, Promise<string>>();

function spokenPicture(name: string): Promise<string> {
  let picture = kKept.get(name);
  if (!picture) {
    picture = fetch(`/api/pictures/${name}.svg`).then(async (r) => (r.ok ? r.text() : Promise.reject(new Error(name))))
      .then((svg) => svg.replace(/>([^<]+)</g, (_, words: string) => `>${words.replace(/_/g, " ")}<`));
    picture.catch(() => kKept.delete(name));
    kKept.set(name, picture);
  }
  return picture;
}

export function Measuring({ name, alt }: { name: string; alt: string }) {
  const [svg, setSvg] = useState("");
  useEffect(() => {
    let gone = false;
    spokenPicture(name).then((s) => !gone && setSvg(s), () => undefined);
    return () => {
      gone = true;
    };
  }, [name]);
  return svg ? <img className="measuring" src={`data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`} alt={alt} /> : null;
}
