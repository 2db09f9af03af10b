// The live line to the server: comes back by itself after it broke. It carries; what to send is not its affair.
import { tokenQuery } from "./rest";

export type Line = {
  send: (message: unknown) => boolean;
  /** As soon as the frame that is being drawn is on the screen: the server's work would take the processor from it. */
  sendAfterPaint: (message: unknown) => void;
  close: () => void;
};
export type Hearing = {
  frame: (bytes: ArrayBuffer) => void;
  event: (event: { event: string; [more: string]: unknown }) => void;
  up: () => void;
  down: () => void;
};

function afterPaint(then: () => void): void {
  requestAnimationFrame(() => window.setTimeout(then)); // a task of its own, behind the frame
}

const kFirstWait = 300, kLongestWait = 5000; // ms before the line is tried again

export function openLine(job: string, hearing: Hearing): Line {
  let socket: WebSocket | null = null;
  let wait = kFirstWait;
  let ended = false;
  let timer = 0;
  let later: unknown[] = [];

  const open = () => {
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    const s = new WebSocket(`${scheme}://${location.host}/api/live?job=${encodeURIComponent(job)}${tokenQuery()}`);
    socket = s;
    s.binaryType = "arraybuffer";
    s.onopen = () => {
      if (ended) return s.close(); // given up while it was being opened
      wait = kFirstWait;
      hearing.up();
    };
    s.onmessage = (m) => {
      if (ended || socket !== s) return; // what still comes belongs to a job that is left
      if (m.data instanceof ArrayBuffer) hearing.frame(m.data);
      else hearing.event(JSON.parse(m.data as string) as { event: string });
    };
    s.onclose = () => {
      if (ended || socket !== s) return;
      hearing.down();
      timer = window.setTimeout(open, wait);
      wait = Math.min(kLongestWait, wait * 1.7);
    };
  };
  open();

  const send = (message: unknown) => {
    if (socket?.readyState !== WebSocket.OPEN) return false;
    socket.send(JSON.stringify(message));
    return true;
  };
  const sendLater = () => {
    const all = later;
    later = [];
    all.forEach(send);
  };
  return {
    send(message) {
      sendLater(); // in their order
      return send(message);
    },
    sendAfterPaint(message) {
      if (later.push(message) === 1) afterPaint(sendLater);
    },
    close() {
      ended = true;
      window.clearTimeout(timer);
      socket?.close();
    },
  };
}
