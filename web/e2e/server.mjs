// Starts `halfround serve` for a test and stops it, as rudely as wanted.
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

export function folder() {
  const path = mkdtempSync(join(tmpdir(), "halfround-page-"));
  process.on("exit", () => rmSync(path, { recursive: true, force: true }));
  return path;
}

export async function serve(program, data, port, words = []) {
  const child = spawn(program, ["serve", "--port", String(port), "--data", data, ...words], { stdio: ["ignore", "pipe", "inherit"] });
  const gone = new Promise((resolve) => child.once("exit", resolve));
  const address = await new Promise((resolve, refuse) => {
    let said = "";
    child.stdout.on("data", (bytes) => {
      said += bytes;
      const at = said.match(/http:\/\/127\.0\.0\.1:\d+/);
      if (at) resolve(at[0]);
    });
    child.once("exit", () => refuse(new Error(`the server did not come up: ${said}`)));
  });
  for (let i = 0; ; ++i) {
    if (await fetch(`${address}/api/schema`).then((r) => r.ok, () => false)) break;
    if (child.exitCode !== null || i > 200) throw new Error("the server did not come up");
    await new Promise((r) => setTimeout(r, 50));
  }
  process.on("exit", () => child.kill("SIGKILL"));
  return {
    address,
    port: Number(address.split(":").pop()),
    pid: child.pid,
    async kill() {
      child.kill("SIGKILL");
      await gone;
    },
  };
}
