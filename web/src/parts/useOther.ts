// The same length, angle or mass in the other unit, beside what was typed.
import { useEffect, useState } from "react";
import { unit } from "../link/rest";

export function useOther(text: string, form: string): { other: string; problem: string } {
  const [told, setTold] = useState({ other: "", problem: "" });
  const asks = text.trim() !== "" && (form === "length" || form === "angle" || form === "mass");
  useEffect(() => {
    if (!asks) return setTold({ other: "", problem: "" });
    let gone = false;
    unit(text, form).then(
      (u) => !gone && setTold({ other: u.other, problem: u.problem ? `${u.problem.what} ${u.problem.fits}` : "" }),
      () => undefined,
    );
    return () => {
      gone = true;
    };
  }, [text, form, asks]);
  return told;
}
