// The shop network: off until the builder switches it on; then a code pairs a device. Every paired device is listed
// and can be withdrawn, one or all.
import { useCallback, useEffect, useState } from "react";
import { openPanel } from "../link/actions";
import * as rest from "../link/rest";
import { Press } from "../parts/Press";
import { Sheet } from "../parts/Sheet";

/** "2026-11-30T21:07:00Z" as the day and minute of this place. */
const when = (utc: string) => utc === "" ? "never" : new Date(utc).toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" });
const called = (d: rest.Device) => d.name || `${d.kind || "device"} ${d.token_id}`;

function Devices({ devices, withdraw, withdrawAll }: {
  devices: rest.Device[]; withdraw: (d: rest.Device) => void; withdrawAll: () => void;
}) {
  if (devices.length === 0) return <p>No device is paired.</p>;
  return (
    <>
      <table className="devices">
        <caption>Paired devices. A pairing ends by itself when the device is not used for 90 days.</caption>
        <thead><tr><th scope="col">name</th><th scope="col">kind</th><th scope="col">paired</th><th scope="col">last seen</th><td /></tr></thead>
        <tbody>
          {devices.map((d) => (
            <tr key={d.token_id}>
              <th scope="row">{called(d)}</th><td>{d.kind || "not seen yet"}</td><td>{when(d.made)}</td><td>{when(d.seen)}</td>
              <td><Press label={`withdraw ${called(d)}`} onPress={() => withdraw(d)}>withdraw</Press></td>
            </tr>
          ))}
        </tbody>
      </table>
      {devices.length > 1 && <Press onPress={withdrawAll}>withdraw all {devices.length}</Press>}
    </>
  );
}

export function PhonePanel() {
  const [network, setNetwork] = useState<rest.Network | null>(null);
  const [devices, setDevices] = useState<rest.Device[]>([]);
  const [pairing, setPairing] = useState<rest.Pairing | null>(null);
  const [name, setName] = useState("");
  const [wrong, setWrong] = useState("");
  const tried = useCallback(<T,>(asked: Promise<T>, then: (t: T) => void) =>
    void asked.then((t) => { setWrong(""); then(t); }, (e: Error) => setWrong(e.message)), []);
  const list = useCallback(() => tried(rest.paired(), setDevices), [tried]);

  useEffect(() => {
    tried(rest.network(), setNetwork);
    list();
    const again = setInterval(list, 5000); // a phone that comes in for the first time is seen here
    return () => clearInterval(again);
  }, [tried, list]);
  const flip = () => tried(rest.switchNetwork(!network?.on), (n) => {
    setNetwork(n);
    if (!n.on) setPairing(null);
  });
  const pair = () => tried(rest.pair(name.trim()), (p) => { setPairing(p); setName(""); list(); });
  const gone = (id?: number) => { if (id === undefined || id === pairing?.token_id) setPairing(null); list(); };
  return (
    <Sheet name="The phone at the mill" onClose={() => openPanel(null)}>
      <p>
        The phone shows the steps one at a time, big enough to read from the machine; what is ticked and measured there stands here at once.
        Whoever has the code can read and edit this book, so switch the network on only among people you trust.
      </p>
      <div className="row">
        <Press kind={network?.on ? "plain" : "main"} onPress={flip}>{network?.on ? "switch the shop network off" : "switch the shop network on"}</Press>
        <span role="status">{network?.on ? `on: ${network.address}` : "off: only this machine is served"}</span>
      </div>
      {network?.on && !pairing && (
        <div className="row">
          <label>Name of the device <input value={name} maxLength={30} placeholder="phone at the mill" onChange={(e) => setName(e.target.value)} /></label>
          <Press kind="main" onPress={pair}>pair a phone</Press>
        </div>
      )}
      {pairing && (
        <div className="pairing">
          <img className="code" alt="Code for the phone's camera" src={`data:image/svg+xml;charset=utf-8,${encodeURIComponent(pairing.qr_svg)}`} />
          <div>
            <p>Point the phone's camera at the code, or type:</p>
            <p className="link-words">{pairing.link}</p>
            <Press onPress={() => tried(rest.withdraw(pairing.token_id), () => gone(pairing.token_id))}>withdraw this pairing</Press>
          </div>
        </div>
      )}
      <Devices devices={devices}
        withdraw={(d) => tried(rest.withdraw(d.token_id), () => gone(d.token_id))}
        withdrawAll={() => tried(rest.withdrawAll(), () => gone())} />
      {wrong && <p className="problem" role="alert">{wrong}</p>}
    </Sheet>
  );
}
