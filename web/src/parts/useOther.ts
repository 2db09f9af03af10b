// The same length, angle or mass in the other unit, beside what was typed. Asked for once the fingers rest:
// the drawing comes first.
import { useEffect, useState } from "react";
import { unit } from "../link/rest";

const kRest = 120; // ms without a key

export function useOther(text: string, form: string): string {
  const [other, setOther] = useState("");
  const asks = text.trim() !== "" && (form === "length" || form === "angle" || form === "mass");
  useEffect(() => {
    if (!asks) return setOther("");
    let gone = false;
    const told = (other: string) => !gone && setOther(other.startsWith("0 in ") ? "" : other); // less than the finest fraction says nothing
    const ask = () => unit(text, form).then((u) => told(u.other), () => undefined);
    const timer = window.setTimeout(ask, kRest);
    return () => {
      gone = true;
      window.clearTimeout(timer);
    };
  }, [text, form, asks]);
  return other;
}
