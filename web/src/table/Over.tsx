// A dimension being typed over in place: a field laid on the drawing where the number stands.
import { Field } from "../bench/Field";
import { usePage } from "../link/store";
import { toScreen, type Camera, type Size } from "./camera";
import type { TextItem } from "../contract/types";

type Props = { item: TextItem; camera: Camera; page: Size; room: Size; onDone: () => void };

export function Over({ item, camera, page, room, onDone }: Props) {
  const row = usePage((p) => p.schema.find((r) => r.key === item.key));
  if (!row) return null;
  const at = toScreen(camera, page, item.x, item.y);
  const left = Math.min(Math.max(8, at.x - 70), room.width - 250);
  const top = Math.min(Math.max(24, at.y - 40), room.height - 150);
  return (
    <div className="over" style={{ left, top }} onBlur={(e) => !e.currentTarget.contains(e.relatedTarget) && onDone()}>
      <Field row={row} autoFocus onDone={onDone} />
    </div>
  );
}
