// True size: a bank card held against the glass once. ISO/IEC 7810 ID-1, 85.60 × 53.98 mm.
import { useState } from "react";
import { openPanel } from "../link/actions";
import { Press } from "../parts/Press";
import { Sheet } from "../parts/Sheet";
import { kCard } from "./camera";
import { pixelsPerMm } from "./Table";

export function BankCard() {
  const [scale, setScale] = useState(pixelsPerMm());
  const close = () => openPanel(null);
  const keep = () => {
    localStorage.setItem("halfround.pixels-per-mm", String(scale));
    close();
  };
  return (
    <Sheet name="True size" onClose={close}>
      <p>Hold any bank card against the glass, its lower left corner on the corner below. Move the slider until the frame is as large as the card.</p>
      <div className="card-frame" style={{ width: kCard.width * scale, height: kCard.height * scale }} aria-hidden="true">
        85.60 × 53.98
      </div>
      <label className="card-slide">
        Size of the frame; arrow keys move it by a hair
        <input type="range" min={2} max={9} step={0.005} value={scale} onChange={(e) => setScale(Number(e.target.value))} />
      </label>
      <div className="row">
        <Press kind="main" onPress={keep}>It matches</Press>
        <span className="quiet-words">{scale.toFixed(2)} pixels a millimetre</span>
      </div>
    </Sheet>
  );
}
