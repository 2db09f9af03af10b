// The shop network: off until the builder switches it on; then a code pairs a phone, and can be withdrawn.
import { useEffect, useState } from "react";
import { openPanel } from "../link/actions";
import * as rest from "../link/rest";
import { Press } from "../parts/Press";
import { Sheet } from "../parts/Sheet";

export function PhonePanel() {
  const [network, setNetwork] = useState<rest.Network | null>(null);
  const [pairing, setPairing] = useState<rest.Pairing | null>(null);
  const [wrong, setWrong] = useState("");
  const tried = <T,>(asked: Promise<T>, then: (t: T) => void) =>
    void asked.then((t) => { setWrong(""); then(t); }, (e: Error) => setWrong(e.message));

  useEffect(() => tried(rest.network(), setNetwork), []);
  const flip = () => tried(rest.switchNetwork(!network?.on), (n) => {
    setNetwork(n);
    if (!n.on) setPairing(null);
  });
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
      {network?.on && !pairing && <Press kind="main" onPress={() => tried(rest.pair(), setPairing)}>pair a phone</Press>}
      {pairing && (
        <div className="pairing">
          <img className="code" alt="Code for the phone's camera" src={`data:image/svg+xml;charset=utf-8,${encodeURIComponent(pairing.qr_svg)}`} />
          <div>
            <p>Point the phone's camera at the code, or type:</p>
            <p className="link-words">{pairing.link}</p>
            <Press onPress={() => tried(rest.withdraw(pairing.token_id), () => setPairing(null))}>withdraw this pairing</Press>
          </div>
        </div>
      )}
      {wrong && <p className="problem" role="alert">{wrong}</p>}
    </Sheet>
  );
}
