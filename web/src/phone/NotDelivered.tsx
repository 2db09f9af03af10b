// Why nothing goes to the bench at the moment, and what has not got there: said whole, so that it can be told by mouth.
import { deedTime } from "../parts/time";
import { saidOf, type Deed } from "./offline";
import type { usePhone } from "./usePhone";

const kWhy = {
  withdrawn: "This phone's pairing was withdrawn at the machine, or has run out. Pair it again with a new code; what it ticked and measured is then sent.",
  off: "The shop network is switched off at the machine. What is ticked and measured here is kept and sent when it is on again.",
};

export function NotDelivered({ phone }: { phone: ReturnType<typeof usePhone> }) {
  const { standing, waiting, refused, overruled, jobs } = phone;
  const barred = standing === "withdrawn" || standing === "off";
  if (!barred && !refused.length && !overruled.length) return null;
  const nameOf = (d: Deed) => jobs.find((j) => j.id === d.job)?.name ?? "another fork";
  const line = (d: Deed) => <>{saidOf(d)} <small>{nameOf(d)}, {deedTime(d.at)}</small></>;
  return (
    <section className="phone-not" role="alert" aria-label="Not delivered">
      {barred && <p><b>{kWhy[standing]}</b></p>}
      {barred && waiting.length > 0 && <p>Not delivered yet:</p>}
      {barred && <ul>{waiting.map((d) => <li key={d.id}>{line(d)}</li>)}</ul>}
      {barred && waiting.length === 0 && <p>Everything that was done here has been delivered.</p>}
      {barred && <button type="button" onClick={phone.again}>try again</button>}
      {refused.map((d) => (
        <p key={d.id}>Not taken by the server: {line(d)} {d.refused} <button type="button" onClick={() => phone.drop(d)}>drop it</button></p>
      ))}
      {overruled.map((d) => (
        <p key={d.id}>Left out, because the step was {d.done ? "taken back" : "ticked"} elsewhere since this phone looked: {line(d)}
          <span className="row">
            <button type="button" onClick={() => phone.insist(d)}>{d.done ? "it is done" : "it is not done"}</button>
            <button type="button" onClick={() => phone.drop(d)}>leave it</button>
          </span>
        </p>
      ))}
    </section>
  );
}
