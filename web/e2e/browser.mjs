// Debian's Chromium, headless.
import { chromium } from "playwright-core";

export const kExecutable = process.env.HALFROUND_CHROMIUM ?? "/usr/bin/chromium";

// WebGL without a graphics card: what the solid needs; each frame then takes some 90 ms to come to the glass
const kSoftwareGl = ["--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"];

/** in  solid  false: nothing but flat drawing, which comes to the glass as soon as with a graphics card */
export function launch({ solid = true } = {}) {
  return chromium.launch({
    executablePath: kExecutable,
    args: ["--no-sandbox", "--disable-background-networking", "--no-first-run", ...(solid ? kSoftwareGl : ["--disable-gpu"])],
  });
}

/** What the page complains of, kept. */
export function listen(page, complaints) {
  page.on("pageerror", (e) => complaints.push(`page: ${e.message}`));
  page.on("console", (m) => {
    if (m.type() === "error" && !/WebSocket|ERR_CONNECTION|Failed to fetch|Failed to load resource/.test(m.text())) complaints.push(`console: ${m.text()}`);
  });
  page.on("request", (r) => {
    if (!/^(http:\/\/(127\.0\.0\.1|192\.|10\.|172\.|169\.)|ws:|data:|blob:)/.test(r.url())) complaints.push(`asked outside: ${r.url()}`);
  });
}
